"""Read and mark blank forms somebody gave, each in a process of its own that may be stopped."""

from dataclasses import asdict
from typing import Any

from compliance.scan.model import CodedForm, Places, Region
from compliance.scan.sandbox import run_bounded

SECONDS = 60.0
"""Finding the blanks of one page takes a second or so; a form may have forty."""


def read_blanks(pdf: bytes) -> tuple[Region, ...]:
    """Find the places to be filled in on a blank form, as ``finder.find_blanks`` does.

    Raises:
        RefusedError: It is no PDF, locked, damaged, too large or too slow, or a page is a picture.
    """
    answer, _ = run_bounded("blanks", pdf, seconds=SECONDS)
    return tuple(Region(**region) for region in answer["regions"])


def print_codes(pdf: bytes, form_code: str, avoid: tuple[Region, ...]) -> CodedForm:
    """Add corner codes to a blank form, as ``printing.add_codes`` does.

    Raises:
        RefusedError: As :func:`read_blanks`; it is signed, or a page has no room for codes.
    """
    given = {"form_code": form_code, "avoid": [asdict(region) for region in avoid]}
    answer, coded = run_bounded("codes", pdf, given, seconds=SECONDS)
    return CodedForm(pdf=coded, places=tuple(_to_places(page) for page in answer["places"]))


def draw_outlines(pdf: bytes, regions: tuple[Region, ...]) -> tuple[bytes, ...]:
    """Draw the pages of a form with its places outlined, as ``finder.draw_found`` does.

    Raises:
        RefusedError: As :func:`read_blanks`.
    """
    given = {"regions": [asdict(region) for region in regions]}
    answer, joined = run_bounded("drawing", pdf, given, seconds=SECONDS)
    pictures, start = [], 0
    for size in answer["sizes"]:
        pictures.append(joined[start : start + size])
        start += size
    return tuple(pictures)


def _to_places(page: list[Any]) -> Places:
    return tuple(None if place is None else (*map(float, place),) for place in page)  # type: ignore[misc]
