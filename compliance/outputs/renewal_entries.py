"""The years ahead as entries for a phone's calendar."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.ledger import RUNS_OUT_PREFIX, Entry
from compliance.engine.plan_model import Plan
from compliance.engine.renewals import PaperEnd, YearsAhead
from compliance.outputs.calendar_entries import ALARMS
from compliance.outputs.renewals_text import list_marks, say_reckoned, say_sending
from compliance.outputs.words import CAUTION


def compute_renewal_entries(plan: Plan, ahead: YearsAhead) -> tuple[Entry, ...]:
    """List the days of renewals in the years ahead that the plan's own entries do not hold.

    Keys hold the packet and the year the paper ends, so that a moved day moves the entry. The last
    days of papers in hand and what the plan sends off itself stand among its own entries already.
    """
    planned = {paper.id for paper in plan.papers if paper.packet.planned}
    in_hand = {paper.id for paper in plan.papers if paper.packet.valid_through is not None}
    seen: dict[tuple[str, int], int] = {}
    entries = []
    for end in ahead.ends:
        year = (end.id, end.ends_on.year)
        seen[year] = seen.get(year, 0) + 1
        period = str(end.ends_on.year) + (f"~{seen[year]}" if seen[year] > 1 else "")
        is_plans = end.term == 0 and end.id in planned
        for kind, day, title in _days(plan, end):
            if kind == "ends" and end.term == 0 and end.id in in_hand:
                continue
            if day < plan.as_of or (is_plans and kind in {"send", "send-last"}):
                continue
            key = ("renewal", plan.operation.id, end.id, period, kind)
            entries.append(
                Entry(key=key, on=day, title=title, text=_text(end, plan.as_of), alarms=ALARMS)
            )
    return tuple(sorted(entries, key=lambda entry: (entry.on, entry.key)))


def _days(plan: Plan, end: PaperEnd) -> Iterator[tuple[str, date, str]]:
    holder = end.holder
    name = end.paper.title
    subject = f"{name}, {plan.operation.say_holder(holder)}" if holder.ref else name
    if end.opens_on is not None:
        yield "opens", end.opens_on, f"Renewal opens: {subject}"
    sending = end.sending
    if sending is not None and not sending.under_way:
        word = "Mail" if sending.is_mailed else "File or do"
        if sending.safe is not None:
            yield "send", sending.safe, f"{word} the renewal: {subject}"
        if sending.last is not None and sending.last != sending.safe:
            yield "send-last", sending.last, f"LAST DAY to send the renewal: {subject}"
    if end.renew_by is not None and (sending is None or not sending.under_way):
        day, title = _rely_on(end, end.renew_by, plan.as_of)
        if day != end.ends_on:
            yield "renew-by", day, f"{title}: {subject}"
    expected = RUNS_OUT_PREFIX if end.term == 0 else "Runs out (reckoned): "
    yield "ends", end.ends_on, f"{expected}{subject}"
    if end.late_fee_from is not None:
        yield "late-fee", end.late_fee_from, f"Late fee from today: {subject}"
    if end.reexam_from is not None:
        yield "reexam", end.reexam_from, f"Examination again from today: {subject}"


def _rely_on(end: PaperEnd, renew_by: date, as_of: date) -> tuple[date, str]:
    """Give the day the rule's last one stands on, and its title: the open day before a closed one.

    Once that has passed only the rule's own day is left.
    """
    if end.file_by is None or end.file_by == renew_by or end.file_by < as_of:
        return renew_by, "Rule's last day to renew"
    return end.file_by, f"File the renewal by today (the rule says {say_date(renew_by)})"


def _text(end: PaperEnd, as_of: date) -> str:
    lines = [f"Last day: {say_date(end.ends_on)}", say_reckoned(end), say_sending(end, as_of)]
    lines.extend(list_marks(end, as_of))
    lines.extend((f"Packet: {end.id}", f"Source: {end.paper.basis.citation}", CAUTION))
    return "\n".join(line for line in lines if line)
