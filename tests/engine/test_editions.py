"""Plans with several editions of a rule; papers and farm are invented, dates worked out by hand.

The rule that the day of use decides is our own reading (see `engine.edition_passes`). That a rule
has a first day that binds is the practice of the Federal Register: 89 FR 80767 was published on
4 October 2024 and in force from 3 December 2024. 24 May 2027 and 5 July 2027 are Mondays, 1 July
2027 is a Thursday. 31 May and 5 July 2027 are closed (5 USC 6103: Memorial Day, and Independence
Day, which falls on a Sunday).
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import TypeVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.engine.check_facts import find_fee
from compliance.engine.edition_choice import Choice, Option
from compliance.engine.edition_passes import resolve
from compliance.engine.explain import explain_paper, explain_step, trace_last
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import PaperPlan, Plan, StepPlan
from compliance.engine.safe_plan import compute_safe_plan
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.facts.parse import parse_operation
from compliance.outputs.packet_model import compute_checklist
from compliance.outputs.plan_text import render_plan_text
from compliance.rules.model import CalendarName, LeadDays, Row, RulesTable, StepRow
from compliance.rules.parse import parse_table
from tests.engine.kit_own import FARM, HEAD, JOB, OWN

AnyRow = TypeVar("AnyRow", bound=Row)
ROOT = Path(__file__).parents[2]

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]

AS_OF = date(2027, 3, 1)
CHANGE = date(2027, 7, 1)
EVE = date(2027, 6, 30)

PAPER = """\
  - id: own.license
    title: License
    holder: operation
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    cite: own
    edition: none
    confidence: second-hand
"""
SIGN = "      - {name: sign, title: Sign, kind: act, done_at: farm, event: signed, @own}\n"
SEAL = "      - {name: seal, title: Seal, kind: act, done_at: farm, event: notarized, DAYS, @own}\n"
MAIL = "      - {name: mail, title: Mail, kind: act, done_at: farm, event: mailed, @own}\n"
COMES = "      - {name: comes, title: Comes in, kind: wait, days: 2, event: received, @own}\n"
REVIEW = """\
      - {name: review, title: Review, kind: wait, days: 10, event: granted,
          applies_until: 2027-06-30, return_path: [mend, mail, review], @own}
      - {name: review, title: Review, kind: wait, days: NEW, event: granted,
          applies_from: 2027-07-01, return_path: [mend, mail, review], @own}
"""
ONE_REVIEW = """\
      - {name: review, title: Review, kind: wait, days: 10, event: granted,
          return_path: [mend, mail, review], @own}
