"""What a typed reply means; the words are common practice, no source."""

import pytest

from compliance.facts.reply_words import Meaning, is_line, read_meaning, unquote


@pytest.mark.parametrize(
    "text",
    [
        "TBD",
        "t.b.d.",
        "TBA",
        "tbd - ask Wren",
        "pending",
        "Pending.",
        "to follow",
        "draft",
        "____",
        "......",
        "-",
        "--",
        "/",
        "xxx",
        "X",
        "[ ]",
        "(county)",
        "<name>",
        "[your name]",
        "see attached",
        "See attachment A",
        "please see enclosed",
        "refer to the attached",
        "to be filled in by the notary",
        "will be determined",
        "still to be assigned",
        "fill in",
        "Fill this in",
        "print name here",
        "insert county",
        "your name",
        "title here",
        "the notary",
        "notary will fill it in",
        "filled in by the notary",
        "left for the bank",
        "see page 2",
        "see above",
        "See p. 3",
        "page 2",
        "on the other page",
        "as per sheet 1",
        "see line 4",
        "refer to the invoice",
        "see Wren's notes",
        "ask Hal",
        "Please ask the clerk",
        "check with Wren",
        "look it up",
        "same as owner",
        "same as on page 1",
        "unchanged",
        "as last year",
        "on file",
        "leave blank",
        "for office use only",
    ],
)
def test_read_meaning_of_what_keeps_a_place_is_waiting(text: str) -> None:
    """Whole texts that stand in for one that is still to come are no text."""
    assert read_meaning(text) is Meaning.WAITING


@pytest.mark.parametrize(
    "text",
    [
        "Pending Creek Farms LLC",
        "Lena Pending",
        "Attachment Road 4",
        "TBA Aviation LLC",
        "Notary Public",
        "Notary",
        "Clerk",
        "Office Manager",
        "Sample Creek",
        "0",
        "46-00018",
        "(402) 555-0143",
        "Buffalo (county)",
        "Open Range LLC",
        "Page Creek Farms",
        "Askew Flying LLC",
        "Seeley Page",
        "See Family Farms LLC",
        "Lookout Hill 5",
        "Same Day Aviation LLC",
        "Section 12",
        "P.O. Box 0",
        "Sheet Iron Ranch",
        "by bill of sale",
        '"Pending"',
    ],
)
def test_read_meaning_of_a_name_with_such_a_word_is_a_text(text: str) -> None:
    """Only whole texts count, and what stands in quotation marks is a text."""
    assert read_meaning(text) is Meaning.TEXT


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("n.a.", Meaning.STRUCK),
        ("none yet", Meaning.NOTHING),
        ("not known yet", Meaning.UNSURE),
        ("?", Meaning.UNSURE),
        ("same as above", Meaning.SAME),
        ("later", Meaning.LATER),
    ],
)
def test_read_meaning_of_other_words_for_no_text(text: str, meaning: Meaning) -> None:
    """Struck, empty, unclear and later are told apart from what is still to come."""
    assert read_meaning(text) is meaning


def test_is_line_and_unquote() -> None:
    """A line is marks only; quotation marks are taken off."""
    assert [is_line(one) for one in ("__ __", "", "  ", "a_")] == [True, False, False, False]
    assert unquote('"Pending"') == "Pending"


@pytest.mark.parametrize(
    "text",
    ["County TBD", "tbd by notary", "tbd?", "County of ____", "Click or tap here to enter text."],
)
def test_words_beside_what_keeps_a_place_are_no_text(text: str) -> None:
    """A question, a line to write on or a TBD leaves open what stands beside it."""
    assert read_meaning(text) is Meaning.WAITING
    assert read_meaning(f'"{text}"') is Meaning.TEXT
