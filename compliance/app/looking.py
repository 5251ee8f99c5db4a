"""Pictures laid over the blank they were printed from: the edition chosen, the pages looked at."""

import shlex
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO

from PIL import Image
from sqlmodel import Session

from compliance.app.checking import Checking
from compliance.app.choosing import Wanted, choose_forms
from compliance.app.known_forms import KnownForm, read_kept
from compliance.base.problems import RefusedError
from compliance.scan.blank import BlankPage
from compliance.scan.model import PageFinding
from compliance.scan.pdf_model import PageSize
from compliance.scan.photo import look_at_pictures, read_form_codes
from compliance.scan.render import MIN_DPI, open_pdf, render_page

SCAN_DPI = 150
_MOST_DOTS = 16_000_000
_PICTURES = {
    b"\xff\xd8\xff": "JPEG",
    b"\x89PNG": "PNG",
    b"II*\0": "TIFF",
    b"MM\0*": "TIFF",
}


def look_best(
    session: Session,
    checking: Checking,
    wanted: Wanted,
    pictures: tuple[tuple[str, bytes], ...],
) -> tuple[KnownForm, tuple[PageFinding, ...]]:
    """Look at pictures with the known edition of a form that most of them line up with.

    Raises:
        RefusedError: The corner codes of all of them name something else.
        NotFoundError: The blank kept of an edition is gone.
    """
    codes = read_form_codes(pictures)
    templates = checking.context.templates
    known = choose_forms(session, wanted, codes, templates)
    best = _look(known[0], pictures)
    for form in known[1:]:
        if _count_lined_up(best) == len(pictures):
            break
        best = max(best, _look(form, pictures), key=_count_lined_up)
    return best


def _count_lined_up(looked: tuple[KnownForm, tuple[PageFinding, ...]]) -> int:
    return sum(page.page is not None for page in looked[1])


def _look(
    form: KnownForm, pictures: tuple[tuple[str, bytes], ...]
) -> tuple[KnownForm, tuple[PageFinding, ...]]:
    blank = read_kept(form)
    sizes = open_pdf(blank).pages
    pages = tuple(
        BlankPage(
            page=number,
            grey=render_page(blank, number, SCAN_DPI),
            dpi=SCAN_DPI,
            width=size.width,
            height=size.height,
            codes=form.codes[number] if number < len(form.codes) else (),
        )
        for number, size in enumerate(sizes)
    )
    regions = tuple(place.region for place in form.places if place.blank)
    return form, look_at_pictures(pictures, pages, regions, form_code=form.code)


@contextmanager
def named(path: str) -> Iterator[None]:
    """Begin every refusal about a file with its name."""
    try:
        yield
    except RefusedError as error:
        raise RefusedError(f"{path}: {error.message}", hint=error.hint) from None


def refuse_picture(path: str, data: bytes, packet: str) -> None:
    """Refuse a picture that was given where a PDF belongs, and say where a picture belongs.

    Raises:
        RefusedError: It is a picture of a sort that is read.
    """
    what = next((name for first, name in _PICTURES.items() if data.startswith(first)), "")
    if what:
        hint = f"give it as a picture: mailby check {packet} --scan {shlex.quote(path)}"
        raise RefusedError(f"{path}: This is a {what} picture, not a PDF.", hint=hint)


@contextmanager
def without_fields(path: str, why: str, packet: str) -> Iterator[None]:
    """Say of a PDF without fields that cannot be used why, and how it is looked at as a picture."""
    try:
        yield
    except RefusedError as error:
        message = error.message.removeprefix(f"{path}: ")
        then = f"mailby check {packet} --scan {shlex.quote(path)}"
        hint = f"{error.hint}; then {then}" if error.hint else f"look at it as a picture: {then}"
        raise RefusedError(f"{path}: {why} But {message}", hint=hint) from None


def open_all(
    files: tuple[tuple[str, bytes], ...],
) -> tuple[tuple[tuple[str, bytes], ...], list[str]]:
    """Give the pictures of all files, and why a file gave none; the others are still looked at."""
    pictures: list[tuple[str, bytes]] = []
    refused: list[str] = []
    for path, data in files:
        try:
            pictures += _to_pictures(path, data)
        except RefusedError as error:
            refused.append(f"{error.message} {error.hint}".strip())
    return tuple(pictures), refused


def _to_pictures(path: str, data: bytes) -> list[tuple[str, bytes]]:
    """Give a file's pictures: a PDF's pages drawn, any other file as it is."""
    if not data.startswith(b"%PDF"):
        return [(path, data)]
    found = []
    with named(path):
        sizes = open_pdf(data).pages
    for number, size in enumerate(sizes):
        stream = BytesIO()
        with named(path):
            image = Image.fromarray(render_page(data, number, _choose_dpi(size), colour=True))
        image.save(stream, "PNG")
        found.append((f"{path}, page {number + 1}", stream.getvalue()))
    return found


def _choose_dpi(size: PageSize) -> int:
    """Give how finely to draw a page: a photo saved as a page of a yard has dots enough."""
    dots = size.width * size.height * (SCAN_DPI / 72) ** 2
    return max(MIN_DPI, int(SCAN_DPI * min(1.0, (_MOST_DOTS / dots) ** 0.5)))
