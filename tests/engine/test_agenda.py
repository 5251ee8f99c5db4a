"""The plan as a list of days; papers and farm are invented, the days are those of test_plan."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from compliance.engine.agenda import Item, ItemKind, compute_agenda, pick_first_acts, subject_of
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan, TripDay
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.rules.model import RulesTable

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]

AS_OF = date(2027, 1, 11)

LICENSE = """\
  - id: own.license
    title: License
    holder: pilot
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    cite: own
    edition: none
    confidence: second-hand
    steps:
      - {name: sign, title: Sign, kind: act, done_at: farm, event: signed, @own}
      - {name: copy, title: Copy, kind: act, done_at: online, @own}
      - {name: mail, title: Mail, kind: act, calendar: post-office, done_at: post office,
          event: mailed, @own}
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, calendar: federal,
          days: {fast: 5, usual: 10, slow: 20}, event: granted,
          return_path: [send-back, mend, mail, transit, review], @own}
      - {name: mail-back, title: Back, kind: wait, mail: back, @own}
      - {name: send-back, title: Sent back, kind: wait, mail: back, use: after-return,
          event: returned, @own}
      - {name: mend, title: Mend, kind: act, done_at: farm, use: after-return, @own}
"""
HELD = "papers:\n  - {paper: own.license, holder: wren, valid_through: DAY}\n"


@pytest.fixture(name="make_plan")
def plan_maker(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> Callable[..., Plan]:
    def make(log: str = "", *, papers: str = LICENSE, as_of: date = AS_OF, **farm: str) -> Plan:
        operation = make_operation(**farm)
        entries = make_log(operation, log) if log else ()
        return compute_plan(operation, make_table(papers), entries, as_of)

    return make


MakePlan = Callable[..., Plan]


def say(item: Item) -> tuple[str, str, str, str, bool]:
    last = f"{item.last:%m-%d}" if item.last else "-"
    return item.kind.value, f"{item.on:%m-%d}", last, item.title, item.late


def test_agenda_of_a_paper_to_get(make_plan: MakePlan) -> None:
    """Safe day 10 March, last day 3 May, first day of the job 24 May."""
    items = compute_agenda(make_plan())

    assert [say(item) for item in items] == [
        ("do", "03-10", "05-03", "Sign", False),
        ("do", "03-10", "05-03", "Copy", False),
        ("do", "03-10", "05-03", "Mail", False),
        ("last day", "05-03", "05-03", "Last day, no room left: Mail", False),
        ("job", "05-24", "-", "First day of pasture", False),
    ]
    assert [item.key for item in items] == [
        ("do", "own.license:wren", "2027", "sign~1"),
        ("do", "own.license:wren", "2027", "copy~1"),
        ("do", "own.license:wren", "2027", "mail~1"),
        ("last", "own.license:wren", "2027", "mail~1"),
        ("job", "pasture", "2027"),
    ]
    assert [item.subject for item in items] == ["License, Wren Castellow"] * 4 + ["tg46"]
    assert [item.needs_town for item in items] == [False, False, True, True, False]
    assert [item.step.id if item.step else "" for item in items][2] == "own.license:wren/mail"


def test_keys_stay_when_days_move(make_plan: MakePlan) -> None:
    """Faster mail and a closure move days; phones must see the same entries moved."""
    shut = "closures:\n  - {who: field, first_day: 2027-03-08, last_day: 2027-03-13}\n"

    plain, moved = (
        compute_agenda(plan) for plan in (make_plan(), make_plan(service="express", more=shut))
    )

    assert {item.key for item in plain} == {item.key for item in moved}
    assert [item.on for item in plain] != [item.on for item in moved]


def test_past_safe_day_gives_the_first_day_it_can_be_done(make_plan: MakePlan) -> None:
    items = compute_agenda(make_plan(as_of=date(2027, 4, 25)))

    # 25 April is a Sunday: sign at home, mail on Monday.
    assert [say(item) for item in items][:3] == [
        ("do", "04-25", "05-03", "Sign", False),
        ("do", "04-25", "05-03", "Copy", False),
        ("do", "04-26", "05-03", "Mail", False),
    ]


def test_on_the_last_day_there_is_no_second_item(make_plan: MakePlan) -> None:
    items = compute_agenda(make_plan(as_of=date(2027, 5, 3)))

    assert [say(item) for item in items] == [
        ("do", "05-03", "05-03", "Sign", False),
        ("do", "05-03", "05-03", "Copy", False),
        ("do", "05-03", "05-03", "Mail", False),
        ("job", "05-24", "-", "First day of pasture", False),
    ]


def test_after_the_last_day_acts_and_job_are_late(make_plan: MakePlan) -> None:
    items = compute_agenda(make_plan(as_of=date(2027, 5, 4)))

    assert [say(item) for item in items] == [
        ("do", "05-04", "05-03", "Sign", True),
        ("do", "05-04", "05-03", "Copy", True),
        ("do", "05-04", "05-03", "Mail", True),
        ("job", "05-24", "-", "First day of pasture", True),
    ]


def test_packet_at_the_office_is_expected(make_plan: MakePlan) -> None:
    """Mailed 8 January, there and back by 30 January with usual times; see test_plan."""
    plan = make_plan("  - {kind: mailed, paper: own.license, holder: wren, on: 2027-01-08}")

    items = compute_agenda(plan)

    wording = "At usual pace the paper comes about now"
    assert [say(item) for item in items] == [
        ("expect", "01-30", "05-24", wording, False),
        ("job", "05-24", "-", "First day of pasture", False),
    ]
    assert items[0].key == ("expect", "own.license:wren", "2027", "~1")


@pytest.mark.parametrize(
    ("ask_on", "shown", "title"),
    [
        (date(2027, 2, 12), "02-12", "Ask the office if nothing has come"),
        (date(2027, 1, 11), "01-11", "Ask the office if nothing has come"),
        (date(2027, 1, 8), "01-11", "Ask the office now; the day to ask was Fri 8 Jan 2027"),
    ],
)
def test_packet_at_the_office_is_asked_about(
    make_plan: MakePlan, ask_on: date, shown: str, title: str
) -> None:
    """On the day to ask, and every day after it until something comes; the key never moves."""
    plan = make_plan("  - {kind: mailed, paper: own.license, holder: wren, on: 2027-01-08}")
    papers = tuple(replace(paper, ask_on=ask_on) for paper in plan.papers)

    items = compute_agenda(replace(plan, papers=papers))

    (item,) = [item for item in items if item.kind is ItemKind.ASK]
    assert say(item) == ("ask", shown, "-", title, False)
    assert item.key == ("ask", "own.license:wren", "2027", "~1")


def test_second_mailing_keeps_the_keys_of_the_first(make_plan: MakePlan) -> None:
    """So that a return moves the entries on a calendar."""
    log = """\
  - {kind: mailed, paper: own.license, holder: wren, on: 2026-11-30}
  - {kind: returned, paper: own.license, holder: wren, on: 2027-01-06, reason: no date}
