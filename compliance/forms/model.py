"""What the blank form of an agency, or a paper of our own, asks to be filled in."""

from dataclasses import dataclass
from enum import StrEnum

from compliance.base.problems import SourceRef
from compliance.facts.basis import Basis


class Supplier(StrEnum):
    """Who makes the blank paper: the agency, this program, or somebody else."""

    AGENCY = "agency"
    OURS = "ours"
    OTHER = "other"


class BlankKind(StrEnum):
    """What goes into a blank; the last eight are the parts of a notarial certificate."""

    TEXT = "text"
    PRINTED_NAME = "printed-name"
    SIGNATURE = "signature"
    TITLE = "title"
    DATE = "date"
    NUMBER = "number"
    CHECK = "check"
    AMOUNT = "amount"
    ADDRESS = "address"
    NOTARY_STATE = "notary-state"
    NOTARY_COUNTY = "notary-county"
    NOTARY_DATE = "notary-date"
    NOTARY_ACT = "notary-act"
    NOTARY_SIGNATURE = "notary-signature"
    NOTARY_TITLE = "notary-title"
    NOTARY_STAMP = "notary-stamp"
    NOTARY_EXPIRY = "notary-expiry"

    @property
    def is_notarial(self) -> bool:
        """Tell whether the notary fills it in as part of the certificate."""
        return self.value.startswith("notary-")


class FilledBy(StrEnum):
    """Who fills a blank in."""

    OWNER = "owner"
    PILOT = "pilot"
    SELLER = "seller"
    NOTARY = "notary"
    INSURER = "insurer"
    MAKER = "maker"
    REGISTRY = "registry"
    OFFICE = "office"


_MARKS = frozenset(
    {BlankKind.SIGNATURE, BlankKind.CHECK, BlankKind.NOTARY_SIGNATURE, BlankKind.NOTARY_STAMP}
)
EQUALS = (
    "operation.legal_name",
    "operation.entity",
    "operation.mailing_address",
    "operation.physical_address",
    "operation.contact_phone",
    "operation.contact_email",
    "aircraft.maker",
    "aircraft.model",
    "aircraft.serial",
    "aircraft.registration_serial",
    "aircraft.registration_number",
    "aircraft.takeoff_weight_lb",
    "pilot.name",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankLimit:
    """What an office does not take in a blank, with the source that says so.

    ``street_only``: an address that is no P.O. box. ``at_most_months``: a date at most so many
    calendar months before the day of mailing, that day inclusive; None without such a rule.
    """

    street_only: bool = False
    at_most_months: int | None = None
    basis: Basis


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """One thing to fill in.

    ``must`` is False where the blank may be struck or left. ``equals`` names the fact that the
    blank must agree with: one of :data:`EQUALS`, or ``paper.<paper id>.number``. ``limit`` is what
    an office does not take there. ``one_of`` are the boxes of a choice of which exactly one is
    ticked; without it any of the boxes may be.
    """

    id: str
    label: str
    kind: BlankKind
    filled_by: FilledBy
    must: bool = True
    equals: str = ""
    note: str = ""
    limit: BlankLimit | None = None
    one_of: tuple[str, ...] = ()
    place: SourceRef

    @property
    def is_mark(self) -> bool:
        """Tell whether it holds no text: a signature, a stamp, or boxes without a choice of one."""
        return self.kind in _MARKS and not self.one_of


@dataclass(frozen=True, slots=True, kw_only=True)
class FormTemplate:
    """One form, its blanks in the order they are filled in.

    ``form`` is the agency's number, ``none`` without one. ``goes_stale_days``: calendar days after
    signing, the last of them inclusive, that it may still be mailed; None when it keeps.
    """

    id: str
    title: str
    form: str
    supplied_by: Supplier
    get_it: str
    summary: str
    goes_stale_days: int | None
    blanks: tuple[Blank, ...]
    basis: Basis
    place: SourceRef

    def find_blank(self, name: str) -> Blank | None:
        """Give the blank of an id."""
        return next((blank for blank in self.blanks if blank.id == name), None)

    @property
    def is_notarized(self) -> bool:
        """Tell whether a notary has to fill something in."""
        return any(blank.kind.is_notarial for blank in self.blanks)
