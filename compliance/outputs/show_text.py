"""What is known, what changed and what was logged, as text."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.packets import packet_id
from compliance.engine.plan_model import Plan
from compliance.facts.compare import Change
from compliance.facts.events import JobEvent
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Address, Operation
from compliance.facts.places import describe_place
from compliance.facts.products import LABEL_BARS, ByAir
from compliance.facts.zones import say_first_flight_faults, say_zone
from compliance.outputs.events_text import say_event
from compliance.outputs.office_words import say_moved
from compliance.outputs.words import AT_USUAL_PACE, CAUTION, say_late_job, say_waiting, wrap

_REASON = {EventKind.HEARD: "they said"}


def render_changes(operation: Operation, changes: tuple[Change, ...]) -> str:
    """Render what a loaded file changed."""
    if not changes:
        lines = [f"{operation.legal_name}: nothing has changed", *_clocks(operation)]
        return "\n".join(lines) + "\n"
    lines = [wrap(f"{operation.legal_name} ({operation.id}) is kept:")]
    lines.extend(wrap(str(change), indent=2, hang=4) for change in changes)
    lines.extend(_clocks(operation))
    lines.append("Next: mailby plan")
    return "\n".join(lines) + "\n"


def render_facts(
    operation: Operation, log: tuple[LogEntry, ...], events: tuple[JobEvent, ...] = ()
) -> str:
    """Render everything known of an operation, then its logs with the entries' numbers."""
    sections = (
        _head(operation),
        _aircraft(operation),
        _jobs(operation),
        *((_products(operation),) if operation.products else ()),
        _papers(operation),
        _closures(operation),
        _log(operation, log),
        *((_events(events),) if events else ()),
        (wrap(CAUTION),),
    )
    return "\n\n".join("\n".join(section) for section in sections) + "\n"


def _clocks(operation: Operation) -> Iterator[str]:
    """Say of each job why the hour of its first flight is not used."""
    for job in operation.jobs:
        for fault in say_first_flight_faults(operation, job, job.first_day):
            yield wrap(f"! {fault}", hang=2)


def _head(operation: Operation) -> Iterator[str]:
    managed = f", managed by {operation.managed_by}" if operation.managed_by else ""
    yield wrap(f"{operation.legal_name} ({operation.id}), {operation.entity}{managed}")
    yield wrap(f"home state   {operation.home_state}", indent=2, hang=15)
    yield wrap(f"mail to      {_address(operation.mailing_address)}", indent=2, hang=15)
    if operation.physical_address is not None:
        yield wrap(f"place        {_address(operation.physical_address)}", indent=2, hang=15)
    contact = (operation.contact_name, operation.contact_phone, operation.contact_email)
    yield wrap(f"contact      {', '.join(part for part in contact if part)}", indent=2, hang=15)
    yield f"  mail service {operation.mail_service}"
    yield f"  notary       {', '.join(operation.notary_days)}"
    yield f"  post office  {', '.join(operation.post_office_days)}"
    if operation.time_zone:
        yield f"  clock        {say_zone(operation.time_zone)}"
    yield from _clocks(operation)
    for place in operation.places:
        yield wrap(f"in town      {describe_place(place)}", indent=2, hang=15)
    for pilot in operation.pilots:
        yield wrap(f"pilot        {pilot.name} ({pilot.id})", indent=2, hang=15)


def _address(address: Address) -> str:
    return ", ".join(address.lines)


def _aircraft(operation: Operation) -> Iterator[str]:
    yield "AIRCRAFT"
    for one in operation.aircraft:
        number = f", {one.registration_number}" if one.registration_number else ""
        serial = f"serial {one.serial}"
        if one.remote_id_serial:
            serial += f", Remote ID {one.remote_id_serial}"
        yield wrap(
            f"{one.id}: {one.maker} {one.model}, {serial}, {one.takeoff_weight_lb:f} lb at "
            f"take-off, {one.acquired}{number}",
            indent=2,
            hang=4,
        )


def _jobs(operation: Operation) -> Iterator[str]:
    yield "JOBS"
    for job in operation.jobs:
        hire = "for hire" if job.for_hire else "own land"
        product = ", restricted-use product" if job.restricted_use else ""
        flags = [
            words
            for words, holds in (
                ("controlled airspace", job.controlled_airspace),
                ("outside the blanket authorization", job.outside_blanket_area),
                ("congested area", job.congested_area),
            )
            if holds
        ]
        extra = f", {', '.join(flags)}" if flags else ""
        crew = f"{', '.join(job.aircraft)} with {', '.join(job.pilots)}"
        yield wrap(
            f"{job.id}: {say_date(job.first_day)} to {say_date(job.last_day)}, {job.state}, "
            f"{hire}, {job.material}{product}{extra}; {crew}",
            indent=2,
            hang=4,
        )
        more = (
            f"first flight of the day {job.first_flight}" if job.first_flight else "",
            say_zone(job.time_zone) if job.time_zone else "",
            f"products: {', '.join(job.products)}" if job.products else "",
        )
        if any(more):
            yield wrap("; ".join(filter(None, more)), indent=6, hang=8)


_BY_AIR = {
    ByAir.YES: "its label allows it by air",
    ByAir.NO: f"! {LABEL_BARS}",
    ByAir.UNKNOWN: "its label not read yet as to the air",
}


def _products(operation: Operation) -> Iterator[str]:
    yield "PRODUCTS"
    for product in operation.products:
        hours = product.re_entry_hours
        parts = (
            f"number {product.registration}" if product.registration else "",
            product.active_ingredient,
            product.maker,
            "restricted-use" if product.restricted_use else "",
            "" if hours is None else f"nobody enters for {hours} h",
            _BY_AIR[product.by_air],
        )
        text = f"{product.id}: {product.name}, {', '.join(filter(None, parts))}"
        yield wrap(text, indent=2, hang=4)


