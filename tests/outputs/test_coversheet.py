"""The cover sheet read back by two PDF readers and a bar code reader that are not ours."""

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from datetime import date
from io import BytesIO

import pypdfium2
import pytest
import zxingcpp
from pypdf import PdfReader

from compliance.outputs.coversheet import CoverSheet, EnclosureLine, FeeLine, render_coversheet

# The office's address: FAA leaflet on recording ownership, undated copy. Fee and payee: 14 CFR
# 47.17 as reproduced on FAA pages. Everything else is invented.
SHEET = CoverSheet(
    packet_id="SF-REG-TG46-2",
    as_of=date(2027, 1, 11),
    from_lines=("Sandbur Flats Aerial LLC", "2210 Plumthicket Road", "Burrell Crossing, Nebraska"),
    to_lines=("Aircraft Registration Branch", "P.O. Box 25504", "Oklahoma City, OK 73125-0504"),
    courier_lines=("Registry counter", "ask for the street address first"),
    re_lines=("Aircraft registration, N-number route", "Tallgrass Rotorworks TG-46, serial 000217"),
    enclosures=(
        EnclosureLine(title="Application, AC Form 8050-1", originals=1, copies=2, note="two pages"),
        EnclosureLine(title="Bill of sale, AC Form 8050-2", originals=3, copies=0),
        EnclosureLine(title="Affidavit", originals=1, copies=5, note="notarized"),
    ),
    fee=FeeLine(
        amount_text="$5.00",
        payee="Federal Aviation Administration",
        method="check or money order",
        citation="14 CFR 47.17",
    ),
    contact_lines=("Odile Ferrant, Member", "(308) 555-0142"),
    counts_on="The packet must be received by the office.",
    last_mail_by=date(2027, 4, 8),
    safe_mail_by=date(2027, 2, 26),
    citations=("14 CFR 47.31(a)", "14 CFR 47.13"),
    caution="Check the rule itself before you rely on a date.",
)
KEEPER_ONLY = {
    SHEET.counts_on,
    *SHEET.citations,
    "Thu 8 Apr 2027",
    "Fri 26 Feb 2027",
}
# The keeper knows who it is from and whom to call.
ENVELOPE_ONLY = {*SHEET.from_lines, *SHEET.contact_lines}


def _strings(value: object) -> list[str]:
    """Every text anywhere in a value."""
    if isinstance(value, str):
        return [value] if value else []
    if isinstance(value, tuple):
        return [text for one in value for text in _strings(one)]
    if is_dataclass(value) and not isinstance(value, type):
        return [text for field in fields(value) for text in _strings(getattr(value, field.name))]
    return []


def _pages_pypdf(data: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(data), strict=True).pages]


