"""What would help; each remedy is compared with a plan made anew with that one thing changed."""

from collections.abc import Callable
from datetime import date

import pytest

from compliance.engine.plan import compute_plan, move_first_spray
from compliance.engine.plan_model import Plan, Remedy
from compliance.engine.remedies import add_remedies
from compliance.engine.what_if import apply_wish
from compliance.engine.wish import Wish
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.facts.places import PlaceKind
from compliance.rules.model import RulesTable

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]

LICENSE = """\
  - id: own.license
    title: License
    holder: operation
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    cite: own
    edition: none
    confidence: second-hand
    steps:
      - {name: seal, title: Seal, kind: act, calendar: notary, done_at: notary, event: notarized,
          @own}
      - {name: mail, title: Mail, kind: act, calendar: post-office, done_at: post office,
          event: mailed, @own}
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, calendar: federal,
          days: {fast: 5, usual: 10, slow: 20}, event: granted, @own}
"""
TUESDAYS = "notary_days: [tue]\n"

EXPRESS = "send every packet by Priority Mail Express"
NOTARY = PlaceKind.NOTARY


@pytest.fixture(name="make_plan")
def plan_maker(make_table: MakeTable, make_operation: MakeOperation) -> Callable[..., Plan]:
    def make(*, as_of: date, papers: str = LICENSE, **farm: str) -> Plan:
        table = make_table(papers)
        log: tuple[LogEntry, ...] = ()
        return add_remedies(compute_plan(make_operation(**farm), table, log, as_of), table, log)

    return make


MakePlan = Callable[..., Plan]


def test_plan_in_time_needs_no_remedy(make_plan: MakePlan) -> None:
    """Postal 27-29 April, 10 federal days from 30 April to 13 May: in time for the 24th."""
    plan = make_plan(as_of=date(2027, 4, 26), more=TUESDAYS)

    assert plan.remedies == ()


def test_remedies_with_the_days_they_gain(make_plan: MakePlan) -> None:
    """On Wednesday 12 May the notary is next there on Tuesday 18 May.

    As it is: postal 19-21; federal 24-28 May, 1-4, 7 June.
    Express, one postal day: 19; federal 20, 21, 24-28 May, 1-3 June. Memorial Day is 31 May.
    A notary today: postal 13-15; federal 17-21, 24-28 May. Both: 13; federal 14, 17-21, 24-27 May.
    """
    plan = make_plan(as_of=date(2027, 5, 12), more=TUESDAYS)

    notary = "find a notary that is open on Wed 12 May 2027"
    others = ((NOTARY, date(2027, 5, 12)),)
    assert plan.jobs[0].first_lawful_day == date(2027, 6, 7)
    assert plan.remedies == (
        Remedy(
            job="pasture",
            what=EXPRESS,
            first_lawful_day=date(2027, 6, 3),
            days_gained=4,
            enough=False,
        ),
        Remedy(
            job="pasture",
            what=notary,
            first_lawful_day=date(2027, 5, 28),
            days_gained=10,
            enough=False,
            others=others,
        ),
        Remedy(
            job="pasture",
            what=f"{EXPRESS}, and {notary}",
            first_lawful_day=date(2027, 5, 27),
            days_gained=11,
            enough=False,
            others=others,
        ),
        Remedy(
            job="pasture",
            what="begin pasture on Mon 7 Jun 2027 instead of Mon 24 May 2027",
            first_lawful_day=date(2027, 6, 7),
            days_gained=0,
            enough=True,
        ),
    )


def test_remedy_that_is_enough(make_plan: MakePlan) -> None:
    """On Wednesday 5 May; the notary comes on Tuesday 11: postal 12-14; 17-21, 24-28 May.

    A notary today: postal 6-8; federal 10-14, 17-21 May. Both bring it no sooner into time.
    """
    plan = make_plan(as_of=date(2027, 5, 5), more=TUESDAYS)

    assert [(one.what, one.enough) for one in plan.remedies] == [
        (EXPRESS, False),
        ("find a notary that is open on Wed 5 May 2027", True),
        ("begin pasture on Fri 28 May 2027 instead of Mon 24 May 2027", True),
    ]


