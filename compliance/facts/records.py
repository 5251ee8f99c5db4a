"""The record of one application, written once and corrected only by a newer version."""

from dataclasses import dataclass, field
from datetime import date

from compliance.facts.model import Material
from compliance.facts.products import ByAir
from compliance.facts.record_elements import ELEMENTS, ElementKind

Said = tuple[tuple[str, str], ...]

_EITHERS = tuple((one.name, one.either) for one in ELEMENTS.values() if one.either)


def _find_text(said: Said, name: str) -> str:
    # Quicker than a dictionary made anew for each question.
    for key, text in said:
        if key == name:
            return text
    return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedProduct:
    """One product of an application; ``said`` are its elements, name of the element -> text."""

    name: str
    restricted_use: bool
    by_air: ByAir
    said: Said = ()

    def find(self, name: str) -> str:
        """Give the text of an element of the product, empty without one."""
        return self.name if name == "product" else _find_text(self.said, name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Application:
    """The record of one application.

    ``number`` counts from 1 within an operation, ``version`` from 1 within a number; the highest
    version stands, the earlier ones are kept. ``start`` and ``end`` are local times ``HH:MM`` in
    the ``zone``, empty when not said. What the job said is copied, so that the record stands by
    itself. ``said`` are the other elements; ``why`` says why a version took another's place,
    ``anyway`` why it is kept though a label does not allow what was done, or was not read for it.
    ``written_known`` is false of a record read from a table that does not say when it was written;
    ``written_on`` is then the day it was read in. ``flights`` are the numbers of the flights in the
    log that it tells of, as far as they were logged when it was written.
    """

    number: int
    version: int = 1
    written_on: date
    written_known: bool = True
    job: str
    state: str
    for_hire: bool
    material: Material
    on: date
    start: str = ""
    end: str = ""
    zone: str = ""
    aircraft: str = ""
    pilot: str = ""
    said: Said = ()
    products: tuple[UsedProduct, ...] = field(default=())
    why: str = ""
    anyway: str = ""
    flights: tuple[int, ...] = ()

    @property
    def restricted_use(self) -> bool:
        """Tell whether any of its products is a restricted-use product."""
        return any(product.restricted_use for product in self.products)

    @property
    def against_label(self) -> tuple[UsedProduct, ...]:
        """Give the products flown though the label bars the air, or nobody said what it says."""
        return tuple(one for one in self.products if self.anyway and one.by_air is not ByAir.YES)

    def find(self, name: str) -> str:
        """Give the text of an element, the products' texts joined by semicolons; empty if none."""
        element = ELEMENTS[name]
        if element.kind is ElementKind.EITHER:
            return next(filter(None, map(self.find, element.either)), "")
        if element.of_product:
            return "; ".join(filter(None, (product.find(name) for product in self.products)))
        if name in {"start", "end"}:
            return self.start if name == "start" else self.end
        return self.on.isoformat() if name == "day" else _find_text(self.said, name)

    def list_texts(self) -> dict[str, str]:
        """Give the texts of the elements that stand once in a record, by name; no empty ones."""
        clock = {"day": self.on.isoformat(), "start": self.start, "end": self.end}
        return {name: text for name, text in (*self.said, *clock.items()) if text}

    def list_held(self) -> frozenset[str]:
        """Give the names of the elements that are there; one of a product is there for each."""
        held = {"day", *(name for name, text in self.said if text)}
        held.update(name for name, text in (("start", self.start), ("end", self.end)) if text)
        if self.products:
            of_each = [
                {"product", *(name for name, text in one.said if text)} for one in self.products
            ]
            held |= set.intersection(*of_each)
        held.update(name for name, either in _EITHERS if not held.isdisjoint(either))
        return frozenset(held)


def find_standing(versions: tuple[Application, ...], on: date) -> tuple[Application, ...]:
    """Give the versions of a record that were there on a day, *versions* and answer oldest first.

    A version dated before the one it corrects counts from that one's day on: it cannot be older.
    """
    late = (at for at, one in enumerate(versions) if one.written_on > on)
    return versions[: next(late, len(versions))]


@dataclass(frozen=True, slots=True, kw_only=True)
class Disposed:
    """What is left of a record that was thrown away; ``flights`` are those it told of."""

    number: int
    on: date
    disposed_on: date
    kept_through: date | None
    rule: str
    why: str = ""
    flights: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordBook:
    """Everything that is kept of records: all versions by number and version, and what is gone."""

    operation: str
    versions: tuple[Application, ...] = ()
    gone: tuple[Disposed, ...] = ()
