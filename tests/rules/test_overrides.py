"""A user's own values in place of a row's; the example table is invented."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from compliance.facts.overrides import Override
from compliance.rules.model import ComesBack, Fee, LeadDays, Row, RulesTable, StepRow
from compliance.rules.overrides import apply_overrides, check_override, find_overridable
from compliance.rules.parse import parse_table

BASIS = "cite: own example, edition: none, confidence: common-practice"
TEXT = """\
authority: Somewhere
reviewed: 2026-11-25
services:
  - {id: mail.courier, title: Courier, days: {fast: 1, usual: 2, slow: 3}, calendar: federal,
     reaches_po_box: no, BASIS}
offices:
  - {id: a.office, title: Office, mail_to: [Office, Old Road], online: old site, BASIS}
papers:
  - id: a.license
    title: License
    holder: operation
    why: The example needs one.
    office: a.office
    validity: {kind: open-ended}
    fee: {amount_usd: 5, payee: State, method: check, per: aircraft}
    cite: own example
    edition: none
    confidence: common-practice
    steps:
      - {name: sign, title: Sign, kind: act, done_at: farm, BASIS}
      - {name: transit, title: Out, kind: wait, mail: out, BASIS}
      - {name: review, title: Review, kind: wait, days: {fast: 7, usual: 15, slow: 30}, BASIS}
      - {name: answer, title: Answer, kind: wait, days: 5, return_path: [answer],
         comes_back: {times: 1, of: 8, cite: own guess}, BASIS}
      - {name: lead, title: Notice, kind: notice, after: [sign], days: 30, BASIS}
    documents:
      - {name: form, title: Form, template: a-form, originals: 1, BASIS}
