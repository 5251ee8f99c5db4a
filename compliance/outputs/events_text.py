"""What was told around flying, as text: the event, the clocks it started, what was ticked off."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.duties_model import UNNEEDED, DueDuty, DutyBook, DutyState
from compliance.facts.events import TIMED, JobEvent, JobEventKind
from compliance.facts.zones import say_clock, say_moment
from compliance.outputs.duty_groups import group_duties
from compliance.outputs.duty_words import say_due, say_lacks, say_records, say_source
from compliance.outputs.words import AVIATION_CAUTION, CAUTION, CHEMICAL_CAUTION, wrap

_WORDS = {
    JobEventKind.FLEW: "flew",
    JobEventKind.ACCIDENT: "accident",
    JobEventKind.DEPARTURE: "departure from the rules",
    JobEventKind.MOVED: "moved",
    JobEventKind.CHANGED: "changed",
    JobEventKind.ASKED: "asked for it",
    JobEventKind.TRAINED: "trained or examined",
    JobEventKind.REFUSED: "refused",
    JobEventKind.DID: "did",
    JobEventKind.WITHDRAWN: "withdrawn",
}


def say_event(event: JobEvent) -> str:
    """Say one event on one line."""
    when = say_date(event.on)
    if event.start is not None:
        when = say_moment(event.start)
        if event.end is not None:
            same = event.end.date() == event.start.date()
            end = say_clock(event.end) if same else say_moment(event.end)
            when = f"{say_date(event.on)} {say_clock(event.start)} to {end}"
            when += f" {event.end.tzname()}" if same else ""
    target = f"{event.duty}/{event.occasion}" if event.occasion else event.duty
    parts = (
        event.job,
        event.aircraft,
        event.pilot,
        event.product,
        f"re-entry after {event.re_entry_hours} hours" if event.re_entry_hours is not None else "",
        f"{target} and the earlier ones" if event.and_before else target,
        f"withdraws {event.withdraws}" if event.withdraws is not None else "",
        f"because: {event.note}" if event.note else "",
    )
    return ", ".join([f"{_WORDS[event.kind]} {when}", *(part for part in parts if part)])


def render_event(
    event: JobEvent, book: DutyBook, remarks: Sequence[str] = (), *, as_of: date
) -> str:
    """Render an event that was kept, and the duties whose clock it started, the soonest first.

    *as_of* is the day on which that is said; *remarks* say what is unusual about it, or was taken
    from the file.
    """
    started = [
        one
        for one in book.due
        if one.occasion in {f"flight-{event.number}", f"event-{event.number}"}
    ]
    lines = [wrap(f"event {event.number}: {say_event(event)}", hang=2)]
    lines.extend(wrap(f"! {remark}", hang=2) for remark in remarks)
    if event.kind is JobEventKind.ACCIDENT:
        lines.append("Help the injured first. Then:")
    groups = group_duties(one for one in started if one.is_live)
    rows = Counter(group.first.row.id for group in groups)
    for group in groups:
        duty = group.first
        mark = "" if duty.needed else f" ({UNNEEDED})"
        whose = f", for {group.about}" if rows[duty.row.id] > 1 else mark
        lines.append(wrap(f"{say_due(duty, as_of)}: {duty.row.title}{whose}", hang=2))
        lines.append(wrap(f"{say_source(group.first)}", indent=4, hang=6))
    lines.extend(_kept(started))
    lines.extend(_record(event, book, started))
    if not started:
        lines.append("No duty of your jobs or papers begins with it.")
    elif event.kind is JobEventKind.FLEW and event.re_entry_hours is None and _is_posted(started):
        lines.append(
            wrap(
                "How long the posting stays up is counted from the end of the restricted-entry "
                "interval; add --re-entry HOURS from the label to have it counted."
            )
        )
    if event.kind in TIMED:
        lines.extend(["", wrap(AVIATION_CAUTION), wrap(CHEMICAL_CAUTION)])
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def _record(event: JobEvent, book: DutyBook, started: list[DueDuty]) -> Iterator[str]:
    """Say how the record of a flight is written, or which record there is already."""
    if any(one.flight.number == event.number for one in book.unwritten):
        yield wrap(f"Write the record: mailby record {event.job} --flight {event.number}", hang=2)
    found = next((one for one in started if one.record is not None), None)
    if found is None:
        return
    if found.bare:
        yield wrap(f"{say_lacks(found)}: mailby records show {found.record}", hang=2)
        return
    shown = " and ".join(f"mailby records show {number}" for number in found.records)
    verb = "tells" if len(found.records) == 1 else "tell"
    yield wrap(f"{say_records(found.records).capitalize()} {verb} of this flight: {shown}", hang=2)


def _is_posted(started: list[DueDuty]) -> bool:
    return any(one.row.id == "epa.worker-posting" for one in started)


def _kept(started: list[DueDuty]) -> Iterator[str]:
    for group in group_duties(one for one in started if one.state is DutyState.RUNNING):
        yield wrap(f"through {say_date(group.first.due_on)}: {group.first.row.title}", hang=2)


def render_ticked(event: JobEvent, settled: tuple[DueDuty, ...]) -> str:
    """Render what was ticked off."""
    lines = [wrap(f"event {event.number}: {say_event(event)}", hang=2)]
    lines.extend(wrap(f"done: {one.row.title}, for {one.about}", hang=2) for one in settled)
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"
