"""The verdict as text and as JSON, made by hand and from the demo's registration packet."""

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import jsonschema
import pytest

from compliance.base.problems import SourceRef
from compliance.engine.check import compute_check
from compliance.engine.check_model import (
    BlankState,
    CheckContext,
    CheckFinding,
    CheckResult,
    Place,
    Severity,
)
from compliance.engine.crosschecks import CROSSCHECKS
from compliance.engine.plan_model import Plan
from compliance.facts.answers import Answer, EnvelopeAnswers, Source, Status
from compliance.forms.model import Blank, BlankKind, FilledBy, FormTemplate
from compliance.outputs.check_json import compute_check_document, render_check_json
from compliance.outputs.check_text import render_check_text, render_crosschecks

SCHEMA = Path(__file__).parents[1] / "data" / "check.schema.json"
ENDING = """
This check tells what is there and what agrees. Present never means genuine:
whether a signature is real, whether somebody stood in front of the notary and
what an examiner decides is not something a program can see.

A planning aid, not legal advice. Confirm every date and form with the agency
and in your own grant, exemption or certificate; follow the product label and
local codes; ask a licensed professional when in doubt.
"""
MODEL = Blank(
    id="model",
    label="Model",
    kind=BlankKind.TEXT,
    filled_by=FilledBy.OWNER,
    place=SourceRef(file="own.yaml"),
)
READY = CheckResult(
    packet="faa.registration-n:tg46",
    title="Aircraft registration",
    holder="TG-46 46-00017",
    as_of=date(2027, 1, 11),
    mail_on=date(2027, 1, 14),
    ready=True,
    encloses=True,
    findings=(),
    blanks=(
        BlankState(
            document="application",
            sheet=1,
            blank=MODEL,
            status=Status.FILLED,
            says="TG-46",
            source=Source.PERSON,
        ),
    ),
)
STAMP = CheckFinding(
    check="certificate",
    rank=4,
    severity=Severity.STOP,
    document="affidavit",
    blank="notary-stamp",
    sentence="Affidavit: `Stamp` is empty.",
    todo="Have the notary fill it in.",
    where=Place.NOTARY,
    citation="NDCC 44-06.1-14",
)
NAME = CheckFinding(
    check="names",
    rank=7,
    severity=Severity.STOP,
    document="application",
    blank="owner-name",
    sentence="Application: a comma too many.",
    todo="Write it as `Sandbur Flats Aerial LLC`.",
    where=Place.HOME,
    citation="14 CFR 47.31(b)(2)",
)
DAY = replace(
    STAMP,
    check="act-dates",
    rank=21,
    blank="notary-date",
    severity=Severity.OPEN,
    sentence="Affidavit: nobody has said which date it is.",
    todo="Which date is it?",
)
LOOK = replace(
    NAME,
    check="pictures",
    rank=46,
    severity=Severity.NOTE,
    sentence="The picture showed nothing there.",
    todo="Look once more.",
    citation="none",
)
NOT_READY = replace(READY, ready=False, findings=(STAMP, NAME, DAY, LOOK))


def test_render_check_text_ready() -> None:
    assert render_check_text(READY) == (
        "faa.registration-n:tg46: Aircraft registration, TG-46 46-00017\n"
        "checked on Mon 11 Jan 2027 for mailing on Thu 14 Jan 2027\n"
        "\n"
        "READY TO MAIL: nothing was found that would bring it back.\n" + ENDING
    )


def test_render_check_text_groups_by_place_likeliest_first() -> None:
    """Both things to do at the notary stand together, so that one trip does them."""
    assert render_check_text(NOT_READY) == (
        "faa.registration-n:tg46: Aircraft registration, TG-46 46-00017\n"
        "checked on Mon 11 Jan 2027 for mailing on Thu 14 Jan 2027\n"
        "\n"
        "NOT READY: 2 things that would bring it back (marked !) and 1 not known yet\n"
        "(marked ?). The likeliest reason of a return comes first.\n"
        "\n"
        "AT THE NOTARY\n"
        "  ! Affidavit: `Stamp` is empty.\n"
        "    do: Have the notary fill it in.\n"
        "    [certificate: NDCC 44-06.1-14]\n"
        "  ? Affidavit: nobody has said which date it is.\n"
        "    do: Which date is it?\n"
        "\n"
        "AT HOME\n"
        "  ! Application: a comma too many.\n"
        "    do: Write it as `Sandbur Flats Aerial LLC`.\n"
        "    [names: 14 CFR 47.31(b)(2)]\n"
        "\n"
        "WORTH A LOOK\n"
        "  - The picture showed nothing there.\n"
        "    do: Look once more.\n"
        "\n"
        "When something is mended: mailby check faa.registration-n:tg46 asks again about\n"
        "what you said or a picture showed; what a PDF shows is mended in the PDF, which\n"
        "is given anew with --file, and a new picture with --scan.\n" + ENDING
    )


