"""How a duty's rule is said in plain words; the rows are invented."""

from dataclasses import replace
from datetime import date

import pytest

from compliance.engine.duties_model import DueDuty, DutyState, duty_id
from compliance.facts.model import Holder, HolderKind
from compliance.outputs.duty_words import say_beside, say_rule, say_start
from compliance.rules.model import DueUnit, DutyEvent, DutyRow, RulesTable


@pytest.fixture(name="row")
def pick_row(table: RulesTable) -> DutyRow:
    (found,) = [one for one in table.duties if one.id == "faa.airspace-authorization.notam"]
    return replace(found, trigger="the start", opens=0)


@pytest.mark.parametrize(
    ("count", "unit", "opens", "before", "said"),
    [
        (24, DueUnit.HOURS, 72, True, "24 hours and not earlier than 72 hours before the start"),
        (1, DueUnit.DAYS, 0, True, "1 day before the start"),
        (12, DueUnit.MONTHS, 0, False, "12 months after the start"),
        (5, DueUnit.BUSINESS_DAYS, 0, False, "5 federal working days after the start"),
        (7, DueUnit.DAY_OF_NEXT_MONTH, 0, False, "by day 7 of the next month"),
        (0, DueUnit.HOURS, 0, False, "at once, the start"),
        (0, DueUnit.DAYS, 0, False, "on the start"),
    ],
)
def test_rule_is_said(
    count: int, unit: DueUnit, opens: int, before: bool, said: str, row: DutyRow
) -> None:
    asked = replace(row, count=count, unit=unit, opens=opens, before=before)

    assert say_rule(asked) == said


@pytest.mark.parametrize(
    ("event", "command"),
    [
        (DutyEvent.FLIGHT, "flew"),
        (DutyEvent.ADDRESS_CHANGE, "moved"),
        (DutyEvent.REFUSAL, "refused"),
        (DutyEvent.OTHER, ""),
        (DutyEvent.MONTH_FLOWN, ""),
    ],
)
def test_command_that_starts_the_clock(event: DutyEvent, command: str, row: DutyRow) -> None:
    assert say_start(replace(row, events=(event,))) == command


def make_due(row: DutyRow, occasion: str, about: str = "it") -> DueDuty:
    holder = Holder(kind=HolderKind.OPERATION)
    day = date(2027, 6, 15)
    return DueDuty(
        id=duty_id(row.id, holder, occasion),
        row=row,
        holder=holder,
        occasion=occasion,
        about=about,
        job="",
        event_on=day,
        due_on=day,
        state=DutyState.OPEN,
    )


@pytest.mark.parametrize(
    ("not_before", "beside", "apart", "said"),
    [
        ("", (), (), ""),
        ("", ("S, item 2",), (), "less strict: S, item 2"),
        ("S, item 2", (), (), "not sooner than S, item 2 allows, so that it suits both"),
        (
            "",
            (),
            ("S, item 2",),
            "no one moment suits both this and S, item 2, so ask the agency which counts",
        ),
        (
            "the rule itself",
            ("T",),
            (),
            "not sooner than the rule itself allows, so that it suits both; less strict: T",
        ),
    ],
)
def test_several_papers_in_force_are_named(
    not_before: str, beside: tuple[str, ...], apart: tuple[str, ...], said: str, row: DutyRow
) -> None:
    due = replace(make_due(row, "june"), not_before=not_before, beside=beside, apart=apart)

    assert say_beside(due) == (f", the stricter of what is in force; {said}" if said else "")
