"""Our own papers read back by two PDF readers that did not write them, and measured as pictures."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from io import BytesIO
from typing import cast

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium_c
import pytest
import zxingcpp
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from compliance.app.demo import DEMO_DAY
from compliance.base.problems import SourceRef
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.facts.model import Address, EntityType, ManagedBy, Operation
from compliance.forms.model import Blank, BlankKind, FilledBy, FormTemplate, Supplier
from compliance.outputs.own_documents import compute_own_documents
from compliance.outputs.own_documents_pdf import render_own_document as lay_out
from compliance.outputs.own_model import OwnChoice, OwnDocument, OwnField, OwnPlace, OwnSignLine
from compliance.outputs.own_wording import MARK, WORDINGS
from compliance.rules.model import NotaryAct, RulesTable

LETTER = (612.0, 792.0)
EDGE = 18.0  # what common printers leave unprinted; common practice, no source
SCALE = 2
LONG = "Sandbur Flats Aerial Seeding, Spraying and Scouting Partners of Burrell Crossing LLC " * 3
Templates = Mapping[str, FormTemplate]
Papers = dict[str, tuple[OwnDocument, FormTemplate]]


@pytest.fixture(scope="module")
def everything(demo_operation: Operation) -> Operation:
    """The demo with nothing in hand and jobs that ask for every paper of our own."""
    states = ("NE", "IA", "SD", "NE")
    jobs = tuple(
        replace(job, state=state, congested_area=True)
        for job, state in zip(demo_operation.jobs, states, strict=True)
    )
    return replace(demo_operation, papers=(), jobs=jobs)


@pytest.fixture(scope="module")
def papers_of(table: RulesTable, templates: Templates) -> Callable[[Operation], Papers]:
    """Every paper of our own that an operation needs, by template."""

    def list_papers(operation: Operation) -> Papers:
        plan = compute_plan(operation, table, (), DEMO_DAY)
        found: Papers = {}
        for paper in plan.papers:
            rows = {row.id.rpartition(".")[2]: row for row in paper.packet.documents}
            for document in compute_own_documents(plan, paper, templates):
                template = templates[rows[document.name].template]
                found[template.id] = (document, template)
        return found

    return list_papers


@pytest.fixture(scope="module")
def papers(papers_of: Callable[[Operation], Papers], everything: Operation) -> Papers:
    return papers_of(everything)


def render_own_document(document: OwnDocument) -> bytes:
    return lay_out(document).pdf


def read_pypdf(data: bytes) -> str:
    return "".join(page.extract_text() for page in PdfReader(BytesIO(data), strict=True).pages)


def read_pdfium(data: bytes) -> str:
    document = pypdfium2.PdfDocument(data)
    return "".join(page.get_textpage().get_text_bounded() for page in document)


def squash(text: str) -> str:
    """Leave out white space: where a line breaks is the page's business."""
    return "".join(text.split())


def find_paths(data: bytes) -> list[list[tuple[float, float, float, float]]]:
    """Left, bottom, right, top of every drawn path, page by page."""
    only = [pdfium_c.FPDF_PAGEOBJ_PATH]
    return [
        [one.get_bounds() for one in page.get_objects(filter=only)]
        for page in pypdfium2.PdfDocument(data)
    ]


def find_label(data: bytes, label: str) -> tuple[int, float, float]:
    """Page, bottom and left of the last place a label stands at, in points."""
    found = []
    for number, page in enumerate(pypdfium2.PdfDocument(data)):
        text = page.get_textpage()
        search = text.search(label, match_case=True)
        while (at := search.get_next()) is not None:
            left, bottom, _, _ = text.get_charbox(at[0])
            found.append((number, bottom, left))
    return found[-1]


READERS = pytest.mark.parametrize("read", [read_pypdf, read_pdfium])
OURS = sorted(WORDINGS)
EACH = pytest.mark.parametrize("name", OURS)


def test_compute_own_documents_covers_every_template_of_ours(
    papers: Papers, templates: Templates
) -> None:
    ours = {one.id for one in templates.values() if one.supplied_by is Supplier.OURS}

    assert set(papers) == ours
    assert set(WORDINGS) == ours


