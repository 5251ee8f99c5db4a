"""Finds the places to be filled in on any blank PDF form that has a text layer.

Nothing is known about single forms: words, lines, boxes and form fields of each page are read, and
what is there to be written on is judged by the print around it. The result is a proposal that a
person looks over (:func:`draw_found`), because a form may say in a sentence what no line shows.
"""

import re
from collections.abc import Sequence
from dataclasses import replace
from io import BytesIO

import pypdfium2 as pdfium
from PIL import Image, ImageDraw, ImageFont

from compliance.scan.finder_cells import add_frames, compute_cells
from compliance.scan.finder_hints import drop_hints
from compliance.scan.finder_labels import clean_label, make_phrases
from compliance.scan.finder_marks import find_fields, find_marks, find_squares, find_stamps
from compliance.scan.finder_print import parse_pages
from compliance.scan.finder_rules import find_rule_slots
from compliance.scan.finder_shapes import PagePrint, Rect, Slot, scale_page, scale_rect
from compliance.scan.finder_tables import find_cell_slots
from compliance.scan.finder_zones import find_notary_zones, find_office, find_slot_kind
from compliance.scan.model import Region

HIGH, HIGHEST = 26.0, 40.0
"""Ink stays this near over its line, in points; that of a signature goes higher."""
COMMON_SIZE, SMALL_PRINT, LARGE_PRINT = 9.5, 7.0, 11.4
"""Letter sizes: the common one, and the bounds outside of which a page is scaled to look at."""
DOTS = 110
"""Dots an inch of the pictures by :func:`draw_found`."""
_LINKS = re.compile(r"(and|or|&)$|of which\b")
_NAMED_BY_KIND = {"signature", "date", "title", "printed-name"}


def find_blanks(pdf: bytes) -> tuple[Region, ...]:
    """Find the places to be filled in on a blank form, in reading order.

    Shape: ids are unique and readable, such as ``signature-1`` or ``notary-date``. A check box
    and what lies in a space for the office alone have ``must`` False.
    Units: rectangles in points of the page as shown; for a line from the line up to the next
    print, 40 points at most.

    Raises:
        RefusedError: It is no PDF, is locked, or has a page that is a picture of a paper.
    """
    regions: list[Region] = []
    for number, page in enumerate(parse_pages(pdf)):
        regions += _find_on_page(page, number)
    return _name_regions(regions)


def _find_on_page(page: PagePrint, number: int) -> list[Region]:
    """Find the places of one page; print of unusual size is brought to a common one first."""
    common = SMALL_PRINT <= page.body_size <= LARGE_PRINT
    factor = 1.0 if common else COMMON_SIZE / page.body_size
    page = scale_page(page, factor)
    squares = find_squares(page)
    cells = add_frames(compute_cells(page, squares), page)
    page = drop_hints(page, cells)
    phrases = make_phrases(page)
    fields = list(find_fields(page, phrases))
    marks = _without(find_marks(page, squares, cells, phrases), fields)
    lines = _without(find_rule_slots(page, phrases, cells, marks), [*fields, *marks])
    taken = [*fields, *marks, *lines]
    stamps = _without(find_stamps(page, cells, phrases, taken), fields)
    closed = find_cell_slots(page, cells, phrases, [*taken, *stamps])
    slots = [*taken, *stamps, *_without(closed, [*taken, *stamps])]
    zones = find_notary_zones(page, phrases, cells, slots)
    office = find_office(page, phrases, cells)
    slots = sorted(slots, key=lambda slot: (-round(slot.bottom / 6), slot.left))
    regions = []
    kind = ""
    for slot in slots:
        # "We, ____ and ____", "Hours ____, of which ____": the second is what the first is.
        linked = _LINKS.match(slot.label.lower()) and kind
        kind = kind if linked else find_slot_kind(slot, zones, slots)
        is_office = any(place.holds(slot) for place in office)
        regions.append(_make_region(scale_rect(slot, 1 / factor), kind, number, office=is_office))
    return regions


