"""The plan from the database, and finding what a name means."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import pytest
from sqlmodel import Session

from compliance.app.demo import DEMO_DAY
from compliance.app.planning import Planned, explain, find_paper, make_plan
from compliance.base.problems import NotFoundError, RefusedError
from compliance.engine.explain import is_on_its_way
from compliance.engine.plan_model import Plan
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.store.records import append_log
from compliance.store.repository import load_operation, save_operation
from compliance.store.session import open_session

PACKET = "faa.registration-n:tg46"
SAFE_DAY = "What sets the safe day (slow times, this packet comes back once)"


@pytest.fixture
def session(demo_operation: Operation, demo_log: tuple[LogEntry, ...]) -> Iterator[Session]:
    with open_session(":memory:") as opened:
        save_operation(opened, demo_operation, namespace="n")
        append_log(opened, demo_operation.id, demo_log)
        yield opened


def test_make_plan_is_the_one_made_without_a_database(
    session: Session, demo_planned: Planned
) -> None:
    """The rows of states that nothing names are left out; every paper, day and word is the same."""
    made = make_plan(session, None, DEMO_DAY, with_remedies=True, with_follow_ups=False)

    known = {row.id for row in made.table.papers}
    whole = demo_planned.plan.verdicts
    left_out = [one for one in whole if one.paper.id not in known]
    kept = tuple(one for one in whole if one.paper.id in known)
    assert left_out
    assert not any(one.applies for one in left_out)
    assert made.plan == replace(demo_planned.plan, verdicts=kept)
    assert made.log == demo_planned.log
    assert set(made.table.rows) < set(demo_planned.table.rows)


def test_make_plan_other_first_spray_keeps_nothing(
    session: Session, demo_operation: Operation
) -> None:
    plan = make_plan(session, None, DEMO_DAY, first_spray=date(2027, 2, 10)).plan

    assert plan.jobs[0].job.first_day == date(2027, 2, 10)
    assert load_operation(session, demo_operation.id) == demo_operation


def test_make_plan_first_spray_past_is_refused(session: Session) -> None:
    with pytest.raises(RefusedError) as caught:
        make_plan(session, None, DEMO_DAY, first_spray=date(2027, 1, 10))

    assert caught.value.message == (
        "the first spray Sun 10 Jan 2027 is past; today is Mon 11 Jan 2027"
    )


def test_make_plan_first_spray_today_is_not_past(session: Session) -> None:
    plan = make_plan(session, None, DEMO_DAY, first_spray=DEMO_DAY).plan

    assert min(job.job.first_day for job in plan.jobs) == DEMO_DAY


def test_find_paper_by_packet_or_by_its_only_holder(demo_plan: Plan) -> None:
    packet = find_paper(demo_plan, "faa.registration-n:tg46")

    assert packet.id == "faa.registration-n:tg46"
    assert find_paper(demo_plan, "faa.registration-n") is packet


def test_find_paper_of_several_holders_names_them(demo_plan: Plan) -> None:
    with pytest.raises(NotFoundError) as caught:
        find_paper(demo_plan, "faa.remote-pilot")

    assert caught.value.message == "faa.remote-pilot has several holders"
    assert caught.value.hint == "name one of: faa.remote-pilot:odile, faa.remote-pilot:wren"


def test_find_paper_not_needed_points_to_why(demo_planned: Planned, demo_plan: Plan) -> None:
    name = next(
        verdict.paper.id
        for verdict in demo_plan.verdicts
        if not verdict.applies and demo_plan.find_paper(verdict.paper.id) is None
    )

    with pytest.raises(NotFoundError) as caught:
        find_paper(demo_plan, name)

    assert caught.value.hint == f"mailby why {name} says why"
    assert "is not needed" in explain(demo_planned, name)[0].answer


def test_find_paper_misspelt_gives_a_hint(demo_plan: Plan) -> None:
    with pytest.raises(NotFoundError) as caught:
        find_paper(demo_plan, "faa.exemtion")

    assert caught.value.message == "no paper is called 'faa.exemtion'"
    assert caught.value.hint == "did you mean `faa.exemption`?"


def test_explain_knows_every_name_the_plan_shows(demo_planned: Planned, demo_plan: Plan) -> None:
    names = [paper.id for paper in demo_plan.papers]
    names.extend(step.id for paper in demo_plan.papers for step in paper.steps)
    names.extend(verdict.paper.id for verdict in demo_plan.verdicts)
    names.extend(step.row.id for paper in demo_plan.papers for step in paper.steps)

    answers = {name: explain(demo_planned, name) for name in names}

    assert len(names) > 100
    assert all(one and one[0].answer for one in answers.values())


def test_explain_step_without_round_means_the_present_one(demo_planned: Planned) -> None:
    present = explain(demo_planned, "faa.registration-n:tg46/mail")

    first = explain(demo_planned, "faa.registration-n:tg46/mail~1")[0].answer

    assert present == explain(demo_planned, "faa.registration-n:tg46/mail~2")
    assert "done on Mon 30 Nov 2026" in first


@pytest.mark.parametrize("name", ["", "/", "~", "faa.", "faa.exemption/", "faa.exemption/~9", ":"])
def test_explain_unknown_name_is_not_found(demo_planned: Planned, name: str) -> None:
    with pytest.raises(NotFoundError) as caught:
        explain(demo_planned, name)

    assert caught.value.message == f"nothing in the plan is called {name!r}"
    assert caught.value.hint


def test_explain_step_ends_at_its_safe_day(demo_planned: Planned, demo_plan: Plan) -> None:
    """The plan has worked the safe day out by itself; the chain must lead to the same day.

    The safe day of a wait is its end: the day of the line below it.
    """
    steps = [step for paper in demo_plan.papers for step in paper.steps]
    open_steps = [step for step in steps if not is_on_its_way(demo_plan, step)]
    to_do = {one.id: one for one in open_steps if one.done_on is None and one.safe is not None}

    chains = {name: dict(explain(demo_planned, name)[0].sections)[SAFE_DAY] for name in to_do}

    assert len(to_do) > 20
    assert {name: chain[0].step_id for name, chain in chains.items()} == {n: n for n in to_do}
    assert {name: chain[to_do[name].days > 0].day for name, chain in chains.items()} == {
        name: step.safe for name, step in to_do.items()
    }


def test_explain_step_done_has_no_safe_day(demo_planned: Planned, demo_plan: Plan) -> None:
    steps = [step for paper in demo_plan.papers for step in paper.steps]
    done = [step.id if "~" in step.id else f"{step.id}~1" for step in steps if step.done_on]

    headings = {name: dict(explain(demo_planned, name)[0].sections).keys() for name in done}

    assert f"{PACKET}/mail~1" in done
    assert [name for name in done if SAFE_DAY in headings[name]] == []


def test_explain_wait_of_a_packet_on_its_way_has_no_safe_day(
    demo_planned: Planned, demo_plan: Plan
) -> None:
    """Nobody can send it off earlier any more."""
    steps = [step for paper in demo_plan.papers for step in paper.steps]
    waits = [step.id for step in steps if is_on_its_way(demo_plan, step)]

    explained = {name: explain(demo_planned, name)[0] for name in waits}

    assert waits
    assert [name for name in waits if SAFE_DAY in dict(explained[name].sections)] == []
    assert [name for name in waits if " must be over by " not in explained[name].answer] == []


def test_explain_packet_has_the_safe_day_of_its_mailing(
    demo_planned: Planned, demo_plan: Plan
) -> None:
    """Counted by hand from the table's slow times, the spare return in the middle.

    8 postal days in the mail, 45 calendar days at the Registry, 8 postal days back, all again from
    Tuesday 15 December, then 15 federal business days, over Washington's Birthday.
    """
    (explanation,) = explain(demo_planned, PACKET)
    (of_mailing,) = explain(demo_planned, f"{PACKET}/mail")

    chain = dict(explanation.sections)[SAFE_DAY]

    assert chain == dict(of_mailing.sections)[SAFE_DAY]
    assert chain[0].day == find_paper(demo_plan, PACKET).mail_safe
    assert [(reason.step_id.partition("/")[2], reason.day) for reason in chain[:13]] == [
        ("mail~2", date(2026, 10, 13)),
        ("transit~2", date(2026, 10, 13)),
        ("review~2", date(2026, 10, 22)),
        ("return-mail~3", date(2026, 12, 6)),
        ("mend~3", date(2026, 12, 15)),
        ("sign~3", date(2026, 12, 15)),
        ("notarize~3", date(2026, 12, 15)),
        ("check~3", date(2026, 12, 15)),
        ("mail~3", date(2026, 12, 15)),
        ("transit~3", date(2026, 12, 15)),
        ("review~3", date(2026, 12, 24)),
        ("mail-back", date(2027, 2, 7)),
        ("in-hand", date(2027, 3, 1)),
    ]


def test_make_plan_no_jobs_needs_nothing(demo_operation: Operation) -> None:
    with open_session(":memory:") as session:
        save_operation(session, replace(demo_operation, jobs=()), namespace="n")
        plan = make_plan(session, None, DEMO_DAY, with_remedies=True).plan

    assert (plan.jobs, plan.papers, plan.remedies) == ((), (), ())