"""
MEND = "      - {name: mend, title: Mend, kind: act, done_at: farm, use: after-return, @own}\n"


@cache
def shipped_table() -> RulesTable:
    folder = ROOT / "compliance" / "rules" / "table"
    table, problems = parse_table(
        {one.name: one.read_text("utf-8") for one in folder.glob("*.yaml")}
    )
    assert problems == ()
    return table


@cache
def demo_operation() -> Operation:
    text = (ROOT / "demo_data" / "sandbur_flats.yaml").read_text("utf-8")
    operation, problems = parse_operation(text, "demo")
    assert operation is not None, problems
    return operation


def steps(*parts: str) -> str:
    return f"{PAPER}    steps:\n{''.join(parts)}{MEND}"


def reviewed(new: int) -> str:
    """Write a paper whose office takes 10 days, and from 1 July on so many."""
    return steps(SIGN, MAIL, REVIEW.replace("NEW", str(new)))


def sealed(days: str) -> str:
    return steps(SIGN, SEAL.replace("DAYS", days), MAIL, ONE_REVIEW)


def job(first: date) -> str:
    last = first + timedelta(days=5)
    return f"- {{id: pasture, first_day: {first}, last_day: {last}, @job}}"


@pytest.fixture(name="make_plan")
def plan_maker(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> Callable[..., Plan]:
    def make(
        papers: str, first: date, log: str = "", *, as_of: date = AS_OF, more: str = ""
    ) -> Plan:
        operation = make_operation(job(first), more=more)
        entries = make_log(operation, log) if log else ()
        return compute_plan(operation, make_table(papers), entries, as_of)

    return make


MakePlan = Callable[..., Plan]


def license_of(plan: Plan) -> PaperPlan:
    (paper,) = plan.papers
    return paper


def step(plan: Plan, name: str) -> StepPlan:
    found = plan.find_step(f"own.license/{name}")
    assert found is not None
    return found


def names(plan: Plan) -> list[str]:
    return [one.row.name for one in license_of(plan).steps]


@pytest.mark.parametrize(
    ("first", "last"),
    [
        # Over by 30 June, it never meets the new edition: 20 June.
        (date(2027, 6, 30), date(2027, 6, 20)),
        # Sent on 21 June it would still run on 1 July, and may take 30 days, to 21 July.
        (date(2027, 7, 1), date(2027, 6, 20)),
        (date(2027, 7, 20), date(2027, 6, 20)),
        (date(2027, 7, 21), date(2027, 6, 21)),
        # 30 days from 30 June, the last day of the old edition, and from 1 July.
        (date(2027, 7, 30), date(2027, 6, 30)),
        (date(2027, 7, 31), date(2027, 7, 1)),
    ],
)
def test_last_day_to_send_to_an_office_that_grows_slow(
    make_plan: MakePlan, first: date, last: date
) -> None:
    """A wait that runs on a day of both editions counts with the longer."""
    paper = license_of(make_plan(reviewed(30), first))

    assert paper.mail_last == last


@pytest.mark.parametrize(
    ("first", "last"),
    [
        # Over by 30 June: only the old edition, 20 June.
        (date(2027, 6, 30), date(2027, 6, 20)),
        # Over by 8 July: 3 days from 5 July would do, but what is sent in June takes 10 days, from
        # 28 June. Every day up to the one named must be in time.
        (date(2027, 7, 8), date(2027, 6, 28)),
        # Over by 11 July: 10 days from 1 July, when the old edition is over; so 3 days, 8 July.
        (date(2027, 7, 11), date(2027, 7, 8)),
    ],
)
def test_last_day_to_send_to_an_office_that_grows_quick(
    make_plan: MakePlan, first: date, last: date
) -> None:
    """No earlier day than the last one named is late."""
    paper = license_of(make_plan(reviewed(3), first))

    assert paper.mail_last == last


@pytest.mark.parametrize(
    ("as_of", "ready"),
    [
        (date(2027, 6, 20), date(2027, 6, 30)),  # 10 days, over on the eve of the change
        (date(2027, 6, 21), date(2027, 7, 21)),  # runs on 1 July, so 30 days
        (date(2027, 6, 30), date(2027, 7, 30)),
        (date(2027, 7, 1), date(2027, 7, 31)),
    ],
)
def test_earliest_day_follows_the_edition_of_its_own_days(
    make_plan: MakePlan, as_of: date, ready: date
) -> None:
    """The forward pass has its own editions."""
    plan = make_plan(reviewed(30), date(2027, 9, 1), as_of=as_of)

    assert license_of(plan).earliest_ready == ready


def test_both_passes_have_their_own_edition(make_plan: MakePlan) -> None:
    """Sent now the old edition counts, sent on the last day the new one; both are named."""
    plan = make_plan(reviewed(30), date(2027, 9, 1), as_of=date(2027, 5, 3))
    review = step(plan, "review")

    assert (review.days, review.row.applies_until) == (10, EVE)
    assert review.last_as is not None
    assert (review.last_as.days, review.last_as.row.applies_from) == (30, CHANGE)
    assert license_of(plan).changes == (
        "from Thu 1 Jul 2027 on `Review` takes 30 calendar days instead of 10 calendar days",
    )
    assert "takes 30 calendar days instead of 10" in " ".join(render_plan_text(plan).split())


def test_why_names_the_edition_of_each_chain(make_plan: MakePlan) -> None:
    plan = make_plan(reviewed(30), date(2027, 9, 1), as_of=date(2027, 5, 3))
    explained = dict(explain_paper(plan, license_of(plan)).sections)

    last = explained["Last day to mail"][1]
    assert last.text == (
        "Review: from Mon 2 Aug 2027 at the latest, because it takes 30 calendar days and must be "
        "over by Wed 1 Sep 2027"
    )
    assert last.source == (
        "own.license.review: own example; edition: none; common practice, no source; "
        "the edition in force from Thu 1 Jul 2027"
    )
    early = explained["Earliest it can be in hand"][1]
    assert early.text == "after `Review`, 10 calendar days, over on Thu 13 May 2027"
    assert early.source.endswith("the edition in force through Wed 30 Jun 2027")
    assert [one.text for one in explained["Rules that change meanwhile"]] == [
        "from Thu 1 Jul 2027 on `Review` takes 30 calendar days instead of 10 calendar days"
    ]
    assert explain_step(plan, step(plan, "sign")).sections[1][1][0].source == (
        "own.license.sign: own example; edition: none; common practice, no source"
    )


def test_safe_chain_has_the_edition_of_the_safe_days(
    make_plan: MakePlan, make_table: MakeTable
) -> None:
    """Needed on 1 August, with a return: the second review runs in July, the first before.

    The second takes 30 days from 2 July. The first must be over by then: sent on 20 June it is over
    on 30 June by the old edition, sent a day later it runs on 1 July and may take 30 days.
    """
    papers = reviewed(30)
    plan = make_plan(papers, date(2027, 8, 1))

    safe = compute_safe_plan(plan, make_table(papers), "own.license")

    assert step(safe, "review~2").last_start == date(2027, 7, 2)
    assert step(safe, "review").last_start == date(2027, 6, 20)
    assert license_of(plan).mail_safe == date(2027, 6, 20)
    chain = trace_last(safe, step(safe, "mail"))
    assert [one.step_id.partition("/")[2] for one in chain] == ["mail", "review"]
    assert chain[1].text == (
        "Review: from Sun 20 Jun 2027 at the latest, because it takes 10 calendar days and must be "
        "over by Wed 30 Jun 2027, the last day of this edition, because the next one takes longer"
    )


FEES = """\
  - id: own.license
    title: License
    holder: operation
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    fee: {amount_usd: AMOUNT, payee: Office, method: check}
    DAYS
    cite: own
    edition: none
    confidence: second-hand
    steps:
