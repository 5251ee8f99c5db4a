"""Marks of a row that would lie on each other, joined into one with the words of all."""

from dataclasses import dataclass
from itertools import groupby, pairwise

from compliance.outputs.timeline_axis import Axis
from compliance.outputs.timeline_frame import say_day, say_short
from compliance.outputs.timeline_ink import clean_text, measure
from compliance.outputs.timeline_model import Mark, Sign

CLOSE = 1.0
"""Marks with less room than this between them are joined, in points."""
HALF_BOX = 2.6
"""How far the box of a joint reaches beyond its first and its last day, in points."""
SIGNLESS = frozenset({Sign.SPREAD, Sign.EDGE})
_REACH = 3.4
_WIDEST = 0.45


@dataclass(frozen=True, slots=True, kw_only=True)
class JointLabel:
    """Words for some or all marks of a joint; ``at`` is the place they belong to, in points."""

    at: float
    words: str
    short: str
    order: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Marks drawn as one, by day; ``start`` and ``end`` are the room it takes on the line."""

    marks: tuple[Mark, ...]
    start: float
    end: float
    labels: tuple[JointLabel, ...]

    @property
    def is_one_day(self) -> bool:
        """Tell whether all its marks are of the same day."""
        return self.marks[0].on == self.marks[-1].on


def join_marks(marks: tuple[Mark, ...], axis: Axis, size: float) -> tuple[Joint, ...]:
    """Join the marks whose signs would touch; *size* is that of their words, in points.

    Shape: every mark with a sign is in one joint; between two joints there are `CLOSE` points at
    the least. Marks without a sign are left out.
    """
    groups: list[list[Mark]] = []
    for mark in sorted(marks, key=lambda one: (one.on, one.order)):
        if mark.sign in SIGNLESS:
            continue
        is_near = groups and axis.at(mark.on) - axis.at(groups[-1][-1].on) < 2 * _REACH + CLOSE
        if is_near:
            groups[-1].append(mark)
        else:
            groups.append([mark])
    return tuple(_make_joint(tuple(group), axis, size) for group in groups)


def _make_joint(marks: tuple[Mark, ...], axis: Axis, size: float) -> Joint:
    return Joint(
        marks=marks,
        start=axis.at(marks[0].on) - _REACH,
        end=axis.at(marks[-1].on) + _REACH,
        labels=tuple(
            JointLabel(
                at=(axis.at(some[0].on) + axis.at(some[-1].on)) / 2,
                words=say_marks(some, is_short=False),
                short=say_marks(some, is_short=True),
                order=min(mark.order for mark in some),
            )
            for some in _share_out(marks, (axis.right - axis.left) * _WIDEST, size)
        ),
    )


def _share_out(marks: tuple[Mark, ...], room: float, size: float) -> list[tuple[Mark, ...]]:
    """Share marks out over labels whose short words are no wider than *room*, where they can be."""
    shares: list[tuple[Mark, ...]] = []
    for mark in marks:
        joined = (*shares[-1], mark) if shares else (mark,)
        if shares and measure(clean_text(say_marks(joined, is_short=True)), size) <= room:
            shares[-1] = joined
        else:
            shares.append((mark,))
    return shares


def say_marks(marks: tuple[Mark, ...], *, is_short: bool) -> str:
    """Say marks in the order of their days; a day is said once, and so is the month of drives."""
    parts = [
        _say_day_of(tuple(same), is_short=is_short)
        for _, same in groupby(marks, key=lambda one: one.on)
    ]
    if all(mark.sign is Sign.TOWN for mark in marks):
        return _say_drives(parts)
    return "; ".join(parts)


def _say_day_of(marks: tuple[Mark, ...], *, is_short: bool) -> str:
    """Say the marks of one day: what is to be done by it last."""
    day = say_short(marks[0].on) if is_short else say_day(marks[0].on)
    texts = [
        mark.short if is_short else mark.words
        for mark in sorted(marks, key=lambda one: one.order, reverse=True)
    ]
    if len(texts) == 1:
        return texts[0]
    heads = dict.fromkeys(text.removesuffix(day).rstrip(" ,") for text in texts)
    return f"{', '.join(head for head in heads if head)} {day}".strip()


def _say_drives(parts: list[str]) -> str:
    """Give "12, 13 Jan; 2 Feb" for the days of drives."""
    said = parts[:1]
    for before, part in pairwise(parts):
        month = before.rpartition(" ")[2]
        if part.rpartition(" ")[2] == month:
            said[-1] = f"{said[-1].removesuffix(f' {month}')}, {part}"
        else:
            said.append(part)
    return "; ".join(said)
