"""A filled PDF of another form is refused by name; the proposal speaks of every blank.

The forms are made of the shipped templates' own words; no agency's form was at hand.
"""

from collections.abc import Mapping
from dataclasses import replace

import pytest

from compliance.app.form_guess import list_doubtful, refuse_other_form, say_proposal
from compliance.app.wanted import wanted_blanks
from compliance.base.problems import RefusedError
from compliance.forms.model import FormTemplate
from compliance.scan.acroform_match import propose_mapping
from compliance.scan.pdf_model import Field, FieldKind, FieldsRead, PdfKind, Place

PAPERS = {
    "application": "faa-8050-1",
    "affidavit": "faa-ua-affidavit",
    "bill": "faa-8050-2",
    "fee": "faa-fee-check",
}
_KINDS = {
    "check": FieldKind.CHECK,
    "signature": FieldKind.SIGNATURE,
    "notary-signature": FieldKind.SIGNATURE,
}


def read_of(template: FormTemplate, *, heading: str = "") -> FieldsRead:
    """A PDF with a field of a meaningless name for each blank, its label printed beside it."""
    fields = tuple(
        Field(
            name=f"Text{at}",
            kind=_KINDS.get(str(blank.kind), FieldKind.TEXT),
            is_empty=True,
            places=(Place(page=0, left=0, bottom=700, right=9, top=718, label=blank.label),),
        )
        for at, blank in enumerate(template.blanks)
        if str(blank.kind) != "notary-stamp"
    )
    return FieldsRead(kind=PdfKind.FILLABLE, why="", fields=fields, heading=heading)


@pytest.fixture(scope="module")
def named(templates: dict[str, FormTemplate]) -> dict[str, FormTemplate]:
    return {name: templates[form] for name, form in PAPERS.items()}


def test_no_form_is_refused_as_itself(templates: dict[str, FormTemplate]) -> None:
    """Take every shipped form in its own words for what it is, the title left out."""
    for template in templates.values():
        read = read_of(template)
        among = {one.id: one for one in (templates["faa-8050-1"], template)}
        refuse_other_form(read, "a.pdf", "it", {"it": template}, among)


@pytest.mark.parametrize("given", list(PAPERS))
def test_a_form_is_refused_as_each_other_paper_of_the_packet(
    given: str, named: dict[str, FormTemplate], templates: Mapping[str, FormTemplate]
) -> None:
    """Refuse each paper given for another one and name the document it belongs to."""
    read = read_of(named[given], heading=named[given].title)
    for document in named.keys() - {given}:
        with pytest.raises(RefusedError) as caught:
            refuse_other_form(read, "a.pdf", document, named, templates)

        assert caught.value.message.startswith("a.pdf: this ")
        assert caught.value.message.endswith(
            (
                f"It looks more like `{named[given].title}`",
                f"looks more like `{named[given].title}` than like `{named[document].title}`",
            )
        )
        assert caught.value.hint.startswith(f"check it with --document {given}; ")


def test_refusal_says_what_it_seems_and_what_to_do(
    named: dict[str, FormTemplate], templates: dict[str, FormTemplate]
) -> None:
    """Say the whole sentence for an application given as the check for the fee."""
    read = read_of(named["application"], heading="Aircraft Registration Application")
    with pytest.raises(RefusedError) as caught:
        refuse_other_form(read, "a.pdf", "fee", named, templates)

    assert caught.value.message == (
        "a.pdf: this does not look like `Check or money order for the fee`: 1 of its 4 blanks that"
        " have to be filled in seem to have a field. It looks more like `Aircraft Registration"
        " Application`"
    )
    assert caught.value.hint == (
        "check it with --document application; if it is `Check or money order for the fee` after"
        " all, answer the questions, or show its pages with --scan"
    )


def test_a_pdf_of_no_known_form_is_refused_without_a_guess(
    named: dict[str, FormTemplate], templates: dict[str, FormTemplate]
) -> None:
    """Refuse fields that fit nothing, and name no other form."""
    read = FieldsRead(
        kind=PdfKind.FILLABLE,
        why="",
        fields=(
            Field(
                name="Text1",
                kind=FieldKind.TEXT,
                is_empty=True,
                places=(Place(page=0, left=0, bottom=0, right=9, top=9, label="Favorite color"),),
            ),
        ),
    )
    with pytest.raises(RefusedError) as caught:
        refuse_other_form(read, "a.pdf", "application", named, templates)

    assert caught.value.message == (
        "a.pdf: this does not look like `Aircraft Registration Application`: 0 of its 11 blanks"
        " that have to be filled in seem to have a field"
    )
    assert caught.value.hint == (
        "give the right file; if this is the right one, answer the questions, or show its pages"
        " with --scan"
    )


def test_proposal_marks_what_is_in_doubt(named: dict[str, FormTemplate]) -> None:
    """Put a word before a line in doubt and the reason behind it, and give these lines apart."""
    template = named["fee"]
    read = read_of(template)
    sure, *others = propose_mapping(read.fields, wanted_blanks(template))
    matches = (sure, replace(others[0], doubt="it may also be `Memo`"), *others[1:])
    lines = say_proposal(read, matches, template)
    one, two = template.blanks[0].label, template.blanks[1].label

    assert lines[:2] == (
        f"{one}: the field at `{one}`",
        f"LOOK TWICE: {two}: the field at `{two}` (it may also be `Memo`)",
    )
    assert list_doubtful(read, matches, template) == lines[1:2]


def test_proposal_has_a_line_a_blank_and_names_what_is_left(
    named: dict[str, FormTemplate],
) -> None:
    """Name each field by its words on the page, the blanks without one and the fields left."""
    template = named["fee"]
    whole = read_of(template)
    spare = Field(
        name="Text99",
        kind=FieldKind.TEXT,
        is_empty=True,
        places=(Place(page=0, left=0, bottom=0, right=9, top=9),),
    )
    read = FieldsRead(kind=PdfKind.FILLABLE, why="", fields=(*whole.fields[:-1], spare))
    lines = say_proposal(read, propose_mapping(read.fields, wanted_blanks(template)), template)
    labels = [blank.label for blank in template.blanks]

    assert lines == (
        *(f"{label}: the field at `{label}`" for label in labels[:-1]),
        f"no field in the PDF for: {labels[-1]}",
        "fields of the PDF that are not used: the field named `Text99`",
    )