"""
    to_mend = compute_agenda(make_plan(log))
    mailed = compute_agenda(
        make_plan(log + "  - {kind: mailed, paper: own.license, holder: wren, on: 2027-01-08}")
    )

    assert [item.key[-1] for item in to_mend] == ["mend~1", "mail~1", "mail~1", "2027"]
    assert [item.key for item in mailed if item.kind is ItemKind.EXPECT] == [
        ("expect", "own.license:wren", "2027", "~1")
    ]


@pytest.mark.parametrize(
    ("through", "shown"),
    [("2027-01-11", True), ("2027-01-10", False), ("2028-06-30", True)],
)
def test_last_day_in_force_is_shown_until_it_is_past(
    make_plan: MakePlan, through: str, *, shown: bool
) -> None:
    items = compute_agenda(make_plan(more=HELD.replace("DAY", through)))

    ends = [item for item in items if item.kind is ItemKind.RUNS_OUT]
    assert [(str(item.on), item.key, item.title) for item in ends] == [
        (through, ("runs-out", "own.license:wren", through[:4]), "Last day in force")
    ] * shown


def test_review_without_an_answer_is_not_expected(make_plan: MakePlan) -> None:
    papers = LICENSE.replace("event: granted,\n", "\n")
    log = "  - {kind: mailed, paper: own.license, holder: wren, on: 2027-01-08}"

    kinds = [item.kind for item in compute_agenda(make_plan(log, papers=papers))]

    assert kinds == [ItemKind.JOB]


def test_same_day_keeps_the_order_of_the_plan(make_plan: MakePlan) -> None:
    jobs = "- {id: one, first_day: 2027-05-24, last_day: 2027-05-28, state: NE, for_hire: yes, "
    jobs += "restricted_use: no, aircraft: [tg46, tg18], pilots: [odile, wren]}"

    items = compute_agenda(make_plan(jobs=jobs))

    titles = [(item.subject.rpartition(" ")[2], item.title) for item in items]
    assert titles[:6] == [
        (name, title) for name in ("Ferrant", "Castellow") for title in ("Sign", "Copy", "Mail")
    ]
    assert items[-1].subject == "tg46, tg18"


def test_first_acts_are_one_at_home_and_all_in_town(make_plan: MakePlan) -> None:
    kept = pick_first_acts(compute_agenda(make_plan()))

    assert [item.title for item in kept] == [
        "Sign",
        "Mail",
        "Last day, no room left: Mail",
        "First day of pasture",
    ]


def test_first_acts_are_all_that_wait_for_no_act(make_plan: MakePlan) -> None:
    """Copying waits for nothing, so it can be begun beside signing; stapling waits for both."""
    papers = LICENSE.replace("done_at: online, @own", "done_at: online, after: [], @own").replace(
        "      - {name: mail,",
        "      - {name: staple, title: Staple, kind: act, done_at: farm, after: [sign, copy], @own}"
        "\n      - {name: mail,",
    )

    kept = pick_first_acts(compute_agenda(make_plan(papers=papers)))

    assert [item.title for item in kept] == [
        "Sign",
        "Copy",
        "Mail",
        "Last day, no room left: Mail",
        "First day of pasture",
    ]


def test_first_acts_go_on_to_the_next_when_one_is_done(make_plan: MakePlan) -> None:
    plan = make_plan("  - {kind: signed, paper: own.license, holder: wren, on: 2027-01-08}")

    kept = pick_first_acts(compute_agenda(plan))

    assert [item.title for item in kept][:2] == ["Copy", "Mail"]


def test_first_acts_of_a_second_round_are_its_own(make_plan: MakePlan) -> None:
    log = """\
  - {kind: mailed, paper: own.license, holder: wren, on: 2026-11-30}
  - {kind: returned, paper: own.license, holder: wren, on: 2027-01-06, reason: no date}
