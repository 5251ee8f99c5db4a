"""Look at photos and scans of filled forms: which blanks carry ink, which are missing."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from compliance.base.problems import RefusedError
from compliance.scan.align import LEAST_DPI, Alignment, align_by_codes
from compliance.scan.blank import INK_DPI, BlankPage, ReadyBlank, prepare_blank
from compliance.scan.codes import FoundCode, read_codes
from compliance.scan.decide import judge
from compliance.scan.ink import Ink, InkSheet, find_ink, measure_region
from compliance.scan.light import find_quantile
from compliance.scan.load import Picture, decode_pictures
from compliance.scan.mark import render_crop, render_marked
from compliance.scan.model import PageFinding, Region, RegionFinding, Seen
from compliance.scan.overlay import align_by_print
from compliance.scan.warp import make_nodes, straighten
from compliance.scan.ways import drop_spare, list_decisive

_NEAR = 36.0
_WHITE = 255
_NOT_ALIKE = 0.45
_AGAIN = (
    "Take it again from straight above with all four corners of the page in view, flat, in "
    "daylight, or scan it."
)


def look_at_pictures(
    pictures: Sequence[tuple[str, bytes]],
    blank_pages: Sequence[BlankPage],
    regions: Sequence[Region],
    *,
    form_code: str,
) -> tuple[PageFinding, ...]:
    """Look at the pictures of one filled form and tell for every blank what is seen.

    Shape: ``pictures`` are (name, file content); ``form_code`` is the one in the corner codes.
    Each page seen in each picture gives a finding, in the order of the pictures; so does every
    picture, or page of a file, that cannot be opened or lined up: its ``page`` is None, ``how`` is
    ``codes`` when corner codes were read, ``print`` when not, and ``why`` says what to do. One bad
    picture does not keep the others from being looked at. Every page that was lined up has a
    finding for each of its regions.
    """
    ready: dict[int, ReadyBlank] = {}
    for blank in blank_pages:
        ready[blank.page] = prepare_blank(blank)
    return tuple(
        finding
        for name, data in pictures
        for finding in _look_at_file(name, data, ready, regions, form_code)
    )


def read_form_codes(pictures: Sequence[tuple[str, bytes]]) -> dict[str, frozenset[str]]:
    """Read which forms the corner codes in pictures name: name of the picture -> form codes.

    Shape: a file that cannot be opened, or the rest of one, is left out.
    """
    found: dict[str, frozenset[str]] = {}
    for name, data in pictures:
        with suppress(RefusedError):
            for picture in decode_pictures(name, data):
                codes = read_codes(np.asarray(picture.image.convert("L")))
                found[picture.name] = frozenset(code.form_code for code in codes)
    return found


def _look_at_file(
    name: str,
    data: bytes,
    ready: dict[int, ReadyBlank],
    regions: Sequence[Region],
    form_code: str,
) -> list[PageFinding]:
    findings: list[PageFinding] = []
    try:
        for picture in decode_pictures(name, data):
            findings += _look_at_picture(picture, ready, regions, form_code)
    except RefusedError as error:
        why = f"{error.message}. {error.hint}".strip()
        findings.append(PageFinding(picture=name, page=None, how="print", why=why))
    return findings


def _look_at_picture(
    picture: Picture, ready: dict[int, ReadyBlank], regions: Sequence[Region], form_code: str
) -> list[PageFinding]:
    grey = picture.image.convert("L")
    codes = read_codes(np.asarray(grey))
    ours = [code for code in codes if code.form_code == form_code and code.page in ready]
    if codes and not ours:
        return [_refuse(picture, "codes", _say_other(codes, form_code))]
    if not ours:
        return [_look_without_codes(picture, grey, ready, regions)]
    findings = []
    for page in sorted({code.page for code in ours}):
        mine = tuple(code for code in ours if code.page == page)
        lined_up, how = align_by_codes(grey, mine, ready[page]), "codes"
        if lined_up is None or not lined_up.is_good:
            # Codes half covered or bent mislead; the print may still do.
            lined_up, how = align_by_print(grey, ready[page]), "print"
        findings.append(_look_at_page(picture, lined_up, ready[page], regions, how))
    return findings


def _look_without_codes(
    picture: Picture,
    grey: Image.Image,
    ready: dict[int, ReadyBlank],
    regions: Sequence[Region],
) -> PageFinding:
    tried = [(align_by_print(grey, blank), blank) for blank in ready.values()]
    good = [(lined_up, blank) for lined_up, blank in tried if lined_up is not None]
    if not good:
        why = (
            f"No corner codes were found and the page could not be lined up by its print. {_AGAIN}"
        )
        return _refuse(picture, "print", why)
    lined_up, blank = max(good, key=lambda pair: pair[0].alike)
    return _look_at_page(picture, lined_up, blank, regions, "print")


def _look_at_page(
    picture: Picture,
    lined_up: Alignment | None,
    blank: ReadyBlank,
    regions: Sequence[Region],
    how: str,
) -> PageFinding:
    if lined_up is None or not lined_up.is_good:
        why = f"The page could not be lined up with the blank form. {_AGAIN}"
        return _refuse(picture, how, why)
    if lined_up.dpi < LEAST_DPI:
        why = (
            f"The page is too small in the picture ({lined_up.dpi:.0f} dots an inch). Take it "
            f"again closer, so that the page fills the picture, or scan it at 200 dots an inch."
        )
        return _refuse(picture, how, why)
    mine = tuple(region for region in regions if region.page == blank.page)
    page, sheet, measured = measure_page(picture.image, lined_up, blank, mine)
    findings = []
    for region, ink in zip(mine, measured, strict=True):
        verdict = judge(
            ink,
            region.kind,
            two_level=picture.two_level,
            covered=_is_covered(lined_up, region, blank),
        )
        shown = verdict.seen is not Seen.PRESENT
        findings.append(
            RegionFinding(
                region=region,
                seen=verdict.seen,
                why=verdict.why,
                score=verdict.score,
                is_hidden=verdict.is_hidden,
                crop=render_crop(page, region, blank.height) if shown else b"",
            )
        )
    marks = [(finding.region, finding.seen) for finding in drop_spare(findings)]
    return PageFinding(
        picture=picture.name,
        page=blank.page,
        how=how,
        why=_say_how(how),
        findings=_keep_crops(findings),
        marked=render_marked(sheet.dark, marks, blank.height),
    )


def measure_page(
    image: Image.Image, lined_up: Alignment, blank: ReadyBlank, regions: tuple[Region, ...]
) -> tuple[Image.Image, InkSheet, tuple[Ink, ...]]:
    """Straighten a page that is lined up and measure the ink in its regions, one by one."""
    page, inside = _straighten(image, lined_up, blank)
    sheet = find_ink(page, inside, blank, regions)
    measured = tuple(
        measure_region(sheet, index, region, blank) for index, region in enumerate(regions)
    )
    return page, sheet, measured


def _keep_crops(findings: Sequence[RegionFinding]) -> tuple[RegionFinding, ...]:
    """Keep the crops of the places that somebody has to look at."""
    wanted = {finding.region.id for finding in list_decisive(findings)}
    return tuple(
        finding if finding.region.id in wanted else replace(finding, crop=b"")
        for finding in findings
    )


def _straighten(
    image: Image.Image, lined_up: Alignment, blank: ReadyBlank
) -> tuple[Image.Image, NDArray[np.bool_]]:
    factor = max(1, int(lined_up.dpi / (0.95 * INK_DPI)))
    size = (blank.width, blank.height)
    whole = (image.width // factor * factor, image.height // factor * factor)
    small = image.reduce(factor, (0, 0, *whole)) if factor > 1 else image
    page = straighten(small, lined_up.page_map, size, dpi=INK_DPI, scale=1 / factor)
    dots = lined_up.page_map.find_in_picture(make_nodes(*size))
    if ((dots >= 0) & (dots <= np.array(image.size))).all():
        return page, np.ones((page.height, page.width), dtype=np.bool_)
    cover = Image.new("L", small.size, 255)
    seen = straighten(cover, lined_up.page_map, size, dpi=INK_DPI, scale=1 / factor, fill="black")
    return page, np.asarray(seen) == _WHITE


def _is_covered(lined_up: Alignment, region: Region, blank: ReadyBlank) -> bool:
    """Tell whether there is print near the region and most of it was not found again."""
    middles = lined_up.matches.middles
    low = np.array([region.left, blank.height - region.top]) - _NEAR
    high = np.array([region.right, blank.height - region.bottom]) + _NEAR
    near = ((middles > low) & (middles < high)).all(axis=1)
    return bool(near.any()) and find_quantile(lined_up.matches.alike[near], 0.5) < _NOT_ALIKE


def _refuse(picture: Picture, how: str, why: str) -> PageFinding:
    return PageFinding(picture=picture.name, page=None, how=how, why=why)


def _say_how(how: str) -> str:
    if how == "codes":
        return "Lined up by its corner codes and its print."
    return (
        "Lined up by its print alone, without corner codes: make sure that it is this form and "
        "this edition."
    )


def _say_other(codes: Sequence[FoundCode], form_code: str) -> str:
    pages = sorted({code.page + 1 for code in codes if code.form_code == form_code})
    if pages:
        return f"The corner codes name page {pages[0]}, which this form does not have."
    names = " and ".join(sorted({code.form_code for code in codes}))
    return (
        f"This is a page of another form, or of another edition of it (its corner codes say "
        f"{names}, not {form_code}). Check it against the form it was printed from."
    )
