"""Whether every paper of a job is in force on a day, and for how long that lasts."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from compliance.engine.applies import Verdict, compute_verdicts
from compliance.engine.covers import Cover, compute_covers
from compliance.engine.filing_day import move_filing
from compliance.engine.packets import packet_id
from compliance.engine.timely_filing import (
    find_filing,
    find_filing_limit,
    find_timely_filing,
    list_since_grant,
)
from compliance.engine.unknowns import find_unknowns, find_unread
from compliance.engine.validity import compute_mark
from compliance.facts.conditions import Finding
from compliance.facts.log import LogEntry, find_standing
from compliance.facts.model import HeldPaper, Holder, Job, Operation
from compliance.rules.model import OfficeRow, PaperRow, RulesTable, StepRow


class Standing(StrEnum):
    """How one paper stands on a day, the gravest first."""

    NOT_HELD = "not held"
    END_UNKNOWN = "last day not known"
    NOT_YET = "not yet in force"
    LAPSED = "ran out"
    ENDS_IN_JOB = "runs out before the job ends"
    KEPT_ALIVE = "kept alive by the renewal filed"
    IN_FORCE = "in force"


GROUNDING = frozenset({Standing.NOT_HELD, Standing.END_UNKNOWN, Standing.NOT_YET, Standing.LAPSED})
# Ends, with days on which no paper of the kind is in force when another one begins later.
_FOLLOWED = frozenset({Standing.LAPSED, Standing.ENDS_IN_JOB})


class Answer(StrEnum):
    """The answer for one job on one day.

    ``GO``: every paper is in force on the day and through the last day of the job. ``GO_FOR_NOW``:
    every paper is in force on the day, but one of them ends before the job does, or lives on only
    until its office has decided.
    """

    GO = "GO"
    GO_FOR_NOW = "GO FOR NOW"
    NO_GO = "NO-GO"


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperStanding:
    """One needed paper on one day.

    ``held`` is the paper that counts on the day, else the one that did or will. ``through`` is the
    last day in force, inclusive, later papers that follow without a gap counted in; None when it
    does not end or is not known. ``filed_on`` is the day its renewal was filed in good time.
    ``last_logged`` is the last thing logged on the way to a paper that is not in force: sent,
    received, returned and the like, None when nothing was. ``file_by`` is the last day on which a
    renewal keeps it alive, where the row says that one does.
    ``held_through`` is the last day of ``held`` alone; ``follower`` the paper that lasts through
    ``through`` when that is another one. ``numbered`` tells that a paper of the kind has a number.
    ``renewal_missed`` is the rule's last day to file the renewal of a paper that ends in the job,
    when it is past and none is logged by then, nor another paper held that begins later.
    ``next_from`` is the first day of that one when days without any lie between.
    """

    paper: PaperRow
    holder: Holder
    standing: Standing
    held: HeldPaper | None
    through: date | None
    findings: tuple[Finding, ...]
    filed_on: date | None = None
    last_logged: LogEntry | None = None
    file_by: date | None = None
    held_through: date | None = None
    follower: HeldPaper | None = None
    numbered: bool = False
    renewal_missed: date | None = None
    next_from: date | None = None

    @property
    def id(self) -> str:
        """Give the packet's id."""
        return packet_id(self.paper.id, self.holder)

    @property
    def grounds(self) -> bool:
        """Tell whether it stands against flying on the day."""
        return self.standing in GROUNDING


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairing:
    """One aircraft and one pilot of a job, and the answer for the two of them alone."""

    aircraft: str
    pilot: str
    answer: Answer


@dataclass(frozen=True, slots=True, kw_only=True)
class JobStanding:
    """The answer for one job on one day with every paper it needs, the gravest first.

    ``ends_on`` is the earliest last day among the papers that end, None when none does or when a
    paper stands against flying already. ``pairings`` are there when the answer is no plain GO and
    the job names several aircraft or pilots. ``unknown`` says what the table has no rule for in the
    job's state, so that nobody could ask about it; ``state_known`` is False when it has none.
    ``labels_unread`` names the products of which nobody has said what their label says of the air.
    """

    job: Job
    on: date
    answer: Answer
    papers: tuple[PaperStanding, ...]
    ends_on: date | None
    pairings: tuple[Pairing, ...] = ()
    unknown: tuple[str, ...] = ()
    state_known: bool = True
    labels_unread: tuple[str, ...] = ()


