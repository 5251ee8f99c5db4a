"""How a duty is said: when, what for, on whose word; shared by every output that names one."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from compliance.base.dates import say_date, say_days
from compliance.engine.duties_model import (
    DueDuty,
    DutyState,
    Span,
    UndatedDuty,
    UnwrittenFlight,
    say_owner,
)
from compliance.facts.basis import WORDS_OF_CONFIDENCE, Confidence
from compliance.facts.record_elements import ELEMENTS
from compliance.facts.zones import say_clock, say_moment
from compliance.outputs.words import say_relative
from compliance.rules.model import DueUnit, DutyEvent, DutyKind, DutyRow, Row

_UNITS = {
    DueUnit.DAYS: "day",
    DueUnit.BUSINESS_DAYS: "federal working day",
    DueUnit.HOURS: "hour",
    DueUnit.MONTHS: "month",
}
_COMMANDS = {
    DutyEvent.FLIGHT: "flew",
    DutyEvent.ACCIDENT: "accident",
    DutyEvent.DEPARTURE: "departure",
    DutyEvent.ADDRESS_CHANGE: "moved",
    DutyEvent.CHANGE: "changed",
    DutyEvent.REQUEST: "asked",
    DutyEvent.TRAINING: "trained",
    DutyEvent.REFUSAL: "refused",
}


def say_older(duties: Iterable[DueDuty]) -> tuple[str, ...]:
    """Say how much of more than a year ago is not ticked off, one line a report or duty."""
    counts: dict[str, list[DueDuty]] = {}
    for one in duties:
        if one.is_live:
            counts.setdefault(say_owner(one.row.id, one.holder), []).append(one)
    return tuple(
        f"{_say_older(found)}: {found[0].row.title}; `mailby duties --all` lists them, "
        f"`mailby log did {owner}/{found[-1].occasion} --and-before` ticks them"
        for owner, found in counts.items()
    )


def _say_older(found: list[DueDuty]) -> str:
    is_of_months = DutyEvent.MONTH_FLOWN in found[0].row.events
    since = found[0].occasion if is_of_months else say_date(found[0].event_on)
    words = ("month is", "months are") if is_of_months else ("flight is", "flights are")
    return f"{len(found)} older {words[len(found) > 1]} left out, from {since} on"


def pick_live(duties: Iterable[DueDuty], as_of: date, days: int) -> tuple[DueDuty, ...]:
    """Keep what somebody has to do: overdue, or its last day within so many days, inclusive."""
    end = as_of + timedelta(days=days)
    return tuple(one for one in duties if one.is_live and one.due_on <= end)


def say_due(duty: DueDuty, as_of: date) -> str:
    """Say by when, in one phrase: the day or the moment, and how far off it is."""
    when = say_moment(duty.due_at) if duty.due_at is not None else say_date(duty.due_on)
    if duty.is_careful:
        return say_careful(when)
    if duty.any_hour and duty.state in {DutyState.OVERDUE, DutyState.LATE_FOR_SOME}:
        return f"TOO LATE for {_say_starts(duty, as_of)}"
    if duty.state is DutyState.OVERDUE:
        return f"OVERDUE since {when}"
    how_far = say_relative(duty.due_on, as_of)
    if duty.opens_at is None and duty.due_at is None and duty.opens_on == duty.due_on:
        return f"on {when}, {how_far}"
    return f"{_say_opening(duty, as_of)}by {when}, {how_far}"


def say_careful(when: str) -> str:
    """Say by when a record is written with care, where no time was found in the rule."""
    return f"careful practice: by {when}, no time was found in the rule"


def _say_starts(duty: DueDuty, as_of: date) -> str:
    """Say which starts of a flight whose hour is not known can no longer be told of in time."""
    day = say_relative(duty.event_on, as_of)
    day = day if day in {"today", "tomorrow"} else f"on {say_date(duty.event_on)}"
    if duty.state is DutyState.OVERDUE:
        return f"any start {day}"
    if duty.start_from is None:
        return f"an early start {day}"
    return f"a start before {say_clock(duty.start_from)} {duty.start_from.tzname()} {day}"


def _say_opening(duty: DueDuty, as_of: date) -> str:
    opens: date | datetime | None = duty.opens_at or duty.opens_on
    if opens is None or duty.opens_on is None or duty.opens_on < as_of:
        return ""
    return f"from {say_moment(opens) if isinstance(opens, datetime) else say_date(opens)} "


def say_hours_unknown(duty: DueDuty) -> str:
    """Say how the days were taken when the hour of the flight is not known, or nothing."""
    if not duty.any_hour:
        return ""
    rule = say_rule(duty.row)
    right = "; this day is right whatever hour you start"
    if duty.hour_fault:
        fits = duty.state is DutyState.OPEN and (not duty.row.opens or duty.opens_on is not None)
        return f"{rule}{right if fits else ''}; {duty.hour_fault}"
    if duty.row.opens and duty.opens_on is None:
        return (
            f"{rule}; no whole day fits every hour of starting, so count the hours yourself, or "
            f"give the job a line `first_flight: 06:30`"
        )
    if duty.state is not DutyState.OPEN:
        return f"{rule}; a line `first_flight: 06:30` on the job gives the hours"
    return f"{rule}{right}, and a line `first_flight: 06:30` on the job gives the hours"


def say_what(duty: DueDuty) -> str:
    """Say what is to be done in the rule's words, and when they do not hold; empty without any."""
    if duty.row.what and duty.term is not None:
        return f"the rule's own words, in place of which your document counts: {duty.row.what}"
    return duty.row.what


