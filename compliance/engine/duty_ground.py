"""What duties are asked of: an operation, its papers, its logs and the table, looked up by name."""

from dataclasses import dataclass
from datetime import date

from compliance.engine.applies import Verdict, find_subjects, holder_of, row_holds_for
from compliance.engine.covers import find_held
from compliance.engine.duty_papers import OPERATION, DutyPapers
from compliance.engine.validity import compute_valid_through
from compliance.facts.catalog import Subject
from compliance.facts.events import JobEvent, find_standing_events
from compliance.facts.log import EventKind, LogEntry, find_standing
from compliance.facts.model import HeldPaper, Holder, Operation
from compliance.rules.model import DutyRow, PaperRow, RulesTable
from compliance.rules.validity_model import ValidityKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Everything duties are asked of; ``log`` and ``events`` hold only what still stands.

    ``papers`` are those of the same operation, asked about single days.
    """

    operation: Operation
    verdicts: tuple[Verdict, ...]
    log: tuple[LogEntry, ...]
    events: tuple[JobEvent, ...]
    as_of: date
    papers: DutyPapers

    def subjects_of(self, job: str, aircraft: str = "", pilot: str = "") -> tuple[Subject, ...]:
        """Give the combinations of a job, those of one aircraft and pilot when they are named.

        A machine or pilot that the job does not list is taken in: it flew all the same.
        """
        found = next((one for one in self.operation.jobs if one.id == job), None)
        if found is None:
            return ()
        usual = find_subjects(self.operation, found)
        kept = tuple(
            one
            for one in usual
            if aircraft in {"", one.aircraft.id} and pilot in {"", one.pilot.id}
        )
        if kept:
            return kept
        machines = [self.operation.find_aircraft(name) for name in (aircraft, *found.aircraft)]
        pilots = [self.operation.find_pilot(name) for name in (pilot, *found.pilots)]
        machine = next(filter(None, machines), None)
        person = next(filter(None, pilots), None)
        if machine is None or person is None:
            return usual
        own = Subject(operation=self.operation, job=found, aircraft=machine, pilot=person)
        return (own,)

    def holds(self, row: DutyRow, subjects: tuple[Subject, ...]) -> bool:
        """Tell whether a duty's own condition holds for any of some subjects."""
        return row_holds_for(row, subjects)

    def holders_of(self, row: DutyRow) -> tuple[Holder, ...]:
        """Give everybody a duty can fall on: the holders of its paper who need it for a job."""
        if not row.paper:
            jobs = (one.id for one in self.operation.jobs)
            needed = any(self.holds(row, self.subjects_of(job)) for job in jobs)
            return (OPERATION,) if needed else ()
        return tuple(
            verdict.holder
            for verdict in self.verdicts
            if verdict.paper.id == row.paper
            and verdict.applies
            and self.holds(row, self.subjects_for(row, verdict.holder))
        )

    def unneeded_of(self, row: DutyRow) -> tuple[Holder, ...]:
        """Give everybody a duty falls on only because its paper is held."""
        return self.papers.list_unneeded(row)

    def subjects_for(self, row: DutyRow, holder: Holder) -> tuple[Subject, ...]:
        """Give the subjects of all jobs for which a holder needs the paper of a duty."""
        jobs = self.jobs_for(row, holder)
        return tuple(
            one
            for job in jobs
            for one in self.subjects_of(job)
            if holder_of(holder.kind, one) == holder
        )

    def jobs_for(self, row: DutyRow, holder: Holder) -> tuple[str, ...]:
        """Give the jobs for which a holder needs the paper of a duty; without a paper, all."""
        if not row.paper:
            return tuple(one.id for one in self.operation.jobs)
        return next(
            (
                verdict.jobs
                for verdict in self.verdicts
                if (verdict.paper.id, verdict.holder) == (row.paper, holder)
            ),
            (),
        )

    def concerns(self, row: DutyRow, holder: Holder, subjects: tuple[Subject, ...]) -> bool:
        """Tell whether a flight or job with these subjects brings a duty to a holder."""
        jobs = self.jobs_for(row, holder)
        own = tuple(
            one for one in subjects if one.job.id in jobs and holder_of(holder.kind, one) == holder
        )
        return self.holds(row, own)

    def title_of(self, paper: str) -> str:
        """Name a paper."""
        row = self._paper(paper)
        return row.title if row is not None else paper

    def _paper(self, paper: str) -> PaperRow | None:
        return self.papers.find_row(paper)

    def find_held(self, paper: str, holder: Holder) -> HeldPaper | None:
        """Find the paper in hand that lasts longest, from the facts and the grants of the log."""
        row = self._paper(paper)
        if row is None:
            return None
        own = [one for one in self.log if (one.paper, one.holder) == (paper, holder)]
        return find_held(self.operation, own, row, holder)

    def last_day_of(self, paper: str, holder: Holder) -> date | None:
        """Give the last day in force of the paper in hand; None when unknown or without end."""
        row, held = self._paper(paper), self.find_held(paper, holder)
        if row is None or held is None or row.validity.kind is ValidityKind.OPEN_ENDED:
            return None
        if held.valid_through is not None or held.issued_on is None:
            return held.valid_through
        return compute_valid_through(row.validity, held.issued_on)

    def find_mailing(self, paper: str, holder: Holder) -> date | None:
        """Give the day a packet was sent off that no grant has answered yet."""
        mailed: date | None = None
        for entry in self.log:
            if (entry.paper, entry.holder) != (paper, holder):
                continue
            if entry.kind is EventKind.MAILED:
                mailed = entry.happened_on
            elif entry.kind is EventKind.GRANTED:
                mailed = None
        return mailed


def make_ground(
    operation: Operation,
    table: RulesTable,
    verdicts: tuple[Verdict, ...],
    log: tuple[LogEntry, ...],
    events: tuple[JobEvent, ...],
    as_of: date,
) -> Ground:
    """Gather what duties are asked of; of the logs only what still stands."""
    standing = find_standing(log)
    papers = DutyPapers(
        operation=operation, verdicts=verdicts, table=table, log=standing, as_of=as_of
    )
    return Ground(
        operation=operation,
        verdicts=verdicts,
        log=standing,
        events=find_standing_events(events),
        as_of=as_of,
        papers=papers,
    )