def compute_job_standing(
    operation: Operation, table: RulesTable, log: tuple[LogEntry, ...], job: Job, on: date
) -> JobStanding:
    """Compute whether a job is in order on a day.

    What was logged for later days is left out, so that a day gone by is answered as it was.
    """
    whole = _stand(operation, table, log, job, on)
    if whole.answer is Answer.GO or len(job.aircraft) * len(job.pilots) < 2:  # noqa: PLR2004 - a single pair is the job itself
        return whole
    pairings = tuple(
        Pairing(
            aircraft=aircraft,
            pilot=pilot,
            answer=_stand(operation, table, log, _narrow(job, aircraft, pilot), on).answer,
        )
        for aircraft in job.aircraft
        for pilot in job.pilots
    )
    return replace(whole, pairings=pairings)


def _narrow(job: Job, aircraft: str, pilot: str) -> Job:
    return replace(job, aircraft=(aircraft,), pilots=(pilot,))


def _stand(
    operation: Operation, table: RulesTable, log: tuple[LogEntry, ...], job: Job, on: date
) -> JobStanding:
    alone = replace(operation, jobs=(job,))
    known = tuple(entry for entry in find_standing(log) if entry.happened_on <= on)
    papers = [
        _stand_paper(operation, table, verdict, known, job, on)
        for verdict in compute_verdicts(alone, table)
        if verdict.applies
    ]
    order = list(Standing)
    papers.sort(key=lambda one: (order.index(one.standing), one.through or date.max))
    return JobStanding(
        job=job,
        on=on,
        answer=_answer(papers),
        papers=tuple(papers),
        ends_on=_ends_on(papers),
        unknown=tuple(find_unknowns(alone, table, min(on, job.last_day))),
        state_known=job.state in table.states,
        labels_unread=tuple(one.name for one in find_unread(operation, job)),
    )


def _answer(papers: Sequence[PaperStanding]) -> Answer:
    if any(paper.grounds for paper in papers):
        return Answer.NO_GO
    passing = {Standing.ENDS_IN_JOB, Standing.KEPT_ALIVE}
    if any(paper.standing in passing for paper in papers):
        return Answer.GO_FOR_NOW
    return Answer.GO


def _ends_on(papers: Sequence[PaperStanding]) -> date | None:
    if any(paper.grounds for paper in papers):
        return None
    ends = [
        paper.through
        for paper in papers
        if paper.through is not None and paper.standing is not Standing.KEPT_ALIVE
    ]
    return min(ends, default=None)


def _stand_paper(
    operation: Operation,
    table: RulesTable,
    verdict: Verdict,
    log: tuple[LogEntry, ...],
    job: Job,
    on: date,
) -> PaperStanding:
    paper, holder = verdict.paper, verdict.holder
    own = [entry for entry in log if (entry.paper, entry.holder) == (paper.id, holder)]
    covers = compute_covers(operation, own, paper, holder)
    standing = _judge(covers, job, on)
    cover = _pick(covers, on)
    last = _follow(covers, cover) if cover is not None and _holds(cover, on) else cover
    through = last.through if last is not None else None
    filed_on = file_by = None
    office = next((row for row in table.offices if row.id == paper.office), None)
    lapsed = _find_lapsed(covers, on) if standing in GROUNDING else None
    if lapsed is not None and lapsed.through is not None:
        file_by = find_filing_limit(paper, lapsed.through)
        filed_on = find_timely_filing(paper, office, own, lapsed.through)
    if filed_on is not None and lapsed is not None:
        # Also when another paper is held whose last day nobody wrote down.
        standing, cover, last, through = Standing.KEPT_ALIVE, lapsed, lapsed, lapsed.through
    next_from = _find_next(covers, through) if standing in _FOLLOWED else None
    return PaperStanding(
        paper=paper,
        holder=holder,
        standing=standing,
        held=cover.held if cover is not None else None,
        through=through,
        findings=verdict.findings,
        filed_on=filed_on,
        last_logged=_last_logged(own) if standing is not Standing.IN_FORCE else None,
        file_by=file_by,
        held_through=cover.through if cover is not None else None,
        follower=last.held if last is not None and last is not cover else None,
        numbered=any(one.held.number for one in covers),
        renewal_missed=(
            find_missed_renewal(paper, office, own, through, on, table.steps)
            if standing is Standing.ENDS_IN_JOB and through is not None and next_from is None
            else None
        ),
        next_from=next_from,
    )


