"""Places of a page tied to blanks: the words as forms print them (common practice, no source)."""

import pytest

from compliance.app.tie import tie_regions
from compliance.forms.model import FormTemplate
from compliance.scan.model import Region

AFFIDAVIT = "faa-ua-affidavit"
NOTARIAL = (
    "notary-state",
    "notary-county",
    "notary-act",
    "notary-date",
    "notary-signature",
    "notary-title",
    "notary-stamp",
    "notary-expiry",
)


def regions(*places: tuple[str, str]) -> tuple[Region, ...]:
    """Places of the kinds and words given, called a, b, c ..."""
    return tuple(
        Region(
            id="abcdefghijkl"[at], label=label, kind=kind, page=0, left=0, bottom=0, right=9, top=9
        )
        for at, (kind, label) in enumerate(places)
    )


def tie(template: FormTemplate, *places: tuple[str, str]) -> dict[str, str]:
    return tie_regions(regions(*places), template)


def test_tie_notary_parts_by_kind_alone(templates: dict[str, FormTemplate]) -> None:
    ties = tie(templates[AFFIDAVIT], *((kind, "") for kind in NOTARIAL))

    assert ties == dict(zip("abcdefgh", NOTARIAL, strict=True))


def test_tie_day_month_and_year_all_to_the_notary_date(templates: dict[str, FormTemplate]) -> None:
    ties = tie(
        templates[AFFIDAVIT],
        ("notary-date", "sworn to before me this"),
        ("notary-date", "day of"),
        ("notary-date", "20"),
        ("date", "Date of signing"),
    )

    assert ties == {"a": "notary-date", "b": "notary-date", "c": "notary-date", "d": "signed-on"}


def test_tie_signatures_of_owner_and_notary_by_kind(templates: dict[str, FormTemplate]) -> None:
    ties = tie(
        templates[AFFIDAVIT], ("notary-signature", "Signature"), ("signature", "Signature of owner")
    )

    assert ties == {"a": "notary-signature", "b": "signature"}


def test_tie_every_blank_by_its_own_label(templates: dict[str, FormTemplate]) -> None:
    """A form that prints the template's own words is tied without a fault, form by form."""
    wrong = {}
    for template in templates.values():
        places = tuple(
            Region(
                id=blank.id,
                label=blank.label,
                kind=blank.kind,
                page=0,
                left=0,
                bottom=0,
                right=9,
                top=9,
            )
            for blank in template.blanks
        )
        ties = tie_regions(places, template)
        faults = {name: blank for name, blank in ties.items() if name != blank}
        if faults or len(ties) != len(places):
            wrong[template.id] = faults or set(template.blanks) - set(ties)

    assert wrong == {}


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_tie_bare_date_does_not_take_the_birthday(
    templates: dict[str, FormTemplate], order: tuple[int, int]
) -> None:
    places = (("date", "Date"), ("date", "Date of birth"))
    ties = tie(templates["sd-commercial-application"], *(places[at] for at in order))

    assert [ties["ab"[order.index(at)]] for at in (0, 1)] == ["signed-on", "birth-date"]


@pytest.mark.parametrize(
    ("kind", "label"),
    [
        ("text", "Remarks"),
        ("text", ""),
        ("amount", "Amount due"),
        ("check", "I agree"),
        ("text", "For use by the office only"),
        ("title", "Fax"),
    ],
)
def test_tie_what_fits_nothing_stays_untied(
    templates: dict[str, FormTemplate], kind: str, label: str
) -> None:
    assert tie(templates[AFFIDAVIT], (kind, label)) == {}


def test_tie_one_place_a_blank_when_two_are_alike(templates: dict[str, FormTemplate]) -> None:
    ties = tie(templates[AFFIDAVIT], ("text", "Model"), ("text", "Model"))

    assert ties == {"a": "model"}


def test_tie_names_printed_as_text_lines(templates: dict[str, FormTemplate]) -> None:
    ties = tie(
        templates[AFFIDAVIT], ("text", "Title"), ("text", "Printed name"), ("text", "Serial No.")
    )

    assert ties == {"a": "signer-title", "b": "printed-name", "c": "serial"}


def test_tie_no_places_gives_nothing(templates: dict[str, FormTemplate]) -> None:
    assert tie_regions((), templates[AFFIDAVIT]) == {}
