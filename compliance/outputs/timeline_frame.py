"""What all rows of a season share: the days shown, dates in words, marks kept inside."""

from dataclasses import dataclass
from datetime import date

from compliance.base.dates import say_date
from compliance.outputs.timeline_model import Mark, Sign, Spread, Stretch


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What every row needs to know: today, the days shown, both inclusive, and the spreads.

    ``is_drawn`` tells that the spreads come from chances and not from the rows of the table.
    """

    as_of: date
    first: date
    last: date
    spreads: dict[str, Spread]
    is_drawn: bool = False


def say_short(day: date) -> str:
    """Write a date without weekday and year.

    Example:
        >>> say_short(date(2027, 5, 4))
        '4 May'
    """
    return say_date(day).partition(" ")[2].rpartition(" ")[0]


def say_day(day: date) -> str:
    """Write a date with its weekday, without the year.

    Example:
        >>> say_day(date(2027, 5, 4))
        'Tue 4 May'
    """
    return say_date(day).rpartition(" ")[0]


def make_mark(sign: Sign, day: date, words: tuple[str, str], order: int = 5) -> Mark:
    """Make a mark from its long and its short words; the date is added to both."""
    return Mark(
        on=day,
        sign=sign,
        words=f"{words[0]} {say_day(day)}",
        short=f"{words[1]} {say_short(day)}",
        order=order,
    )


def keep_inside(stretches: tuple[Stretch, ...], frame: Frame) -> list[Stretch]:
    """Cut stretches to the days shown; those outside are left out."""
    return [
        Stretch(
            first=max(one.first, frame.first), last=min(one.last, frame.last), weight=one.weight
        )
        for one in stretches
        if one.first <= one.last and one.first <= frame.last and one.last >= frame.first
    ]


def bring_inside(mark: Mark, frame: Frame) -> Mark:
    """Put a mark of a day outside the picture at its edge, with the year and an arrow."""
    if frame.first <= mark.on <= frame.last:
        return mark
    is_before = mark.on < frame.first
    words = f"{mark.words} {mark.on.year}"
    words = f"\N{LEFTWARDS ARROW} {words}" if is_before else f"{words} \N{RIGHTWARDS ARROW}"
    return Mark(
        on=frame.first if is_before else frame.last,
        sign=Sign.EDGE,
        words=words,
        short=words,
        order=mark.order,
    )