def _pages_pdfium(data: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(data)
    return [page.get_textpage().get_text_bounded() for page in document]


def _squash(text: str) -> str:
    """Leave out white space: where a line breaks is the page's business."""
    return "".join(text.split())


READERS = pytest.mark.parametrize("read", [_pages_pypdf, _pages_pdfium])


@READERS
def test_coversheet_keeps_every_field(read: Callable[[bytes], list[str]]) -> None:
    envelope, keep = (_squash(text) for text in read(render_coversheet(SHEET)))

    # `mail` is part of the labels and so stands on both pages.
    every = [_squash(text) for text in _strings(SHEET)]
    hidden = {_squash(text) for text in KEEPER_ONLY}
    ours = {_squash(text) for text in ENVELOPE_ONLY}
    assert [text for text in every if text not in keep and text not in ours] == []
    assert [text for text in every if text not in envelope and text not in hidden] == []


@READERS
def test_coversheet_envelope_page_hides_our_mailing_days(
    read: Callable[[bytes], list[str]],
) -> None:
    envelope, keep = (_squash(text) for text in read(render_coversheet(SHEET)))

    hidden = {_squash(text) for text in KEEPER_ONLY}
    assert {text for text in hidden if text in envelope} == set()
    assert {text for text in hidden if text in keep} == hidden


@READERS
def test_coversheet_copy_to_keep_leaves_out_who_it_is_from(
    read: Callable[[bytes], list[str]],
) -> None:
    envelope, keep = read(render_coversheet(SHEET))

    ours = {_squash(text) for text in ENVELOPE_ONLY}
    assert {text for text in ours if text in _squash(envelope)} == ours
    assert {text for text in ours if text in _squash(keep)} == set()
    assert [label for label in ("From", "Contact") if label not in envelope] == []
    assert [label for label in ("From", "Contact") if label in keep] == []


@READERS
def test_coversheet_of_a_filing_says_file(read: Callable[[bytes], list[str]]) -> None:
    mailed = read(render_coversheet(SHEET))[1]
    filed = read(render_coversheet(replace(SHEET, verb="file", safe_mail_by=None)))[1]
    mailed, filed = (" ".join(text.split()) for text in (mailed, filed))

    assert "Safe day to mail Fri 26 Feb 2027 Last day to mail Thu 8 Apr 2027" in mailed
    assert (
        "Safe day to file none: no room left for a return Last day to file Thu 8 Apr 2027" in filed
    )


@READERS
def test_coversheet_counts_each_enclosure_and_all_of_them(
    read: Callable[[bytes], list[str]],
) -> None:
    for page in read(render_coversheet(SHEET)):
        lines = [" ".join(line.split()) for line in page.splitlines()]
        text = " ".join(lines)

        assert "1. Application, AC Form 8050-1 1 2 two pages" in text
        assert "2. Bill of sale, AC Form 8050-2 3 0" in text
        assert "3. Affidavit 1 5 notarized" in text
        assert "In all 5 7" in text


@READERS
def test_coversheet_has_room_for_what_happens(read: Callable[[bytes], list[str]]) -> None:
    envelope, keep = (" ".join(text.split()) for text in read(render_coversheet(SHEET)))

    assert "Date mailed" in envelope
    asked = (
        "Date mailed",
        "Carrier, tracking no.",
        "Who took it",
        "Date received",
        "Date returned",
        "Why it came back",
    )
    assert [label for label in asked if label not in keep] == []


def test_coversheet_pages_are_numbered_within_each_part() -> None:
    envelope, keep = _pages_pypdf(render_coversheet(SHEET))

    assert "For the envelope, page 1 of 1" in envelope
    assert "Keep this copy, page 1 of 1" in keep
    assert "Packet SF-REG-TG46-2 · as of Mon 11 Jan 2027" in envelope
    assert SHEET.caution in envelope


def test_coversheet_without_fee_or_days_says_so() -> None:
    bare = replace(SHEET, fee=None, last_mail_by=None, safe_mail_by=None, courier_lines=())

    envelope, keep = _pages_pypdf(render_coversheet(bare))

    assert "$________ (write the amount in, or strike this line)" in envelope
    assert "By courier to" not in envelope
    assert "nothing to send now" in keep


@pytest.mark.parametrize("packet_id", ["SF-REG-TG46-2", "Łódź/46 #2 &<>", "P" * 120])
def test_coversheet_qr_says_the_packet_id(packet_id: str) -> None:
    document = pypdfium2.PdfDocument(render_coversheet(replace(SHEET, packet_id=packet_id)))

    for page in document:
        image = page.render(scale=4).to_pil()
        assert [code.text for code in zxingcpp.read_barcodes(image)] == [packet_id]


def test_coversheet_qr_stands_free_on_all_sides() -> None:
    """ISO/IEC 18004 asks for a quiet zone of four modules; from memory."""
    page = pypdfium2.PdfDocument(render_coversheet(SHEET))[0]
    image = page.render(scale=8).to_pil().convert("L")
    (code,) = zxingcpp.read_barcodes(image)
    corners = code.position
    left, top = corners.top_left.x, corners.top_left.y
    right, bottom = corners.bottom_right.x, corners.bottom_right.y
    # Version 1 is 21 modules wide, each version adds 4; 13 signs at level M make version 1 or 2.
    zone = int(3.8 * (right - left) / 25)

    around = [
        image.crop((left - zone, top - zone, right + zone, top - 2)),
        image.crop((left - zone, bottom + 2, right + zone, bottom + zone)),
        image.crop((left - zone, top - zone, left - 2, bottom + zone)),
        image.crop((right + 2, top - zone, right + zone, bottom + zone)),
    ]
    assert [part.getextrema() for part in around] == [(255, 255)] * 4


@READERS
def test_coversheet_long_address_runs_on_and_loses_nothing(
    read: Callable[[bytes], list[str]],
) -> None:
    address = tuple(f"Line {number} of the office's address" for number in range(1, 61))
    data = render_coversheet(replace(SHEET, to_lines=address))

    pages = read(data)
    envelope = [text for text in pages if "For the envelope" in text]
    keep = [text for text in pages if "Keep this copy" in text]
    assert len(envelope) == 2
    assert "For the envelope, page 2 of 2" in envelope[1]
    for side in (envelope, keep):
        whole = _squash("".join(side))
        assert [line for line in address if _squash(line) not in whole] == []


@READERS
def test_coversheet_many_long_enclosures_run_on_and_lose_nothing(
    read: Callable[[bytes], list[str]],
) -> None:
    lines = tuple(
        EnclosureLine(title=f"T{number}" + "Ж" * 200, originals=1, copies=0, note="Ω" * 200)
        for number in range(30)
    )
    whole = "".join(read(render_coversheet(replace(SHEET, enclosures=lines))))

    assert whole.count("Ж") == 2 * 30 * 200
    assert whole.count("Ω") == 2 * 30 * 200


@READERS
def test_coversheet_note_longer_than_a_page_loses_nothing(
    read: Callable[[bytes], list[str]],
) -> None:
    line = EnclosureLine(title="Affidavit", originals=1, copies=0, note="Ω word " * 900)
    whole = "".join(read(render_coversheet(replace(SHEET, enclosures=(line,)))))

    assert whole.count("Ω") == 2 * 900


def test_coversheet_empty_packet_id_is_refused() -> None:
    with pytest.raises(ValueError, match="QR"):
        render_coversheet(replace(SHEET, packet_id=""))


def test_coversheet_endless_caution_is_refused() -> None:
    with pytest.raises(ValueError, match="too long for the foot"):
        render_coversheet(replace(SHEET, caution="Check the rule. " * 200))
