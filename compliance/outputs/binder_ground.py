"""What a binder is made from, as plain values gathered beforehand."""

from dataclasses import dataclass
from datetime import date

from compliance.engine.duties_model import DutyBook
from compliance.engine.in_force import JobStanding, PaperStanding, Standing
from compliance.engine.packets import packet_id
from compliance.engine.plan_model import Plan
from compliance.facts.attachments import Attachment
from compliance.facts.events import JobEvent
from compliance.facts.log import LogEntry
from compliance.facts.model import HeldPaper, Holder, Job, Operation
from compliance.outputs.binder_model import Copy
from compliance.rules.model import OfficeRow, PaperRow


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherPaper:
    """A paper in hand that no job of the binder needs.

    ``through`` is its last day, inclusive; None when it does not end, and with ``end_unknown`` when
    nobody wrote it down.
    """

    paper: PaperRow
    holder: Holder
    held: HeldPaper
    through: date | None
    end_unknown: bool

    @property
    def id(self) -> str:
        """Give the packet's id."""
        return packet_id(self.paper.id, self.holder)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptRecord:
    """One application record as the binder shows it.

    Shape: groups of labels with their texts, in the order to be printed: what holds for the whole
    application, then each product.
    """

    title: str
    groups: tuple[tuple[tuple[str, str], ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SentFile:
    """One file that was looked at before a mailing; ``turn`` counts mailings from 1."""

    packet: str
    turn: int
    document: str
    file_name: str
    sha256: str
    checked_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Everything a binder says, as of one day.

    ``first`` and ``last`` bound what happened, both inclusive, None when it is not bounded. ``job``
    is the one the binder is for, None for all in ``jobs``. ``copies`` and ``attachments`` are those
    not detached, in the same order; ``left_out`` counts those of papers that are not in it.
    ``no_plan`` says why there is no plan; ``reviews`` name rules past their review day. ``lapsed``
    are the flights during which a paper was not in force, and those papers.
    """

    operation: Operation
    as_of: date
    printed_on: date
    job: Job | None
    jobs: tuple[Job, ...]
    first: date | None
    last: date | None
    standings: tuple[JobStanding, ...]
    others: tuple[OtherPaper, ...]
    offices: tuple[OfficeRow, ...]
    titles: dict[str, str]
    book: DutyBook
    log: tuple[LogEntry, ...]
    events: tuple[JobEvent, ...]
    attachments: tuple[Attachment, ...]
    copies: tuple[Copy, ...]
    left_out: int
    sent: tuple[SentFile, ...]
    records: tuple[KeptRecord, ...]
    plan: Plan | None
    no_plan: str = ""
    reviews: tuple[str, ...] = ()
    lapsed: tuple[tuple[JobEvent, tuple[PaperStanding, ...]], ...] = ()

    def in_period(self, day: date) -> bool:
        """Tell whether what happened on a day belongs in the binder."""
        begun = self.first is None or self.first <= day
        return begun and day <= min(self.last or self.as_of, self.as_of)

    def list_needed(self) -> tuple[tuple[PaperStanding, tuple[str, ...]], ...]:
        """Give each paper the jobs need once, as it stands at its gravest, and the jobs' ids.

        Shape: in the order of the rules table's packets, as the first job met them.
        """
        order = list(Standing)
        found: dict[str, tuple[PaperStanding, tuple[str, ...]]] = {}
        for standing in self.standings:
            for paper in standing.papers:
                known, jobs = found.get(paper.id, (paper, ()))
                graver = min(known, paper, key=lambda one: order.index(one.standing))
                found[paper.id] = (graver, (*jobs, standing.job.id))
        return tuple(found[key] for key in sorted(found))

    def list_copies(self, packet: str) -> tuple[Copy, ...]:
        """Give the copies attached to a paper or packet."""
        pairs = zip(self.attachments, self.copies, strict=True)
        return tuple(copy for one, copy in pairs if one.packet == packet)

    def say_packet(self, packet: str) -> str:
        """Name a packet as a person would: the paper's title and its holder."""
        paper, _, ref = packet.partition(":")
        title = self.titles.get(paper, paper)
        machine, pilot = self.operation.find_aircraft(ref), self.operation.find_pilot(ref)
        if machine is not None:
            return f"{title}, {machine.model} {machine.serial}"
        return f"{title}, {pilot.name}" if pilot is not None else title