def _find_next(covers: Sequence[Cover], through: date | None) -> date | None:
    """Find the first day of the next paper held after a last day, None without one."""
    if through is None:
        return None
    begins = (one.begins for one in covers if one.begins is not None and not one.end_unknown)
    return min((day for day in begins if day > through), default=None)


def _find_lapsed(covers: Sequence[Cover], on: date) -> Cover | None:
    """Find the paper that ran out last before a day."""
    gone = [cover for cover in covers if cover.through is not None and cover.through < on]
    return max(gone, key=lambda cover: cover.through or date.min, default=None)


def _last_logged(own: Sequence[LogEntry]) -> LogEntry | None:
    """Give the last entry of the round on the way to the next paper."""
    since = list_since_grant(own)
    return since[-1] if since else None


def _judge(covers: Sequence[Cover], job: Job, on: date) -> Standing:
    if not covers:
        return Standing.NOT_HELD
    now = [cover for cover in covers if _holds(cover, on)]
    if now:
        ends = [_follow(covers, cover).through for cover in now]
        if any(end is None or end >= max(job.last_day, on) for end in ends):
            return Standing.IN_FORCE
        return Standing.ENDS_IN_JOB
    if any(cover.end_unknown for cover in covers):
        return Standing.END_UNKNOWN
    if any(cover.through is not None and cover.through < on for cover in covers):
        return Standing.LAPSED
    return Standing.NOT_YET


def _holds(cover: Cover, on: date) -> bool:
    if cover.end_unknown:
        return False
    begun = cover.begins is None or cover.begins <= on
    return begun and (cover.through is None or on <= cover.through)


def _follow(covers: Sequence[Cover], first: Cover) -> Cover:
    """Give the last of the papers that cover one after another without a day between."""
    last = first
    grown = True
    while last.through is not None and grown:
        grown = False
        for cover in covers:
            if cover.end_unknown or (cover.through is not None and cover.through <= last.through):
                continue
            if cover.begins is None or cover.begins <= last.through + timedelta(days=1):
                last, grown = cover, True
                break
    return last


def _pick(covers: Sequence[Cover], on: date) -> Cover | None:
    """Give the paper to show: in force and lasting longest, else the last one, else one to come."""
    if not covers:
        return None

    def rank(cover: Cover) -> tuple[bool, bool, date]:
        end = cover.through or date.max
        return _holds(cover, on), cover.end_unknown or (cover.begins or date.min) <= on, end

    return max(covers, key=rank)


def find_missed_renewal(
    paper: PaperRow,
    office: OfficeRow | None,
    own: Sequence[LogEntry],
    through: date,
    on: date,
    steps: Sequence[StepRow] = (),
) -> date | None:
    """Find the last day to file a renewal, when it is before *on* and none is logged in time.

    It is the row's own day, or where the *steps* of the table make that a closed one, the open day
    before it. None too where the row names no such day. A filing counts as `find_timely_filing`
    counts it.
    """
    renewal = paper.renewal
    if renewal is None or renewal.renew_by is None:
        return None
    limit = compute_mark(renewal.renew_by, through)
    rows = (row for row in steps if row.paper == paper.id and row.in_force_on(limit))
    last = move_filing(rows, office, limit)
    return last if last < on and find_filing(office, own, limit) is None else None
