"""What a typed reply means; the words are common practice, no source."""

import pytest

from compliance.facts.answers import Status
from compliance.facts.answers_short import is_open, read_enclosed_word, read_status
from compliance.facts.reply_instructions import is_named, may_instruct
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


@pytest.mark.parametrize(
    "text",
    [
        "see over",
        "See Over",
        "call Hal",
        "call the office",
        "Call 402-555-0143",
        "will add later",
        "WILL ADD LATER",
        "to add later",
        "same address as above",
        "Same Address",
        "same owner",
        "see bill of sale",
        "SEE BILL OF SALE",
        "county where signed",
        "where notarized",
        "date when signed",
        "see Hal",
        "use old one",
        "as per owner",
        "AS PER OWNER",
        "ask the title company",
        "see title company",
        "see the LLC",
        "see Burrell Aerial LLC",
        "see attached LLC",
        "TBD LLC?",
        "____ LLC",
    ],
)
def test_instructions_to_somebody_are_no_text(text: str) -> None:
    """Small letters, articles and things to look at make an instruction; common practice."""
    assert read_meaning(text) is Meaning.WAITING


NAMES = (
    "Consult Ag LLC",
    "Page 2 Farms LLC",
    "Ask Aviation LLC",
    "Check With Chuck LLC",
    "Same For Less Inc",
    "No Limits Aviation",
    "See Title Company",
    "Call Creek Ranch",
    "Use Less Spraying L.L.C.",
    "consult ag llc",
    "See Road 5",
    "12 See Road",
    "Call Hollow Lane",
    "Same Creek Road",
    "See Back Forty Farms",
    "Not So Fast Aerial Inc.",
    "Yes Ma Cattle Co.",
    "I Spray LLC",
    "Will Later",
    "Per Lindqvist",
    "See Vang",
    "Call Hansen",
    "Chuck Checkett",
    "Seeley Calloway",
    "Lena Asker",
    "Hal Useman",
    "Ann Soon",
    "Samewell Orr",
    "County Line Farms",
    "Where Eagles Fly LLC",
    "As You Like It Farms",
    "Later Day Aerial",
    "To Be Sure Inc",
    "On The Level Ag LLC",
    "In Good Company LLC",
    "From Above Aerial LLC",
    "Print Creek Ranch",
    "Insert Coin Holdings",
    "Member",
    "Managing member",
    "President",
    "General partner",
    "Sole proprietor",
    "Chief pilot",
    "Buffalo",
    "Red Willow",
    "Box Butte",
    "Saint Same Parish",
    "Notary Public",
    "P.O. Box 0, Burrell Crossing, NE 00000",
    "2 Invented Road",
    "1 Same Street",
    "46-00018",
    "Nebraska",
)


@pytest.mark.parametrize("text", NAMES)
def test_names_streets_counties_and_titles_are_texts(text: str) -> None:
    """All invented; none may be refused, whatever words it begins with."""
    assert len(NAMES) > 50
    assert read_meaning(text) is Meaning.TEXT


def test_capitals_leave_in_doubt_what_a_file_shows() -> None:
    """A person may be called `See Vang`; a firm's or a place's ending leaves no doubt."""
    texts = ("See Vang", "SEE HAL", "Same Creek", "See Title Company", "Odile Ferrant", "See")

    assert [may_instruct(one) for one in texts] == [True, True, True, False, False, False]


@pytest.mark.parametrize(
    "text",
    ["Hal to provide", "Hal will fill in", "will add", "as on application", "look on page 2"],
)
def test_read_meaning_of_what_somebody_is_to_do_is_no_text(text: str) -> None:
    """Who fills it in, or where it is written, is not what stands there."""
    assert read_meaning(text) is Meaning.WAITING


def test_read_meaning_of_the_same_in_latin_and_of_names_beside_it() -> None:
    """Somebody may be called Will; a firm may look."""
    assert read_meaning("Idem.") is Meaning.SAME
    names = ("Will Add", "Will Sign Jones", "Free To Give Farms", "Look At Me LLC", "As On Farms")
    assert {read_meaning(one) for one in names} == {Meaning.TEXT}


