"""Whether a PDF shown as an empty form is one: not filled in by somebody, and not another form.

A filled one would be printed with somebody's data, and its photos would be read as empty. Source:
the limits are common practice, no source; measured in ``tests/app/test_learn_guard.py``.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from sqlmodel import Session

from compliance.app.known_forms import KnownForm, KnownPlace
from compliance.app.learn_print import LEAST_TYPED, list_typed
from compliance.app.learn_texts import (
    SHORTEST,
    is_asked_of_person,
    is_own,
    is_town_line,
    lay_bare,
    shorten_name,
)
from compliance.app.learned import find_places, learn_form
from compliance.app.tables import load_templates
from compliance.app.wanted import wanted_blanks
from compliance.base.problems import RefusedError
from compliance.engine.check_words import squash
from compliance.facts.reply_words import is_waiting
from compliance.forms.model import BlankKind, FormTemplate
from compliance.scan.acroform import read_fields
from compliance.scan.acroform_findings import is_placeholder
from compliance.scan.acroform_pens import asks_for_signature
from compliance.scan.form_fit import compute_fit
from compliance.scan.model import Region
from compliance.scan.pdf_model import (
    Field,
    FieldKind,
    FieldsRead,
    PdfKind,
    Place,
    SealState,
)
from compliance.scan.render import render_page
from compliance.store.repository import load_operation, load_operation_ids

FAR_BETTER, LIKELY = 0.2, 0.5
MOST_PRESET = 2
"""Forms come with so many texts of their own in fields that may be changed, seldom with more."""
DARK, EDGE, DPI, BLACK = 0.06, 0.25, 200, 128
_MOST_NAMED = 3
_NO_TEXT = (FieldKind.CHECK, FieldKind.RADIO, FieldKind.BUTTON)
_PREFIX = "n"
# Words of a form that speak of signing in the field for it; no name holds them.
_OF_SIGNING = frozenset(
    {"sign", "signed", "signature", "signatures", "ink", "valid", "required", "here", "must"}
)
_WRITTEN_ON = frozenset({"Ink", "FreeText", "Stamp"})
_KINDS = {
    BlankKind.CHECK: FieldKind.CHECK,
    BlankKind.SIGNATURE: FieldKind.SIGNATURE,
    BlankKind.NOTARY_SIGNATURE: FieldKind.SIGNATURE,
}


def learn_empty_form(
    session: Session,
    template: FormTemplate,
    pdf: bytes,
    places: tuple[KnownPlace, ...] | None,
    folder: Path,
    learned_on: date,
    *,
    anyway: bool = False,
) -> tuple[KnownForm, tuple[str, ...]]:
    """Learn a form as ``learned.learn_form`` does, once it is sure that it is empty and the one.

    Shape: the form, and a sentence for each text of which nobody can tell whether it was typed.
    With *anyway* somebody has looked, and nothing is held against it. Places mended by hand are not
    held against other forms.

    Raises:
        RefusedError: The PDF cannot be used, is filled in already, or seems to be another form;
            nothing was kept.
    """
    found = places if places is not None else find_places(session, template, pdf)
    doubts: tuple[str, ...] = ()
    if not anyway:
        read = read_fields(pdf)
        regions = tuple(place.region for place in found)
        doubts = refuse_filled(pdf, read, regions, template, load_own_texts(session))
        if places is None:
            refuse_other_kind(read, regions, template, load_templates())
    return learn_form(session, template, pdf, found, folder, learned_on), doubts


def load_own_texts(session: Session) -> frozenset[str]:
    """Give what only somebody of a known operation would write on a form, in bare letters.

    Shape: names, serial and registration numbers, addresses, telephone, e-mail and numbers of
    papers. No maker, model or state: a form may come with those.
    """
    texts: set[str] = set()
    for name in load_operation_ids(session):
        known = load_operation(session, name)
        if known is None:
            continue
        addresses = [one for one in (known.mailing_address, known.physical_address) if one]
        texts.update((known.legal_name, known.contact_name))
        texts.update((known.contact_phone, known.contact_email))
        texts.update(pilot.name for pilot in known.pilots)
        texts.update(paper.number for paper in known.papers)
        texts.update(text for one in addresses for text in (*one.lines, " ".join(one.lines)))
        for machine in known.aircraft:
            texts.update((machine.serial, machine.remote_id_serial, machine.registration_number))
        people = (known.contact_name, *(pilot.name for pilot in known.pilots))
        texts.update(shorten_name(person) for person in people)
    return frozenset(bare for text in texts if len(bare := lay_bare(text)) >= SHORTEST)


def refuse_filled(
    pdf: bytes,
    read: FieldsRead,
    regions: Sequence[Region],
    form: FormTemplate,
    own: frozenset[str] = frozenset(),
) -> tuple[str, ...]:
    """Refuse a form that somebody has filled in; *own* is what :func:`load_own_texts` gives.

    Shape: what cannot be told, a sentence each, to be told the person.

    Raises:
        RefusedError: It holds text in its fields, typed beside its labels, marks or a signature.
    """
    found = [*_list_fields(read, own), *_list_printed(read, own)]
    typed = list_typed(pdf, read, regions, form)
    found.extend(typed if found or len(typed) >= LEAST_TYPED else ())
    if read.kind is not PdfKind.FILLABLE:
        found.extend(_list_marked(pdf, regions))
    if not found:
        return tuple(
            f"cannot tell whether somebody typed it, look at the form: {one}" for one in typed
        )
    more = len(found) - _MOST_NAMED
    shown = "; ".join(found[:_MOST_NAMED]) + (f"; and {more} more" if more > 0 else "")
    raise RefusedError(
        f"this form seems to be filled in already: {shown}. Its data would stand on every copy"
        " printed, and photos of them would be misread; nothing was kept",
        hint="fetch the empty form; if it is empty, learn it with --anyway",
    )


def refuse_other_kind(
    read: FieldsRead,
    regions: Sequence[Region],
    form: FormTemplate,
    templates: Mapping[str, FormTemplate],
) -> None:
    """Refuse a form that looks far more like another one than like the one named.

    Raises:
        RefusedError: It does.
    """
    shown = FieldsRead(
        kind=PdfKind.FILLABLE,
        why="",
        fields=tuple(_to_field(region) for region in regions),
        heading=read.heading,
    )
    own = compute_fit(shown, wanted_blanks(form), form.title)
    fits = {
        name: compute_fit(shown, wanted_blanks(one), one.title) for name, one in templates.items()
    }
    # A paper of two blanks, such as a photo with a name, fits part of many forms.
    fuller = [name for name, fit in fits.items() if fit.held > own.held]
    best = max(fuller, key=lambda name: fits[name].score, default="")
    if best and fits[best].score > max(own.score + FAR_BETTER, LIKELY):
        raise RefusedError(
            f"this looks more like `{templates[best].title}` than like `{form.title}`;"
            " nothing was kept",
            hint=f"learn it with --form {best}; if it is `{form.title}` after all, with --anyway",
        )


def _to_field(region: Region) -> Field:
    return Field(
        name=region.id,
        kind=_KINDS.get(BlankKind(region.kind), FieldKind.TEXT),
        is_empty=True,
        places=(
            Place(
                page=region.page,
                left=region.left,
                bottom=region.bottom,
                right=region.right,
                top=region.top,
                label=region.label,
            ),
        ),
    )


def _list_fields(read: FieldsRead, own: frozenset[str]) -> Iterator[str]:
    """Say which fields hold something that an empty form does not come with."""
    # Some programs write what somebody typed as the value the form came with too.
    preset = sum(
        field.kind is FieldKind.TEXT and field.is_preset and not _is_own_print(field)
        for field in read.fields
    )
    for field in read.fields:
        if field.is_hidden or field.is_read_only or not field.places:
            continue
        name = " ".join((field.label_nearby or field.tooltip or field.name).split())
        if field.seal is not None and field.seal.state is not SealState.UNSIGNED:
            yield f"`{name}` is signed"
        elif field.kind in (FieldKind.CHECK, FieldKind.RADIO) and not field.is_empty:
            yield f"`{name}` is ticked"
        elif _is_persons(field, own) or (field.kind is FieldKind.TEXT and _is_data(field, preset)):
            yield f"`{name}` holds `{' '.join(field.value.split())[:40]}`"
    if any(mark.kind in _WRITTEN_ON for mark in read.marks):
        yield "something is drawn, typed or stamped on it"


def _is_persons(field: Field, own: frozenset[str]) -> bool:
    """Tell whether a field holds a person's own text, even as the value it came with."""
    if field.is_empty or is_placeholder(field.value) or field.kind in _NO_TEXT:
        return False
    is_name = any(letter.isalpha() for letter in field.value) and not is_waiting(field.value)
    words = {word.strip(".,;:()!") for word in field.value.casefold().split()}
    is_hint = not words.isdisjoint(_OF_SIGNING)
    label = f"{field.label_nearby} {field.tooltip}"
    if not is_hint and is_asked_of_person(label, field.value):
        return True
    return is_own(field.value, own) or (is_name and not is_hint and asks_for_signature(field))


