"""The years ahead: chains of terms over invented papers, and the demo's papers.

The day arithmetic of single terms is checked in test_validity and tests/published.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from compliance.engine.plan import compute_plan
from compliance.engine.renewals import PaperEnd, compute_years_ahead, name_job, repeat_jobs
from compliance.engine.validity import compute_renewed_through
from compliance.facts.log import LogEntry
from compliance.facts.model import Job, Operation
from compliance.rules.model import RulesTable, StepUse
from tests.engine.kit_license import write_license

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
TODAY = date(2027, 1, 11)


def table_of(make_table: MakeTable, validity: str, renewal: str = "{}") -> RulesTable:
    return make_table(write_license(validity, renewal, slow=30))


def held(line: str) -> str:
    return f"papers:\n  - {{paper: own.license, holder: operation, {line}}}\n"


def ends(
    operation: Operation, table: RulesTable, years: int, log: tuple[LogEntry, ...] = ()
) -> tuple[PaperEnd, ...]:
    return compute_years_ahead(operation, table, log, TODAY, years).ends


def test_yearly_license_comes_back_every_year(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    table = table_of(make_table, "{kind: fixed-day, day: 12-31, years: 1}")
    operation = make_operation(more=held("issued_on: 2027-01-04"))

    found = ends(operation, table, 3)

    assert [(one.term, one.ends_on) for one in found] == [
        (0, date(2027, 12, 31)),
        (1, date(2028, 12, 31)),
        (2, date(2029, 12, 31)),
    ]
    needs = [one.sending.in_force_by for one in found if one.sending is not None]
    assert needs == [date(2028, 5, 24), date(2029, 5, 24), date(2030, 5, 24)]
    assert [one.sending.job for one in found if one.sending is not None] == [
        "pasture of 2028",
        "pasture of 2029",
        "pasture of 2030",
    ]


def test_chain_of_24_calendar_months(make_table: MakeTable, make_operation: MakeOperation) -> None:
    """14 CFR 107.65 as an example: months run to their end, renewed on the safe day at the latest.

    Each term ends at a month's end 24 months after its issue, and each renewal is sent before it.
    """
    table = table_of(make_table, "{kind: months-to-month-end, months: 24}")
    operation = make_operation(more=held("issued_on: 2025-07-18"))

    first, second, third = ends(operation, table, 6)

    assert (first.term, first.issued_on, first.ends_on) == (0, date(2025, 7, 18), date(2027, 7, 31))
    for before, after in ((first, second), (second, third)):
        assert before.sending is not None
        assert before.sending.safe is not None
        issued = min(before.sending.safe, before.ends_on)
        assert after.issued_on == issued
        month_after = (issued.replace(day=1) + timedelta(days=32)).replace(day=1)
        assert after.ends_on == month_after.replace(year=month_after.year + 2) - timedelta(days=1)
    assert (second.term, third.term) == (1, 2)


def test_days_of_a_renewal_are_kept_apart(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    renewal = (
        "{opens_months: 6, renew_by: 30 days before, late_fee_from: 1 days after, "
        "reexam_from: 03-01}"
    )
    table = table_of(make_table, "{kind: fixed-day, day: 12-31, years: 1}", renewal)
    operation = make_operation(more=held("issued_on: 2027-01-04"))

    (only,) = ends(operation, table, 1)

    assert (only.opens_on, only.renew_by, only.late_fee_from, only.reexam_from) == (
        date(2027, 6, 30),
        date(2027, 12, 1),
        date(2028, 1, 1),
        date(2028, 3, 1),
    )
    assert only.sending is not None
    assert only.sending.last is not None
    assert only.sending.last <= date(2027, 12, 1)


def test_printed_last_day_is_taken_to_come_back_after_as_long(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    table = table_of(make_table, "{kind: from-document}")
    whole = make_operation(more=held("issued_on: 2026-11-01, valid_through: 2027-10-31"))
    short = make_operation(more=held("issued_on: 2027-01-01, valid_through: 2027-07-09"))

    assert [(one.ends_on, one.guessed) for one in ends(whole, table, 3)] == [
        (date(2027, 10, 31), False),
        (date(2028, 10, 31), True),
        (date(2029, 10, 31), True),
    ]
    assert ends(short, table, 2)[1].ends_on == date(2027, 7, 9) + timedelta(days=190)


def test_end_nobody_knows_is_told(make_table: MakeTable, make_operation: MakeOperation) -> None:
    table = table_of(make_table, "{kind: from-document}")

    for operation in (make_operation(), make_operation(more=held("number: A1"))):
        ahead = compute_years_ahead(operation, table, (), TODAY, 2)
        assert ahead.ends == ()
        assert [paper.id for paper, _ in ahead.unknown] == ["own.license"]


def test_paper_without_an_end_is_not_listed(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    table = table_of(make_table, "{kind: open-ended}", renewal="")
    operation = make_operation(more=held("issued_on: 2027-01-04"))

    ahead = compute_years_ahead(operation, table, (), TODAY, 5)

    assert (ahead.ends, ahead.unknown) == ((), ())


def test_first_paper_is_reckoned_from_the_day_it_is_expected(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    table = table_of(make_table, "{kind: months, months: 12}")
    operation = make_operation()
    (planned,) = compute_plan(operation, table, (), TODAY).papers

    first = ends(operation, table, 2)[0]

    assert (first.term, first.issued_on) == (1, planned.earliest_ready)
    assert first.sending is not None


def test_paper_no_job_needs_has_its_end_and_nothing_to_send(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    table = table_of(make_table, "{kind: months, months: 12}")
    operation = replace(make_operation(more=held("issued_on: 2027-01-04")), jobs=())

    ahead = compute_years_ahead(operation, table, (), TODAY, 3)

    assert [(one.ends_on, one.sending) for one in ahead.ends] == [(date(2028, 1, 4), None)]
    assert ahead.repeated == ()


def test_paper_that_ended_and_is_still_needed_stands_first(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    """A paper that ran out the day before, in a job that goes on; one nobody needs is not told."""
    table = table_of(make_table, "{kind: months, months: 12}")
    operation = make_operation(more=held("valid_through: 2027-05-31"))
    today, last = date(2027, 6, 1), date(2027, 5, 31)

    ahead = compute_years_ahead(operation, table, (), today, 3)
    on_its_day = compute_years_ahead(operation, table, (), last, 3)
    idle = compute_years_ahead(replace(operation, jobs=()), table, (), today, 3)

    first = ahead.ends[0]
    assert [(one.ends_on, one.term, ahead.is_over(one)) for one in ahead.ends[:2]] == [
        (last, 0, True),
        (ahead.ends[1].ends_on, 1, False),
    ]
    assert first.sending is not None
    assert (first.sending.job, first.sending.in_force_by) == ("pasture of 2027", last)
    assert (on_its_day.ends[0].ends_on, on_its_day.is_over(on_its_day.ends[0])) == (last, False)
    assert idle.ends == ()


def test_last_day_asked_for_is_inclusive(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    table = table_of(make_table, "{kind: from-document}")
    on_it = make_operation(more=held("valid_through: 2028-01-11"))
    after = make_operation(more=held("valid_through: 2028-01-12"))

    assert [one.ends_on for one in ends(on_it, table, 1)] == [date(2028, 1, 11)]
    assert ends(after, table, 1) == ()


def job_on(make_operation: MakeOperation, first: str, last: str) -> tuple[Job, ...]:
    line = f"- {{id: pasture, first_day: {first}, last_day: {last}, @job}}"
    return make_operation(line).jobs


@pytest.mark.parametrize(
    ("first", "last", "expected"),
    [
        ("2027-05-24", "2027-06-12", [("2028-05-24", "2028-06-12"), ("2029-05-24", "2029-06-12")]),
        # 29 February: python-dateutil moves it to the 28th; the length stays.
        ("2024-02-29", "2024-03-02", [("2025-02-28", "2025-03-02"), ("2026-02-28", "2026-03-02")]),
        ("2027-12-30", "2028-01-02", [("2028-12-30", "2029-01-02"), ("2029-12-30", "2030-01-02")]),
    ],
)
def test_jobs_come_back_every_year(
    make_operation: MakeOperation, first: str, last: str, expected: list[tuple[str, str]]
) -> None:
    jobs = job_on(make_operation, first, last)

    found = repeat_jobs(jobs, jobs[0].first_day.year + 2)

    assert [(str(one.first_day), str(one.last_day)) for one in found] == expected
    assert name_job(found[0]) == f"pasture of {jobs[0].first_day.year + 1}"


def test_only_the_last_season_comes_back(make_operation: MakeOperation) -> None:
    (old,) = job_on(make_operation, "2026-04-01", "2026-04-02")
    (new,) = job_on(make_operation, "2027-05-24", "2027-06-12")

    found = repeat_jobs((old, new), 2028)

    assert [one.first_day for one in found] == [date(2028, 5, 24)]


def test_season_of_two_years_comes_back_whole(make_operation: MakeOperation) -> None:
    """Work of June and November 2027 and of February 2028 is one season; each comes back yearly.

    The second June, told in the file already, is not repeated from the first one. Common practice,
    no source.
    """
    (june,) = job_on(make_operation, "2027-06-14", "2027-07-14")
    november = replace(june, id="fall", state="SD", first_day=date(2027, 11, 1))
    february = replace(june, id="winter", first_day=date(2028, 2, 20))
    again = replace(june, id="next", first_day=date(2028, 6, 10))

    def days(*jobs: Job) -> list[str]:
        return [f"{one.id} {one.first_day}" for one in repeat_jobs(jobs, 2028)]

    assert days(february, november, june) == ["pasture~2028 2028-06-14", "fall~2028 2028-11-01"]
    assert days(february, november, june, again) == ["fall~2028 2028-11-01"]
    # Work of another kind 14 months before the last job still counts; three years before not.
    late = replace(june, first_day=date(2028, 12, 20))
    assert days(late, replace(november, first_day=date(2027, 12, 21))) == ["fall~2028 2028-12-21"]
    assert days(late, replace(november, first_day=date(2025, 12, 21))) == []


def test_demo_recency_that_lapses_in_the_season_is_planned_as_a_renewal(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], table: RulesTable
) -> None:
    """14 CFR 107.65: Wren's 24 months end on 31 July 2027, in the middle of own-quarter."""
    plan = compute_plan(demo_operation, table, demo_log, TODAY)
    planned = plan.find_paper("faa.pilot-recency:wren")
    assert planned is not None
    assert planned.packet.use is StepUse.RENEWAL
    assert planned.packet.need_by == date(2027, 7, 31)

    found = [
        one
        for one in compute_years_ahead(demo_operation, table, demo_log, TODAY, 3).ends
        if one.id == "faa.pilot-recency:wren"
    ]

    assert [one.ends_on for one in found] == [date(2027, 7, 31), date(2029, 7, 31)]
    assert found[0].sending is not None
    assert (found[0].sending.last, found[0].sending.safe) == (planned.mail_last, planned.mail_safe)


