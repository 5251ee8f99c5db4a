"""Records of applications as rows of a table: whole, or the elements one state asks for."""

from collections.abc import Iterator, Sequence

from compliance.engine.record_page import RecordPage
from compliance.facts.record_csv import COLUMNS, STATE_TAIL
from compliance.facts.record_elements import ELEMENTS, PRODUCT_KEYS, RECORD_KEYS
from compliance.facts.records import Application, UsedProduct
from compliance.outputs.records_words import say_elements, say_value
from compliance.rules.model import RecordRow

Row = tuple[str, ...]

_OF_RECORD = tuple(element.name for element in RECORD_KEYS.values())
_OF_PRODUCT = tuple(element.name for element in PRODUCT_KEYS.values())


def list_whole_rows(pages: Sequence[RecordPage]) -> Iterator[Row]:
    """Give the columns, then one row for each product of each record; read back they are equal.

    Texts of an earlier mailby that could not be read in again are to be cleaned before.
    """
    yield COLUMNS
    for page in pages:
        record = page.record
        head = (
            str(record.number),
            str(record.version),
            _say_written(page.versions[0]),
            record.job,
            record.state,
            record.aircraft,
            record.pilot,
        )
        texts = record.list_texts()
        own = tuple([texts.get(name, "") for name in _OF_RECORD])
        for product in record.products or (None,):
            yield (*head, *own, *_list_product(product), record.anyway)


def _say_written(first: Application) -> str:
    """Give the day a record was first written, empty when nobody knows."""
    return first.written_on.isoformat() if first.written_known else ""


def _list_product(product: UsedProduct | None) -> Row:
    if product is None:
        return ("",) * (len(PRODUCT_KEYS) + 2)
    texts = tuple(map(product.find, _OF_PRODUCT))
    return (*texts, "yes" if product.restricted_use else "no", str(product.by_air))


def find_asked(pages: Sequence[RecordPage], state: str) -> tuple[str, ...]:
    """Give the elements that a state asks of these records, in its order, then the federal ones.

    Shape: each once. Of a state whose list was not read only the federal ones are there.
    """
    rows: dict[str, RecordRow] = {row.id: row for page in pages for row in page.rules}
    ordered = sorted(rows.values(), key=lambda row: row.state != state)
    names = dict.fromkeys(name for row in ordered for name in row.elements)
    listed: list[str] = []
    for name in names:
        # One of two is not said again where one of the two stands already.
        if not any(one in listed for one in ELEMENTS[name].either):
            listed.append(name)
    return tuple(listed)


def find_others(record: Application, names: Sequence[str]) -> tuple[str, ...]:
    """Give the elements that a record holds beside those named, in the order of the closed list.

    Shape: one of two is not said again where *names* has the element that is either of them.
    """
    known = {*names, *(other for name in names for other in ELEMENTS[name].either)}
    return tuple(
        name
        for name, element in ELEMENTS.items()
        if name not in known and not element.either and record.find(name)
    )


def list_state_rows(pages: Sequence[RecordPage], state: str) -> Iterator[Row]:
    """Give the headings in words, then one row for each product of each record.

    The last columns say what is missing, when the record was first written and which version it is.
    """
    names = find_asked(pages, state)
    heads = tuple(ELEMENTS[name].words for name in names)
    yield ("record", *heads, *STATE_TAIL)
    for page in pages:
        record = page.record
        tail = (
            say_elements(page.missing),
            _say_written(page.versions[0]) or "not known",
            str(record.version),
        )
        for product in record.products or (None,):
            values = tuple(say_value(record, name, product) for name in names)
            yield (str(record.number), *values, *tail)