@EACH
def test_wordings_name_blanks_that_exist(name: str, templates: Templates) -> None:
    wording = WORDINGS[name]
    named = {*wording.rows, *wording.columns, *wording.choices, *wording.sections}

    assert named - {blank.id for blank in templates[name].blanks} == set()


@EACH
@READERS
def test_own_document_holds_every_blank(
    name: str, read: Callable[[bytes], str], papers: Papers
) -> None:
    document, template = papers[name]
    text = squash(read(render_own_document(document)))

    assert [one.label for one in template.blanks if squash(one.label) not in text] == []


@READERS
def test_own_documents_hold_the_known_facts(
    read: Callable[[bytes], str], papers: Papers, everything: Operation
) -> None:
    wanted = {
        "faa-llc-statement": (everything.legal_name, "INVENTED-TG46-00017", "Member"),
        "faa-petition": (
            everything.legal_name,
            *everything.mailing_address.lines,
            everything.contact_name,
            everything.contact_phone,
            everything.contact_email,
            "Tallgrass Rotorworks TG-46",
            "118 lb",
            "INVENTED-TG46-00017",
            "INVENTED-TG18-00204",
            "Operations description, manuals, checklists and training program",
        ),
        "faa-congested-plan": (everything.legal_name, "Written approval of the local governing"),
        "faa-congested-notice": (everything.contact_phone,),
        "ia-consultant-agreement": (everything.legal_name,),
        "ins-cover-request": (
            everything.legal_name,
            "Odile Ferrant",
            "Wren Castellow",
            "Nebraska",
            "South Dakota",
            "Iowa",
            "Mon 24 May 2027",
            "Thu 30 Sep 2027",
        ),
    }
    said = {name: squash(read(render_own_document(papers[name][0]))) for name in wanted}
    missing = {
        (name, fact)
        for name, facts in wanted.items()
        for fact in facts
        if squash(fact) not in said[name]
    }

    assert missing == set()


@EACH
@READERS
def test_own_document_claims_nothing_official(
    name: str, read: Callable[[bytes], str], papers: Papers
) -> None:
    """Marks that only an agency's form carries: common practice, no source."""
    data = render_own_document(papers[name][0])
    text = read(data)
    feet = [page.extract_text() for page in PdfReader(BytesIO(data)).pages]
    claims = r"official form|OMB|form approved|paperwork reduction|AC Form|FAA Form|U\.S\. Gov"

    assert squash(MARK) in squash(text)
    assert all("Written by mailby, not by an agency." in foot for foot in feet)
    assert re.findall(claims, text, re.IGNORECASE) == []


@EACH
def test_own_document_is_letter_with_embedded_fonts(name: str, papers: Papers) -> None:
    """US Letter is 8.5 by 11 inches (ANSI/ASME Y14.1, size A; from memory)."""
    pages = PdfReader(BytesIO(render_own_document(papers[name][0])), strict=True).pages
    resources = [cast("DictionaryObject", page["/Resources"]) for page in pages]
    fonts = [
        cast("DictionaryObject", font.get_object())
        for one in resources
        for font in cast("DictionaryObject", one["/Font"]).values()
    ]

    assert {(float(page.mediabox.width), float(page.mediabox.height)) for page in pages} == {LETTER}
    assert [
        one
        for one in fonts
        if "/FontFile2" not in cast("DictionaryObject", one.get("/FontDescriptor", {}))
    ] == []


@EACH
@pytest.mark.parametrize("legal_name", ["Sandbur Flats Aerial LLC", LONG])
def test_own_document_codes_are_read_and_clear(
    name: str,
    legal_name: str,
    papers_of: Callable[[Operation], Papers],
    everything: Operation,
) -> None:
    """Four codes a page, read by zxing-cpp; a module of quiet zone by ISO/IEC 16022."""
    document, _ = papers_of(replace(everything, legal_name=legal_name))[name]
    pages = lay_out(document)
    found = []
    for number, page in enumerate(pypdfium2.PdfDocument(pages.pdf)):
        grey = np.asarray(page.render(scale=4, grayscale=True).to_pil())
        found.append({code.text for code in zxingcpp.read_barcodes(grey)})
        for place in pages.codes[number]:
            assert place is not None
            assert min(*place[:2], LETTER[0] - place[2], LETTER[1] - place[3]) >= EDGE
            left, bottom, right, top = (round(side * 4) for side in place)
            code = grey[3168 - top : 3168 - bottom, left:right].copy()
            around = grey[3168 - top - 9 : 3168 - bottom + 9, left - 9 : right + 9].copy()
            around[9:-9, 9:-9] = 255
            assert code.min() < 50
            assert around[1:-1, 1:-1].min() > 200

    assert found == [
        {f"{pages.code}{number}{corner}" for corner in range(4)} for number in range(len(found))
    ]
    assert squash(legal_name) in squash(read_pdfium(pages.pdf))