def test_more_years_only_add(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], table: RulesTable
) -> None:
    two = compute_years_ahead(demo_operation, table, demo_log, TODAY, 2)
    four = compute_years_ahead(demo_operation, table, demo_log, TODAY, 4)

    assert [one for one in four.ends if one.ends_on <= two.through] == list(two.ends)
    assert len(four.ends) > len(two.ends)


def test_renewal_that_cannot_be_filed_in_time_is_missed(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    """The paper ends on 31 Jan 2027 and was to be renewed 21 days before: the day before today."""
    renewal = "{renew_by: 21 days before}"
    table = table_of(make_table, "{kind: months, months: 12}", renewal)
    operation = make_operation(more=held("issued_on: 2026-01-31"))

    first = ends(operation, table, 1)[0]

    assert first.renew_by == date(2027, 1, 10)
    assert first.sending is not None
    assert (first.sending.missed, first.sending.under_way) == (date(2027, 1, 10), False)


def test_small_registration_renewed_early_loses_nothing(table: RulesTable) -> None:
    """14 CFR 48.100(c)(2): renewed, it runs three years from the old last day.

    An issue after that day counts from itself (48.100(c)). Every row that says so counts so.
    """
    (row,) = (one for one in table.papers if one.id == "faa.registration-small")

    early = compute_renewed_through(row.validity, date(2028, 2, 21), date(2028, 3, 30))
    late = compute_renewed_through(row.validity, date(2028, 4, 3), date(2028, 3, 30))

    assert (early, late) == (date(2031, 3, 30), date(2031, 4, 3))
    said = {one.id for one in table.papers if "from the old last day" in " ".join(one.notes)}
    assert "faa.registration-small" in said
    counted = {one.id for one in table.papers if one.validity.renewal_from_expiry}
    assert said <= counted
