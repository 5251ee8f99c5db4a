"""The tables of an operation: what it is, has, plans and holds."""

from datetime import date

from sqlmodel import Field, SQLModel

OPERATION = "operation.id"


class OperationRow(SQLModel, table=True):
    """One operation; address lines are joined by line feeds, weekdays by commas.

    ``told_on`` is the day its facts were last told otherwise than before, None where not known.
    """

    __tablename__ = "operation"

    id: str = Field(primary_key=True)
    legal_name: str
    entity: str
    managed_by: str | None = None
    mailing_lines: str
    physical_lines: str | None = None
    contact_name: str
    contact_phone: str
    contact_email: str
    home_state: str
    mail_service: str
    notary_days: str
    post_office_days: str
    calendar_namespace: str
    time_zone: str = ""
    told_on: date | None = None


class AircraftRow(SQLModel, table=True):
    """One aircraft of an operation; ``position`` keeps the order of the file.

    The weight is kept as text, because SQLite knows no decimals and would round them.
    """

    __tablename__ = "aircraft"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    id: str = Field(primary_key=True)
    position: int
    maker: str
    model: str
    serial: str
    remote_id_serial: str
    takeoff_weight_lb: str
    acquired: str
    registration_number: str
    n_number_wanted: bool


class PilotRow(SQLModel, table=True):
    """One pilot of an operation."""

    __tablename__ = "pilot"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    id: str = Field(primary_key=True)
    position: int
    name: str


class JobRow(SQLModel, table=True):
    """One job of an operation; the aircraft and pilots it names are joined by commas."""

    __tablename__ = "job"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    id: str = Field(primary_key=True)
    position: int
    first_day: date
    last_day: date
    state: str
    for_hire: bool
    restricted_use: bool
    material: str
    aircraft: str
    pilots: str
    controlled_airspace: bool
    outside_blanket_area: bool
    congested_area: bool
    note: str
    time_zone: str = ""
    first_flight: str = ""
    products: str = ""


class HeldPaperRow(SQLModel, table=True):
    """One paper in hand; ``own_terms`` is JSON text, a list."""

    __tablename__ = "held_paper"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    position: int = Field(primary_key=True)
    paper: str
    holder_kind: str
    holder_ref: str
    number: str
    issued_on: date | None = None
    valid_through: date | None = None
    own_terms: str = "[]"


class ClosureRow(SQLModel, table=True):
    """Days on which somebody is not available."""

    __tablename__ = "closure"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    position: int = Field(primary_key=True)
    who: str
    first_day: date
    last_day: date
    why: str


class PlaceRow(SQLModel, table=True):
    """One place in town; days are joined by commas, ``hours`` is JSON text: day -> hours."""

    __tablename__ = "place"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    position: int = Field(primary_key=True)
    kind: str
    name: str
    town: str
    days: str
    hours: str
    phone: str


class ProductRow(SQLModel, table=True):
    """One product of an operation, as far as its label was read."""

    __tablename__ = "product"

    operation_id: str = Field(primary_key=True, foreign_key=OPERATION)
    id: str = Field(primary_key=True)
    position: int
    name: str
    registration: str
    active_ingredient: str
    maker: str
    by_air: str
    restricted_use: bool
    re_entry_hours: int | None = None
