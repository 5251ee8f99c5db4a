"""Forms whose places are known, learned or printed here: kept in the database, read strictly."""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path

from sqlmodel import Session

from compliance.base.problems import NotFoundError
from compliance.forms.model import BlankKind
from compliance.scan.model import Places, Region
from compliance.store.checks import LearnedForm, find_learned, load_learned, save_learned
from compliance.store.kept_json import read_kept_entry
from compliance.store.refusals import refuse_unreadable

PRINT = "print"
"""The kind of entry of a form the user showed."""
_SIDES, _CORNERS = 4, 4
OWN = "own"
"""The kind of entry of a paper of our own as it was printed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownPlace:
    """One place of a known form and the template's blank it is, empty when it is none."""

    region: Region
    blank: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """What stands printed in a blank of a paper of our own; ``page`` counts from 0."""

    blank: str
    says: str
    page: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownForm:
    """One known edition of a form: its code, its blank as printed, its places.

    ``kept_on`` is the day it was learned or printed. ``codes`` has the places of the corner codes
    of each page, empty when none are printed. Of a paper of our own ``packet`` names what it was
    printed for, ``printed`` what it says already, and ``facts`` tells papers apart that say
    something different, whatever day they were printed.
    """

    template: str
    code: str
    kept_on: date
    blank_file: Path
    places: tuple[KnownPlace, ...]
    codes: tuple[Places, ...] = ()
    printed: tuple[Printed, ...] = ()
    packet: str = ""
    facts: str = ""

    @property
    def has_codes(self) -> bool:
        """Tell whether corner codes are printed on it."""
        return bool(self.codes)

    @property
    def is_own(self) -> bool:
        """Tell whether it is a paper that was written here."""
        return bool(self.packet)


def save_known(session: Session, form: KnownForm) -> None:
    """Keep a form; it counts as the newest edition of its template."""
    content = {
        "codes": form.codes,
        "places": [{**asdict(place.region), "blank": place.blank} for place in form.places],
        "printed": [asdict(one) for one in form.printed],
        "packet": form.packet,
        "facts": form.facts,
    }
    save_learned(
        session,
        LearnedForm(
            template=form.template,
            kind=OWN if form.is_own else PRINT,
            edition=form.code,
            learned_on=form.kept_on,
            content=json.dumps(content, ensure_ascii=False),
            blank_file=str(form.blank_file),
        ),
    )


def load_known(session: Session, name: str) -> tuple[KnownForm, ...]:
    """Load the known editions of a form, the newest first; those the user showed come first."""
    return tuple(_read(form) for kind in (PRINT, OWN) for form in load_learned(session, name, kind))


def find_edition(session: Session, code: str) -> KnownForm | None:
    """Find the known form a corner code names, whichever form it is."""
    found = find_learned(session, code, (PRINT, OWN))
    return None if found is None else _read(found)


def read_kept(form: KnownForm) -> bytes:
    """Read the blank kept of a known form.

    Raises:
        NotFoundError: It is gone.
    """
    again = f"mailby forms learn BLANK.pdf --form {form.template}"
    try:
        return form.blank_file.read_bytes()
    except OSError:
        raise NotFoundError(
            f"the blank kept as {form.blank_file} is gone",
            hint="print it again: mailby packet" if form.is_own else f"show it again: {again}",
        ) from None


def _read(form: LearnedForm) -> KnownForm:
    with refuse_unreadable("the places of a learned form"):
        content = json.loads(form.content)
        if not isinstance(content, dict):
            raise TypeError("no set of keys where one belongs")
        return KnownForm(
            template=form.template,
            code=form.edition,
            kept_on=form.learned_on,
            blank_file=Path(form.blank_file),
            places=_join_boxes(tuple(map(_read_place, _list(content, "places")))),
            codes=tuple(map(_read_codes, _list(content, "codes"))),
            printed=tuple(read_kept_entry(Printed, one) for one in _list(content, "printed")),
            packet=_text(content, "packet"),
            facts=_text(content, "facts"),
        )


def _list(content: Mapping[str, object], name: str) -> list[object]:
    found = content.get(name)
    if not isinstance(found, list):
        raise TypeError(f"{name} is missing")
    return found


def _text(content: Mapping[str, object], name: str) -> str:
    found = content.get(name)
    if not isinstance(found, str):
        raise TypeError(f"{name} is missing")
    return found


def _read_place(entry: object) -> KnownPlace:
    if not isinstance(entry, dict) or not isinstance(entry.get("blank"), str):
        raise TypeError(f"{entry!r} where a place belongs")
    place = {name: value for name, value in entry.items() if name != "blank"}
    return KnownPlace(region=read_kept_entry(Region, place), blank=entry["blank"])


def _read_codes(page: object) -> Places:
    if not isinstance(page, list) or len(page) not in {0, _CORNERS}:
        raise TypeError(f"{page!r} where the places of codes belong")
    return tuple(None if place is None else _read_rect(place) for place in page)


def _read_rect(place: object) -> tuple[float, float, float, float]:
    if isinstance(place, list):
        sides = [float(side) for side in place if isinstance(side, int | float)]
        if len(sides) == len(place) == _SIDES:
            return sides[0], sides[1], sides[2], sides[3]
    raise TypeError(f"{place!r} where the place of a code belongs")


def _join_boxes(places: tuple[KnownPlace, ...]) -> tuple[KnownPlace, ...]:
    """Make several boxes of one blank ways of one answer: one of them is to be marked."""
    boxes = [place.blank for place in places if place.region.kind == BlankKind.CHECK]
    return tuple(
        replace(place, region=replace(place.region, part_of=place.blank, way=place.region.id))
        if place.region.kind == BlankKind.CHECK
        and place.blank
        and not place.region.part_of
        and boxes.count(place.blank) > 1
        else place
        for place in places
    )