def say_lacks(duty: DueDuty) -> str:
    """Say what the record that a duty asks for still lacks, or which hours of the flight have none.

    Shape: empty when nothing is missing, or when there is no record at all.
    """
    parts = []
    if duty.record is not None and duty.lacks:
        words = ", ".join(ELEMENTS[name].words for name in duty.lacks)
        early = f", {say_early(duty)}" if say_early(duty) else ""
        parts.append(f"written as record {duty.record}{early}, lacks: {words}")
    if duty.bare and duty.is_live:
        parts.append(_say_bare(duty.records, duty.bare))
    return "; ".join(parts)


def say_records(numbers: tuple[int, ...]) -> str:
    """Name records by their numbers."""
    word = "record" if len(numbers) == 1 else "records"
    return f"{word} {' and '.join(map(str, numbers))}"


def say_spans(spans: Iterable[Span]) -> str:
    """Say hours of a flight, day by day, with the letters of their zone."""
    return " and ".join(
        f"{say_date(begun.date())} {say_clock(begun)} to "
        f"{say_clock(ended) if ended.date() == begun.date() else 'midnight'} {begun.tzname()}"
        for begun, ended in spans
    )


def _say_bare(records: tuple[int, ...], bare: tuple[Span, ...]) -> str:
    """Say that the records of a flight over midnight leave hours out."""
    verb = "tells" if len(records) == 1 else "tell"
    return f"no record of {say_spans(bare)}; {say_records(records)} {verb} of the rest"


def say_early(duty: DueDuty) -> str:
    """Say that the record of a duty was first written before its work as corrected, or nothing."""
    if duty.early_on is None:
        return ""
    return f"first written {say_date(duty.early_on)}, before its work as corrected"


def say_unwritten(one: UnwrittenFlight, as_of: date) -> str:
    """Say by when the record of a flight is to be written, or that nobody here knows."""
    bare = f"{_say_bare(one.records, one.bare)}; " if one.bare else ""
    if one.due_on is None:
        return f"{bare}no rule known here says by when its record is written; ask the agency"
    when = say_moment(one.due_at) if one.due_at is not None else say_date(one.due_on)
    if one.careful:
        return f"{bare}{say_careful(when)}"
    word = "was" if one.due_on < as_of else "is"
    return f"{bare}its record {word} due by {when}, {say_relative(one.due_on, as_of)}"


