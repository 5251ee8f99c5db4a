"""The example tables are invented; only the shape of a row is tested here."""

import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from compliance.base.problems import SourceRef
from compliance.facts.basis import Basis, Confidence
from compliance.facts.conditions import ALWAYS, AllOf, AnyOf
from compliance.facts.conditions import Test as FactTest
from compliance.facts.log import EventKind
from compliance.facts.model import HolderKind
from compliance.rules.model import (
    CalendarName,
    CountsOn,
    DocumentRow,
    DueUnit,
    DutyEvent,
    DutyKind,
    DutyRow,
    Fee,
    Freshness,
    LeadDays,
    NotaryAct,
    OfficeRow,
    PaperRow,
    RulesTable,
    ServiceRow,
    StepKind,
    StepRow,
    StepUse,
)
from compliance.rules.parse import parse_table
from compliance.rules.parse_parts import is_month_day
from compliance.rules.validity_model import Mark, Renewal, Validity, ValidityKind

BAD = Path(__file__).parents[1] / "data" / "bad_rules"
SOURCES = Path(__file__).parents[2] / "compliance"

COMMON = """\
authority: Common
reviewed: 2026-11-25
services:
  - id: mail.courier
    title: Courier
    days: {fast: 1, usual: 2, slow: 4}
    calendar: federal
    reaches_po_box: no
    cite: own example
    edition: none
    confidence: common-practice
patterns:
  - name: posted
    steps:
      - {name: sign, title: Sign it, kind: act, event: signed, done_at: farm, cite: p,
          edition: q, confidence: read}
      - {name: mail, title: Mail it, kind: act, done_at: post office, cite: p,
          edition: q, confidence: read}
      - {name: review, title: Looked at, kind: wait, days: 5, cite: p, edition: q, confidence: read}
"""

STATE = """\
authority: A state
states: [NE]
reviewed: 2026-11-24
offices:
  - id: a.office
    title: Office
    mail_to: [Office, 1 Example Road]
    counts_on: sent
    cite: own example
    edition: none
    confidence: memory
papers:
  - id: a.license
    title: License
    holder: aircraft
    why: The example needs one.
    when:
      - job.state: NE
      - any: [{aircraft.takeoff_weight_lb: at least 55}, {job.for_hire: yes}]
    office: a.office
    applies_from: 2027-01-01
    validity: {kind: fixed-day, day: 12-31, years: 3, after_issue_year: yes}
    renewal: {opens_months: 2, opens_before_month: yes, renew_by: 30 days before,
      late_fee_from: 02-01, reexam_from: 60 days after, carries_over: yes}
    fee: {amount_usd: 12.50, payee: State, method: check, per: aircraft}
    notes: One note alone.
    pattern: posted
    without_steps: [sign]
    cite: Example Code 1
    edition: 2026
    confidence: conflicting
    note: Two texts disagree.
    steps:
      - name: mail
        title: Mail it twice
        kind: act
        done_at: post office
        calendar: post-office
        event: mailed
        needs: [a.other]
        fresh: {after: fetch, days: 30}
        after: [fetch]
        cite: Example Code 2
        confidence: read
      - name: fetch
        title: Fetch the form
        kind: act
        use: first
        done_at: farm
        after: []
        cite: Example Code 3
        edition: 2025
        confidence: read
        reviewed: 2026-01-02
    documents:
      - name: form
        title: The form
        template: a-form
        originals: 1
        copies: 2
        keep_copy: no
        signer: the owner
        notary: jurat
        cite: Example Code 4
        confidence: read
    duties:
      - id: a.license.report
        title: Report it
        event: [accident, departure]
        kind: report-after
        trigger: the accident
        direction: after
        count: 10
        unit: business-days
        counts_on: received
        cite: Example Code 5
        confidence: read
"""


def _basis(citation: str, confidence: str = "read", **other: object) -> Basis:
    known: dict[str, object] = {"edition": "2026", "reviewed_on": date(2026, 11, 24)} | other
    return Basis(citation=citation, confidence=Confidence(confidence), **known)  # type: ignore[arg-type]


def _at(line: int, column: int, file: str = "state.yaml") -> SourceRef:
    return SourceRef(file=file, line=line, column=column)


def _parse(*texts: str) -> RulesTable:
    names = ("common.yaml", "state.yaml")
    table, problems = parse_table(dict(zip(names, texts, strict=False)))
    assert problems == ()
    return table


