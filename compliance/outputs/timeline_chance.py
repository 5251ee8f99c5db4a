"""The chance of being in time against the day of sending off, as a picture of one page."""

from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from compliance.base.dates import month_end, say_date
from compliance.engine.agenda import list_once, subject_of
from compliance.engine.chance_model import Chances, Curve, PacketChance
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.outputs.chances_text import say_chance
from compliance.outputs.timeline_axis import Axis, make_axis_head, make_background
from compliance.outputs.timeline_ink import (
    BLACK,
    GREY,
    PALE,
    WHITE,
    Dot,
    Ink,
    Page,
    Picture,
    Stroke,
    make_line,
    move_ink,
    wrap_text,
)
from compliance.outputs.timeline_labels import Lanes
from compliance.outputs.words import list_cautions, say_if_came

_WIDTH, _HEIGHT, _MARGIN = 792.0, 612.0, 36.0
_TITLE, _UNDER, _LABEL, _FOOT = 15.0, 9.5, 8.6, 6.8
_LANE = _LABEL * 1.4
_LEFT = 66.0
_CENT = 0.01
_MARKS = ((0.0, "never in time"), (0.25, "25 %"), (0.5, "50 %"), (0.75, "75 %"), (1.0, "always"))


@dataclass(frozen=True, slots=True, kw_only=True)
class ChanceMark:
    """One day of sending off, inclusive, with its words.

    ``chance`` belongs to it; None for a day before the first on which it can be sent off.
    """

    on: date
    words: str
    chance: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChanceView:
    """What the picture shows: the curve by day of sending off, the wanted chance and the marks.

    Shape: days rising, chances from 0 to 1 and never rising with the day.
    """

    title: str
    under: tuple[str, ...]
    as_of: date
    curve: Curve
    wanted: float
    marks: tuple[ChanceMark, ...]
    notices: tuple[str, ...]


def find_chance(curve: Curve, day: date) -> float:
    """Find the chance of a day: that of the first day of the curve not before it.

    Shape: a day that is not in the curve is one on which nothing can be sent off, so it waits for
    the next; after the curve its last chance.
    """
    return next((chance for when, chance in curve if when >= day), curve[-1][1])


def compute_chance_view(plan: Plan, paper: PaperPlan) -> ChanceView | None:
    """Compute the picture of one packet; None when it is sent off, or nothing was drawn for it."""
    chances = plan.chances
    if chances is None:
        return None
    found = next((one for one in chances.packets if one.packet == paper.id), None)
    if found is None or not found.by_mail_day or paper.mailed_on is not None:
        return None
    curve = tuple((day, chance) for day, chance in found.by_mail_day if day >= plan.as_of)
    if not curve:
        return None
    verb = "mail" if paper.is_mailed else "file"
    return ChanceView(
        title=f"When to {verb}: {subject_of(plan, paper)}",
        under=_under(plan, found, chances, verb),
        as_of=plan.as_of,
        curve=curve,
        wanted=chances.wanted,
        marks=_marks(plan, paper, found, chances, curve),
        notices=list_cautions(plan),
    )


def _under(plan: Plan, found: PacketChance, chances: Chances, verb: str) -> tuple[str, ...]:
    wanted = say_chance(chances.wanted)
    falls = (
        f"As of {say_date(plan.as_of)}. The line falls from left to right: the later you {verb} "
        f"it, the smaller the chance that it is in time ({chances.draws:,} draws). "
        "It is the chance once the packet can be sent that day; papers it waits for may come later."
    )
    lines = [falls]
    if found.mail_by is None:
        lines.append(f"On no day to come is the chance {wanted} or better.")
    elif found.mail_by_with_return is None:
        lines.append(f"If it comes back once, no day to come leaves a chance of {wanted}.")
    elif found.binds == "return":
        lines.append(f"Room for one return is what decides here: {verb} by the earlier day.")
    soonest, likely, slow = found.ready
    lines.append(
        f"In hand by {say_date(soonest)} with a chance of 10 %, by {say_date(likely)} of 50 %, by "
        f"{say_date(slow)} of 90 %."
    )
    return tuple(lines)


def _marks(
    plan: Plan, paper: PaperPlan, found: PacketChance, chances: Chances, curve: Curve
) -> tuple[ChanceMark, ...]:
    verb = "mail" if paper.is_mailed else "file"
    wanted = say_chance(chances.wanted)
    overdue = list_once(plan, paper)
    hoped = f", {say_if_came(overdue)}" if overdue else ""
    days = (
        (curve[0][0], f"as early as you can{hoped}"),
        (found.mail_by, f"{verb} by, for a chance of {wanted}"),
        (found.mail_by_with_return, f"{verb} by, for {wanted} even if it comes back once"),
        (None if paper.is_tight else paper.mail_safe, f"safe day to {verb}"),
        (paper.mail_last, f"last day to {verb}"),
    )
    said: dict[date, list[str]] = {}
    for day, words in days:
        if day is not None and day >= plan.as_of:
            said.setdefault(day, []).append(words)
    return tuple(_mark(day, words, curve, verb) for day, words in sorted(said.items()))


def _mark(day: date, words: list[str], curve: Curve, verb: str) -> ChanceMark:
    said = f"{' and '.join(words)}: {say_date(day)}"
    if day < curve[0][0]:
        return ChanceMark(on=day, words=f"{said}, before you can {verb} it", chance=None)
    chance = find_chance(curve, day)
    return ChanceMark(on=day, words=f"{said} ({say_chance(chance)})", chance=chance)


