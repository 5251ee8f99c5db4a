"""The years ahead: when every paper ends, when it may be renewed, and by when to send that off."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from compliance.base.dates import add_months
from compliance.engine.covers import find_held
from compliance.engine.filing_day import find_file_by, find_file_by_of
from compliance.engine.packets import Packet, packet_id
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.engine.renewal_duties import AskedFiling, list_filing_duties
from compliance.engine.validity import (
    compute_mark,
    compute_renewal_opens,
    compute_renewed_through,
    compute_valid_through,
)
from compliance.facts.log import LogEntry, find_standing
from compliance.facts.model import HeldPaper, Holder, Job, Operation
from compliance.rules.model import PaperRow, RulesTable, StepUse
from compliance.rules.validity_model import Mark, ValidityKind

# Days after which the same kind of work is that of the next year and not of the same one.
_ABOUT_A_YEAR = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Sending:
    """When to send a renewal off so that it is in force in time; both days inclusive.

    ``last`` rests on usual times, ``safe`` on slow ones and one return. ``in_force_by`` is the last
    day on which it may come in hand; ``job`` the job that needs it, as `name_job` says it.
    ``under_way`` tells that it was sent off already. ``file_by`` is the last day to rely on for
    filing it: the rule's own, or the open day before where that is a closed one; None where the
    rule has none. ``missed`` is that day when it is or was not met.
    """

    last: date | None
    safe: date | None
    in_force_by: date
    job: str
    is_mailed: bool
    under_way: bool
    file_by: date | None = None
    missed: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperEnd:
    """One last day of one paper, and everything about its renewal.

    ``term`` counts from 0, the paper in hand or the last one that was; a later one is reckoned as
    if issued on ``issued_on``. ``guessed`` tells that its length is not the rule's but that of the
    paper before.
    ``opens_on``, ``renew_by``, ``late_fee_from`` and ``reexam_from`` are the row's own days, None
    where none is known. ``sending`` is None when no job of the seasons needs it afterwards.
    ``file_by`` is the last day to rely on for filing it: ``renew_by``, or the open day before where
    that is a closed one. ``asked`` are the duties of the table that ask for it to be filed by a day
    of their own.
    """

    paper: PaperRow
    holder: Holder
    number: str
    term: int
    issued_on: date | None
    ends_on: date
    guessed: bool
    opens_on: date | None
    renew_by: date | None
    late_fee_from: date | None
    reexam_from: date | None
    sending: Sending | None
    file_by: date | None = None
    asked: tuple[AskedFiling, ...] = ()

    @property
    def id(self) -> str:
        """Give the packet's id."""
        return packet_id(self.paper.id, self.holder)

    def find_lapse(self, as_of: date) -> tuple[date, date] | None:
        """Find the days to send it off on which it is in time but the paper lapses before.

        Shape: first and last day, both inclusive, since no job needs the paper in between; None
        when there are none, it is on its way, or the paper has ended before *as_of*.
        """
        last = self.sending.last if self.sending is not None else None
        if self.sending is None or last is None or self.sending.under_way:
            return None
        return (self.ends_on + timedelta(days=1), last) if as_of <= self.ends_on < last else None


@dataclass(frozen=True, slots=True, kw_only=True)
class YearsAhead:
    """The ends of papers through a day, by day; and what cannot be said.

    First stand papers that ended before ``as_of`` and are still needed, each with term 0.
    ``repeated`` are the ids of the jobs assumed to come back each year. ``unknown`` are the packets
    of papers whose end nobody can know yet: it stands, or will stand, on the paper.
    """

    as_of: date
    through: date
    ends: tuple[PaperEnd, ...]
    repeated: tuple[str, ...]
    unknown: tuple[tuple[PaperRow, Holder], ...]

    def is_over(self, end: PaperEnd) -> bool:
        """Tell whether a paper had ended before the day the years are looked at from."""
        return end.ends_on < self.as_of


@dataclass(frozen=True, slots=True, kw_only=True)
class _Term:
    """One term of one paper: number 0 is in hand, later ones are reckoned."""

    held: HeldPaper
    number: int = 0
    guessed: bool = False


