"""What each needed paper still asks for: nothing, a first packet, or a renewal packet."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from compliance.engine.applies import Verdict, find_holder_subjects, row_holds_for
from compliance.engine.covers import compute_covers, find_held, find_last_day, list_bare
from compliance.engine.editions import Editions
from compliance.engine.progress import Progress, compute_progress
from compliance.engine.timely_filing import list_since_grant
from compliance.facts.catalog import Subject
from compliance.facts.log import LogEntry, find_standing
from compliance.facts.model import HeldPaper, Holder, HolderKind, Job, Operation
from compliance.rules.editions import is_partial, nearest
from compliance.rules.model import (
    DocumentRow,
    OfficeRow,
    PaperRow,
    Row,
    RulesTable,
    StepRow,
    StepUse,
)


class PaperState(StrEnum):
    """How far a paper is, in words for a person."""

    IN_HAND = "in hand"
    RUNS_OUT = "runs out"
    TO_DO = "to do"
    UNDER_WAY = "under way"
    AT_OFFICE = "at the office"
    CAME_BACK = "came back"


@dataclass(frozen=True, slots=True, kw_only=True)
class Packet:
    """One needed (paper, holder) with everything the plan has to know about it.

    ``need_by`` is the last day on which it may come in hand: the first day of the first job, or for
    a renewal the last day of the one in hand when a job is on then. ``cover_until`` is the last day
    of the last job. ``use`` is None when what is held covers
    all of them. ``valid_through`` is the last day of the held paper; ``end_unknown`` says that a
    paper is held whose last day nobody wrote down. ``bare`` are the days without any, first and
    last inclusive, before one that is held already begins. ``editions`` is None when every row of
    it has one edition; else the steps, documents and office here are those in force on ``need_by``
    until the plan has settled on which day each is used. ``fee_row`` is the paper's edition in
    force on the day it is sent.
    """

    id: str
    verdict: Verdict
    use: StepUse | None
    state: PaperState
    held: HeldPaper | None
    valid_through: date | None
    end_unknown: bool
    need_by: date
    cover_until: date
    all_steps: tuple[StepRow, ...]
    steps: tuple[StepRow, ...]
    documents: tuple[DocumentRow, ...]
    office: OfficeRow | None
    progress: Progress
    bare: tuple[tuple[date, date], ...] = ()
    editions: Editions | None = None
    fee_paper: PaperRow | None = None

    def steps_on(self, day: date) -> tuple[StepRow, ...]:
        """Give the steps in force on a day."""
        return self.steps if self.editions is None else self.editions.steps_on(day)

    def has_several(self, row: Row) -> bool:
        """Tell whether a row of it has several editions, or is in force only part of the time."""
        return self.editions is not None and self.editions.has_several(row)

    @property
    def fee_row(self) -> PaperRow:
        """Give the paper's row whose fee is paid."""
        return self.fee_paper or self.paper

    @property
    def paper(self) -> PaperRow:
        """Give the row of the paper."""
        return self.verdict.paper

    @property
    def holder(self) -> Holder:
        """Give whom or what the paper belongs to."""
        return self.verdict.holder

    def find_ended(self, on: date) -> date | None:
        """Find the last day of the paper that has ended before a day; None while one is there."""
        for first, last in self.bare:
            if first <= on <= last:
                return first - timedelta(days=1) if first > date.min else None
        through = self.valid_through
        return through if self.planned and through is not None and through < on else None

    @property
    def planned(self) -> bool:
        """Tell whether there is still something to do for it."""
        return self.use is not None


def packet_id(paper: str, holder: Holder) -> str:
    """Name a packet: the paper's id, and the aircraft or pilot after a colon."""
    return paper if holder.kind is HolderKind.OPERATION else f"{paper}:{holder.ref}"


def compute_packets(
    operation: Operation,
    table: RulesTable,
    verdicts: tuple[Verdict, ...],
    log: tuple[LogEntry, ...],
    as_of: date,
) -> tuple[Packet, ...]:
    """Give a packet for every needed paper, in the order of the verdicts.

    Jobs that are over before *as_of* ask for nothing any more.
    """
    jobs = {job.id: job for job in operation.jobs if job.last_day >= as_of}
    standing = find_standing(log)
    packets = []
    for verdict in verdicts:
        needing = [jobs[job_id] for job_id in verdict.jobs if job_id in jobs]
        if needing:
            packets.append(_build(operation, table, verdict, needing, standing, as_of))
    return tuple(packets)


def find_last_needed(operation: Operation, verdict: Verdict) -> date | None:
    """Find the last day of the last job that needs a paper; None when no job ever does."""
    days = (job.last_day for job in operation.jobs if job.id in verdict.jobs)
    return max(days, default=None)