@EACH
def test_own_document_equal_input_gives_equal_bytes(name: str, papers: Papers) -> None:
    document, _ = papers[name]

    assert render_own_document(document) == render_own_document(replace(document))


@EACH
def test_own_document_boxes_are_12_points(name: str, papers: Papers) -> None:
    document, _ = papers[name]
    squares = [
        box
        for page in find_paths(render_own_document(document))
        for box in page
        if abs((box[2] - box[0]) - (box[3] - box[1])) < 0.5 and box[2] - box[0] < 30
    ]
    # The reader adds a whole stroke of 0.8 points on each side.
    sides = {round(box[2] - box[0] - 1.6, 1) for box in squares}

    assert len(squares) == sum(len(field.choices) for field in document.fields)
    assert sides <= {12.0}


@EACH
def test_own_document_empty_lines_have_room(name: str, papers: Papers) -> None:
    """At least 14 points of clear paper above a line that is to be written on."""
    document, _ = papers[name]
    data = render_own_document(document)
    wanted = sum(field.rows for field in document.fields)
    wanted += sum(not cell for field in document.fields for row in field.table for cell in row)
    wanted += sum(not line.known for block in document.signatures for line in block)
    clear = 0
    for page, paths in zip(pypdfium2.PdfDocument(data), find_paths(data), strict=True):
        dark = np.asarray(page.render(scale=SCALE, grayscale=True).to_pil()) < 250
        for left, bottom, right, top in paths:
            if right - left < 40 or top - bottom > 1.3 or top < 60:
                continue  # boxes, the thick line of the head, the line over the foot
            upper = int((LETTER[1] - top - 14) * SCALE)
            lower = int((LETTER[1] - top) * SCALE)
            clear += not dark[upper:lower, int(left * SCALE) + 1 : int(right * SCALE)].any()

    assert clear == wanted


@pytest.mark.parametrize(
    ("name", "label", "date_label"),
    [
        ("faa-llc-statement", "Signature", "Date of signing"),
        ("faa-petition", "Signature", "Date"),
        ("faa-congested-plan", "Signature", "Date"),
        ("ia-consultant-agreement", "Your signature", "Date"),
        ("ia-consultant-agreement", "Signature of the consultant", "Date of the consultant"),
    ],
)
def test_own_document_signature_line_stands_free(
    name: str, label: str, date_label: str, papers: Papers
) -> None:
    """Twelve points of clear paper all round the line, 28 above it; the date stands below it.

    The room above, for tall letters: common practice, no source.
    """
    data = render_own_document(papers[name][0])
    number, label_bottom, _ = find_label(data, label)
    lines = [box for box in find_paths(data)[number] if 200 < box[2] - box[0] < 400]
    left, bottom, right, top = min(lines, key=lambda box: abs(box[1] - label_bottom))
    page = pypdfium2.PdfDocument(data)[number]
    dark = np.asarray(page.render(scale=SCALE, grayscale=True).to_pil()) < 250
    rows = slice(int((LETTER[1] - top - 28) * SCALE), int((LETTER[1] - bottom + 12) * SCALE))
    columns = slice(int((left - 12) * SCALE), int((right + 12) * SCALE))
    around = dark[rows, columns]
    date_page, date_bottom, _ = find_label(data, date_label)

    # The only ink in the field is the line itself, at most three picture rows high.
    assert 1 <= int(around.any(axis=1).sum()) <= 3
    assert (date_page, date_bottom < bottom - 12) == (number, True)


