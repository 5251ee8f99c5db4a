"""From the plan to checklist and cover sheet: nothing of a packet is lost, nothing is made up."""

from dataclasses import replace
from datetime import date

import pytest

from compliance.app.planning import Planned
from compliance.base.dates import say_date
from compliance.engine.check_facts import find_fee
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.facts.log import LogEntry
from compliance.facts.model import MailService, Operation
from compliance.forms.model import FormTemplate
from compliance.outputs.packet_model import (
    compute_checklist,
    compute_coversheet,
    find_fact,
)
from compliance.rules.model import StepKind, StepUse

DAY = date(2027, 1, 11)
Templates = dict[str, FormTemplate]


def packets(plan: Plan) -> list[PaperPlan]:
    return [paper for paper in plan.papers if paper.packet.planned]


def paper_of(plan: Plan, name: str) -> PaperPlan:
    paper = plan.find_paper(name)
    assert paper is not None
    return paper


@pytest.fixture
def registration(demo_plan: Plan) -> PaperPlan:
    return paper_of(demo_plan, "faa.registration-n:tg46")


def test_compute_checklist_lists_every_act_and_document(
    demo_plan: Plan, templates: Templates
) -> None:
    for paper in packets(demo_plan):
        checklist = compute_checklist(demo_plan, paper, templates)
        acts = [step for step in paper.steps if step.kind is StepKind.ACT]

        assert [step.text for step in checklist.steps] == [step.row.title for step in acts]
        assert [step.order for step in checklist.steps] == list(range(1, len(acts) + 1))
        assert [one.title for one in checklist.documents] == [
            row.title for row in paper.packet.documents
        ]


def test_compute_checklist_lists_every_blank_of_every_form(
    demo_plan: Plan, templates: Templates
) -> None:
    for paper in packets(demo_plan):
        checklist = compute_checklist(demo_plan, paper, templates)
        for row, document in zip(paper.packet.documents, checklist.documents, strict=True):
            blanks = templates[row.template].blanks

            assert len(document.blanks) == len(blanks)
            assert [
                blank.label
                for blank, shown in zip(blanks, document.blanks, strict=True)
                if not shown.label.startswith(blank.label)
            ] == []


def test_compute_checklist_notary_blanks_are_named_apart(
    demo_plan: Plan, registration: PaperPlan, templates: Templates
) -> None:
    """State, county, date, signature, title, stamp and commission expiry: common parts of a
    notarial certificate (Nebraska Rev. Stat. 64-204 and the forms of other states)."""
    checklist = compute_checklist(demo_plan, registration, templates)
    kinds = {
        blank.kind
        for document in checklist.documents
        for blank in document.blanks
        if blank.kind.startswith("notary: ")
    }

    assert kinds >= {
        "notary: state",
        "notary: county",
        "notary: date of the act",
        "notary: signature",
        "notary: stamp",
        "notary: commission expiry",
    }


def test_compute_checklist_return_reason_is_the_first_warning(
    demo_plan: Plan, registration: PaperPlan, templates: Templates
) -> None:
    assert compute_checklist(demo_plan, registration, templates).warnings[0] == (
        "It came back on Wed 6 Jan 2027: notary block: commission expiry left empty; "
        "look at that first"
    )


def test_compute_checklist_says_every_caution_note_and_warning(
    demo_plan: Plan, templates: Templates
) -> None:
    for paper in packets(demo_plan):
        checklist = compute_checklist(demo_plan, paper, templates)
        said = {*checklist.warnings, *checklist.notes}
        row = paper.packet.paper

        assert {*row.cautions, *row.notes, *paper.warnings} <= said
        assert {f"Confirm: {line}" for line in paper.confirm} <= said
        assert "not legal advice" in checklist.caution


def test_compute_checklist_past_safe_day_is_not_shown_as_one(
    demo_plan: Plan, registration: PaperPlan, templates: Templates
) -> None:
    checklist = compute_checklist(demo_plan, registration, templates)

    assert registration.is_tight
    assert (checklist.mail_by_safe, checklist.mail_by_last) == (None, registration.mail_last)
    assert registration.mail_safe is not None
    assert (
        f"No room is left for a return: the safe day would be {say_date(registration.mail_safe)}"
        in checklist.warnings
    )


def test_compute_checklist_without_a_template_still_lists_the_document(
    demo_plan: Plan, registration: PaperPlan
) -> None:
    checklist = compute_checklist(demo_plan, registration, {})

    assert len(checklist.documents) == len(registration.packet.documents)
    assert [document.blanks for document in checklist.documents if document.blanks] == []