def test_closures_of_field_and_notary_are_given_up_only_in_the_remedy(make_plan: MakePlan) -> None:
    """Nobody can leave before 20 May; a closed office cannot be helped.

    To go after all is of use on 14 May, when the notary is there, and on 12 May with another one.
    """
    more = """\
closures:
  - {who: field, first_day: 2027-05-10, last_day: 2027-05-19}
  - {who: notary, first_day: 2027-05-12, last_day: 2027-05-13}
  - {who: federal, first_day: 2027-05-17, last_day: 2027-05-17}
"""
    plan = make_plan(as_of=date(2027, 5, 12), more=more)

    after_all = (
        "go to town on {} after all "
        "(nobody can leave the field, Mon 10 May 2027 to Wed 19 May 2027)"
    )
    another = "find a notary that is open on Wed 12 May 2027"
    # On the 14th: postal 15, 17, 18; federal 19-21, 24-28 May, 1, 2 June.
    # On the 12th: postal 13-15, federal 18-21, 24-28 May, 1 June.
    assert [(one.what, one.first_lawful_day) for one in plan.remedies[1:3]] == [
        (after_all.format("Fri 14 May 2027"), date(2027, 6, 2)),
        (
            f"{after_all.format('Wed 12 May 2027')}, and {another}",
            date(2027, 6, 1),
        ),
    ]


def test_closure_of_the_vehicle_is_named_and_given_up(make_plan: MakePlan) -> None:
    """Nobody can drive before 20 May; the remedy is the same day as for the field, and says why."""
    more = """\
closures:
  - {who: vehicle, first_day: 2027-05-10, last_day: 2027-05-19, why: in the shop}
  - {who: vehicle, first_day: 2027-12-01, last_day: 2027-12-02, why: inspection}
"""
    plan = make_plan(as_of=date(2027, 5, 12), more=more)

    what = (
        "go to town on Wed 12 May 2027 after all (in the shop, Mon 10 May 2027 to Wed 19 May 2027)"
    )
    assert [one.what for one in plan.remedies][1:3] == [what, f"{EXPRESS}, and {what}"]


def test_only_closures_in_the_way_of_an_act_are_named_and_given_up(make_plan: MakePlan) -> None:
    """To town at once is on 12 May, within the first closure; the others harm nothing in town.

    Before, every closure up to the first lawful day was named. The second lies in the days the
    office has the paper; the third is a day before which all is mailed.
    """
    more = """\
closures:
  - {who: field, first_day: 2027-05-10, last_day: 2027-05-14, why: planting}
  - {who: vehicle, first_day: 2027-05-20, last_day: 2027-05-22, why: in the shop}
  - {who: field, first_day: 2027-05-25, last_day: 2027-05-26, why: calving}
"""
    plan = make_plan(as_of=date(2027, 5, 12), more=more)

    what = "go to town on Wed 12 May 2027 after all (planting, Mon 10 May 2027 to Fri 14 May 2027)"
    assert [one.what for one in plan.remedies][1:3] == [what, f"{EXPRESS}, and {what}"]


def test_closure_that_costs_no_day_is_not_named(make_plan: MakePlan) -> None:
    """Today is closed, but what is mailed tomorrow, Saturday, is lawful on the same day.

    From Friday 14 May: postal 15, 17, 18; from Saturday 15: 17-19. The office is closed to the
    19th, so its ten days begin on 20 May either way.
    """
    online = LICENSE.replace("calendar: notary, done_at: notary", "done_at: online")
    more = """\
notary_days: [tue]
post_office_days: [fri]
closures:
  - {who: field, first_day: 2027-05-14, last_day: 2027-05-14, why: planting}
  - {who: federal, first_day: 2027-05-14, last_day: 2027-05-19}
"""
    plan = make_plan(as_of=date(2027, 5, 14), papers=online, more=more)

    assert [one.what for one in plan.remedies][1:3] == [
        "go to town on Fri 14 May 2027 after all (planting, Fri 14 May 2027)",
        "find a post office that is open on Sat 15 May 2027",
    ]