@EACH
def test_own_document_signature_is_not_alone_on_its_page(name: str, papers: Papers) -> None:
    document, _ = papers[name]
    data = render_own_document(document)
    if not document.signatures:
        assert "Signature" not in read_pdfium(data)
        return
    last = document.enclosures[-1] if document.enclosures else document.fields[-1].label
    page, _, _ = find_label(data, document.signatures[0][0].label)
    text = pypdfium2.PdfDocument(data)[page].get_textpage().get_text_bounded()

    assert squash(last) in squash(text)


MEMBERS_SIGN = (
    OwnSignLine(label="Signature", tall=True, blank="signature", kind=BlankKind.SIGNATURE),
    OwnSignLine(
        label="Typed or printed name beside the signature",
        blank="printed-name",
        kind=BlankKind.PRINTED_NAME,
    ),
    OwnSignLine(
        label="Title of the signer", known="Member", blank="signer-title", kind=BlankKind.TITLE
    ),
    OwnSignLine(
        label="Date of signing",
        note="An undated statement comes back.",
        blank="signed-on",
        kind=BlankKind.DATE,
    ),
)


def test_llc_statement_by_members(papers: Papers) -> None:
    """Signed as Member: practitioner newsletter of 2014 (second-hand)."""
    document, _ = papers["faa-llc-statement"]

    assert document.re_lines == (
        "Aircraft registration with an N-number (Part 47)",
        "Tallgrass Rotorworks TG-46, serial number INVENTED-TG46-00017",
    )
    assert document.signatures == (MEMBERS_SIGN,)
    assert document.fields[4:6] == (
        OwnField(
            label="Managed by members, by managers or by officers",
            note="It must fit the title the signer shows on the application.",
            choices=(
                OwnChoice(text="members", ticked=True),
                OwnChoice(text="managers"),
                OwnChoice(text="officers"),
            ),
            blank="managed-by",
            kind=BlankKind.CHECK,
        ),
        OwnField(
            label="Names of the managers or officers",
            known=("Does not apply: the members manage the company.",),
            blank="managers",
        ),
    )


@pytest.mark.parametrize(
    ("managed_by", "title", "ticked"),
    [(ManagedBy.MANAGERS, "Manager", "managers"), (ManagedBy.OFFICERS, "", "officers")],
)
def test_llc_statement_by_others(
    papers_of: Callable[[Operation], Papers],
    everything: Operation,
    managed_by: ManagedBy,
    title: str,
    ticked: str,
) -> None:
    """A title with the word manager in it: practitioner newsletter of 2014 (second-hand)."""
    document, _ = papers_of(replace(everything, managed_by=managed_by))["faa-llc-statement"]
    shown = [line.known for line in document.signatures[0] if line.label == "Title of the signer"]

    assert [one.text for one in document.fields[4].choices if one.ticked] == [ticked]
    assert document.fields[5].table == (("", ""), ("", ""))
    assert shown == [title]


def test_petition_of_a_person_leaves_the_title_open(
    papers_of: Callable[[Operation], Papers], everything: Operation
) -> None:
    person = replace(
        everything, entity=EntityType.INDIVIDUAL, managed_by=None, legal_name="Odile Ferrant"
    )
    found = papers_of(person)
    title = found["faa-petition"][0].signatures[0][2]

    assert title == OwnSignLine(
        label="Title of the signer (if it applies; otherwise strike it)",
        blank="signer-title",
        kind=BlankKind.TITLE,
    )
    assert "faa-llc-statement" not in found


def test_own_document_facts_not_known_are_lines(
    papers_of: Callable[[Operation], Papers], everything: Operation
) -> None:
    unknown = replace(everything, contact_name="", contact_phone="", contact_email="")
    found = papers_of(unknown)
    fields = {field.label: field for field in found["faa-petition"][0].fields}
    notice = found["faa-congested-notice"][0].fields[0]

    assert fields["Name, telephone and e-mail of the contact"].table == (("", "", ""),)
    assert notice == OwnField(label="Name and telephone of the operator", rows=1, blank="operator")


