"""What a person should confirm or be warned of; sentences are compared whole."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from compliance.engine.concerns import find_plan_warnings
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import PaperPlan
from compliance.facts.basis import REVIEW_AFTER_DAYS
from compliance.facts.model import Operation
from compliance.facts.overrides import Override
from compliance.rules.model import RulesTable
from compliance.rules.overrides import apply_overrides

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]

AS_OF = date(2027, 1, 11)

LICENSE = """\
  - id: own.license
    title: License
    holder: operation
    why: w
    office: own.office
    validity: {kind: from-document}
    cite: 1 Own Code 2
    edition: of 2026
    confidence: read
    steps:
      - {name: mail, title: Mail, kind: act, done_at: post office, event: mailed, @own}
      - {name: review, title: Review, kind: wait, days: 10, event: granted,
          cite: a call, confidence: memory}
      - {name: notice, title: Notice, kind: notice, days: 30, after: [mail],
          cite: two books, edition: e, confidence: conflicting, note: 30 or 20}
    documents:
      - {name: form, title: Form, template: form, originals: 1, cite: c, confidence: memory}
"""


@pytest.fixture(name="make_paper")
def paper_maker(make_table: MakeTable, make_operation: MakeOperation) -> Callable[..., PaperPlan]:
    def make(
        papers: str = LICENSE,
        *,
        as_of: date = AS_OF,
        more: str = "",
        overrides: tuple[Override, ...] = (),
    ) -> PaperPlan:
        table, problems = apply_overrides(make_table(papers), overrides)
        assert problems == ()
        (one,) = compute_plan(make_operation(more=more), table, (), as_of).papers
        return one

    return make


MakePaper = Callable[..., PaperPlan]

UNSURE = (
    "Review (own.license.review): from memory, not read; a call",
    "Notice (own.license.notice): two sources disagree; the cautious one is used; two books",
)


def test_unsure_rows_that_set_a_date_are_to_be_confirmed(make_paper: MakePaper) -> None:
    """The form is from memory too, but sets no date."""
    assert make_paper().confirm == UNSURE


def test_paper_and_office_count_as_well(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    table = make_table(LICENSE.replace("confidence: read", "confidence: conflicting"))
    (office,) = table.offices
    memory = table.steps[1].basis.confidence
    unsure = replace(office, basis=replace(office.basis, confidence=memory))

    (one,) = compute_plan(make_operation(), replace(table, offices=(unsure,)), (), AS_OF).papers

    words = "two sources disagree; the cautious one is used"
    assert one.confirm == (
        f"License (own.license): {words}; 1 Own Code 2",
        *UNSURE,
        "Office (own.office): from memory, not read; own example",
    )


def test_value_of_your_own_needs_no_confirming_but_is_told(make_paper: MakePaper) -> None:
    slower = Override(
        row="own.license.review",
        field="days.slow",
        value="25",
        reason="the office said so",
        set_on=date(2027, 1, 4),
    )

    one = make_paper(overrides=(slower,))

    assert one.confirm == UNSURE[1:]
    assert one.warnings == (
        (
            "your own value is used: own.license.review days.slow = 25 "
            "(the office said so, set Mon 4 Jan 2027)"
        ),
    )


def make_override(row: str, field: str, value: str) -> Override:
    return Override(row=row, field=field, value=value, reason="they moved", set_on=date(2027, 1, 4))


def test_address_of_your_own_is_told(make_paper: MakePaper) -> None:
    moved = make_override("own.office", "mail_to", "2 Example Road / Anytown")

    assert make_paper(overrides=(moved,)).warnings == (
        (
            "your own value is used: own.office mail_to = 2 Example Road / Anytown "
            "(they moved, set Mon 4 Jan 2027)"
        ),
    )


def test_mail_days_of_your_own_are_told_once(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    slower = make_override("mail.first-class", "days.slow", "9")
    table, problems = apply_overrides(make_table(LICENSE), (slower,))

    plan = compute_plan(make_operation(), table, (), AS_OF)

    assert problems == ()
    assert plan.warnings == (
        "your own value is used: mail.first-class days.slow = 9 (they moved, set Mon 4 Jan 2027)",
    )
    assert plan.papers[0].warnings == ()


def test_rows_reviewed_over_a_year_ago(make_paper: MakePaper) -> None:
    """Reviewed on 25 November 2026; 365 days later is 25 November 2027."""
    more = "papers:\n  - {paper: own.license, holder: operation, valid_through: 2028-01-31}\n"
    job_day = date(2027, 5, 24)

    assert REVIEW_AFTER_DAYS == 365
    young = LICENSE.replace("confidence: read", "confidence: read\n    reviewed: 2026-01-11")
    old = LICENSE.replace("confidence: read", "confidence: read\n    reviewed: 2026-01-10")
    aged = "last reviewed Sat 10 Jan 2026, over a year ago"
    assert make_paper(young).confirm == UNSURE
    assert make_paper(old).confirm == (
        *UNSURE,
        f"License (own.license): {aged}",
        f"Mail (own.license.mail): {aged}",
        f"Review (own.license.review): {aged}",
        f"Notice (own.license.notice): {aged}",
        f"Form (own.license.form): {aged}",
    )
    # What is in hand needs no looking up.
    assert make_paper(old, more=more, as_of=job_day).confirm == ()


def test_office_that_the_table_lacks_is_passed_over(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    table = replace(make_table(LICENSE), offices=())

    (one,) = compute_plan(make_operation(), table, (), AS_OF).papers

    assert one.confirm == UNSURE


def test_held_paper_without_a_last_day(make_paper: MakePaper) -> None:
    more = "papers:\n  - {paper: own.license, holder: operation}\n"

    assert make_paper(more=more).warnings == (
        (
            "it is in hand but its last day in force is not written down; "
            "add valid_through from the paper itself"
        ),
    )


@pytest.mark.parametrize(
    ("through", "warnings"),
    [
        ("2027-06-12", ()),
        ("2027-06-11", ("the one in hand runs out on Fri 11 Jun 2027",)),
        ("2027-01-11", ("the one in hand runs out on Mon 11 Jan 2027",)),
        ("2027-01-10", ("the one in hand ran out on Sun 10 Jan 2027",)),
    ],
)
def test_held_paper_that_does_not_last(
    make_paper: MakePaper, through: str, warnings: tuple[str, ...]
) -> None:
    more = f"papers:\n  - {{paper: own.license, holder: operation, valid_through: {through}}}\n"

    assert make_paper(more=more).warnings == warnings


JOBS = """\
  - {id: over, first_day: 2026-09-01, last_day: 2026-09-02, @job}
  - {id: past, first_day: 2026-10-01, last_day: 2026-10-02, @job}
  - {id: begun, first_day: 2027-01-04, last_day: 2027-01-11, @job}
  - {id: today, first_day: 2027-01-11, last_day: 2027-01-12, @job}
