"""The rows of the rules table as plain values."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from compliance.base.problems import SourceRef
from compliance.facts.basis import Basis
from compliance.facts.conditions import ALWAYS, Condition
from compliance.facts.log import EventKind
from compliance.facts.model import HolderKind
from compliance.facts.overrides import Override


class CalendarName(StrEnum):
    """Which days count for a step."""

    EVERY_DAY = "every-day"
    FEDERAL = "federal"
    POSTAL = "postal"
    BANK = "bank"
    FIELD = "field"
    NOTARY = "notary"
    POST_OFFICE = "post-office"


class StepKind(StrEnum):
    """Act: done on one day. Wait: takes time. Notice: a legal period that is never shortened."""

    ACT = "act"
    WAIT = "wait"
    NOTICE = "notice"


class StepUse(StrEnum):
    """When a step belongs to the packet: first issue, renewal, both, or only after a return."""

    FIRST = "first"
    RENEWAL = "renewal"
    BOTH = "both"
    AFTER_RETURN = "after-return"


class CountsOn(StrEnum):
    """What an office counts: the day it receives, the day it was sent, the day of filing online."""

    RECEIVED = "received"
    SENT = "sent"
    FILED = "filed"


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadDays:
    """Counted days of a wait: fast <= usual <= slow."""

    fast: int
    usual: int
    slow: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Fee:
    """What a filing costs, in US dollars, to whom and how."""

    amount_usd: Decimal
    payee: str
    method: str
    per: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What every row has: id, title, when it holds, its basis, its days in force and its place."""

    id: str
    title: str
    when: Condition = ALWAYS
    basis: Basis
    applies_from: date | None = None
    applies_until: date | None = None
    place: SourceRef
    overrides: tuple[Override, ...] = ()

    def in_force_on(self, day: date) -> bool:
        """Tell whether this edition of the row applies on a day; both ends inclusive."""
        after_start = self.applies_from is None or self.applies_from <= day
        return after_start and (self.applies_until is None or day <= self.applies_until)


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficeRow(Row):
    """An office that receives packets; addresses as lines of an envelope."""

    mail_to: tuple[str, ...] = ()
    courier_to: tuple[str, ...] = ()
    online: str = ""
    counts_on: CountsOn = CountsOn.RECEIVED


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceRow(Row):
    """A way to send packets, with its transit days on its calendar."""

    days: LeadDays
    calendar: CalendarName
    reaches_po_box: bool
    proof: str = ""


class ValidityKind(StrEnum):
    """How a paper's last day in force follows from its issue.

    ``months``: the same day some months on; ``months-to-month-end``: the last day of that month;
    ``fixed-day``: the n-th coming of a day of the year; ``from-document``: printed on the paper;
    ``open-ended``: until surrendered, suspended or revoked.
    """

    MONTHS = "months"
    MONTHS_TO_MONTH_END = "months-to-month-end"
    FIXED_DAY = "fixed-day"
    FROM_DOCUMENT = "from-document"
    OPEN_ENDED = "open-ended"


@dataclass(frozen=True, slots=True, kw_only=True)
class Validity:
    """The rule for a paper's last day in force.

    ``years`` of a fixed day: 1 = the first such day on or after issue, 2 = one year later.
    ``after_issue_year`` counts the fixed day in issue year + years instead.
    ``renewal_from_expiry``: a renewed paper runs its months from the last day of the one before,
    not from its own issue.
    """

    kind: ValidityKind
    months: int = 0
    month_day: str = ""
    years: int = 1
    after_issue_year: bool = False
    renewal_from_expiry: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A day told by a rule: a day of the year, or days counted from a paper's last valid day.

    ``month_day`` is ``MM-DD`` or ``MM-end``; without it ``days`` counts calendar days, negative
    before the last valid day and positive after it.
    """

    month_day: str = ""
    days: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Renewal:
    """When a paper may and must be renewed.

    ``opens_months`` months before the last valid day, 0 when no opening day is known;
    ``opens_before_month``: counted back from the first day of the month it ends in (14 CFR
    48.100(c)(1)). ``carries_over``: a renewal filed in time keeps the old paper alive until the
    office decides.
    """

    opens_months: int = 0
    opens_before_month: bool = False
    renew_by: Mark | None = None
    late_fee_from: Mark | None = None
    reexam_from: Mark | None = None
    carries_over: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperRow(Row):
    """Something that must be in force to do a job."""

    holder: HolderKind
    why: str
    office: str
    validity: Validity
    renewal: Renewal | None = None
    fee: Fee | None = None
    renewal_fee: Fee | None = None
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Freshness:
    """This step must come at most ``days`` calendar days after another step of the packet."""

    after: str
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRow(Row):
    """One thing to do or to wait for on the way to a paper.

    ``name`` is the last part of the id and unique within the paper; ``after``, ``return_path`` and
    ``fresh`` use names. ``days`` belongs to waits and notices; ``mail`` is ``out`` or ``back`` for
    waits whose days come from the mail service. ``needs`` are papers that must be in hand first.
    ``return_path``: the steps, in order, that a packet sent back goes through before this step's
    successors; it ends with this step.
    """

    paper: str
    name: str
    kind: StepKind
    use: StepUse = StepUse.BOTH
    calendar: CalendarName = CalendarName.EVERY_DAY
    done_at: str = ""
    event: EventKind = EventKind.DONE
    after: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    days: LeadDays | None = None
    mail: str = ""
    fresh: Freshness | None = None
    return_path: tuple[str, ...] = ()


class NotaryAct(StrEnum):
    """Which notarial act a document asks for."""

    NONE = "none"
    JURAT = "jurat"
    ACKNOWLEDGMENT = "acknowledgment"
    AS_PRINTED = "as-printed"


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentRow(Row):
    """One form or enclosure of a packet; ``originals`` and ``copies`` go into the envelope."""

    paper: str
    use: StepUse = StepUse.BOTH
    template: str
    originals: int
    copies: int
    keep_copy: bool = True
    signer: str = ""
    notary: NotaryAct = NotaryAct.NONE
    notes: tuple[str, ...] = ()


class DueUnit(StrEnum):
    """What a duty's period counts."""

    DAYS = "days"
    BUSINESS_DAYS = "business-days"
    HOURS = "hours"
    MONTHS = "months"
    DAY_OF_NEXT_MONTH = "day-of-next-month"


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyRow(Row):
    """What must be done around a paper or a flight: ``count`` units before or after a trigger."""

    paper: str
    trigger: str
    before: bool
    count: int
    unit: DueUnit
    counts_on: CountsOn = CountsOn.SENT
    what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RulesTable:
    """The whole table, each kind in file order; ``states`` are the state codes with rows."""

    offices: tuple[OfficeRow, ...] = ()
    services: tuple[ServiceRow, ...] = ()
    papers: tuple[PaperRow, ...] = ()
    steps: tuple[StepRow, ...] = ()
    documents: tuple[DocumentRow, ...] = ()
    duties: tuple[DutyRow, ...] = ()
    states: tuple[str, ...] = ()

    @property
    def rows(self) -> tuple[Row, ...]:
        """Every row, kind by kind."""
        return (
            *self.offices,
            *self.services,
            *self.papers,
            *self.steps,
            *self.documents,
            *self.duties,
        )
