"""A page is found where it lies in the picture; what cannot be lined up is said so."""

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from compliance.scan.align import align_by_codes
from compliance.scan.blank import BlankPage, ReadyBlank, prepare_blank
from compliance.scan.codes import read_codes
from compliance.scan.overlay import align_by_print
from compliance.scan.refine import Matches, refit_homography
from compliance.scan.symbol import code_rects, make_code_modules
from compliance.scan.warp import apply_homography, fit_affine, fit_homography, make_flat_map

Points = NDArray[np.float64]

WIDTH, HEIGHT, DPI = 612, 792, 144
CORNERS = np.array([(0.0, 0.0), (WIDTH, 0.0), (WIDTH, HEIGHT), (0.0, HEIGHT)])
PLACES = np.array([(80.0, 200.0), (500.0, 210.0), (300.0, 420.0), (90.0, 600.0), (520.0, 640.0)])


def draw_page(*, lines: int, codes: bool, seed: int = 1) -> Image.Image:
    """A page with lines of random letters, three rules, and its codes, at DPI."""
    rng = np.random.default_rng(seed)
    page = Image.new("L", (WIDTH * 2, HEIGHT * 2), 255)
    pen = ImageDraw.Draw(page)
    font = ImageFont.load_default(20)
    for row in range(lines):
        words = "".join(rng.choice(list("aeinorstl  "), 90))
        pen.text((150, 240 + 1100 * row // max(lines, 1)), words, fill=0, font=font)
    for y in (500, 840, 1300):
        pen.line((150, y, 700, y), fill=0, width=2)
    pen.text((150, 1310), "Signature of owner", fill=0, font=font)
    pen.text((150, 510), "Day", fill=0, font=font)
    if codes:
        for corner, (left, _, right, top) in enumerate(code_rects(WIDTH, HEIGHT)):
            side = round((right - left) * 2)
            modules = Image.fromarray(~make_code_modules("TESTAA", 0, corner))
            page.paste(modules.resize((side, side)), (round(left * 2), round((HEIGHT - top) * 2)))
    return page


def ready(page: Image.Image, *, codes: bool) -> ReadyBlank:
    rects = code_rects(WIDTH, HEIGHT) if codes else ()
    grey = np.asarray(page)
    return prepare_blank(
        BlankPage(page=0, grey=grey, dpi=DPI, width=WIDTH, height=HEIGHT, codes=rects)
    )


def photograph(
    page: Image.Image, seen: Points, size: tuple[int, int], bend: float = 0
) -> Image.Image:
    """Take a picture in which the corners of the page lie at ``seen``, on a brown desk."""
    back = np.asarray(np.linalg.inv(fit_homography(CORNERS, seen)), dtype=float)
    step = 30
    mesh = []
    for y in range(0, size[1], step):
        for x in range(0, size[0], step):
            box = np.array([(x, y), (x, y + step), (x + step, y + step), (x + step, y)], float)
            points = apply_homography(back, box)
            points[:, 1] += bend * np.sin(points[:, 0] / WIDTH * np.pi)
            mesh.append(((x, y, x + step, y + step), tuple((points * 2).ravel())))
    soft = page.filter(ImageFilter.GaussianBlur(0.7))
    return soft.transform(
        size, Image.Transform.MESH, mesh, Image.Resampling.BILINEAR, fillcolor=120
    )


def error_of(page_map: object, seen: Points, bend: float = 0) -> float:
    truth = PLACES.copy()
    truth[:, 1] -= bend * np.sin(truth[:, 0] / WIDTH * np.pi)
    dots = apply_homography(fit_homography(CORNERS, seen), truth)
    scale = np.linalg.norm(seen[1] - seen[0]) / WIDTH
    found = page_map.find_in_picture(PLACES)  # type: ignore[attr-defined]
    return float(np.linalg.norm(found - dots, axis=1).max() / scale)


TILTED = np.array([(180.0, 150.0), (1190.0, 90.0), (1290.0, 1500.0), (90.0, 1420.0)])
SIZE = (1380, 1590)


def test_fit_homography_recovers_four_pairs_exactly() -> None:
    matrix = fit_homography(CORNERS, TILTED)

    assert np.abs(apply_homography(matrix, CORNERS) - TILTED).max() < 1e-6


def test_fit_affine_recovers_shift_turn_and_scale() -> None:
    turn = np.array([[1.2, -0.9], [0.9, 1.2]])

    matrix = fit_affine(CORNERS, CORNERS @ turn.T + np.array([30.0, -5.0]))

    assert np.abs(matrix - [[1.2, -0.9, 30], [0.9, 1.2, -5], [0, 0, 1]]).max() < 1e-9


def test_page_map_measures_dots_an_inch() -> None:
    matrix = np.diag([150 / 72, 150 / 72, 1.0])

    page_map = make_flat_map(matrix, WIDTH, HEIGHT)

    assert page_map.compute_dpi(WIDTH, HEIGHT) == pytest.approx(150)


@pytest.mark.parametrize("turns", range(4))
@pytest.mark.parametrize("lines", [0, 24])
def test_align_by_codes_finds_a_tilted_page(turns: int, lines: int) -> None:
    page = draw_page(lines=lines, codes=True)
    seen = np.roll(TILTED, -turns, axis=0)
    image = photograph(page, seen, SIZE)

    lined_up = align_by_codes(image, read_codes(np.asarray(image)), ready(page, codes=True))

    assert lined_up is not None
    assert lined_up.is_good
    assert error_of(lined_up.page_map, seen) < 2.0


def test_align_by_codes_follows_a_bent_page() -> None:
    page = draw_page(lines=24, codes=True)
    image = photograph(page, TILTED, SIZE, bend=6.0)

    lined_up = align_by_codes(image, read_codes(np.asarray(image)), ready(page, codes=True))

    assert lined_up is not None
    # A bend of six points is brought down to less than one.
    assert error_of(lined_up.page_map, TILTED, bend=6.0) < 1.0


@pytest.mark.parametrize("kept", [(0,), (2,), (0, 1), (1, 3)])
def test_align_by_codes_works_with_some_corners_covered(kept: tuple[int, ...]) -> None:
    page = draw_page(lines=24, codes=True)
    image = photograph(page, TILTED, SIZE)
    codes = tuple(code for code in read_codes(np.asarray(image)) if code.corner in kept)

    lined_up = align_by_codes(image, codes, ready(page, codes=True))

    assert len(codes) == len(kept)
    assert lined_up is not None
    assert lined_up.is_good
    assert error_of(lined_up.page_map, TILTED) < 1.0


def test_align_by_codes_is_not_good_when_the_print_is_another() -> None:
    page = draw_page(lines=24, codes=True, seed=1)
    other = draw_page(lines=24, codes=True, seed=2)
    other.paste(255, (140, 230, 1100, 1400))
    image = photograph(other, TILTED, SIZE)

    lined_up = align_by_codes(image, read_codes(np.asarray(image)), ready(page, codes=True))

    assert lined_up is None or not lined_up.is_good


@pytest.mark.parametrize("turn", [0, 3, 90, 182, 268])
def test_align_by_print_finds_a_scan_without_codes(turn: int) -> None:
    page = draw_page(lines=24, codes=False)
    angle = np.radians(turn)
    spin = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]]) * 150 / 72
    seen = CORNERS @ spin.T
    seen = seen - seen.min(axis=0) + 20
    size = tuple(int(side) + 20 for side in seen.max(axis=0))
    image = photograph(page, seen, (size[0], size[1]))

    lined_up = align_by_print(image, ready(page, codes=False))

    assert lined_up is not None
    assert error_of(lined_up.page_map, seen) < 1.0


