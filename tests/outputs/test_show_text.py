"""What is known, what changed and what was logged: whole, readable, nothing swallowed."""

from dataclasses import replace
from datetime import date

from compliance.app.planning import Planned
from compliance.engine.plan import compute_plan
from compliance.facts.compare import compare_operations
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind, Operation
from compliance.facts.products import ByAir, Product
from compliance.outputs.show_text import render_changes, render_facts, render_logged
from compliance.outputs.words import CAUTION, wrap

TG46 = Holder(kind=HolderKind.AIRCRAFT, ref="tg46")
WHOLE = Holder(kind=HolderKind.OPERATION)


def squeeze(text: str) -> str:
    return " ".join(text.split())


def test_render_changes_none(demo_operation: Operation) -> None:
    assert render_changes(demo_operation, ()) == ("Sandbur Flats Aerial LLC: nothing has changed\n")


def test_render_changes_lists_each_and_what_is_next(demo_operation: Operation) -> None:
    new = replace(demo_operation, contact_name="Wren Castellow")
    text = render_changes(new, compare_operations(demo_operation, new))

    assert text == (
        "Sandbur Flats Aerial LLC (sandbur-flats) is kept:\n"
        "  changed contact's name of the operation: Odile Ferrant -> Wren Castellow\n"
        "Next: mailby plan\n"
    )


def test_render_facts_holds_every_value(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    text = squeeze(render_facts(demo_operation, demo_log))
    wanted = [demo_operation.legal_name, demo_operation.contact_phone]
    wanted.extend(demo_operation.mailing_address.lines)
    for machine in demo_operation.aircraft:
        wanted.extend([machine.serial, machine.remote_id_serial, machine.registration_number])
    wanted.extend(pilot.name for pilot in demo_operation.pilots)
    wanted.extend(job.id for job in demo_operation.jobs)
    wanted.extend(held.number for held in demo_operation.papers)
    wanted.extend(closure.why for closure in demo_operation.closures)
    wanted.extend(entry.reason + entry.tracking for entry in demo_log)

    assert [one for one in wanted if squeeze(one) not in text] == []


def test_render_facts_says_clocks_hours_and_products(demo_operation: Operation) -> None:
    job = replace(
        demo_operation.jobs[0],
        first_flight="06:30",
        time_zone="America/Denver",
        products=("amine", "water"),
    )
    amine = Product(
        id="amine",
        name="Invented Amine",
        registration="99999-1",
        active_ingredient="invented acid",
        maker="Tallgrass Rotorworks",
        by_air=ByAir.YES,
        restricted_use=True,
        re_entry_hours=48,
    )
    products = (amine, Product(id="water", name="Water"))
    known = replace(demo_operation, jobs=(job, *demo_operation.jobs[1:]), products=products)

    text = render_facts(known, ())

    assert "  clock        Central time, as in Chicago\n" in text
    assert (
        "      first flight of the day 06:30; Mountain time, as in Denver; products:\n"
        "        amine, water\n"
    ) in text
    assert (
        "PRODUCTS\n"
        "  amine: Invented Amine, number 99999-1, invented acid, Tallgrass Rotorworks,\n"
        "    restricted-use, nobody enters for 48 h, its label allows it by air\n"
        "  water: Water, its label not read yet as to the air\n"
    ) in text
    assert "PRODUCTS" not in render_facts(demo_operation, ())


def test_render_facts_flags_of_a_job(demo_operation: Operation) -> None:
    job = replace(
        demo_operation.jobs[0],
        controlled_airspace=True,
        outside_blanket_area=True,
        congested_area=True,
    )
    text = squeeze(render_facts(replace(demo_operation, jobs=(job,)), ()))

    assert "controlled airspace, outside the blanket authorization, congested area" in text


def test_render_facts_bare_operation(demo_operation: Operation) -> None:
    bare = replace(
        demo_operation, aircraft=(), pilots=(), jobs=(), papers=(), closures=(), managed_by=None
    )
    text = render_facts(bare, ())

    assert text.endswith(f"LOG\n  nothing yet\n\n{wrap(CAUTION)}\n")
    assert "managed by" not in text


def test_render_facts_withdrawn_entry_stays_in_sight(demo_operation: Operation) -> None:
    wrong = LogEntry(
        number=1,
        kind=EventKind.GRANTED,
        paper="faa.registration-n",
        holder=TG46,
        happened_on=date(2027, 1, 5),
        paper_number="N-INVENTED",
        valid_through=date(2034, 1, 31),
    )
    undo = LogEntry(
        number=2,
        kind=EventKind.WITHDRAWN,
        paper="faa.registration-n",
        holder=TG46,
        happened_on=date(2027, 1, 6),
        withdraws=1,
    )
    text = squeeze(render_facts(demo_operation, (wrong, undo)))

    assert text.endswith(
        "LOG 1. Tue 5 Jan 2027: granted faa.registration-n, TG-46 46-00017; "
        "number N-INVENTED, through Tue 31 Jan 2034 (withdrawn) "
        f"2. Wed 6 Jan 2027: entry 1 withdrawn {CAUTION}"
    )


def logged(planned: Planned, entry: LogEntry) -> str:
    log = (*planned.log, entry)
    plan = compute_plan(planned.plan.operation, planned.table, log, entry.happened_on)
    return squeeze(render_logged(entry, plan))


def test_render_logged_says_what_follows(demo_planned: Planned) -> None:
    entry = LogEntry(
        number=7,
        kind=EventKind.DONE,
        paper="faa.registration-n",
        holder=TG46,
        happened_on=date(2027, 1, 11),
        step="mend",
    )
    text = logged(demo_planned, entry)

    assert text.startswith(
        "logged as entry 7: Mon 11 Jan 2027: done faa.registration-n, TG-46 46-00017; mend "
        "faa.registration-n:tg46: under way; it waits on you: "
    )
    assert "at usual pace send it off by " in text
    assert "(last)" in text


def test_render_logged_granted_without_a_last_day(demo_planned: Planned) -> None:
    entry = LogEntry(
        number=7,
        kind=EventKind.GRANTED,
        paper="faa.exemption",
        holder=WHOLE,
        happened_on=date(2027, 1, 11),
    )

    assert logged(demo_planned, entry).startswith(
        "logged as entry 7: Mon 11 Jan 2027: granted faa.exemption, Sandbur Flats Aerial LLC "
        "faa.exemption is in hand, no last day known "
    )


def test_render_logged_late_job_is_said(demo_planned: Planned) -> None:
    entry = LogEntry(
        number=7,
        kind=EventKind.DONE,
        paper="faa.registration-n",
        holder=TG46,
        happened_on=date(2027, 5, 20),
        step="mend",
    )

    assert "! pasture-ne " in logged(demo_planned, entry)
