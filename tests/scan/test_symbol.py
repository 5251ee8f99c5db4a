"""The symbol of a corner code: its edges and codewords by the standard, read by zxing-cpp."""

import random

import numpy as np
import pytest
import zxingcpp
from numpy.typing import NDArray

from compliance.base.problems import RefusedError
from compliance.scan.symbol import (
    CODE_MODULES,
    CODE_QUIET,
    CODE_SIDE,
    PAGES,
    code_rects,
    compute_correction,
    list_runs,
    make_code_modules,
    make_form_code,
)

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"


def read(modules: NDArray[np.bool_]) -> list[str]:
    """The texts zxing-cpp reads in a symbol drawn four dots a module."""
    black = np.kron(modules, np.ones((4, 4), dtype=bool))
    picture = np.where(np.pad(black, 20), 0, 255).astype(np.uint8)
    return [code.text for code in zxingcpp.read_barcodes(picture)]


def test_compute_correction_agrees_with_the_worked_example() -> None:
    """ISO/IEC 16022: 123456 is 142 164 186, corrected by 114 25 5 88 102 (from memory)."""
    assert compute_correction([142, 164, 186], 5) == [114, 25, 5, 88, 102]


def test_code_modules_read_by_zxing_whatever_they_say() -> None:
    chance = random.Random(5)  # noqa: S311 - repeatable texts, no secret
    for _ in range(300):
        code = "".join(chance.choices(LETTERS, k=chance.randint(1, 6)))
        page, corner = chance.randrange(36), chance.randrange(4)

        assert read(make_code_modules(code, page, corner)) == [f"{code}{PAGES[page]}{corner}"]


def test_code_modules_damaged_in_five_codewords_are_still_read() -> None:
    """ISO/IEC 16022: ten correction codewords mend five that are wrong; dots far apart are that."""
    modules = make_code_modules("K7QMZ3", 4, 1)
    for row, column in ((2, 2), (2, 10), (6, 6), (10, 3), (10, 11)):
        modules[row, column] ^= True

    assert read(modules) == ["K7QMZ341"]


def test_list_runs_cover_the_black_modules_only() -> None:
    modules = make_code_modules("SANDBR", 0, 2)
    drawn = np.zeros_like(modules)

    for left, bottom, right, top in list_runs(modules, (10.0, 20.0, 24.0, 34.0)):
        drawn[round(34 - top) : round(34 - bottom), round(left - 10) : round(right - 10)] = True

    assert (drawn == modules).all()


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


def test_code_rects_stay_clear_of_the_edge() -> None:
    rects = code_rects(612, 792)

    for left, bottom, right, top in rects:
        assert right - left == pytest.approx(CODE_SIDE)
        assert top - bottom == pytest.approx(CODE_SIDE)
        # Common printers leave a quarter inch (18 points) unprinted; common practice, no source.
        assert min(left, bottom, 612 - right, 792 - top) >= 18 + CODE_QUIET
        # ISO/IEC 16022 asks for a quiet zone of one module.
        assert CODE_QUIET >= CODE_SIDE / CODE_MODULES
    # Upper left, upper right, lower right, lower left.
    assert [(rect[0] < 306, rect[1] < 396) for rect in rects] == [
        (True, False),
        (False, False),
        (False, True),
        (True, True),
    ]
