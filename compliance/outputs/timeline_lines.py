"""One row drawn: its words at the left, its line with marks, and the words of the marks."""

from compliance.outputs.timeline_axis import Axis
from compliance.outputs.timeline_ink import (
    BLACK,
    GREY,
    PALE,
    WARM,
    Block,
    Ink,
    Shape,
    Stroke,
    Text,
    clean_text,
    make_line,
    measure,
    move_ink,
    wrap_text,
)
from compliance.outputs.timeline_joins import SIGNLESS, Joint, JointLabel, join_marks
from compliance.outputs.timeline_labels import GAP, TIGHT, Lanes, Placed
from compliance.outputs.timeline_model import Mark, Row, Sign, Spread, Stretch, Weight
from compliance.outputs.timeline_signs import draw_joint

TITLE, TITLE_TIGHT, NOTE, LABEL = 8.2, 7.6, 7.0, 7.0
LANE = LABEL * 1.24
SWELL = 3.6
_CROP_ROW = 2.6
_PAD, _PAD_TIGHT = 4.0, 2.0
_SOLID = frozenset({Weight.SPRAYING, Weight.LATE, Weight.HAPPENED})
_SIGN_ROOM, _PEAK_ROOM = 35.0, 60.0
"""Words beside a swelling begin no farther than this from the sign in it or its widest day."""


def draw_row(row: Row, axis: Axis, column: tuple[float, float], near: tuple[int, ...]) -> Block:
    """Draw a row from its upper edge; *column* is left edge and width of the words at its left.

    The row is as high as its words or its lanes of labels need.
    """
    left, width = column
    is_tight = near is TIGHT
    words, words_height = _draw_words(row, left, width, is_tight=is_tight)
    joints = join_marks(row.marks, axis, LABEL)
    placed = _place_labels(row, joints, axis, near, is_short=False)
    if is_tight:
        # The long words only where they make the row no higher than the short ones would.
        short = _place_labels(row, joints, axis, near, is_short=True)
        placed = min(placed, short, key=lambda one: sum(_reach_of(one)))
    above, below = _reach_of(placed)
    plot_height = (above + below + 1) * LANE
    height = max(words_height, plot_height) + (_PAD_TIGHT if is_tight else _PAD)
    base = (height - plot_height) / 2 + (above + 0.5) * LANE
    late = [one for one in row.stretches if one.weight is Weight.LATE]
    calm = [one for one in row.stretches if one.weight is not Weight.LATE]
    plot = (
        *(ink for one in calm for ink in _draw_stretch(one, axis, late)),
        *(_draw_spread(one, axis) for one in row.spreads),
        # Days that are missing may not hide behind an answer that comes too late.
        *(ink for one in late for ink in _draw_stretch(one, axis, late)),
        *(_draw_way(one) for one in placed if one.needs_line),
        *(ink for one in joints for ink in draw_joint(one, axis)),
        *(_draw_label(one) for one in placed),
    )
    ink = (*move_ink(words, 0.0, (height - words_height) / 2), *move_ink(plot, 0.0, base))
    return Block(height=height, ink=ink)


def _reach_of(placed: list[Placed]) -> tuple[int, int]:
    """Count the lanes used above and below the line."""
    lanes = [0, *(one.lane for one in placed)]
    return -min(lanes), max(lanes)


def _draw_words(
    row: Row, left: float, width: float, *, is_tight: bool
) -> tuple[tuple[Ink, ...], float]:
    """Draw title and notes, the notes below or, where room is scarce and they fit, beside it."""
    notes, color = "; ".join(row.notes), WARM if row.is_late else GREY
    size = TITLE_TIGHT if is_tight else TITLE
    beside = measure(clean_text(row.title), size, row.is_late) + 7
    if is_tight and beside + measure(clean_text(notes), NOTE) <= width:
        base = size * 0.93
        line = make_line(left, base, row.title, size, bold=row.is_late)
        return (line, make_line(left + beside, base, notes, NOTE, color=color)), size * 1.18
    ink: list[Ink] = []
    y = 0.0
    for line_text in wrap_text(row.title, size, width, bold=row.is_late):
        y += size * 1.18
        ink.append(make_line(left, y - size * 0.25, line_text, size, bold=row.is_late))
    for line_text in wrap_text(notes, NOTE, width - 6) if notes else ():
        y += NOTE * 1.2
        ink.append(make_line(left + 6, y - NOTE * 0.25, line_text, NOTE, color=color))
    return tuple(ink), y