def compute_years_ahead(
    operation: Operation, table: RulesTable, log: tuple[LogEntry, ...], as_of: date, years: int
) -> YearsAhead:
    """Compute the ends of all papers through the same day *years* years on, inclusive.

    The jobs of the last twelve months of jobs in the file, and the last one of each state and kind
    of the year before, are assumed to come back each year on the same days (`repeat_jobs`).
    A renewal is reckoned as issued on the safe day to send it off, which ends it rather too early
    than too late; where the term follows from the day before or a day of the year that changes
    nothing. Where the last day is printed on the paper, the next is taken to last as long.

    Raises:
        RefusedError: No day satisfies the rules within the calendars.
    """
    through = add_months(as_of, 12 * years)
    seasons = repeat_jobs(operation.jobs, through.year + 1)
    ahead = replace(operation, jobs=(*operation.jobs, *seasons))
    plan = compute_plan(ahead, table, log, as_of)
    duties = list_filing_duties(plan, table, log)
    ends = list(_list_ended(plan, as_of))
    terms = _present_terms(plan, as_of)
    listed: set[tuple[str, int]] = set()
    for _ in range(_most_terms(years)):
        found = [
            end
            for end in _list_ends(plan, terms, as_of, through)
            if (end.id, end.term) not in listed
        ]
        ends.extend(found)
        listed.update((end.id, end.term) for end in found)
        terms = {**terms, **{end.id: _follow(end, terms[end.id]) for end in found}}
        held = tuple(term.held for term in terms.values())
        plan = compute_plan(replace(ahead, papers=held), table, (), as_of)
        if not any(_is_within(term, through) for term in terms.values()):
            break
    ends.extend(_list_idle(operation, table, log, {one.id for one in plan.papers}, as_of, through))
    kept = sorted((one for one in ends if one.ends_on <= through), key=lambda one: one.ends_on)
    for at, one in enumerate(kept):
        asked = duties.find_asked(one.paper.id, one.holder, one.ends_on)
        without = one.sending is None
        file_by = find_file_by_of(one.paper, one.ends_on, table) if without else one.file_by
        kept[at] = replace(one, file_by=file_by, asked=asked)
    return YearsAhead(
        as_of=as_of,
        through=through,
        ends=tuple(kept),
        repeated=tuple(dict.fromkeys(_base_id(job.id) for job in seasons)),
        unknown=tuple(_list_unknown(plan, terms)),
    )


def repeat_jobs(jobs: tuple[Job, ...], last_year: int) -> tuple[Job, ...]:
    """Repeat the jobs of the last twelve months of jobs once a year, through a year.

    Shape: by day, the jobs themselves left out, and none that begins before the last of them does.
    A season may lie in two years, so the twelve months end with the first day of the last job. The
    last job of each state and kind of work counts for up to two years before that day; one that
    came again about a year later does not. A job of 29 February begins on the 28th in other years;
    its length stays.
    """
    end = max((job.first_day for job in jobs), default=date.max)
    repeated = []
    for job in _find_season(jobs, end):
        for year in range(job.first_day.year + 1, last_year + 1):
            first = add_months(job.first_day, 12 * (year - job.first_day.year))
            if first > end:
                last = first + (job.last_day - job.first_day)
                again = replace(job, id=f"{job.id}~{year}", first_day=first, last_day=last)
                repeated.append(again)
    return tuple(sorted(repeated, key=lambda job: job.first_day))


def _find_season(jobs: tuple[Job, ...], end: date) -> Iterator[Job]:
    """Find the jobs that are taken to come back each year; *end* is the first day of the last."""
    for job in jobs:
        later = [
            other
            for other in jobs
            if _say_kind(other) == _say_kind(job) and other.first_day > job.first_day
        ]
        again = any((other.first_day - job.first_day).days >= _ABOUT_A_YEAR for other in later)
        within = job.first_day > add_months(end, -12)
        lately = not later and job.first_day > add_months(end, -24)
        if (within and not again) or lately:
            yield job


def _say_kind(job: Job) -> tuple[object, ...]:
    return job.state, job.for_hire, job.material, job.restricted_use


def name_job(job: Job) -> str:
    """Name a job and its year, also one that is only assumed to come back."""
    return f"{_base_id(job.id)} of {job.first_day.year}"


def _base_id(job: str) -> str:
    return job.partition("~")[0]


def _most_terms(years: int) -> int:
    # A paper of half a year is the shortest anybody renews; more rounds find nothing new.
    return 2 * years + 2


def _present_terms(plan: Plan, as_of: date) -> dict[str, _Term]:
    """Give the term of each needed paper: the one in hand, else the first one as it is expected."""
    terms = {}
    for paper in plan.papers:
        packet = paper.packet
        held = packet.held
        if held is None or packet.use is StepUse.FIRST:
            issued = max(paper.earliest_ready, as_of)
            held = HeldPaper(
                paper=packet.paper.id,
                holder=packet.holder,
                issued_on=issued,
                valid_through=compute_valid_through(packet.paper.validity, issued),
            )
            terms[paper.id] = _Term(held=held, number=1)
        else:
            terms[paper.id] = _Term(held=replace(held, valid_through=packet.valid_through))
    return terms


def _is_within(term: _Term, through: date) -> bool:
    end = term.held.valid_through
    return end is not None and end <= through


def _list_ends(
    plan: Plan, terms: dict[str, _Term], as_of: date, through: date
) -> Iterator[PaperEnd]:
    """Give the ends, within the time asked for, of the terms that the plan takes as held."""
    for paper in plan.papers:
        term = terms[paper.id]
        end = term.held.valid_through
        if end is None or not as_of <= end <= through or paper.packet.use is StepUse.FIRST:
            continue
        yield _end(paper.packet.paper, term, _sending(plan, paper))


def _list_ended(plan: Plan, as_of: date) -> Iterator[PaperEnd]:
    """Give the ends of papers that are over though a job that is not over needs them."""
    for paper in plan.papers:
        held, end = paper.packet.held, paper.packet.valid_through
        if held is not None and end is not None and end < as_of and paper.packet.planned:
            term = _Term(held=replace(held, valid_through=end))
            yield _end(paper.packet.paper, term, _send_off(plan, paper, as_of))


