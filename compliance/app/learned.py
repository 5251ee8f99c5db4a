"""Forms the user showed: find their blanks, tie them to the template's, print them with codes."""

import contextlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path

from sqlmodel import Session

from compliance.app.resources import read_user_text, write_files
from compliance.app.tie import tie_regions
from compliance.base.problems import DataProblemsError, NotFoundError, RefusedError
from compliance.base.reading import Reader
from compliance.base.sources import parse_yaml
from compliance.base.yaml_text import render_yaml
from compliance.forms.model import BlankKind, FormTemplate
from compliance.scan.acroform_match import BlankWanted
from compliance.scan.codes import make_form_code
from compliance.scan.finder import draw_found, find_blanks
from compliance.scan.model import Region
from compliance.scan.printing import add_codes
from compliance.scan.render import open_pdf
from compliance.store.checks import LearnedForm, load_learned, save_learned

PRINT = "print"
_NUMBERS = ("left", "bottom", "right", "top")
_MOST_POINTS = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownPlace:
    """One place of a learned form and the template's blank it is, empty when it is none."""

    region: Region
    blank: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownForm:
    """One learned edition of a form: its code, its blank as printed, its places."""

    template: str
    code: str
    has_codes: bool
    blank_file: Path
    places: tuple[KnownPlace, ...]


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
        regions = find_blanks(pdf)
        if not regions:
            raise RefusedError(
                "no blank was found on this form",
                hint="give the agency's own PDF, not a scan of it",
            )
        ties = tie_regions(regions, template)
        places = tuple(
            KnownPlace(region=region, blank=ties.get(region.id, "")) for region in regions
        )
    # Says so when it is the PDF that is wrong, not the room for the codes.
    count = len(open_pdf(pdf).pages)
    beyond = [place.region.id for place in places if place.region.page >= count]
    if beyond:
        raise RefusedError(
            f"the form has {count} {'page' if count == 1 else 'pages'}; beyond it lies"
            f" {', '.join(beyond)}",
            hint="give each place the page it is on, counted from 1",
        )
    code = make_form_code(pdf)
    coded, has_codes = pdf, False
    with contextlib.suppress(RefusedError):
        coded, has_codes = add_codes(pdf, code), True
    kept = write_files(folder, {f"{name}_{code}.pdf": coded})[0]
    form = KnownForm(template=name, code=code, has_codes=has_codes, blank_file=kept, places=places)
    save_learned(
        session,
        LearnedForm(
            template=name,
            kind=PRINT,
            edition=code,
            learned_on=learned_on,
            content=json.dumps(
                {
                    "has_codes": has_codes,
                    "places": [{**asdict(place.region), "blank": place.blank} for place in places],
                }
            ),
            blank_file=str(kept),
        ),
    )
    return form


def wanted_blanks(template: FormTemplate) -> tuple[BlankWanted, ...]:
    """Give a template's blanks as the matcher of names wants them."""
    return tuple(
        BlankWanted(
            id=blank.id, label=blank.label, kind=str(blank.kind), must=blank.must, note=blank.note
        )
        for blank in template.blanks
    )


def load_known(session: Session, name: str) -> tuple[KnownForm, ...]:
    """Load the learned editions of a form, the newest first."""
    return tuple(_read(form) for form in load_learned(session, name, PRINT))


def read_blank(session: Session, template: FormTemplate) -> bytes:
    """Give the newest learned blank of a form as it is to be printed.

    Raises:
        NotFoundError: The form was never learned, or its blank is gone.
    """
    known = load_known(session, template.id)
    if not known:
        raise NotFoundError(
            f"the blank of {template.title} was never shown",
            hint=f"mailby forms learn BLANK.pdf --form {template.id}",
        )
    return read_kept(known[0])


def read_kept(form: KnownForm) -> bytes:
    """Read the blank kept of a learned form.

    Raises:
        NotFoundError: It is gone.
    """
    try:
        return form.blank_file.read_bytes()
    except OSError:
        raise NotFoundError(
            f"the blank kept as {form.blank_file} is gone",
            hint=f"show it again: mailby forms learn BLANK.pdf --form {form.template}",
        ) from None


def _read(form: LearnedForm) -> KnownForm:
    content = json.loads(form.content)
    places = []
    for entry in content["places"]:
        blank = entry.pop("blank")
        places.append(KnownPlace(region=Region(**entry), blank=blank))
    return KnownForm(
        template=form.template,
        code=form.edition,
        has_codes=content["has_codes"],
        blank_file=Path(form.blank_file),
        places=tuple(places),
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
    pages = draw_found(read_kept(form), named)
    return {
        f"{form.template}_{form.code}_page{number}.png": page
        for number, page in enumerate(pages, 1)
    }
