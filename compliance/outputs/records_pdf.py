"""Records of applications as pages to print: one block for each record."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from io import BytesIO

from reportlab.lib.pagesizes import letter
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate, Spacer

from compliance.base.dates import say_date
from compliance.engine.record_page import RecordPage
from compliance.facts.record_elements import ELEMENTS
from compliance.facts.states import STATES
from compliance.outputs.pdf_kit import (
    BODY,
    FONT,
    MARGIN,
    MARGIN_TOP,
    PAGE_HEIGHT,
    SMALL,
    TEXT_WIDTH,
    TITLE,
    make_heading,
    make_table,
    make_text,
    measure_text,
)
from compliance.outputs.records_table import find_asked, find_others
from compliance.outputs.records_words import (
    LABEL_CAUTION,
    RECORD_CAUTION,
    say_against_label,
    say_flights,
    say_kept_page,
    say_lacking,
    say_missed,
    say_value,
    say_when,
    say_why,
    say_write_by,
    say_written,
)

_BOTTOM = 84.0
_FOOT = 32.0
_LABEL = 190.0
_ABREAST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordsDocument:
    """Pages of records: whose, of which state (empty for all), as of which day.

    ``reviews`` name rules past their review day.
    """

    name: str
    state: str
    as_of: date
    pages: tuple[RecordPage, ...]
    reviews: tuple[str, ...] = ()


def render_records(document: RecordsDocument) -> bytes:
    """Make the PDF; a record's products follow it in a table. Equal input gives equal bytes."""
    measure_text("", BODY.fontSize)  # the fonts are registered before a page template asks for them
    buffer = BytesIO()
    pages = BaseDocTemplate(
        buffer,
        pagesize=letter,
        pageTemplates=[_make_page(document)],
        invariant=1,
        initialFontName=FONT,
        title=f"Records of applications, {document.name}",
        author="",
        subject=document.state,
        creator="mailby",
        lang="en-US",
    )
    pages.build(_build(document))
    return buffer.getvalue()


def _make_page(document: RecordsDocument) -> PageTemplate:
    def finish(canvas: Canvas, template: BaseDocTemplate) -> None:
        foot = [
            make_text(f"{LABEL_CAUTION} {RECORD_CAUTION}", SMALL),
            make_text(f"{document.name}, page {template.page}", SMALL),
        ]
        height = _BOTTOM - 6
        for line in foot:
            height -= line.wrap(TEXT_WIDTH, PAGE_HEIGHT)[1]
            line.drawOn(canvas, MARGIN, max(height, 4.0))

    frame = Frame(MARGIN, _BOTTOM, TEXT_WIDTH, PAGE_HEIGHT - MARGIN_TOP - _BOTTOM, 0, 0, 0, 0)
    return PageTemplate(id="records", frames=[frame], onPageEnd=finish)


def _build(document: RecordsDocument) -> list[Flowable]:
    what = f"for {STATES[document.state]}, " if document.state else ""
    story: list[Flowable] = [
        make_text("Records of applications", TITLE),
        make_text(f"{document.name}, {what}as of {say_date(document.as_of)}", BODY),
    ]
    story.extend(make_text(f"! {line}", BODY) for line in document.reviews)
    for page in document.pages:
        story.extend(_build_record(page, document.state))
    return story


def _build_record(page: RecordPage, state: str) -> list[Flowable]:
    record = page.record
    names = find_asked((page,), state or record.state)
    # What one state asks for is all that goes to it; else nothing that was recorded is left out.
    whole = not (state and names)
    names = (*names, *find_others(record, names)) if whole else names
    own = [name for name in names if not ELEMENTS[name].of_product]
    hire = "for hire" if record.for_hire else "own land"
    head = (
        ("job", f"{record.job}, {record.state}, {hire}, {record.material}"),
        ("aircraft and pilot", f"{record.aircraft or '-'}, {record.pilot or '-'}"),
    )
    rows = (
        *(head if whole else ()),
        *(
            (
                ELEMENTS[name].words,
                say_value(record, name) or ("missing" if name in page.missing else "-"),
            )
            for name in own
        ),
    )
    story = make_heading(f"Record {record.number}: {say_when(record)}, {record.job}")
    story.append(make_table(("Element", "As recorded"), rows, (_LABEL, TEXT_WIDTH - _LABEL)))
    asked = [name for name in names if ELEMENTS[name].of_product]
    if record.products and asked:
        for begin in range(0, len(record.products), _ABREAST):
            story.extend([Spacer(0, 6), _make_products(page, asked, begin)])
    first = page.versions[0]
    written = ("First " if first.written_known else "The ") + say_written(first)
    for before, one in zip(page.versions, page.versions[1:], strict=False):
        written += f"; version {one.version}, {say_written(one)}{say_why(before, one)}"
    of = f"; of {say_flights(record)} in the log" if record.flights else ""
    lines = [f"{written}{of}", f"Kept {say_kept_page(page)}"]
    lines.extend(say_against_label(record))
    lines.extend(f"Missing: {say_lacking(one)}" for one in page.lacking)
    lines.extend(f"Late: {say_missed(one)}" for one in page.late)
    lines.extend(f"Written before its work: {say_write_by(one)}" for one in page.early)
    lines.extend(f"Later than with care: {say_write_by(one)}" for one in page.careless)
    story.append(Spacer(0, 4))
    story.extend(make_text(line, SMALL) for line in lines)
    return story


def _make_products(page: RecordPage, asked: Sequence[str], begin: int) -> Flowable:
    """Make a table with a column for each of some products, the first at *begin*."""
    products = page.record.products[begin : begin + _ABREAST]
    width = (TEXT_WIDTH - _LABEL) / len(products)
    heads = (
        "Of each product",
        *(f"Product {at}" for at in range(begin + 1, begin + len(products) + 1)),
    )
    rows = [
        (
            ELEMENTS[name].words,
            *(one.find(name) or ("missing" if name in page.missing else "-") for one in products),
        )
        for name in asked
    ]
    rows.append(
        (
            "restricted-use product",
            *("yes" if one.restricted_use else "no" for one in products),
        )
    )
    return make_table(heads, tuple(rows), (_LABEL, *(width,) * len(products)))
