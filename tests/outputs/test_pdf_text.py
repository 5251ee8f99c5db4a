"""What holds for every PDF: letters, fonts, paper size, bytes, hostile names."""

import hashlib
import pickle
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from importlib.resources import files
from io import BytesIO
from typing import cast

import pypdfium2
import pytest
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from compliance.outputs.checklist import (
    Checklist,
    ChecklistBlank,
    ChecklistDocument,
    ChecklistStep,
)
from compliance.outputs.checklist_pdf import DONE_BOX, OPEN_BOX, render_checklist_pdf
from compliance.outputs.coversheet import CoverSheet, EnclosureLine, FeeLine, render_coversheet
from compliance.outputs.pdf_kit import check_glyphs

# ISO/IEC 8859-1 and 8859-2 (central European) are taken from Python's codecs.
LATIN = "".join(
    char for codec in ("latin-1", "iso8859-2") for char in bytes(range(0xA1, 0x100)).decode(codec)
)


def _sheet(name: str) -> CoverSheet:
    """A cover sheet with *name* wherever a person's words go."""
    return CoverSheet(
        packet_id="SF-1",
        as_of=date(2027, 1, 11),
        from_lines=(name,),
        to_lines=(name,),
        courier_lines=(name,),
        re_lines=(name,),
        enclosures=(EnclosureLine(title=name, originals=1, copies=0, note=name),),
        fee=FeeLine(amount_text="$5", payee=name, method="check", citation=name),
        contact_lines=(name,),
        citations=(name,),
        counts_on=name,
        caution="Check the rule.",
    )


def _checklist(name: str) -> Checklist:
    """A checklist with *name* wherever a person's words go."""
    document = ChecklistDocument(
        title=name,
        form=name,
        signer=name,
        notary=name,
        notes=(name,),
        blanks=(ChecklistBlank(label=name, kind="text", who=name),),
    )
    return Checklist(
        packet_id="SF-1",
        title=name,
        holder=name,
        as_of=date(2027, 1, 11),
        caution="Check the rule.",
        address_lines=(name,),
        steps=(ChecklistStep(order=1, text=name, place=name),),
        documents=(document,),
        fee_lines=(name,),
        warnings=(name,),
        citations=(name,),
    )


# How often the name stands on the pages, counted by hand from the two functions above: on the
# envelope's sheet 9 times; on the copy to keep 2 fewer (the sender and the person to ask, who is
# the keeper) and 2 more (the citation and what counts).
SHEET_TIMES = 9 + (9 - 2 + 2)
LIST_TIMES = 15


def _text_pypdf(data: bytes) -> str:
    pages = PdfReader(BytesIO(data), strict=True).pages
    return "".join("".join(page.extract_text().split()) for page in pages)


def _text_pdfium(data: bytes) -> str:
    pages = pypdfium2.PdfDocument(data)
    return "".join("".join(page.get_textpage().get_text_bounded().split()) for page in pages)


READERS = pytest.mark.parametrize("read", [_text_pypdf, _text_pdfium])


@READERS
@pytest.mark.parametrize(
    "name",
    [
        "Smith <AG & Sons",
        "<b>Ag</b> &amp; <br/> <para>",
        "Łódź Őrség Ångström Żółć",
        'O\'Neil "Ag" 100% 5½ gal → tank → €5',
        "Ελλάδα Київ",
    ],
)
def test_pdf_names_survive_as_written(read: Callable[[bytes], str], name: str) -> None:
    squashed = "".join(name.split())

    assert read(render_coversheet(_sheet(name))).count(squashed) == SHEET_TIMES
    assert read(render_checklist_pdf(_checklist(name))).count(squashed) == LIST_TIMES


@READERS
def test_pdf_200_letters_without_a_space_lose_none(read: Callable[[bytes], str]) -> None:
    name = "Ж" * 100 + "Ω" * 100

    sheet = read(render_coversheet(_sheet(name)))
    checklist = read(render_checklist_pdf(_checklist(name)))
    assert (sheet.count("Ж"), sheet.count("Ω")) == (SHEET_TIMES * 100, SHEET_TIMES * 100)
    assert (checklist.count("Ж"), checklist.count("Ω")) == (LIST_TIMES * 100, LIST_TIMES * 100)


def test_pdf_long_name_stays_inside_the_margins() -> None:
    name = "W" * 200
    for data in (render_coversheet(_sheet(name)), render_checklist_pdf(_checklist(name))):
        for page in pypdfium2.PdfDocument(data):
            text_page = page.get_textpage()
            boxes = [text_page.get_charbox(index) for index in range(text_page.count_chars())]
            inside = [left >= 54 - 1 and right <= 612 - 54 + 1 for left, _, right, _ in boxes]

            assert inside
            assert all(inside)


