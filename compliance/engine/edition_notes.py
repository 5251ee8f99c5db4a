"""Say in plain words which changes of the rules lie within reach of a packet's days."""

from collections.abc import Iterator
from dataclasses import fields
from datetime import date, timedelta

from compliance.base.dates import say_date
from compliance.engine.editions import Editions
from compliance.engine.explain_words import say_lead
from compliance.engine.packets import Packet
from compliance.engine.plan_model import PaperPlan, StepPlan
from compliance.facts.log import EventKind
from compliance.rules.model import CountsOn, Fee, OfficeRow, Row, RulesTable, StepUse

_DAY = timedelta(days=1)
# Where a row stands, who keeps it and how sure it is asks nobody to do anything else.
_NOT_COMPARED = ("place", "basis", "applies_from", "applies_until", "overrides", "pack", "because")


def list_changes(
    paper: PaperPlan, table: RulesTable, as_of: date, notes: tuple[tuple[str, str], ...]
) -> tuple[str, ...]:
    """List what changes while a packet may still be sent, and what its rules leave open.

    Shape: one sentence a change, by day; only changes after the earliest day it can be sent and up
    to its last day, or to its last day of arrival where the office counts that. Nothing for what is
    on its way already.
    """
    own = tuple(text for packet, text in notes if packet == paper.id)
    if not paper.packet.planned:
        return own
    found: list[tuple[date, str]] = list(_steps(paper, table, as_of))
    editions = paper.packet.editions
    sending = next((step for step in paper.steps if step.id == paper.mail_step), None)
    if editions is not None and sending is not None and sending.done_on is None:
        found.extend(_sent(paper, editions, sending))
    return (*(text for _, text in sorted(dict.fromkeys(found))), *own)


def _sent(paper: PaperPlan, editions: Editions, sending: StepPlan) -> Iterator[tuple[date, str]]:
    """Say what another edition asks for, of what goes into the envelope, costs, and where to."""
    first = sending.earliest
    arrival = paper.find_event(EventKind.RECEIVED)
    counts = _counts_receipt(paper.packet.office) and arrival is not None
    ends = [first, paper.mail_last or first]
    if counts and arrival is not None:
        ends += [arrival.earliest, arrival.last or first]
    verb = "mail" if paper.is_mailed else "file"
    early = f"{verb} it before then"
    if counts:
        early = "let it reach the office before then"
    for day in _changes(editions):
        if not first < day <= max(ends):
            continue
        said = list(_compare(paper.packet, editions, day, early))
        yield from ((day, text) for text in said)
        if said and counts and arrival is not None and day <= arrival.earliest:
            comes = f"sent on {say_date(first)} it comes in on {say_date(arrival.earliest)}"
            ask = f"ask the office which one it goes by before you {verb} it"
            yield day, f"{comes}, when the new edition is in force: {ask}"


def _counts_receipt(office: OfficeRow | None) -> bool:
    return office is None or office.counts_on is CountsOn.RECEIVED


def _changes(editions: Editions) -> tuple[date, ...]:
    """List the days on which another edition of a document, the paper or the office counts."""
    rows: tuple[Row, ...] = (*editions.documents, *editions.papers, *editions.offices)
    days = {row.applies_from for row in rows if row.applies_from is not None}
    days |= {row.applies_until + _DAY for row in rows if row.applies_until not in (None, date.max)}
    return tuple(sorted(days))


def _compare(packet: Packet, editions: Editions, day: date, early: str) -> Iterator[str]:
    eve, when = day - _DAY, f"from {say_date(day)} on"
    old, new = editions.paper_on(eve), editions.paper_on(day)
    fees = [
        _say_fee(row.renewal_fee or row.fee if _renews(packet) else row.fee) for row in (old, new)
    ]
    if fees[0] != fees[1]:
        yield f"{when} the fee is {fees[1]}; {early} and the old one ({fees[0]}) counts"
    before = {row.id: row for row in editions.documents_on(eve)}
    after = {row.id: row for row in editions.documents_on(day)}
    for name in dict.fromkeys((*before, *after)):
        one, two = before.get(name), after.get(name)
        if one is None and two is not None:
            yield f"{when} `{two.title}` goes with it too; {early} and it is not asked for"
        elif two is None and one is not None:
            yield f"{when} `{one.title}` is not asked for any more"
        elif one is not None and two is not None and not is_alike(one, two):
            yield f"{when} another edition of `{two.title}` counts; {early} and the old one counts"
    office, other = editions.office_on(eve), editions.office_on(day)
    if office is not None and other is not None and not is_alike(office, other):
        yield f"{when} another entry of the office counts ({other.title}): look at the address"


def _renews(packet: Packet) -> bool:
    return packet.use is StepUse.RENEWAL


def _say_fee(fee: Fee | None) -> str:
    if fee is None:
        return "none in the rules table"
    return f"${fee.amount_usd:.2f}{f' per {fee.per}' if fee.per else ''}"


def is_alike(one: Row, two: Row) -> bool:
    """Tell whether two editions of a row ask for the same."""
    return all(
        getattr(one, field.name) == getattr(two, field.name)
        for field in fields(one)
        if field.name not in _NOT_COMPARED
    )


def _steps(paper: PaperPlan, table: RulesTable, as_of: date) -> Iterator[tuple[date, str]]:
    """Say which steps are others on the last days than on the earliest."""
    for step in paper.steps:
        other = step.last_as
        if step.done_on is not None:
            continue
        if other is None:
            if paper.packet.editions is not None and step.last is None:
                day = (step.row.applies_until or as_of) + _DAY
                yield day, f"from {say_date(day)} on `{step.row.title}` is not asked for any more"
            continue
        day = max(
            (row.applies_from for row in (step.row, other.row) if row.applies_from is not None),
            default=_service_day(table, step),
        )
        if (step.days, step.calendar) != (other.days, other.calendar):
            pair = say_lead(step.days, step.calendar), say_lead(other.days, other.calendar)
            turned = (step.row.applies_from or date.min) > (other.row.applies_from or date.min)
            old, new = reversed(pair) if turned else pair
            yield day, f"from {say_date(day)} on `{step.row.title}` takes {new} instead of {old}"
        elif not is_alike(step.row, other.row):
            yield day, f"from {say_date(day)} on another edition of `{step.row.title}` counts"
    for step in paper.later:
        day = step.row.applies_from or as_of
        verb = "mail" if paper.is_mailed else "file"
        early = f"{verb} it before then and it is not asked for"
        yield day, f"from {say_date(day)} on `{step.row.title}` is to be done too; {early}"


def _service_day(table: RulesTable, step: StepPlan) -> date:
    """Give the day on which a mail service changes last before the last day of a wait."""
    days = [
        row.applies_from
        for row in table.services
        if row.applies_from is not None and row.applies_from <= (step.last or date.max)
    ]
    return max(days, default=step.earliest)
