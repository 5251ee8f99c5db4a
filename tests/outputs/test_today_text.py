"""Today and the seven days after it: what falls in, what stays out."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from compliance.app.planning import Planned
from compliance.base.dates import say_date
from compliance.engine.agenda import ItemKind, compute_agenda
from compliance.engine.plan import compute_plan, move_first_spray
from compliance.engine.plan_model import Plan
from compliance.engine.remedies import add_remedies
from compliance.outputs.plan_text import render_plan_text
from compliance.outputs.today_text import DAYS_AHEAD, render_today_text
from compliance.outputs.words import CAUTION


def on(planned: Planned, day: date) -> Plan:
    return compute_plan(planned.plan.operation, planned.table, planned.log, day)


def squeeze(text: str) -> str:
    return " ".join(text.split())


def days_named(text: str) -> list[str]:
    """The day each paragraph begins with, the head and the caution left out."""
    return [part[:15].strip() for part in text.split("\n\n")[1:-1]]


@pytest.mark.parametrize(
    "day", [date(2027, 1, 11), date(2027, 1, 15), date(2027, 4, 20), date(2027, 7, 24)]
)
def test_render_today_text_holds_the_week_and_no_more(demo_planned: Planned, day: date) -> None:
    text = render_today_text(on(demo_planned, day))
    week = {say_date(day + timedelta(days=ahead)) for ahead in range(DAYS_AHEAD + 1)}
    named = [part.partition(" (")[0] for part in text.split("\n\n")[1:-1]]

    assert named
    assert [one for one in named if one not in week] == []


def test_render_today_text_town_trips_are_never_left_out(demo_planned: Planned) -> None:
    plan = on(demo_planned, date(2027, 1, 11))
    text = squeeze(render_today_text(plan))
    trips = [
        item
        for item in compute_agenda(plan)
        if item.needs_town and (item.on - plan.as_of).days <= DAYS_AHEAD
    ]

    assert trips
    assert [item.title for item in trips if squeeze(item.title) not in text] == []


@pytest.mark.parametrize("ahead", [0, 7, 8])
def test_render_today_text_last_day_in_force(demo_planned: Planned, ahead: int) -> None:
    """Wren's 24 months end on 31 July 2027; the seventh day after today still counts."""
    plan = on(demo_planned, date(2027, 7, 31) - timedelta(days=ahead))
    text = squeeze(render_today_text(plan))

    assert ("Sat 31 Jul 2027" in text and "last day in force of" in text) == (ahead <= 7)


def test_render_today_text_quiet_week_names_what_is_next(demo_planned: Planned) -> None:
    plan = on(demo_planned, date(2027, 1, 11))
    later = replace(plan, papers=(), jobs=plan.jobs[:1])
    text = render_today_text(later)

    assert "\nNothing this week.\n" in text
    assert "Next: Mon 24 May 2027 (in 133 days): First day of pasture-ne" in text


def test_render_today_text_nothing_at_all(demo_planned: Planned) -> None:
    plan = replace(on(demo_planned, date(2027, 1, 11)), papers=(), jobs=())
    text = render_today_text(plan)

    assert "Next:" not in text
    assert squeeze(text).endswith(f"Nothing this week. {CAUTION}")


def test_render_today_text_late_job_is_on_top(demo_planned: Planned) -> None:
    operation = move_first_spray(demo_planned.plan.operation, date(2027, 2, 10))
    plan = compute_plan(operation, demo_planned.table, demo_planned.log, date(2027, 1, 11))
    text = render_today_text(plan)

    assert text.splitlines()[1].startswith("! pasture-ne has no lawful day left: it ends on Mon 1 ")
    assert "LATE, its last day was" in squeeze(text)


def test_render_today_text_says_every_kind(demo_planned: Planned) -> None:
    """Over a year every kind of item comes up once."""
    kinds = set()
    for week in range(0, 300, 7):
        plan = on(demo_planned, date(2027, 1, 11) + timedelta(days=week))
        # The day to ask comes from the database's logs, which this plan was made without.
        papers = tuple(replace(paper, ask_on=paper.mailed_on) for paper in plan.papers)
        plan = replace(plan, papers=papers)
        render_today_text(plan)
        kinds |= {item.kind for item in compute_agenda(plan)}

    assert kinds == set(ItemKind)


def test_render_today_text_says_why_ask_that_day(demo_shown: Plan) -> None:
    """The words are those of `mailby plan`: the reason stands behind the subject."""
    text = squeeze(render_today_text(replace(demo_shown, as_of=date(2027, 3, 8))))

    assert (
        "Wed 10 Mar 2027 (in 2 days): Ask the office if nothing has come - Exemption for spraying "
        "with unmanned aircraft (the paper is needed then)"
    ) in text
    assert "if nothing has come (the paper is needed then)" in squeeze(render_plan_text(demo_shown))


def test_render_today_text_gives_no_reason_for_a_day_to_ask_that_is_past(demo_shown: Plan) -> None:
    """What set the day matters no more; ask now."""
    text = squeeze(render_today_text(replace(demo_shown, as_of=date(2027, 3, 12))))

    assert (
        "Fri 12 Mar 2027 (today): Ask the office now; the day to ask was Wed 10 Mar 2027 - "
        "Exemption for spraying with unmanned aircraft "
    ) in text
    assert "the paper is needed then" not in text


def test_render_today_text_names_help_once_and_only_where_there_is_some(
    demo_planned: Planned,
) -> None:
    """On 22 May two jobs are late, an office is overdue, and nothing of the plan's kind helps."""
    plan = on(demo_planned, date(2027, 5, 22))
    helped = add_remedies(plan, demo_planned.table, demo_planned.log)
    late = [job.job.id for job in plan.jobs if job.late_by_days]

    silent = squeeze(render_today_text(helped))
    said = squeeze(render_today_text(replace(plan, helped=("pasture-ne",))))

    assert late == ["pasture-ne", "pasture-sd"]
    assert (helped.remedies, helped.helped) == ((), ())
    assert "would help" not in silent
    assert silent.count("not even if the overdue paper came today") == len(late)
    assert (
        "! pasture-ne has no lawful day left, not even if the overdue paper came today: it ends on "
    ) in silent
    assert said.count("! `mailby plan` says what would help pasture-ne") == 1
