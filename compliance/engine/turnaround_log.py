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
from compliance.engine.turnaround import Observation, Outcome, Sight, Stop, find_offices
from compliance.facts.log import EventKind, LogEntry, find_standing
from compliance.facts.model import Holder, MailService, Operation
from compliance.rules.model import (
    CalendarName,
    LeadDays,
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
    the step that sends back, with the days since the packet was there, unless by usual days it was
    at a later step of the office by then: that step took longer than the days since it began, and
    of the one that sends back only the answer was seen, not its days. A step that was logged as
    over took the days up to then. What lies outside the calendars is left out.

    Shape: paper by paper in the order of the log, the rounds of a packet oldest first.
    """
    services = {row.id: row for row in table.services}
    reader = _Reader(operation, table, days, services, find_offices(table))
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
    services: dict[str, ServiceRow]
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

    def lead(self, row: StepRow, service: MailService) -> tuple[LeadDays, CalendarName]:
        """Give a step's days and the calendar that counts them, sent off by a mail service."""
        out, back = self.services[f"mail.{service}"], self.services["mail.first-class"]
        return lead_of(row, out, back)

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
            end, outcome, sight = ended
            heard = self.progress.heard if outcome is Outcome.PENDING else ()
            there = date.fromordinal(self._there(row, turn, began))
            sent_on = date.fromordinal(began)
            yield Observation(
                office=paper.office,
                step=row.id,
                sent_on=sent_on,
                decided_on=None if end is None else date.fromordinal(max(end, began)),
                outcome=outcome,
                operation=self.reader.operation.id,
                packet=packet_id(paper.id, holder),
                way_home=tuple(self._leads(self._waits_after(row))),
                heard=heard[-1] if heard else None,
                sight=sight,
                there_since=there if there != sent_on else None,
                stops=self._list_stops(row, turn) if outcome is Outcome.PENDING else (),
            )

    @property
    def _returnable(self) -> StepRow | None:
        return find_returnable(self.rows)

    @property
    def _path(self) -> tuple[str, ...]:
        back = self._returnable
        return back.return_path if back is not None else ()

    def _before(self, row: StepRow, turn: int) -> tuple[StepRow, ...]:
        """Give the steps a step follows in a round."""
        names: tuple[str, ...] = row.after
        if turn > 1 and row.name in self._path:
            at = self._path.index(row.name)
            names = self._path[max(at - 1, 0) : at]
        return tuple(one for one in self.rows if one.name in names)

    def _is_behind(self, row: StepRow) -> bool:
        """Tell whether a step comes after the one that sends back, so only in the last round."""
        return self._returnable is not None and self._returnable.name in self._all_before(row)

    def _all_before(self, row: StepRow) -> frozenset[str]:
        """Give the names of everything a step follows in the first round."""
        waiting, seen = list(row.after), set(row.after)
        while waiting:
            name = waiting.pop()
            more = {then for one in self.rows if one.name == name for then in one.after} - seen
            waiting.extend(more)
            seen |= more
        return frozenset(seen)

    def _list_later(self) -> tuple[StepRow, ...]:
        """Give the office's further steps after the one that sends back, up to its decision."""
        decided = {one.name for one in self.rows if one.event is EventKind.GRANTED}
        return tuple(
            one
            for one in self.rows
            if one.id in self.reader.offices
            and self._is_behind(one)
            and one.name not in self._path
            and not decided & self._all_before(one)
        )

    def _over(self, row: StepRow, turn: int) -> int | None:
        """Give the day a step was over: as logged, or a wait after its usual days."""
        if row is self._returnable and turn <= len(self.progress.returns):
            logged = self._logged_over(row, turn)
        else:
            done = self.progress.done.get((row.name, round_of(row, self._returnable, turn)))
            logged = None if done is None else done.toordinal()
        if logged is not None:
            return logged
        began = self._began(row, turn) if row.kind is StepKind.WAIT else None
        return None if began is None else self._later(row, turn, began)

    def _began(self, row: StepRow, turn: int) -> int | None:
        own = round_of(row, self._returnable, turn)
        if turn > own and not self._is_behind(row):
            return None
        days = [self._over(one, turn) for one in self._before(row, turn)]
        return max((day for day in days if day is not None), default=None)

    def _there(self, row: StepRow, turn: int, began: int) -> int:
        """Give the day the packet came to the office: the first of its steps there began."""
        for one in self._before(row, turn):
            earlier = self._began(one, turn) if one.id in self.reader.offices else None
            if earlier is not None:
                began = min(began, self._there(one, turn, earlier))
        return began

    def _list_stops(self, row: StepRow, turn: int) -> tuple[Stop, ...]:
        """List the office's steps before a step that are not known to be over."""
        found: list[Stop] = []
        for one in self._before(row, turn):
            began = self._began(one, turn) if one.id in self.reader.offices else None
            is_over = (one.name, round_of(one, self._returnable, turn)) in self.progress.done
            if began is not None and not is_over:
                found.extend(self._list_stops(one, turn))
                found.append(Stop(one.id, date.fromordinal(began)))
        return tuple(sorted(found, key=lambda stop: stop.began_on))

    def _ended(self, row: StepRow, turn: int) -> tuple[int | None, Outcome, Sight] | None:
        """Give the day a wait ended and how; None when nothing can be said of it."""
        is_last = turn == self.progress.round
        if not is_last and (row is self._returnable or self._is_behind(row)):
            return self._sent_back(row, turn)
        last = self.entries[-1]
        if is_last and row.event is EventKind.GRANTED and last.kind is EventKind.GRANTED:
            if last.issued_on is not None and last.issued_on <= last.happened_on:
                return last.issued_on.toordinal(), Outcome.GRANTED, Sight.WHOLE
            there = self._earlier(self._waits_after(row), last.happened_on)
            return there, Outcome.GRANTED, Sight.WHOLE
        logged = self.progress.done.get((row.name, round_of(row, self._returnable, turn)))
        if logged is not None:
            return logged.toordinal(), Outcome.GRANTED, Sight.WHOLE
        is_out = is_last and self.progress.is_at_office and row.event is EventKind.GRANTED
        return (None, Outcome.PENDING, Sight.WHOLE) if is_out else None

    def _sent_back(self, row: StepRow, turn: int) -> tuple[int | None, Outcome, Sight] | None:
        """Give what a return shows of a wait of its round."""
        is_answer = row is self._returnable
        if is_answer and (over := self._logged_over(row, turn)) is not None:
            return over, Outcome.RETURNED, Sight.WHOLE
        path = [one for one in self.rows if one.event is EventKind.RETURNED]
        end = self._earlier(path, self.progress.returns[turn - 1].happened_on)
        begun = [
            (day, one.name)
            for one in self._list_later()
            if (day := self._began(one, turn)) is not None and day < end
        ]
        if is_answer:
            return end, Outcome.RETURNED, Sight.NONE if begun else Sight.WHOLE
        if begun and row.name == max(begun)[1]:
            return end, Outcome.RETURNED, Sight.LEAST
        return None

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
            lead, name = self.reader.lead(row, self.reader.operation.mail_service)
            yield name, lead.usual

    def _later(self, row: StepRow, turn: int, day: int) -> int | None:
        service = self.progress.services.get(turn, self.reader.operation.mail_service)
        lead, name = self.reader.lead(row, service)
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
