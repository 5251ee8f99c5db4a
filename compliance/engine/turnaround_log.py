"""What the log of an operation says about the offices: how long each took, and how it ended."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from compliance.base.calendars import OutOfRangeError
from compliance.engine.applies import find_holder_subjects, row_holds_for
from compliance.engine.days import OperationDays
from compliance.engine.network import lead_of
from compliance.engine.packets import packet_id
from compliance.engine.progress import Progress, compute_progress, find_returnable, round_of
from compliance.engine.turnaround import Observation, Outcome, find_offices
from compliance.facts.log import EventKind, LogEntry, find_standing
from compliance.facts.model import Holder, Operation
from compliance.rules.model import (
    CalendarName,
    PaperRow,
    RulesTable,
    ServiceRow,
    StepKind,
    StepRow,
    StepUse,
)


def find_observations(
    operation: Operation, log: tuple[LogEntry, ...], table: RulesTable, days: OperationDays
) -> tuple[Observation, ...]:
    """Find what an operation's log shows of every office, decided and pending.

    The office's time begins on the day the packet was logged as received, else the usual days of
    the mail after its mailing. It ends on the day of issue of a grant or, when that is not known
    and for a return, the usual days of the mail before the packet was back. A return is booked on
    the step that sends back, with all the days since the packet was there: where the office goes on
    working after that step, nobody sees where the one ended, and this is the cautious reading. A
    step that was logged as over took the days up to then. What lies outside the calendars is left
    out.

    Shape: paper by paper in the order of the log, the rounds of a packet oldest first.
    """
    services = {row.id: row for row in table.services}
    out = services[f"mail.{operation.mail_service}"]
    back = services["mail.first-class"]
    reader = _Reader(operation, table, days, out, back, find_offices(table))
    standing = find_standing(log)
    papers = {row.id: row for row in table.papers}
    found: list[Observation] = []
    for key in dict.fromkeys((entry.paper, entry.holder) for entry in standing):
        paper = papers.get(key[0])
        own = tuple(entry for entry in standing if (entry.paper, entry.holder) == key)
        if paper is not None:
            found.extend(reader.read(paper, key[1], own))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Reader:
    operation: Operation
    table: RulesTable
    days: OperationDays
    out: ServiceRow
    back: ServiceRow
    offices: dict[str, str]

    def read(
        self, paper: PaperRow, holder: Holder, entries: tuple[LogEntry, ...]
    ) -> Iterator[Observation]:
        """Read the entries of one packet, grant by grant."""
        held = [
            one for one in self.operation.papers if (one.paper, one.holder) == (paper.id, holder)
        ]
        use = StepUse.RENEWAL if held else StepUse.FIRST
        for part in _split_by_grants(entries):
            rows = self._rows(paper, holder, use, part[0].happened_on)
            run = _Run(self, rows, part, compute_progress(rows, part))
            for row in rows:
                if row.id in self.offices:
                    yield from run.observe(row, paper, holder)
            use = StepUse.RENEWAL

    def _rows(
        self, paper: PaperRow, holder: Holder, use: StepUse, day: date
    ) -> tuple[StepRow, ...]:
        jobs = tuple(job.id for job in self.operation.jobs)
        subjects = find_holder_subjects(self.operation, holder, jobs)
        fitting = (StepUse.BOTH, StepUse.AFTER_RETURN, use)
        return tuple(
            row
            for row in self.table.steps
            if row.paper == paper.id
            and row.use in fitting
            and row.in_force_on(day)
            and (not subjects or row_holds_for(row, subjects))
        )


def _split_by_grants(entries: tuple[LogEntry, ...]) -> Iterator[tuple[LogEntry, ...]]:
    part: list[LogEntry] = []
    for entry in entries:
        part.append(entry)
        if entry.kind is EventKind.GRANTED:
            yield tuple(part)
            part = []
    if part:
        yield tuple(part)


@dataclass(frozen=True, slots=True)
class _Run:
    """One packet from its first mailing to its grant, or as far as it has come."""

    reader: _Reader
    rows: tuple[StepRow, ...]
    entries: tuple[LogEntry, ...]
    progress: Progress

    def observe(self, row: StepRow, paper: PaperRow, holder: Holder) -> Iterator[Observation]:
        """Give what was seen of one wait, round by round."""
        for turn in range(1, self.progress.round + 1):
            began = self._began(row, turn)
            ended = self._ended(row, turn) if began is not None else None
            if began is None or ended is None:
                continue
            end, outcome = ended
            heard = self.progress.heard if outcome is Outcome.PENDING else ()
            yield Observation(
                office=paper.office,
                step=row.id,
                sent_on=date.fromordinal(began),
                decided_on=None if end is None else date.fromordinal(max(end, began)),
                outcome=outcome,
                operation=self.reader.operation.id,
                packet=packet_id(paper.id, holder),
                way_home=tuple(self._leads(self._waits_after(row))),
                heard=heard[-1] if heard else None,
            )

    @property
    def _returnable(self) -> StepRow | None:
        return find_returnable(self.rows)

    def _before(self, row: StepRow, turn: int) -> tuple[StepRow, ...]:
        """Give the steps a step follows in a round."""
        back = self._returnable
        path = back.return_path if back is not None else ()
        names: tuple[str, ...] = row.after
        if turn > 1:
            if row.name not in path:
                return ()
            at = path.index(row.name)
            names = path[max(at - 1, 0) : at]
        return tuple(one for one in self.rows if one.name in names)

    def _over(self, row: StepRow, turn: int) -> int | None:
        """Give the day a step was over: as logged, or a wait after its usual days."""
        logged = self.progress.done.get((row.name, round_of(row, self._returnable, turn)))
        if logged is not None:
            return logged.toordinal()
        began = self._began(row, turn) if row.kind is StepKind.WAIT else None
        return None if began is None else self._later(row, began)

    def _began(self, row: StepRow, turn: int) -> int | None:
        if turn > 1 and round_of(row, self._returnable, turn) == 1:
            return None
        days = [self._over(one, turn) for one in self._before(row, turn)]
        return max((day for day in days if day is not None), default=None)

    def _ended(self, row: StepRow, turn: int) -> tuple[int | None, Outcome] | None:
        """Give the day a wait ended and how; None when nothing can be said of it."""
        returns = self.progress.returns
        if row is self._returnable and turn <= len(returns):
            over = self._logged_over(row, turn)
            if over is not None:
                return over, Outcome.RETURNED
            path = [one for one in self.rows if one.event is EventKind.RETURNED]
            return self._earlier(path, returns[turn - 1].happened_on), Outcome.RETURNED
        last = self.entries[-1]
        if row.event is EventKind.GRANTED and last.kind is EventKind.GRANTED:
            if last.issued_on is not None and last.issued_on <= last.happened_on:
                return last.issued_on.toordinal(), Outcome.GRANTED
            return self._earlier(self._waits_after(row), last.happened_on), Outcome.GRANTED
        logged = self.progress.done.get((row.name, turn))
        if logged is not None:
            return logged.toordinal(), Outcome.GRANTED
        is_out = self.progress.is_at_office and row.event is EventKind.GRANTED
        return (None, Outcome.PENDING) if is_out and turn == self.progress.round else None

    def _logged_over(self, row: StepRow, turn: int) -> int | None:
        """Give the day a wait was logged as over in a round that came back later all the same."""
        returns = self.progress.returns
        first = returns[turn - 2].happened_on if turn > 1 else date.min
        days = [
            entry.happened_on
            for entry in self.entries
            if entry.kind is EventKind.DONE
            and entry.step == row.name
            and first <= entry.happened_on <= returns[turn - 1].happened_on
        ]
        return max(days).toordinal() if days else None

    def _waits_after(self, row: StepRow) -> list[StepRow]:
        """Give the waits between a decision and the paper in hand."""
        names = {row.name}
        found = []
        for one in self.rows:
            if one.kind is StepKind.WAIT and names & set(one.after):
                names.add(one.name)
                found.append(one)
        return found

    def _leads(self, rows: list[StepRow]) -> Iterator[tuple[CalendarName, int]]:
        for row in rows:
            lead, name = lead_of(row, self.reader.out, self.reader.back)
            yield name, lead.usual

    def _later(self, row: StepRow, day: int) -> int | None:
        lead, name = lead_of(row, self.reader.out, self.reader.back)
        try:
            return self.reader.days.calendar(name).forward(day, lead.usual)
        except OutOfRangeError:
            return None

    def _earlier(self, rows: list[StepRow], day: date) -> int:
        """Count back the usual days of what came between a decision and the farm."""
        found = day.toordinal()
        try:
            for name, usual in reversed(tuple(self._leads(rows))):
                found = self.reader.days.calendar(name).backward(found, usual)
        except OutOfRangeError:
            return found
        return found
