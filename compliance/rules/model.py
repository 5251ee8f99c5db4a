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
from compliance.rules.validity_model import Renewal, Validity


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
    """What every row has: id, title, when it holds, its basis, its days in force and its place.

    ``pack`` names the pack of the user's own that the row comes from, empty for a shipped row;
    ``replaces`` is the id of the row whose place it takes, and ``because`` says why.
    """

    id: str
    title: str
    when: Condition = ALWAYS
    basis: Basis
    applies_from: date | None = None
    applies_until: date | None = None
    place: SourceRef
    overrides: tuple[Override, ...] = ()
    replaces: str = ""
    because: str = ""
    pack: str = ""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperRow(Row):
    """Something that must be in force to do a job.

    ``carry``: what must lie within reach of the pilot while flying. ``keeps``: in a pack, duties
    and documents of the paper it replaces that stand on, each by its name without the paper's; what
    one edition keeps, all keep.
    """

    holder: HolderKind
    why: str
    office: str
    validity: Validity
    renewal: Renewal | None = None
    fee: Fee | None = None
    renewal_fee: Fee | None = None
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    carry: tuple[str, ...] = ()
    keeps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Freshness:
    """This step must come at most ``days`` calendar days after another step of the packet."""

    after: str
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ComesBack:
    """How often an office sends such a packet back: ``times`` of ``of`` packets, 0 < times < of.

    It weighs as much as that many packets seen: ``1 of 8`` gives way to what is seen sooner than
    ``10 of 80``. ``cite`` says where the two numbers come from.
    """

    times: int
    of: int
    cite: str = ""

    def __str__(self) -> str:
        return f"{self.times} of {self.of}"


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRow(Row):
    """One thing to do or to wait for on the way to a paper.

    ``name`` is the last part of the id and unique within the paper; ``after``, ``return_path`` and
    ``fresh`` use names. ``days`` belongs to waits and notices; ``mail`` is ``out`` or ``back`` for
    waits whose days come from the mail service. ``needs`` are papers that must be in hand first.
    ``return_path``: the steps, in order, that a packet sent back goes through before this step's
    successors; it ends with this step. ``comes_back``: how often that happens, before anything is
    seen.
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
    comes_back: ComesBack | None = None


class NotaryAct(StrEnum):
    """Which notarial act a document asks for."""

    NONE = "none"
    JURAT = "jurat"
    ACKNOWLEDGMENT = "acknowledgment"
    AS_PRINTED = "as-printed"


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentRow(Row):
    """One form or enclosure of a packet; ``originals`` and ``copies`` go into the envelope.

    ``may_leave_out``: some packets do without it; its notes say which. ``instead`` names another
    document of the packet; where that one is sent this one may be left out.
    """

    paper: str
    use: StepUse = StepUse.BOTH
    template: str
    originals: int
    copies: int
    keep_copy: bool = True
    signer: str = ""
    notary: NotaryAct = NotaryAct.NONE
    notes: tuple[str, ...] = ()
    may_leave_out: bool = False
    instead: str = ""


class DueUnit(StrEnum):
    """What a duty's period counts."""

    DAYS = "days"
    BUSINESS_DAYS = "business-days"
    HOURS = "hours"
    MONTHS = "months"
    DAY_OF_NEXT_MONTH = "day-of-next-month"


class DutyEvent(StrEnum):
    """What starts the clock of a duty.

    ``flight-start``: the planned start of a flight, for what comes before it; ``flight``: an
    application was flown; ``month-flown``: each calendar month a paper is held, without flights
    too; ``season-year``: each year with a job; ``address-change``: any move; ``change``: any other
    data; ``other``: what only a person knows.
    """

    FLIGHT_START = "flight-start"
    FLIGHT = "flight"
    RE_ENTRY_ENDS = "re-entry-ends"
    JOB_START = "job-start"
    JOB_END = "job-end"
    MONTH_FLOWN = "month-flown"
    SEASON_YEAR = "season-year"
    ACCIDENT = "accident"
    DEPARTURE = "departure"
    ADDRESS_CHANGE = "address-change"
    CHANGE = "change"
    REQUEST = "request"
    TRAINING = "training"
    REFUSAL = "refusal"
    PACKET_FILED = "packet-filed"
    PAPER_ISSUED = "paper-issued"
    PAPER_ENDS = "paper-ends"
    OTHER = "other"


