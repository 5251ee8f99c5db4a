"""Pictures of every ordinary kind come out upright, in eight-bit colour."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from compliance.scan.load import WORK_SIDE, Picture, decode_pictures

SIZE = (400, 320)


def save(image: Image.Image, kind: str, **options: object) -> bytes:
    stream = BytesIO()
    image.save(stream, kind, **options)
    return stream.getvalue()


def one(data: bytes, name: str = "page.jpg") -> Picture:
    (picture,) = decode_pictures(name, data)
    return picture


def dot(picture: Picture, x: int, y: int) -> tuple[int, ...]:
    return tuple(int(value) for value in np.asarray(picture.image)[y, x])


def corner_picture() -> Image.Image:
    """White with the upper left quarter dark."""
    image = Image.new("RGB", SIZE, "white")
    image.paste((40, 60, 90), (0, 0, SIZE[0] // 2, SIZE[1] // 2))
    return image


@pytest.mark.parametrize("way", range(1, 9))
def test_decode_turns_the_picture_as_the_camera_was_held(way: int) -> None:
    # EXIF 2.3, tag 0x0112: how the stored rows and columns lie; the inverse is applied here.
    stored = {
        1: None,
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }[way]
    image = corner_picture()
    exif = Image.Exif()
    exif[0x0112] = way
    data = save(image.transpose(stored) if stored is not None else image, "JPEG", exif=exif)

    upright = one(data)

    assert upright.image.size == SIZE
    assert dot(upright, 100, 80)[2] < 120
    assert dot(upright, 300, 240)[2] > 240


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF"])
def test_decode_lets_the_content_decide_not_the_name(kind: str) -> None:
    picture = one(save(corner_picture(), kind), name="holiday.xyz")

    assert picture.name == "holiday.xyz"
    assert (picture.image.mode, picture.image.size) == ("RGB", SIZE)


def test_decode_takes_ink_colors_for_paper_colors() -> None:
    picture = one(save(corner_picture().convert("CMYK"), "JPEG", quality=95))

    dark, light = dot(picture, 100, 80), dot(picture, 300, 240)
    assert np.abs(np.array(dark) - (40, 60, 90)).max() < 12
    assert min(light) > 245


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_decode_keeps_the_shades_of_sixteen_bits(kind: str) -> None:
    grey = np.linspace(0, 65535, SIZE[0]).astype(np.uint16)[None].repeat(SIZE[1], axis=0)

    image = np.asarray(one(save(Image.fromarray(grey), kind)).image)

    assert np.abs(image[10, :, 0].astype(int) - grey[10] // 257).max() <= 1


def test_decode_lays_a_see_through_picture_on_white() -> None:
    image = Image.new("RGBA", SIZE, (0, 0, 0, 0))
    image.paste((10, 20, 30, 255), (0, 0, 100, 100))

    picture = one(save(image, "PNG"))

    assert dot(picture, 300, 300) == (255, 255, 255)
    assert dot(picture, 50, 50) == (10, 20, 30)


def test_decode_reads_a_palette_with_a_see_through_color() -> None:
    image = corner_picture().quantize(4)
    paper = image.getpixel((300, 300))

    picture = one(save(image, "PNG", transparency=paper))

    assert dot(picture, 300, 300) == (255, 255, 255)


def test_decode_gives_every_page_of_a_tiff() -> None:
    pages = [Image.new("L", SIZE, shade) for shade in (10, 120, 240)]
    data = save(pages[0], "TIFF", save_all=True, append_images=pages[1:])

    found = list(decode_pictures("scan.tif", data))

    assert [picture.name for picture in found] == [f"scan.tif page {n}" for n in (1, 2, 3)]
    assert [dot(picture, 5, 5)[0] for picture in found] == [10, 120, 240]


def test_decode_knows_a_black_and_white_scan() -> None:
    spots = Image.effect_noise(SIZE, 90)

    assert one(save(spots.convert("1"), "TIFF", compression="group4")).two_level
    assert one(save(spots.convert("1").convert("L"), "PNG")).two_level
    assert not one(save(spots, "PNG")).two_level


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_decode_makes_a_large_picture_smaller(kind: str) -> None:
    picture = one(save(Image.new("L", (9000, 6000), 200), kind))

    assert max(picture.image.size) <= WORK_SIDE
    assert max(picture.image.size) > WORK_SIDE / 2
    assert picture.image.width / picture.image.height == pytest.approx(1.5, abs=0.01)
