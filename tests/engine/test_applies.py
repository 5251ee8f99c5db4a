"""Which papers apply to whom; the papers are invented."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from compliance.engine.applies import (
    Verdict,
    compute_verdicts,
    find_holder_subjects,
    find_subjects,
    holder_of,
    row_holds_for,
)
from compliance.facts.conditions import Finding
from compliance.facts.model import Holder, HolderKind, Operation
from compliance.rules.model import RulesTable

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]

PAPERS = """\
  - {id: own.policy, title: Policy, holder: operation, why: w, office: own.office,
      validity: {kind: open-ended}, @own}
  - {id: own.heavy, title: Heavy, holder: aircraft, why: w, office: own.office,
      when: [{aircraft.takeoff_weight_lb: at least 55}, {job.state: NE}],
      validity: {kind: open-ended}, @own}
  - {id: own.license, title: License, holder: pilot, why: w, office: own.office,
      when: [{any: [{job.for_hire: yes}, {job.restricted_use: yes}]}],
      validity: {kind: open-ended}, @own}
"""

THREE_JOBS = """\
  - {id: hired, first_day: 2027-05-24, last_day: 2027-05-28, state: NE, for_hire: yes,
      restricted_use: no, aircraft: [tg46, tg18], pilots: [odile, wren]}
  - {id: own, first_day: 2027-06-01, last_day: 2027-06-02, state: NE, for_hire: no,
      restricted_use: no, aircraft: tg18, pilots: wren}
  - {id: away, first_day: 2027-06-07, last_day: 2027-06-08, state: SD, for_hire: yes,
      restricted_use: yes, aircraft: tg46, pilots: wren}
"""

OPERATION = Holder(kind=HolderKind.OPERATION)
TG46 = Holder(kind=HolderKind.AIRCRAFT, ref="tg46")
TG18 = Holder(kind=HolderKind.AIRCRAFT, ref="tg18")
ODILE = Holder(kind=HolderKind.PILOT, ref="odile")
WREN = Holder(kind=HolderKind.PILOT, ref="wren")


def say(verdict: Verdict) -> tuple[str, Holder, tuple[str, ...], tuple[str, ...]]:
    found = tuple(str(finding) for finding in verdict.findings)
    return verdict.paper.id, verdict.holder, verdict.jobs, found


def test_verdicts_of_every_holder_with_jobs_and_reasons(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    verdicts = compute_verdicts(make_operation(THREE_JOBS), make_table(PAPERS))

    weight = "take-off weight with full tank and batteries"
    heavy = (
        f"{weight}: 118 lb, and the rule asks for at least 55 lb",
        "state the job is in: NE, and the rule asks for NE",
    )
    light = (f"{weight}: 49 lb, but the rule asks for at least 55 lb",)
    hired = ("job is for hire: yes, and the rule asks for yes",)
    assert [say(verdict) for verdict in verdicts] == [
        ("own.policy", OPERATION, ("hired", "own", "away"), ()),
        ("own.heavy", TG46, ("hired",), heavy),
        ("own.heavy", TG18, (), light),
        ("own.license", ODILE, ("hired",), hired),
        ("own.license", WREN, ("hired", "away"), hired),
    ]
    assert [verdict.applies for verdict in verdicts] == [True, True, False, True, True]


def test_reason_against_is_the_shortest_of_all_jobs(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    """In the first job two things stand against the paper, in the second only one."""
    jobs = """\
  - {id: own, first_day: 2027-06-01, last_day: 2027-06-02, state: SD, for_hire: no,
      restricted_use: no, aircraft: tg18, pilots: wren}
  - {id: near, first_day: 2027-06-03, last_day: 2027-06-04, state: NE, for_hire: no,
      restricted_use: no, aircraft: tg18, pilots: wren}
