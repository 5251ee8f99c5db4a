"""The products of a facts file: what a person has read on their labels."""

from compliance.base.reading import Reader
from compliance.base.sources import Node
from compliance.facts.parse_parts import parse_line, parse_name
from compliance.facts.products import ByAir, Product
from compliance.facts.record_elements import ELEMENTS
from compliance.facts.record_values import Unread, read_value

MOST_HOURS = ELEMENTS["re-entry"].most


def parse_product(node: Node, parent: Reader) -> Product:
    """Read one product; a registration number must look like one (F71)."""
    reader = Reader(node, "a product", parent.family, parent.problems)
    name = parse_name(reader)
    reader.what = f"product `{name}`" if name else reader.what
    hours = reader.whole("restricted_entry_hours", low=0, high=MOST_HOURS, default=-1)
    product = Product(
        id=name,
        name=parse_line(reader, "name"),
        registration=_registration(reader),
        active_ingredient=parse_line(reader, "active_ingredient", required=False),
        maker=parse_line(reader, "maker", required=False),
        by_air=ByAir(reader.choice("by_air", tuple(ByAir), default=ByAir.UNKNOWN)),
        restricted_use=reader.flag("restricted_use", default=False),
        re_entry_hours=hours if hours >= 0 else None,
    )
    reader.finish()
    return product


def _registration(reader: Reader) -> str:
    text = parse_line(reader, "registration", required=False)
    if not text:
        return ""
    found = read_value(ELEMENTS["registration"], text)
    if isinstance(found, Unread):
        reader.note("71", reader.place_of("registration"), found.sentence, found.hint)
        return ""
    return found