"""


def with_fees(*, counted: str = "") -> str:
    parts = SIGN + MAIL + (COMES if counted else "") + ONE_REVIEW + MEND
    old = FEES.replace("AMOUNT", "5").replace("DAYS", "applies_until: 2027-06-30")
    new = FEES.replace("AMOUNT", "8").replace("DAYS", "applies_from: 2027-07-01")
    return f"{old}{parts}{new}{parts}"


@pytest.mark.parametrize(
    ("as_of", "amount"), [(EVE, Decimal(5)), (CHANGE, Decimal(8)), (AS_OF, Decimal(5))]
)
def test_fee_is_that_of_the_day_it_is_sent(
    make_plan: MakePlan, as_of: date, amount: Decimal
) -> None:
    """Both times the job is in August: the paper's own row is the new one."""
    paper = license_of(make_plan(with_fees(), date(2027, 8, 2), as_of=as_of))

    fee = find_fee(paper)
    assert fee is not None
    assert fee.amount_usd == amount
    assert paper.packet.paper.fee is not None
    assert paper.packet.paper.fee.amount_usd == 8


def test_change_of_a_fee_within_reach_is_said(make_plan: MakePlan) -> None:
    plan = make_plan(with_fees(), date(2027, 8, 2))

    (said,) = license_of(plan).changes
    assert said == (
        "from Thu 1 Jul 2027 on the fee is $8.00; "
        "file it before then and the old one ($5.00) counts"
    )
    assert said in license_of(plan).warnings


def test_change_of_a_fee_out_of_reach_is_not_said(make_plan: MakePlan) -> None:
    """Sent by 20 June at the latest, or today after the change."""
    early = make_plan(with_fees(), date(2027, 6, 30))
    late = make_plan(with_fees(), date(2027, 8, 2), as_of=CHANGE)

    assert license_of(early).changes == license_of(late).changes == ()