def _sending(plan: Plan, paper: PaperPlan) -> Sending | None:
    packet: Packet = paper.packet
    if packet.use is not StepUse.RENEWAL:
        return None
    return _send_off(plan, paper, (packet.valid_through or packet.need_by) + timedelta(days=1))


def _send_off(plan: Plan, paper: PaperPlan, day: date) -> Sending | None:
    """Give when to send a packet off for the first of the jobs that go on on a day or later."""
    packet = paper.packet
    if paper.in_hand_by is None:
        return None
    needing = [
        job.job
        for job in plan.jobs
        if job.job.id in packet.verdict.jobs and job.job.last_day >= day
    ]
    first = min(needing, key=lambda job: job.first_day)
    return Sending(
        last=paper.mail_last,
        safe=paper.mail_safe,
        in_force_by=packet.need_by,
        job=name_job(first),
        is_mailed=paper.is_mailed,
        under_way=paper.mailed_on is not None,
        file_by=find_file_by(packet),
        missed=paper.renewal_missed or _find_late_filing(paper),
    )


def _find_late_filing(paper: PaperPlan) -> date | None:
    """Find the rule's last day to file a renewal that was sent off after it."""
    renewal, through = paper.packet.paper.renewal, paper.packet.valid_through
    if renewal is None or renewal.renew_by is None or through is None or paper.mailed_on is None:
        return None
    limit = compute_mark(renewal.renew_by, through)
    return limit if paper.mailed_on > limit else None


def _end(paper: PaperRow, term: _Term, sending: Sending | None) -> PaperEnd:
    end, renewal = term.held.valid_through, paper.renewal
    if end is None:
        raise AssertionError("only terms with a last day are listed")

    def mark(of: Mark | None) -> date | None:
        return compute_mark(of, end) if of is not None else None

    return PaperEnd(
        paper=paper,
        holder=term.held.holder,
        number=term.held.number,
        term=term.number,
        issued_on=term.held.issued_on,
        ends_on=end,
        guessed=term.guessed,
        opens_on=compute_renewal_opens(renewal, end) if renewal is not None else None,
        renew_by=mark(renewal.renew_by) if renewal is not None else None,
        late_fee_from=mark(renewal.late_fee_from) if renewal is not None else None,
        reexam_from=mark(renewal.reexam_from) if renewal is not None else None,
        sending=sending,
        file_by=sending.file_by if sending is not None else None,
    )


def _list_unknown(plan: Plan, terms: dict[str, _Term]) -> Iterator[tuple[PaperRow, Holder]]:
    """Give the papers that end on a day nobody can know yet."""
    for paper in plan.papers:
        row = paper.packet.paper
        ends = row.validity.kind is not ValidityKind.OPEN_ENDED
        if ends and terms[paper.id].held.valid_through is None:
            yield row, paper.packet.holder


def _follow(end: PaperEnd, before: _Term) -> _Term:
    """Reckon the term after one that ends."""
    sent = end.sending.safe if end.sending is not None else None
    issued = min(sent, end.ends_on) if sent is not None else end.ends_on
    through = compute_renewed_through(end.paper.validity, issued, end.ends_on)
    guessed = False
    if through is None and before.held.issued_on is not None:
        issued, guessed = end.ends_on + timedelta(days=1), True
        through = _as_long_again(before.held.issued_on, end.ends_on)
    elif through is not None and through <= end.ends_on:
        # Renewed so early that it gains nothing: reckon from its last day instead.
        issued = end.ends_on
        through = compute_valid_through(end.paper.validity, issued)
    held = replace(before.held, number="", issued_on=issued, valid_through=through)
    return _Term(held=held, number=before.number + 1, guessed=guessed)


def _as_long_again(issued: date, through: date) -> date:
    """Give the last day of a paper that begins after another and lasts as many months or days."""
    begins = through + timedelta(days=1)
    months = 12 * (begins.year - issued.year) + begins.month - issued.month
    if months > 0 and add_months(issued, months) == begins:
        return add_months(begins, months) - timedelta(days=1)
    return through + (begins - issued)


def _list_idle(
    operation: Operation,
    table: RulesTable,
    log: tuple[LogEntry, ...],
    needed: set[str],
    as_of: date,
    through: date,
) -> Iterator[PaperEnd]:
    """Give the ends of papers in hand that no job needs."""
    standing = find_standing(log)
    holders = dict.fromkeys((held.paper, held.holder) for held in operation.papers)
    for name, holder in holders:
        rows = [row for row in table.papers if row.id == name and row.in_force_on(as_of)]
        if not rows or packet_id(name, holder) in needed:
            continue
        own = [entry for entry in standing if (entry.paper, entry.holder) == (name, holder)]
        held = find_held(operation, own, rows[0], holder)
        if held is None:
            continue
        end = held.valid_through
        if end is None and held.issued_on is not None:
            end = compute_valid_through(rows[0].validity, held.issued_on)
        if end is not None and as_of <= end <= through:
            yield _end(rows[0], _Term(held=replace(held, valid_through=end)), None)