def test_compute_checklist_sentences_begin_with_a_capital(
    demo_plan: Plan, templates: Templates
) -> None:
    for paper in packets(demo_plan):
        checklist = compute_checklist(demo_plan, paper, templates)
        notes = [document.notes for document in checklist.documents]
        kept = [row.keep_copy for row in paper.packet.documents]
        returns = len(paper.packet.progress.returns)

        assert [line for line in checklist.warnings[:returns] if not line[0].isupper()] == []
        assert ["Keep a copy for yourself." in lines for lines in notes] == kept


def test_packet_is_mailed_or_filed_on_both_papers(demo_plan: Plan, templates: Templates) -> None:
    """Registration and state licenses travel by mail; FAA takes the others online or by e-mail.

    14 CFR 47.31 (paper registration); the exemption goes to the docket, 14 CFR 11.63; the rest
    from memory.
    """
    verbs = {
        paper.packet.paper.id: (
            compute_checklist(demo_plan, paper, templates).verb,
            compute_coversheet(demo_plan, paper).verb,
        )
        for paper in packets(demo_plan)
    }

    assert verbs == {
        "faa.registration-n": ("mail", "mail"),
        "faa.pilot-recency": ("file", "file"),
        "faa.exemption": ("file", "file"),
        "faa.airspace-authorization": ("file", "file"),
        "faa.ag-operator": ("file", "file"),
        "ne.aerial-business": ("mail", "mail"),
        "ne.commercial-applicator": ("mail", "mail"),
        "sd.commercial-applicator": ("mail", "mail"),
    }


def test_filed_packet_goes_to_the_online_way_and_not_to_a_courier(
    demo_plan: Plan, templates: Templates
) -> None:
    """FAA's page for unmanned Part 137 certificates names the e-mail address; second-hand."""
    paper = paper_of(demo_plan, "faa.ag-operator")
    lines = (
        "FAA office for unmanned Part 137 certificates",
        "e-mail to UAS137Certificates@faa.gov",
    )

    sheet = compute_coversheet(demo_plan, paper)

    assert (sheet.to_lines, sheet.courier_lines) == (lines, ())
    assert compute_checklist(demo_plan, paper, templates).address_lines == lines


def test_filed_packet_of_an_office_without_an_online_way_names_its_address(
    demo_plan: Plan, templates: Templates
) -> None:
    paper = paper_of(demo_plan, "faa.ag-operator")
    office = paper.packet.office
    assert office is not None
    counter = replace(office, online="", mail_to=("1 Invented Road", "Anytown"))
    there = replace(paper, packet=replace(paper.packet, office=counter))

    lines = ("FAA office for unmanned Part 137 certificates", "1 Invented Road", "Anytown")
    assert compute_coversheet(demo_plan, there).to_lines == lines
    assert compute_checklist(demo_plan, there, templates).address_lines == lines


def test_compute_coversheet_fee_cites_what_sets_the_fee(demo_plan: Plan) -> None:
    """Sources as the table's payment documents name them; $90 of Nebraska, $35 of South Dakota."""
    fees = {}
    for paper in packets(demo_plan):
        fee = compute_coversheet(demo_plan, paper).fee
        if fee is not None:
            fees[paper.packet.paper.id] = (fee.amount_text, fee.citation)

    assert fees == {
        "faa.registration-n": ("$5.00 per aircraft", "14 CFR 47.17, 47.31(a)(3)"),
        "ne.aerial-business": ("$100.00 per year", "Neb. Rev. Stat. 2-2656"),
        "ne.commercial-applicator": ("$90.00", "Neb. Rev. Stat. 2-2638 ($90)"),
        "sd.commercial-applicator": ("$35.00", "SDCL 38-21-17 ($35)"),
    }


def test_compute_coversheet_fee_without_a_payment_among_the_documents_cites_the_paper(
    demo_plan: Plan, registration: PaperPlan
) -> None:
    bare = replace(registration, packet=replace(registration.packet, documents=()))

    fee = compute_coversheet(demo_plan, bare).fee

    assert fee is not None
    assert fee.citation == registration.packet.paper.basis.citation


def test_compute_coversheet_counts_what_goes_into_the_envelope(demo_plan: Plan) -> None:
    for paper in packets(demo_plan):
        sheet = compute_coversheet(demo_plan, paper)

        assert [(one.title, one.originals, one.copies) for one in sheet.enclosures] == [
            (row.title, row.originals, row.copies)
            for row in paper.packet.documents
            if row.originals + row.copies
        ]
        assert sheet.packet_id == paper.id


