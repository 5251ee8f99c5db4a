"""Forms and their blanks as text: every line fits the screen and nothing is left out."""

from dataclasses import replace

import pytest

from compliance.forms.model import FormTemplate
from compliance.outputs.forms_text import render_form, render_forms, render_learned
from compliance.outputs.words import CAUTION

PLACES = (("signature-1", "Signature", "signature"), ("line-1", "", ""))


def words(text: str) -> str:
    return " ".join(text.split())


def test_render_forms_lists_every_form(templates: dict[str, FormTemplate]) -> None:
    text = render_forms(tuple(templates.values()), "")

    for template in templates.values():
        assert f"{template.id} {template.title}" in words(text)
    assert max(len(line) for line in text.splitlines()) <= 80
    assert words(CAUTION) in words(text)


@pytest.mark.parametrize("word", ["BILL of sale", "8050-2"])
def test_render_forms_by_a_word_of_id_or_title(
    templates: dict[str, FormTemplate], word: str
) -> None:
    text = render_forms(tuple(templates.values()), word)

    assert text.splitlines()[:2] == ["  faa-8050-2  Aircraft Bill of Sale", ""]


def test_render_forms_none_says_so() -> None:
    assert render_forms((), "crop duster") == "no form holds 'crop duster'\n"


def test_render_form_names_every_blank_of_every_form(templates: dict[str, FormTemplate]) -> None:
    for template in templates.values():
        text = render_form(template)
        for blank in template.blanks:
            assert f"{blank.id}: {blank.label} ({blank.kind}, by {blank.filled_by}" in words(text)
        assert words(template.get_it) in words(text)
        assert words(template.basis.citation) in words(text)
        assert words(template.basis.note) in words(text)
        assert max(len(line) for line in text.splitlines()) <= 80


def test_render_form_tells_optional_blanks_apart(templates: dict[str, FormTemplate]) -> None:
    text = words(render_form(templates["faa-8050-2"]))

    assert "n-number: N-number (number, by seller, if it applies)" in text
    assert "model: Model (text, by seller)" in text


def test_render_form_says_from_when_on_it_is_stale(templates: dict[str, FormTemplate]) -> None:
    fresh = templates["faa-8050-2"]
    stale = replace(fresh, goes_stale_days=90)

    assert "  stale after   90 days from signing\n" in render_form(stale)
    assert "stale after" not in render_form(fresh)


def test_render_learned_names_what_is_not_tied_and_not_found(
    templates: dict[str, FormTemplate],
) -> None:
    template = templates["faa-8050-2"]
    lines = render_learned(template, PLACES, has_codes=True).splitlines()
    missing = [one.id for one in template.blanks if one.must and one.id != "signature"]

    assert lines[:3] == [
        "Aircraft Bill of Sale: 2 places found",
        "  signature-1 (Signature): signature",
        "  line-1 (no words): no blank of the form",
    ]
    assert f"! not found on the page: {', '.join(missing)} " in words("\n".join(lines))


def test_render_learned_complete_has_no_warning(templates: dict[str, FormTemplate]) -> None:
    template = templates["faa-8050-2"]
    places = tuple((blank.id, blank.label, blank.id) for blank in template.blanks)

    assert "not found" not in render_learned(template, places, has_codes=True)


@pytest.mark.parametrize(
    ("has_codes", "expected"),
    [(True, "kept with a code in each free corner"), (False, "kept WITHOUT codes")],
)
def test_render_learned_says_whether_codes_are_on_it(
    templates: dict[str, FormTemplate], has_codes: bool, expected: str
) -> None:
    text = words(render_learned(templates["faa-8050-2"], PLACES, has_codes=has_codes))

    assert expected in text
    assert "mailby forms print faa-8050-2 -o FILE" in text