@pytest.mark.parametrize("path", sorted(BAD.glob("*.yaml")), ids=lambda path: str(path.stem))
def test_bad_file_gives_exactly_the_lines_beside_it(path: Path) -> None:
    _, problems = parse_table({path.name: path.read_text(encoding="utf-8")})

    expected = path.with_suffix(".txt").read_text(encoding="utf-8")
    assert "".join(f"{problem}\n" for problem in problems) == expected
    assert path.stem in {problem.code for problem in problems}


def test_bad_files_cover_every_code_the_parser_can_give() -> None:
    parsers = [SOURCES / "base/reading.py", SOURCES / "facts/conditions.py"]
    parsers.extend((SOURCES / "rules").glob("parse*.py"))
    text = "".join(path.read_text(encoding="utf-8") for path in parsers)

    codes = {f"R{number}" for number in re.findall(r'(?:note\(\s*"|\{family\})(\d\d)"', text)}
    assert codes == {path.stem for path in BAD.glob("*.yaml")}


def test_all_files_report_their_problems_together_sorted_by_place() -> None:
    files = {"b.yaml": "authority: B\n", "a.yaml": "", "c.yaml": "- x\n"}

    _, problems = parse_table(files)

    assert [(str(problem.place), problem.code) for problem in problems] == [
        ("a.yaml:1:1", "S004"),
        ("b.yaml:1:1", "R03"),
        ("c.yaml:1:1", "R01"),
    ]


def test_office_and_service_are_read_whole() -> None:
    table = _parse(COMMON, STATE)

    assert table.offices == (
        OfficeRow(
            id="a.office",
            title="Office",
            basis=_basis("own example", "memory", edition="none"),
            place=_at(5, 5),
            mail_to=("Office", "1 Example Road"),
            counts_on=CountsOn.SENT,
        ),
    )
    assert table.services == (
        ServiceRow(
            id="mail.courier",
            title="Courier",
            basis=_basis(
                "own example", "common-practice", edition="none", reviewed_on=date(2026, 11, 25)
            ),
            place=_at(4, 5, "common.yaml"),
            days=LeadDays(fast=1, usual=2, slow=4),
            calendar=CalendarName.FEDERAL,
            reaches_po_box=False,
        ),
    )
    assert table.states == ("NE",)


def test_paper_is_read_whole() -> None:
    table = _parse(COMMON, STATE)

    heavy = FactTest("aircraft.takeoff_weight_lb", "at least", (Decimal(55),))
    hire = FactTest("job.for_hire", "is", (True,))
    assert table.papers == (
        PaperRow(
            id="a.license",
            title="License",
            when=AllOf((FactTest("job.state", "is", ("NE",)), AnyOf((heavy, hire)))),
            basis=_basis("Example Code 1", "conflicting", note="Two texts disagree."),
            applies_from=date(2027, 1, 1),
            place=_at(13, 5),
            holder=HolderKind.AIRCRAFT,
            why="The example needs one.",
            office="a.office",
            validity=Validity(
                kind=ValidityKind.FIXED_DAY, month_day="12-31", years=3, after_issue_year=True
            ),
            renewal=Renewal(
                opens_months=2,
                opens_before_month=True,
                renew_by=Mark(days=-30),
                late_fee_from=Mark(month_day="02-01"),
                reexam_from=Mark(days=60),
                carries_over=True,
            ),
            fee=Fee(amount_usd=Decimal("12.50"), payee="State", method="check", per="aircraft"),
            notes=("One note alone.",),
        ),
    )


def test_steps_of_a_paper_replace_drop_and_follow_those_of_its_pattern() -> None:
    table = _parse(COMMON, STATE)

    assert table.steps == (
        StepRow(
            id="a.license.mail",
            title="Mail it twice",
            basis=_basis("Example Code 2"),
            applies_from=date(2027, 1, 1),
            place=_at(34, 9),
            paper="a.license",
            name="mail",
            kind=StepKind.ACT,
            calendar=CalendarName.POST_OFFICE,
            done_at="post office",
            event=EventKind.MAILED,
            after=("fetch",),
            needs=("a.other",),
            fresh=Freshness(after="fetch", days=30),
        ),
        StepRow(
            id="a.license.review",
            title="Looked at",
            basis=_basis("p", edition="q"),
            applies_from=date(2027, 1, 1),
            place=_at(19, 9, "common.yaml"),
            paper="a.license",
            name="review",
            kind=StepKind.WAIT,
            after=("mail",),
            days=LeadDays(fast=5, usual=5, slow=5),
        ),
        StepRow(
            id="a.license.fetch",
            title="Fetch the form",
            basis=_basis("Example Code 3", edition="2025", reviewed_on=date(2026, 1, 2)),
            applies_from=date(2027, 1, 1),
            place=_at(45, 9),
            paper="a.license",
            name="fetch",
            kind=StepKind.ACT,
            use=StepUse.FIRST,
            done_at="farm",
        ),
    )