def test_compute_coversheet_is_from_us_to_the_office(
    demo_plan: Plan, registration: PaperPlan
) -> None:
    """The Registry's address: FAA leaflet on recording ownership."""
    sheet = compute_coversheet(demo_plan, registration)

    assert sheet.from_lines == (
        "Sandbur Flats Aerial LLC",
        "P.O. Box 0",
        "Burrell Crossing, NE 00000",
    )
    assert "P.O. Box 25504" in sheet.to_lines
    assert sheet.contact_lines == ("Odile Ferrant", "402-555-0143", "office@sandburflats.example")
    assert sheet.re_lines[1] == "Tallgrass Rotorworks TG-46, serial number INVENTED-TG46-00017"


def test_compute_coversheet_office_name_stands_once(demo_plan: Plan) -> None:
    for paper in packets(demo_plan):
        lines = compute_coversheet(demo_plan, paper).to_lines

        assert lines
        assert len(set(lines)) == len(lines)


def test_fee_of_renewal_falls_back_to_the_first_fee(demo_plan: Plan) -> None:
    for paper in packets(demo_plan):
        row = paper.packet.paper
        renewing = paper.packet.use is StepUse.RENEWAL
        wanted = row.renewal_fee if renewing and row.renewal_fee is not None else row.fee

        assert find_fee(paper) == wanted


def test_compute_checklist_fee_is_said_or_asked_for(demo_plan: Plan, templates: Templates) -> None:
    for paper in packets(demo_plan):
        (line,) = compute_checklist(demo_plan, paper, templates).fee_lines
        fee = find_fee(paper)

        if fee is None:
            assert line.startswith("No fee is in the rules table; ask ")
        else:
            assert line.startswith(f"${fee.amount_usd:.2f}")
            assert line.endswith(f"payable to {fee.payee}")


def test_compute_checklist_courier_goes_to_a_street(
    demo_planned: Planned, demo_log: tuple[LogEntry, ...], templates: Templates
) -> None:
    """No courier delivers to a P.O. box: common practice, no source."""
    operation = replace(demo_planned.plan.operation, mail_service=MailService.COURIER)
    plan = compute_plan(operation, demo_planned.table, demo_log, DAY)
    paper = paper_of(plan, "faa.registration-n:tg46")
    lines = compute_checklist(plan, paper, templates).address_lines

    assert paper.packet.office is not None
    assert paper.packet.office.courier_to
    assert [line for line in lines if "box" in line.lower()] == []


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("operation.legal_name", "Sandbur Flats Aerial LLC"),
        ("operation.mailing_address", "P.O. Box 0, Burrell Crossing, NE 00000"),
        ("operation.physical_address", "1 Invented Road, Burrell Crossing, NE 00000"),
        ("aircraft.maker", "Tallgrass Rotorworks"),
        ("aircraft.model", "TG-46"),
        ("aircraft.serial", "46-00017"),
        ("aircraft.registration_serial", "INVENTED-TG46-00017"),
        ("aircraft.registration_number", ""),
        ("aircraft.takeoff_weight_lb", "118 lb"),
        ("paper.ins.liability.number", "INVENTED-POLICY-7"),
        ("paper.faa.remote-pilot.number", ""),
        ("paper.faa.exemption.number", ""),
        ("pilot.name", ""),
        ("", ""),
    ],
)
def test_find_fact(
    demo_operation: Operation, registration: PaperPlan, name: str, text: str
) -> None:
    """Two pilots hold a certificate, so its number is left for a person to write."""
    assert find_fact(name, demo_operation, registration) == text


def test_find_fact_knows_every_name_the_templates_use(
    demo_operation: Operation, demo_plan: Plan, templates: Templates
) -> None:
    aircraft = replace(
        demo_operation,
        aircraft=tuple(replace(one, registration_number="N1") for one in demo_operation.aircraft),
    )
    wren = paper_of(demo_plan, "ne.commercial-applicator:wren")
    machine = paper_of(demo_plan, "faa.registration-n:tg46")
    names = {
        blank.equals
        for template in templates.values()
        for blank in template.blanks
        if blank.equals and not blank.equals.startswith("paper.")
    }

    assert len(names) > 5
    assert [
        name
        for name in sorted(names)
        if not (find_fact(name, aircraft, wren) or find_fact(name, aircraft, machine))
    ] == []
