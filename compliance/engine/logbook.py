"""Whether a new log entry makes sense after what is there already."""

from datetime import date

from compliance.base.dates import say_date
from compliance.base.problems import Problem, SourceRef
from compliance.base.reading import suggest
from compliance.engine.packets import Packet
from compliance.engine.progress import find_logged_step, find_returnable, round_of
from compliance.engine.sent_mail import is_mailed, say_filed
from compliance.facts.log import EventKind, LogEntry, find_standing
from compliance.rules.model import RulesTable, StepKind, StepRow, StepUse

# These need no step of their own: a fee may be paid at any time, and to ask does no step.
_WITHOUT_STEP = {EventKind.RETURNED, EventKind.GRANTED, EventKind.PAID, EventKind.HEARD}
_KEEPABLE = {EventKind.SIGNED, EventKind.NOTARIZED, EventKind.PAID}
_AFTER_MAILING = {EventKind.RECEIVED, EventKind.RETURNED, EventKind.GRANTED}


def check_log_entry(
    packet: Packet, log: tuple[LogEntry, ...], entry: LogEntry, as_of: date, place: SourceRef
) -> tuple[Problem, ...]:
    """Check one entry against the day, the packet's steps and the entries that stand.

    Shape: every fault found; an empty tuple when the entry may be kept. Codes L31 to L38, L40,
    L43, L44 and L47.
    """
    found: list[tuple[str, str, str]] = []
    if (entry.valid_through or date.max) < (entry.issued_on or date.min):
        found.append(("L37", "valid through lies before issued on", "look at the paper again"))
    if entry.kind is EventKind.RETURNED and not entry.reason:
        hint = 'add --reason "what the office wrote"; it becomes a check of the next mailing'
        found.append(("L35", "a return needs its reason", hint))
    found.extend(_check_still_good(packet, entry))
    found.extend(_check_heard(packet, entry))
    if entry.kind is EventKind.MAILED and entry.service is not None and not is_mailed(packet):
        found.append(("L47", say_filed(packet), "leave `service` out"))
    step = _find_step(packet, entry)
    if step is None and entry.kind not in _WITHOUT_STEP:
        found.append(_no_step(packet, entry))
    found.extend(_check_order(packet, log, entry))
    if entry.kind is EventKind.RETURNED:
        found.extend(_check_return_day(packet, entry))
    elif step is not None:
        found.extend(_check_days(packet, step, entry))
    if step is not None:
        found.extend(_check_twice(packet, step, log, entry))
    problems = (
        Problem(place=place, code=code, sentence=sentence, hint=hint)
        for code, sentence, hint in found
    )
    return (*check_not_future(entry.happened_on, as_of, place), *problems)


def _find_step(packet: Packet, entry: LogEntry) -> StepRow | None:
    """Find the step an entry is about: one in force on its day, else one of another edition."""
    known = packet.steps if packet.editions is None else packet.editions.steps
    return find_logged_step((*packet.steps_on(entry.happened_on), *known), entry.kind, entry.step)


def _names(packet: Packet, entry: LogEntry) -> str:
    step = _find_step(packet, entry)
    return step.name if step is not None else ""


def check_not_future(happened_on: date, as_of: date, place: SourceRef) -> tuple[Problem, ...]:
    """Check that an entry is about a day up to *as_of*, inclusive. Code L31."""
    if happened_on <= as_of:
        return ()
    sentence = f"{say_date(happened_on)} is in the future"
    hint = "log things on the day they happen; to take another day as today: --today DATE"
    return (Problem(place=place, code="L31", sentence=sentence, hint=hint),)


def find_keepable(packet: Packet) -> tuple[StepRow, ...]:
    """Give the acts of a return path that may be left as they are: signing, the notary, paying."""
    back = find_returnable(packet.steps)
    path = back.return_path if back is not None else ()
    return tuple(
        row
        for row in packet.steps
        if row.name in path
        and row.kind is StepKind.ACT
        and row.use is not StepUse.AFTER_RETURN
        and row.event in _KEEPABLE
    )


