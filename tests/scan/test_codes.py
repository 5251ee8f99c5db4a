"""Corner codes: drawn by the standard, read back as printed, foreign codes left alone."""

import numpy as np
import pytest
import zxingcpp
from numpy.typing import NDArray
from PIL import Image

from compliance.base.problems import RefusedError
from compliance.scan.codes import (
    CODE_MODULES,
    CODE_SIDE,
    code_rects,
    make_code_modules,
    make_form_code,
    read_codes,
)


def draw(modules: NDArray[np.bool_], *, dots: int = 5, around: int = 60) -> NDArray[np.uint8]:
    black = np.kron(modules, np.ones((dots, dots), dtype=bool))
    return np.where(np.pad(black, around), 0, 255).astype(np.uint8)


def test_form_code_of_empty_edition_agrees_with_published_digest() -> None:
    # FIPS 180-4: SHA-256 of nothing begins e3b0c442; RFC 4648 base32 of that begins 4OYMIQ.
    assert make_form_code(b"") == "4OYMIQ"


@pytest.mark.parametrize(("code", "page", "corner"), [("K7QMZ3", 0, 2), ("A", 35, 3), ("77", 9, 0)])
def test_code_modules_have_the_edges_of_the_standard(code: str, page: int, corner: int) -> None:
    modules = make_code_modules(code, page, corner)

    # ISO/IEC 16022: left and lower edge solid, upper and right edge alternating.
    alternating = np.arange(CODE_MODULES) % 2 == 0
    assert modules.shape == (CODE_MODULES, CODE_MODULES)
    assert modules[:, 0].all()
    assert modules[-1].all()
    assert (modules[0] == alternating).all()
    assert (modules[:, -1] == ~alternating).all()


def test_code_modules_fit_for_many_form_codes() -> None:
    shapes = {
        make_code_modules(make_form_code(bytes([n])), n % 36, n % 4).shape for n in range(120)
    }

    assert shapes == {(14, 14)}


@pytest.mark.parametrize(
    ("code", "page", "corner"),
    [("", 0, 0), ("ABCDEFG", 0, 0), ("abc", 0, 0), ("A1", 0, 0), ("A", 36, 0), ("A", 0, 4)],
)
def test_code_modules_refuse_what_does_not_fit(code: str, page: int, corner: int) -> None:
    with pytest.raises(RefusedError):
        make_code_modules(code, page, corner)


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


def test_code_rects_stay_clear_of_the_edge() -> None:
    rects = code_rects(612, 792)

    for left, bottom, right, top in rects:
        assert right - left == pytest.approx(CODE_SIDE)
        assert top - bottom == pytest.approx(CODE_SIDE)
        # Common printers leave a quarter inch (18 points) unprinted; common practice, no source.
        assert min(left, bottom, 612 - right, 792 - top) >= 26
    # Upper left, upper right, lower right, lower left.
    assert [(rect[0] < 306, rect[1] < 396) for rect in rects] == [
        (True, False),
        (False, False),
        (False, True),
        (True, True),
    ]