def _place_labels(
    row: Row, joints: tuple[Joint, ...], axis: Axis, near: tuple[int, ...], *, is_short: bool
) -> list[Placed]:
    """Place the words of all marks; none is left out, the row becomes higher instead."""
    lanes = Lanes(left=axis.left + 1, right=axis.right - 1, size=LABEL, near=near)
    for joint in joints:
        lanes.take(0, joint.start, joint.end)
    for spread in row.spreads:
        lanes.take(0, axis.at(spread.soonest), min(axis.at(spread.slow), axis.right))
    for stretch in row.stretches:
        if stretch.weight in _SOLID:
            lanes.take(0, axis.begin(stretch.first), axis.begin(stretch.last) + axis.day_width)
    wanted = [(label, *_around(joint, row, axis)) for joint in joints for label in joint.labels]
    for mark in row.marks:
        if mark.sign in SIGNLESS:
            at = axis.at(mark.on)
            label = JointLabel(at=at, words=mark.words, short=mark.short, order=mark.order)
            reach = _PEAK_ROOM if mark.sign is Sign.SPREAD else float("inf")
            wanted.append((label, _span(mark, row, axis), reach))
    return [
        lanes.place(
            label.at, (label.short,) if is_short else (label.words, label.short), span, reach
        )
        for label, span, reach in sorted(wanted, key=lambda one: (one[0].order, one[0].at))
    ]


def _around(joint: Joint, row: Row, axis: Axis) -> tuple[tuple[float, float], float]:
    """Give where words on the line may begin, and how far off: beside the swelling it stands on."""
    for spread in row.spreads:
        left, right = axis.at(spread.soonest), min(axis.at(spread.slow), axis.right)
        if left < joint.end and joint.start < right:
            return (min(left, joint.start), max(right, joint.end)), _SIGN_ROOM
    return (joint.start, joint.end), float("inf")


def _span(mark: Mark, row: Row, axis: Axis) -> tuple[float, float]:
    """Give where the edge of the picture, or the swelling a mark names, begins and ends."""
    at = axis.at(mark.on)
    for spread in row.spreads:
        if mark.sign is Sign.SPREAD and min(spread.likely, axis.last) == mark.on:
            return axis.at(spread.soonest), min(axis.at(spread.slow), axis.right)
    # Words at the edge stand so near to it that nothing of their line shows behind them.
    return at + GAP - 1, at - GAP + 1


def _draw_label(placed: Placed) -> Text:
    y = placed.lane * LANE + LABEL * 0.3
    return make_line(placed.x, y, placed.text, LABEL, paper=True)


def _draw_way(placed: Placed) -> Stroke:
    sign = -1 if placed.lane < 0 else 1
    end = placed.lane * LANE - sign * LANE * 0.4
    return Stroke(x1=placed.at, y1=sign * 3.0, x2=placed.at, y2=end, width=0.5, color=GREY)


def _draw_stretch(stretch: Stretch, axis: Axis, late: list[Stretch]) -> tuple[Ink, ...]:
    start, end = axis.at(stretch.first), axis.at(stretch.last)
    match stretch.weight:
        case Weight.HAPPENED:
            return (_level(start, end, 2.6),)
        case Weight.AHEAD:
            return (_level(start, end, 0.9, GREY),)
        case Weight.ROOM:
            return (_level(start, end, 0.9, GREY, (0.9, 2.6)),)
        case Weight.LATE:
            return (_level(start, end, 3.4, WARM, (2.2, 1.6)),)
        case Weight.IN_FORCE:
            return (
                _level(start, end, 0.55, BLACK, y=-2.1),
                _level(start, end, 0.55, BLACK, y=2.1),
            )
        case Weight.SPRAYING:
            bare = [(axis.begin(one.first), axis.at(one.last)) for one in late]
            left, right = axis.begin(stretch.first), axis.begin(stretch.last) + axis.day_width
            return _draw_field(left, right, bare)


def _draw_field(left: float, right: float, bare: list[tuple[float, float]]) -> tuple[Ink, ...]:
    """Draw the days of a job as rows of a crop on their ground, bare where days are missing."""
    rows = max(round((right - left) / _CROP_ROW), 1)
    apart = (right - left) / rows
    return (
        *(
            Stroke(x1=x, y1=-3.6, x2=x, y2=2.8, width=0.9, color=BLACK)
            for x in (left + apart * (number + 0.5) for number in range(rows))
            if not any(start <= x <= end for start, end in bare)
        ),
        _level(left, right, 1.1, y=2.8),
    )


def _level(
    start: float,
    end: float,
    width: float,
    color: str = BLACK,
    dash: tuple[float, ...] = (),
    *,
    y: float = 0.0,
) -> Stroke:
    return Stroke(x1=start, y1=y, x2=end, y2=y, width=width, color=color, dash=dash)


def _draw_spread(spread: Spread, axis: Axis) -> Shape:
    """Draw the line swelling where an answer may come, widest on its likely day.

    What goes on behind the last day shown is cut off there, so that it does not seem to end.
    """
    turns = [
        (axis.at(day), half)
        for day, half in ((spread.soonest, 0.0), (spread.likely, SWELL), (spread.slow, 0.0))
    ]
    upper = [turn for turn in turns if turn[0] <= axis.right]
    if len(upper) < len(turns):
        (x1, half1), (x2, half2) = upper[-1], turns[len(upper)]
        cut = half1 + (half2 - half1) * (axis.right - x1) / (x2 - x1)
        upper.append((axis.right, cut))
    lower = [(x, half) for x, half in reversed(upper) if half]
    corners = (*((x, -half) for x, half in upper), *lower)
    return Shape(corners=corners, fill=PALE, color=BLACK, width=0.6)