def _check_still_good(packet: Packet, entry: LogEntry) -> list[tuple[str, str, str]]:
    known = [row.name for row in find_keepable(packet)]
    return [
        (
            "L40",
            f"{packet.id} has no step `{name}` that can be left as it is after a return",
            suggest(name, known) or f"it knows: {', '.join(known) or 'none'}",
        )
        for name in entry.still_good
        if name not in known
    ]


def _check_heard(packet: Packet, entry: LogEntry) -> list[tuple[str, str, str]]:
    """Check what an office said: of a packet that was there on that day, and of a day to come."""
    if entry.kind is not EventKind.HEARD:
        return []
    if not packet.progress.is_at_office:
        sentence = f"{packet.id} is not at an office, so no office can say what has become of it"
        return [("L43", sentence, f"log it first: mailby log mailed {packet.id} --on DATE")]
    found = []
    sent = [
        day
        for (name, turn), day in packet.progress.done.items()
        if turn == packet.progress.round and _is_sending(packet, name)
    ]
    if sent and entry.happened_on < max(sent):
        sentence = f"the office cannot have been heard on {say_date(entry.happened_on)}: "
        sentence += f"{packet.id} was sent off only on {say_date(max(sent))}"
        found.append(("L34", sentence, "give the right day with --on, or withdraw the other"))
    if not entry.reason:
        found.append(("L44", "what the office said is missing", 'add --said "in your own words"'))
    if entry.expects is not None and entry.expects < entry.happened_on:
        sentence = f"the day they expect, {say_date(entry.expects)}, lies before the day they "
        sentence += f"said so, {say_date(entry.happened_on)}"
        found.append(("L44", sentence, "correct --expects, or leave it out"))
    return found


def _is_sending(packet: Packet, name: str) -> bool:
    return any(row.name == name and row.event is EventKind.MAILED for row in packet.steps)


def say_not_needed(
    name: str,
    table: RulesTable,
    entry: LogEntry,
    place: SourceRef,
) -> tuple[Problem, ...]:
    """Say that an entry is about a packet that no job needs or ever needed, and why. Code L41."""
    papers = {row.id for row in table.papers}
    hint = f"mailby why {entry.paper} says why; load the job that needs it, or leave this entry out"
    sentence = f"{name} is not needed for the jobs planned"
    if entry.paper not in papers:
        sentence = f"no paper is called {entry.paper!r}"
        near = suggest(entry.paper, papers) or "mailby rules list names the papers."
        hint = (
            f"{near} If it is of a pack of your own, add that first: mailby rules add FILE; or "
            "leave this entry out"
        )
    return (Problem(place=place, code="L41", sentence=sentence, hint=hint),)


def _no_step(packet: Packet, entry: LogEntry) -> tuple[str, str, str]:
    events = dict.fromkeys(
        str(step.event) for step in packet.steps if step.event is not EventKind.DONE
    )
    names = ", ".join(step.name for step in packet.steps)
    what = f"step `{entry.step}`" if entry.step else f"step that is `{entry.kind}`"
    hint = f"it knows: {', '.join(events) or 'nothing'}; or `done` with --step one of: {names}"
    return "L32", f"{packet.id} has no {what}", hint


def _check_order(
    packet: Packet, log: tuple[LogEntry, ...], entry: LogEntry
) -> list[tuple[str, str, str]]:
    """Refuse an event whose forerunner has not been logged in the present round."""
    wanted: EventKind | None = None
    if entry.kind is EventKind.MAILED:
        wanted = EventKind.NOTARIZED
    elif entry.kind in _AFTER_MAILING:
        wanted = EventKind.MAILED
    asked = packet.steps_on(entry.happened_on)
    before = find_logged_step(asked, wanted, "") if wanted is not None else None
    if wanted is None or before is None:
        return []
    turn = round_of(before, find_returnable(packet.steps), packet.progress.round)
    if (before.name, turn) in packet.progress.done:
        return []
    if before.name in packet.progress.still_good(turn):
        return []
    grant = _find_grant(log, entry) if entry.kind in _AFTER_MAILING else None
    if grant is not None:
        sentence = f"{packet.id} was granted on {say_date(grant.happened_on)}, and nothing is "
        sentence += f"logged as mailed since, so it cannot be {entry.kind}"
        sentence += " again" if entry.kind is EventKind.GRANTED else ""
        hint = f"if it was not granted: mailby log withdraw {grant.number}; if a renewal was "
        hint += f"mailed, log that first: mailby log mailed {packet.id} --on DATE"
        return [("L33", sentence, hint)]
    sentence = f"{packet.id} cannot be {entry.kind} before it is {wanted}"
    hint = f"log it first: mailby log {wanted} {packet.id} --on DATE"
    return [("L33", sentence, hint)]


