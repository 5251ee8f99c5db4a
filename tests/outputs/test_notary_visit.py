"""The page for the notary and the federal declaration, read back by readers that are not ours."""

from collections.abc import Callable
from dataclasses import replace
from io import BytesIO

import numpy as np
import pypdfium2
import pytest
import zxingcpp
from pypdf import PdfReader

from compliance.app.demo import DEMO_DAY
from compliance.app.planning import Planned
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.facts.model import Acquired, Operation
from compliance.forms.model import BlankKind
from compliance.outputs.notary_visit import (
    NotaryVisit,
    UnswornDeclaration,
    compute_notary_visit,
    compute_unsworn_declaration,
)
from compliance.outputs.notary_visit_pdf import render_notary_visit, render_unsworn_declaration
from compliance.outputs.own_model import OwnSignLine
from compliance.rules.model import NotaryAct, RulesTable

PACKET = "faa.registration-n:tg46"


@pytest.fixture
def registration(demo_plan: Plan) -> PaperPlan:
    return find(demo_plan, PACKET)


@pytest.fixture
def visit(demo_plan: Plan, registration: PaperPlan) -> NotaryVisit:
    page = compute_notary_visit(demo_plan, registration)
    assert page is not None
    return page


@pytest.fixture
def declaration(demo_plan: Plan, registration: PaperPlan) -> UnswornDeclaration:
    sheet = compute_unsworn_declaration(demo_plan, registration)
    assert sheet is not None
    return sheet


@pytest.fixture
def iowa(demo_operation: Operation, table: RulesTable) -> Plan:
    """The demo in Iowa with nothing in hand: a power of attorney as its form prints it."""
    jobs = tuple(replace(job, state="IA") for job in demo_operation.jobs)
    return compute_plan(replace(demo_operation, papers=(), jobs=jobs), table, (), DEMO_DAY)


def find(plan: Plan, name: str) -> PaperPlan:
    return next(one for one in plan.papers if one.id == name)


def read_pypdf(data: bytes) -> str:
    return "".join(page.extract_text() for page in PdfReader(BytesIO(data), strict=True).pages)


def read_pdfium(data: bytes) -> str:
    document = pypdfium2.PdfDocument(data)
    return "".join(page.get_textpage().get_text_bounded() for page in document)


def squash(text: str) -> str:
    return "".join(text.split())


READERS = pytest.mark.parametrize("read", [read_pypdf, read_pdfium])


def test_compute_notary_visit_of_the_demo(visit: NotaryVisit, registration: PaperPlan) -> None:
    step = registration.find_step("notarize")

    assert step is not None
    assert step.last is not None
    assert len(visit.papers) == 1
    assert visit.papers[0] == (
        "Affidavit of ownership for an unmanned aircraft "
        "(signer: the same person as on the application, in front of the notary)"
    )
    assert visit.look_out == (
        "It came back on Wed 6 Jan 2027: notary block: commission expiry left empty",
    )
    assert visit.days[-1] == f"The last day is {step.last:%a} {step.last.day} {step.last:%b %Y}"


# What each part of a certificate is looked at for: Minn. Stat. 358.65, Iowa Code 9B.15 and 9B.17,
# NDCC 44-06.1-14, ORS 194.285(3).
WORD_OF_PART = {
    BlankKind.NOTARY_STATE: "State:",
    BlankKind.NOTARY_COUNTY: "County:",
    BlankKind.NOTARY_DATE: "Date: today",
    BlankKind.NOTARY_ACT: "signed and sworn",
    BlankKind.NOTARY_SIGNATURE: "notary's signature",
    BlankKind.NOTARY_TITLE: "Notary Public",
    BlankKind.NOTARY_STAMP: "Stamp:",
    BlankKind.NOTARY_EXPIRY: "not before today",
}


def test_notary_visit_looks_at_every_part_of_a_certificate(visit: NotaryVisit) -> None:
    parts = {kind for kind in BlankKind if kind.is_notarial}
    texts = " ".join(item.text for item in visit.look_at)

    assert set(WORD_OF_PART) == parts
    assert [word for word in WORD_OF_PART.values() if word not in texts] == []


@READERS
def test_notary_visit_says_everything_with_its_source(
    visit: NotaryVisit, read: Callable[[bytes], str]
) -> None:
    text = squash(read(render_notary_visit(visit).pdf))
    items = (*visit.bring, *visit.look_at, *visit.avoid)
    lines = (*visit.papers, *visit.days, *visit.look_out)

    assert [item for item in items if squash(f"{item.text} [{item.source}]") not in text] == []
    assert [line for line in lines if squash(line) not in text] == []
    assert [item.text for item in items if not item.source] == []