def test_office_that_counts_receipt_is_asked_when_the_change_comes_on_the_way(
    make_plan: MakePlan,
) -> None:
    """Sent on 29 June it comes in on 1 July."""
    papers = with_fees(counted="received")
    plan = make_plan(papers, date(2027, 8, 2), as_of=date(2027, 6, 29))

    change, comes = license_of(plan).changes
    assert change == (
        "from Thu 1 Jul 2027 on the fee is $8.00; "
        "let it reach the office before then and the old one ($5.00) counts"
    )
    assert comes == (
        "sent on Tue 29 Jun 2027 it comes in on Thu 1 Jul 2027, when the new edition is in force: "
        "ask the office which one it goes by before you file it"
    )


def test_logged_mailing_decides_the_fee(make_plan: MakePlan) -> None:
    log = "  - {kind: mailed, paper: own.license, holder: operation, on: 2027-06-30}"
    paper = license_of(make_plan(with_fees(), date(2027, 8, 2), log, as_of=date(2027, 7, 5)))

    fee = find_fee(paper)
    assert fee is not None
    assert (fee.amount_usd, paper.mailed_on) == (Decimal(5), EVE)
    assert paper.changes == ()


def documents(*rows: str) -> str:
    return steps(SIGN, MAIL, ONE_REVIEW) + "    documents:\n" + "".join(rows)


FORM = "      - {name: NAME, title: TITLE, template: form, originals: 1, @ownDAYS}\n"
NEW_FORM = (
    FORM.replace("NAME", "map")
    .replace("TITLE", "Map")
    .replace("DAYS", ", applies_from: 2027-07-01")
)
OLD_FORM = (
    FORM.replace("NAME", "list")
    .replace("TITLE", "List")
    .replace("DAYS", ", applies_until: 2027-06-30")
)


@pytest.mark.parametrize(("as_of", "kept"), [(EVE, ["list"]), (CHANGE, ["map"])])
def test_documents_are_those_of_the_day_it_is_sent(
    make_plan: MakePlan, as_of: date, kept: list[str]
) -> None:
    plan = make_plan(documents(NEW_FORM, OLD_FORM), date(2027, 8, 2), as_of=as_of)

    rows = license_of(plan).packet.documents
    assert [row.id.rpartition(".")[2] for row in rows] == kept


def test_change_of_documents_within_reach_is_said(make_plan: MakePlan) -> None:
    plan = make_plan(documents(NEW_FORM, OLD_FORM), date(2027, 8, 2))

    gone, new = license_of(plan).changes
    assert gone == "from Thu 1 Jul 2027 on `List` is not asked for any more"
    assert new == (
        "from Thu 1 Jul 2027 on `Map` goes with it too; file it before then and it is not asked for"
    )


@pytest.mark.parametrize(("as_of", "is_there"), [(EVE, False), (CHANGE, True)])
def test_step_that_begins(make_plan: MakePlan, as_of: date, *, is_there: bool) -> None:
    """Signed today: the seal is asked for from 1 July on."""
    plan = make_plan(sealed("applies_from: 2027-07-01"), date(2027, 8, 20), as_of=as_of)

    assert ("seal" in names(plan)) is is_there


def test_step_that_begins_is_counted_in_the_last_days(make_plan: MakePlan) -> None:
    """The last day to sign is 10 August; whoever waits until then needs the seal too."""
    plan = make_plan(sealed("applies_from: 2027-07-01"), date(2027, 8, 20))
    paper = license_of(plan)

    assert [(one.row.name, one.last) for one in paper.later] == [("seal", date(2027, 8, 10))]
    (said,) = paper.changes
    assert said == (
        "from Thu 1 Jul 2027 on `Seal` is to be done too; "
        "file it before then and it is not asked for"
    )
    chain = [one.step_id for one in trace_last(plan, step(plan, "sign"))]
    assert chain[:3] == ["own.license/sign", "own.license/seal", "own.license/mail"]