def say_chance_view(view: ChanceView) -> str:
    """Say the picture in words, for somebody who cannot see it."""
    lines = [view.title, *view.under, *(f"{mark.words}." for mark in view.marks), *view.notices]
    return "\n".join(lines)


def lay_out_chance(view: ChanceView) -> Picture:
    """Lay the curve out on one wide page; equal input gives equal ink."""
    head, y = _make_head(view)
    foot, foot_height = _make_foot(view)
    axis = _axis(view)
    placed, label_ink, height = _make_labels(view, axis)
    y += height
    months = make_axis_head(axis, view.as_of)
    bottom = _HEIGHT - _MARGIN - foot_height - months.height - 8.0
    ink: list[Ink] = [*make_background(axis, view.as_of, (), y, bottom)]
    ink += _make_levels(view, axis, y, bottom)
    ink += _make_curve(view, axis, y, bottom)
    for mark, lane in placed:
        x = axis.at(mark.on)
        level = _height(mark.chance or 0.0, y, bottom)
        start = y + lane * _LANE + _LANE * 0.3
        ink.append(Stroke(x1=x, y1=start, x2=x, y2=level, width=0.7, color=GREY))
        if mark.chance is not None:
            ink.append(Dot(x=x, y=level, radius=3.2, fill=WHITE, width=1.2))
    ink += move_ink(label_ink, 0.0, y)
    ink += move_ink(months.ink, 0.0, bottom + 3.0)
    ink += [*head, *move_ink(foot, 0.0, _HEIGHT - _MARGIN - foot_height)]
    page = Page(width=_WIDTH, height=_HEIGHT, ink=tuple(ink))
    return Picture(title=view.title, description=say_chance_view(view), pages=(page,))


def _axis(view: ChanceView) -> Axis:
    """Show the months from today to the last day that is marked or has a chance worth naming."""
    named = [day for day, chance in view.curve if chance >= _CENT]
    last = max([view.as_of, *named, *(mark.on for mark in view.marks)])
    return Axis(
        first=view.as_of.replace(day=1),
        last=month_end(last),
        left=_MARGIN + _LEFT,
        right=_WIDTH - _MARGIN,
    )


def _height(chance: float, top: float, bottom: float) -> float:
    return bottom - chance * (bottom - top)


def _make_head(view: ChanceView) -> tuple[list[Ink], float]:
    ink: list[Ink] = []
    y = _MARGIN
    for line in wrap_text(view.title, _TITLE, _WIDTH - 2 * _MARGIN, bold=True):
        y += _TITLE * 1.15
        ink.append(make_line(_MARGIN, y, line, _TITLE, bold=True))
    y += 3.0
    for text in view.under:
        for line in wrap_text(text, _UNDER, _WIDTH - 2 * _MARGIN):
            y += _UNDER * 1.3
            ink.append(make_line(_MARGIN, y, line, _UNDER))
    return ink, y + 8.0


def _make_foot(view: ChanceView) -> tuple[tuple[Ink, ...], float]:
    ink: list[Ink] = [Stroke(x1=_MARGIN, y1=0.0, x2=_WIDTH - _MARGIN, y2=0.0, width=0.6)]
    y = 3.0
    text = " ".join([f"As of {say_date(view.as_of)}.", *view.notices])
    for line in wrap_text(text, _FOOT, _WIDTH - 2 * _MARGIN):
        y += _FOOT * 1.3
        ink.append(make_line(_MARGIN, y, line, _FOOT))
    return tuple(ink), y + 2.0


def _make_labels(
    view: ChanceView, axis: Axis
) -> tuple[list[tuple[ChanceMark, int]], tuple[Ink, ...], float]:
    """Place the words of the marks above the curve, measured up from its upper edge."""
    lanes = Lanes(left=_MARGIN, right=axis.right, size=_LABEL, near=(-1,))
    found: list[tuple[ChanceMark, int]] = []
    ink: list[Ink] = []
    for mark in view.marks:
        at = axis.at(mark.on)
        placed = lanes.place(at, (mark.words,), (at, at))
        found.append((mark, placed.lane))
        ink.append(make_line(placed.x, placed.lane * _LANE + 2.0, placed.text, _LABEL, paper=True))
    deepest = max((-lane for _, lane in found), default=0)
    return found, tuple(ink), deepest * _LANE + 12.0


def _make_levels(view: ChanceView, axis: Axis, top: float, bottom: float) -> list[Ink]:
    """Draw the levels of chance with their words at the left, the wanted one stronger."""
    ink: list[Ink] = []
    wanted_y = _height(view.wanted, top, bottom)
    for chance, words in _MARKS:
        y = _height(chance, top, bottom)
        ink.append(Stroke(x1=axis.left, y1=y, x2=axis.right, y2=y, width=0.5, color=PALE))
        if abs(y - wanted_y) > _LABEL:
            ink.append(make_line(_MARGIN, y + 3.0, words, _LABEL, color=GREY))
    ink.append(
        Stroke(x1=axis.left, y1=wanted_y, x2=axis.right, y2=wanted_y, width=0.9, dash=(4.0, 2.5))
    )
    ink.append(make_line(_MARGIN, wanted_y + 3.0, say_chance(view.wanted), _LABEL, bold=True))
    return ink


def _make_curve(view: ChanceView, axis: Axis, top: float, bottom: float) -> list[Ink]:
    points = [
        (axis.at(day), _height(chance, top, bottom))
        for day, chance in view.curve
        if day <= axis.last
    ]
    return [
        Stroke(x1=x1, y1=y1, x2=x2, y2=y2, width=2.4, color=BLACK)
        for (x1, y1), (x2, y2) in pairwise(points)
    ]