def test_notary_visit_is_one_page(visit: NotaryVisit) -> None:
    assert len(PdfReader(BytesIO(render_notary_visit(visit).pdf)).pages) == 1


def test_compute_notary_visit_done_already(demo_planned: Planned, table: RulesTable) -> None:
    """Before the packet came back the notary had been seen on 24 November."""
    plan = compute_plan(demo_planned.plan.operation, table, demo_planned.log[:3], DEMO_DAY)
    page = compute_notary_visit(plan, find(plan, PACKET))

    assert page is not None
    assert page.days == ("Done on Tue 24 Nov 2026",)


def test_compute_notary_visit_not_needed(demo_plan: Plan) -> None:
    petition = find(demo_plan, "faa.exemption")

    assert compute_notary_visit(demo_plan, petition) is None
    assert compute_unsworn_declaration(demo_plan, petition) is None


def test_state_paper_gets_the_visit_but_no_federal_declaration(iowa: Plan) -> None:
    """28 USC 1746 is federal law: it says nothing about a form of Iowa, sworn to or not."""
    paper = find(iowa, "ia.commercial-license")
    rows = tuple(replace(row, notary=NotaryAct.JURAT) for row in paper.packet.documents)
    sworn = replace(paper, packet=replace(paper.packet, documents=rows))
    page = compute_notary_visit(iowa, paper)

    assert page is not None
    assert [line.split(" (signer")[0] for line in page.papers] == [
        "Power of attorney naming somebody in Iowa to be served with court papers"
    ]
    assert compute_unsworn_declaration(iowa, paper) is None
    assert compute_unsworn_declaration(iowa, sworn) is None


def test_imported_aircraft_takes_two_papers_and_swears_one(
    demo_operation: Operation, table: RulesTable
) -> None:
    aircraft = tuple(replace(one, acquired=Acquired.IMPORTED) for one in demo_operation.aircraft)
    plan = compute_plan(replace(demo_operation, aircraft=aircraft), table, (), DEMO_DAY)
    paper = find(plan, PACKET)
    page = compute_notary_visit(plan, paper)
    sheet = compute_unsworn_declaration(plan, paper)

    assert page is not None
    assert sheet is not None
    assert len(page.papers) == 2
    assert sheet.papers == ("Affidavit of ownership for an unmanned aircraft",)


# The tokens of 28 USC 1746(2), text of 1976 (read).
TOKENS = (
    "I declare under penalty of perjury that the foregoing is true and correct.",
    "Executed on (date)",
)


@READERS
def test_declaration_has_the_words_of_the_law_on_the_page_to_send(
    declaration: UnswornDeclaration, read: Callable[[bytes], str]
) -> None:
    data = render_unsworn_declaration(declaration).pdf
    keep, send = (squash(page.extract_text()) for page in PdfReader(BytesIO(data)).pages)
    text = squash(read(data))

    assert [token for token in TOKENS if squash(token) not in text] == []
    assert [token for token in TOKENS if squash(token) not in send] == []
    assert squash("Ask first: does FAA Aircraft Registration Branch take this sheet") in keep
    assert squash("go to the notary and leave this sheet out") in keep
    assert "28USC1746" in keep
    assert "Askfirst" not in send


def test_declaration_signature_block(declaration: UnswornDeclaration) -> None:
    assert declaration.sign_lines == (
        OwnSignLine(label="Executed on (date)", blank="signed-on", kind=BlankKind.DATE),
        OwnSignLine(label="Signature", tall=True, blank="signature", kind=BlankKind.SIGNATURE),
        OwnSignLine(label="Printed name", blank="printed-name", kind=BlankKind.PRINTED_NAME),
        OwnSignLine(
            label="Title (strike it when you sign for yourself)",
            known="Member",
            blank="signer-title",
            kind=BlankKind.TITLE,
        ),
    )


def test_notary_pages_carry_their_codes_and_repeat(
    visit: NotaryVisit, declaration: UnswornDeclaration
) -> None:
    """A code in each corner, read by zxing-cpp."""
    made = (render_notary_visit(visit), render_unsworn_declaration(declaration))
    for pages in made:
        for number, page in enumerate(pypdfium2.PdfDocument(pages.pdf)):
            grey = np.asarray(page.render(scale=4, grayscale=True).to_pil())
            found = {code.text for code in zxingcpp.read_barcodes(grey)}
            assert found == {f"{pages.code}{number}{corner}" for corner in range(4)}

    assert made == (render_notary_visit(visit), render_unsworn_declaration(declaration))
    assert [place.spot.blank for place in made[1].places] == [
        "signed-on",
        "signature",
        "printed-name",
        "signer-title",
    ]