@pytest.mark.parametrize(
    ("findings", "verdict"),
    [
        ((NAME,), "NOT READY: 1 thing that would bring it back (marked !)."),
        ((DAY,), "NOT READY: 1 not known yet (marked ?)."),
    ],
)
def test_render_check_text_counts(findings: tuple[CheckFinding, ...], verdict: str) -> None:
    text = render_check_text(replace(NOT_READY, findings=findings))

    assert verdict in " ".join(text.split())


def test_render_check_text_says_ready_only_when_ready() -> None:
    assert "READY TO MAIL" in render_check_text(READY)
    assert "READY TO MAIL" not in render_check_text(NOT_READY)
    assert "READY TO MAIL" not in render_check_text(replace(READY, encloses=False))


def test_render_check_text_nothing_to_mail() -> None:
    text = render_check_text(replace(READY, encloses=False))

    assert "NOTHING TO MAIL: no document of this packet goes to an office." in text


@pytest.fixture
def begun(demo_plan: Plan, templates: dict[str, FormTemplate]) -> CheckResult:
    """The demo's returned packet with one answer given."""
    paper = demo_plan.find_paper("faa.registration-n:tg46")
    assert paper is not None
    said = Answer(
        document="affidavit",
        blank="notary-expiry",
        status=Status.EMPTY,
        source=Source.PHOTO,
        seen_in="abc",
    )
    return compute_check(
        CheckContext(
            operation=demo_plan.operation,
            paper=paper,
            templates=templates,
            answers=(said,),
            envelope=EnvelopeAnswers(),
            as_of=demo_plan.as_of,
            mail_on=demo_plan.as_of,
        )
    )


def test_render_check_text_fits_the_screen(begun: CheckResult) -> None:
    lines = [*render_check_text(begun).splitlines(), *render_crosschecks(CROSSCHECKS).splitlines()]

    assert [line for line in lines if len(line) > 80] == []
    assert len(begun.findings) > 10


def test_check_document_fits_the_schema(begun: CheckResult) -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)

    for result in (READY, NOT_READY, begun):
        assert list(validator.iter_errors(json.loads(render_check_json(result)))) == []


def test_check_document_gives_findings_and_blanks() -> None:
    document = compute_check_document(replace(NOT_READY, findings=(STAMP,)))

    assert document["findings"] == [
        {
            "check": "certificate",
            "rank": 4,
            "severity": "stop",
            "document": "affidavit",
            "sheet": 1,
            "blank": "notary-stamp",
            "sentence": "Affidavit: `Stamp` is empty.",
            "todo": "Have the notary fill it in.",
            "where": "notary",
            "citation": "NDCC 44-06.1-14",
        }
    ]
    assert document["blanks"] == [
        {
            "document": "application",
            "sheet": 1,
            "blank": "model",
            "label": "Model",
            "kind": "text",
            "filled_by": "owner",
            "must": True,
            "status": "filled",
            "says": "TG-46",
            "on": None,
            "source": "person",
        }
    ]
    assert (document["ready"], document["as_of"]) == (False, "2027-01-11")


def test_check_document_envelope_has_no_document() -> None:
    about = replace(STAMP, document="", blank="fee_method")
    (finding,) = compute_check_document(replace(NOT_READY, findings=(about,)))["findings"]

    assert (finding["document"], finding["sheet"], finding["blank"]) == (None, None, "fee_method")


def test_render_crosschecks_lists_each_with_example_and_source() -> None:
    text = " ".join(render_crosschecks(CROSSCHECKS).split())

    assert [
        one.id for one in CROSSCHECKS if f"{one.rank}. {one.title} ({one.id})" not in text
    ] == []
    assert [one.id for one in CROSSCHECKS if f"Example: {one.example}" not in text] == []
    assert "[14 CFR 47.31(b)(2); the text itself was read]" in text
    assert "Present never means genuine" in text
