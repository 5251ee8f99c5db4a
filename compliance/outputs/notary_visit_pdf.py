"""The page for the notary visit and the sheet of an unsworn declaration, as PDF."""

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, KeepTogether, PageBreak, Paragraph, Spacer, Table

from compliance.outputs.notary_visit import (
    DECLARATION,
    NotaryVisit,
    UnswornDeclaration,
    VisitItem,
)
from compliance.outputs.own_documents_pdf import make_head
from compliance.outputs.own_model import OwnPages, OwnSignLine
from compliance.outputs.own_pages import (
    BOX,
    GAP,
    KNOWN,
    SECTION,
    WIDTH,
    CheckBox,
    make_beside,
    make_sign_block,
    render_own_pages,
)
from compliance.outputs.own_wording import FOOT
from compliance.outputs.pdf_kit import BODY, FONT, escape_text, make_text

VISIT_TITLE = "For the notary visit"
BEFORE_TITLE = "Before you use the next page"
DECLARATION_TITLE = "Unsworn declaration under penalty of perjury"
_CITED = "28 USC 1746 (1976)"
_WRITE = (OwnSignLine(label="Notary, telephone, hour"),)
_ITEM = ParagraphStyle("visit item", parent=BODY, fontSize=10, leading=12)
_SOURCE_SIZE = 8


def render_notary_visit(visit: NotaryVisit) -> OwnPages:
    """Make the page to take along to the notary; it stays out of the envelope.

    Equal input gives equal bytes.
    """
    title = f"{VISIT_TITLE} {visit.packet_id}"
    return render_own_pages(title, visit.packet_id, visit.as_of, FOOT, lambda: _build_visit(visit))


def render_unsworn_declaration(sheet: UnswornDeclaration) -> OwnPages:
    """Make a page of caution to keep, and the sheet whose wording can stand in for a notary.

    Equal input gives equal bytes.
    """
    title = f"{DECLARATION_TITLE} {sheet.packet_id}"
    return render_own_pages(
        title, sheet.packet_id, sheet.as_of, FOOT, lambda: _build_declaration(sheet)
    )


def _build_visit(visit: NotaryVisit) -> list[Flowable]:
    return [
        *make_head(VISIT_TITLE),
        *make_beside("Re", visit.re_lines),
        *make_beside("To sign", visit.papers),
        *make_beside("When", visit.days),
        *make_beside("Look out", visit.look_out),
        make_sign_block(_WRITE),
        *_build_section("Bring", visit.bring),
        *_build_section("Look at this before you leave", visit.look_at),
        *_build_section("What not to do", visit.avoid),
    ]


def _build_section(heading: str, items: tuple[VisitItem, ...]) -> list[Flowable]:
    """Build a heading and its boxes; the source stands small behind each line."""
    first, *rest = [_build_item(item) for item in items]
    return [KeepTogether([make_text(heading, SECTION), Spacer(0, 2), first]), *rest]


def _build_item(item: VisitItem) -> Table:
    text = (
        f"{escape_text(item.text)} "
        f'<font face="{FONT}" size="{_SOURCE_SIZE}">[{escape_text(item.source)}]</font>'
    )
    style = [
        ("FONTNAME", (0, 0), (-1, -1), FONT),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 2.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
    ]
    cells = [[CheckBox(ticked=False), Paragraph(text, _ITEM)]]
    return Table(cells, colWidths=(BOX + 8, WIDTH - BOX - 8), style=style, hAlign="LEFT")


def _build_declaration(sheet: UnswornDeclaration) -> list[Flowable]:
    ask = (
        f"Ask first: does {sheet.office} take this sheet in place of the notary? A form that "
        "prints a notary block may come back without one. If the answer is no, or nobody answers, "
        "go to the notary and leave this sheet out."
    )
    use = (
        f"Federal law lets a dated and signed statement like this stand for a sworn one ({_CITED})."
        " It is for federal papers only. Put the next page behind the statement it belongs to; "
        "this page stays at home. Signed outside the United States it must also name the laws of "
        "the United States of America."
    )
    return [
        *make_head(BEFORE_TITLE),
        make_text(ask, KNOWN),
        Spacer(0, 8),
        make_text(use, KNOWN),
        PageBreak(),
        *make_head(DECLARATION_TITLE),
        *make_beside("From", sheet.from_lines),
        *make_beside("Re", sheet.re_lines),
        *make_beside("Belongs to", sheet.papers),
        Spacer(0, GAP),
        make_text(DECLARATION, KNOWN),
        make_sign_block(sheet.sign_lines),
    ]
