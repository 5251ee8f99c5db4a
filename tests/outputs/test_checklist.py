"""The checklist as Markdown, read back by a CommonMark reader, and as a PDF."""

from dataclasses import replace
from datetime import date
from io import BytesIO

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from pypdf import PdfReader

from compliance.outputs.checklist import (
    Checklist,
    ChecklistBlank,
    ChecklistDocument,
    ChecklistStep,
    escape_markdown,
    render_checklist_markdown,
)
from compliance.outputs.checklist_pdf import render_checklist_pdf

CHECKLIST = Checklist(
    packet_id="SF-REG-TG46-2",
    title="Registration of the TG-46",
    holder="Sandbur Flats Aerial LLC",
    as_of=date(2027, 1, 11),
    caution="Check the rule itself before you rely on a date.",
    mail_by_last=date(2027, 4, 8),
    mail_by_safe=date(2027, 2, 26),
    address_lines=("Aircraft Registration Branch", "P.O. Box 25504"),
    steps=(
        ChecklistStep(
            order=1,
            text="Sign the affidavit",
            by_last=date(2027, 4, 6),
            by_safe=date(2027, 2, 24),
            place="bank in Burrell Crossing",
            done_on=date(2027, 1, 9),
        ),
        ChecklistStep(
            order=2,
            text="Mail the packet",
            by_last=date(2027, 4, 8),
            by_safe=date(2027, 2, 26),
            place="post office",
        ),
    ),
    documents=(
        ChecklistDocument(
            title="Application",
            form="AC Form 8050-1",
            original_or_copy="original",
            count=1,
            signer="Odile Ferrant, Member",
            notary="not needed",
            notes=("Same name on every paper.",),
            citation="14 CFR 47.31(a)(1)",
            confidence="read in the rule",
            blanks=(
                ChecklistBlank(label="Title", kind="title", who="Odile Ferrant"),
                ChecklistBlank(label="Serial", kind="text"),
            ),
        ),
    ),
    fee_lines=("$5.00 by check",),
    warnings=("The serial number differed last time.",),
    citations=("14 CFR 47.31(a)",),
)

MARKDOWN = """\
# Registration of the TG-46

For Sandbur Flats Aerial LLC.

Packet SF-REG-TG46-2, as of Mon 11 Jan 2027.

- Safe day to mail: **Fri 26 Feb 2027**
- Last day to mail: **Thu 8 Apr 2027**

Mail to:

Aircraft Registration Branch\x20\x20
P.O. Box 25504

## Look out

- The serial number differed last time.

## Steps, in order

- [x] 1\\. Sign the affidavit
  - done Sat 9 Jan 2027, bank in Burrell Crossing
- [ ] 2\\. Mail the packet
  - safe by Fri 26 Feb 2027, last day Thu 8 Apr 2027, post office

## Documents

- [ ] Application (AC Form 8050-1)
  - How many: original
  - Signed by: Odile Ferrant, Member
  - Notary: not needed
  - Same name on every paper.
  - Basis: 14 CFR 47.31(a)(1), read in the rule
  - [ ] Title, by Odile Ferrant
  - [ ] Serial (text)

## Fee

- $5.00 by check

## Rules behind this list

- 14 CFR 47.31(a)

---

Check the rule itself before you rely on a date.
"""

# GitHub's additions that change text: tables and struck-out words.
READER = MarkdownIt("commonmark").enable(["table", "strikethrough"])


def _read_markdown(source: str) -> list[str]:
    """The text of each paragraph and heading as a reader sees it; any markup left is named."""
    blocks = []
    for token in READER.parse(source):
        if token.type in {"fence", "code_block", "html_block"}:
            blocks.append(f"<{token.type}>")
        if token.type == "inline":
            parts = (
                part.content if part.type in {"text", "text_special"} else f"<{part.type}>"
                for part in token.children or ()
            )
            blocks.append("".join(parts))
    return blocks


def test_checklist_markdown_whole() -> None:
    assert render_checklist_markdown(CHECKLIST) == MARKDOWN


def test_checklist_markdown_bare() -> None:
    bare = Checklist(
        packet_id="P-1", title="Permit", holder="Wren", as_of=date(2027, 1, 11), caution=""
    )

    assert render_checklist_markdown(bare) == (
        "# Permit\n\nFor Wren.\n\nPacket P-1, as of Mon 11 Jan 2027.\n\n"
        "- To mail: **nothing to send now**\n"
    )


def test_checklist_markdown_of_a_filing_without_a_safe_day() -> None:
    filed = replace(CHECKLIST, verb="file", mail_by_safe=None)

    assert render_checklist_markdown(filed) == MARKDOWN.replace(
        "Safe day to mail: **Fri 26 Feb 2027**",
        "Safe day to file: **none: no room left for a return**",
    ).replace("Last day to mail", "Last day to file").replace("Mail to:", "File with:")


def test_checklist_pdf_of_a_filing_without_a_safe_day() -> None:
    data = render_checklist_pdf(replace(CHECKLIST, verb="file", mail_by_safe=None))
    text = " ".join(PdfReader(BytesIO(data), strict=True).pages[0].extract_text().split())

    assert (
        "Safe day to file none: no room left for a return Last day to file Thu 8 Apr 2027 "
        "File with Aircraft Registration Branch"
    ) in text


@pytest.mark.parametrize(
    "name",
    [
        "Smith *& Sons_ <AG>",
        "1. April & 2) May",
        "- dash",
        "+ plus",
        "===",
        "# head #",
        "[x] [link](http://x)",
        "a\\b `code` ~~gone~~ &amp; &#65;",
        "| a | b |",
        "<b>bold</b> <http://x.example>",
        "Łódź ☐ → “quoted”",
        "***",
        "> said",
        "2027.",
    ],
)
def test_escape_markdown_reads_back_as_written(name: str) -> None:
    escaped = escape_markdown(name)

    assert _read_markdown(escaped) == [name]
    assert _read_markdown(f"- {escaped}") == [name]
    assert _read_markdown(f"- [ ] {escaped}") == [f"[ ] {name}"]