@pytest.mark.parametrize(("as_of", "is_there"), [(EVE, True), (CHANGE, False)])
def test_step_that_ends(make_plan: MakePlan, as_of: date, *, is_there: bool) -> None:
    plan = make_plan(sealed("applies_until: 2027-06-30"), date(2027, 8, 20), as_of=as_of)

    assert ("seal" in names(plan)) is is_there
    assert license_of(plan).changes == (
        ("from Thu 1 Jul 2027 on `Seal` is not asked for any more",) if is_there else ()
    )


def test_log_before_the_change_and_plan_after(make_plan: MakePlan) -> None:
    """Signed and sent on 30 June: no seal, though the new edition is in force today."""
    log = """\
  - {kind: signed, paper: own.license, holder: operation, on: 2027-06-29}
  - {kind: mailed, paper: own.license, holder: operation, on: 2027-06-30}"""
    plan = make_plan(
        sealed("applies_from: 2027-07-01"), date(2027, 8, 20), log, as_of=date(2027, 7, 5)
    )

    assert names(plan) == ["sign", "mail", "review"]
    assert license_of(plan).earliest_ready == date(2027, 7, 10)
    assert license_of(plan).later == ()


def test_signed_before_the_change_but_not_sent_needs_the_new_step(make_plan: MakePlan) -> None:
    """What is still to do is done after the change, so the new edition asks for it."""
    log = "  - {kind: signed, paper: own.license, holder: operation, on: 2027-06-29}"
    plan = make_plan(
        sealed("applies_from: 2027-07-01"), date(2027, 8, 20), log, as_of=date(2027, 7, 6)
    )

    assert names(plan) == ["sign", "seal", "mail", "review"]
    assert step(plan, "seal").earliest == date(2027, 7, 6)


def test_each_round_has_the_edition_of_its_own_day(make_plan: MakePlan) -> None:
    """Sent in June and back in July: the second round is one of the new edition."""
    log = """\
  - {kind: mailed, paper: own.license, holder: operation, on: 2027-06-10}
  - {kind: returned, paper: own.license, holder: operation, on: 2027-06-18, reason: no date}"""
    plan = make_plan(reviewed(30), date(2027, 9, 20), log, as_of=date(2027, 7, 6))

    assert step(plan, "review").row.applies_until == EVE
    assert step(plan, "review~2").row.applies_from == CHANGE
    assert license_of(plan).earliest_ready == date(2027, 8, 5)


def test_act_that_goes_round_in_a_circle_is_planned_with_care(make_plan: MakePlan) -> None:
    """Each edition moves the act to a day of the other: the more cautious day is kept, and said.

    The review must begin by Thursday 1 July. By the old edition the seal may be on any day and
    falls on 1 July, by the new one on a notary day (Monday to Friday, here less 1 July) and falls
    on 30 June.
    """
    rows = SEAL.replace("DAYS", "applies_until: 2027-06-30") + SEAL.replace(
        "DAYS", "calendar: notary, applies_from: 2027-07-01"
    )
    papers = steps(SIGN, rows, MAIL, ONE_REVIEW)
    plan = make_plan(papers, date(2027, 7, 11))
    assert step(plan, "seal").last == CHANGE  # a notary day: no circle

    closed = "closures:\n  - {who: notary, first_day: 2027-07-01, last_day: 2027-07-01}\n"
    circle = make_plan(papers, date(2027, 7, 11), more=closed)

    assert step(circle, "seal").last == EVE
    assert license_of(circle).changes[-1] == (
        "`Seal` (own.license.seal): its days lie on both sides of a change of its rule; the more "
        "cautious of the two is planned with"
    )


def test_hole_between_editions_is_said_and_never_skips_the_step(make_plan: MakePlan) -> None:
    """No edition from 1 to 14 July: the nearest is used. R95 refuses such a table."""
    papers = reviewed(30).replace("applies_from: 2027-07-01", "applies_from: 2027-07-15")
    plan = make_plan(papers, date(2027, 9, 1), as_of=date(2027, 7, 3))

    assert "review" in names(plan)
    assert license_of(plan).changes[-1] == (
        "`Review` (own.license.review): the rules table has no edition from Thu 1 Jul 2027 to "
        "Wed 14 Jul 2027, between two others; the nearest one is used, so ask the agency"
    )


