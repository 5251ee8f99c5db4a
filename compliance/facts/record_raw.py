"""Records of applications as they were written: texts and where they stand, not yet judged."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from compliance.base.problems import Problem, SourceRef
from compliance.base.reading import suggest
from compliance.base.sources import Mapping as MappingNode
from compliance.base.sources import Scalar, Sequence, parse_yaml
from compliance.facts.record_elements import ELEMENTS, PRODUCT_KEYS, RECORD_KEYS

FAMILY = "W"
_OWN_KEYS = ("job", "aircraft", "pilot", "anyway")
_PRODUCT_OWN = ("id", "name", "restricted_use", "by_air")

ALL_RECORD_KEYS = (*_OWN_KEYS, *RECORD_KEYS)
ALL_PRODUCT_KEYS = (*_PRODUCT_OWN, *PRODUCT_KEYS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One text and where it stands."""

    text: str
    place: SourceRef


Cells = Mapping[str, Cell]


@dataclass(frozen=True, slots=True, kw_only=True)
class RawRecord:
    """One record as it was written: its cells by key, and those of each product.

    ``flight`` is the number of the logged flight it is of, None when nobody said; with
    ``log_flight`` the flight is to be logged from it. ``from_table``: it was not written now, but
    is read from a table, which may say when it was first written.
    """

    what: str
    place: SourceRef
    cells: Cells
    products: tuple[Cells, ...] = ()
    flight: int | None = None
    log_flight: bool = False
    from_table: bool = False


@dataclass(slots=True)
class Faults:
    """Problems found so far."""

    found: list[Problem] = field(default_factory=list)

    def note(self, number: str, place: SourceRef, sentence: str, hint: str = "") -> None:
        """Note one more, under a number of the family's codes."""
        problem = Problem(place=place, code=f"{FAMILY}{number}", sentence=sentence, hint=hint)
        self.found.append(problem)


def read_record_file(text: str, file: str) -> tuple[RawRecord | None, tuple[Problem, ...]]:
    """Read a file with one record: its keys, and a list ``products``.

    Shape: the texts as they stand and no problems, or None and all problems of the file's form.
    """
    root, problems = parse_yaml(text, file)
    if root is None:
        return None, problems
    faults = Faults(list(problems))
    if not isinstance(root, MappingNode):
        faults.note("01", root.place, "the file must be a set of `key: value` lines")
        return None, tuple(faults.found)
    cells = _read_cells(root, "the record", (*ALL_RECORD_KEYS, "products"), faults)
    products: list[Cells] = []
    node = root.entries["products"][1] if "products" in root.entries else None
    if isinstance(node, Sequence):
        for number, item in enumerate(node.items, 1):
            what = f"product {number}"
            if isinstance(item, MappingNode):
                products.append(_read_cells(item, what, ALL_PRODUCT_KEYS, faults))
            else:
                faults.note("01", item.place, f"{what} must be a set of `key: value` lines")
    elif node is not None:
        faults.note("04", node.place, "`products` must be a list", "begin lines with -")
    raw = RawRecord(what="the record", place=root.place, cells=cells, products=tuple(products))
    return (None if faults.found else raw), tuple(sorted(faults.found))


def _read_cells(
    node: MappingNode, what: str, known: tuple[str, ...], faults: Faults
) -> dict[str, Cell]:
    cells: dict[str, Cell] = {}
    for key, (place, value) in node.entries.items():
        if key not in known:
            hint = find_keys_of(key) or suggest(key, known) or f"known here: {', '.join(known)}"
            faults.note("02", place, f"{what} has an unknown key `{key}`", hint)
        elif isinstance(value, Scalar):
            cells[key] = Cell(text=value.text.strip(), place=value.place)
        elif key != "products":
            faults.note("04", value.place, f"`{key}` of {what} must be a single value")
    return cells


def find_keys_of(key: str) -> str:
    """Say which keys stand for an element that is one of two, empty for any other key."""
    either = (one.either for one in ELEMENTS.values() if one.key == key)
    names = [f"`{ELEMENTS[name].key}`" for name in next(either, ())]
    return f"write {' or '.join(names)}" if names else ""
