"""Boxes on turned pages, words joined to phrases, the label of a box, and marks in a box."""

import pytest

from compliance.scan.pdf_model import Place
from compliance.scan.pdf_places import Box, Frame, Phrase, compute_cover, find_label, group_phrases

LETTER = (0.0, 0.0, 612.0, 792.0)


def frame(box: Box = LETTER, turned: int = 0) -> Frame:
    left, bottom, right, top = box
    return Frame(left=left, bottom=bottom, right=right, top=top, turned=turned)


@pytest.mark.parametrize(
    ("turned", "size", "shown"),
    [
        (0, (612, 792), (0, 0, 10, 20)),
        (90, (792, 612), (0, 602, 20, 612)),
        (180, (612, 792), (602, 772, 612, 792)),
        (270, (792, 612), (772, 0, 792, 10)),
    ],
)
def test_frame_moves_the_lower_left_corner_clockwise(
    turned: int, size: tuple[float, float], shown: Box
) -> None:
    """ISO 32000-1 table 30: a page turned by 90 degrees has its lower left corner upper left."""
    made = frame(turned=turned)

    assert made.to_shown((0, 0, 10, 20)) == shown
    assert (made.width, made.height) == size


def test_frame_orders_the_corners_and_counts_from_the_crop_box() -> None:
    assert frame((20, 40, 600, 740)).to_shown((300, 120, 100, 100)) == (80, 60, 280, 80)


def letters(text: str, left: float, bottom: float, step: float = 6.0) -> list[tuple[str, Box]]:
    return [
        (letter, (left + step * at, bottom, left + step * (at + 1) - 1, bottom + 9))
        for at, letter in enumerate(text)
    ]


def test_group_phrases_parts_at_wide_gaps_and_new_lines() -> None:
    given = letters("Owner's name", 72, 700) + letters("Date", 400, 700) + letters("State", 72, 680)

    phrases = group_phrases(given)

    assert phrases == (
        Phrase(text="Owner's name", box=(72.0, 700.0, 143.0, 709.0)),
        Phrase(text="Date", box=(400.0, 700.0, 423.0, 709.0)),
        Phrase(text="State", box=(72.0, 680.0, 101.0, 689.0)),
    )


def test_group_phrases_leaves_out_writing_lines() -> None:
    given = letters("Date: ____", 72, 700) + letters("______", 72, 650) + letters(".....", 72, 600)

    assert [phrase.text for phrase in group_phrases(given)] == ["Date:"]


def phrase(text: str, left: float, bottom: float) -> Phrase:
    return Phrase(text=text, box=(left, bottom, left + 6.0 * len(text), bottom + 9))


FIELD = (230.0, 700.0, 430.0, 718.0)
TICK = (230.0, 700.0, 242.0, 712.0)


@pytest.mark.parametrize(
    ("box", "is_tick", "near", "label"),
    [
        (FIELD, False, [phrase("left", 72, 704), phrase("far", 10, 704)], "left"),
        (FIELD, False, [phrase("above", 230, 721), phrase("below", 230, 688)], "above"),
        (FIELD, False, [phrase("below", 230, 688)], "below"),
        (FIELD, False, [phrase("left", 190, 704), phrase("above", 230, 726)], "left"),
        (FIELD, False, [phrase("inside", 234, 708), phrase("left", 20, 704)], "inside"),
        (FIELD, False, [phrase("next line", 72, 660)], ""),
        (FIELD, False, [phrase("too far", 4, 704)], ""),
        (TICK, True, [phrase("left", 200, 702), phrase("right", 246, 702)], "right"),
        (TICK, True, [phrase("left", 200, 702)], "left"),
    ],
)
def test_find_label(box: Box, is_tick: bool, near: list[Phrase], label: str) -> None:
    """Common practice of forms, no source."""
    assert find_label(box, near, is_tick=is_tick) == label


def place(left: float, bottom: float, right: float, top: float, page: int = 0) -> Place:
    return Place(page=page, left=left, bottom=bottom, right=right, top=top)


def test_compute_cover_is_the_share_of_the_mark() -> None:
    box = place(100, 100, 200, 120)

    assert compute_cover(place(120, 105, 180, 115), box) == 1.0
    assert compute_cover(place(150, 105, 250, 115), box, grow=0) == 0.5
    assert compute_cover(place(120, 105, 180, 105), box) == 1.0
    assert compute_cover(place(0, 0, 600, 800), box) < 0.02
    assert compute_cover(place(300, 105, 400, 115), box) == 0.0
    assert compute_cover(place(120, 105, 180, 115, page=1), box) == 0.0
