"""Written facts and logs read back as the same values, whatever the texts hold."""

from dataclasses import fields, replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from compliance.base.dates import WEEKDAYS
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.log_parse import parse_log
from compliance.facts.model import (
    Acquired,
    Address,
    Aircraft,
    Closure,
    EntityType,
    HeldPaper,
    Holder,
    HolderKind,
    Job,
    MailService,
    ManagedBy,
    Material,
    Operation,
    Pilot,
)
from compliance.facts.parse import CLOSING, parse_operation
from compliance.facts.places import DayHours, Place, PlaceKind, Span
from compliance.facts.states import STATES
from compliance.facts.write import render_log, render_operation

DEMO = Path(__file__).parents[2] / "demo_data"

# What a facts file can hold at all: no control characters, none that turn or hide text, no outer
# blanks, not empty.
HIDDEN = "".join(map(chr, (*range(0x200B, 0x2010), *range(0x202A, 0x202F), *range(0x2060, 0x206A))))
LETTERS = st.characters(blacklist_categories=["Cc", "Cs"], blacklist_characters=f"{HIDDEN}\ufeff")
AWKWARD = st.sampled_from(
    ["~", "null", "NO", "yes", "012", "1:30", "- a", "a: b", "#1", "'", '"', "\\", "a\\nb", "&a",
     "*a", "!a", "%a", "{a}", "[a]", "| a", ">", "@", "`", "Łódź", "🌾 Farm", "O'Brien & Sons <x>",
     "a\u00a0b", "\u00ad", "a\u2028b", "open", "2027-05-24", "---", "...", "a " * 200 + "b"]
)  # fmt: skip
LINES = (
    (st.text(LETTERS, min_size=1, max_size=20) | AWKWARD)
    .map(str.strip)
    .filter(lambda text: text != "" and len(text.splitlines()) == 1)
)
NOTES = st.just("") | st.lists(LINES, min_size=1, max_size=3).map("\n".join)
NAMES = st.from_regex(r"[a-z][a-z0-9]{0,5}(-[a-z0-9]{1,4})?", fullmatch=True).filter(
    lambda name: name != "operation"
)
PAPERS = st.sampled_from(["faa.exemption", "faa.pilot-recency", "ins.liability", "ne.x-y.z"])
DAYS = st.dates(date(2020, 1, 1), date(2040, 12, 31))
SPANS = st.tuples(DAYS, st.integers(0, 365)).map(
    lambda pair: (pair[0], date.fromordinal(pair[0].toordinal() + pair[1]))
)
WEEKS = st.permutations(WEEKDAYS).flatmap(
    lambda days: st.integers(1, 7).map(lambda count: tuple(days[:count]))
)
SHORT = LINES.filter(lambda text: len(text) <= 80)
ADDRESSES = st.lists(SHORT, min_size=2, max_size=6).map(lambda lines: Address(lines=tuple(lines)))
OPEN_ADDRESSES = ADDRESSES.filter(lambda address: not address.is_po_box)


@st.composite
def operations(draw: st.DrawFn) -> Operation:
    ids = draw(st.lists(NAMES, min_size=2, max_size=5, unique=True))
    split = draw(st.integers(1, len(ids) - 1))
    machines, pilots = tuple(ids[:split]), tuple(ids[split:])
    entity = draw(st.sampled_from(EntityType))
    holders = [
        Holder(kind=HolderKind.OPERATION),
        *(Holder(kind=HolderKind.AIRCRAFT, ref=name) for name in machines),
        *(Holder(kind=HolderKind.PILOT, ref=name) for name in pilots),
    ]
    is_llc = entity is EntityType.LLC
    return Operation(
        id=draw(NAMES),
        legal_name=draw(LINES),
        entity=entity,
        managed_by=draw(st.sampled_from(ManagedBy)) if is_llc else None,
        mailing_address=draw(OPEN_ADDRESSES),
        physical_address=draw(st.none() | OPEN_ADDRESSES),
        contact_name=draw(LINES),
        contact_phone=draw(st.sampled_from(["402-555-0100", "+1 402 555 0100", "(402) 555-0100"])),
        contact_email=draw(st.sampled_from(["", "pat@farm.example", "a+b@c.example"])),
        home_state=draw(st.sampled_from(list(STATES))),
        mail_service=draw(st.sampled_from(MailService)),
        aircraft=tuple(draw(aircraft(name)) for name in machines),
        pilots=tuple(Pilot(id=name, name=draw(LINES)) for name in pilots),
        jobs=tuple(
            draw(jobs(name, machines, pilots))
            for name in draw(st.lists(NAMES, max_size=3, unique=True))
        ),
        papers=tuple(draw(papers(number, holders)) for number in range(draw(st.integers(0, 3)))),
        closures=tuple(draw(st.lists(closures(), max_size=3))),
        notary_days=draw(WEEKS),
        post_office_days=draw(WEEKS),
        places=tuple(draw(places(name)) for name in draw(st.lists(NAMES, max_size=3, unique=True))),
    )


