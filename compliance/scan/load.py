"""From the bytes of a picture file to upright colour pictures, or a plain refusal."""

import struct
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from typing import Final

import numpy as np
from PIL import ExifTags, Image, ImageFile, ImageOps
from PIL.JpegImagePlugin import JpegImageFile
from PIL.PngImagePlugin import PngImageFile
from PIL.TiffImagePlugin import TiffImageFile

from compliance.base.problems import RefusedError

MOST_PIXELS: Final = 200_000_000
"""Refuse above this many pixels before anything is decoded."""
MOST_BYTES: Final = 480_000_000
"""Refuse what would need more than this many bytes of memory decoded."""
MOST_PAGES: Final = 60
MOST_PIXELS_OF_ALL: Final = 1_000_000_000
"""Refuse a file whose pages together hold more; sixty Letter pages at 300 dots hold half of it."""
LEAST_SIDE: Final = 300
"""A page this small has fewer than 30 dots an inch."""
WORK_SIDE: Final = 4400
"""Longest side kept, in pixels: 400 dots an inch on a Letter page."""

_EVERY: Final = 4
_TURNED: Final = range(2, 9)
"""What Exif 2.3 says of a camera held any other way than upright, mirrored ones included."""

_KINDS: Final = (
    (b"\xff\xd8\xff", JpegImageFile),
    (b"\x89PNG\r\n\x1a\n", PngImageFile),
    (b"II*\0", TiffImageFile),
    (b"MM\0*", TiffImageFile),
    (b"II+\0", TiffImageFile),
    (b"MM\0+", TiffImageFile),
)
_OTHERS: Final = (
    (b"%PDF", "a PDF, not a picture"),
    (b"GIF8", "a GIF picture"),
    (b"BM", "a BMP picture"),
    (b"PK\x03\x04", "a ZIP file or an office document"),
)
_HEIC: Final = (b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"mif1", b"msf1")
_TAKE_JPEG: Final = "Save or send it as JPEG or PNG and try again."


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Picture:
    """One picture, upright, in colour.

    ``two_level`` tells that the file holds only black and white dots, no greys.
    """

    name: str
    image: Image.Image
    two_level: bool


def decode_pictures(name: str, data: bytes) -> Iterator[Picture]:
    """Open a JPEG, PNG or TIFF file; a TIFF may hold several pages, each gives one picture.

    Shape: pages are decoded one at a time as they are asked for; all are checked beforehand. The
    content decides about the kind of file, never its name. Pictures larger than
    :data:`WORK_SIDE` are made smaller.

    Raises:
        RefusedError: not a picture we read, damaged, animated, too large or too small; a damaged
            page raises when its turn comes.
    """
    image = _open(name, data)
    pages = _count_pages(name, image)
    return _decode_pages(name, image, pages)


def _open(name: str, data: bytes) -> ImageFile.ImageFile:
    if not data:
        raise RefusedError(f"{name} is empty", hint="Take or save the picture again.")
    kind = next((kind for magic, kind in _KINDS if data.startswith(magic)), None)
    if kind is None:
        raise _refuse_kind(name, data)
    # The file class is called directly: Image.open compares with a limit that is global.
    with _DamageRefused(name):
        return kind(BytesIO(data))


def _refuse_kind(name: str, data: bytes) -> RefusedError:
    brand = data[8:12]
    if data[4:8] == b"ftyp" and brand in _HEIC:
        hint = (
            "Set the phone's camera to JPEG (most compatible), or share the picture by e-mail, "
            "which makes a JPEG of it."
        )
        return RefusedError(f"{name} is a HEIC picture, which cannot be read here", hint=hint)
    if data[:4] == b"RIFF" and brand == b"WEBP":
        return RefusedError(f"{name} is a WebP picture", hint=_TAKE_JPEG)
    what = next((what for magic, what in _OTHERS if data.startswith(magic)), None)
    if what is None:
        return RefusedError(f"{name} is not a picture that can be read here", hint=_TAKE_JPEG)
    return RefusedError(f"{name} is {what}", hint=_TAKE_JPEG)


def _count_pages(name: str, image: ImageFile.ImageFile) -> int:
    with _DamageRefused(name):
        pages = int(getattr(image, "n_frames", 1))
    if pages > 1 and not isinstance(image, TiffImageFile):
        raise RefusedError(f"{name} is a moving picture", hint="Send one still picture a page.")
    if pages > MOST_PAGES:
        raise RefusedError(
            f"{name} has {pages} pages, more than {MOST_PAGES}", hint="Send fewer pages at a time."
        )
    total = 0
    for page in range(pages):
        with _DamageRefused(name):
            image.seek(page)
        _check_size(name, image)
        total += image.width * image.height
    if total > MOST_PIXELS_OF_ALL:
        raise RefusedError(
            f"the pages of {name} together hold {total} dots, too many to look at",
            hint="Scan at 200 to 300 dots an inch, or send fewer pages at a time.",
        )
    return pages


