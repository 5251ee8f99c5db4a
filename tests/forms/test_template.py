"""Form templates: reading and checking them."""

from datetime import date
from pathlib import Path

import pytest

from compliance.base.problems import SourceRef
from compliance.facts.basis import Basis, Confidence
from compliance.forms.model import EQUALS, Blank, BlankKind, FilledBy, FormTemplate, Supplier
from compliance.forms.template import parse_template, parse_templates

SHIPPED = sorted((Path(__file__).parents[2] / "forms_templates").glob("*.yaml"))
SMALL = """\
id: bill-of-sale
title: Bill of sale
form: none
supplied_by: other
get_it: ask the seller
summary: shows who sold the machine
blanks:
  - {id: seller, label: seller's signature, kind: signature, filled_by: seller}
cite: common practice, no source
edition: none
confidence: common-practice
reviewed: 2026-11-25
"""


def read(text: str, file: str = "bill-of-sale.yaml") -> FormTemplate:
    template, problems = parse_template(text, file)
    assert problems == ()
    assert template is not None
    return template


def blank_codes(*blanks: str) -> list[str]:
    rows = "".join(f"  - {{{blank}}}\n" for blank in blanks)
    template, problems = parse_template(SMALL.replace("cite:", f"{rows}cite:"), "bill-of-sale.yaml")
    assert (template is None) == bool(problems)
    return [problem.code for problem in problems]


def test_parse_template_smallest() -> None:
    file = "bill-of-sale.yaml"

    assert read(SMALL) == FormTemplate(
        id="bill-of-sale",
        title="Bill of sale",
        form="none",
        supplied_by=Supplier.OTHER,
        get_it="ask the seller",
        summary="shows who sold the machine",
        goes_stale_days=None,
        blanks=(
            Blank(
                id="seller",
                label="seller's signature",
                kind=BlankKind.SIGNATURE,
                filled_by=FilledBy.SELLER,
                place=SourceRef(file=file, line=8, column=5),
            ),
        ),
        basis=Basis(
            citation="common practice, no source",
            edition="none",
            confidence=Confidence.COMMON_PRACTICE,
            reviewed_on=date(2026, 11, 25),
        ),
        place=SourceRef(file=file, line=1, column=1),
    )


def test_parse_template_reads_every_field() -> None:
    template = read(
        SMALL.replace(
            "cite:",
            "  - {id: buyer, label: buyer, kind: printed-name, filled_by: owner, must: no,\n"
            "     equals: operation.legal_name, note: as on the articles}\ncite:",
        ).replace("blanks:", "goes_stale_days: 90\nblanks:")
        + "note: compare with the edition you downloaded\n"
    )
    blank = template.find_blank("buyer")

    assert template.goes_stale_days == 90
    assert template.basis.note == "compare with the edition you downloaded"
    assert blank is not None
    assert (blank.must, blank.equals, blank.note) == (
        False,
        "operation.legal_name",
        "as on the articles",
    )
    assert template.find_blank("nobody") is None


@pytest.mark.parametrize("days", [1, 3_650])
def test_parse_template_staleness_at_the_edges(days: int) -> None:
    text = SMALL.replace("blanks:", f"goes_stale_days: {days}\nblanks:")

    assert read(text).goes_stale_days == days


@pytest.mark.parametrize(
    "file",
    ["bill-of-sale.yaml", "forms_templates/bill-of-sale.yaml", "C:\\forms\\bill-of-sale.yaml"],
)
def test_parse_template_id_is_the_file_name_in_any_folder(file: str) -> None:
    assert read(SMALL, file).id == "bill-of-sale"


@pytest.mark.parametrize(
    "fact", [*EQUALS, "paper.faa.exemption.number", "paper.faa.registration-n.number"]
)
def test_parse_template_equals_known_facts(fact: str) -> None:
    assert blank_codes(f"id: b, label: b, kind: text, filled_by: owner, equals: {fact}") == []


@pytest.mark.parametrize(
    "fact", ["operation.home", "paper.number", "paper..number", "paper.faa.number", "paper.a.b"]
)
def test_parse_template_equals_unknown_facts(fact: str) -> None:
    assert blank_codes(f"id: b, label: b, kind: text, filled_by: owner, equals: {fact}") == ["T14"]


SIGNATURE = "id: n1, label: l, kind: notary-signature, filled_by: notary"
DAY = "id: n2, label: l, kind: notary-date, filled_by: notary"
STAMP = "id: n3, label: l, kind: notary-stamp, filled_by: notary"


@pytest.mark.parametrize(
    ("blanks", "codes"),
    [
        ((SIGNATURE, DAY), []),
        ((SIGNATURE, DAY, STAMP), []),
        ((SIGNATURE,), ["T16"]),
        ((DAY,), ["T16"]),
        ((STAMP,), ["T16", "T16"]),
        ((SIGNATURE, DAY.replace("by: notary", "by: owner")), ["T15"]),
        ((SIGNATURE, SIGNATURE, DAY), ["T13"]),
    ],
)
def test_parse_template_notary_certificate(blanks: tuple[str, ...], codes: list[str]) -> None:
    assert blank_codes(*blanks) == codes


def test_template_knows_whether_a_notary_is_needed() -> None:
    rows = f"  - {{{SIGNATURE}}}\n  - {{{DAY}}}\n"

    assert read(SMALL.replace("cite:", f"{rows}cite:")).is_notarized
    assert not read(SMALL).is_notarized


def test_parse_template_without_text() -> None:
    template, problems = parse_template("", "x.yaml")

    assert template is None
    assert [problem.code for problem in problems] == ["S004"]


def test_parse_templates_keeps_the_good_ones() -> None:
    files = {
        "z.yaml": SMALL.replace("bill-of-sale", "z"),
        "bill-of-sale.yaml": SMALL,
        "bad.yaml": SMALL,
    }
    templates, problems = parse_templates(files)

    assert [template.id for template in templates] == ["bill-of-sale", "z"]
    assert [(problem.code, problem.place.file) for problem in problems] == [("T12", "bad.yaml")]


def test_shipped_templates_have_no_problems() -> None:
    _, problems = parse_templates({path.name: path.read_text("utf-8") for path in SHIPPED})

    assert [str(problem) for problem in problems] == []