@pytest.mark.parametrize("seed", [2, 3, 4])
def test_align_by_print_refuses_a_page_of_another_form(seed: int) -> None:
    page = draw_page(lines=24, codes=False, seed=1)
    other = draw_page(lines=17, codes=False, seed=seed)
    image = photograph(other, TILTED, SIZE)

    assert align_by_print(image, ready(page, codes=False)) is None


@pytest.mark.parametrize("kind", ["noise", "white", "stripes"])
def test_align_by_print_refuses_a_picture_of_no_page(kind: str) -> None:
    blank = ready(draw_page(lines=24, codes=False), codes=False)
    image = {
        "noise": Image.effect_noise(SIZE, 80),
        "white": Image.new("L", SIZE, 255),
        "stripes": Image.fromarray(
            np.tile(np.where(np.arange(SIZE[1]) // 9 % 2, 60, 230).astype(np.uint8), (SIZE[0], 1)).T
        ),
    }[kind]

    assert align_by_print(image, blank) is None


def test_align_refuses_a_blank_with_nothing_printed() -> None:
    empty = ready(Image.new("L", (WIDTH * 2, HEIGHT * 2), 255), codes=True)
    image = photograph(draw_page(lines=24, codes=True), TILTED, SIZE)

    assert align_by_print(image, empty) is None
    assert align_by_codes(image, read_codes(np.asarray(image)), empty) is None


@pytest.mark.parametrize("gap", [0.0, 40.0])
def test_refit_homography_of_patches_that_fit_no_map_is_none_or_finite(gap: float) -> None:
    """Patches in one place, or on one line, are no fault of the program; worked out by hand."""
    middles = np.stack((np.full(12, 80.0), 200.0 + gap * np.arange(12)), axis=1)
    found = Matches(
        middles=middles, moves=np.zeros((12, 2)), alike=np.ones(12), firm=np.ones((12, 2))
    )
    flat = make_flat_map(np.eye(3), WIDTH, HEIGHT)
    none = np.zeros((0, 2))

    better = refit_homography(flat, found, np.ones(12, np.bool_), (none, none))

    assert better is None or np.isfinite(better.homography).all()