def _papers(operation: Operation) -> Iterator[str]:
    yield "PAPERS HELD"
    for held in operation.papers:
        parts = [f"number {held.number}"] if held.number else []
        if held.issued_on is not None:
            parts.append(f"issued {say_date(held.issued_on)}")
        if held.valid_through is not None:
            parts.append(f"through {say_date(held.valid_through)}")
        who = operation.say_holder(held.holder)
        yield wrap(f"{held.paper}, {who}: {', '.join(parts) or 'no details'}", indent=2, hang=4)
        for term in held.own_terms:
            yield wrap(f"its own term: {term}", indent=6, hang=8)


def _closures(operation: Operation) -> Iterator[str]:
    yield "DAYS THAT DO NOT COUNT"
    for closure in operation.closures:
        why = f", {closure.why}" if closure.why else ""
        span = f"{say_date(closure.first_day)} to {say_date(closure.last_day)}"
        yield wrap(f"{closure.who}: {span}{why}", indent=2, hang=4)


def _log(operation: Operation, log: tuple[LogEntry, ...]) -> Iterator[str]:
    yield "LOG"
    withdrawn = {entry.withdraws for entry in log if entry.withdraws is not None}
    for entry in log:
        gone = " (withdrawn)" if entry.number in withdrawn else ""
        yield wrap(f"{entry.number}. {_say_entry(operation, entry)}{gone}", indent=2, hang=5)
    if not log:
        yield "  nothing yet"


def _events(events: tuple[JobEvent, ...]) -> Iterator[str]:
    yield "AROUND FLYING"
    withdrawn = {event.withdraws for event in events if event.withdraws is not None}
    for event in events:
        gone = " (withdrawn)" if event.number in withdrawn else ""
        yield wrap(f"{event.number}. {say_event(event)}{gone}", indent=2, hang=5)


def _say_entry(operation: Operation, entry: LogEntry) -> str:
    day = say_date(entry.happened_on)
    if entry.kind is EventKind.WITHDRAWN:
        return f"{day}: entry {entry.withdraws} withdrawn"
    who = operation.say_holder(entry.holder)
    details = [
        text
        for text in (
            entry.step,
            f"by {entry.service}" if entry.service is not None else "",
            f"tracking {entry.tracking}" if entry.tracking else "",
            f"number {entry.paper_number}" if entry.paper_number else "",
            f"issued {say_date(entry.issued_on)}" if entry.issued_on else "",
            f"through {say_date(entry.valid_through)}" if entry.valid_through else "",
            f"{_REASON.get(entry.kind, 'reason')}: {entry.reason}" if entry.reason else "",
            f"expected by them on {say_date(entry.expects)}" if entry.expects else "",
            f"at fault: {', '.join(entry.blanks)}" if entry.blanks else "",
            f"still good: {', '.join(entry.still_good)}" if entry.still_good else "",
        )
        if text
    ]
    tail = f"; {', '.join(details)}" if details else ""
    return f"{day}: {entry.kind} {entry.paper}, {who}{tail}"


def say_needed_no_more(packet: str, entry: LogEntry, judged_on: date | None) -> str:
    """Say that a new log entry is about a packet that no job needs any more.

    *judged_on* is the day of the earlier plan it was judged by, None when today's judged it.
    """
    judged = ""
    if judged_on is not None:
        which = "the day it happened"
        if judged_on != entry.happened_on:
            which = "the last day on which a job needed it"
        judged = f"it was judged by the plan of {say_date(judged_on)}, {which}; "
    return f"{packet}: no job needs it any more; {judged}the entry is kept"


def render_logged(
    entry: LogEntry, plan: Plan, doubts: tuple[str, ...] = (), judged_on: date | None = None
) -> str:
    """Render a new log entry, what is worth a look in it, and what follows for its packet."""
    lines = [wrap(f"logged as entry {entry.number}: {_say_entry(plan.operation, entry)}", hang=2)]
    lines.extend(wrap(f"- {doubt}", indent=2, hang=4) for doubt in doubts)
    name = packet_id(entry.paper, entry.holder)
    if plan.find_paper(name) is None:
        lines.append(wrap(say_needed_no_more(name, entry, judged_on), indent=2, hang=4))
    for paper in plan.papers:
        packet = paper.packet
        if paper.id != name:
            continue
        if not packet.planned:
            through = packet.valid_through
            end = f"through {say_date(through)}" if through else "no last day known"
            lines.append(wrap(f"{paper.id} is in hand, {end}", indent=2))
            continue
        waits = say_waiting(paper, with_day=False)
        lines.append(wrap(f"{paper.id}: {paper.state}; it waits on {waits}", indent=2, hang=4))
        if paper.overdue_since is None:
            lines.append(f"  ready {say_date(paper.earliest_ready)} {AT_USUAL_PACE}")
        if entry.kind is EventKind.HEARD and paper.ask_day is not None:
            lines.append(wrap(say_moved(paper.ask_day), indent=2, hang=4))
        if paper.mail_last is not None and paper.mail_safe is not None:
            safe = "" if paper.is_tight else f"{say_date(paper.mail_safe)} (safe), "
            lines.append(f"  send it off by {safe}{say_date(paper.mail_last)} (last)")
            if paper.is_tight:
                lines.append("  no room is left for a return")
    late = [job for job in plan.jobs if job.late_by_days]
    lines.extend(wrap(f"! {say_late_job(job)}", indent=2, hang=4) for job in late)
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"