def _find_grant(log: tuple[LogEntry, ...], entry: LogEntry) -> LogEntry | None:
    """Find the grant that ended the run of a packet before its next mailing, if one did."""
    own = (entry.paper, entry.holder)
    ends = [
        one
        for one in find_standing(log)
        if (one.paper, one.holder) == own and one.kind in {EventKind.GRANTED, EventKind.MAILED}
    ]
    return ends[-1] if ends and ends[-1].kind is EventKind.GRANTED else None


def _check_days(packet: Packet, step: StepRow, entry: LogEntry) -> list[tuple[str, str, str]]:
    titles = {row.name: row.title for row in packet.all_steps}
    turn = round_of(step, find_returnable(packet.steps), packet.progress.round)
    before, behind = _ancestors(packet, step.name), _descendants(packet, step.name)
    for (name, at), day in packet.progress.done.items():
        earlier = at < turn or (at == turn and name in before)
        later = at == turn and name in behind
        if (earlier and day > entry.happened_on) or (later and day < entry.happened_on):
            word = "only later" if earlier else "already"
            sentence = (
                f"`{step.title}` cannot be on {say_date(entry.happened_on)}: "
                f"`{titles.get(name, name)}` came {word}, on {say_date(day)}"
            )
            # One day that does not fit says it all; the others would repeat it.
            return [("L34", sentence, "give the right day with --on, or withdraw the other")]
    return []


def _check_return_day(packet: Packet, entry: LogEntry) -> list[tuple[str, str, str]]:
    """Refuse a return on a day before the mailing it answers, or before what led to that."""
    titles = {row.name: row.title for row in packet.all_steps}
    turn = packet.progress.round
    review = find_returnable(packet.steps_on(entry.happened_on)) or find_returnable(packet.steps)
    before = _ancestors(packet, review.name) if review is not None else set()
    for (name, at), day in packet.progress.done.items():
        led_to_it = at < turn or name in before or _is_sending(packet, name)
        if led_to_it and day > entry.happened_on:
            sentence = (
                f"{packet.id} cannot have come back on {say_date(entry.happened_on)}: "
                f"`{titles.get(name, name)}` came only later, on {say_date(day)}"
            )
            return [("L34", sentence, "give the right day with --on, or withdraw the other")]
    return []


def _ancestors(packet: Packet, name: str) -> set[str]:
    rows = {row.name: row for row in packet.all_steps}
    found: set[str] = set()
    waiting = list(rows[name].after)
    while waiting:
        before = waiting.pop()
        if before in rows and before not in found:
            found.add(before)
            waiting.extend(rows[before].after)
    return found


def _descendants(packet: Packet, name: str) -> set[str]:
    return {row.name for row in packet.all_steps if name in _ancestors(packet, row.name)}


def _check_twice(
    packet: Packet, step: StepRow, log: tuple[LogEntry, ...], entry: LogEntry
) -> list[tuple[str, str, str]]:
    turn = round_of(step, find_returnable(packet.steps), packet.progress.round)
    day = packet.progress.done.get((step.name, turn))
    if day is None or entry.kind in {EventKind.RETURNED, EventKind.GRANTED}:
        return []
    numbers = [
        old.number
        for old in find_standing(log)
        if (old.paper, old.holder, old.happened_on) == (entry.paper, entry.holder, day)
        and _names(packet, old) == step.name
    ]
    sentence = f"`{step.name}` of {packet.id} is logged already, on {say_date(day)}"
    return [("L38", sentence, f"to correct it: mailby log withdraw {numbers[-1]}")]