def test_hole_between_editions_of_a_paper_does_not_drop_it(make_plan: MakePlan) -> None:
    papers = with_fees().replace("applies_from: 2027-07-01", "applies_from: 2027-08-01")

    assert [one.id for one in make_plan(papers, date(2027, 7, 9)).papers] == ["own.license"]


def test_new_paper_has_its_steps_before_its_first_day(make_plan: MakePlan) -> None:
    """A paper asked for from 1 July on is worked for in June, by the steps of its own row."""
    papers = steps(SIGN, MAIL, ONE_REVIEW).replace(
        "    cite: own\n", "    applies_from: 2027-07-01\n    cite: own\n", 1
    )
    plan = make_plan(papers, date(2027, 7, 5), as_of=date(2027, 6, 1))

    assert names(plan) == ["sign", "mail", "review"]
    assert license_of(plan).mail_last == date(2027, 6, 25)


@pytest.mark.parametrize(
    ("as_of", "comes"),
    [
        (date(2027, 6, 27), date(2027, 6, 30)),  # 3 days
        (date(2027, 6, 28), date(2027, 7, 4)),  # still on the way on 1 July: 6 days
        (CHANGE, date(2027, 7, 7)),
    ],
)
def test_mail_takes_the_days_of_its_edition(
    make_table: MakeTable, make_operation: MakeOperation, as_of: date, comes: date
) -> None:
    carried = COMES.replace("days: 2", "mail: out")
    table = make_table(steps(SIGN, MAIL, carried, ONE_REVIEW))
    letter = next(row for row in table.services if row.id == "mail.first-class")
    letter = replace(letter, calendar=CalendarName.EVERY_DAY)
    services = (
        *(row for row in table.services if row.id != letter.id),
        replace(letter, applies_until=EVE),
        replace(letter, days=LeadDays(fast=5, usual=6, slow=9), applies_from=CHANGE),
    )
    operation = make_operation(job(date(2027, 9, 1)))
    plan = compute_plan(operation, replace(table, services=services), (), as_of)

    assert step(plan, "comes").earliest == comes


