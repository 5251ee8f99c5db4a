"""The days by which duties of the table ask for a renewal to be filed, beside its packet's own."""

from dataclasses import dataclass
from datetime import date, timedelta

from compliance.base.calendars import DayCalendar
from compliance.base.holidays import build_federal_calendar
from compliance.engine.duties import compute_duty_due
from compliance.engine.duty_ground import Ground, make_ground
from compliance.engine.duty_terms import apply_term
from compliance.engine.plan_model import Plan
from compliance.facts.log import LogEntry
from compliance.facts.model import Holder
from compliance.facts.own_terms import OwnTerm
from compliance.rules.model import DueUnit, DutyEvent, DutyKind, DutyRow, RulesTable

_DAYS_BEFORE = timedelta(days=1_500)


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedFiling:
    """A duty to file a renewal and its last day, inclusive; ``term`` when a document sets it."""

    row: DutyRow
    due_on: date
    term: OwnTerm | None


@dataclass(frozen=True, slots=True)
class FilingDuties:
    """The duties of a table to file before a paper ends, for the holders of one plan."""

    ground: Ground
    rows: tuple[DutyRow, ...]

    def find_asked(self, paper: str, holder: Holder, ends_on: date) -> tuple[AskedFiling, ...]:
        """Find by when each duty asks a holder to file the renewal of a paper that ends on a day.

        Shape: in table order. A last day that is no federal working day is the one before it, as
        in `duties`.
        """
        found = []
        for row in self.rows:
            if row.paper != paper or not row.in_force_on(ends_on):
                continue
            if holder not in {*self.ground.holders_of(row), *self.ground.unneeded_of(row)}:
                continue
            federal = build_federal_calendar(ends_on - _DAYS_BEFORE, ends_on)
            asked = [
                self._ask(row, term, ends_on, federal)
                for term in self.ground.papers.list_terms(row, holder, ends_on, ends_on)
                if (term is None or term.applies)
                and apply_term(row, term).unit is not DueUnit.HOURS
            ]
            # Of several papers in force at once the stricter one counts.
            found.extend(sorted(asked, key=lambda one: one.due_on)[:1])
        return tuple(found)

    def _ask(
        self, row: DutyRow, term: OwnTerm | None, ends_on: date, federal: DayCalendar
    ) -> AskedFiling:
        own = apply_term(row, term)
        due = federal.on_or_before(compute_duty_due(own, ends_on, federal).toordinal())
        return AskedFiling(row=own, due_on=date.fromordinal(due), term=term)


def list_filing_duties(plan: Plan, table: RulesTable, log: tuple[LogEntry, ...]) -> FilingDuties:
    """Gather the duties that ask for a renewal to be filed before a paper ends."""
    ground = make_ground(plan.operation, table, plan.verdicts, log, (), plan.as_of)
    rows = tuple(
        row
        for row in table.duties
        if row.before and row.kind is DutyKind.FILE and DutyEvent.PAPER_ENDS in row.events
    )
    return FilingDuties(ground, rows)