"""

    verdicts = compute_verdicts(make_operation(jobs), make_table(PAPERS))

    light = Finding("aircraft.takeoff_weight_lb", "at least 55 lb", "49 lb", holds=False)
    by_paper = {verdict.paper.id: verdict.findings for verdict in verdicts}
    assert by_paper["own.heavy"] == (light,)
    assert by_paper["own.license"] == (
        Finding("job.for_hire", "yes", "no", holds=False),
        Finding("job.restricted_use", "yes", "no", holds=False),
    )


def test_the_edition_in_force_on_the_jobs_first_day_is_asked(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    row = """\
  - {id: own.fee, title: TITLE, holder: operation, why: w, office: own.office,
      validity: {kind: open-ended}, SPAN, @own}
"""
    old = row.replace("TITLE", "Old").replace("SPAN", "applies_until: 2027-05-31")
    new = row.replace("TITLE", "New").replace("SPAN", "applies_from: 2027-06-01")
    jobs = "- {id: one, first_day: DAY, last_day: 2027-07-01, @job}"

    titles = [
        [
            one.paper.title
            for one in compute_verdicts(make_operation(jobs.replace("DAY", day)), table)
        ]
        for table in (make_table(old + new), make_table(new))
        for day in ("2027-05-31", "2027-06-01")
    ]

    assert titles == [["Old"], ["New"], [], ["New"]]


def test_subjects_are_aircraft_by_pilot_in_the_order_of_the_job(
    make_operation: MakeOperation,
) -> None:
    operation = make_operation(THREE_JOBS)

    pairs = [(one.aircraft.id, one.pilot.id) for one in find_subjects(operation, operation.jobs[0])]

    assert pairs == [("tg46", "odile"), ("tg46", "wren"), ("tg18", "odile"), ("tg18", "wren")]


def test_subjects_pass_over_names_the_file_lacks(make_operation: MakeOperation) -> None:
    operation = make_operation(THREE_JOBS)
    job = replace(operation.jobs[0], aircraft=("sold", "tg18"), pilots=("left", "wren"))

    pairs = [(one.aircraft.id, one.pilot.id) for one in find_subjects(operation, job)]

    assert pairs == [("tg18", "wren")]


def test_holder_subjects_are_those_of_the_jobs_asked_about(make_operation: MakeOperation) -> None:
    operation = make_operation(THREE_JOBS)

    wrens = find_holder_subjects(operation, WREN, ("own", "away"))
    odiles = find_holder_subjects(operation, ODILE, ("own", "away"))

    assert [(one.job.id, one.aircraft.id) for one in wrens] == [("own", "tg18"), ("away", "tg46")]
    assert odiles == ()


def test_holder_of_each_kind(make_operation: MakeOperation) -> None:
    operation = make_operation(THREE_JOBS)
    (subject,) = find_subjects(operation, operation.jobs[1])

    holders = [holder_of(kind, subject) for kind in HolderKind]

    assert holders == [OPERATION, TG18, WREN]


def test_row_holds_when_it_holds_for_any_subject(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    operation = make_operation(THREE_JOBS)
    heavy = make_table(PAPERS).papers[1]

    both, light = (find_subjects(operation, operation.jobs[at]) for at in (0, 1))

    assert row_holds_for(heavy, both)
    assert not row_holds_for(heavy, light)
    assert not row_holds_for(heavy, ())


def test_no_jobs_no_verdicts(make_table: MakeTable, make_operation: MakeOperation) -> None:
    operation = replace(make_operation(), jobs=())

    assert compute_verdicts(operation, make_table(PAPERS)) == ()
    assert operation.first_spray is None
    assert date(2027, 5, 24) == make_operation().first_spray


def test_verdict_carries_the_day_that_the_business_name_decides(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    """OAC 35:30-17-1.3: numbers and A to L end September 30, M to Z December 31."""
    table = make_table(
        """\
  - {id: own.yearly, title: Yearly, holder: operation, why: w, office: own.office, notes: [n],
      validity: {kind: fixed-day, day: 12-31, by_name: [{through: L, day: 09-30}]}, @own}
"""
    )
    operation = make_operation()

    days = [
        verdict.paper.validity
        for name in ("Sandbur Flats Aerial LLC", "Flats of Sandbur LLC")
        for verdict in compute_verdicts(replace(operation, legal_name=name), table)
    ]

    assert [(one.month_day, one.by_name) for one in days] == [("12-31", ()), ("09-30", ())]