class DutyKind(StrEnum):
    """What a duty asks for.

    ``keep-record``: something is kept through the day; ``last-day``: something is good through the
    day; neither asks for an act on it.
    """

    TELL_BEFORE = "tell-before"
    REPORT_AFTER = "report-after"
    WRITE_RECORD = "write-record"
    KEEP_RECORD = "keep-record"
    GIVE_COPY = "give-copy"
    POST = "post"
    CHECK = "check"
    FILE = "file"
    TRAIN = "train"
    LAST_DAY = "last-day"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyRow(Row):
    """What must be done around a paper or a flight: ``count`` units before or after a trigger.

    ``trigger`` says in words what one of the ``events`` means here. ``opens``: not earlier than so
    many units before the event, 0 when any earlier time will do. ``year_day``: the day of the year
    of a ``season-year`` duty, of the following year with ``next_year``. ``carry``: what must lie
    within reach on the day. ``from_end``: days count from the day the flight ended, which is
    another one than that it began on when it goes past midnight; for what is due once work is done.
    """

    paper: str
    events: tuple[DutyEvent, ...]
    kind: DutyKind
    trigger: str
    before: bool
    count: int
    unit: DueUnit
    opens: int = 0
    year_day: str = ""
    next_year: bool = False
    from_end: bool = False
    counts_on: CountsOn = CountsOn.SENT
    what: str = ""
    carry: tuple[str, ...] = ()


class GapAbout(StrEnum):
    """What the table has no rule for in a state."""

    PAPERS = "papers"
    EXAMS = "exams"
    EXPIRY = "expiry"
    RENEWAL = "renewal"
    INSURANCE = "insurance"
    RECORDS = "records"
    NOTICES = "notices"
    ORDER = "order"
    FEES = "fees"


@dataclass(frozen=True, slots=True, kw_only=True)
class GapRow(Row):
    """Something a state may ask for that no text was found about: the agency must be asked.

    ``basis`` says where it was looked for; ``what`` says what to ask.
    """

    state: str
    about: GapAbout
    what: str


class KeptFrom(StrEnum):
    """From when a record is kept."""

    APPLICATION = "application"
    RE_ENTRY_ENDS = "re-entry-ends"


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordRow(Row):
    """What the record of an application must hold, when it is written and how long it is kept.

    ``state`` is empty for a federal rule. ``elements`` are names of the closed list in
    ``facts/record_elements.py`` in the rule's own order; empty when the rule's list was not read.
    ``within`` is None when no time limit was read; its unit is calendar days or hours from the end
    of the application. ``keep_months`` is None when no time was read.
    """

    state: str
    elements: tuple[str, ...]
    within: int | None = None
    within_unit: DueUnit = DueUnit.DAYS
    keep_months: int | None = None
    kept_from: KeptFrom = KeptFrom.APPLICATION


@dataclass(frozen=True, slots=True, kw_only=True)
class RulesTable:
    """The whole table, each kind in file order; ``states`` are the state codes with rows.

    ``authorities`` are pairs of a file's name and the authority whose rules it holds.
    """

    offices: tuple[OfficeRow, ...] = ()
    services: tuple[ServiceRow, ...] = ()
    papers: tuple[PaperRow, ...] = ()
    steps: tuple[StepRow, ...] = ()
    documents: tuple[DocumentRow, ...] = ()
    duties: tuple[DutyRow, ...] = ()
    gaps: tuple[GapRow, ...] = ()
    records: tuple[RecordRow, ...] = ()
    states: tuple[str, ...] = ()
    authorities: tuple[tuple[str, str], ...] = ()

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
            *self.gaps,
            *self.records,
        )