def _build(
    operation: Operation,
    table: RulesTable,
    verdict: Verdict,
    jobs: list[Job],
    standing: tuple[LogEntry, ...],
    as_of: date,
) -> Packet:
    paper, holder = verdict.paper, verdict.holder
    own = [entry for entry in standing if (entry.paper, entry.holder) == (paper.id, holder)]
    held = find_held(operation, own, paper, holder)
    through, unknown = find_last_day(paper, held)
    need_by, use = _need(jobs, held, through, as_of)
    subjects = find_holder_subjects(operation, holder, verdict.jobs)
    editions = _find_editions(table, paper, use, subjects)
    rows = tuple(row for row in table.steps if row.paper == paper.id and row.in_force_on(need_by))
    kept = tuple(row for row in rows if _is_used(row.use, use) and row_holds_for(row, subjects))
    wanted = (StepUse.BOTH, use or StepUse.FIRST)
    documents = tuple(
        row
        for row in table.documents
        if row.paper == paper.id and row.in_force_on(need_by) and row.use in wanted
        if row_holds_for(row, subjects)
    )
    office = next((row for row in table.offices if row.id == paper.office), None)
    if editions is not None:
        rows, documents = _every_name(editions, need_by), editions.documents_on(need_by)
        kept = editions.steps_on(need_by)
        office = editions.office_on(need_by)
    progress = _find_progress(kept, editions, own)
    return Packet(
        id=packet_id(paper.id, holder),
        verdict=verdict,
        use=use,
        state=_state(use, progress),
        held=held,
        valid_through=through,
        end_unknown=unknown,
        need_by=need_by,
        cover_until=max(job.last_day for job in jobs),
        all_steps=rows,
        steps=order_steps(kept),
        documents=documents,
        office=office,
        progress=progress,
        bare=list_bare(paper, office, compute_covers(operation, own, paper, holder), own),
        editions=editions,
    )


def _find_progress(
    kept: tuple[StepRow, ...], editions: Editions | None, own: list[LogEntry]
) -> Progress:
    entries = tuple(list_since_grant(own))
    if editions is None:
        return compute_progress(kept, entries)
    return compute_progress(editions.steps, entries, editions.steps_on)


def _is_used(use: StepUse, wanted: StepUse | None) -> bool:
    return use in (StepUse.BOTH, StepUse.AFTER_RETURN, wanted)


def _find_editions(
    table: RulesTable, paper: PaperRow, use: StepUse | None, subjects: tuple[Subject, ...]
) -> Editions | None:
    """Find the editions of a packet's rows; None when each has one, as long as its paper."""
    papers = tuple(row for row in table.papers if row.id == paper.id)
    every = tuple(row for row in table.steps if row.paper == paper.id)
    documents = tuple(row for row in table.documents if row.paper == paper.id)
    offices = tuple(row for row in table.offices if row.id == paper.office)
    begins = [row.applies_from for row in papers if row.applies_from is not None]
    ends = [row.applies_until for row in papers if row.applies_until is not None]
    opens = min(begins) if len(begins) == len(papers) else None
    closes = max(ends) if len(ends) == len(papers) else None
    is_single = len(papers) == 1 and len(offices) <= 1
    if is_single and not any(is_partial(row, opens, closes) for row in (*every, *documents)):
        return None
    return Editions(
        steps=tuple(r for r in every if _is_used(r.use, use) and row_holds_for(r, subjects)),
        documents=tuple(
            row
            for row in documents
            if row.use in (StepUse.BOTH, use or StepUse.FIRST) and row_holds_for(row, subjects)
        ),
        offices=offices,
        papers=papers,
        every=every,
        opens=opens,
        ends=closes,
    )


def _every_name(editions: Editions, day: date) -> tuple[StepRow, ...]:
    """Give one row a step name, those not in force on a day included: the nearest edition."""
    at = editions.within(day)
    names = dict.fromkeys(row.name for row in editions.every)
    return tuple(nearest([row for row in editions.every if row.name == name], at) for name in names)


def order_steps(rows: tuple[StepRow, ...]) -> tuple[StepRow, ...]:
    """Put the steps of a packet in order of work: each after what it waits for.

    Shape: as written where the rows leave a choice.
    """
    left = list(rows)
    done: set[str] = set()
    ordered: list[StepRow] = []
    names = {row.name for row in rows}
    while left:
        ready = next((row for row in left if set(row.after) & names <= done), left[0])
        left.remove(ready)
        done.add(ready.name)
        ordered.append(ready)
    return tuple(ordered)


def _need(
    jobs: list[Job], held: HeldPaper | None, through: date | None, as_of: date
) -> tuple[date, StepUse | None]:
    first = min(job.first_day for job in jobs)
    if held is None:
        return first, StepUse.FIRST
    if through is None or through >= max(job.last_day for job in jobs):
        return first, None
    # A renewal must be there by the last day in force, so that no day of a job is uncovered.
    need_by = min(max(job.first_day, through) for job in jobs if job.last_day > through)
    return need_by, StepUse.RENEWAL if through >= as_of else StepUse.FIRST


def _state(use: StepUse | None, progress: Progress) -> PaperState:
    if use is None:
        return PaperState.IN_HAND
    if progress.is_at_office:
        return PaperState.AT_OFFICE
    if progress.came_back:
        return PaperState.CAME_BACK
    if progress.done:
        return PaperState.UNDER_WAY
    return PaperState.RUNS_OUT if use is StepUse.RENEWAL else PaperState.TO_DO
