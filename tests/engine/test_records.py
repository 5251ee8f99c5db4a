"""Rules of records: what is asked, by when it is written, how long it is kept."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.base.problems import SourceRef
from compliance.engine.record_fill import fill_record
from compliance.engine.record_keep import Kept, compute_kept, find_keep_days
from compliance.engine.record_page import look_at
from compliance.engine.records import (
    RecordRules,
    compute_write_by,
    find_lacking,
    find_late,
)
from compliance.facts.basis import Basis, Confidence
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import HeldPaper, Holder, HolderKind, Operation
from compliance.facts.products import ByAir, Product
from compliance.facts.records import Application, UsedProduct
from compliance.rules.model import DueUnit, KeptFrom, RecordRow, RulesTable
from tests.kit_records import PLAIN

DAY = date(2027, 6, 15)
BASIS = Basis(
    citation="own example",
    edition="none",
    confidence=Confidence.COMMON_PRACTICE,
    reviewed_on=date(2026, 11, 25),
)


def make(
    state: str = "SD", *, restricted: bool = True, on: date = DAY, **more: object
) -> Application:
    used = UsedProduct(name="Thistle-Out 4", restricted_use=restricted, by_air=ByAir.YES)
    bare = replace(PLAIN, start="", end="", zone="", products=(used,))
    made = replace(bare, state=state, written_on=on, on=on)
    return replace(made, **more)  # type: ignore[arg-type] # fields by name


def make_row(months: int | None, **more: object) -> RecordRow:
    fields: dict[str, object] = {
        "id": "a.record",
        "title": "Record",
        "basis": BASIS,
        "place": SourceRef(file="a.yaml"),
        "state": "",
        "elements": (),
        "keep_months": months,
    }
    return RecordRow(**fields | more)  # type: ignore[arg-type] # fields by name


def keep(record: Application, rows: tuple[RecordRow, ...]) -> Kept:
    return compute_kept(record.state, find_keep_days(record), rows)


def ask(table: RulesTable, operation: Operation, record: Application) -> list[str]:
    return [row.id for row in RecordRules(table=table, operation=operation).find(record)]


def test_rules_of_restricted_use_for_hire_in_south_dakota(
    table: RulesTable, demo_operation: Operation
) -> None:
    assert ask(table, demo_operation, make()) == [
        "sd.record.commercial",
        "epa.record.restricted-use",
        "epa.record.restricted-use-time",
        "epa.record.commercial",
        "epa.record.worker-protection",
        "faa.record.commercial",
    ]


def test_rules_of_general_use_on_own_land(table: RulesTable, demo_operation: Operation) -> None:
    record = make("NE", restricted=False, for_hire=False)

    assert ask(table, demo_operation, record) == ["epa.record.worker-protection"]


def test_federal_record_has_the_nine_items_of_the_rule(table: RulesTable) -> None:
    """Source: 7 CFR 110.3(a)(1)-(5), edition of 2006, split into nine items.

    Name of product, registration number, total amount, location, size of area, crop or site, day,
    certified applicator's name, certificate number.
    """
    row = next(one for one in table.records if one.id == "epa.record.restricted-use")
    bare = make("NE", for_hire=False, products=())

    assert find_lacking(bare, (row,))[0].elements == (
        "product",
        "registration",
        "amount",
        "place",
        "area",
        "crop-or-site",
        "applicator",
        "certificate",
    )
    full = make(
        "NE",
        said=(
            ("place", "x"),
            ("site", "pasture"),
            ("area", "40"),
            ("applicator", "x"),
            ("certificate", "1"),
        ),
        products=(
            UsedProduct(
                name="A",
                restricted_use=True,
                by_air=ByAir.YES,
                said=(("registration", "99999-1"), ("amount", "1 gal")),
            ),
        ),
    )
    assert find_lacking(full, (row,)) == ()
    assert len(row.elements) == 9


def test_what_one_product_of_a_mix_lacks_is_missing() -> None:
    row = make_row(None, elements=("product", "registration"))
    first = UsedProduct(
        name="A", restricted_use=True, by_air=ByAir.YES, said=(("registration", "99999-1"),)
    )
    second = replace(first, name="B", said=())

    [lacking] = find_lacking(make(products=(first, second)), (row,))

    assert lacking.elements == ("registration",)


def test_time_of_day_is_there_with_a_start_or_an_end() -> None:
    row = make_row(None, elements=("time",))

    assert find_lacking(make(end="07:45"), (row,)) == ()
    assert find_lacking(make(start="06:10"), (row,)) == ()
    assert len(find_lacking(make(), (row,))) == 1


@pytest.mark.parametrize(
    ("within", "unit", "record", "by"),
    [
        # Minn. Stat. 18B.37: 5 days; 30 June 2026 gives Sunday 5 July, which is not moved.
        (5, DueUnit.DAYS, make(on=date(2026, 6, 30)), date(2026, 7, 5)),
        # 7 CFR 110.3: 14 days; 20 June 2026 gives Saturday 4 July, which is not moved.
        (14, DueUnit.DAYS, make(on=date(2026, 6, 20)), date(2026, 7, 4)),
        # 355 IAC 4-4-1.5: the 30th day; 5 June 2026 gives Sunday 5 July.
        (30, DueUnit.DAYS, make(on=date(2026, 6, 5)), date(2026, 7, 5)),
        (0, DueUnit.DAYS, make(), DAY),
        (48, DueUnit.HOURS, make(end="07:45"), date(2027, 6, 17)),
        (14, DueUnit.HOURS, make(end="07:45"), DAY),
        (24, DueUnit.HOURS, make(), date(2027, 6, 16)),
    ],
)
def test_last_day_to_write(within: int, unit: DueUnit, record: Application, by: date) -> None:
    row = make_row(None, within=within, within_unit=unit)

    assert compute_write_by(record, row) == by
    assert find_late(record, (row,), by) == ()
    assert [one.by for one in find_late(record, (row,), date.fromordinal(by.toordinal() + 1))] == [
        by
    ]


def test_longest_time_wins(table: RulesTable, demo_operation: Operation) -> None:
    """Sources: 7 CFR 110.3 (24 months), ARSD 12:56:07:03 (36), Minn. Stat. 18B.37 (60).

    The table has Minnesota's time from memory, so that it does not count as known.
    """
    rules = RecordRules(table=table, operation=demo_operation)

    found = {
        state: (kept.through, kept.row and kept.row.id, kept.state_known)
        for state in ("SD", "MN", "IN", "IL")
        for kept in [keep(make(state), rules.find(make(state)))]
    }

    assert found == {
        "SD": (date(2030, 6, 15), "sd.record.commercial", True),
        "MN": (date(2032, 6, 15), "mn.record.commercial-keep", False),
        "IN": (date(2029, 6, 15), "in.record.commercial", True),
        "IL": (date(2029, 6, 15), "epa.record.restricted-use-time", False),
    }


@pytest.mark.parametrize(
    ("on", "months", "through"),
    [
        (date(2028, 2, 29), 24, date(2030, 2, 28)),
        (date(2028, 2, 29), 48, date(2032, 2, 29)),
        (date(2027, 12, 31), 12, date(2028, 12, 31)),
        (date(2027, 2, 28), 12, date(2028, 2, 28)),
    ],
)
def test_months_are_counted_from_the_day(on: date, months: int, through: date) -> None:
    assert keep(make(on=on), (make_row(months),)).through == through


@pytest.mark.parametrize(
    ("end", "hours", "through"),
    [
        ("07:45", "12", date(2029, 6, 15)),
        ("12:01", "12", date(2029, 6, 16)),
        ("", "48", date(2029, 6, 17)),
        ("07:45", "", date(2029, 6, 15)),
    ],
)
def test_months_from_the_end_of_the_interval(end: str, hours: str, through: date) -> None:
    row = make_row(24, kept_from=KeptFrom.RE_ENTRY_ENDS)
    said = (("re-entry", hours),) if hours else ()

    assert keep(make(end=end, said=said), (row,)).through == through


@given(
    st.lists(st.one_of(st.none(), st.integers(1, 240)), max_size=6),
    st.one_of(st.none(), st.integers(1, 240)),
    st.dates(date(2020, 1, 1), date(2059, 12, 31)),
)
def test_another_rule_never_shortens_the_time(
    months: list[int | None], added: int | None, on: date
) -> None:
    rows = tuple(make_row(number) for number in months)
    before = keep(make(on=on), rows).through
    after = keep(make(on=on), (*rows, make_row(added))).through

    assert before is None or (after is not None and after >= before)


def test_record_is_kept_as_long_as_any_version_asks(
    table: RulesTable, demo_operation: Operation
) -> None:
    rules = RecordRules(table=table, operation=demo_operation)
    first = make("MN")
    second = replace(first, version=2, state="SD", written_on=date(2027, 9, 1), why="wrong state")

    page = look_at(rules, (first, second))

    assert page.kept.through == date(2032, 6, 15)
    assert page.record == second
    assert page.late == ()  # it was first written on the day


def test_edition_of_the_day_counts(demo_operation: Operation) -> None:
    old = make_row(12, applies_until=date(2027, 6, 14))
    new = make_row(36, applies_from=DAY)
    table = RulesTable(records=(old, new))

    assert RecordRules(table=table, operation=demo_operation).find(make()) == (new,)


def test_known_things_are_filled_in(demo_operation: Operation) -> None:
    listed = Product(id="t", name="Thistle-Out 4", re_entry_hours=48)
    record, filled = fill_record(make("NE"), replace(demo_operation, products=(listed,)), log=())

    assert {name: record.find(name) for name in filled} == {
        "applicator": "Odile Ferrant",
        "business": "Sandbur Flats Aerial LLC",
        "business-address": "1 Invented Road, Burrell Crossing, NE 00000",
        "certificate": "INVENTED-NE-31",
        "equipment": "Tallgrass Rotorworks TG-46",
        "pilot-certificate": "INVENTED-0001",
        "pilot-name": "Odile Ferrant",
        "re-entry": "48",
    }


def test_number_comes_only_from_a_paper_in_force(demo_operation: Operation) -> None:
    pilot = Holder(kind=HolderKind.PILOT, ref="odile")
    late = HeldPaper(
        paper="ne.commercial-applicator",
        holder=pilot,
        number="OLD",
        issued_on=date(2024, 3, 1),
        valid_through=date(2027, 6, 14),
    )
    granted = LogEntry(
        number=1,
        kind=EventKind.GRANTED,
        paper="ne.commercial-applicator",
        holder=pilot,
        happened_on=date(2027, 6, 16),
        paper_number="NEW",
        issued_on=date(2027, 6, 16),
    )
    operation = replace(demo_operation, papers=(late,))

    assert fill_record(make("NE"), operation, (granted,))[0].find("certificate") == ""
    later = make("NE", on=date(2027, 6, 16))
    assert fill_record(later, operation, (granted,))[0].find("certificate") == "NEW"


@pytest.mark.parametrize(
    ("on", "listed", "number"),
    [
        (date(2027, 6, 15), "", "INVENTED-N"),
        (date(2027, 6, 14), "", ""),
        (date(2027, 6, 15), "INVENTED-LISTED", "INVENTED-LISTED"),
    ],
)
def test_number_of_the_aircraft_comes_from_its_registration_too(
    on: date, listed: str, number: str, demo_operation: Operation
) -> None:
    """The number in the aircraft's own entry comes first; another machine's is not taken."""
    first, *others = demo_operation.aircraft
    papers = tuple(
        HeldPaper(
            paper="faa.registration-n",
            holder=Holder(kind=HolderKind.AIRCRAFT, ref=ref),
            number=text,
            issued_on=date(2027, 6, 15),
        )
        for ref, text in (("tg46", "INVENTED-N"), ("tg18", "INVENTED-OTHER"))
    )
    aircraft = (replace(first, registration_number=listed), *others)
    operation = replace(demo_operation, papers=papers, aircraft=aircraft)

    assert fill_record(make("NE", on=on), operation, ())[0].find("aircraft-number") == number


def test_what_was_written_is_not_changed(demo_operation: Operation) -> None:
    record = make("NE", said=(("applicator", "Wren Castellow"),))

    filled, names = fill_record(record, demo_operation, ())

    assert filled.find("applicator") == "Wren Castellow"
    assert "certificate" not in names  # that of the pilot is not hers


@pytest.mark.parametrize(
    ("state", "limits"),
    [
        # ARSD 12:56:07 states no time: the duty's careful day counts beside the federal 14 days.
        ("SD", ["sd.commercial-applicator.record", "epa.record.restricted-use-time"]),
        # WAC 16-228-1320: the duty has the same day from memory, its record row no time.
        ("WA", ["wa.record", "epa.record.restricted-use-time"]),
        # 25 NAC 2: the state's own row has a time, so its duty of the same time adds nothing.
        ("NE", ["ne.record.commercial-time", "epa.record.restricted-use-time"]),
        # No rule of Illinois was found.
        ("IL", ["epa.record.restricted-use-time"]),
    ],
)
def test_duty_to_write_gives_the_time_where_no_record_rule_does(
    state: str, limits: list[str], table: RulesTable, demo_operation: Operation
) -> None:
    rules = RecordRules(table=table, operation=demo_operation)

    assert [row.id for row in rules.find_limits(make(state))] == limits
