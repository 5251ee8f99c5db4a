"""The plan as JSON is a public interface: its shape, and the demo's plan to the letter.

The shape is checked by the package jsonschema against ``tests/data/plan.schema.json``.
"""

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from enum import StrEnum
from pathlib import Path

import jsonschema
import pytest

from compliance.app.planning import Planned
from compliance.base.dates import say_date
from compliance.engine.duties_model import DutyState
from compliance.engine.packets import PaperState
from compliance.engine.plan import compute_plan, move_first_spray
from compliance.engine.plan_model import Plan
from compliance.engine.remedies import add_remedies
from compliance.facts.basis import Confidence
from compliance.facts.model import HolderKind
from compliance.outputs.plan_json import compute_plan_document, render_plan_json
from compliance.outputs.plan_text import render_plan_text
from compliance.rules.model import CalendarName, DueUnit, DutyKind, StepKind

TESTS = Path(__file__).parents[1]
SCHEMA = json.loads((TESTS / "data" / "plan.schema.json").read_text(encoding="utf-8"))
Draft = jsonschema.Draft202012Validator


def validate(text: str) -> None:
    Draft(SCHEMA, format_checker=Draft.FORMAT_CHECKER).validate(json.loads(text))


def plan_on(planned: Planned, day: date, first_spray: date | None = None) -> Plan:
    operation = planned.plan.operation
    if first_spray is not None:
        operation = move_first_spray(operation, first_spray)
    plan = compute_plan(operation, planned.table, planned.log, day)
    return add_remedies(plan, planned.table, planned.log)


def objects(schema: object) -> Iterator[dict[str, object]]:
    """Every part of the schema that describes an object."""
    if isinstance(schema, dict):
        if schema.get("type") == "object":
            yield schema
        for below in schema.values():
            yield from objects(below)


def test_schema_is_one_and_strict() -> None:
    Draft.check_schema(SCHEMA)
    found = list(objects(SCHEMA))

    assert len(found) == 18
    assert {one["additionalProperties"] for one in found} == {False}
    assert [one["required"] == list(one["properties"]) for one in found] == [True] * 18  # type: ignore[call-overload] # an object


def test_schema_refuses_a_day_that_is_none(demo_plan: Plan) -> None:
    document = compute_plan_document(demo_plan) | {"as_of": "2027-02-30"}

    with pytest.raises(jsonschema.ValidationError, match=r"'2027-02-30' is not a 'date'"):
        validate(json.dumps(document))


@pytest.mark.parametrize(
    ("words", "name", "field"),
    [
        (StepKind, "step", "kind"),
        (CalendarName, "step", "calendar"),
        (PaperState, "paper", "state"),
        (DutyKind, "duty", "kind"),
        (DueUnit, "duty", "unit"),
        (DutyState, "duty", "state"),
    ],
)
def test_schema_knows_every_word(words: type[StrEnum], name: str, field: str) -> None:
    listed = SCHEMA["$defs"][name]["properties"][field]["enum"]

    assert sorted(listed) == sorted(map(str, words))


def test_schema_knows_every_holder_and_confidence() -> None:
    holder = SCHEMA["$defs"]["paper"]["properties"]["holder"]["properties"]["kind"]["enum"]

    assert sorted(holder) == sorted(map(str, HolderKind))
    assert sorted(SCHEMA["$defs"]["confidence"]["enum"]) == sorted(map(str, Confidence))


def test_render_plan_json_demo_to_the_letter(demo_shown: Plan) -> None:
    golden = (TESTS / "golden" / "plan.json").read_text(encoding="utf-8")

    validate(golden)
    assert render_plan_json(demo_shown) == golden


@pytest.mark.parametrize(
    ("day", "first_spray"),
    [
        (date(2027, 1, 11), date(2027, 2, 10)),
        (date(2027, 5, 24), None),
        (date(2027, 7, 31), None),
        (date(2027, 9, 30), None),
        (date(2030, 1, 1), None),
        (date(2001, 1, 1), None),
    ],
)
def test_render_plan_json_keeps_its_shape(
    demo_planned: Planned, day: date, first_spray: date | None
) -> None:
    text = render_plan_json(plan_on(demo_planned, day, first_spray))

    validate(text)
    assert text.endswith("}\n")
    assert json.loads(text)["as_of"] == day.isoformat()


def test_compute_plan_document_late_job_has_remedies(demo_planned: Planned) -> None:
    document = compute_plan_document(plan_on(demo_planned, date(2027, 1, 11), date(2027, 4, 10)))
    job = document["jobs"][0]

    assert job["late_by_days"] > 0
    assert job["waits_for"]
    assert {one["job"] for one in document["remedies"]} == {job["job"]}
    assert all(one["first_lawful_day"] <= job["last_day"] for one in document["remedies"])
    assert document["unhelped"] == []