def _list_printed(read: FieldsRead, own: frozenset[str]) -> Iterator[str]:
    """Say which of a person's own texts stand in print on a page."""
    for place in read.printed:
        _, _, rest = place.label.rpartition(": ")
        # An office of the same town prints the same line.
        if is_own(rest, own) and not is_town_line(rest):
            yield f"`{' '.join(rest.split())[:40]}` is printed on it"


def _is_data(field: Field, preset: int) -> bool:
    own = field.is_preset and preset <= MOST_PRESET
    return not (own or _is_own_print(field))


def _is_own_print(field: Field) -> bool:
    """Tell whether a field is empty, or holds a hint, a mask or the N that begins an N-number."""
    is_prefix = field.is_preset and squash(field.value) == _PREFIX
    return field.is_empty or is_prefix or is_placeholder(field.value)


def _list_marked(pdf: bytes, regions: Sequence[Region]) -> Iterator[str]:
    """Say which boxes hold ink, unless all do, for then it is how the form prints them."""
    boxes = [region for region in regions if region.kind == BlankKind.CHECK]
    pages = {page: render_page(pdf, page, DPI) for page in sorted({box.page for box in boxes})}
    marked = [box for box in boxes if _is_dark(pages[box.page], box)]
    if len(marked) < len(boxes):
        yield from (f"the box `{box.label or box.id}` is marked" for box in marked)


def _is_dark(grey: NDArray[np.uint8], box: Region) -> bool:
    """Tell whether the inside of a box, away from its own lines, holds ink."""
    scale, height = DPI / 72, grey.shape[0]
    wide, high = EDGE * (box.right - box.left), EDGE * (box.top - box.bottom)
    upper, lower = height - (box.top - high) * scale, height - (box.bottom + high) * scale
    left, right = (box.left + wide) * scale, (box.right - wide) * scale
    inside = grey[max(0, round(upper)) : round(lower), max(0, round(left)) : round(right)]
    return bool(inside.size) and float((inside < BLACK).mean()) > DARK
