"""The attached copies as pages of a binder: read back, proved unchanged, written anew."""

import hashlib
import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from compliance.base.problems import RefusedError
from compliance.facts.attachments import Attachment, AttachmentKind
from compliance.outputs.binder_model import Copy, CopyPage
from compliance.scan.anew import AnewPages, make_page_pictures, write_pages_anew

MOST_PAGES = 3_000
_MOST_AT_ONCE = 4
GONE = "the copy kept of it is gone; attach the file again"
CHANGED = "the copy kept of it has been changed; attach the file again"


def make_copies(
    attachments: tuple[Attachment, ...], folder: Path
) -> tuple[tuple[Copy, ...], tuple[bytes, ...]]:
    """Give each attached copy with its pages, and the PDFs written anew that they count into.

    A copy that cannot be shown has the reason and no pages. A file attached to several papers is
    written anew once.

    Raises:
        RefusedError: Together they have more than :data:`MOST_PAGES` pages.
    """
    total = sum(one.pages for one in attachments if not one.kept_out)
    if total > MOST_PAGES:
        raise RefusedError(
            f"the copies have {total:,} pages together; a binder shows at most {MOST_PAGES:,}",
            hint="make one for each job with --job, or detach copies nobody asks for",
        )
    files = list(dict.fromkeys(one.kept_name for one in attachments if _is_pdf(one)))
    by_name = {one.kept_name: one for one in attachments}
    with ThreadPoolExecutor(min(_MOST_AT_ONCE, os.cpu_count() or 1)) as pool:
        working = pool.map(lambda name: _write_anew(by_name[name], folder), files)
        # One after another and here: reading a picture sets what the whole process warns about.
        shown = [_show_pictures(one, folder) for one in attachments]
        anew = list(working)
    found = dict(zip(files, anew, strict=True))
    sound = [name for name in files if found[name].pdf]
    places = {name: at for at, name in enumerate(sound)}
    copies = tuple(
        _show_pdf(one, places.get(one.kept_name, 0), found[one.kept_name])
        if _is_pdf(one)
        else picture
        for one, picture in zip(attachments, shown, strict=True)
    )
    return copies, tuple(found[name].pdf for name in sound)


def _is_pdf(one: Attachment) -> bool:
    return one.kind is AttachmentKind.PDF and not one.kept_out


def _read(one: Attachment, folder: Path) -> bytes:
    """Read the copy kept and prove that it is still the same.

    Raises:
        RefusedError: It is gone or changed.
    """
    try:
        data = (folder / one.kept_name).read_bytes()
    except OSError:
        raise RefusedError(GONE) from None
    if hashlib.sha256(data).hexdigest() != one.sha256:
        raise RefusedError(CHANGED)
    return data


def _write_anew(one: Attachment, folder: Path) -> AnewPages:
    """Write a PDF's pages anew, or say why they cannot be shown."""
    try:
        return write_pages_anew(_read(one, folder))
    except RefusedError as error:
        return AnewPages(sizes=(), pdf=b"", count=0, kept_out=_as_reason(error))


def _as_reason(error: RefusedError) -> str:
    """Give a refusal as the end of a sentence."""
    text = error.message.removesuffix(".")
    return text[:1].lower() + text[1:]


def _show_pdf(one: Attachment, file: int, anew: AnewPages) -> Copy:
    pages = tuple(
        CopyPage(width=size.width, height=size.height, file=file, page=page)
        for page, size in enumerate(anew.sizes)
    )
    return Copy(number=one.number, title=one.title, pages=pages, kept_out=anew.kept_out)


def _show_pictures(one: Attachment, folder: Path) -> Copy:
    if one.kept_out or _is_pdf(one):
        return Copy(number=one.number, title=one.title, kept_out=one.kept_out)
    try:
        pages = tuple(
            CopyPage(width=size.width, height=size.height, picture=picture)
            for size, picture in make_page_pictures(one.file_name, _read(one, folder))
        )
    except RefusedError as error:
        return Copy(number=one.number, title=one.title, kept_out=_as_reason(error))
    return Copy(number=one.number, title=one.title, pages=pages)