def test_own_document_long_texts_stay_on_the_page(
    papers_of: Callable[[Operation], Papers], everything: Operation
) -> None:
    long_lines = Address(lines=("Invented Road " * 20, "Burrell Crossing, NE 00000"))
    machines = tuple(replace(one, remote_id_serial="INVENTED" * 30) for one in everything.aircraft)
    found = papers_of(
        replace(everything, legal_name=LONG, mailing_address=long_lines, aircraft=machines)
    )
    outside = []
    for name, (document, _) in found.items():
        for page in pypdfium2.PdfDocument(render_own_document(document)):
            text = page.get_textpage()
            boxes = [text.get_charbox(at) for at in range(text.count_chars())]
            outside += [(name, box) for box in boxes if box[0] < 66 or box[2] > LETTER[0] - 66]

    assert outside == []


def test_own_document_many_aircraft_go_on_to_the_next_page(
    papers_of: Callable[[Operation], Papers], everything: Operation
) -> None:
    first = everything.aircraft[0]
    fleet = tuple(replace(first, id=f"a{one}", remote_id_serial=f"INV-{one}") for one in range(70))
    jobs = tuple(replace(job, aircraft=tuple(one.id for one in fleet)) for job in everything.jobs)
    document, _ = papers_of(replace(everything, aircraft=fleet, jobs=jobs))["faa-petition"]
    text = squash(read_pdfium(render_own_document(document)))

    assert [one.remote_id_serial for one in fleet if one.remote_id_serial not in text] == []


@pytest.fixture
def llc_packet(
    table: RulesTable, demo_operation: Operation
) -> tuple[Plan, PaperPlan, Callable[[NotaryAct], PaperPlan]]:
    """The demo's registration, and a way to ask for a notarial act on its LLC statement."""
    plan = compute_plan(demo_operation, table, (), DEMO_DAY)
    paper = next(one for one in plan.papers if one.id == "faa.registration-n:tg46")

    def with_act(act: NotaryAct) -> PaperPlan:
        documents = tuple(replace(row, notary=act) for row in paper.packet.documents)
        return replace(paper, packet=replace(paper.packet, documents=documents))

    return plan, paper, with_act


def add_notary_blanks(template: FormTemplate) -> FormTemplate:
    extra = tuple(
        Blank(
            id=str(kind),
            label=f"notary part {kind}",
            kind=kind,
            filled_by=FilledBy.NOTARY,
            place=SourceRef(file="test"),
        )
        for kind in BlankKind
        if kind.is_notarial
    )
    return replace(template, blanks=(*template.blanks, *extra))


# The parts of a short-form certificate: ORS 194.285, copy of 2023; Iowa Code 9B.15.
CERTIFICATE = (
    "State of",
    "County of",
    "Signature of notarial officer",
    "Title of office",
    "My commission expires",
    "Official stamp",
)


@READERS
@pytest.mark.parametrize(
    ("act", "words"),
    [
        # ORS 194.285(3), copy of 2023 (read).
        (NotaryAct.JURAT, "Signed and sworn to (or affirmed) before me on"),
        # ORS 194.285(1), from memory.
        (NotaryAct.ACKNOWLEDGMENT, "This record was acknowledged before me on"),
    ],
)
def test_own_document_with_notary_blanks_has_a_certificate(
    read: Callable[[bytes], str],
    act: NotaryAct,
    words: str,
    llc_packet: tuple[Plan, PaperPlan, Callable[[NotaryAct], PaperPlan]],
    templates: Templates,
) -> None:
    plan, _, with_act = llc_packet
    changed = {**templates, "faa-llc-statement": add_notary_blanks(templates["faa-llc-statement"])}

    (document,) = compute_own_documents(plan, with_act(act), changed)
    text = squash(read(render_own_document(document)))

    assert [part for part in (*CERTIFICATE, words) if squash(part) not in text] == []
    assert document.signatures == (MEMBERS_SIGN,)
    parts = {place.spot.blank for place in lay_out(document).places if "notary" in place.spot.kind}
    assert parts == {str(kind) for kind in BlankKind if kind.is_notarial}


