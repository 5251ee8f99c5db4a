"""The check before mailing as plain values: what is asked, what is found, what follows."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from compliance.engine.plan_model import PaperPlan
from compliance.facts.answers import Answer, EnvelopeAnswers, Source, Status
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.forms.model import Blank, FormTemplate

Key = tuple[str, int, str]
"""What an answer is about: document, sheet, blank; of the envelope no document and sheet 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckContext:
    """Everything the check looks at.

    ``answers`` are about the documents, a later one about the same blank replacing an earlier one.
    ``mail_on`` is the planned day of mailing. ``others`` are the plan's papers, so that a number
    granted in the log is known; it may be left empty. ``office_returns`` are what else came back
    from the same office, oldest first. ``again`` are answers that are asked for once more though
    they are known.
    """

    operation: Operation
    paper: PaperPlan
    templates: Mapping[str, FormTemplate]
    answers: tuple[Answer, ...]
    envelope: EnvelopeAnswers
    as_of: date
    mail_on: date
    others: tuple[PaperPlan, ...] = ()
    office_returns: tuple[LogEntry, ...] = ()
    again: frozenset[Key] = frozenset()


class Severity(StrEnum):
    """How bad a finding is.

    ``stop``: an office or the notary would refuse it. ``open``: not answered yet, or it cannot be
    told. ``note``: worth a look, no reason to wait.
    """

    STOP = "stop"
    OPEN = "open"
    NOTE = "note"


class Place(StrEnum):
    """Where a finding is mended, so that one trip does all of a place."""

    HOME = "home"
    NOTARY = "notary"
    SELLER = "seller"
    MAKER = "maker"
    INSURER = "insurer"
    OFFICE = "office"
    BANK = "bank"


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckFinding:
    """One thing the check found.

    ``document`` is the last part of the document row's id, empty for the envelope; ``blank`` the
    blank's id, ``enclosed`` for the document itself, or the name of an envelope answer. ``check``
    and ``rank`` are set when a cross-check is run; rank 1 is the likeliest reason of a return.
    """

    severity: Severity
    sentence: str
    todo: str
    where: Place
    document: str = ""
    sheet: int = 1
    blank: str = ""
    citation: str = ""
    check: str = ""
    rank: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankState:
    """How one blank of one sheet stands; ``status`` is None until somebody answers."""

    document: str
    sheet: int
    blank: Blank
    status: Status | None
    says: str = ""
    on: date | None = None
    source: Source | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckResult:
    """The verdict on one packet on one day.

    Shape: findings in this order: what it came back for once, what would bring it back, what is
    open, notes; in each the likeliest reason of a return first. Blanks in the order of the
    documents. ``ready`` only when no finding is a stop or open. ``encloses`` tells that some
    document goes into an envelope or a filing at all.
    """

    packet: str
    title: str
    holder: str
    as_of: date
    mail_on: date
    ready: bool
    encloses: bool
    findings: tuple[CheckFinding, ...]
    blanks: tuple[BlankState, ...]

    def count(self, severity: Severity) -> int:
        """Count the findings of a severity."""
        return sum(finding.severity is severity for finding in self.findings)
