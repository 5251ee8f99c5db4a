"""What is said beside the notice of a flight that its job cannot lawfully make by the plan."""

from dataclasses import replace
from datetime import date

import pytest

from compliance.engine.duties_due import compute_duty_book
from compliance.engine.duties_model import DutyState
from compliance.engine.plan_model import Plan
from compliance.outputs.duties_text import (
    list_plan_lines,
    list_today_lines,
    render_duties_text,
)
from compliance.rules.model import RulesTable

ON = date(2027, 5, 25)
DOUBT = "for a flight of pasture-ne on Wed 26 May 2027; only if it may fly: first lawful day "
PLAIN = "for a flight of pasture-ne on Wed 26 May 2027"


def say_everywhere(
    plan: Plan,
    table: RulesTable,
    waits_for: tuple[str, ...],
    lawful: date,
    gap: tuple[date, date] | None = None,
) -> list[str]:
    """Give the duties as `today`, `plan` and `duties` say them, each on one line."""
    duties = compute_duty_book(plan.operation, table, plan.verdicts, (), (), as_of=ON)
    jobs = tuple(
        replace(one, waits_for=waits_for, first_lawful_day=lawful, gap=gap)
        if one.job.id == "pasture-ne"
        else one
        for one in plan.jobs
    )
    made = replace(plan, as_of=ON, duties=duties, jobs=jobs)
    texts = (
        "\n".join(list_today_lines(made, 7)),
        "\n".join(list_plan_lines(made)),
        render_duties_text(made, job="", days=7, everything=False),
    )
    return [" ".join(text.split()) for text in texts]


@pytest.mark.parametrize(
    ("waits_for", "lawful", "gap", "said"),
    [
        (("faa.exemption",), date(2027, 8, 11), None, "Wed 11 Aug 2027"),
        (("faa.exemption",), date(2027, 5, 27), None, "Thu 27 May 2027"),
        # On the first lawful day itself it may fly, and a job that waits for nothing too.
        (("faa.exemption",), date(2027, 5, 26), None, ""),
        ((), date(2027, 8, 11), None, ""),
        # A paper runs out within the job: between its last day and the first one in force again.
        ((), date(2027, 5, 24), (date(2027, 5, 25), date(2027, 6, 8)), "Tue 8 Jun 2027"),
        ((), date(2027, 5, 24), (date(2027, 5, 26), date(2027, 6, 8)), ""),
        ((), date(2027, 5, 24), (date(2027, 5, 20), date(2027, 5, 26)), ""),
    ],
)
def test_notice_of_a_flight_that_is_not_lawful_stays_and_says_so(
    waits_for: tuple[str, ...],
    lawful: date,
    gap: tuple[date, date] | None,
    said: str,
    demo_plan: Plan,
    table: RulesTable,
) -> None:
    for text in say_everywhere(demo_plan, table, waits_for, lawful, gap):
        assert PLAIN in text
        assert (DOUBT in text) is bool(said)
        assert f"{DOUBT}{said}" in text or not said


def test_overdue_duties_are_never_cut_off(demo_plan: Plan, table: RulesTable) -> None:
    """However many are overdue, each of them stands in `plan`; only others are cut."""
    duties = compute_duty_book(demo_plan.operation, table, demo_plan.verdicts, (), (), as_of=ON)
    late = [one for one in duties.due if one.is_live][-1:] * 12
    due = tuple(
        replace(
            one,
            row=replace(one.row, id=f"x.{at}", title=f"late {at};", before=False),
            state=DutyState.OVERDUE,
        )
        for at, one in enumerate(late)
    )
    made = replace(demo_plan, as_of=ON, duties=replace(duties, due=(*duties.due, *due)))

    text = " ".join(" ".join(list_plan_lines(made)).split())
    assert [at for at in range(len(due)) if f"late {at};" not in text] == []
    assert len(due) == 12
