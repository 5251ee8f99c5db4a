"""One row drawn: its words at the left, its line with marks, and the words of the marks."""

from compliance.outputs.timeline_axis import Axis
from compliance.outputs.timeline_ink import (
    BLACK,
    GREY,
    PALE,
    WARM,
    WHITE,
    Block,
    Dot,
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
from compliance.outputs.timeline_labels import TIGHT, Lanes, Placed
from compliance.outputs.timeline_model import Mark, Row, Sign, Spread, Stretch, Weight

TITLE, TITLE_TIGHT, NOTE, LABEL = 8.2, 7.6, 7.0, 7.0
LANE = LABEL * 1.24
SWELL = 3.6
_CROP_ROW = 2.6
_PAD, _PAD_TIGHT = 4.0, 2.0
_REACH = {Sign.EDGE: 0.0, Sign.NEEDED: 1.5, Sign.ENDS: 1.5}


def draw_row(row: Row, axis: Axis, column: tuple[float, float], near: tuple[int, ...]) -> Block:
    """Draw a row from its upper edge; *column* is left edge and width of the words at its left.

    The row is as high as its words or its lanes of labels need.
    """
    left, width = column
    is_tight = near is TIGHT
    words, words_height = _draw_words(row, left, width, is_tight=is_tight)
    placed = _place_labels(row, axis, near, is_short=False)
    if is_tight:
        # The long words only where they make the row no higher than the short ones would.
        short = _place_labels(row, axis, near, is_short=True)
        placed = min(placed, short, key=lambda one: sum(_reach_of(one)))
    above, below = _reach_of(placed)
    plot_height = (above + below + 1) * LANE
    height = max(words_height, plot_height) + (_PAD_TIGHT if is_tight else _PAD)
    base = (height - plot_height) / 2 + (above + 0.5) * LANE
    late = [one for one in row.stretches if one.weight is Weight.LATE]
    calm = [one for one in row.stretches if one.weight is not Weight.LATE]
    plot = (
        *(ink for one in calm for ink in _draw_stretch(one, axis)),
        *(_draw_spread(one, axis) for one in row.spreads),
        # Days that are missing may not hide behind an answer that comes too late.
        *(ink for one in late for ink in _draw_stretch(one, axis)),
        *(_draw_way(one) for one in placed if one.needs_line),
        *(ink for one in row.marks for ink in _draw_sign(one, axis)),
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


def _place_labels(row: Row, axis: Axis, near: tuple[int, ...], *, is_short: bool) -> list[Placed]:
    lanes = Lanes(left=axis.left + 1, right=axis.right - 1, size=LABEL, near=near)
    for mark in row.marks:
        lanes.take(0, *_span(mark, row, axis))
    for stretch in row.stretches:
        if stretch.weight is Weight.SPRAYING:
            lanes.take(0, axis.begin(stretch.first), axis.begin(stretch.last) + axis.day_width)
    placed = []
    for mark in sorted(row.marks, key=lambda one: (one.order, one.on)):
        at, span = axis.at(mark.on), _span(mark, row, axis)
        texts = (mark.short,) if is_short else (mark.words, mark.short)
        if near is TIGHT and mark.order >= Mark.SPARE:
            found = lanes.place_if_room(at, texts, span)
            placed += [found] if found is not None else []
        else:
            placed.append(lanes.place(at, texts, span))
    return placed


def _span(mark: Mark, row: Row, axis: Axis) -> tuple[float, float]:
    """Give where a mark, or the swelling it names, begins and ends on its line."""
    if mark.sign is Sign.SPREAD:
        for spread in row.spreads:
            if min(spread.likely, axis.last) == mark.on:
                return axis.at(spread.soonest), min(axis.at(spread.slow), axis.right)
    reach = _REACH.get(mark.sign, 3.2)
    return axis.at(mark.on) - reach, axis.at(mark.on) + reach


def _draw_label(placed: Placed) -> Text:
    y = placed.lane * LANE + LABEL * 0.3
    return make_line(placed.x, y, placed.text, LABEL, paper=True)


def _draw_way(placed: Placed) -> Stroke:
    sign = -1 if placed.lane < 0 else 1
    end = placed.lane * LANE - sign * LANE * 0.4
    return Stroke(x1=placed.at, y1=sign * 3.0, x2=placed.at, y2=end, width=0.5, color=GREY)


def _draw_stretch(stretch: Stretch, axis: Axis) -> tuple[Ink, ...]:
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
            return _draw_field(axis.begin(stretch.first), axis.begin(stretch.last) + axis.day_width)


def _draw_field(left: float, right: float) -> tuple[Ink, ...]:
    """Draw the days of a job as rows of a crop on their ground."""
    rows = max(round((right - left) / _CROP_ROW), 1)
    apart = (right - left) / rows
    return (
        *(
            Stroke(x1=x, y1=-3.6, x2=x, y2=2.8, width=0.9, color=BLACK)
            for x in (left + apart * (number + 0.5) for number in range(rows))
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


def _draw_sign(mark: Mark, axis: Axis) -> tuple[Ink, ...]:
    x = axis.at(mark.on)
    drawn: dict[Sign, Ink] = {
        Sign.DONE: Dot(x=x, y=0.0, radius=2.7, fill=BLACK),
        Sign.READY: Dot(x=x, y=0.0, radius=2.7, fill=WHITE, width=1.1),
        Sign.BACK: _box(x, 2.7, BLACK),
        Sign.TOWN: _box(x, 2.7, WHITE),
        Sign.ASK: _lozenge(x, 3.4),
        Sign.SAFE: _wedge(x, WHITE),
        Sign.LAST: _wedge(x, BLACK),
        Sign.NEEDED: _bar(x, 2.2),
        Sign.ENDS: _bar(x, 1.0),
    }
    return (drawn[mark.sign],) if mark.sign in drawn else ()


def _lozenge(x: float, half: float) -> Shape:
    corners = ((x, -half), (x + half, 0.0), (x, half), (x - half, 0.0))
    return Shape(corners=corners, fill=WHITE, width=0.9)


def _box(x: float, half: float, fill: str) -> Shape:
    corners = ((x - half, -half), (x + half, -half), (x + half, half), (x - half, half))
    return Shape(corners=corners, fill=fill, width=0.9)


def _wedge(x: float, fill: str) -> Shape:
    """Draw a wedge that points down at its day."""
    return Shape(corners=((x - 3.2, -3.4), (x + 3.2, -3.4), (x, 3.2)), fill=fill, width=0.9)


def _bar(x: float, width: float) -> Stroke:
    return Stroke(x1=x, y1=-4.0, x2=x, y2=4.0, width=width)
