"""Damaged, huge, foreign and misleading picture files are refused in plain words, never worse."""

import random
import struct
import tracemalloc
import warnings
import zlib
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from compliance.base.problems import RefusedError
from compliance.scan.blank import BlankPage
from compliance.scan.load import MOST_PAGES, decode_pictures
from compliance.scan.model import Region
from compliance.scan.photo import look_at_pictures


def save(image: Image.Image, kind: str, **options: object) -> bytes:
    stream = BytesIO()
    image.save(stream, kind, **options)
    return stream.getvalue()


def picture(kind: str, **options: object) -> bytes:
    return save(Image.effect_noise((400, 320), 60).convert("RGB"), kind, **options)


def refusal(data: bytes, name: str = "page.jpg") -> RefusedError:
    with pytest.raises(RefusedError) as caught:
        list(decode_pictures(name, data))
    return caught.value


def png_header(width: int, height: int) -> bytes:
    """A PNG that claims a size (PNG specification, IHDR) and holds next to nothing."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = zlib.compress(bytes(1000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("data", "part"),
    [
        (b"", "empty"),
        (b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic", "HEIC"),
        (b"\x00\x00\x00\x18ftypmif1\x00\x00\x00\x00", "HEIC"),
        (b"RIFF\x10\x00\x00\x00WEBPVP8 ", "WebP"),
        (b"GIF89a\x01\x00\x01\x00", "GIF"),
        (b"%PDF-1.7\n", "PDF"),
        (b"BM" + bytes(60), "BMP"),
        (b"PK\x03\x04" + bytes(30), "ZIP"),
        (b"To whom it may concern", "not a picture"),
        (b"\xff\xd8\xff", "damaged"),
        (b"\x89PNG\r\n\x1a\n", "damaged"),
        (b"II*\x00\x08\x00\x00\x00", "damaged"),
        (b"II*\x00\xff\xff\xff\xff", "damaged"),
    ],
)
def test_decode_refuses_what_it_cannot_read(data: bytes, part: str) -> None:
    error = refusal(data)

    assert part in error.message
    assert error.message.startswith("page.jpg ")
    assert error.hint


def test_decode_of_heic_asks_for_jpeg() -> None:
    error = refusal(b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00", name="IMG_0001.HEIC")

    assert "JPEG" in error.hint


@pytest.mark.parametrize("size", [(30000, 30000), (2**31 - 1, 2**31 - 1), (200_001, 1000)])
def test_decode_refuses_a_bomb_before_decoding(size: tuple[int, int]) -> None:
    limit = Image.MAX_IMAGE_PIXELS
    data = png_header(*size)

    tracemalloc.start()
    error = refusal(data)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()

    assert f"{size[0]} by {size[1]}" in error.message
    assert peak < 5_000_000
    assert limit == Image.MAX_IMAGE_PIXELS


def test_decode_of_a_large_page_does_not_warn() -> None:
    # 96 megapixels, above the limit at which Pillow alone would warn.
    data = save(Image.new("1", (9600, 10000), 1), "TIFF", compression="group4")

    with warnings.catch_warnings():
        warnings.simplefilter("error")
        (found,) = decode_pictures("plan.tif", data)

    assert found.two_level


def test_decode_refuses_a_picture_too_small_to_read() -> None:
    error = refusal(save(Image.new("L", (200, 280)), "PNG"))

    assert "too small" in error.message


def test_decode_refuses_a_moving_picture() -> None:
    frames = [Image.new("RGB", (400, 400), shade) for shade in ("white", "black", "red")]

    error = refusal(save(frames[0], "PNG", save_all=True, append_images=frames[1:]))

    assert "moving" in error.message


def test_decode_refuses_too_many_pages() -> None:
    page = Image.new("1", (310, 310))

    error = refusal(save(page, "TIFF", save_all=True, append_images=[page] * MOST_PAGES))

    assert f"{MOST_PAGES + 1} pages" in error.message


def test_decode_refuses_pages_that_are_too_much_together() -> None:
    page = Image.new("1", (11000, 11000), 1)
    data = save(page, "TIFF", save_all=True, append_images=[page] * 8, compression="group4")

    assert "together" in refusal(data).message


def test_decode_refuses_a_tiff_that_runs_in_a_circle() -> None:
    data = bytearray(picture("TIFF"))
    start = struct.unpack("<I", data[4:8])[0]
    entries = struct.unpack("<H", data[start : start + 2])[0]
    # TIFF 6.0: after the entries comes the place of the next page; make it the first again.
    link = start + 2 + 12 * entries
    data[link : link + 4] = struct.pack("<I", start)

    def count() -> int:
        try:
            return len(list(decode_pictures("page.tif", bytes(data))))
        except RefusedError:
            return 0

    assert count() <= 1


def test_decode_looks_at_the_size_of_every_page_first() -> None:
    pages = [Image.new("L", (400, 400)), Image.new("L", (100, 100))]
    data = save(pages[0], "TIFF", save_all=True, append_images=pages[1:])

    with pytest.raises(RefusedError):
        decode_pictures("scan.tif", data)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF"])
def test_decode_of_a_file_cut_short_is_refused(kind: str) -> None:
    whole = picture(kind)

    messages = {refusal(whole[:length]).message for length in (40, len(whole) // 2)}

    assert messages == {"page.jpg is damaged or cut short and cannot be opened"}


@pytest.mark.parametrize(
    ("kind", "options"),
    [
        ("JPEG", {}),
        ("JPEG", {"exif": Image.Exif()}),
        ("PNG", {}),
        ("TIFF", {}),
        ("TIFF", {"compression": "tiff_lzw"}),
        ("TIFF", {"compression": "tiff_deflate"}),
    ],
)
def test_decode_of_spoiled_bytes_gives_a_picture_or_a_refusal(
    kind: str, options: dict[str, object]
) -> None:
    rng = random.Random(7)  # noqa: S311 - reproducible damage
    whole = picture(kind, **options)
    outcomes = set()
    for _ in range(60):
        data = bytearray(whole)
        # Most of the damage goes where the structure is.
        for _ in range(rng.randint(1, 12)):
            reach = 200 if rng.random() < 0.5 else len(data)
            data[rng.randrange(2, reach)] = rng.randrange(256)
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            try:
                outcomes |= {found.image.mode for found in decode_pictures("x", bytes(data))}
            except RefusedError as error:
                outcomes.add("refused" if error.hint else error.message)

    assert outcomes <= {"RGB", "refused"}


def test_look_goes_on_after_a_file_that_cannot_be_opened() -> None:
    grey = np.full((1584, 1224), 255, dtype=np.uint8)
    grey[200:220, 200:900] = 0
    blank = BlankPage(page=0, grey=grey, dpi=144, width=612, height=792)
    region = Region(
        id="a", label="A", kind="text", page=0, left=100, bottom=600, right=300, top=640
    )

    findings = look_at_pictures(
        [("one.heic", b"\x00\x00\x00\x18ftypheic"), ("two.png", picture("PNG")), ("three", b"")],
        [blank],
        [region],
        form_code="ABCDEF",
    )

    assert [(found.picture, found.page) for found in findings] == [
        ("one.heic", None),
        ("two.png", None),
        ("three", None),
    ]
    assert "HEIC" in findings[0].why
    assert "could not be lined up" in findings[1].why
    assert findings[2].why == "three is empty. Take or save the picture again."
