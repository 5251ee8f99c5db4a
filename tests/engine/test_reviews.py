"""Rules that nobody has looked at for too long are named once a file; examples are invented."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from io import BytesIO

import pytest
from pypdf import PdfReader

from compliance.engine.coverage import FEDERAL, compute_coverage, find_states
from compliance.engine.explain_words import Explanation
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.engine.reviews import find_old_reviews
from compliance.facts.basis import REVIEW_AFTER_DAYS
from compliance.facts.model import Operation
from compliance.facts.states import STATES
from compliance.outputs.calendar_entries import compute_entries
from compliance.outputs.duties_text import render_duties_text
from compliance.outputs.notary_visit import compute_notary_visit
from compliance.outputs.packet_model import compute_checklist, compute_coversheet
from compliance.outputs.plan_json import compute_plan_document
from compliance.outputs.plan_text import render_plan_text
from compliance.outputs.records_pdf import RecordsDocument, render_records
from compliance.outputs.today_text import render_today_text
from compliance.outputs.why_text import render_why_text
from compliance.rules.model import RulesTable

REVIEWED = date(2026, 11, 25)
PAPER = """\
  - {id: own.license, title: License, holder: operation, why: w, office: own.office,
     validity: {kind: from-document}, when: [{job.state: NE}], review_by: 2027-01-10,
     cite: c, edition: e, confidence: read, steps: [{name: mail, title: Mail, kind: act,
     done_at: post office, event: granted, @own}]}
"""
LINE = (
    "1 rule of Invented office (own.yaml) should have been looked over again by Sun 10 Jan 2027 "
    "and may have changed; ask the agency before you rely on the dates"
)


@pytest.mark.parametrize(("on", "said"), [(date(2027, 1, 10), ()), (date(2027, 1, 11), (LINE,))])
def test_row_is_past_on_the_day_after_its_own_review_day(
    make_table: Callable[[str], RulesTable], on: date, said: tuple[str, ...]
) -> None:
    """The last day itself is still good (our own convention: by is inclusive)."""
    assert find_old_reviews(make_table(PAPER), ("NE",), on) == said


def test_rows_of_other_states_do_not_matter(make_table: Callable[[str], RulesTable]) -> None:
    assert find_old_reviews(make_table(PAPER), ("SD",), date(2027, 1, 11)) == ()


def test_every_row_is_past_a_year_and_a_day_after_its_review(table: RulesTable) -> None:
    """365 days from the review, 366 are too many; nothing of the shipped table is past today."""
    last = max(row.basis.reviewed_on for row in table.rows) + timedelta(days=REVIEW_AFTER_DAYS)

    assert find_old_reviews(table, tuple(STATES), REVIEWED) == ()
    after = find_old_reviews(table, tuple(STATES), last + timedelta(days=1))
    assert len(after) == len({row.place.file for row in table.rows})


@pytest.fixture(name="old")
def old_plan(
    make_table: Callable[[str], RulesTable], make_operation: Callable[..., Operation]
) -> Plan:
    return compute_plan(make_operation(), make_table(PAPER), (), date(2027, 1, 11))


def test_each_output_names_the_file(old: Plan) -> None:
    """Plan, its JSON, today, duties, checklist, the kept cover sheet and calendar entries."""
    (paper,) = old.papers
    texts = (render_plan_text(old), render_today_text(old))
    duties = render_duties_text(old, job="", days=7, everything=False)

    assert old.reviews == (LINE,)
    assert [LINE in " ".join(text.split()) for text in (*texts, duties)] == [True, True, True]
    assert LINE in compute_plan_document(old)["warnings"]
    assert LINE in compute_checklist(old, paper, {}).warnings
    assert compute_coversheet(old, paper).look_out == (LINE,)
    entries = [entry for entry in compute_entries(old) if "Packet: " in entry.text]
    assert entries
    assert [entry.title for entry in entries if LINE not in entry.text] == []


def test_why_and_the_page_for_the_notary_name_it_too(old: Plan, demo_plan: Plan) -> None:
    """The page of the demo's notarized packet takes the lines of any plan."""
    explanation = Explanation(answer="It is needed.", sections=())
    paper = next(one for one in demo_plan.papers if one.id == "faa.registration-n:tg46")
    visit = compute_notary_visit(replace(demo_plan, reviews=old.reviews), paper)

    assert f"! {LINE}" in " ".join(render_why_text(explanation, old.reviews).split())
    assert visit is not None
    assert visit.look_out[-1] == LINE


def test_pages_of_records_name_it() -> None:
    document = RecordsDocument(
        name="Home Farm", state="", as_of=date(2027, 1, 11), pages=(), reviews=(LINE,)
    )
    text = PdfReader(BytesIO(render_records(document))).pages[0].extract_text()

    assert LINE in " ".join(text.split())


def test_coverage_has_every_state_and_counts_every_row(table: RulesTable) -> None:
    coverage = compute_coverage(table, REVIEWED)
    states = [one.state for one in coverage]
    with_paper = {one.state for one in coverage if one.papers and one.state}

    assert states == [FEDERAL, *sorted(STATES)]
    assert with_paper == set(table.states)
    gaps = {row.id for one in coverage for row in one.gaps}
    assert gaps == {row.id for row in table.gaps}


def test_row_that_has_ended_is_left_out(make_table: Callable[[str], RulesTable]) -> None:
    table = make_table(PAPER)
    (paper,) = table.papers
    ended = replace(table, papers=(replace(paper, applies_until=date(2026, 12, 31)),))

    by_state = {one.state: one for one in compute_coverage(ended, date(2027, 1, 1))}

    assert find_states(paper) == ("NE",)
    assert by_state["NE"].papers == ()