def test_document_and_duty_are_read_whole() -> None:
    table = _parse(COMMON, STATE)

    assert table.documents == (
        DocumentRow(
            id="a.license.form",
            title="The form",
            basis=_basis("Example Code 4"),
            applies_from=date(2027, 1, 1),
            place=_at(56, 9),
            paper="a.license",
            template="a-form",
            originals=1,
            copies=2,
            keep_copy=False,
            signer="the owner",
            notary=NotaryAct.JURAT,
        ),
    )
    assert table.duties == (
        DutyRow(
            id="a.license.report",
            title="Report it",
            basis=_basis("Example Code 5"),
            applies_from=date(2027, 1, 1),
            place=_at(67, 9),
            paper="a.license",
            events=(DutyEvent.ACCIDENT, DutyEvent.DEPARTURE),
            kind=DutyKind.REPORT_AFTER,
            trigger="the accident",
            before=False,
            count=10,
            unit=DueUnit.BUSINESS_DAYS,
            counts_on=CountsOn.RECEIVED,
        ),
    )


def test_row_without_when_holds_always() -> None:
    table = _parse(COMMON)

    assert [row.when for row in table.rows] == [ALWAYS]


def test_steps_without_after_follow_the_one_before_them() -> None:
    text = STATE.replace("    without_steps: [sign]\n", "").replace("        after: [fetch]\n", "")

    table = _parse(COMMON, text)

    assert [(step.name, step.after) for step in table.steps] == [
        ("sign", ()),
        ("mail", ("sign",)),
        ("review", ("mail",)),
        ("fetch", ()),
    ]


def test_step_may_stand_twice_with_days_of_its_own() -> None:
    """Both editions follow the step before them, and what comes next follows both by one name."""
    text = STATE.replace("        after: []\n", "").replace("        after: [fetch]\n", "")
    edition = "title: Edition, kind: act, done_at: farm, cite: p, confidence: read"
    text = text.replace(
        "    documents:\n",
        f"      - {{name: end, applies_until: 2026-12-31, {edition}}}\n"
        f"      - {{name: end, applies_from: 2027-01-01, {edition}}}\n"
        f"      - {{name: last, {edition}}}\n"
        "    documents:\n",
    )

    table = _parse(COMMON, text)

    assert [(step.name, step.after) for step in table.steps][-4:] == [
        ("fetch", ("review",)),
        ("end", ("fetch",)),
        ("end", ("fetch",)),
        ("last", ("end",)),
    ]


def test_step_after_a_return_is_not_followed_by_the_next() -> None:
    text = STATE.replace("        use: first\n", "        use: after-return\n")
    text = text.replace("        after: []\n", "").replace("        after: [fetch]\n", "")
    text = text.replace(
        "    documents:\n",
        "      - {name: end, title: End, kind: act, done_at: farm, cite: p, confidence: read}\n"
        "    documents:\n",
    )

    table = _parse(COMMON, text)

    assert [(step.name, step.after) for step in table.steps] == [
        ("mail", ()),
        ("review", ("mail",)),
        ("fetch", ()),
        ("end", ("review",)),
    ]


def test_editions_of_a_row_apply_on_their_first_and_last_day() -> None:
    text = STATE.replace(
        "    applies_from: 2027-01-01\n",
        "    applies_from: 2027-01-01\n    applies_until: 2027-12-31\n",
    )

    paper = _parse(COMMON, text).papers[0]

    days = (date(2026, 12, 31), date(2027, 1, 1), date(2027, 12, 31), date(2028, 1, 1))
    assert [paper.in_force_on(day) for day in days] == [False, True, True, False]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("12-31", True),
        ("02-28", True),
        ("02-29", False),  # not in every year
        ("02-end", True),
        ("04-31", False),
        ("13-01", False),
        ("4-1", False),
        ("00-end", False),
    ],
)
def test_day_of_the_year_is_one_that_comes_every_year(text: str, expected: bool) -> None:
    assert is_month_day(text) is expected
