"""The papers behind duties: on which days they are in force, and what they say of their own."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal

from compliance.engine.applies import Verdict, row_holds_for
from compliance.engine.covers import Cover, compute_covers
from compliance.engine.timely_filing import find_timely_filing
from compliance.engine.validity import settle_by_name
from compliance.facts.catalog import Subject
from compliance.facts.conditions import ALWAYS, AllOf, AnyOf, Condition, Test
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import (
    Acquired,
    Aircraft,
    HeldPaper,
    Holder,
    HolderKind,
    Job,
    Material,
    Operation,
    Pilot,
)
from compliance.facts.own_terms import OwnTerm
from compliance.rules.editions import find_on, nearest
from compliance.rules.model import DutyEvent, DutyRow, PaperRow, RulesTable

OPERATION = Holder(kind=HolderKind.OPERATION)
# What begins with a flight or a job goes with the papers which that flight or job needs.
_OF_FLYING = frozenset(
    {
        DutyEvent.FLIGHT_START,
        DutyEvent.FLIGHT,
        DutyEvent.RE_ENTRY_ENDS,
        DutyEvent.JOB_START,
        DutyEvent.JOB_END,
        DutyEvent.ACCIDENT,
        DutyEvent.DEPARTURE,
        DutyEvent.SEASON_YEAR,
    }
)
Key = tuple[str, Holder]


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyPapers:
    """The papers an operation has or had, asked about single days; ``log`` is what stands."""

    operation: Operation
    verdicts: tuple[Verdict, ...]
    table: RulesTable
    log: tuple[LogEntry, ...]
    as_of: date
    _known: dict[Key, tuple[Cover, ...]] = field(default_factory=dict, compare=False)

    def find_row(self, paper: str) -> PaperRow | None:
        """Find the row of a paper: the edition its jobs need, else the one in force now."""
        needed = next((one.paper for one in self.verdicts if one.paper.id == paper), None)
        if needed is not None:
            return needed
        rows = tuple(row for row in self.table.papers if row.id == paper)
        if not rows:
            return None
        row = find_on(rows, self.as_of) or nearest(rows, self.as_of)
        settled = settle_by_name(row.validity, self.operation.legal_name)
        return replace(row, validity=settled)

    def list_covers(self, paper: str, holder: Holder) -> tuple[Cover, ...]:
        """List the days each paper of a kind covers, from the facts and the grants of the log.

        One that lives on because its renewal was filed in time has no last day until it is decided.
        """
        key = (paper, holder)
        if key not in self._known:
            row = self.find_row(paper)
            self._known[key] = self._cover(row, holder) if row is not None else ()
        return self._known[key]

    def _cover(self, row: PaperRow, holder: Holder) -> tuple[Cover, ...]:
        own = [one for one in self.log if (one.paper, one.holder) == (row.id, holder)]
        covers = compute_covers(self.operation, own, row, holder)
        last = max(covers, key=lambda one: one.through or date.max, default=None)
        if last is None or last.through is None:
            return covers
        office = next((one for one in self.table.offices if one.id == row.office), None)
        if find_timely_filing(row, office, own, last.through) is None:
            return covers
        return tuple(replace(one, through=None) if one is last else one for one in covers)

    def is_in_force(self, paper: str, holder: Holder, first: date, last: date) -> bool:
        """Tell whether a paper is in force on some day from *first* through *last*.

        A paper whose last day nobody wrote down counts as in force from its first day on.
        """
        return any(_touches(one, first, last) for one in self.list_covers(paper, holder))

    def list_terms(
        self, row: DutyRow, holder: Holder, first: date, last: date
    ) -> tuple[OwnTerm | None, ...]:
        """List what counts for a duty about the days from *first* through *last*, inclusive.

        Shape: the own terms of the papers in force on those of these days on which the paper of
        the duty is, each once; None stands for the rule's own numbers, to which a paper of the
        duty's kind keeps that is in force and says nothing else. Never empty. Another kind of paper
        may say something in the duty's place, but on its own days only: a single day that it
        leaves out brings the rule back. One of the operation, such as a grant, speaks for its
        aircraft and pilots too.
        """
        if not any(_find_term(held, row) is not None for held in self.operation.papers):
            return (None,)
        own = [one for one in self._list_different(row.paper, holder) if _touches(one, first, last)]
        beside = [
            cover
            for kind in self._list_speaking(row, holder)
            for cover in self.list_covers(*kind)
            if _touches(cover, first, last) and _find_term(cover.held, row) is not None
        ]
        days = _list_turns((*own, *beside), first, last)
        # Without the paper on any of the days, as before a flight that waits for it, all count.
        held = [day for day in days if any(_touches(one, day, day) for one in own)] or days
        found: dict[OwnTerm | None, None] = {}
        for day in held:
            own_terms = [_find_term(one.held, row) for one in own if _touches(one, day, day)]
            others = [_find_term(one.held, row) for one in beside if _touches(one, day, day)]
            if others:
                own_terms = [one for one in own_terms if one is not None]
            found |= dict.fromkeys([*own_terms, *others] or [None])
        return tuple(sorted(found, key=lambda term: term is not None))

    def _list_different(self, paper: str, holder: Holder) -> Iterator[Cover]:
        """Give the papers of a kind, without a grant that the file has as a paper too."""
        covers = self.list_covers(paper, holder) if paper else ()
        written = [one for one in covers if one.held in self.operation.papers]
        for one in covers:
            if one.held in self.operation.papers or not any(
                _is_same(one, other) for other in written
            ):
                yield one

    def _list_speaking(self, row: DutyRow, holder: Holder) -> tuple[Key, ...]:
        """List the other papers with a term for a duty, by kind and holder."""
        return tuple(
            dict.fromkeys(
                (one.paper, one.holder)
                for one in self.operation.papers
                if one.holder in {holder, OPERATION}
                and (one.paper, one.holder) != (row.paper, holder)
                and _find_term(one, row) is not None
            )
        )

    def list_unneeded(self, row: DutyRow) -> tuple[Holder, ...]:
        """List who holds or held the paper of a duty without a job that needs it.

        Only for what a paper asks for while it is held, whatever is flown; what begins with a
        flight or a job is left out. Conditions on jobs count as met, since the paper is held.
        """
        if not row.paper or not set(row.events) - _OF_FLYING:
            return ()
        needing = {one.holder for one in self.verdicts if one.applies and one.paper.id == row.paper}
        held = [one.holder for one in self.operation.papers if one.paper == row.paper]
        held += [
            one.holder
            for one in self.log
            if one.kind is EventKind.GRANTED and one.paper == row.paper
        ]
        return tuple(
            holder
            for holder in dict.fromkeys(held)
            if holder not in needing and self._may_hold(row, holder)
        )

    def _may_hold(self, row: DutyRow, holder: Holder) -> bool:
        """Tell whether a duty's own condition can hold for a holder, whatever jobs there are."""
        machines = [
            one
            for one in self.operation.aircraft
            if holder.kind is not HolderKind.AIRCRAFT or holder.ref == one.id
        ]
        # No fact of a job or of a missing aircraft is looked at, so any will do in its place.
        unknown = {"job"} if machines else {"job", "aircraft"}
        subjects = tuple(
            Subject(operation=self.operation, job=_NO_JOB, aircraft=machine, pilot=_NO_PILOT)
            for machine in machines or [_NO_AIRCRAFT]
        )
        return row_holds_for(replace(row, when=_leave_out(row.when, unknown)), subjects)


