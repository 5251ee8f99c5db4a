"""Whether a filled PDF and what a person said are of one paper, text by text.

Common practice, no source: names count letter for letter, as an office reads them; addresses,
telephones, amounts and weights as far as they mean the same.
"""

from dataclasses import replace

from compliance.base.dates import list_readings
from compliance.engine.check_words import is_same_email, is_same_phone, parse_amount, squash
from compliance.engine.crosschecks_facts import EMAIL, PHONE, PLACES, WEIGHT, find_equals
from compliance.engine.weights import read_weights
from compliance.facts.answers import Answer, Source, Status
from compliance.facts.answers_short import read_status
from compliance.forms.model import Blank, BlankKind, FormTemplate

Pair = tuple[Blank, Answer, Answer]
"""A blank, what a person said of it, and what a file shows there."""


def list_other_texts(
    before: tuple[Answer, ...],
    said: tuple[Answer, ...],
    form: FormTemplate,
    source: Source = Source.PERSON,
) -> tuple[Pair, ...]:
    """Give where a filled PDF shows another text than a person gave, in the order of the form.

    A field that is empty in the PDF may have been filled in by pen: that is no other text. A blank
    that a person called empty or struck and the PDF shows filled in is one. With another *source*
    the texts of those answers are held against the PDF.
    """
    told = {
        (one.document, one.sheet, one.blank): one
        for one in before
        if one.source is source and (source is Source.PERSON or one.status is Status.FILLED)
    }
    shown = {one.blank: one for one in said}
    found = []
    for blank in form.blanks:
        file = shown.get(blank.id)
        person = told.get((file.document, file.sheet, blank.id)) if file is not None else None
        if file is not None and person is not None and _is_other(blank, person, file):
            found.append((blank, person, file))
    return tuple(found)


def list_retold(
    before: tuple[Answer, ...],
    after: tuple[Answer, ...],
    form: FormTemplate,
    sheet: tuple[str, int],
) -> tuple[Pair, ...]:
    """Give where a person gives another text now than the one kept, in the order of the form.

    Shape: (blank, what was kept, what is said now). What a photo was read as may be misread. Dates
    and the notary's block are written at the signing and tell no prints apart; neither does what
    was called empty, struck or unclear.
    """
    kept = {
        one.blank: one
        for one in before
        if (one.document, one.sheet) == sheet and one.says and one.source is not Source.PHOTO
    }
    now = {
        one.blank: one
        for one in after
        if (one.document, one.sheet) == sheet and one.says and one.source is Source.PERSON
    }
    found = []
    for blank in form.blanks:
        old, new = kept.get(blank.id), now.get(blank.id)
        is_typed = not (blank.kind.is_notarial or blank.is_mark or blank.kind is BlankKind.DATE)
        if old and new and is_typed and _is_other(blank, new, replace(old, status=Status.FILLED)):
            found.append((blank, old, new))
    return tuple(found)


def say_other(pair: Pair) -> str:
    """Say what a PDF shows in a blank, and what was said of it."""
    blank, person, file = pair
    word = f"`{person.says or person.on}`" if person.says or person.on else f"{person.status}"
    shows = f"`{file.says.strip()}`" if file.says.strip() else "it filled in"
    return f"has {shows} under `{blank.label}`, you said {word}"


def _is_other(blank: Blank, person: Answer, file: Answer) -> bool:
    if file.status is not Status.FILLED or person.status is Status.UNCLEAR:
        return False
    shows = file.says.strip()
    if person.status is not Status.FILLED:
        return read_status(shows) is not person.status
    if person.on is not None:
        days = (file.on,) if file.on else list_readings(shows)
        return bool(days) and person.on not in days
    return bool(person.says and shows) and not _is_same(blank, person.says.strip(), shows)


def _is_same(blank: Blank, one: str, other: str) -> bool:
    name = find_equals(blank)
    if name == PHONE:
        return is_same_phone(one, other) or is_same_phone(other, one)
    if name == EMAIL:
        return is_same_email(one, other)
    if name == WEIGHT:
        first, second = read_weights(one, blank.label), read_weights(other, blank.label)
        return bool(first) and all(weight.is_of(first[0].pounds) for weight in second)
    if name in PLACES or blank.kind is BlankKind.ADDRESS or blank.one_of:
        return squash(one) == squash(other)
    amount = parse_amount(one)
    return one.split() == other.split() or (amount is not None and amount == parse_amount(other))