def test_office_is_that_of_the_day_it_is_sent(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    table = make_table(steps(SIGN, MAIL, ONE_REVIEW))
    (office,) = table.offices
    moved = ("2 Example Road, Anytown",)
    table = replace(
        table,
        offices=(
            replace(office, applies_until=EVE),
            replace(office, mail_to=moved, applies_from=CHANGE),
        ),
    )
    plans = [
        compute_plan(make_operation(job(date(2027, 9, 1))), table, (), day) for day in (EVE, CHANGE)
    ]

    found = [license_of(plan).packet.office for plan in plans]
    assert [one.mail_to for one in found if one is not None] == [office.mail_to, moved]
    assert license_of(plans[0]).changes == (
        "from Thu 1 Jul 2027 on another entry of the office counts (Office): look at the address",
    )


def test_checklist_names_the_editions_it_rests_on(make_plan: MakePlan) -> None:
    plan = make_plan(reviewed(30), date(2027, 9, 1), as_of=date(2027, 5, 3))
    checklist = compute_checklist(plan, license_of(plan), {})

    assert checklist.citations[-1] == (
        "own.license.review: own example; edition: none; common practice, no source; "
        "the edition in force through Wed 30 Jun 2027"
    )
    assert license_of(plan).changes[0] in checklist.warnings


def test_circle_between_passes_keeps_the_more_cautious_edition() -> None:
    """A pass that answers 10 days with 30 and 30 with 10 never settles; the 30 days are kept."""
    key = ("own.license", "review", 1)
    rows: dict[int, Option] = {}

    def run(choice: Choice) -> int:
        option = choice.get(key)
        days = option.row.days if option is not None and option.row is not None else None
        return days.usual if days is not None else 10

    def choose(_: Choice, days: int) -> Choice:
        return {key: rows[30 if days == 10 else 10]}

    table, problems = parse_table({"own.yaml": (HEAD + reviewed(30)).replace("@own", OWN)})
    assert problems == ()
    rows = {
        row.days.usual: Option(row=row) for row in table.steps if row.name == "review" and row.days
    }
    days, choice, ring = resolve(run, choose)

    assert (days, choice, ring) == (30, {key: rows[30]}, frozenset({key}))


SETTINGS = settings(deadline=None, derandomize=True, database=None, max_examples=12)


def days_of(plan: Plan) -> list[object]:
    return [
        (one.id, one.last, one.last_start, one.safe, one.earliest, one.days, one.bound_by)
        for paper in plan.papers
        for one in paper.steps
    ] + [(one.id, one.mail_last, one.mail_safe, one.earliest_ready) for one in plan.papers]


def split(table: RulesTable, day: date) -> RulesTable:
    """Write every row of a table in two editions that ask for the same."""

    def halves(rows: tuple[AnyRow, ...]) -> tuple[AnyRow, ...]:
        found: list[AnyRow] = []
        for row in rows:
            first, last = row.applies_from or date.min, row.applies_until or date.max
            if first < day <= last:
                found.append(replace(row, applies_until=day - timedelta(days=1)))
                found.append(replace(row, applies_from=day))
            else:
                found.append(row)
        return tuple(found)

    return replace(
        table,
        offices=halves(table.offices),
        services=halves(table.services),
        papers=halves(table.papers),
        steps=halves(table.steps),
        documents=halves(table.documents),
    )


@SETTINGS
@given(st.dates(date(2026, 12, 1), date(2027, 10, 1)), st.dates(date(2027, 1, 11), AS_OF))
def test_editions_that_ask_for_the_same_change_nothing(day: date, as_of: date) -> None:
    """On the demo's farm, with every shipped row cut in two at any day."""
    plain = compute_plan(demo_operation(), shipped_table(), (), as_of)
    cut = compute_plan(demo_operation(), split(shipped_table(), day), (), as_of)

    assert days_of(cut) == days_of(plain)
    assert [one.changes for one in cut.papers if one.changes] == []


@SETTINGS
@given(st.integers(1, 120), st.dates(date(2029, 1, 1), date(2031, 1, 1)))
def test_edition_beyond_the_season_changes_nothing(days: int, begins: date) -> None:
    """A second edition of every wait, of any days, that begins when all is over."""
    table = shipped_table()
    rows: list[StepRow] = []
    for row in table.steps:
        if row.days is None or row.applies_until is not None:
            rows.append(row)
            continue
        lead = LeadDays(fast=days, usual=days, slow=days)
        rows.append(replace(row, applies_until=begins - timedelta(days=1)))
        rows.append(replace(row, applies_from=begins, days=lead))
    as_of = date(2027, 1, 11)
    plain = compute_plan(demo_operation(), table, (), as_of)
    later = compute_plan(demo_operation(), replace(table, steps=tuple(rows)), (), as_of)

    assert days_of(later) == days_of(plain)
    assert [one.changes for one in later.papers if one.changes] == []


@SETTINGS
@given(st.integers(0, 40), st.integers(0, 40), st.integers(0, 90))
def test_every_day_up_to_the_last_is_in_time(old: int, new: int, shift: int) -> None:
    """Sent on the last day, or on any of 24 days before, the paper is there when it is needed."""
    first = date(2027, 6, 1) + timedelta(days=shift)
    text = reviewed(new).replace("days: 10", f"days: {old}")
    table, problems = parse_table({"own.yaml": (HEAD + text).replace("@own", OWN)})
    assert problems == ()
    text = FARM.replace("@service", "first-class") + f"jobs:\n{job(first)}\n".replace("@job", JOB)
    operation, faults = parse_operation(text, "farm.yaml")
    assert operation is not None, faults
    last = license_of(compute_plan(operation, table, (), date(2027, 3, 1))).mail_last
    assert last is not None

    late = []
    for back in range(25):
        day = last - timedelta(days=back)
        paper = license_of(compute_plan(operation, table, (), day))
        if paper.earliest_ready > first:
            late.append((day, paper.earliest_ready))
    assert late == []
