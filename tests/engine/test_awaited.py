"""Acts that wait for a paper an office is overdue with; the demo farm is invented.

The exemption was filed on 14 September 2026 and would have come by 6 February 2027 at usual times.
"""

from dataclasses import replace
from datetime import date

import pytest

from compliance.engine.agenda import (
    ItemKind,
    compute_agenda,
    find_act_day,
    list_once,
    list_waiting,
)
from compliance.engine.awaited import list_awaited, list_holding
from compliance.engine.explain import explain_paper
from compliance.engine.ledger import EntryState
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Operation
from compliance.outputs.calendar_entries import compute_entries
from compliance.outputs.plan_json import compute_plan_document
from compliance.outputs.plan_text import render_plan_text
from compliance.rules.model import RulesTable

BEFORE, AFTER, LATE = date(2027, 2, 6), date(2027, 2, 12), date(2027, 5, 20)
OPERATOR, BUSINESS = "faa.ag-operator", "ne.aerial-business"


def plan_on(operation: Operation, table: RulesTable, log: tuple[LogEntry, ...], day: date) -> Plan:
    return compute_plan(operation, table, log, day)


def days_of(plan: Plan, packet: str) -> list[tuple[str, date, tuple[str, ...]]]:
    return [
        (item.step.row.name, item.day, item.once)
        for item in compute_agenda(plan)
        if item.kind is ItemKind.DO and item.step and item.paper and item.paper.id == packet
    ]


def test_overdue_paper_is_found_at_first_and_second_hand(
    demo_operation: Operation, table: RulesTable, demo_log: tuple[LogEntry, ...]
) -> None:
    """Part 137 needs the exemption, and the business license needs Part 137."""
    for day, expected in ((BEFORE, []), (AFTER, ["faa.exemption"])):
        plan = plan_on(demo_operation, table, demo_log, day)
        for name in (OPERATOR, BUSINESS):
            paper = plan.find_paper(name)
            assert paper is not None
            sending = plan.find_step(paper.mail_step)
            assert sending is not None
            found = list_holding(plan, paper, sending)
            assert [one.id for one in found] == expected
            assert list_awaited(plan, paper)


def test_every_overdue_paper_is_named(
    demo_operation: Operation, table: RulesTable, demo_log: tuple[LogEntry, ...]
) -> None:
    """The blanket authorization needs the registration and the exemption, both long out."""
    name, day = "faa.airspace-authorization", date(2027, 6, 21)
    (back,) = [one for one in demo_log if one.kind is EventKind.RETURNED]
    mailed = replace(
        back, number=99, kind=EventKind.MAILED, happened_on=date(2027, 1, 12), reason=""
    )
    plan = plan_on(demo_operation, table, (*demo_log, mailed), day)
    paper = plan.find_paper(name)
    assert paper is not None
    text = " ".join(render_plan_text(plan).split())
    document = {one["packet"]: one for one in compute_plan_document(plan)["papers"]}

    both = (
        "Aircraft registration with an N-number (Part 47), TG-46 46-00017",
        "Exemption for spraying with unmanned aircraft",
    )
    here = f"these are here, which are overdue: {both[0]}; {both[1]}"
    assert list_once(plan, paper) == both
    assert f"so act once {here} needed by" in text
    assert "if the overdue papers came today: 22 days TOO LATE even then" in text
    assert document[name]["only_if_overdue_come"] == ["faa.registration-n:tg46", "faa.exemption"]
    assert document[OPERATOR]["only_if_overdue_come"] == ["faa.exemption"]
    steps = {one["step"]: one["only_if_overdue_come"] for one in document[name]["steps"]}
    assert steps[f"{name}/file"] == ["faa.registration-n:tg46", "faa.exemption"]
    assert steps[f"{name}/prepare"] == []
    sections = dict(explain_paper(plan, paper).sections)
    lines = sections["When it can be in hand is not known; if the overdue papers came today"]
    said = [line.text for line in lines if "OVERDUE" in line.text]
    assert [line.partition(" is OVERDUE")[0] for line in said] == [
        "Aircraft registration with an N-number (Part 47)",
        both[1],
    ]
    (filing,) = [
        one
        for one in compute_entries(plan)
        if one.state is EntryState.NO_DAY and one.title.startswith("File: Blanket")
    ]
    assert f"It has no day until {here}\n" in filing.text


@pytest.mark.parametrize(("day", "left"), [(AFTER, [date(2027, 3, 10)]), (LATE, [])])
def test_act_without_its_paper_has_no_day_but_its_packet_a_last_one(
    demo_operation: Operation,
    table: RulesTable,
    demo_log: tuple[LogEntry, ...],
    day: date,
    left: list[date],
) -> None:
    """What can be gathered at home keeps its day; of the filing only the last day is left."""
    plan = plan_on(demo_operation, table, demo_log, day)
    paper = plan.find_paper(OPERATOR)
    assert paper is not None

    found = days_of(plan, OPERATOR)
    once = "Exemption for spraying with unmanned aircraft"
    assert list_once(plan, paper) == (once,)
    assert find_act_day(plan, paper) is None
    assert [name for name, _, _ in found] == ["prepare", "check"]
    assert found[0][2] == ()
    lasts = [
        item
        for item in compute_agenda(plan)
        if item.kind is ItemKind.LAST_DAY and item.paper and item.paper.id == OPERATOR
    ]
    assert [(item.day, item.once) for item in lasts] == [(on, (once,)) for on in left]
    assert all(
        item.title.endswith(f", once this is here, which is overdue: {once}") for item in lasts
    )
    waiting = [step.row.name for one, step, _ in list_waiting(plan) if one.id == OPERATOR]
    assert waiting == ["file"]
    text = " ".join(render_plan_text(plan).split())
    assert f"so act once this is here, which is overdue: {once}" in text