# NUL is left out: CommonMark 2.3 has readers replace it. Lone surrogates are no text.
@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), min_size=1))
def test_escape_markdown_any_text_reads_back(text: str) -> None:
    plain = " ".join(text.split())
    expected = [plain] if plain else []

    assert _read_markdown(escape_markdown(text)) == expected


@given(st.text("ab1.)-+=*_`~#<>&[]()!|\\: \n", min_size=1))
def test_escape_markdown_any_markup_reads_back_in_a_list(text: str) -> None:
    plain = " ".join(text.split())
    expected = [plain] if plain else []

    assert _read_markdown(f"- {escape_markdown(text)}") == expected


def test_checklist_markdown_data_cannot_add_structure() -> None:
    name = "x\n\n- [x] done\n# head"
    hostile = replace(
        CHECKLIST,
        title=name,
        holder=name,
        address_lines=(name,),
        warnings=(name,),
        steps=(replace(CHECKLIST.steps[0], text=name, place=name),),
    )

    before = [token.type for token in READER.parse(render_checklist_markdown(CHECKLIST))]
    smaller = replace(
        CHECKLIST, steps=CHECKLIST.steps[:1], address_lines=CHECKLIST.address_lines[:1]
    )
    expected = [token.type for token in READER.parse(render_checklist_markdown(smaller))]
    after = [token.type for token in READER.parse(render_checklist_markdown(hostile))]
    assert after == expected
    assert after != before


@pytest.mark.parametrize(
    "lines",
    [
        ("a | b", ":-- | --", "c | d"),
        ("Office", "==="),
        ("Office", "---"),
        ("```", "2. Main Street", "```"),
    ],
)
def test_checklist_markdown_address_lines_stay_lines(lines: tuple[str, ...]) -> None:
    source = render_checklist_markdown(replace(CHECKLIST, address_lines=lines))

    assert "<hardbreak>".join(lines) in _read_markdown(source)


def test_checklist_pdf_has_every_line_of_the_markdown() -> None:
    data = render_checklist_pdf(CHECKLIST)
    reader = PdfReader(BytesIO(data), strict=True)
    text = "".join("".join(page.extract_text().split()) for page in reader.pages)

    shown = [line.removeprefix("[ ] ").removeprefix("[x] ") for line in _read_markdown(MARKDOWN)]
    words = [
        line.replace("<strong_open>", "").replace("<strong_close>", "").replace(":", "")
        for line in shown
        if "<hardbreak>" not in line and line != "Mail to:"
    ]
    squashed = text.replace(":", "")
    missing = [
        line
        for line in words
        if "".join(line.rstrip(".").split()) not in squashed and not line.startswith("Packet")
    ]
    assert missing == []
    assert all("".join(line.split()) in text for line in CHECKLIST.address_lines)


def test_checklist_pdf_boxes_show_what_is_done() -> None:
    document = pypdfium2.PdfDocument(render_checklist_pdf(CHECKLIST))
    lines = [
        line.strip()
        for page in document
        for line in page.get_textpage().get_text_bounded().splitlines()
    ]

    boxed = [line for line in lines if line[:1] in {"☐", "☑"}]
    assert boxed == [
        "☑ 1. Sign the affidavit",
        "☐ 2. Mail the packet",
        "☐ Application (AC Form 8050-1)",
        "☐ Title, by Odile Ferrant",
        "☐ Serial (text)",
    ]


def test_checklist_pdf_letters_are_10_points_or_larger_and_black() -> None:
    page = pypdfium2.PdfDocument(render_checklist_pdf(CHECKLIST))[0]
    text_page = page.get_textpage()
    count = text_page.count_chars()
    sizes = {
        round(pdfium.FPDFText_GetFontSize(text_page, index), 1)
        for index in range(count)
        if not text_page.get_text_range(index, 1).isspace()
    }

    colors = page.render(scale=2).to_pil().convert("RGB").getcolors(100_000)
    assert min(sizes) == 10
    assert colors is not None
    assert {red == green == blue for _, (red, green, blue) in colors} == {True}


def test_checklist_pdf_keeps_a_document_on_one_page() -> None:
    blanks = tuple(ChecklistBlank(label=f"Blank {number}", kind="text") for number in range(12))
    documents = tuple(
        ChecklistDocument(title=f"Paper {letter}", notes=(f"end {letter}",), blanks=blanks)
        for letter in "ABCDEFGH"
    )
    data = render_checklist_pdf(replace(CHECKLIST, documents=documents))
    pages = [page.extract_text() for page in PdfReader(BytesIO(data), strict=True).pages]

    assert len(pages) > 2
    for page in pages:
        assert page.count("Blank 11 (text)") == page.count("How many:")
        assert page.count("Blank 0 (text)") == page.count("How many:")
    assert sum(page.count("How many:") for page in pages) == 8


def test_checklist_pdf_document_longer_than_a_page_loses_nothing() -> None:
    blanks = tuple(ChecklistBlank(label=f"Blank {number}!", kind="text") for number in range(150))
    document = ChecklistDocument(title="Paper", blanks=blanks)
    data = render_checklist_pdf(replace(CHECKLIST, documents=(document,)))
    text = "".join(page.extract_text() for page in PdfReader(BytesIO(data), strict=True).pages)

    assert [blank.label for blank in blanks if blank.label not in text] == []