"""
    kept = pick_first_acts(compute_agenda(make_plan(log)))

    assert [item.title for item in kept][:2] == ["Mend", "Mail"]


def test_acts_before_are_the_acts_waited_for_however_far_back(make_plan: MakePlan) -> None:
    (paper,) = make_plan().papers
    mail, sign = paper.find_step("mail"), paper.find_step("sign")
    assert mail is not None
    assert sign is not None

    assert [step.row.name for step in paper.acts_before(mail)] == ["sign", "copy"]
    assert paper.acts_before(sign) == ()


def test_paper_is_mailed_when_a_step_travels_out(make_plan: MakePlan) -> None:
    filed = LICENSE.replace("kind: wait, mail: out,", "kind: wait, days: 1,")

    is_mailed = [make_plan(papers=papers).papers[0].is_mailed for papers in (LICENSE, filed)]

    assert is_mailed == [True, False]


def test_subject_of_an_operations_paper_is_its_title(make_plan: MakePlan) -> None:
    plan = make_plan(papers=LICENSE.replace("holder: pilot", "holder: operation"))

    assert subject_of(plan, plan.papers[0]) == "License"


def test_act_on_a_trip_has_one_day_and_its_limit(make_plan: MakePlan) -> None:
    """The safe day, 19 April, moves to what the trip leaves for it; the day is that of the trip."""
    plan = make_plan()
    step = next(one for paper in plan.papers for one in paper.steps if one.row.name == "mail")
    assert step.safe is not None
    on, by = date(2027, 1, 20), step.safe - timedelta(days=1)
    with_trip = replace(plan, trip_days={step.id: TripDay(first=on, on=on, by=by, is_safe=True)})
    tight = replace(plan, trip_days={step.id: TripDay(first=on, on=on, by=by, is_safe=False)})

    def days(one: Plan) -> list[tuple[date, date, date | None]]:
        items = [item for item in compute_agenda(one) if item.kind is ItemKind.DO and item.step]
        return [(i.day, i.on, i.trip) for i in items if i.step is not None and i.step.id == step.id]

    assert days(plan) == [(step.safe, step.safe, None)]
    assert days(with_trip) == [(on, by, on)]
    assert days(tight) == [(on, on, on)]