def test_compute_plan_document_names_jobs_that_nothing_helps(demo_planned: Planned) -> None:
    document = compute_plan_document(plan_on(demo_planned, date(2027, 1, 11), date(2027, 2, 10)))

    assert (document["remedies"], document["unhelped"]) == ([], ["pasture-ne"])


def test_compute_plan_document_gap_is_named(demo_planned: Planned) -> None:
    """A paper that ends within a job and cannot be renewed before."""
    operation = demo_planned.plan.operation
    papers = tuple(
        replace(one, valid_through=date(2027, 5, 26))
        if one.paper == "ne.commercial-applicator"
        else one
        for one in operation.papers
    )
    changed = replace(operation, papers=papers)
    plan = compute_plan(changed, demo_planned.table, demo_planned.log, date(2027, 5, 24))
    gap = compute_plan_document(plan)["jobs"][0]["gap"]

    validate(render_plan_json(plan))
    assert gap["last_day_in_force"] == "2027-05-26"
    assert gap["in_force_again"] > "2027-05-27"


def test_compute_plan_document_without_jobs_is_empty(demo_planned: Planned) -> None:
    operation = replace(demo_planned.plan.operation, jobs=())
    plan = compute_plan(operation, demo_planned.table, (), date(2027, 1, 11))
    document = compute_plan_document(plan)

    assert (document["jobs"], document["papers"], document["remedies"]) == ([], [], [])
    validate(render_plan_json(plan))


def test_render_plan_json_keeps_letters_readable(demo_planned: Planned) -> None:
    operation = replace(demo_planned.plan.operation, legal_name='Łódź \U0001f69c "Sons" LLC')
    plan = compute_plan(operation, demo_planned.table, (), date(2027, 1, 11))
    text = render_plan_json(plan)

    assert 'Łódź \U0001f69c \\"Sons\\" LLC' in text
    validate(text)


def test_compute_plan_document_names_the_trips_of_the_plan(demo_shown: Plan) -> None:
    """Each act in town has its trip's day, and the day to act on is the one the text names."""
    document = compute_plan_document(demo_shown)
    trips = {
        step["step"]: step["trip_to_town"]
        for paper in document["papers"]
        for step in paper["steps"]
        if step["trip_to_town"] is not None
    }
    text = render_plan_text(demo_shown)
    acts = [date.fromisoformat(one["act_on"]) for one in document["papers"] if one["act_on"]]

    assert trips == {name: day.on.isoformat() for name, day in demo_shown.trip_days.items()}
    assert len(trips) == 9
    assert sorted(f"so act on    {say_date(day)}" for day in acts) == sorted(
        line.strip().partition(",")[0] for line in text.splitlines() if "so act on" in line
    )


def test_compute_plan_document_without_trips_has_no_day_of_one(demo_planned: Planned) -> None:
    """A plan made without trips names none; the first day a packet can go is still there."""
    document = compute_plan_document(demo_planned.plan)
    steps = [step for paper in document["papers"] for step in paper["steps"]]

    assert {step["trip_to_town"] for step in steps} == {None}
    assert any(paper["act_on"] for paper in document["papers"])


@pytest.mark.parametrize(("later", "in_time"), [(0, True), (1, False)])
def test_last_of_a_done_step_is_the_last_day_it_could_have_been_done(
    demo_planned: Planned, *, later: int, in_time: bool
) -> None:
    """The exemption of the demo, filed on its ``last`` or on the next weekday, seen on that day.

    Before that day the rest of the plan has it in time at usual pace, and after it not.
    """
    paper = demo_planned.plan.find_paper("faa.exemption")
    step = paper.find_step("file") if paper is not None else None
    assert step is not None
    assert step.last is not None
    assert step.done_on == date(2026, 9, 14)
    day = step.last
    for _ in range(later):
        day += timedelta(days=1 if day.weekday() < 4 else 7 - day.weekday())
    log = tuple(
        replace(entry, happened_on=day) if entry.paper == "faa.exemption" else entry
        for entry in demo_planned.log
        if entry.paper == "faa.exemption" or entry.happened_on <= day
    )

    plan = compute_plan(demo_planned.plan.operation, demo_planned.table, log, day)

    found = plan.find_paper("faa.exemption")
    assert found is not None
    assert found.slack_days is not None
    assert (found.slack_days >= 0) == in_time
