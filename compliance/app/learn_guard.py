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
from compliance.app.learned import find_places, learn_form, wanted_blanks
from compliance.app.tables import load_templates
from compliance.app.tie import tie_regions
from compliance.base.problems import RefusedError
from compliance.forms.model import BlankKind, FormTemplate
from compliance.scan.acroform import read_fields
from compliance.scan.acroform_findings import is_placeholder
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

FAR_BETTER, LIKELY = 0.2, 0.5
MOST_PRESET = 2
"""Forms come with so many texts of their own in fields that may be changed, seldom with more."""
LEAST_TYPED = 2
"""So many labels of the form's blanks followed by text make a page that was filled in."""
DARK, EDGE, DPI, BLACK = 0.06, 0.25, 200, 128
_ASIDE, _ON_LINE = 260.0, 4.0
_MOST_NAMED = 3
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
) -> KnownForm:
    """Learn a form as ``learned.learn_form`` does, once it is sure that it is empty and the one.

    With *anyway* somebody has looked, and nothing is held against it. Places mended by hand are not
    held against other forms.

    Raises:
        RefusedError: The PDF cannot be used, is filled in already, or seems to be another form;
            nothing was kept.
    """
    found = places if places is not None else find_places(template, pdf)
    if not anyway:
        read = read_fields(pdf)
        regions = tuple(place.region for place in found)
        refuse_filled(pdf, read, regions, template)
        if places is None:
            refuse_other_kind(read, regions, template, load_templates())
    return learn_form(session, template, pdf, found, folder, learned_on)


def refuse_filled(
    pdf: bytes, read: FieldsRead, regions: Sequence[Region], form: FormTemplate
) -> None:
    """Refuse a form that somebody has filled in.

    Raises:
        RefusedError: It holds text in its fields, typed beside its labels, marks or a signature.
    """
    found = [*_list_fields(read), *_list_typed(read, regions, form)]
    if read.kind is not PdfKind.FILLABLE:
        found.extend(_list_marked(pdf, regions))
    if not found:
        return
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


def _list_fields(read: FieldsRead) -> Iterator[str]:
    """Say which fields hold something that an empty form does not come with."""
    # Some programs write what somebody typed as the value the form came with too.
    preset = sum(field.kind is FieldKind.TEXT and field.is_preset for field in read.fields)
    for field in read.fields:
        if field.is_hidden or field.is_read_only or not field.places:
            continue
        name = " ".join((field.label_nearby or field.tooltip or field.name).split())
        if field.seal is not None and field.seal.state is not SealState.UNSIGNED:
            yield f"`{name}` is signed"
        elif field.kind in (FieldKind.CHECK, FieldKind.RADIO) and not field.is_empty:
            yield f"`{name}` is ticked"
        elif field.kind is FieldKind.TEXT and _is_data(field, preset):
            yield f"`{name}` holds `{' '.join(field.value.split())[:40]}`"
    if any(mark.kind in _WRITTEN_ON for mark in read.marks):
        yield "something is drawn, typed or stamped on it"


def _is_data(field: Field, preset: int) -> bool:
    own = field.is_preset and preset <= MOST_PRESET
    return not (field.is_empty or own or is_placeholder(field.value))


def _list_typed(read: FieldsRead, regions: Sequence[Region], form: FormTemplate) -> tuple[str, ...]:
    """Say which labels of the form's blanks without a place are followed by text."""
    pairs = list(_pair_lines(read.printed))
    labels = tuple(
        Region(
            id=str(at),
            label=label.rstrip(" :"),
            kind=BlankKind.TEXT,
            page=place.page,
            left=place.left,
            bottom=place.bottom,
            right=place.right,
            top=place.top,
        )
        for at, (label, _, place) in enumerate(pairs)
    )
    known = set(tie_regions(tuple(regions), form).values())
    ties = tie_regions(labels, form)
    found = [
        f"`{label.rstrip(' :')}` is followed by `{text[:40]}`"
        for at, (label, text, _) in enumerate(pairs)
        if ties.get(str(at), "") not in {"", *known}
    ]
    return tuple(found) if len(found) >= LEAST_TYPED else ()


def _pair_lines(printed: Sequence[Place]) -> Iterator[tuple[str, str, Place]]:
    """Give what ends with a colon and the text right of it on the line: label, text, place."""
    for place in printed:
        label, colon, rest = place.label.partition(": ")
        if colon and _is_text(rest):
            yield label, rest, place
        elif place.label.endswith(":"):
            beside = [
                one
                for one in printed
                if one.page == place.page
                and abs(one.bottom - place.bottom) < _ON_LINE
                and 0 < one.left - place.right < _ASIDE
            ]
            nearest = min(beside, key=lambda one: one.left, default=None)
            if nearest is not None and _is_text(nearest.label):
                yield place.label, nearest.label, place


def _is_text(text: str) -> bool:
    """Tell whether a text is no label, no aside and no hint of the form's own."""
    plain = text.strip()
    return not (":" in plain or plain.startswith(("(", "$", "[")) or is_placeholder(plain))


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