def say_pack(row: Row) -> str:
    """Mark a row that comes from a pack of the user's own, or say nothing."""
    return f" (your own rule, pack {row.pack})" if row.pack else ""


def say_rule(row: DutyRow) -> str:
    """Say how a duty is counted, as its row or the holder's own document has it."""
    if row.unit is DueUnit.DAY_OF_NEXT_MONTH:
        return f"by day {row.count} of the next month"
    side = "before" if row.before else "after"
    if row.count == 0 and row.unit is not DueUnit.MONTHS:
        return f"at once, {row.trigger}" if row.unit is DueUnit.HOURS else f"on {row.trigger}"
    window = f" and not earlier than {_count(row.opens, row.unit)}" if row.opens else ""
    return f"{_count(row.count, row.unit)}{window} {side} {row.trigger}"


def _count(count: int, unit: DueUnit) -> str:
    word = _UNITS[unit]
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def say_source(duty: DueDuty) -> str:
    """Say on whose word it rests: the holder's own document, or the table's source."""
    basis = duty.row.basis
    pack = say_pack(duty.row)
    strict = say_beside(duty)
    if duty.term is not None:
        own = f"from your own document: {duty.term.document}{strict}"
        return f"{own}; otherwise {basis.citation}{pack}"
    return f"{basis.citation}; {WORDS_OF_CONFIDENCE[basis.confidence]}{strict}{pack}"


def say_beside(duty: DueDuty | UndatedDuty) -> str:
    """Say that of several papers in force at once the strictest counts, or nothing."""
    parts = []
    if duty.not_before:
        parts.append(f"not sooner than {duty.not_before} allows, so that it suits both")
    if duty.beside:
        parts.append(f"less strict: {', '.join(duty.beside)}")
    if duty.apart:
        names = " and ".join(duty.apart)
        parts.append(f"no one moment suits both this and {names}, so ask the agency which counts")
    return f", the stricter of what is in force; {'; '.join(parts)}" if parts else ""


def say_short_source(duty: DueDuty) -> str:
    """Name the document or the citation only, and warn when it is from memory or in conflict."""
    strict = say_beside(duty)
    if duty.term is not None:
        return f"your own document: {duty.term.document}{strict}"
    unsure = {Confidence.MEMORY, Confidence.CONFLICTING}
    tail = "; confirm it first" if duty.row.basis.confidence in unsure else ""
    pack = f"; your own rule, pack {duty.row.pack}" if duty.row.pack else ""
    return f"{duty.row.basis.citation}{strict}{tail}{pack}"


def say_start(row: DutyRow) -> str:
    """Name the command that starts the clock of a duty, or nothing when none does."""
    return next((_COMMANDS[event] for event in row.events if event in _COMMANDS), "")


def say_overdue(duty: DueDuty, as_of: date) -> str:
    """Say what to do about something overdue, or late for some starts of a flight."""
    if duty.row.kind is DutyKind.TELL_BEFORE and duty.row.unit is DueUnit.HOURS and duty.row.before:
        return _say_wait(duty)
    late = (as_of - duty.due_on).days
    since = f"{say_days(late)} late" if late > 0 else "late since today"
    if duty.row.kind is DutyKind.TELL_BEFORE:
        return f"{since}; the flight must wait until the time asked for has passed"
    return f"{since}; do it now, and write down why it is late"


def _say_wait(duty: DueDuty) -> str:
    """Say how long a flight must wait for a notice that was not given in time."""
    if duty.start_from is not None:
        return f"told now, it is in time for a start from {say_moment(duty.start_from)} on"
    hours = _count(duty.row.count, duty.row.unit)
    return f"once it is told the flight must wait {hours}"
