"""The days of a season across a page: months, Mondays, today and the first days of jobs."""

from dataclasses import dataclass
from datetime import date, timedelta

from compliance.base.dates import add_months, say_date
from compliance.outputs.timeline_ink import (
    BLACK,
    FAINT,
    GREY,
    PALE,
    Block,
    Ink,
    Stroke,
    make_line,
    measure,
)

_MONTH, _DAY = 7.6, 7.0
_STEPS = (1, 2, 3, 6, 12)
_NAME_ROOM = 25.0
_WEEK_ROOM = 18.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """Days from ``first`` through ``last`` between two sides in points."""

    first: date
    last: date
    left: float
    right: float

    @property
    def day_width(self) -> float:
        """Give the points a day takes."""
        return (self.right - self.left) / ((self.last - self.first).days + 1)

    @property
    def shows_mondays(self) -> bool:
        """Tell whether a week is wide enough for the number of its Monday."""
        return self.day_width * 7 >= _WEEK_ROOM

    def begin(self, day: date) -> float:
        """Give the left edge of a day."""
        return self.left + (day - self.first).days * self.day_width

    def at(self, day: date) -> float:
        """Give the middle of a day, where its mark stands."""
        return self.begin(day) + self.day_width / 2

    @property
    def months(self) -> tuple[date, ...]:
        """Give the first day of every month shown."""
        found = []
        day = self.first
        while day <= self.last:
            found.append(day)
            day = add_months(day, 1)
        return tuple(found)


def make_axis_head(axis: Axis, as_of: date) -> Block:
    """Make the names of the months, the Mondays when there is room, and the word today."""
    ink: list[Ink] = []
    step = _month_step(axis)
    room = axis.day_width * 28 * step
    named = [month for month in axis.months if (month.month - 1) % step == 0]
    for month in named:
        said = _say_month(month, room, is_first=month == named[0])
        x = axis.begin(month) + 2
        if x + measure(said, _MONTH, True) <= axis.right + _MONTH:
            ink.append(make_line(x, 9.0, said, _MONTH, bold=month.month == 1))
    height = 13.0
    if axis.shows_mondays:
        height = 22.0
        ink += [
            make_line(axis.begin(day) + 1.5, 19.0, str(day.day), _DAY, color=GREY)
            for day in _mondays(axis)
            if axis.begin(day) + 12 < axis.right
        ]
    word = f"today, {say_date(as_of)}"
    width = measure(word, _MONTH, True)
    x = min(max(axis.at(as_of) - width / 2, axis.left), axis.right - width)
    ink.append(make_line(x, height + 7.5, word, _MONTH, bold=True))
    return Block(height=height + 11.0, ink=tuple(ink))


def make_background(
    axis: Axis, as_of: date, begins: tuple[date, ...], top: float, bottom: float
) -> tuple[Ink, ...]:
    """Make the lines behind the rows: months, Mondays, first days of jobs, today."""
    ink: list[Ink] = []
    if axis.shows_mondays:
        ink += [_upright(axis.begin(day), top, bottom, 0.4, FAINT) for day in _mondays(axis)]
    ink += [_upright(axis.begin(day), top, bottom, 0.5, PALE) for day in axis.months]
    ink.append(_upright(axis.right, top, bottom, 0.5, PALE))
    ink += [_upright(axis.begin(day), top, bottom, 0.7, GREY, dash=(1.5, 2.5)) for day in begins]
    ink.append(_upright(axis.at(as_of), top, bottom, 1.1, BLACK))
    return tuple(ink)


def _upright(
    x: float, top: float, bottom: float, width: float, color: str, dash: tuple[float, ...] = ()
) -> Stroke:
    return Stroke(x1=x, y1=top, x2=x, y2=bottom, width=width, color=color, dash=dash)


def _mondays(axis: Axis) -> list[date]:
    first = axis.first + timedelta(days=-axis.first.weekday() % 7)
    return [first + timedelta(days=7 * week) for week in range(((axis.last - first).days // 7) + 1)]


def _month_step(axis: Axis) -> int:
    """Give how many months share one name, so that names do not touch."""
    room = axis.day_width * 28
    return next((step for step in _STEPS if room * step >= _NAME_ROOM), _STEPS[-1])


def _say_month(month: date, room: float, *, is_first: bool) -> str:
    """Name a month; the year stands with the first and each January, or with all when it fits.

    Where there is no room the first has its name alone: today's day below says the year.
    """
    name, year = say_date(month).split(" ")[2:]
    full = f"{name} {year}"
    if measure("Mar 2000", _MONTH, True) + 5 <= room:
        return full
    if is_first or month.month == 1:
        short = f"{name} \N{RIGHT SINGLE QUOTATION MARK}{year[2:]}"
        if measure(short, _MONTH, True) + 3 <= room:
            return short
        return year if month.month == 1 else name
    return name
