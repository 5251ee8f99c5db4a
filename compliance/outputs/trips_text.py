"""The trips to town as text for a screen of 80 columns, and what a trip is in a few lines."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.agenda import subject_of
from compliance.engine.plan_model import Plan
from compliance.engine.sooner import Sooner
from compliance.engine.trip_model import TripPlan
from compliance.outputs.chances_text import say_chance
from compliance.outputs.trip_bring import Group
from compliance.outputs.trip_pages import (
    TripPage,
    compute_trip_pages,
    list_waiting_acts,
    say_act,
    say_fewest,
    say_no_day,
    say_plan_help,
    say_room,
)
from compliance.outputs.words import CAUTION, say_relative, wrap
from compliance.rules.model import RulesTable


def render_trips_text(
    plan: Plan,
    trips: TripPlan,
    table: RulesTable,
    until: date | None = None,
    *,
    sooner: tuple[Sooner, ...] = (),
) -> str:
    """Render the trips: how few and why, each trip with all it asks for, what is left, caution.

    Trips after *until* are only named. *sooner* is what should go before its trip for a chance.
    """
    pages = compute_trip_pages(plan, trips, table)
    now = [page for page in pages if until is None or page.on <= until]
    sections = [
        "\n".join(_head(plan, trips)),
        "\n".join(_sooner(plan, sooner)),
        *("\n".join(_trip(page, plan)) for page in now),
        "\n".join(_waiting(plan, trips)),
        "\n".join(_rest(plan, trips, pages[len(now) :])),
        wrap(CAUTION),
    ]
    return "\n\n".join(section for section in sections if section) + "\n"


def _head(plan: Plan, trips: TripPlan) -> Iterator[str]:
    yield wrap(f"{plan.operation.legal_name}: trips to town, as of {say_date(trips.as_of)}")
    for line in plan.reviews:
        yield wrap(f"! {line}", hang=2)
    for no_day in trips.no_day:
        head, help_line = say_no_day(plan, no_day)
        yield wrap(f"! {head}", hang=2)
        if help_line:
            yield wrap(f"what would help: {help_line}", indent=2, hang=4)
    plan_help = say_plan_help(plan, trips)
    if plan_help:
        yield wrap(plan_help)
    if not trips.trips:
        yield "No trip to plan now." if trips.waiting else "Nothing to do in town."
        return
    yield wrap(say_fewest(trips))
    yield wrap(say_room(trips))


def _sooner(plan: Plan, sooner: tuple[Sooner, ...]) -> Iterator[str]:
    if not sooner:
        return
    yield "GO SOONER for more certainty, as `mailby plan` says under CHANCES"
    for one in sooner:
        verb = "mail" if one.paper.is_mailed else "file"
        back = " even if it comes back once" if one.if_back else ""
        trip = "its trip" if one.on_trip else "the trips let it go"
        yield wrap(
            f"- {subject_of(plan, one.paper)}, for {say_chance(one.wanted)}{back}: {verb} by "
            f"{say_date(one.by)}, sooner than {trip}, {say_date(one.planned_on)} "
            f"({say_chance(one.left)}){_say_first(plan, one)}",
            indent=2,
            hang=4,
        )


def _say_first(plan: Plan, one: Sooner) -> str:
    """Name what must be done in town before a packet can go, each with the trip it is on now."""
    acts = []
    for step, on in one.first:
        paper = plan.find_paper(step.id.partition("/")[0])
        own = paper is None or paper.id == one.paper.id
        whose = "" if own or paper is None else f" ({subject_of(plan, paper)})"
        acts.append(f"`{step.row.title}`{whose}, now planned on {say_date(on)}")
    return f"; before it must come {', and '.join(acts)}" if acts else ""


def _trip(page: TripPage, plan: Plan) -> Iterator[str]:
    yield f"TRIP {page.number}, {say_date(page.on)}, {say_relative(page.on, plan.as_of)}"
    yield wrap(f"because of: {page.reason}", indent=2, hang=4)
    for line in page.look_out:
        yield wrap(f"! {line}", indent=2, hang=4)
    yield from _block("before you leave", page.before_leaving)
    for number, stop in enumerate(page.stops, 1):
        yield from _block("on the way", stop.on_the_way)
        yield wrap(f"{number}. {stop.heading}", indent=2, hang=5)
        yield from _groups(stop.acts)
    yield from _block("comes along", tuple(Group(text=line) for line in page.along))
    yield from _block("bring", page.bring)


def _block(heading: str, groups: tuple[Group, ...]) -> Iterator[str]:
    if groups:
        yield f"  {heading}"
        yield from _groups(groups)


def _groups(groups: tuple[Group, ...]) -> Iterator[str]:
    for group in groups:
        yield wrap(f"- {group.text}", indent=5, hang=7)
        for part in group.parts:
            yield wrap(f"- {part}", indent=8, hang=10)


def _waiting(plan: Plan, trips: TripPlan) -> Iterator[str]:
    groups = list_waiting_acts(plan, trips)
    if groups:
        yield "NO DAY YET, and so on no trip"
        yield from _groups(groups)


def _rest(plan: Plan, trips: TripPlan, later: tuple[TripPage, ...]) -> Iterator[str]:
    if later:
        yield "LATER TRIPS"
        for page in later:
            places = ", ".join(stop.heading for stop in page.stops)
            yield wrap(f"- {say_date(page.on)}: {places}", indent=2, hang=4)
    if trips.online:
        yield "NO DRIVE NEEDED, these can be done online too"
        for home in trips.online:
            yield wrap(f"- {say_act(plan, home)}", indent=2, hang=4)


def list_trip_lines(page: TripPage, *, short: bool = False) -> tuple[str, ...]:
    """List a trip in a few lines for a day's list or a calendar: places, acts, who, what to bring.

    Shape: unwrapped lines; those that belong to the one above begin with a hyphen. *short* counts
    what belongs into an envelope instead of naming it.
    """
    lines = [f"Mind: {line}" for line in page.look_out]
    for stop in page.stops:
        lines.extend(f"On the way: {_flat(group)}" for group in stop.on_the_way)
        lines.append(f"{stop.heading[0].upper()}{stop.heading[1:]}")
        lines.extend(f"- {_flat(group)}" for group in stop.acts)
    if page.along:
        lines.append(f"Comes along: {'; '.join(page.along)}")
    lines.append("Bring:")
    lines.extend(f"- {_count(group) if short else _flat(group)}" for group in page.bring)
    return tuple(lines)


def _count(group: Group) -> str:
    return f"{group.text}: {len(group.parts)} things in it" if group.parts else group.text


def _flat(group: Group) -> str:
    return f"{group.text}: {'; '.join(group.parts)}" if group.parts else group.text
