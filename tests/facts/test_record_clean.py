"""Records of an earlier mailby: whatever text one holds, its file is read in again, or it is told.

The table of characters is Python's `unicodedata`; what a file may hold is asked of the strict
reader itself.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from compliance.facts.products import ByAir
from compliance.facts.record_book import parse_book, render_books
from compliance.facts.record_clean import NAMELESS, clean_book, clean_line, clean_record
from compliance.facts.record_elements import PRODUCT_KEYS, RECORD_KEYS
from compliance.facts.records import Application, Disposed, RecordBook, UsedProduct
from tests.kit_records import PLAIN

TODAY = date(2027, 7, 1)
# Every character there is, halves of characters too: JSON text in a row can hold them all.
TEXTS = st.text(st.characters(exclude_categories=[]), max_size=40) | st.sampled_from(
    ["a\tb", "\t", "a\u2028b", "a\x85b", "a\u200bb", "~", "null", " a ", "a\ud800", "=1", "5 GAL"]
)
CORE = {"day", "start", "end"}
OWN = [one.name for key, one in RECORD_KEYS.items() if key not in CORE]
OF_PRODUCT = [one.name for key, one in PRODUCT_KEYS.items() if key != "product"]
SAID = st.dictionaries(st.sampled_from(OWN), TEXTS, max_size=4).map(lambda one: (*one.items(),))
PRODUCTS = st.builds(
    UsedProduct,
    name=TEXTS,
    restricted_use=st.booleans(),
    by_air=st.sampled_from(ByAir),
    said=st.dictionaries(st.sampled_from(OF_PRODUCT), TEXTS, max_size=3).map(
        lambda one: (*one.items(),)
    ),
)
RECORDS = st.builds(
    replace,
    st.just(PLAIN),
    said=SAID,
    products=st.lists(PRODUCTS, max_size=2).map(tuple),
    why=TEXTS,
    anyway=TEXTS,
    aircraft=TEXTS,
    pilot=TEXTS,
    start=st.just("06:10") | TEXTS,
    zone=st.just("America/Chicago") | TEXTS,
)
GONE = st.builds(
    Disposed,
    number=st.just(2),
    on=st.just(TODAY),
    disposed_on=st.just(TODAY),
    kept_through=st.none(),
    rule=st.just("ne.x"),
    why=TEXTS,
)


def list_texts(record: Application) -> Iterator[str]:
    """Give every text of a record that somebody may have typed."""
    yield from (record.why, record.anyway, record.aircraft, record.pilot)
    yield from (record.start, record.end, record.zone)
    yield from (text for _, text in record.said)
    for product in record.products:
        yield product.name
        yield from (text for _, text in product.said)


@given(RECORDS, GONE)
def test_any_text_is_read_in_again_or_told(record: Application, gone: Disposed) -> None:
    """Export and read in: the same record, or every text that differs was told with both sides."""
    book, cleaned = clean_book(RecordBook(operation="x", versions=(record,), gone=(gone,)))

    (text,) = render_books(book)
    read, problems = parse_book(text.encode().decode(), "r.yaml", TODAY)

    assert problems == ()
    assert read == book
    (again,) = read.versions
    told = {one.old for one in cleaned}
    kept = set(list_texts(again))
    assert {one for one in list_texts(record) if one and one not in kept} <= told
    assert {one.new for one in cleaned} <= {*kept, read.gone[0].why, ""}
    assert (read.gone[0].why == gone.why) or gone.why in told


@given(RECORDS)
def test_cleaned_twice_is_cleaned_once(record: Application) -> None:
    clean, _ = clean_record(record)

    assert clean_record(clean) == (clean, ())


@given(st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=40))
def test_plain_text_is_left_as_it_is(text: str) -> None:
    """Letters, figures and signs of every script can be kept, so nothing is told of them."""
    record = replace(PLAIN, said=(("place", text),))

    assert clean_record(record) == (record, ())


def test_what_is_written_in_place_of_what() -> None:
    """A blank for each sign that cannot be kept; what leaves nothing is left out."""
    product = UsedProduct(name="\t", restricted_use=False, by_air=ByAir.YES)
    record = replace(
        PLAIN, said=(("place", "Sec\t9"), ("notes", "\x07"), ("crop", "")), products=(product,)
    )

    clean, told = clean_record(record)

    assert clean.said == (("place", "Sec 9"),)
    assert clean.products[0].name == NAMELESS
    assert [(one.what, one.old, one.new) for one in told] == [
        ("place of the application", "Sec\t9", "Sec 9"),
        ("notes", "\x07", ""),
        ("name of a product", "\t", NAMELESS),
    ]
    assert clean_line("a" * 2_001) == "a" * 2_000