@st.composite
def places(draw: st.DrawFn, name: str) -> Place:
    """A place whose days bind nothing else, with hours of some days or all."""
    days = draw(st.just(()) | WEEKS)
    timed = draw(st.lists(st.sampled_from(days), unique=True)) if days else []
    hours = st.lists(st.integers(0, 1440), min_size=2, max_size=4, unique=True).map(sorted)
    return Place(
        kind=draw(st.sampled_from([PlaceKind.TEST_CENTER, PlaceKind.OFFICE, PlaceKind.BANK])),
        name=f"{name} {draw(LINES)}",
        town=draw(st.sampled_from(["", "Burrell Crossing"])),
        days=days,
        hours=tuple(DayHours(day=day, spans=make_spans(draw(hours))) for day in timed),
        phone=draw(st.sampled_from(["", "402-555-0100"])),
    )


def make_spans(minutes: list[int]) -> tuple[Span, ...]:
    pairs = zip(minutes[::2], minutes[1::2], strict=False)
    return tuple(Span(opens=opens, closes=closes) for opens, closes in pairs)


@st.composite
def aircraft(draw: st.DrawFn, name: str) -> Aircraft:
    return Aircraft(
        id=name,
        maker=draw(LINES),
        model=draw(LINES),
        serial=f"{name} {draw(LINES)}",
        takeoff_weight_lb=draw(st.decimals("0.01", "1320", places=2)),
        acquired=draw(st.sampled_from(Acquired)),
        remote_id_serial=draw(st.sampled_from(["", f"R {name}"])),
        registration_number=draw(st.sampled_from(["", f"N {name}"])),
        n_number_wanted=draw(st.booleans()),
    )


@st.composite
def jobs(draw: st.DrawFn, name: str, machines: tuple[str, ...], pilots: tuple[str, ...]) -> Job:
    first, last = draw(SPANS)
    material = draw(st.sampled_from(Material))
    return Job(
        id=name,
        first_day=first,
        last_day=last,
        state=draw(st.sampled_from(list(STATES))),
        for_hire=draw(st.booleans()),
        restricted_use=material is Material.PESTICIDE and draw(st.booleans()),
        material=material,
        aircraft=tuple(draw(st.lists(st.sampled_from(machines), min_size=1, unique=True))),
        pilots=tuple(draw(st.lists(st.sampled_from(pilots), min_size=1, unique=True))),
        controlled_airspace=draw(st.booleans()),
        outside_blanket_area=draw(st.booleans()),
        congested_area=draw(st.booleans()),
        note=draw(NOTES),
    )


@st.composite
def papers(draw: st.DrawFn, number: int, holders: list[Holder]) -> HeldPaper:
    issued, end = draw(SPANS)
    return HeldPaper(
        paper=draw(PAPERS),
        holder=draw(st.sampled_from(holders)),
        number=f"{number} {draw(LINES)}",
        # The year keeps two drawn papers from having the same dates, which is a fault.
        issued_on=draw(st.sampled_from([issued.replace(day=1, year=2020 + number)])),
        valid_through=draw(st.sampled_from([None, end.replace(day=1, year=2045)])),
    )


@st.composite
def closures(draw: st.DrawFn) -> Closure:
    first, last = draw(SPANS)
    who = draw(st.sampled_from(CLOSING))
    return Closure(who=who, first_day=first, last_day=last, why=draw(NOTES))


@given(operations())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_render_operation_reads_back(operation: Operation) -> None:
    assert parse_operation(render_operation(operation), "written") == (operation, ())


@pytest.mark.parametrize("sign", [*HIDDEN, "\ufeff"])
def test_render_operation_with_a_hidden_character_is_not_read(sign: str) -> None:
    """It is written as an escape, so that it can be seen, and is refused at its place."""
    demo = replace(read_demo(), contact_name=f"Odile{sign} Ferrant")
    text = render_operation(demo)
    line = text[: text.index('name: "Odile')].count("\n") + 1

    operation, problems = parse_operation(text, "written")

    assert sign not in text
    assert operation is None
    assert [(problem.code, problem.place.line) for problem in problems] == [("S011", line)]


