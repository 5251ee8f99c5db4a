"""What is known about one spray operation, as plain values."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from compliance.facts.own_terms import OwnTerm
from compliance.facts.places import Place
from compliance.facts.products import Product


class EntityType(StrEnum):
    """Legal form of the operation."""

    INDIVIDUAL = "individual"
    PARTNERSHIP = "partnership"
    CORPORATION = "corporation"
    LLC = "llc"


class ManagedBy(StrEnum):
    """Who manages a limited liability company; decides the title its signer shows."""

    MEMBERS = "members"
    MANAGERS = "managers"
    OFFICERS = "officers"


class Acquired(StrEnum):
    """How the operation came by an aircraft; decides the evidence of ownership."""

    NEW = "new"
    USED_US = "used-us"
    IMPORTED = "imported"
    OWN_BUILD = "own-build"


class Material(StrEnum):
    """What a job dispenses."""

    PESTICIDE = "pesticide"
    FERTILIZER = "fertilizer"
    SEED = "seed"


class MailService(StrEnum):
    """How packets travel."""

    FIRST_CLASS = "first-class"
    PRIORITY = "priority"
    EXPRESS = "express"
    COURIER = "courier"


class HolderKind(StrEnum):
    """Who or what a paper belongs to."""

    OPERATION = "operation"
    AIRCRAFT = "aircraft"
    PILOT = "pilot"


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """One holder of papers; ``ref`` is the id of the aircraft or pilot, empty for the operation."""

    kind: HolderKind
    ref: str = ""

    def __str__(self) -> str:
        return f"{self.kind}:{self.ref}" if self.ref else str(self.kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """Lines of an address as they stand on an envelope, the operation's name left out."""

    lines: tuple[str, ...]

    @property
    def is_po_box(self) -> bool:
        """Tell whether a line names a post-office box, where no courier delivers."""
        return any(
            "po box" in line.lower().replace(".", "").replace("p o ", "po ") for line in self.lines
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Aircraft:
    """One machine; weight in pounds at take-off with full tank and batteries."""

    id: str
    maker: str
    model: str
    serial: str
    takeoff_weight_lb: Decimal
    acquired: Acquired
    remote_id_serial: str = ""
    registration_number: str = ""
    n_number_wanted: bool = False

    @property
    def registration_serial(self) -> str:
        """The serial number registration papers show: Remote ID if there is one."""
        return self.remote_id_serial or self.serial


@dataclass(frozen=True, slots=True, kw_only=True)
class Pilot:
    """One person in command."""

    id: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A planned piece of spraying; both days are inclusive.

    ``time_zone`` and ``first_flight`` (``HH:MM``) matter only to duties that count clock hours;
    empty when nobody said. ``products`` are ids of the operation's products.
    """

    id: str
    first_day: date
    last_day: date
    state: str
    for_hire: bool
    restricted_use: bool
    material: Material
    aircraft: tuple[str, ...]
    pilots: tuple[str, ...]
    controlled_airspace: bool = False
    outside_blanket_area: bool = False
    congested_area: bool = False
    note: str = ""
    time_zone: str = ""
    first_flight: str = ""
    products: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldPaper:
    """A paper in hand; ``valid_through`` is the last day in force, None when it does not end.

    ``own_terms`` are time limits the paper itself sets in place of the rules table.
    """

    paper: str
    holder: Holder
    number: str = ""
    issued_on: date | None = None
    valid_through: date | None = None
    own_terms: tuple[OwnTerm, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Closure:
    """Days, both inclusive, on which somebody is not available, and why.

    ``who`` names the calendar that closes: ``field`` (nobody can leave), ``vehicle`` (nobody can
    drive to town), ``notary``, ``post-office``, ``federal``, ``postal`` or ``bank``.
    """

    who: str
    first_day: date
    last_day: date
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """The farm or business that sprays, and all that is known of its season.

    Shape: aircraft, pilots, jobs and papers in file order; ids unique within each list. When
    ``places`` say their days, ``notary_days`` and ``post_office_days`` hold them too. ``time_zone``
    is a name of the IANA table, empty when it was not given.
    """

    id: str
    legal_name: str
    entity: EntityType
    managed_by: ManagedBy | None
    mailing_address: Address
    physical_address: Address | None
    contact_name: str
    contact_phone: str
    contact_email: str
    home_state: str
    mail_service: MailService
    aircraft: tuple[Aircraft, ...] = ()
    pilots: tuple[Pilot, ...] = ()
    jobs: tuple[Job, ...] = ()
    papers: tuple[HeldPaper, ...] = ()
    closures: tuple[Closure, ...] = ()
    notary_days: tuple[str, ...] = ("mon", "tue", "wed", "thu", "fri")
    post_office_days: tuple[str, ...] = ("mon", "tue", "wed", "thu", "fri", "sat")
    places: tuple[Place, ...] = ()
    time_zone: str = ""
    products: tuple[Product, ...] = ()

    @property
    def first_spray(self) -> date | None:
        """The first day of the earliest job, or None without jobs."""
        return min((job.first_day for job in self.jobs), default=None)

    def find_aircraft(self, ref: str) -> Aircraft | None:
        """Give the aircraft of an id."""
        return next((machine for machine in self.aircraft if machine.id == ref), None)

    def find_pilot(self, ref: str) -> Pilot | None:
        """Give the pilot of an id."""
        return next((pilot for pilot in self.pilots if pilot.id == ref), None)

    def find_product(self, ref: str) -> Product | None:
        """Give the product of an id."""
        return next((product for product in self.products if product.id == ref), None)

    def name_product(self, text: str) -> Product | None:
        """Find the product somebody means: by its id, else by its name in letters of any size."""
        meant = text.casefold()
        return self.find_product(text) or next(
            (one for one in self.products if meant in {one.name.casefold(), one.id.casefold()}),
            None,
        )

    def say_holder(self, holder: Holder) -> str:
        """Name a holder as a person would: the aircraft's model and serial, the pilot's name."""
        machine = self.find_aircraft(holder.ref)
        if holder.kind is HolderKind.AIRCRAFT and machine is not None:
            return f"{machine.model} {machine.serial}"
        pilot = self.find_pilot(holder.ref)
        if holder.kind is HolderKind.PILOT and pilot is not None:
            return pilot.name
        return self.legal_name
