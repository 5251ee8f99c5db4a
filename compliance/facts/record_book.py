"""All records of an operation as a YAML file: every version, what is gone, and back again."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import say_date
from compliance.base.problems import Problem
from compliance.base.reading import Reader
from compliance.base.sources import Mapping, Node, Scalar, parse_yaml
from compliance.base.yaml_text import Tree, render_yaml
from compliance.facts.model import Material
from compliance.facts.products import ByAir
from compliance.facts.record_elements import ELEMENTS, PRODUCT_KEYS, RECORD_KEYS, Element
from compliance.facts.record_raw import FAMILY
from compliance.facts.record_values import Unread, read_value
from compliance.facts.records import Application, Disposed, RecordBook, Said, UsedProduct
from compliance.facts.states import STATES
from compliance.facts.zones import is_zone

FORMAT = 1
MOST_BYTES = 1_200_000
"""How large one file gets: well below what is read in one piece, counted in bytes and values."""

_MOST = 999_999_999
_TEXTS = ("zone", "aircraft", "pilot", "why", "anyway")


def render_books(book: RecordBook) -> tuple[str, ...]:
    """Write records as one file, or as several where one would be too long to be read.

    Shape: each part parses to a book with all versions of its records; together they are the book.
    """
    parts: list[list[Tree]] = [[]]
    size = 0
    for group in _group(book.versions):
        trees: list[Tree] = [_tree(one) for one in group]
        length = len(render_yaml({"records": trees}).encode())
        if size + length > MOST_BYTES and parts[-1]:
            parts.append([])
            size = 0
        parts[-1].extend(trees)
        size += length
    gone: list[Tree] = [_gone_tree(one) for one in book.gone]
    return tuple(
        render_yaml(
            {
                "mailby_records": FORMAT,
                "operation": book.operation,
                "records": part,
                **({"thrown_away": gone} if gone and part is parts[0] else {}),
            }
        )
        for part in parts
    )


def _group(versions: tuple[Application, ...]) -> Iterator[list[Application]]:
    groups: dict[int, list[Application]] = {}
    for one in sorted(versions, key=lambda one: (one.number, one.version)):
        groups.setdefault(one.number, []).append(one)
    yield from groups.values()


def _tree(record: Application) -> dict[str, Tree]:
    found: dict[str, Tree] = {
        "number": record.number,
        "version": record.version,
        "written_on": record.written_on,
        "written_known": "" if record.written_known else False,
        "job": record.job,
        "state": record.state,
        "for_hire": record.for_hire,
        "material": str(record.material),
        "day": record.on,
        "start": record.start,
        "end": record.end,
        **{name: getattr(record, name) for name in _TEXTS},
        "flights": record.flights,
        "said": _said_tree(record.said),
        "products": [_product_tree(one) for one in record.products],
    }
    return {key: value for key, value in found.items() if value not in ("", (), [], {})}


def _said_tree(said: Said) -> dict[str, Tree]:
    return {ELEMENTS[name].key: text for name, text in said}


def _product_tree(product: UsedProduct) -> dict[str, Tree]:
    found: dict[str, Tree] = {
        "name": product.name,
        "restricted_use": product.restricted_use,
        "by_air": str(product.by_air),
    }
    return found | ({"said": _said_tree(product.said)} if product.said else {})


def _gone_tree(one: Disposed) -> dict[str, Tree]:
    found: dict[str, Tree | None] = {
        "number": one.number,
        "day": one.on,
        "thrown_away_on": one.disposed_on,
        "kept_through": one.kept_through,
        "rule": one.rule,
        "why": one.why,
        "flights": one.flights,
    }
    return {
        key: value for key, value in found.items() if value is not None and value not in ("", ())
    }


def parse_book(text: str, file: str, today: date) -> tuple[RecordBook | None, tuple[Problem, ...]]:
    """Read a file of records that `render_books` wrote.

    Shape: the book and no problems, or None and all problems, sorted by place. Jobs, aircraft and
    pilots need not be known any more: a record stands by itself.
    """
    root, problems = parse_yaml(text, file)
    if root is None:
        return None, problems
    found = list(problems)
    reader = Reader(root, "the file", FAMILY, found)
    reader.whole("mailby_records", low=FORMAT, high=FORMAT)
    operation = reader.text("operation")
    versions: list[Application] = []
    for at, node in enumerate(reader.items("records"), 1):
        record = _read_record(Reader(node, f"record entry {at}", FAMILY, found), today)
        _check_order(record, versions, Reader(node, f"record entry {at}", FAMILY, found))
        versions.append(record)
    gone = []
    known = {one.number for one in versions}
    for at, node in enumerate(reader.items("thrown_away"), 1):
        part = Reader(node, f"thrown_away entry {at}", FAMILY, found)
        gone.append(_read_gone(part, today))
        if gone[-1].number in known:
            sentence = f"record {gone[-1].number} is both kept and thrown away"
            part.note("40", part.place_of("number"), sentence, "remove one of the two")
    reader.finish()
    if found:
        return None, tuple(sorted(found))
    return RecordBook(operation=operation, versions=tuple(versions), gone=tuple(gone)), ()


def _check_order(record: Application, before: list[Application], reader: Reader) -> None:
    """Refuse a version that does not follow the one before it (W40)."""
    last = before[-1] if before and before[-1].number == record.number else None
    wanted = 1 if last is None else last.version + 1
    again = last is None and any(one.number == record.number for one in before)
    if record.version != wanted or again:
        sentence = f"version {record.version} of record {record.number} does not follow "
        sentence += f"version {wanted - 1}" if wanted > 1 else "at the beginning of a record"
        hint = "keep all versions of a record together, numbered from 1"
        reader.note("40", reader.place_of("version"), sentence, hint)


def _read_record(reader: Reader, today: date) -> Application:
    record = Application(
        number=reader.whole("number", low=1, high=_MOST),
        version=reader.whole("version", low=1, high=_MOST),
        written_on=_read_past(reader, "written_on", today),
        written_known=reader.flag("written_known", default=True),
        job=reader.text("job"),
        state=reader.choice("state", tuple(STATES)),
        for_hire=reader.flag("for_hire"),
        material=Material(reader.choice("material", tuple(Material))),
        on=_read_past(reader, "day", today),
        start=_read_own(reader, "start"),
        end=_read_own(reader, "end"),
        zone=_read_zone(reader),
        aircraft=reader.text("aircraft", required=False),
        pilot=reader.text("pilot", required=False),
        why=reader.text("why", required=False),
        anyway=reader.text("anyway", required=False),
        flights=_read_flights(reader),
        said=_read_said(reader, RECORD_KEYS),
        products=tuple(
            _read_product(Reader(node, f"product {at} of {reader.what}", FAMILY, reader.problems))
            for at, node in enumerate(reader.items("products"), 1)
        ),
    )
    reader.finish()
    return record


def _read_product(reader: Reader) -> UsedProduct:
    product = UsedProduct(
        name=reader.text("name"),
        restricted_use=reader.flag("restricted_use"),
        by_air=ByAir(reader.choice("by_air", tuple(ByAir))),
        said=_read_said(reader, PRODUCT_KEYS),
    )
    reader.finish()
    return product


def _read_gone(reader: Reader, today: date) -> Disposed:
    gone = Disposed(
        number=reader.whole("number", low=1, high=_MOST),
        on=_read_past(reader, "day", today),
        disposed_on=_read_past(reader, "thrown_away_on", today),
        kept_through=reader.date("kept_through"),
        rule=reader.text("rule", required=False),
        why=reader.text("why", required=False),
        flights=_read_flights(reader),
    )
    reader.finish()
    return gone


def _read_past(reader: Reader, key: str, today: date) -> date:
    day = reader.date(key, required=True)
    if day is not None and day > today:
        sentence = f"`{key}` of {reader.what} is {say_date(day)}, which is still to come"
        reader.note("31", reader.place_of(key), sentence, "set the clock of this computer right")
    return day or date.min


def _read_zone(reader: Reader) -> str:
    zone = reader.text("zone", required=False)
    if zone and not is_zone(zone):
        sentence = f"`zone` of {reader.what} is {zone!r}, which is no time zone"
        reader.note("22", reader.place_of("zone"), sentence, "such as America/Chicago")
    return zone


def _read_flights(reader: Reader) -> tuple[int, ...]:
    numbers = []
    for word in reader.words("flights"):
        if word.isascii() and word.isdigit() and 0 < int(word) <= _MOST:
            numbers.append(int(word))
        else:
            sentence = f"`flights` of {reader.what} has {word!r}, which is no number of a flight"
            reader.note("04", reader.place_of("flights"), sentence)
    return tuple(numbers)


def _read_own(reader: Reader, key: str) -> str:
    scalar = reader.scalar(key)
    return "" if scalar is None else _read_element(reader, ELEMENTS[key], scalar)


def _read_said(reader: Reader, keys: "dict[str, Element]") -> Said:
    node: Node | None = reader.node("said")
    if node is None:
        return ()
    if not isinstance(node, Mapping):
        reader.note("04", node.place, f"`said` of {reader.what} must be a set of lines")
        return ()
    part = Reader(node, f"`said` of {reader.what}", FAMILY, reader.problems)
    found = []
    for key in node.entries:
        element = keys.get(key)
        scalar = part.scalar(key) if element is not None else None
        if element is not None and scalar is not None:
            found.append((element.name, _read_element(part, element, scalar)))
    part.finish()
    return tuple(found)


def _read_element(reader: Reader, element: Element, scalar: Scalar) -> str:
    value = read_value(element, scalar.text)
    if isinstance(value, Unread):
        reader.note("22", scalar.place, f"{reader.what}: {value.sentence}", value.hint)
        return ""
    return value
