"""Forms the user showed: find their blanks, tie them to the template's, print them with codes."""

import contextlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

from sqlmodel import Session

from compliance.app.known_forms import KnownForm, KnownPlace, load_known, read_kept, save_known
from compliance.app.resources import read_user_text, write_files
from compliance.app.tie import tie_regions
from compliance.app.tie_fields import tie_by_fields
from compliance.base.problems import DataProblemsError, NotFoundError, RefusedError
from compliance.base.reading import Reader
from compliance.base.sources import parse_yaml
from compliance.base.yaml_text import render_yaml
from compliance.forms.model import BlankKind, FormTemplate, Supplier
from compliance.scan.form_reading import draw_outlines, print_codes, read_blanks
from compliance.scan.model import CodedForm, Region
from compliance.scan.render import open_pdf
from compliance.scan.symbol import make_form_code

_NUMBERS = ("left", "bottom", "right", "top")
_MOST_POINTS = 20_000


def learn_form(
    session: Session,
    template: FormTemplate,
    pdf: bytes,
    places: tuple[KnownPlace, ...] | None,
    folder: Path,
    learned_on: date,
) -> KnownForm:
    """Learn where the blanks of a form are, and keep its blank with corner codes.

    Without *places* they are found on the page and tied to the template's blanks by their words.
    A form with no room for codes is kept as it is; it is lined up by its print then.

    Raises:
        RefusedError: The PDF cannot be used, no blank was found on it, or a place lies on a page
            that it does not have.
    """
    name = template.id
    if places is None:
        places = find_places(session, template, pdf)
    _refuse_beyond(pdf, places)
    code = make_form_code(pdf)
    coded = CodedForm(pdf=pdf, places=())
    with contextlib.suppress(RefusedError):
        coded = print_codes(pdf, code, tuple(place.region for place in places))
    kept = write_files(folder, {f"{name}_{code}.pdf": coded.pdf})[0]
    form = KnownForm(
        template=name,
        code=code,
        kept_on=learned_on,
        blank_file=kept,
        places=places,
        codes=coded.places,
    )
    save_known(session, form)
    return form


def find_places(session: Session, template: FormTemplate, pdf: bytes) -> tuple[KnownPlace, ...]:
    """Find the places to be filled in on a form, each tied to a blank where that is plain.

    Shape: what its words do not tie is tied as the field of the PDF at that place is.

    Raises:
        RefusedError: The PDF cannot be used, or no blank was found on it.
    """
    regions = read_blanks(pdf)
    if not regions:
        raise RefusedError(
            "no blank was found on this form",
            hint="give the agency's own PDF, not a scan of it",
        )
    ties = tie_regions(regions, template)
    ties |= tie_by_fields(session, pdf, regions, ties, template)
    return tuple(KnownPlace(region=region, blank=ties.get(region.id, "")) for region in regions)


def _refuse_beyond(pdf: bytes, places: tuple[KnownPlace, ...]) -> None:
    """Refuse places on pages that a form does not have.

    Raises:
        RefusedError: There are some, or the PDF cannot be opened.
    """
    # Says so when it is the PDF that is wrong, not the room for the codes.
    count = len(open_pdf(pdf).pages)
    beyond = [place.region.id for place in places if place.region.page >= count]
    if beyond:
        raise RefusedError(
            f"the form has {count} {'page' if count == 1 else 'pages'}; beyond it lies"
            f" {', '.join(beyond)}",
            hint="give each place the page it is on, counted from 1",
        )


def read_blank(session: Session, template: FormTemplate) -> bytes:
    """Give the newest learned blank of a form as it is to be printed.

    Raises:
        NotFoundError: The form was never learned, or its blank is gone.
    """
    known = [form for form in load_known(session, template.id) if not form.is_own]
    if known:
        return read_kept(known[0])
    if template.supplied_by is Supplier.OURS:
        raise NotFoundError(
            f"{template.title} is no agency's form; mailby writes it with the packet",
            hint="mailby packet PACKET",
        )
    raise NotFoundError(
        f"the blank of {template.title} was never shown",
        hint=f"mailby forms learn BLANK.pdf --form {template.id}",
    )


def render_places(form: KnownForm) -> str:
    """Write the places of a form as YAML to be mended by hand and learned again."""
    return render_yaml(
        {
            "form": form.template,
            "places": [
                {
                    "id": place.region.id,
                    "label": place.region.label,
                    "kind": place.region.kind,
                    "blank": place.blank or "none",
                    "page": place.region.page + 1,
                    **{name: f"{getattr(place.region, name):.1f}" for name in _NUMBERS},
                }
                for place in form.places
            ],
        }
    )


def read_places(path: str, template: FormTemplate) -> tuple[KnownPlace, ...]:
    """Read a places file that was mended by hand.

    Raises:
        NotFoundError: There is no such file.
        DataProblemsError: The file has faults, all of them listed.
    """
    root, faults = parse_yaml(read_user_text(path), path)
    problems = list(faults)
    places: list[KnownPlace] = []
    if root is not None:
        reader = Reader(root, "the file", "T", problems)
        reader.choice("form", (template.id,))
        blanks = ("none", *(blank.id for blank in template.blanks))
        seen: set[str] = set()
        for node in reader.items("places", required=True):
            places.append(_read_place(Reader(node, "a place", "T", problems), blanks, seen))
            seen.add(places[-1].region.id)
        reader.finish()
    if problems:
        raise DataProblemsError(tuple(problems))
    return tuple(places)


def _read_place(reader: Reader, blanks: tuple[str, ...], seen: set[str]) -> KnownPlace:
    faults = len(reader.problems)
    left, bottom, right, top = (
        float(reader.number(name, above=-_MOST_POINTS, most=_MOST_POINTS) or 0) for name in _NUMBERS
    )
    can_compare = len(reader.problems) == faults and reader.usable
    blank = reader.choice("blank", blanks)
    region = Region(
        id=reader.text("id"),
        label=reader.text("label", required=False),
        kind=reader.choice("kind", tuple(BlankKind)),
        page=reader.whole("page", low=1, high=40) - 1,
        left=left,
        bottom=bottom,
        right=right,
        top=top,
    )
    if region.id and region.id in seen:
        reader.note("21", reader.place_of("id"), f"the place `{region.id}` stands twice")
    if can_compare and (left >= right or bottom >= top):
        sentence = f"the place `{region.id}` has no area; left < right and bottom < top"
        reader.note("22", reader.place, sentence)
    reader.finish()
    return KnownPlace(region=region, blank="" if blank == "none" else blank)


def draw_places(form: KnownForm) -> Mapping[str, bytes]:
    """Draw a learned form with its places outlined: file name -> PNG, one a page."""
    named = tuple(
        replace(place.region, label=place.blank or place.region.label) for place in form.places
    )
    pages = draw_outlines(read_kept(form), named)
    return {
        f"{form.template}_{form.code}_page{number}.png": page
        for number, page in enumerate(pages, 1)
    }
