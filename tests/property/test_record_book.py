"""Records written to a file read back as the same records, whatever was written into them."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.facts import record_book
from compliance.facts.model import Material
from compliance.facts.products import ByAir
from compliance.facts.record_book import parse_book, render_books
from compliance.facts.record_elements import PRODUCT_KEYS, RECORD_KEYS, Element, ElementKind
from compliance.facts.records import Application, Disposed, RecordBook, Said, UsedProduct

SETTINGS = settings(deadline=None, derandomize=True, database=None, max_examples=30)
TODAY = date(2031, 1, 1)
DAYS = st.dates(date(2027, 1, 1), TODAY)
# Texts as a record keeps them: one line, no blanks at the ends, any script and any odd sign.
ODD = ["null", "~", "no", "007", "1:30", "- x", "#", "a: b", '"', "'='"]
# Characters that turn or hide text are refused wherever they come in (S011).
HIDDEN = "".join(map(chr, (*range(0x200B, 0x2010), *range(0x202A, 0x202F), *range(0x2060, 0x206A))))
LETTERS = st.characters(
    exclude_categories=["Cc", "Cs", "Zl", "Zp"], exclude_characters=f"\u0085\ufeff{HIDDEN}"
)
TEXTS = st.text(LETTERS, min_size=1, max_size=30).map(str.strip).filter(bool)
TEXTS |= st.sampled_from(ODD)
CLOCKS = st.times().map(lambda one: f"{one:%H:%M}")
OF_KIND = {
    ElementKind.TEXT: TEXTS,
    ElementKind.DAY: DAYS.map(date.isoformat),
    ElementKind.TIME: CLOCKS,
    ElementKind.NUMBER: st.sampled_from(["1", "12.5", "99"]),
    ElementKind.HOURS: st.sampled_from(["0", "48", "720"]),
    ElementKind.AMOUNT: st.sampled_from(["5 gal", "2.5 fl oz", "40 lb"]),
    ElementKind.REGISTRATION: st.sampled_from(["99999-1", "exempt", "NE-270001"]),
}
_CORE = ("day", "start", "end")


def said(keys: dict[str, Element]) -> st.SearchStrategy[Said]:
    """Some elements with a text that fits each, in any order."""
    known = [one for one in keys.values() if one.name not in {*_CORE, "product"}]
    pairs = st.sampled_from(known).flatmap(
        lambda one: OF_KIND[one.kind].map(lambda text: (one.name, text))
    )
    return st.lists(pairs, max_size=8, unique_by=lambda one: one[0]).map(tuple)


PRODUCTS = st.builds(
    UsedProduct,
    name=TEXTS,
    restricted_use=st.booleans(),
    by_air=st.sampled_from(list(ByAir)),
    said=said(PRODUCT_KEYS),
)
FLIGHTS = st.lists(st.integers(1, 10**6), max_size=3, unique=True).map(tuple)
RECORDS = st.builds(
    Application,
    number=st.just(1),
    written_on=DAYS,
    written_known=st.booleans(),
    job=TEXTS,
    state=st.sampled_from(["NE", "SD", "WY"]),
    for_hire=st.booleans(),
    material=st.sampled_from(list(Material)),
    on=DAYS,
    start=CLOCKS | st.just(""),
    end=CLOCKS | st.just(""),
    zone=st.sampled_from(["", "America/Chicago", "America/Denver"]),
    aircraft=TEXTS | st.just(""),
    pilot=TEXTS | st.just(""),
    said=said(RECORD_KEYS),
    products=st.lists(PRODUCTS, max_size=3).map(tuple),
    why=TEXTS | st.just(""),
    flights=FLIGHTS,
)
GONE = st.builds(
    Disposed,
    number=st.just(1),
    on=DAYS,
    disposed_on=DAYS,
    kept_through=DAYS | st.none(),
    rule=TEXTS | st.just(""),
    why=TEXTS | st.just(""),
    flights=FLIGHTS,
)


def number(groups: list[list[Application]], gone: list[Disposed]) -> RecordBook:
    """Number records and versions as the program does."""
    versions = tuple(
        replace(one, number=at, version=version)
        for at, group in enumerate(groups, 1)
        for version, one in enumerate(group, 1)
    )
    left = tuple(replace(one, number=len(groups) + at) for at, one in enumerate(gone, 1))
    return RecordBook(operation="home-farm", versions=versions, gone=left)


BOOKS = st.builds(
    number,
    st.lists(st.lists(RECORDS, min_size=1, max_size=3), max_size=4),
    st.lists(GONE, max_size=2),
)


@SETTINGS
@given(book=BOOKS)
def test_book_reads_back_as_the_same_book(book: RecordBook) -> None:
    (text,) = render_books(book)

    assert parse_book(text, "records.yaml", TODAY) == (book, ())


@SETTINGS
@given(book=BOOKS, length=st.integers(1, 3_000))
def test_parts_are_whole_books_and_together_the_same(book: RecordBook, length: int) -> None:
    """However short a part may be, all versions of a record stay together."""
    kept = record_book.MOST_BYTES
    record_book.MOST_BYTES = length
    try:
        parts = [parse_book(text, "part.yaml", TODAY) for text in render_books(book)]
    finally:
        record_book.MOST_BYTES = kept

    assert all(problems == () for _, problems in parts)
    assert tuple(one for part, _ in parts if part for one in part.versions) == book.versions
    assert tuple(one for part, _ in parts if part for one in part.gone) == book.gone


@SETTINGS
@given(book=BOOKS.filter(lambda one: bool(one.versions)), days=st.integers(1, 400))
def test_what_is_still_to_come_is_refused(book: RecordBook, days: int) -> None:
    (text,) = render_books(book)
    newest = max(max(one.on, one.written_on) for one in book.versions)

    found, problems = parse_book(text, "records.yaml", newest - timedelta(days=days))

    assert found is None
    assert "W31" in {one.code for one in problems}