@given(operations())
@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_render_operation_is_plain_yaml(operation: Operation) -> None:
    """PyYAML, guessing types in its own way, finds the same names and days."""
    tree = yaml.safe_load(render_operation(operation))

    assert tree["mailby_file"] == 1
    assert tree["operation"]["legal_name"] == operation.legal_name
    assert [item["name"] for item in tree["pilots"]] == [item.name for item in operation.pilots]
    assert [item["first_day"] for item in tree["jobs"]] == [
        item.first_day for item in operation.jobs
    ]
    assert [Decimal(str(item["takeoff_weight_lb"])) for item in tree["aircraft"]] == [
        item.takeoff_weight_lb for item in operation.aircraft
    ]


def read_demo() -> Operation:
    text = (DEMO / "sandbur_flats.yaml").read_text(encoding="utf-8")
    operation, problems = parse_operation(text, "demo")
    assert problems == ()
    assert operation is not None
    return operation


def test_render_operation_of_the_demo_settles() -> None:
    """Written, read and written again: the same text, so a saved file does not wander."""
    demo = read_demo()
    text = render_operation(demo)
    again, problems = parse_operation(text, "written")

    assert problems == ()
    assert again == demo
    assert render_operation(demo) == text


def test_render_operation_leaves_out_what_is_empty() -> None:
    demo = read_demo()
    bare = replace(demo, aircraft=(), pilots=(), jobs=(), papers=(), closures=(), places=())

    assert render_operation(bare) == (
        "mailby_file: 1\n"
        "operation:\n"
        "  id: sandbur-flats\n"
        "  legal_name: Sandbur Flats Aerial LLC\n"
        "  entity: llc\n"
        "  managed_by: members\n"
        "  home_state: NE\n"
        "  mailing_address:\n"
        "    - P.O. Box 0\n"
        "    - Burrell Crossing, NE 00000\n"
        "  physical_address:\n"
        '    - "1 Invented Road"\n'
        "    - Burrell Crossing, NE 00000\n"
        "  contact:\n"
        "    name: Odile Ferrant\n"
        '    phone: "402-555-0143"\n'
        "    email: office@sandburflats.example\n"
        "  mail_service: first-class\n"
        '  time_zone: "America/Chicago"\n'
        "aircraft: []\n"
        "pilots: []\n"
        "jobs: []\n"
        "papers: []\n"
        "closures: []\n"
        "notary_days: [tue, thu]\n"
        "post_office_days: [mon, tue, wed, thu, fri, sat]\n"
    )


@st.composite
def logs(draw: st.DrawFn) -> tuple[LogEntry, ...]:
    holders = [
        Holder(kind=HolderKind.OPERATION),
        Holder(kind=HolderKind.AIRCRAFT, ref="tg46"),
        Holder(kind=HolderKind.PILOT, ref="wren"),
    ]
    kinds = st.sampled_from([kind for kind in EventKind if kind is not EventKind.WITHDRAWN])
    entries: list[LogEntry] = []
    for number in range(1, draw(st.integers(0, 6)) + 1):
        standing = [entry.number for entry in entries if entry.kind is not EventKind.WITHDRAWN]
        withdraws = draw(st.none() | st.sampled_from(standing)) if standing else None
        kind = EventKind.WITHDRAWN if withdraws is not None else draw(kinds)
        is_grant = kind is EventKind.GRANTED
        issued, end = draw(SPANS)
        reason = draw(NOTES)
        entries.append(
            LogEntry(
                number=number,
                kind=kind,
                paper=draw(PAPERS),
                holder=draw(st.sampled_from(holders)),
                happened_on=draw(DAYS),
                step=draw(NAMES) if kind is EventKind.DONE else "",
                tracking=draw(st.just("") | LINES),
                reason=reason or "none"
                if kind in {EventKind.RETURNED, EventKind.HEARD}
                else reason,
                paper_number=draw(LINES) if is_grant else "",
                issued_on=issued if is_grant else None,
                valid_through=end if is_grant else None,
                withdraws=withdraws,
            )
        )
    return tuple(entries)


@given(logs())
@settings(max_examples=60, deadline=None)
def test_render_log_reads_back(log: tuple[LogEntry, ...]) -> None:
    assert parse_log(render_log(log), "written", read_demo()) == (log, ())


def test_render_writes_every_field() -> None:
    """A field added to a value and forgotten in the writer would be lost in silence."""
    text = (Path(__file__).parents[2] / "compliance/facts/write.py").read_text(encoding="utf-8")
    kinds = (Operation, Aircraft, Pilot, Job, HeldPaper, Closure, LogEntry)
    written_otherwise = {"number"}  # an entry's own number is its place in the file
    names = {field.name for kind in kinds for field in fields(kind)} - written_otherwise

    assert {name for name in names if f".{name}" not in text} == set()
