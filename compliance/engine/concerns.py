"""What a person should confirm or be warned of before relying on a date."""

from collections.abc import Sequence
from datetime import date, timedelta

from compliance.base.dates import say_date
from compliance.engine.filing_day import find_file_by
from compliance.engine.network import compute_filing_limit
from compliance.engine.packets import Packet
from compliance.engine.plan_model import StepPlan
from compliance.engine.reviews import say_review
from compliance.engine.unknowns import find_unknowns
from compliance.facts.basis import WORDS_OF_CONFIDENCE, Confidence
from compliance.facts.model import MailService, Operation
from compliance.rules.model import PaperRow, Row, RulesTable, StepKind

_UNSURE = {Confidence.MEMORY, Confidence.CONFLICTING}


def find_confirmations(packet: Packet, steps: tuple[StepPlan, ...], as_of: date) -> tuple[str, ...]:
    """Say which rows behind a packet's dates a person should confirm first.

    A row is named when it is from memory or sources conflict and it sets a date (the paper itself,
    its waits and notice periods), or when any row of the packet was last reviewed over a year ago.
    """
    office = packet.office
    sets_dates: list[Row] = [packet.paper]
    sets_dates.extend(step.row for step in steps if step.kind is not StepKind.ACT)
    rows: list[Row] = [packet.paper, *(step.row for step in steps), *packet.documents]
    if office is not None:
        sets_dates.append(office)
        rows.append(office)
    said: dict[str, None] = {}
    for row in sets_dates:
        if row.basis.confidence in _UNSURE and not row.overrides:
            words = WORDS_OF_CONFIDENCE[row.basis.confidence]
            said[f"{row.title} ({row.id}): {words}; {row.basis.citation}"] = None
    for row in rows:
        if row.basis.review_due < as_of:
            said[f"{row.title} ({row.id}): {say_review(row.basis, as_of)}"] = None
    return tuple(said)


def find_paper_warnings(
    packet: Packet, steps: tuple[StepPlan, ...], as_of: date
) -> tuple[str, ...]:
    """Say what stands in the way of relying on one paper's dates."""
    said: list[str] = []
    if packet.end_unknown:
        said.append(
            "it is in hand but its last day in force is not written down; "
            "add valid_through from the paper itself"
        )
    through = packet.valid_through
    if packet.planned and through is not None:
        verb = "ran out" if through < as_of else "runs out"
        said.append(f"the one in hand {verb} on {say_date(through)}")
    missed = find_missed_filing(packet, steps)
    if missed is not None:
        said.append(
            f"the last day to file the renewal was {say_date(missed)}, and it cannot be met any "
            "more; ask the office whether it takes a late one, and what that needs"
        )
    said.extend(_find_stale(steps))
    said.extend(
        f"your own value is used: {override.row} {override.field} = {override.value} "
        f"({override.reason}, set {say_date(override.set_on)})"
        for row in (packet.paper, packet.office, *(step.row for step in steps))
        if row is not None
        for override in row.overrides
    )
    rows = (packet.paper, packet.office, *(step.row for step in steps), *packet.documents)
    for pack in dict.fromkeys(row.pack for row in rows if row is not None and row.pack):
        own = [row for row in rows if row is not None and row.pack == pack]
        said.append(f"your own rules are used, pack {pack}: {_name_rows(own)}")
    return tuple(dict.fromkeys(said))


def _name_rows(rows: Sequence[Row]) -> str:
    """Name rows of a pack, those of a paper by the paper, with why they replace another."""
    paper = next((row.id for row in rows if isinstance(row, PaperRow)), "")
    named = [row for row in rows if not paper or not row.id.startswith(f"{paper}.")]
    return "; ".join(dict.fromkeys(f"{row.id}{say_replaced(row)}" for row in named))


def say_replaced(row: Row) -> str:
    """Say that a row of a pack stands in place of the table's own, and why; else nothing."""
    return f" in place of the table's own ({row.because})" if row.replaces else ""


def find_missed_filing(packet: Packet, steps: tuple[StepPlan, ...]) -> date | None:
    """Find the last day to file a renewal, when the filing cannot be there by then any more.

    It is the last one to rely on: the open day before the rule's own where that is closed.
    """
    earliest = {step.id: step.earliest for step in steps if step.done_on is None}
    missed = (
        find_file_by(packet) or day
        for name, day in compute_filing_limit(packet)
        if name in earliest and earliest[name] > day
    )
    return next(missed, None)


def _find_stale(steps: tuple[StepPlan, ...]) -> list[str]:
    said = []
    for step in steps:
        fresh = step.row.fresh
        if fresh is None or step.done_on is not None:
            continue
        rounds = [one for one in steps if one.row.name == fresh.after and one.turn <= step.turn]
        before = max(rounds, key=lambda one: one.turn, default=None)
        if before is None or before.done_on is None:
            continue
        limit = before.done_on + timedelta(days=fresh.days)
        if step.earliest > limit:
            said.append(
                f"`{before.row.title}` was done on {say_date(before.done_on)} and is too old after "
                f"{say_date(limit)}; do it again"
            )
    return said


def find_plan_warnings(operation: Operation, table: RulesTable, as_of: date) -> tuple[str, ...]:
    """Say what the plan as a whole leaves out or cannot know."""
    said: list[str] = []
    if not operation.jobs:
        said.append("no job is planned, so no paper is needed by any day; add jobs to the file")
    said.extend(find_unknowns(operation, table, as_of))
    past = [job for job in operation.jobs if job.first_day < as_of]
    over = [job for job in past if job.last_day < as_of]
    if over:
        names = ", ".join(job.id for job in over)
        said.append(f"over already and left out: {names}")
    begun = [job.id for job in past if job not in over]
    if begun:
        go_on = "it goes on" if len(begun) == 1 else "they go on"
        said.append(f"begun already, and planned as if {go_on}: {', '.join(begun)}")
    said.extend(
        f"your own value is used: {override.row} {override.field} = {override.value} "
        f"({override.reason}, set {say_date(override.set_on)})"
        for service in table.services
        for override in service.overrides
    )
    if operation.mail_service is MailService.COURIER:
        said.append(
            "a private courier cannot deliver to a P.O. box; use the street address on the "
            "cover sheet and confirm it with the office first"
        )
    return tuple(said)
