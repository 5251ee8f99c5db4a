"""Corner codes read back as printed, turned or not; foreign codes left alone."""

import numpy as np
import pytest
import zxingcpp
from numpy.typing import NDArray
from PIL import Image

from compliance.scan.codes import read_codes
from compliance.scan.symbol import make_code_modules


def draw(modules: NDArray[np.bool_], *, dots: int = 5, around: int = 60) -> NDArray[np.uint8]:
    black = np.kron(modules, np.ones((dots, dots), dtype=bool))
    return np.where(np.pad(black, around), 0, 255).astype(np.uint8)


@pytest.mark.parametrize("turns", range(4))
def test_read_codes_gives_corners_in_order_as_printed(turns: int) -> None:
    upright = draw(make_code_modules("K7QMZ3", 4, 1))
    side = upright.shape[0]

    (found,) = read_codes(np.rot90(upright, turns))

    corners = np.array([(60, 60), (side - 60, 60), (side - 60, side - 60), (60, side - 60)])
    turned = corners.astype(float)
    for _ in range(turns):
        # A quarter turn to the left takes (x, y) to (y, side - x).
        turned = np.stack((turned[:, 1], side - turned[:, 0]), axis=1)
    assert (found.form_code, found.page, found.corner) == ("K7QMZ3", 4, 1)
    assert np.abs(np.array(found.quad) - turned).max() < 2


@pytest.mark.parametrize("angle", range(10, 90, 20))
def test_read_codes_reads_a_code_turned_in_the_plane(angle: int) -> None:
    upright = Image.fromarray(draw(make_code_modules("QRSTUV", 0, 3)))

    turned = upright.rotate(angle, Image.Resampling.BILINEAR, fillcolor=255)

    assert [code.corner for code in read_codes(np.asarray(turned))] == [3]


def test_read_codes_leaves_foreign_codes_alone() -> None:
    # A parcel label (Data Matrix of other content) and a QR code on the desk.
    texts = (("PARCEL 0555 0100", "DataMatrix"), ("K7QMZ302", "QRCode"))
    drawn = []
    for text, kind in texts:
        code = zxingcpp.create_barcode(text, getattr(zxingcpp.BarcodeFormat, kind))
        image = np.array(zxingcpp.write_barcode_to_image(code, scale=5, add_quiet_zones=False))
        drawn.append(np.pad(image, 40, constant_values=255)[:150, :150])
    wide = np.full((150, 300), 255, dtype=np.uint8)
    for place, image in zip((0, 150), drawn, strict=True):
        wide[: image.shape[0], place : place + image.shape[1]] = image

    assert read_codes(wide) == ()


def test_read_codes_on_a_blank_picture_finds_none() -> None:
    assert read_codes(np.full((400, 300), 255, dtype=np.uint8)) == ()