def test_changes_that_gain_nothing_are_left_out(make_plan: MakePlan) -> None:
    """Only the office's own time is missing: faster mail and more trips do not help."""
    online = (
        LICENSE.replace("calendar: notary, done_at: notary", "done_at: online")
        .replace("calendar: post-office, done_at: post office", "done_at: online")
        .replace("mail: out, event: received", "days: 0")
    )

    plan = make_plan(as_of=date(2027, 5, 12), papers=online, more=TUESDAYS)

    assert [one.days_gained for one in plan.remedies] == [0]


def test_changes_that_are_there_already_are_not_tried(make_plan: MakePlan) -> None:
    plan = make_plan(as_of=date(2027, 5, 12), service="express")

    # The notary is there on all five days, the counter on six, and nothing is closed.
    assert [one.what for one in plan.remedies] == [
        "begin pasture on Thu 27 May 2027 instead of Mon 24 May 2027"
    ]


def test_each_late_job_is_helped_the_latest_first(make_plan: MakePlan) -> None:
    jobs = """\
  - {id: second, first_day: 2027-05-25, last_day: 2027-05-29, @job}
  - {id: first, first_day: 2027-05-20, last_day: 2027-05-28, @job}
"""
    plan = make_plan(as_of=date(2027, 5, 12), jobs=jobs)

    assert [job.late_by_days for job in plan.jobs] == [3, 8]
    # 12 May: postal 13-15; federal 17-21, 24-28 May.
    assert [(one.job, one.what, one.first_lawful_day) for one in plan.remedies] == [
        ("first", EXPRESS, date(2027, 5, 27)),
        ("second", EXPRESS, date(2027, 5, 27)),
        ("first", "begin first on Fri 28 May 2027 instead of Thu 20 May 2027", date(2027, 5, 28)),
        ("second", "begin second on Fri 28 May 2027 instead of Tue 25 May 2027", date(2027, 5, 28)),
    ]
    assert plan.unhelped == ()


def test_job_that_has_no_lawful_day_left_is_named(make_plan: MakePlan) -> None:
    """28 May is after the latest job, and a day of the other; with an earlier end nothing helps."""
    jobs = """\
  - {id: second, first_day: 2027-05-25, last_day: 2027-05-29, @job}
  - {id: first, first_day: 2027-05-20, last_day: 2027-05-24, @job}
"""
    plan = make_plan(as_of=date(2027, 5, 12), jobs=jobs)
    over = make_plan(as_of=date(2027, 5, 12), jobs=jobs.replace("05-29", "05-26"))

    assert [job.late_by_days for job in plan.jobs] == [3, 8]
    assert {one.job for one in plan.remedies} == {"second"}
    assert plan.remedies[-1].what == "begin second on Fri 28 May 2027 instead of Tue 25 May 2027"
    assert all(one.first_lawful_day <= date(2027, 5, 29) for one in plan.remedies)
    assert plan.unhelped == ("first",)
    # By express mail the first lawful day is the 27th (`test_changes_that_are_there_already`).
    assert (over.remedies, over.unhelped) == ((), ("first", "second"))


def test_job_that_has_begun_is_helped_when_it_may_go_on_today(make_plan: MakePlan) -> None:
    """Only the notary is missing, who comes on Tuesdays; today is Wednesday 26 May."""
    sealed = LICENSE[: LICENSE.index("      - {name: mail")]

    plan = make_plan(as_of=date(2027, 5, 26), papers=sealed, more=TUESDAYS)

    assert plan.remedies == (
        Remedy(
            job="pasture",
            what="find a notary that is open on Wed 26 May 2027",
            first_lawful_day=date(2027, 5, 26),
            days_gained=6,
            enough=True,
            others=((NOTARY, date(2027, 5, 26)),),
        ),
        Remedy(
            job="pasture",
            what="begin pasture on Tue 1 Jun 2027 instead of Mon 24 May 2027",
            first_lawful_day=date(2027, 6, 1),
            days_gained=0,
            enough=True,
        ),
    )


