"""Pages of somebody's PDF or picture made ready to stand in a PDF of ours."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from io import BytesIO

from PIL import Image
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, DictionaryObject, NameObject, StreamObject

from compliance.base.problems import RefusedError
from compliance.scan.anew_names import PAGE_FORM, PlacedPage
from compliance.scan.load import decode_pictures
from compliance.scan.pdf_model import PageSize
from compliance.scan.sandbox import run_bounded

MOST_PAGES = 200
# 200 dots an inch on a Letter page; enough to read small print on a phone's picture of a card.
_LONGEST_SIDE = 2200
_QUALITY = 85
_DOTS_OF_SMALL = 100.0
_POINTS = 72.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AnewPages:
    """The pages of a PDF written anew; ``kept_out`` says in words why there are none to show."""

    sizes: tuple[PageSize, ...]
    pdf: bytes
    count: int
    kept_out: str = ""


def write_pages_anew(data: bytes) -> AnewPages:
    """Write the pages of a PDF anew as plain drawings, in a process that may be stopped.

    Raises:
        RefusedError: It is no PDF, damaged, too large, has too many pages, or hits a limit.
    """
    answer, pdf = run_bounded("anew", data, {"most": MOST_PAGES})
    kept_out = str(answer["kept_out"])
    sizes = tuple(PageSize(**size) for size in answer["pages"]) if pdf else ()
    return AnewPages(sizes=sizes, pdf=pdf, count=len(answer["pages"]), kept_out=kept_out)


def make_page_pictures(name: str, data: bytes) -> Iterator[tuple[PageSize, bytes]]:
    """Give each picture of a file upright as a JPEG, with the size at which it may be shown.

    Units: PDF points; a picture is never shown with fewer than 100 dots an inch. What a camera
    writes beside the picture (place, time, owner) is left out.

    Raises:
        RefusedError: Not a picture that is read, damaged, too large or too small.
    """
    for picture in decode_pictures(name, data):
        image = picture.image
        share = min(1.0, _LONGEST_SIDE / max(image.size))
        if share < 1.0:
            size = (max(1, round(image.width * share)), max(1, round(image.height * share)))
            image = image.resize(size, Image.Resampling.BICUBIC, reducing_gap=1.5)
        stream = BytesIO()
        clean = Image.new("RGB", image.size)
        clean.paste(image)
        clean.save(stream, "JPEG", quality=_QUALITY)
        factor = _POINTS / _DOTS_OF_SMALL
        yield (
            PageSize(width=image.width * factor, height=image.height * factor),
            stream.getvalue(),
        )


def place_pages(
    base: bytes, files: Sequence[bytes], placed: Sequence[PlacedPage], made_on: date
) -> bytes:
    """Draw pages written anew onto the sheets of a PDF of ours, made on a day.

    *files* come from :func:`write_pages_anew` and nowhere else: they are opened here, outside the
    child process. Equal input gives equal bytes.

    Raises:
        RefusedError: A file is none of those.
    """
    writer = PdfWriter(clone_from=PdfReader(BytesIO(base)))
    readers = [PdfReader(BytesIO(data)) for data in files]
    sheets = list(writer.pages)
    for one in placed:
        sheet = sheets[one.sheet]
        drawing = _find_drawing(readers[one.file], one.page).clone(writer)
        resources = sheet["/Resources"].get_object()
        if not isinstance(resources, DictionaryObject):
            raise RefusedError("A sheet of ours has lost its resources.", hint="Make it again.")
        forms = DictionaryObject({NameObject(PAGE_FORM): drawing.indirect_reference})
        resources[NameObject("/XObject")] = forms
        content = StreamObject()
        move = f"{one.scale:.5f} 0 0 {one.scale:.5f} {one.left:.3f} {one.bottom:.3f}"
        content.set_data(f"\nq {move} cm {PAGE_FORM} Do Q\n".encode())
        before = sheet.raw_get("/Contents")
        # The library has no public way to add an object.
        added = writer._add_object(content)  # noqa: SLF001
        sheet[NameObject("/Contents")] = ArrayObject([before, added])
    day = f"D:{made_on:%Y%m%d}"
    writer.add_metadata({"/CreationDate": day, "/ModDate": day})
    target = BytesIO()
    writer.write(target)
    return target.getvalue()


def _find_drawing(reader: PdfReader, page: int) -> StreamObject:
    found: object = reader.pages[page] if page < len(reader.pages) else None
    for key in ("/Resources", "/XObject", PAGE_FORM):
        inside = found.get(key) if isinstance(found, DictionaryObject) else None
        found = inside.get_object() if inside is not None else None
    if not isinstance(found, StreamObject):
        raise RefusedError("A page that was to be shown is gone.", hint="Attach the file again.")
    return found
