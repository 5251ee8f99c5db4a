"""The checklist of a packet on paper, with boxes to tick, in 10 points and larger."""

from datetime import date

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, KeepTogether, Paragraph, Spacer

from compliance.outputs.checklist import (
    Checklist,
    ChecklistDocument,
    ChecklistStep,
    list_document_facts,
    say_blank,
    say_document_head,
    say_mail_days,
    say_step_days,
    say_to,
)
from compliance.outputs.pdf_kit import (
    BLOCK_STRONG,
    BODY,
    FONT,
    FONT_BOLD,
    SMALL,
    Footer,
    Part,
    escape_text,
    make_banner,
    make_block,
    make_heading,
    make_text,
    render_pages,
)

OPEN_BOX = "\N{BALLOT BOX}"
DONE_BOX = "\N{BALLOT BOX WITH CHECK}"
_BULLET = "\N{BULLET}"

_TICK = ParagraphStyle(
    "tick",
    parent=BODY,
    fontSize=11,
    leading=14,
    leftIndent=24,
    bulletIndent=0,
    bulletFontName=FONT,
    bulletFontSize=15,
    spaceBefore=4,
)
_TICK_BOLD = ParagraphStyle("tick bold", parent=_TICK, fontName=FONT_BOLD)
_UNDER = ParagraphStyle("under", parent=SMALL, leftIndent=24)
_BLANK = ParagraphStyle(
    "blank",
    parent=SMALL,
    leftIndent=44,
    bulletIndent=24,
    bulletFontName=FONT,
    bulletFontSize=13,
    leading=14.5,
)
_BULLETED = ParagraphStyle("bulleted", parent=BODY, leftIndent=14, bulletIndent=2, spaceAfter=2)


def render_checklist_pdf(checklist: Checklist) -> bytes:
    """Make the PDF of a checklist; steps already done carry a ticked box.

    A document and its blanks stay on one page unless they fill more than a page. Equal input
    gives equal bytes.

    Raises:
        ValueError: if the packet id is empty or too long for a QR code, or if the caution is too
            long for the foot of a page.
    """
    footer = Footer(packet_id=checklist.packet_id, as_of=checklist.as_of, caution=checklist.caution)
    part = Part(name="Checklist", build=lambda: _build(checklist))
    return render_pages(f"Checklist {checklist.packet_id}", footer, (part,))


def make_mail_days(safe: date | None, last: date | None, verb: str) -> list[Flowable]:
    """Make the large lines with the days to mail or file by."""
    return [
        flowable
        for label, day in say_mail_days(safe, last, verb)
        for flowable in make_block(label, (day,), BLOCK_STRONG)
    ]


def _build(checklist: Checklist) -> list[Flowable]:
    return [
        *make_banner(checklist.title, checklist.packet_id, (f"For {checklist.holder}",)),
        *make_mail_days(checklist.mail_by_safe, checklist.mail_by_last, checklist.verb),
        *make_block(say_to(checklist.verb), checklist.address_lines),
        *make_block("Fee", checklist.fee_lines),
        *_build_section("Look out", [[_bullet(line)] for line in checklist.warnings]),
        *_build_section("Steps, in order", [_build_step(step) for step in checklist.steps]),
        *_build_section("Documents", [_build_document(one) for one in checklist.documents]),
        *_build_section("Good to know", [[_bullet(line)] for line in checklist.notes]),
        *_build_section(
            "Rules behind this list", [[_bullet(line)] for line in checklist.citations]
        ),
    ]


def _build_section(heading: str, groups: list[list[Flowable]]) -> list[Flowable]:
    """Keep each group on one page, and the heading with the first group."""
    if not groups:
        return []
    first, *rest = groups
    return [
        KeepTogether([*make_heading(heading), *first]),
        *(KeepTogether(group) for group in rest),
    ]


def _bullet(line: str) -> Paragraph:
    return Paragraph(escape_text(line), _BULLETED, bulletText=_BULLET)


def _build_step(step: ChecklistStep) -> list[Flowable]:
    box = DONE_BOX if step.done_on else OPEN_BOX
    text = escape_text(f"{step.order}. {step.text}")
    days = say_step_days(step)
    return [
        Paragraph(text, _TICK, bulletText=box),
        *([make_text(days, _UNDER)] if days else []),
    ]


def _build_document(document: ChecklistDocument) -> list[Flowable]:
    head = escape_text(say_document_head(document))
    return [
        Paragraph(head, _TICK_BOLD, bulletText=OPEN_BOX),
        *(make_text(line, _UNDER) for line in list_document_facts(document)),
        Spacer(0, 2),
        *(
            Paragraph(
                escape_text(say_blank(blank)),
                _BLANK,
                bulletText=DONE_BOX if blank.is_done else OPEN_BOX,
            )
            for blank in document.blanks
        ),
        Spacer(0, 6),
    ]