def test_pdf_line_breaks_are_kept() -> None:
    data = render_coversheet(_sheet("First line\nSecond line"))
    lines = PdfReader(BytesIO(data), strict=True).pages[0].extract_text().splitlines()

    assert "Second line" in [line.strip() for line in lines]


def test_pdf_control_characters_leave_a_visible_mark() -> None:
    text = _text_pdfium(render_coversheet(_sheet("A\x00B\x1bC\ud800D")))

    assert "A\ufffdB\ufffdC\ufffdD" in text


def test_pdf_opens_strictly_on_us_letter_with_embedded_fonts() -> None:
    for data in (render_coversheet(_sheet("Ag")), render_checklist_pdf(_checklist("Ag"))):
        reader = PdfReader(BytesIO(data), strict=True)
        for page in reader.pages:
            resources = cast("DictionaryObject", page["/Resources"])
            shown = cast("DictionaryObject", resources["/Font"])
            fonts = [cast("DictionaryObject", font.get_object()) for font in shown.values()]
            names = {str(font["/BaseFont"]).split("+")[-1] for font in fonts}

            assert (page.mediabox.width, page.mediabox.height) == (612, 792)
            assert names == {"DejaVuSansCondensed", "DejaVuSansCondensed-Bold"}
            assert all(
                "/FontFile2" in cast("DictionaryObject", font["/FontDescriptor"]) for font in fonts
            )


def test_pdf_equal_input_gives_equal_bytes() -> None:
    assert render_coversheet(_sheet("Łódź")) == render_coversheet(_sheet("Łódź"))
    assert render_checklist_pdf(_checklist("Łódź")) == render_checklist_pdf(_checklist("Łódź"))


def test_pdf_other_input_gives_other_bytes() -> None:
    sheet = _sheet("Łódź")

    assert render_coversheet(replace(sheet, as_of=date(2027, 1, 12))) != render_coversheet(sheet)


@pytest.mark.slow
@pytest.mark.parametrize("seed", ["1", "2"])
def test_pdf_equal_bytes_in_another_process(seed: str) -> None:
    code = (
        "import hashlib, pickle, sys\n"
        "from compliance.outputs.coversheet import render_coversheet\n"
        "from compliance.outputs.checklist_pdf import render_checklist_pdf\n"
        "sheet, checklist = pickle.load(sys.stdin.buffer)\n"
        "data = render_checklist_pdf(checklist) + render_coversheet(sheet)\n"
        "print(hashlib.sha256(data).hexdigest())\n"
    )
    sheet, checklist = _sheet("Łódź"), _checklist("Łódź")
    result = subprocess.run(
        [sys.executable, "-c", code],
        input=pickle.dumps((sheet, checklist)),
        capture_output=True,
        check=True,
        env={"PYTHONHASHSEED": seed, "TZ": "Asia/Tokyo"},
    )

    data = render_checklist_pdf(checklist) + render_coversheet(sheet)
    assert result.stdout.decode().strip() == hashlib.sha256(data).hexdigest()


def test_check_glyphs_finds_what_the_font_lacks() -> None:
    assert check_glyphs("Sandbur 田 Flats 🚁 田\x07") == ("田", "🚁", "\x07")


def test_check_glyphs_passes_latin_marks_boxes_and_line_breaks() -> None:
    assert check_glyphs(LATIN + OPEN_BOX + DONE_BOX + "→\u2013\u2014“”\u2019•…½€\n\t") == ()


def test_check_glyphs_counts_letter_and_accent_as_one() -> None:
    assert check_glyphs("Lo\u0301dz\u0301") == ()


@READERS
def test_pdf_letter_and_accent_typed_apart_print_as_one(read: Callable[[bytes], str]) -> None:
    assert "Łódź" in read(render_coversheet(_sheet("Ło\u0301dz\u0301")))


def test_fonts_ship_with_their_license() -> None:
    folder = files("compliance.outputs") / "fonts"

    assert sorted(entry.name for entry in folder.iterdir()) == [
        "DejaVuSansCondensed-Bold.ttf",
        "DejaVuSansCondensed.ttf",
        "LICENSE.txt",
    ]
    assert "Bitstream Vera Fonts Copyright" in (folder / "LICENSE.txt").read_text("utf-8")