"""


def test_jobs_that_are_past_or_have_begun(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    warnings = find_plan_warnings(make_operation(JOBS), make_table(LICENSE), AS_OF)

    assert warnings == (
        "over already and left out: over, past",
        "begun already, and planned as if it goes on: begun",
    )


def test_jobs_that_have_begun_are_named_in_one_line(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    two = JOBS.replace("first_day: 2027-01-11,", "first_day: 2027-01-10,")

    warnings = find_plan_warnings(make_operation(two), make_table(LICENSE), AS_OF)

    assert warnings[1:] == ("begun already, and planned as if they go on: begun, today",)


def test_states_without_rules_are_named_once(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    job = "  - {id: NAME, first_day: 2027-05-24, last_day: 2027-05-25, state: CODE, for_hire: no, "
    job += "restricted_use: no, aircraft: tg46, pilots: wren}\n"
    states = (("a", "WY"), ("b", "NE"), ("c", "CO"), ("d", "WY"))
    jobs = "".join(job.replace("NAME", name).replace("CODE", code) for name, code in states)

    warnings = find_plan_warnings(make_operation(jobs), make_table(LICENSE), AS_OF)

    assert [line.partition(":")[0] for line in warnings] == [
        "no rule for Wyoming",
        "no rule for Colorado",
    ]


def test_courier_cannot_reach_a_box(make_table: MakeTable, make_operation: MakeOperation) -> None:
    warnings = find_plan_warnings(make_operation(service="courier"), make_table(LICENSE), AS_OF)

    assert warnings == (
        (
            "a private courier cannot deliver to a P.O. box; use the street address on the "
            "cover sheet and confirm it with the office first"
        ),
    )


GAPS = """\
gaps:
  - {id: ne.cover, title: Cover, state: NE, about: insurance, what: for how much,
      when: [{job.for_hire: yes}], cite: not found, edition: e, confidence: read}
  - {id: ne.records, title: Records, state: NE, about: records, what: "how soon, and how long",
      cite: not found, edition: e, confidence: read}
  - {id: ne.old, title: Old, state: NE, about: fees, what: what it cost, applies_until: 2027-01-10,
      cite: not found, edition: e, confidence: read}
  - {id: wy.papers, title: Papers, state: WY, about: papers, what: which form,
      cite: not found, edition: e, confidence: read}
"""
HIRED = "- {id: hired, first_day: 2027-05-24, last_day: 2027-05-25, @job}"
OWN_LAND = """\
  - {id: own, first_day: 2027-05-24, last_day: 2027-05-25, state: NE, for_hire: no,
      restricted_use: no, aircraft: tg46, pilots: wren}
"""
NO_RULES = (
    "no rule for Wyoming: only federal papers are planned there; ask the state's agriculture and "
    "aviation offices which licenses apply"
)
NEBRASKA = "mailby has no rule for this in Nebraska, ask the agency: "


@pytest.mark.parametrize(
    ("jobs", "expected"),
    [
        # One warning a state, however many jobs; what no longer holds is not told.
        (
            f"  {HIRED}\n  {HIRED.replace('hired', 'again')}",
            (f"{NEBRASKA}for how much; how soon, and how long",),
        ),
        # A gap for work for hire is none for own land.
        (
            OWN_LAND,
            (f"{NEBRASKA}how soon, and how long",),
        ),
        # A state of which nothing but a gap is known.
        (
            OWN_LAND.replace("NE", "WY"),
            (
                NO_RULES,
                "mailby has no rule for this in Wyoming, ask the agency: which form",
            ),
        ),
        # A job that is over asks for nothing any more.
        (
            "  - {id: over, first_day: 2027-01-04, last_day: 2027-01-10, @job}",
            ("over already and left out: over",),
        ),
    ],
)
def test_what_the_table_has_no_rule_for_is_told_once_a_state(
    make_table: MakeTable, make_operation: MakeOperation, jobs: str, expected: tuple[str, ...]
) -> None:
    """A plan never keeps quiet about a question nobody found an answer to."""
    warnings = find_plan_warnings(make_operation(jobs), make_table(LICENSE + GAPS), AS_OF)

    assert warnings == expected
