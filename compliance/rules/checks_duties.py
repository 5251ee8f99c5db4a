"""Checks of duties: the event, the way they count and what they ask for fit together."""

from collections.abc import Iterator

from compliance.base.problems import Problem
from compliance.rules.checks_parts import problem_at
from compliance.rules.model import DueUnit, DutyEvent, DutyRow, RulesTable

# What has an hour of its own; everything else happens on a day.
CLOCK_EVENTS = frozenset(
    {DutyEvent.FLIGHT_START, DutyEvent.FLIGHT, DutyEvent.ACCIDENT, DutyEvent.DEPARTURE}
)
# What is known ahead, so that something can be due before it.
AHEAD = frozenset(
    {
        DutyEvent.FLIGHT_START,
        DutyEvent.JOB_START,
        DutyEvent.PAPER_ENDS,
        DutyEvent.ADDRESS_CHANGE,
        DutyEvent.CHANGE,
        DutyEvent.SEASON_YEAR,
        DutyEvent.OTHER,
    }
)
# What lasts, so that it can end on another day than it began.
HAS_AN_END = frozenset({DutyEvent.FLIGHT, DutyEvent.RE_ENTRY_ENDS})
OF_A_PAPER = frozenset({DutyEvent.PAPER_ISSUED, DutyEvent.PAPER_ENDS, DutyEvent.PACKET_FILED})


def check_duties(table: RulesTable) -> Iterator[Problem]:
    """The event of a duty fits its direction, its unit and its paper (R68)."""
    for duty in table.duties:
        for sentence, hint in find_misfits(duty):
            yield problem_at(duty.place, "68", f"duty `{duty.id}` {sentence}", hint)


def find_misfits(duty: DutyRow) -> Iterator[tuple[str, str]]:
    """Give what does not fit together in one duty: a sentence without its subject, and a hint."""
    for event in duty.events:
        if duty.before and event not in AHEAD:
            yield (
                f"is due before `{event}`, which nobody knows ahead",
                "write `direction: after`, or another `event`",
            )
        if not duty.before and event is DutyEvent.FLIGHT_START:
            yield "is due after `flight-start`", "write `event: flight`"
        if duty.unit is DueUnit.HOURS and event not in CLOCK_EVENTS:
            yield f"counts hours from `{event}`, which has no hour", "count days, or another event"
        if duty.unit is DueUnit.DAY_OF_NEXT_MONTH and event is not DutyEvent.MONTH_FLOWN:
            yield (
                f"names a day of the next month, but its event is `{event}`",
                "write `event: month-flown`",
            )
        if event in OF_A_PAPER and not duty.paper:
            yield f"has the event `{event}` but belongs to no paper", "move it below its paper"
    if bool(duty.year_day) is not (DutyEvent.SEASON_YEAR in duty.events):
        yield (
            "needs `event: season-year` and `year_day` together",
            "write both, or neither",
        )
    if duty.from_end and (duty.before or not HAS_AN_END & set(duty.events)):
        yield (
            "counts `from_end`, but before its event or from one without an end of its own",
            "write `direction: after` and `event: flight`, or leave it out",
        )
    if duty.opens and not (duty.before and duty.opens > duty.count):
        yield (
            f"opens {duty.opens} {duty.unit} before its event but closes at {duty.count}",
            "`opens` is for `direction: before` and larger than `count`",
        )
