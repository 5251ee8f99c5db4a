"""Facts text to an operation, or problems: everything wrong with the file comes out at once."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from compliance.base.problems import Problem
from compliance.base.reading import Reader
from compliance.base.sources import Mapping, Node, parse_yaml
from compliance.facts.checks import FAMILY, FORMAT, check_operation
from compliance.facts.model import (
    Acquired,
    Address,
    Aircraft,
    Closure,
    EntityType,
    HeldPaper,
    Job,
    MailService,
    ManagedBy,
    Material,
    Operation,
    Pilot,
)
from compliance.facts.parse_parts import (
    Holders,
    find_holders,
    parse_holder,
    parse_line,
    parse_name,
    parse_paper_id,
    parse_weekdays,
)
from compliance.facts.parse_places import parse_place
from compliance.facts.parse_products import parse_product
from compliance.facts.parse_terms import parse_clock, parse_own_terms, parse_zone
from compliance.facts.places import PlaceKind, find_place_days

CLOSING = ("field", "vehicle", "notary", "post-office", "federal", "postal", "bank")
OPEN_WORD = "open"

# Our choice: the heaviest machine this product was written for. A slipped point (1180 for 118.0)
# or a weight in grams is far more likely than a machine above it.
MOST_WEIGHT_LB = 1_320


def parse_operation(text: str, file: str) -> tuple[Operation | None, tuple[Problem, ...]]:
    """Read a facts file.

    Shape: the operation and no problems, or None and all problems, sorted by place. Lists keep the
    order of the file. Texts lose their outer blanks.
    """
    root, faults = parse_yaml(text, file)
    problems = list(faults)
    if root is None:
        return None, tuple(sorted(problems))
    reader = Reader(root, "the file", FAMILY, problems)
    if not reader.usable:
        return None, tuple(sorted(problems))
    operation = _parse_file(reader)
    problems.extend(check_operation(operation, root))
    return (None if problems else operation), tuple(sorted(set(problems)))


def _parse_file(reader: Reader) -> Operation:
    version = reader.text("mailby_file")
    if version and version != FORMAT:
        sentence = f"`mailby_file` is {version!r}; this program reads format {FORMAT}"
        hint = "use the program version that wrote the file, or correct the line"
        reader.note("26", reader.place_of("mailby_file"), sentence, hint)
    operation = _parse_head(reader)
    places = tuple(parse_place(node, reader) for node in reader.items("places"))
    notary_days = find_place_days(places, PlaceKind.NOTARY) or operation.notary_days
    post_days = find_place_days(places, PlaceKind.POST_OFFICE) or operation.post_office_days
    operation = replace(
        operation,
        aircraft=tuple(_parse_aircraft(node, reader) for node in reader.items("aircraft")),
        pilots=tuple(_parse_pilot(node, reader) for node in reader.items("pilots")),
        closures=tuple(_parse_closure(node, reader) for node in reader.items("closures")),
        notary_days=parse_weekdays(reader, "notary_days", notary_days),
        post_office_days=parse_weekdays(reader, "post_office_days", post_days),
        places=places,
        products=tuple(parse_product(node, reader) for node in reader.items("products")),
    )
    holders = find_holders(operation)
    operation = replace(
        operation,
        jobs=tuple(_parse_job(node, reader, holders) for node in reader.items("jobs")),
        papers=tuple(_parse_paper(node, reader, holders) for node in reader.items("papers")),
    )
    reader.finish()
    return operation


def _parse_head(parent: Reader) -> Operation:
    reader = parent.part("operation", "the operation", required=True)
    if reader is None:  # said already; an empty head lets the rest of the file be checked
        reader = Reader(Mapping({}, parent.place), "the operation", FAMILY, [])
    contact = reader.part("contact", "the contact", required=True)
    if contact is None:
        contact = Reader(Mapping({}, reader.place), "the contact", FAMILY, [])
    entity, managed_by = _parse_entity(reader)
    service = reader.choice("mail_service", tuple(MailService), default=MailService.FIRST_CLASS)
    operation = Operation(
        id=parse_name(reader),
        legal_name=parse_line(reader, "legal_name"),
        entity=entity,
        managed_by=managed_by,
        mailing_address=Address(lines=reader.words("mailing_address", required=True)),
        physical_address=_parse_physical_address(reader),
        contact_name=parse_line(contact, "name"),
        contact_phone=parse_line(contact, "phone"),
        contact_email=parse_line(contact, "email", required=False),
        home_state=parse_line(reader, "home_state"),
        mail_service=MailService(service),
        time_zone=parse_zone(reader),
    )
    contact.finish()
    reader.finish()
    return operation


def _parse_entity(reader: Reader) -> tuple[EntityType, ManagedBy | None]:
    before = len(reader.problems)
    entity = EntityType(reader.choice("entity", tuple(EntityType)))
    word = reader.choice("managed_by", tuple(ManagedBy), default="")
    if len(reader.problems) > before and entity is not EntityType.LLC:
        return entity, None  # the legal form itself is in doubt: do not complain about its manager
    if reader.has("managed_by"):
        return entity, ManagedBy(word or ManagedBy.MEMBERS)
    return entity, None


def _parse_physical_address(reader: Reader) -> Address | None:
    lines = reader.words("physical_address")
    return Address(lines=lines) if lines else None


def _parse_aircraft(node: Node, parent: Reader) -> Aircraft:
    reader = Reader(node, "an aircraft", FAMILY, parent.problems)
    name = parse_name(reader)
    reader.what = f"aircraft `{name}`" if name else reader.what
    weight = reader.number("takeoff_weight_lb", above=0, most=MOST_WEIGHT_LB)
    aircraft = Aircraft(
        id=name,
        maker=parse_line(reader, "maker"),
        model=parse_line(reader, "model"),
        serial=parse_line(reader, "serial"),
        takeoff_weight_lb=weight or Decimal(1),
        acquired=Acquired(reader.choice("acquired", tuple(Acquired))),
        remote_id_serial=parse_line(reader, "remote_id_serial", required=False),
        registration_number=parse_line(reader, "registration_number", required=False),
        n_number_wanted=reader.flag("n_number_wanted", default=False),
    )
    reader.finish()
    return aircraft


def _parse_pilot(node: Node, parent: Reader) -> Pilot:
    reader = Reader(node, "a pilot", FAMILY, parent.problems)
    name = parse_name(reader)
    reader.what = f"pilot `{name}`" if name else reader.what
    pilot = Pilot(id=name, name=parse_line(reader, "name"))
    reader.finish()
    return pilot


def _parse_job(node: Node, parent: Reader, holders: Holders) -> Job:
    reader = Reader(node, "a job", FAMILY, parent.problems)
    name = parse_name(reader)
    reader.what = f"job `{name}`" if name else reader.what
    first_day, last_day = _parse_span(reader)
    job = Job(
        id=name,
        first_day=first_day,
        last_day=last_day,
        state=parse_line(reader, "state"),
        for_hire=reader.flag("for_hire"),
        restricted_use=reader.flag("restricted_use"),
        material=Material(
            reader.choice("material", tuple(Material), default=str(Material.PESTICIDE))
        ),
        aircraft=_parse_refs(reader, "aircraft", holders.aircraft),
        pilots=_parse_refs(reader, "pilots", holders.pilots),
        controlled_airspace=reader.flag("controlled_airspace", default=False),
        outside_blanket_area=reader.flag("outside_blanket_area", default=False),
        congested_area=reader.flag("congested_area", default=False),
        note=reader.text("note", required=False),
        time_zone=parse_zone(reader),
        first_flight=parse_clock(reader, "first_flight"),
        products=reader.words("products"),
    )
    reader.finish()
    return job


def _parse_span(reader: Reader) -> tuple[date, date]:
    """First and last day; one that is missing or bad, and said so, takes the other's place."""
    first = reader.date("first_day", required=True)
    last = reader.date("last_day", required=True)
    return first or last or date.min, last or first or date.min


def _parse_refs(reader: Reader, key: str, known: tuple[str, ...]) -> tuple[str, ...]:
    named = reader.words(key)
    return known if not reader.has(key) and len(known) == 1 else named


def _parse_paper(node: Node, parent: Reader, holders: Holders) -> HeldPaper:
    reader = Reader(node, "a paper", FAMILY, parent.problems)
    paper = parse_paper_id(reader)
    reader.what = f"paper `{paper}`" if paper else reader.what
    end = reader.text("valid_through", required=False)
    held = HeldPaper(
        paper=paper,
        holder=parse_holder(reader, holders),
        number=parse_line(reader, "number", required=False),
        issued_on=reader.date("issued_on"),
        valid_through=reader.date("valid_through") if end and end != OPEN_WORD else None,
        own_terms=parse_own_terms(reader),
    )
    reader.finish()
    return held


def _parse_closure(node: Node, parent: Reader) -> Closure:
    reader = Reader(node, "a closure", FAMILY, parent.problems)
    first_day, last_day = _parse_span(reader)
    closure = Closure(
        who=reader.choice("who", CLOSING),
        first_day=first_day,
        last_day=last_day,
        why=reader.text("why", required=False),
    )
    reader.finish()
    return closure