def _check_size(name: str, image: ImageFile.ImageFile) -> None:
    width, height = image.size
    pixels = width * height
    depth = 1 if image.mode in {"1", "L", "P"} else 4
    # A JPEG is decoded straight to a smaller size, whatever its full size.
    held = pixels * depth if not isinstance(image, JpegImageFile) else pixels
    if pixels > MOST_PIXELS or held > MOST_BYTES:
        raise RefusedError(
            f"{name} is {width} by {height} dots, too large to look at",
            hint="Scan at 200 to 300 dots an inch, or take the picture with the normal setting.",
        )
    if min(width, height) < LEAST_SIDE:
        raise RefusedError(
            f"{name} is only {width} by {height} dots, too small to read",
            hint="Take it again closer, or scan at 200 dots an inch.",
        )


def _decode_pages(name: str, image: ImageFile.ImageFile, pages: int) -> Iterator[Picture]:
    for page in range(pages):
        called = name if pages == 1 else f"{name} page {page + 1}"
        with _DamageRefused(called):
            image.seek(page)
            if isinstance(image, JpegImageFile):
                image.draft("RGB", _drafted(image.size))
            image.load()
            two_level = image.mode == "1"
            upright = _turn_upright(_shrink(_to_colour(image)), image)
        yield Picture(name=called, image=upright, two_level=two_level or _holds_two_levels(upright))


def _drafted(size: tuple[int, int]) -> tuple[int, int]:
    # Draft never goes below the size asked for, so ask for the size below the next halving.
    share = min(1.0, WORK_SIDE / max(size))
    return max(1, int(size[0] * share / 2) + 1), max(1, int(size[1] * share / 2) + 1)


def _turn_upright(image: Image.Image, source: Image.Image) -> Image.Image:
    """Turn a picture by how the camera was held; a damaged note of it is left aside."""
    try:
        way = source.getexif().get(ExifTags.Base.Orientation, 1)
    except (ValueError, KeyError, TypeError, SyntaxError, OSError, struct.error):
        way = 1
    if not isinstance(way, int) or way not in _TURNED:
        return image
    note = Image.Exif()
    note[ExifTags.Base.Orientation] = way
    turned = image.copy()
    turned.info["exif"] = note.tobytes()
    ImageOps.exif_transpose(turned, in_place=True)
    return turned


def _to_colour(image: Image.Image) -> Image.Image:
    """Give red, green and blue of eight bits, on white where the picture is see-through."""
    if image.mode == "RGB" and isinstance(image, JpegImageFile):
        # A JPEG is one page, so nothing turns it over: a copy would only take time.
        return image
    if image.mode in {"RGB", "1", "L"}:
        # A see-through colour of these modes is kept as it is painted.
        return image.convert("RGB")
    if image.mode.startswith(("I", "F")):
        return _flatten_depth(image)
    if image.mode in {"CMYK", "YCbCr"}:
        return image.convert("RGB")
    clear = image.convert("RGBA")
    paper = Image.new("RGBA", clear.size, "white")
    return Image.alpha_composite(paper, clear).convert("RGB")


def _flatten_depth(image: Image.Image) -> Image.Image:
    values = np.nan_to_num(np.asarray(image, dtype=np.float32), posinf=0.0, neginf=0.0)
    top = float(values.max(initial=0.0))
    # Sixteen-bit files use the whole range; pictures of fractions run from 0 to 1.
    full = next((limit for limit in (1.0, 255.0, 65535.0) if top <= limit), max(top, 1.0))
    grey = np.clip(values * (255.0 / full), 0, 255).astype(np.uint8)
    return Image.fromarray(grey).convert("RGB")


def _shrink(image: Image.Image) -> Image.Image:
    factor = -(-max(image.size) // WORK_SIDE)
    return image.reduce(factor) if factor > 1 else image


def _holds_two_levels(image: Image.Image) -> bool:
    few = image.resize((image.width // _EVERY, image.height // _EVERY), Image.Resampling.NEAREST)
    counts = np.array(few.getchannel("G").histogram())
    # Black and white dots saved as a grey picture: hardly anything between the ends.
    return bool(counts[24:232].sum() < 0.002 * counts.sum())


class _DamageRefused:
    """Turn whatever a decoder raises on a damaged file into a refusal, and keep it quiet."""

    def __init__(self, name: str) -> None:
        self._name = name
        self._quiet = warnings.catch_warnings()

    def __enter__(self) -> None:
        self._quiet.__enter__()
        warnings.simplefilter("ignore")

    def __exit__(self, kind: type[BaseException] | None, error: object, trace: object) -> None:
        self._quiet.__exit__(None, None, None)
        if isinstance(error, Exception) and not isinstance(error, RefusedError):
            raise RefusedError(
                f"{self._name} is damaged or cut short and cannot be opened", hint=_TAKE_JPEG
            ) from error
