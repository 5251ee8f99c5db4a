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
                bottom=9000 - 40 * at,
                right=9,
                top=9009 - 40 * at,
            )
            for at, blank in enumerate(template.blanks)
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


def put(
    *places: tuple[str, str, float, float], wide: float = 200, high: float = 14
) -> tuple[Region, ...]:
    """Places of a kind, words, left end and height over the page's foot, called a, b, c ..."""
    return tuple(
        Region(
            id="abcdefghijkl"[at],
            label=label,
            kind=kind,
            page=0,
            left=left,
            bottom=bottom,
            right=left + wide,
            top=bottom + high,
        )
        for at, (kind, label, left, bottom) in enumerate(places)
    )


@pytest.mark.parametrize(
    ("form", "kind", "label"),
    [
        ("mn-aircraft-registration", "number", "Telephone number"),
        ("faa-8050-1b", "number", "Fax number"),
        ("faa-8050-2", "text", "Title of the document"),
        ("faa-8050-1", "signature", "Witness"),
        ("faa-8050-2", "signature", "Signature of buyer"),
        ("faa-8050-1", "date", "Date received"),
        ("ia-license-application", "number", "Account number"),
    ],
)
def test_tie_words_of_somebody_or_something_else_stay_untied(
    templates: dict[str, FormTemplate], form: str, kind: str, label: str
) -> None:
    """One general word in common, such as "number", ties nothing."""
    assert tie(templates[form], (kind, label)) == {}


def test_tie_signer_in_the_words_of_the_certificate(templates: dict[str, FormTemplate]) -> None:
    """The name after "by" between the parts of a certificate is of who signed."""
    places = put(
        ("notary-state", "State of", 72, 300),
        ("notary-county", "County of", 72, 280),
        ("notary-date", "before me on", 200, 250),
        ("printed-name", "by", 420, 250),
        ("notary-signature", "Notary Public", 300, 200),
        ("printed-name", "Notary's name, printed", 300, 170),
    )

    ties = tie_regions(places, templates[AFFIDAVIT])

    assert ties == {
        "a": "notary-state",
        "b": "notary-county",
        "c": "notary-date",
        "d": "notary-signer",
        "e": "notary-signature",
    }


def test_tie_what_stands_beside_a_signature_of_no_blank_stays_untied(
    templates: dict[str, FormTemplate],
) -> None:
    """The witness's date and name are not the seller's."""
    places = put(
        ("signature", "Seller's signature", 54, 300),
        ("printed-name", "Print name", 54, 270),
        ("title", "Title", 300, 270),
        ("signature", "Witness", 54, 200),
        ("printed-name", "Print name", 54, 170),
        ("date", "Date", 300, 200),
    )

    ties = tie_regions(places, templates["faa-8050-2"])

    assert ties == {"a": "signature", "b": "printed-name", "c": "signer-title"}


def test_tie_two_bare_signatures_and_one_blank_stay_untied(
    templates: dict[str, FormTemplate],
) -> None:
    """Nothing says which of the two it is."""
    places = put(("signature", "Signature", 54, 300), ("signature", "Signature", 54, 200))

    assert tie_regions(places, templates["faa-8050-2"]) == {}


def test_tie_date_to_a_blank_of_text_by_its_words(templates: dict[str, FormTemplate]) -> None:
    """A template may ask for dates in words of its own; the form prints a line for a date."""
    template = templates["sd-commercial-application"]

    ties = tie(template, ("date", "Dates exams were passed"), ("date", "Date"))

    assert ties["a"] == "exams"


def test_tie_city_state_and_zip_to_the_address_before_them(
    templates: dict[str, FormTemplate],
) -> None:
    """The lines of one address are one blank; with a line of its own between they are not."""
    places = put(
        ("address", "Home address", 54, 600),
        ("address", "City", 54, 580),
        ("address", "State", 300, 580),
        ("text", "E-mail", 54, 560),
        ("address", "ZIP", 54, 540),
    )

    ties = tie_regions(places, templates["sd-commercial-application"])

    assert ties == {"a": "home-address", "b": "home-address", "c": "home-address"}


def test_tie_boxes_of_a_choice_all_or_none(templates: dict[str, FormTemplate]) -> None:
    """Two boxes of three that are known tie the third; boxes for yes and no tie nothing."""
    choice = put(
        ("check", "Individual", 54, 600),
        ("check", "Partnership", 154, 600),
        ("check", "Trust", 254, 600),
        wide=10,
        high=10,
    )
    answers = put(("check", "Yes", 54, 600), ("check", "No", 154, 600), wide=10, high=10)

    assert tie_regions(choice, templates["faa-8050-1"]) == dict.fromkeys("abc", "registration-type")
    assert tie_regions(answers, templates["faa-8050-1"]) == {}


CITIZEN = "I certify that the owner is a citizen of the United States"
ABROAD = "The aircraft is not registered under the laws of any foreign country"


def test_tie_boxes_statements_under_a_choice_are_none_of_its_boxes(
    templates: dict[str, FormTemplate],
) -> None:
    """Statements right under a choice are parted from it; its own boxes stay tied."""
    places = put(
        ("check", "Individual", 54, 600),
        ("check", "Corporation", 154, 600),
        ("check", "Limited liability company", 254, 600),
        ("check", CITIZEN, 54, 575),
        ("check", ABROAD, 54, 553),
        wide=10,
        high=10,
    )
    ties = tie_regions(places, templates["faa-8050-1"])

    assert {place: ties.get(place) for place in "abcd"} == {
        **dict.fromkeys("abc", "registration-type"),
        "d": None,
    }
    assert ties.get("e") in {None, "not-registered-abroad"}


@pytest.mark.parametrize(
    ("labels", "tied"),
    [
        (("Individual", "Corporation", "LLC"), "abc"),
        (("Individual", "Government", "LLC"), "abc"),
        (("Individual", "LLC", "Government"), ""),
        (("New aircraft", "Individual", "LLC"), ""),
        ((CITIZEN, "Individual", "LLC"), "bc"),
    ],
)
def test_tie_boxes_one_under_the_other(
    templates: dict[str, FormTemplate], labels: tuple[str, ...], tied: str
) -> None:
    """A short label before or after the choice may be one of its boxes, so none is tied."""
    rows = [("check", label, 54.0, 600.0 - 20 * at) for at, label in enumerate(labels)]
    ties = tie_regions(put(*rows, wide=10, high=10), templates["faa-8050-1"])

    assert {place for place, blank in ties.items() if blank == "registration-type"} == set(tied)


def test_tie_fits_two_blanks_alike_stays_untied(templates: dict[str, FormTemplate]) -> None:
    """A bare "Address" is not the mailing address where there is a physical one too."""
    assert tie(templates["ia-license-application"], ("address", "Address")) == {}