SAID = {
    Meaning.NOTHING: (
        "left out|Left out.|left it out|it was left out|forgot it|Forgot it!|no, forgot|"
        "No - forgot|no, forgot it|notary forgot|the notary forgot it|NOTARY FORGOT|we forgot it|"
        "forgotten|Wren forgot|wren forgot it|Hal Vang left it out|the seller left it open|omitted|"
        "overlooked|I overlooked it|missed it|skipped it|forgot to fill it in"
    ),
    Meaning.NOT_YET: (
        "haven't|haven\u2019t|I haven't|haven't yet|no, haven't|hasn't|didn't|didn't do it|"
        "I did not sign|the notary didn't sign|has not been stamped|was not filled in|not done|"
        "not done yet|wasn't signed|won't"
    ),
    Meaning.LATER: (
        "tomorrow|Tomorrow.|tomorrow morning|maybe tomorrow|next week|next Monday|on Friday|"
        "this afternoon|later today|late today|tonight|in two weeks|in a few days|by Friday|"
        "not until Monday|some other time|another day|no, tomorrow|soon"
    ),
    Meaning.WAITING: (
        "wren will do it|Wren will do it|will do|Will do.|I'll do it|we'll do it tomorrow|"
        "will do tomorrow|Wren to do|the notary will fix it|to be done"
    ),
    Meaning.OTHER: (
        "misspelt|misspelled|Misspelled.|it is misspelt|the name is misspelled|mis-spelt|typo|"
        "a typo|there is a typo|the wrong name|wrong name|wrong date|it's the wrong one|"
        "spelled wrong|wrongly spelt|spelling mistake|one letter wrong|a letter is missing|mistake"
    ),
    Meaning.UNSURE: "haven't looked|I didn't check|have not seen it|did not look yet|forgot",
    Meaning.NO: "wrong|Wrong!|it is not",
}
TALK = [(text, meaning) for meaning, texts in SAID.items() for text in texts.split("|")]


@pytest.mark.parametrize(("text", "meaning"), TALK, ids=[text for text, _ in TALK])
def test_read_meaning_of_what_people_say_of_an_empty_place(text: str, meaning: Meaning) -> None:
    """No such word may become a name; in quotation marks it is a text all the same."""
    assert read_meaning(text) is meaning
    assert read_meaning(f'"{text}"') is Meaning.TEXT


@pytest.mark.parametrize(
    "text",
    [
        "Will Forgot",
        "Anna Forgot",
        "Lena Missed",
        "Left Outback LLC",
        "Left Out Farms",
        "Left Out Farms LLC",
        "Leftout Creek",
        "Forgot It Farms",
        "Forgotten Creek Ranch",
        "Forgotten Valley",
        "12 Forgotten Road",
        "Tomorrow Farms LLC",
        "Tomorrow Ag LLC",
        "Next Week Aviation LLC",
        "Next Generation Spraying",
        "Soon Valley",
        "Lena Tomorrow",
        "Later Today Farms",
        "Tonight Hill Ranch",
        "Haven Tate",
        "Havent Creek",
        "Did Not Blink Aerial LLC",
        "Wrong Creek Road 5",
        "Wrong Name Cattle Co.",
        "The Wrong Company",
        "Mistake Creek",
        "Typo Lindqvist",
        "Miss Spelt",
        "Will Do",
        "Will Dolan",
        "Wren Willdo",
        "Omitted Acres LLC",
        "Sunday Marsh",
        "Monday Lake",
        "Wright Wrong",
        "Odile Ferrant",
    ],
)
def test_read_meaning_of_names_with_such_words_is_a_text(text: str) -> None:
    """All invented; capitals, and the endings of firms and places, make names of them."""
    assert read_meaning(text) is Meaning.TEXT


@pytest.mark.parametrize("ending", ["LLC", "Inc.", "Farms", "Creek", "Road 5", "Ranch"])
def test_read_meaning_of_any_such_words_before_an_ending_is_a_text(ending: str) -> None:
    """Whatever is talk by itself may begin a firm's or a place's name, written like one."""
    words = [text.strip(".!").replace(",", "").title() for text, _ in TALK if " - " not in text]
    named = [f"{one} {ending}" for one in words if is_named(f"{one} {ending}")]

    assert len(named) > 30
    assert [one for one in named if read_meaning(one) is not Meaning.TEXT] == []


def test_read_status_of_another_text_says_too_little() -> None:
    """Wrong does not mean empty: something stands there."""
    texts = ("wrong", "misspelt", "something else", "no", "left out", "tomorrow")

    assert [read_status(one) for one in texts] == [
        None,
        None,
        None,
        Status.EMPTY,
        Status.EMPTY,
        None,
    ]
    assert [is_open(one) for one in texts] == [False, False, False, False, False, True]
    assert [read_enclosed_word(one) for one in ("left out", "Left out.", "no")] == [
        "left-out",
        "left-out",
        "no",
    ]