def _make_region(slot: Slot, kind: str, number: int, *, office: bool) -> Region:
    """Make the region of a place, without its id; a line gets its height here."""
    top = slot.top
    if slot.how == "rule" and slot.height <= HIGHEST:
        top = min(top, slot.bottom + (HIGHEST if kind.endswith("signature") else HIGH))
    return Region(
        id="",
        label=clean_label(slot.label or slot.after),
        kind=kind,
        page=number,
        left=round(slot.left, 2),
        bottom=round(slot.bottom, 2),
        right=round(slot.right, 2),
        top=round(top, 2),
        must=kind != "check" and not office,
    )


def _without(slots: Sequence[Slot], taken: Sequence[Rect]) -> list[Slot]:
    """Leave out the places that are found already in a surer way."""
    return [slot for slot in slots if not any(_same_place(slot, other) for other in taken)]


def _same_place(one: Rect, other: Rect) -> bool:
    wide = one.share_across(other)
    high = min(one.top, other.top) - max(one.bottom - 2, other.bottom - 2)
    if wide <= 0 or high <= 0:
        return False
    small = min(one.width * (one.height + 2), other.width * (other.height + 2))
    return wide * high > 0.3 * small


def _name_regions(regions: list[Region]) -> tuple[Region, ...]:
    """Give every region an id made of its kind or label, and a label if it has none."""
    stems = [_make_stem(region) for region in regions]
    count: dict[str, int] = {}
    named = []
    for region, stem in zip(regions, stems, strict=True):
        count[stem] = count.get(stem, 0) + 1
        plain = stems.count(stem) == 1 and region.kind not in _NAMED_BY_KIND
        label = (
            region.label
            or f"{region.kind.capitalize().replace('-', ' ')} on page {region.page + 1}"
        )
        named.append(replace(region, id=stem if plain else f"{stem}-{count[stem]}", label=label))
    return tuple(named)


def _make_stem(region: Region) -> str:
    """Give the part of an id that says what it is; it never ends in a number."""
    if region.kind in _NAMED_BY_KIND or region.kind.startswith("notary-"):
        return region.kind
    words = re.findall(r"[a-z]+", region.label.lower().replace("'", ""))
    stem = "-".join(words[:4])
    return f"check-{stem}".strip("-") if region.kind == "check" else stem or region.kind


def draw_found(pdf: bytes, regions: tuple[Region, ...]) -> tuple[bytes, ...]:
    """Draw every page with the found places outlined and numbered in the order given, as PNG.

    The outlines are black and white, so that they can be told on a print without colour.

    Raises:
        RefusedError: It is no PDF that can be opened.
    """
    parse_pages(pdf)
    document = pdfium.PdfDocument(pdf)
    try:
        document.init_forms()
        pictures = []
        for number in range(len(document)):
            picture = document[number].render(scale=DOTS / 72).to_pil().convert("RGB")
            mine = [
                (place, region)
                for place, region in enumerate(regions, start=1)
                if region.page == number
            ]
            _mark(picture, mine, document[number].get_height())
            buffer = BytesIO()
            picture.save(buffer, "PNG")
            pictures.append(buffer.getvalue())
    finally:
        document.close()
    return tuple(pictures)


def _mark(picture: Image.Image, regions: list[tuple[int, Region]], height: float) -> None:
    """Outline regions on a picture; each gets a black tag with its number at its right end."""
    draw = ImageDraw.Draw(picture)
    scale = DOTS / 72
    font = ImageFont.load_default(size=13)
    for number, region in regions:
        box = (
            region.left * scale,
            (height - region.top) * scale,
            region.right * scale,
            (height - region.bottom) * scale,
        )
        if min(box[2] - box[0], box[3] - box[1]) <= 1:
            continue
        draw.rectangle(box, outline="black", width=3)
        draw.rectangle((box[0] + 1, box[1] + 1, box[2] - 1, box[3] - 1), outline="white", width=1)
        text = str(number)
        wide = draw.textlength(text, font=font) + 6
        middle = (box[1] + box[3]) / 2
        tag = (
            (box[0] - wide - 1, middle - 8, box[0] - 1, middle + 8)  # a check box stays in sight
            if box[2] - box[0] < 2 * wide
            else (box[2] - wide, box[1] - 8, box[2], box[1] + 8)
        )
        draw.rectangle(tag, fill="black", outline="white")
        draw.text((tag[0] + 3, tag[1]), text, fill="white", font=font)