def test_later_first_spray_is_a_plan_of_its_own(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    operation, table, as_of = make_operation(), make_table(LICENSE), date(2027, 5, 12)
    late = compute_plan(operation, table, (), as_of)

    moved = move_first_spray(operation, late.jobs[0].first_lawful_day)

    again = compute_plan(moved, table, (), as_of)
    assert [job.late_by_days for job in again.jobs] == [0]
    assert add_remedies(again, table, ()).remedies == ()


NO_TIME = """\
closures:
  - {who: field, first_day: 2027-05-10, last_day: 2027-05-19, why: planting}
"""


@pytest.mark.parametrize(
    ("is_filed", "before", "after", "words"),
    [
        # Filed on the 20th: federal 21, 24-28 May, 1-4 June; on the 12th: 13, 14, 17-21, 24-26.
        (
            True,
            date(2027, 6, 4),
            date(2027, 5, 26),
            (
                "somebody leaves other work on Wed 12 May 2027 after all, for what is done at home "
                "or online"
            ),
        ),
        # Mailed on the 20th: postal 21, 22, 24; federal 25-28 May, 1-4, 7, 8 June.
        # On the 12th: postal 13-15; federal 17-21, 24-28 May.
        (
            False,
            date(2027, 6, 8),
            date(2027, 5, 28),
            "somebody goes to town on Wed 12 May 2027 after all, to the post office",
        ),
    ],
)
def test_leaving_other_work_really_done_gives_the_day_promised(
    make_table: MakeTable,
    make_operation: MakeOperation,
    is_filed: bool,
    before: date,
    after: date,
    words: str,
) -> None:
    """What is done at home asks for a day without planting; so does the drive of the same day."""
    papers = LICENSE.replace("calendar: notary, done_at: notary", "calendar: field, done_at: farm")
    if is_filed:
        papers = papers.replace(
            "calendar: post-office, done_at: post office", "done_at: online"
        ).replace("mail: out, event: received", "days: 0")
    table, operation, day = make_table(papers), make_operation(more=NO_TIME), date(2027, 5, 12)
    plan = add_remedies(compute_plan(operation, table, (), day), table, ())

    (remedy,) = [one for one in plan.remedies if one.trips and "Express" not in one.what]
    changed = apply_wish(plan, table, (), Wish(trips=remedy.trips))
    done = compute_plan(changed.operation, table, (), day)

    assert plan.jobs[0].first_lawful_day == before
    assert (remedy.what, remedy.first_lawful_day) == (
        (
            "leave other work on Wed 12 May 2027 after all (planting, Mon 10 May 2027 to Wed 19 "
            "May 2027)"
        ),
        after,
    )
    assert changed.words == (words,)
    assert done.jobs[0].first_lawful_day == after


def test_drive_to_a_place_open_every_day_is_in_the_way_of_a_shut_vehicle(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    """An act in town that counts every day waits for the vehicle; before, its closure was kept.

    Notice from the 20th: postal 21, 22, 24; federal 25-28 May, 1-4, 7, 8 June.
    """
    papers = LICENSE.replace("calendar: notary, done_at: notary", "done_at: town hall").replace(
        "calendar: post-office, done_at: post office", "done_at: bank"
    )
    table, day = make_table(papers), date(2027, 5, 12)
    operation = make_operation(more=NO_TIME.replace("field", "vehicle"))
    plan = add_remedies(compute_plan(operation, table, (), day), table, ())

    assert plan.jobs[0].first_lawful_day == date(2027, 6, 8)
    (remedy,) = [one for one in plan.remedies if one.trips and "Express" not in one.what]
    assert (remedy.what, remedy.first_lawful_day) == (
        "go to town on Wed 12 May 2027 after all (planting, Mon 10 May 2027 to Wed 19 May 2027)",
        date(2027, 5, 28),
    )
