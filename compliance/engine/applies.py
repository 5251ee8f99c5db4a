"""Which papers apply to which holder for which jobs, and why."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from compliance.engine.validity import settle_by_name
from compliance.facts.catalog import Subject
from compliance.facts.conditions import Finding, evaluate_condition
from compliance.facts.model import Holder, HolderKind, Job, Operation
from compliance.rules.editions import find_hole, find_on, nearest
from compliance.rules.model import PaperRow, Row, RulesTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Whether one paper is needed for one holder, for which jobs, and what was found.

    ``jobs`` are the ids of the jobs that need it, in file order; empty when the paper does not
    apply. ``findings`` decided the first such job, or are the fewest that stood against it.
    """

    paper: PaperRow
    holder: Holder
    jobs: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def applies(self) -> bool:
        """Tell whether the paper is needed at all."""
        return bool(self.jobs)


def find_subjects(operation: Operation, job: Job) -> tuple[Subject, ...]:
    """Give every combination of aircraft and pilot a job names, in the order of the job."""
    found = []
    for aircraft_id in job.aircraft:
        aircraft = operation.find_aircraft(aircraft_id)
        for pilot_id in job.pilots:
            pilot = operation.find_pilot(pilot_id)
            if aircraft is not None and pilot is not None:
                found.append(Subject(operation=operation, job=job, aircraft=aircraft, pilot=pilot))
    return tuple(found)


def holder_of(kind: HolderKind, subject: Subject) -> Holder:
    """Give the holder of a kind that a subject stands for."""
    if kind is HolderKind.AIRCRAFT:
        return Holder(kind=kind, ref=subject.aircraft.id)
    if kind is HolderKind.PILOT:
        return Holder(kind=kind, ref=subject.pilot.id)
    return Holder(kind=kind)


def compute_verdicts(operation: Operation, table: RulesTable) -> tuple[Verdict, ...]:
    """Ask every paper of the table about every holder of the operation's jobs.

    The edition of a row in force on the job's first day is asked.

    Shape: one verdict a (paper, holder) that some job involves, papers in table order, holders in
    order of first appearance; papers that do not apply are included with their reasons.
    """
    asked = [(subject, job) for job in operation.jobs for subject in find_subjects(operation, job)]
    verdicts: list[Verdict] = []
    for paper_id in dict.fromkeys(row.id for row in table.papers):
        editions = tuple(row for row in table.papers if row.id == paper_id)
        verdicts.extend(_ask_paper(editions, asked))
    return tuple(verdicts)


def _ask_paper(
    editions: tuple[PaperRow, ...], asked: list[tuple[Subject, Job]]
) -> Iterator[Verdict]:
    yes: dict[Holder, tuple[PaperRow, list[str], tuple[Finding, ...]]] = {}
    no: dict[Holder, tuple[PaperRow, tuple[Finding, ...]]] = {}
    for subject, job in asked:
        paper = find_on(editions, job.first_day)
        if paper is None and find_hole(editions, job.first_day) is not None:
            # A table that was checked has no holes (R95); never drop a paper silently for one.
            paper = nearest(editions, job.first_day)
        if paper is None:
            continue
        if paper.validity.by_name:
            settled = settle_by_name(paper.validity, subject.operation.legal_name)
            paper = replace(paper, validity=settled)
        holder = holder_of(paper.holder, subject)
        holds, findings = evaluate_condition(paper.when, subject)
        if holds:
            entry = yes.setdefault(holder, (paper, [], findings))
            if job.id not in entry[1]:
                entry[1].append(job.id)
        else:
            known = no.get(holder)
            if known is None or len(findings) < len(known[1]):
                no[holder] = (paper, findings)
    for holder in dict.fromkeys((*yes, *no)):
        if holder in yes:
            paper, jobs, findings = yes[holder]
            yield Verdict(paper=paper, holder=holder, jobs=tuple(jobs), findings=findings)
        else:
            paper, findings = no[holder]
            yield Verdict(paper=paper, holder=holder, jobs=(), findings=findings)


def row_holds_for(row: Row, subjects: tuple[Subject, ...]) -> bool:
    """Tell whether a step's or document's own condition holds for any of the subjects."""
    return any(evaluate_condition(row.when, subject)[0] for subject in subjects)


def find_holder_subjects(
    operation: Operation, holder: Holder, job_ids: tuple[str, ...]
) -> tuple[Subject, ...]:
    """Give the subjects of some jobs that stand for one holder."""
    return tuple(
        subject
        for job in operation.jobs
        if job.id in job_ids
        for subject in find_subjects(operation, job)
        if holder_of(holder.kind, subject) == holder
    )