def inside(box: tuple[float, float, float, float], place: OwnPlace) -> bool:
    """Whether a drawn box, its stroke left out, lies where the place says."""
    wanted = (place.left, place.bottom, place.right, place.top)
    return all(abs(one - other) < 2 for one, other in zip(box, wanted, strict=True))


@EACH
def test_own_document_tells_a_place_for_every_blank(name: str, papers: Papers) -> None:
    """Every blank of the template is a place to fill in or printed, never both, never neither."""
    document, template = papers[name]
    places = lay_out(document).places
    still = {place.spot.blank for place in places if not place.spot.printed}
    done = {place.spot.blank for place in places if place.spot.printed}

    assert still | done == {blank.id for blank in template.blanks}
    assert still & done == set()
    kinds = {blank.id: blank.kind for blank in template.blanks}
    assert [place for place in places if place.spot.kind != kinds[place.spot.blank]] == []


@EACH
def test_own_document_places_lie_on_what_is_drawn(name: str, papers: Papers) -> None:
    """A box is a place exactly; a line to write on is the foot of one, with nothing printed in it.

    Boxes, lines and print are found by pdfium in the finished page.
    """
    pages = lay_out(papers[name][0])
    paths = find_paths(pages.pdf)
    for number, page in enumerate(pypdfium2.PdfDocument(pages.pdf)):
        grey = np.asarray(page.render(scale=4, grayscale=True).to_pil())
        for place in pages.places:
            if place.page != number or place.spot.printed:
                continue
            if place.spot.kind is BlankKind.CHECK:
                assert any(inside(box, place) for box in paths[number])
                continue
            feet = [
                box
                for box in paths[number]
                if abs(box[1] - place.bottom) < 2
                and box[3] - box[1] < 3
                and box[0] < place.left + 2
                and box[2] > place.right - 2
            ]
            assert len(feet) == 1
            rows = slice(round((792 - place.top) * 4), round((792 - place.bottom - 1.5) * 4))
            columns = slice(round(place.left * 4), round(place.right * 4))
            assert grey[rows, columns].min() > 200
            assert place.top - place.bottom >= 18


def test_own_document_places_of_rows_lines_and_boxes(papers: Papers) -> None:
    """Of rows, lines and boxes one is enough; the cells of a row that is begun are all needed."""
    statement = lay_out(papers["faa-llc-statement"][0]).places
    request = lay_out(papers["ins-cover-request"][0]).places
    ways = [
        [(place.spot.way, place.spot.printed) for place in places if place.spot.blank == blank]
        for places, blank in (
            (statement, "members"),
            (statement, "may-act-alone"),
            (statement, "managed-by"),
            (statement, "organized-in"),
            (request, "pilots"),
        )
    ]

    assert ways == [
        [(f"row {row}", "") for row in range(3) for _ in range(3)],
        [("box 0", ""), ("box 1", "")],
        [("box 0", "members")],
        [("", "")],
        [("", ""), ("", "")],
    ]


@EACH
def test_own_document_without_notary_blanks_has_no_certificate(name: str, papers: Papers) -> None:
    text = squash(read_pdfium(render_own_document(papers[name][0])))

    assert papers[name][0].certificate is None
    assert [part for part in CERTIFICATE if squash(part) in text] == []


def test_own_document_of_an_unknown_template(
    llc_packet: tuple[Plan, PaperPlan, Callable[[NotaryAct], PaperPlan]], templates: Templates
) -> None:
    """A template without words of its own is laid out from its blanks alone."""
    plan, paper, _ = llc_packet
    statement = replace(templates["faa-llc-statement"], id="something-new")

    (document,) = compute_own_documents(plan, paper, {"faa-llc-statement": statement})
    text = squash(read_pdfium(render_own_document(document)))

    assert (document.opening, document.closing, document.to_lines) == ("", "", ())
    assert [one.label for one in statement.blanks if squash(one.label) not in text] == []


def test_compute_own_documents_none_of_ours(
    llc_packet: tuple[Plan, PaperPlan, Callable[[NotaryAct], PaperPlan]], templates: Templates
) -> None:
    plan, _, _ = llc_packet
    paper = next(one for one in plan.papers if one.id == "faa.ag-operator")

    assert compute_own_documents(plan, paper, templates) == ()