_NO_PILOT = Pilot(id="none", name="none")
_NO_AIRCRAFT = Aircraft(
    id="none",
    maker="none",
    model="none",
    serial="none",
    takeoff_weight_lb=Decimal(0),
    acquired=Acquired.NEW,
)
_NO_JOB = Job(
    id="none",
    first_day=date.min,
    last_day=date.min,
    state="",
    for_hire=False,
    restricted_use=False,
    material=Material.PESTICIDE,
    aircraft=(),
    pilots=(),
)


def _leave_out(condition: Condition, heads: set[str]) -> Condition:
    """Give a condition in which every test on facts of these families counts as met."""
    if isinstance(condition, Test):
        return ALWAYS if condition.fact.partition(".")[0] in heads else condition
    parts = tuple(_leave_out(part, heads) for part in condition.parts)
    return AllOf(parts) if isinstance(condition, AllOf) else AnyOf(parts)


def _touches(cover: Cover, first: date, last: date) -> bool:
    begun = cover.begins is None or cover.begins <= last
    return begun and (cover.through is None or first <= cover.through)


def _list_turns(covers: Iterable[Cover], first: date, last: date) -> list[date]:
    """List the days from *first* through *last* on which other papers may count than before."""
    ends = {one.through for one in covers if one.through is not None and one.through < last}
    begins = {one.begins for one in covers if one.begins is not None and one.begins <= last}
    turns = {first, *begins, *(end + timedelta(days=1) for end in ends)}
    return sorted(day for day in turns if day >= first)


def _find_term(held: HeldPaper, row: DutyRow) -> OwnTerm | None:
    return next((term for term in held.own_terms if term.duty == row.id), None)


def _is_same(grant: Cover, written: Cover) -> bool:
    """Tell whether a logged grant is a paper of the file, written down twice.

    Papers with two numbers are two; a renewal may bear the number of the paper before it, so that
    a day must agree too, or the grant say none and fall within what is written.
    """
    numbers = {grant.held.number, written.held.number} - {""}
    if len(numbers) > 1:
        return False
    days = (grant.held.issued_on, grant.held.valid_through)
    agree = days[0] == written.begins or (days[1] is not None and days[1] == written.through)
    begins = grant.begins or date.min
    return agree or (grant.end_unknown and _touches(written, begins, begins))
