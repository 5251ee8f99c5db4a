"""A field for a signature is not taken for the name, title or date beside it.

The words are those of US forms from memory (common practice, no source).
"""

import pytest

from compliance.forms.model import FormTemplate
from compliance.scan.acroform_match import BlankWanted, propose_mapping
from compliance.scan.acroform_pens import cannot_hold, is_at_odds
from compliance.scan.pdf_model import Field, FieldKind, Place


def make(name: str, beside: str = "", tooltip: str = "", kind: str = "text") -> Field:
    return Field(
        name=name,
        kind=FieldKind(kind),
        is_empty=True,
        tooltip=tooltip,
        places=(Place(page=0, left=0, bottom=0, right=9, top=9, label=beside),),
    )


NAME = ("Typed or printed name beside the signature", "printed-name")
TITLE = ("Title of the signer", "title")
DATE = ("Date of signing", "date")
PEN = ("Signer's signature", "signature")


@pytest.mark.parametrize(
    ("beside", "fits"),
    [
        ("Signature:", {PEN}),
        ("Sign here (in ink, then print your name)", {PEN}),
        ("Signature on behalf of the company", {PEN}),
        ("Typed or printed name:", {NAME, TITLE, DATE}),
        ("Printed name of signer", {NAME, TITLE, DATE}),
        ("Title of signer", {NAME, TITLE, DATE}),
        ("Date of signature", {NAME, TITLE, DATE}),
        ("Signed on", {NAME, TITLE, DATE}),
        ("Signature and title", {PEN, NAME, TITLE, DATE}),
        ("Manufacturer", {PEN, NAME, TITLE, DATE}),
    ],
)
def test_cannot_hold_parts_of_a_signing_block(beside: str, fits: set[tuple[str, str]]) -> None:
    """Only a signature is held apart; names, titles and dates have words of their own."""
    field = make("Text1", beside)

    assert {one for one in (NAME, TITLE, DATE, PEN) if not cannot_hold(field, *one)} == fits


@pytest.mark.parametrize(
    ("field", "holds_name", "holds_pen"),
    [
        (make("sig", "Typed or printed name"), True, False),
        (make("form1[0].SignatureOfOwner[0]"), False, True),
        (make("PrintedName"), True, False),
        (make("Text1", "Signature", "Printed name"), False, False),
        (make("Text1", "Printed name", "Signature", "signature"), True, True),
    ],
)
def test_cannot_hold_words_beside_count_before_the_name(
    field: Field, holds_name: bool, holds_pen: bool
) -> None:
    """The page counts before the file's own name; page and help at odds make it neither."""
    assert (not cannot_hold(field, *NAME), not cannot_hold(field, *PEN)) == (holds_name, holds_pen)


def test_propose_mapping_of_bare_labels(templates: dict[str, FormTemplate]) -> None:
    """Labels that differ only in the word "signature", in either order, are tied right."""
    blanks = tuple(
        BlankWanted(id=one.id, label=one.label, kind=str(one.kind), must=one.must, note=one.note)
        for one in templates["faa-8050-1"].blanks
    )
    fields = (
        make("pname", "Typed or printed name:", "Typed or printed name"),
        make("title", "Title:", "Title"),
        make("date", "Date signed:", "Date signed"),
        make("sig", "Signature:", "Signature"),
    )
    wanted = {
        "pname": "printed-name",
        "title": "signer-title",
        "date": "signed-on",
        "sig": "signature",
    }
    for order in (fields, fields[::-1]):
        assert {one.field: one.blank for one in propose_mapping(order, blanks)} == wanted


def test_propose_mapping_says_its_doubts() -> None:
    """A field that two blanks fit alike, or whose own name speaks against it, is in doubt."""
    blanks = (
        BlankWanted(id="signature", label="Signature", kind="signature"),
        BlankWanted(id="name", label="Printed name", kind="printed-name"),
        BlankWanted(id="first", label="First exam date", kind="date"),
        BlankWanted(id="second", label="Second exam date", kind="date"),
    )
    fields = (make("Signature1", "Printed name"), make("d", "Exam date"), make("e", "First exam"))
    doubts = {one.field: one.doubt for one in propose_mapping(fields, blanks)}

    assert doubts == {
        "Signature1": "its own name in the PDF, `Signature1`, says something else",
        "d": "it may also be `Second exam date`",
        "e": "",
    }
    assert is_at_odds(fields[0])
    assert not is_at_odds(fields[1])