""".replace("BASIS", BASIS)
ORDER = "fast <= usual <= slow; when all three grow, change slow first"
ENVELOPE = "write 2 to 6 lines of at most 80 characters, with ` / ` between them"
DAYS = "write a whole number from 0 to 900"
PLACE = "your own rule values:1:1: "
DOLLARS = "write it as 5 or 12.50, without a sign"


@pytest.fixture(name="table")
def parse_example() -> RulesTable:
    table, problems = parse_table({"a.yaml": TEXT})
    assert problems == ()
    return table


def _own(row: str, field: str, value: str, reason: str = "the office told me") -> Override:
    return Override(row=row, field=field, value=value, reason=reason, set_on=date(2027, 1, 11))


def _row(table: RulesTable, name: str) -> Row:
    return next(row for row in table.rows if row.id == name)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("a.license.review", ("days.fast", "days.usual", "days.slow")),
        ("a.license.lead", ("days",)),
        ("a.license.answer", ("days.fast", "days.usual", "days.slow", "comes_back")),
        ("a.license.sign", ()),
        ("a.license.transit", ()),
        ("a.license.form", ()),
        ("mail.courier", ("days.fast", "days.usual", "days.slow")),
        ("a.license", ("fee.amount_usd", "renewal_fee.amount_usd")),
        ("a.office", ("mail_to", "courier_to", "online")),
    ],
)
def test_overridable_fields_follow_the_kind_of_row(
    table: RulesTable, name: str, expected: tuple[str, ...]
) -> None:
    assert find_overridable(_row(table, name)) == expected


def test_no_override_leaves_the_table_alone(table: RulesTable) -> None:
    assert apply_overrides(table, ()) == (table, ())


def test_override_changes_its_field_and_stays_with_the_row(table: RulesTable) -> None:
    own = _own("a.license.review", "days.usual", " 21 ")

    changed, problems = apply_overrides(table, (own,))

    before = next(step for step in table.steps if step.name == "review")
    after = replace(before, days=LeadDays(fast=7, usual=21, slow=30), overrides=(own,))
    steps = tuple(after if step is before else step for step in table.steps)
    assert problems == ()
    assert changed == replace(table, steps=steps)


def test_overrides_of_one_row_are_judged_together(table: RulesTable) -> None:
    own = tuple(
        _own("mail.courier", f"days.{name}", days)
        for name, days in (("fast", "10"), ("usual", "12"), ("slow", "20"))
    )

    changed, problems = apply_overrides(table, own)

    assert problems == ()
    assert changed.services[0].days == LeadDays(fast=10, usual=12, slow=20)
    assert changed.services[0].overrides == own


def test_days_out_of_order_are_all_left_out(table: RulesTable) -> None:
    own = (_own("mail.courier", "days.fast", "0"), _own("mail.courier", "days.usual", "4"))

    changed, problems = apply_overrides(table, own)

    assert [str(problem) for problem in problems] == [
        f"{PLACE}R65 `days` of `mail.courier` would be fast 0, usual 4, slow 3\n  hint: {ORDER}"
    ]
    assert changed == table


@pytest.mark.parametrize("days", ["30", "45"])
def test_notice_may_be_raised_or_stay(table: RulesTable, days: str) -> None:
    changed, problems = apply_overrides(table, (_own("a.license.lead", "days", days),))

    number = int(days)
    lead = next(step for step in changed.steps if step.name == "lead")
    assert problems == ()
    assert lead.days == LeadDays(fast=number, usual=number, slow=number)


def test_fee_keeps_payee_and_method_and_a_missing_one_says_to_ask(table: RulesTable) -> None:
    own = (
        _own("a.license", "fee.amount_usd", "7.50"),
        _own("a.license", "renewal_fee.amount_usd", "0"),
    )

    changed, problems = apply_overrides(table, own)

    paper = changed.papers[0]
    ask = "as the office's form says"
    assert problems == ()
    assert paper.fee == Fee(
        amount_usd=Decimal("7.50"), payee="State", method="check", per="aircraft"
    )
    assert paper.renewal_fee == Fee(amount_usd=Decimal(0), payee=ask, method=ask)
    assert paper.overrides == own


def test_office_takes_envelope_lines_and_a_site(table: RulesTable) -> None:
    own = (
        _own("a.office", "mail_to", "Office / P.O. Box 9 / Burrell Crossing, NE"),
        _own("a.office", "courier_to", "c/o Office / 1 New Road"),
        _own("a.office", "online", "new site"),
    )

    changed, problems = apply_overrides(table, own)

    office = changed.offices[0]
    assert problems == ()
    assert office == replace(
        table.offices[0],
        mail_to=("Office", "P.O. Box 9", "Burrell Crossing, NE"),
        courier_to=("c/o Office", "1 New Road"),
        online="new site",
        overrides=own,
    )


NO_DAYS, NO_FEE = "no number of days", "no amount in dollars"
REVIEW, LEAD = "`days.usual` of `a.license.review`", "`days` of `a.license.lead`"
FEE, MAIL_TO = "`fee.amount_usd` of `a.license`", "`mail_to` of `a.office`"
SITE = "write the site or e-mail address, at most 200 characters"


@pytest.mark.parametrize(
    ("own", "sentence", "hint"),
    [
        (
            _own("a.license.reviev", "days.usual", "9"),
            "R61 `a.license.reviev` is no row that can take a value of your own",
            "did you mean `a.license.review`?",
        ),
        (
            _own("zzz", "days.usual", "9"),
            "R61 `zzz` is no row that can take a value of your own",
            "name a step, a mail service, a paper or an office",
        ),
        (
            _own("a.license.review", "days.usualy", "9"),
            "R62 `days.usualy` of `a.license.review` cannot be changed",
            "did you mean `days.usual`?",
        ),
        (
            _own("a.office", "title", "x"),
            "R62 `title` of `a.office` cannot be changed",
            "it takes: mail_to, courier_to, online",
        ),
        (
            _own("a.license.sign", "title", "x"),
            "R62 `title` of `a.license.sign` cannot be changed",
            "leave this row alone",
        ),
        *((_own("a.license.review", "days.usual", bad), f"R63 {REVIEW} is {bad!r}, {NO_DAYS}", DAYS)
          for bad in ("-1", "901", "2.5", "", "9" * 5000, "\u0663")),
        *((_own("a.license", "fee.amount_usd", bad), f"R63 {FEE} is {bad!r}, {NO_FEE}", DOLLARS)
          for bad in ("-5", "5.001", "1e3", "NaN", "$5", "100001", "")),
        *((_own("a.office", "mail_to", bad), f"R63 {MAIL_TO} does not fit on an envelope", ENVELOPE)
          for bad in ("One line", "A / / B", f"A / {'x' * 81}", "A / B\a", " / ".join("ABCDEFG"))),
        (_own("a.office", "online", " "), "R63 `online` of `a.office` is empty or too long", SITE),
        (
            _own("a.license.lead", "days", "29"),
            f"R64 {LEAD} is 29, below the 30 days the rule asks for",
            "a notice period can be raised, never lowered",
        ),
        (
            _own("a.license.review", "days.usual", "31"),
            "R65 `days` of `a.license.review` would be fast 7, usual 31, slow 30",
            ORDER,
        ),
        (
            _own("a.license.review", "days.usual", "20", reason=" "),
            f"R66 {REVIEW} has no reason",
            "write why, and who told you",
        ),
    ],
)  # fmt: skip
def test_override_that_does_not_fit_is_left_out(
    table: RulesTable, own: Override, sentence: str, hint: str
) -> None:
    changed, problems = apply_overrides(table, (own,))

    expected = [f"{PLACE}{sentence}\n  hint: {hint}"]
    assert [str(problem) for problem in problems] == expected
    assert [str(problem) for problem in check_override(table, own)] == expected
    assert changed == table


def test_field_given_twice_keeps_the_first(table: RulesTable) -> None:
    first, second = (_own("mail.courier", "days.slow", days) for days in ("8", "9"))

    changed, problems = apply_overrides(table, (first, second))

    assert [str(problem) for problem in problems] == [
        f"{PLACE}R66 `days.slow` of `mail.courier` stands twice\n  hint: keep one of them"
    ]
    assert changed.services[0].overrides == (first,)


def test_check_counts_what_is_kept_already_and_replaces_the_same_field(table: RulesTable) -> None:
    saved = (_own("mail.courier", "days.slow", "9"), _own("mail.courier", "days.usual", "8"))

    alone = check_override(table, _own("mail.courier", "days.usual", "7"))
    with_saved = check_override(table, _own("mail.courier", "days.usual", "7"), saved)
    below_saved = check_override(table, _own("mail.courier", "days.slow", "7"), saved)

    assert [problem.code for problem in alone] == ["R65"]
    assert with_saved == ()
    assert [problem.sentence for problem in below_saved] == [
        "`days` of `mail.courier` would be fast 1, usual 8, slow 7"
    ]


def test_raised_notice_may_be_lowered_again_as_far_as_the_rule(table: RulesTable) -> None:
    saved = (_own("a.license.lead", "days", "60"),)

    assert check_override(table, _own("a.license.lead", "days", "30"), saved) == ()


def test_every_edition_of_a_row_is_changed_and_a_fault_is_said_once(table: RulesTable) -> None:
    old = replace(table.services[0], applies_until=date(2026, 12, 31))
    new = replace(table.services[0], applies_from=date(2027, 1, 1))
    editions = replace(table, services=(old, new))

    changed, _ = apply_overrides(editions, (_own("mail.courier", "days.slow", "9"),))
    _, problems = apply_overrides(editions, (_own("mail.courier", "days.slow", "x"),))

    assert [row.days.slow for row in changed.services] == [9, 9]
    assert len(problems) == 1


def test_own_share_of_returns_takes_the_place_of_the_guess(table: RulesTable) -> None:
    """It is written as people say it, and the source becomes the user."""
    changed, problems = apply_overrides(table, (_own("a.license.answer", "comes_back", "3 of 20"),))

    row = _row(changed, "a.license.answer")
    assert problems == ()
    assert isinstance(row, StepRow)
    assert row.comes_back == ComesBack(times=3, of=20, cite="your own value")


@pytest.mark.parametrize(
    "value", ["0 of 8", "8 of 8", "9 of 8", "1/8", "one of 8", "1 of 1001", ""]
)
def test_share_of_returns_that_makes_no_sense(table: RulesTable, value: str) -> None:
    """At least one of several packets, and never all of them."""
    changed, problems = apply_overrides(table, (_own("a.license.answer", "comes_back", value),))

    expected = f"{PLACE}R63 `comes_back` of `a.license.answer` is {value!r}\n"
    expected += "  hint: write how many packets of how many, such as 1 of 8; at most 1,000"
    assert [str(problem) for problem in problems] == [expected]
    assert _row(changed, "a.license.answer") == _row(table, "a.license.answer")
