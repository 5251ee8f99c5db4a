"""Which field is proposed for which blank, and what the fields then say about the blanks.

The wording of the agency's form and the machine-made field names are written from memory; no copy
of the form was at hand. The blanks are those of the shipped templates.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest

from compliance.forms.model import FormTemplate
from compliance.scan.acroform_findings import BlankFinding, compute_findings
from compliance.scan.acroform_match import (
    BlankWanted,
    FieldMatch,
    propose_mapping,
    split_words,
)
from compliance.scan.model import Seen
from compliance.scan.pdf_model import (
    Field,
    FieldKind,
    FieldsRead,
    Mark,
    PdfKind,
    Place,
    Seal,
    SealState,
)

Row = tuple[str, str, str, str, str]
"""Blank wanted ("" for none), kind of field, name, tooltip, words beside it."""

# The application's printed words as remembered; the fields have names that say nothing.
PRINTED: tuple[Row, ...] = (
    ("n-number", "text", "Text1", "", "UNITED STATES REGISTRATION NUMBER N"),
    ("maker", "text", "Text2", "", "AIRCRAFT MANUFACTURER"),
    ("model", "text", "Text3", "", "MODEL"),
    ("serial", "text", "Text4", "", "AIRCRAFT SERIAL NO."),
    ("registration-type", "check", "Box1", "", "1. Individual"),
    ("registration-type", "check", "Box2", "", "2. Partnership"),
    ("owner-name", "text", "Text5", "", "NAME(S) OF APPLICANT(S) (Person(s) shown on evidence)"),
    ("telephone", "text", "Text6", "", "TELEPHONE NUMBER"),
    ("mailing-address", "text", "Text7", "", "MAILING ADDRESS (Permanent address of the first)"),
    ("physical-address", "text", "Text8", "", "PHYSICAL ADDRESS (if mailing address is a box)"),
    ("signature", "signature", "Signature1", "", "SIGNATURE"),
    ("printed-name", "text", "Text9", "", "TYPED/PRINTED NAME OF SIGNER"),
    ("signer-title", "text", "Text10", "", "TITLE"),
    ("signed-on", "text", "Text11", "", "DATE"),
    ("", "text", "Text12", "", "FOR OFFICE USE ONLY"),
)
# Names and tooltips as form programs make them, and no words beside the fields.
PAGE = "topmostSubform[0].Page1[0]."
NAMED: tuple[Row, ...] = (
    ("owner-name", "text", PAGE + "OwnerName[0]", "Enter the full legal name of the owner", ""),
    ("maker", "text", PAGE + "AcftMfr[0]", "", ""),
    ("model", "text", PAGE + "AcftModel[0]", "", ""),
    ("serial", "text", PAGE + "SerialNo[0]", "", ""),
    ("mailing-address", "text", PAGE + "MailAddrStreet[0]", "Mailing address, street", ""),
    ("mailing-address", "text", PAGE + "MailAddrCity[0]", "Mailing address, city", ""),
    ("mailing-address", "text", PAGE + "MailAddrZip[0]", "Mailing address, ZIP", ""),
    ("telephone", "text", "Phone", "", ""),
    ("signature", "signature", "SigOwner", "", ""),
    ("signer-title", "text", "SignerTitle", "", ""),
    ("signed-on", "text", "DateSigned", "", ""),
    ("", "text", "Text99", "", ""),
)


def make_fields(rows: Sequence[Row]) -> tuple[Field, ...]:
    return tuple(
        Field(
            name=name,
            kind=FieldKind(kind),
            is_empty=True,
            tooltip=tooltip,
            places=(
                Place(page=0, left=0, bottom=700 - 20 * at, right=9, top=718 - 20 * at, label=near),
            ),
        )
        for at, (_, kind, name, tooltip, near) in enumerate(rows)
    )


def blanks_of(template: FormTemplate) -> tuple[BlankWanted, ...]:
    return tuple(
        BlankWanted(
            id=blank.id,
            label=blank.label,
            kind=blank.kind.value,
            must=blank.must,
            note=blank.note,
        )
        for blank in template.blanks
    )


def proposed(rows: Sequence[Row], template: FormTemplate) -> list[tuple[str, str]]:
    matches = propose_mapping(make_fields(rows), blanks_of(template))
    found = {match.field: match.blank for match in matches}
    return [(name, found.get(name, "")) for _, _, name, _, _ in rows]


@pytest.mark.parametrize("rows", [PRINTED, NAMED], ids=["printed", "named"])
def test_propose_mapping_on_the_agencys_words(
    rows: tuple[Row, ...], templates: Mapping[str, FormTemplate]
) -> None:
    assert proposed(rows, templates["faa-8050-1"]) == [(row[2], row[0]) for row in rows]


def test_propose_mapping_on_every_template_in_its_own_words(
    templates: Mapping[str, FormTemplate],
) -> None:
    """A form that prints our labels beside fields of meaningless names; stamps are no fields."""
    kinds = {"check": "check", "signature": "signature", "notary-signature": "signature"}
    wrong = []
    count = 0
    for template in templates.values():
        rows = [
            (blank.id, kinds.get(blank.kind.value, "text"), f"Text{at}", "", blank.label)
            for at, blank in enumerate(template.blanks)
            if blank.kind.value != "notary-stamp"
        ]
        count += len(rows)
        wrong += [
            (template.id, row[0], found)
            for row, (_, found) in zip(rows, proposed(rows, template), strict=True)
            if row[0] != found
        ]

    assert wrong == []
    assert count > 300


def test_propose_mapping_gives_score_and_reason() -> None:
    blanks = (BlankWanted(id="serial", label="Serial number", kind="number"),)
    fields = make_fields([("serial", "text", "Text4", "", "AIRCRAFT SERIAL NO.")])

    # All of the blank's words are there; of those there, 4 parts of 5: the word of no blank counts
    # half. The root of 1 * (1 + 0.8) / 2 is 0.949.
    assert propose_mapping(fields, blanks) == (
        FieldMatch(
            field="Text4",
            blank="serial",
            score=0.95,
            why="The words beside it read like “Serial number”.",
        ),
    )


def test_propose_mapping_puts_two_dates_in_the_order_of_the_form() -> None:
    blanks = (
        BlankWanted(id="signed-on", label="Date", kind="date"),
        BlankWanted(id="notary-date", label="Date", kind="notary-date"),
    )
    fields = make_fields([("", "text", "a", "", "Date"), ("", "text", "b", "", "Date")])

    matches = propose_mapping(fields, blanks)

    assert [(match.field, match.blank) for match in matches] == [
        ("a", "signed-on"),
        ("b", "notary-date"),
    ]
    assert matches[0].why.endswith("It would also fit “Date”.")


def test_propose_mapping_never_puts_a_signature_in_a_tick_box() -> None:
    blanks = (BlankWanted(id="signature", label="Signature", kind="signature"),)
    fields = make_fields([("", "check", "Signature", "Signature", "Signature")])

    assert propose_mapping(fields, blanks) == ()


def test_propose_mapping_leaves_out_hidden_fields_and_those_on_no_page() -> None:
    blanks = (BlankWanted(id="model", label="Model", kind="text"),)
    field = make_fields([("", "text", "Model", "", "Model")])[0]
    hidden = (replace(field, is_hidden=True), replace(field, places=()))

    assert propose_mapping(hidden, blanks) == ()
    assert len(propose_mapping((field,), blanks)) == 1


def test_split_words_in_one_spelling() -> None:
    words = split_words("AcftMfr's Serial No. (12) and Signers of the form")

    assert words == {"aircraft", "maker", "serial", "number", "signature"}


TEXT = BlankWanted(id="owner", label="Owner", kind="text")
TICK = BlankWanted(id="kind", label="Kind of owner", kind="check")
PEN = BlankWanted(id="signature", label="Signature", kind="signature")
SPOT = Place(page=0, left=100, bottom=100, right=300, top=120)


def read(*fields: Field, marks: tuple[Mark, ...] = (), has_xfa: bool = False) -> FieldsRead:
    return FieldsRead(kind=PdfKind.FILLABLE, why="", fields=fields, marks=marks, has_xfa=has_xfa)


def judge(
    blank: BlankWanted, *fields: Field, marks: tuple[Mark, ...] = (), has_xfa: bool = False
) -> tuple[Seen, str]:
    mapping = [FieldMatch(field=one.name, blank=blank.id, score=1, why="") for one in fields]
    given = read(*fields, marks=marks, has_xfa=has_xfa)
    finding = compute_findings(given, mapping, [blank])[0]
    assert finding.fields == tuple(field.name for field in fields)
    return finding.seen, finding.why


def field(kind: FieldKind = FieldKind.TEXT, value: str = "", **parts: object) -> Field:
    made = Field(name="f", kind=kind, value=value, is_empty=not value.strip(), places=(SPOT,))
    return replace(made, **parts)  # type: ignore[arg-type]


def test_compute_findings_on_text() -> None:
    preset = field(value="NE", is_preset=True)

    assert judge(TEXT, field(value="Odile Ferrant")) == (Seen.PRESENT, "“Odile Ferrant”.")
    assert judge(TEXT, field()) == (Seen.MISSING, "The field is empty.")
    assert judge(TEXT, field(value="   ")) == (Seen.MISSING, "The field has only blanks.")
    assert judge(TEXT, preset) == (Seen.PRESENT, "“NE”, the value that the form came with.")


@pytest.mark.parametrize(
    "hint",
    [
        "Select one",
        "Please choose",
        "Click here",
        "MM/DD/YYYY",
        "mm-dd-yy",
        "Enter your name",
        "____",
        "- - -",
        "XXXX",
    ],
)
def test_compute_findings_on_the_forms_own_hint(hint: str) -> None:
    seen, why = judge(TEXT, field(value=hint))

    assert seen is Seen.CANNOT_TELL
    assert why == f"“{hint}” looks like the form's own hint."


@pytest.mark.parametrize(
    "value", ["N", "Select Aerial LLC", "Pick-up 9", "05/24/2027", "X", "-12", "Y"]
)
def test_compute_findings_on_short_values_that_are_no_hints(value: str) -> None:
    assert judge(TEXT, field(value=value))[0] is Seen.PRESENT


def test_compute_findings_on_a_row_of_boxes() -> None:
    off, on = field(FieldKind.CHECK, name="a"), field(FieldKind.CHECK, "Yes", name="b")

    assert judge(TICK, off, on) == (Seen.PRESENT, "Ticked: Yes.")
    assert judge(TICK, off) == (Seen.MISSING, "No box is ticked.")


def test_compute_findings_on_a_blank_split_over_fields() -> None:
    street, town = field(value="1 Gravel Road", name="street"), field(name="town")
    asked = replace(town, is_required=True)

    assert judge(TEXT, street, town) == (Seen.CANNOT_TELL, "1 of 2 fields are empty: town.")
    assert judge(TEXT, street, asked) == (
        Seen.MISSING,
        "A field that the form asks for is empty: town.",
    )
    assert judge(TEXT, field(name="a"), town) == (
        Seen.MISSING,
        "All 2 fields are empty: a, town.",
    )
    assert judge(TEXT, street, replace(street, name="more")) == (
        Seen.PRESENT,
        "All 2 fields are filled in.",
    )


def sealed(state: SealState, **parts: object) -> Field:
    made = Seal(state=state, why="Why.")
    seal = replace(made, **parts)  # type: ignore[arg-type]
    return field(FieldKind.SIGNATURE, seal=seal)


def test_compute_findings_on_signature_fields() -> None:
    good = sealed(SealState.SIGNED, is_intact=True, covers_file=True)
    bad = sealed(SealState.SIGNED, is_intact=False)
    unclear = sealed(SealState.SIGNED, is_intact=None)
    later = sealed(SealState.SIGNED, is_intact=True, changed_fields=("owner",))

    assert judge(PEN, sealed(SealState.UNSIGNED)) == (Seen.MISSING, "It is not signed.")
    assert judge(PEN, sealed(SealState.DRAWN)) == (
        Seen.PRESENT,
        "Why. An office may want ink on paper.",
    )
    assert judge(PEN, good) == (Seen.PRESENT, "Signed with a certificate. Why.")
    for one in (bad, unclear, later):
        assert judge(PEN, one) == (Seen.CANNOT_TELL, "It is signed, but look at it. Why.")


def test_compute_findings_on_a_signature_in_a_text_field() -> None:
    ink = (Mark(kind="Ink", place=SPOT),)

    assert judge(PEN, field(value="Odile Ferrant")) == (
        Seen.CANNOT_TELL,
        "A name is typed (“Odile Ferrant”); an office may not take it.",
    )
    assert judge(PEN, field(), marks=ink) == (
        Seen.PRESENT,
        "Drawn with a pen tool; an office may want ink on paper.",
    )


@pytest.mark.parametrize("kind", ["Stamp", "FreeText", "Line"])
def test_compute_findings_with_something_over_an_empty_field(kind: str) -> None:
    over = (Mark(kind=kind, place=SPOT),)
    aside = (Mark(kind=kind, place=replace(SPOT, bottom=500, top=520)),)
    unsigned = sealed(SealState.UNSIGNED)

    assert judge(TEXT, field(), marks=over)[0] is Seen.CANNOT_TELL
    assert judge(PEN, unsigned, marks=over)[0] is Seen.CANNOT_TELL
    assert judge(TEXT, field(), marks=aside)[0] is Seen.MISSING


def test_compute_findings_says_when_values_are_kept_twice() -> None:
    why = judge(TEXT, field(value="x"), has_xfa=True)[1]

    assert why.endswith("in another form language, which may differ.")


def test_compute_findings_without_a_field() -> None:
    finding = compute_findings(read(field()), [], [TEXT])[0]

    assert finding == BlankFinding(
        blank=TEXT,
        seen=Seen.CANNOT_TELL,
        why="No field of the PDF was found for it; look at the page.",
    )


@pytest.mark.parametrize(
    "kind", [PdfKind.FLATTENED, PdfKind.SCANNED, PdfKind.XFA_ONLY, PdfKind.EMPTY]
)
def test_compute_findings_on_a_pdf_without_fields_never_says_present_or_missing(
    kind: PdfKind,
) -> None:
    given = FieldsRead(kind=kind, why="Only its picture can be judged.")

    findings = compute_findings(given, [], [TEXT, TICK, PEN])

    assert {(one.seen, one.why) for one in findings} == {
        (Seen.CANNOT_TELL, "Only its picture can be judged.")
    }
    assert len(findings) == 3
