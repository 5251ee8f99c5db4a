"""The checklist of a packet as plain values, and as Markdown."""

import re
from dataclasses import dataclass
from datetime import date

from compliance.base.dates import say_date

_SPECIAL = re.compile(r"([\\`*_\[\]<>&|~#])")
_LINE_START = re.compile(r"^([-+=])|^(\d{1,9})([.)])")
_STEP_INDENT = "  "


@dataclass(frozen=True, slots=True, kw_only=True)
class ChecklistStep:
    """One thing to do, in order.

    Units: ``by_last`` and ``by_safe`` are the last days that are on time, inclusive; ``done_on``
    is the day it was done, None while it is still to do.
    """

    order: int
    text: str
    by_last: date | None = None
    by_safe: date | None = None
    place: str = ""
    done_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChecklistBlank:
    """Something that must be on a document: what, of which kind, and who puts it there.

    ``state`` is how the check found it, empty when it was not checked; ``is_done`` ticks the box.
    """

    label: str
    kind: str
    who: str = ""
    state: str = ""
    is_done: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ChecklistDocument:
    """One form or enclosure: how many, original or copy, who signs, notary or not, its blanks."""

    title: str
    form: str = ""
    original_or_copy: str = ""
    count: int = 1
    signer: str = ""
    notary: str = ""
    notes: tuple[str, ...] = ()
    citation: str = ""
    confidence: str = ""
    blanks: tuple[ChecklistBlank, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Checklist:
    """Everything to do and to gather for one packet.

    Shape: plain text, one entry a line. Units: ``mail_by_last`` and ``mail_by_safe`` are the last
    days that are on time, inclusive; None when no deadline was worked out.
    """

    packet_id: str
    title: str
    holder: str
    as_of: date
    caution: str
    mail_by_last: date | None = None
    mail_by_safe: date | None = None
    address_lines: tuple[str, ...] = ()
    verb: str = "mail"
    steps: tuple[ChecklistStep, ...] = ()
    documents: tuple[ChecklistDocument, ...] = ()
    fee_lines: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    citations: tuple[str, ...] = ()


def escape_markdown(text: str) -> str:
    r"""Make any text show in Markdown exactly as it is written.

    Runs of spaces and line breaks become one space, because a list entry is one line.

    Source: CommonMark 0.31.2, sections 2.4 (backslash escapes) and 5.2 (list items).

    Example:
        >>> escape_markdown("Smith *& Sons_ <AG>")
        'Smith \\*\\& Sons\\_ \\<AG\\>'
    """
    line = _SPECIAL.sub(r"\\\1", " ".join(text.split()))
    return _LINE_START.sub(
        lambda hit: f"\\{hit[1]}" if hit[1] else f"{hit[2]}\\{hit[3]}", line, count=1
    )


def say_mail_days(safe: date | None, last: date | None, verb: str) -> tuple[tuple[str, str], ...]:
    """Write the days to mail or file by with their labels.

    Shape: one line when there is nothing to send any more; without a safe day it says so.
    """
    if last is None:
        return ((f"To {verb}", "nothing to send now"),)
    return (
        (f"Safe day to {verb}", say_date(safe) if safe else "none: no room left for a return"),
        (f"Last day to {verb}", say_date(last)),
    )


def say_to(verb: str) -> str:
    """Write the label of the address."""
    return "Mail to" if verb == "mail" else "File with"


def say_step_days(step: ChecklistStep) -> str:
    """Write where and by when a step is done, or when it was; empty when nothing is known."""
    if step.done_on:
        return ", ".join(filter(None, (f"done {say_date(step.done_on)}", step.place)))
    parts = (
        f"safe by {say_date(step.by_safe)}" if step.by_safe else "",
        f"last day {say_date(step.by_last)}" if step.by_last else "",
        step.place,
    )
    return ", ".join(part for part in parts if part)


def say_document_head(document: ChecklistDocument) -> str:
    """Write a document's title and form number."""
    return f"{document.title} ({document.form})" if document.form else document.title


def list_document_facts(document: ChecklistDocument) -> tuple[str, ...]:
    """List what to know about a document, one sentence a line, in the order it is needed."""
    how_many = document.original_or_copy or str(document.count)
    basis = ", ".join(filter(None, (document.citation, document.confidence)))
    lines = (
        f"How many: {how_many}",
        f"Signed by: {document.signer}" if document.signer else "",
        f"Notary: {document.notary}" if document.notary else "",
        *document.notes,
        f"Basis: {basis}" if basis else "",
    )
    return tuple(line for line in lines if line)


def say_blank(blank: ChecklistBlank) -> str:
    """Write a blank with its kind and the person who fills it."""
    known = blank.kind.casefold() in {"", blank.label.casefold()}
    label = blank.label if known else f"{blank.label} ({blank.kind})"
    label = f"{label}, by {blank.who}" if blank.who else label
    return f"{label} - {blank.state}" if blank.state else label


def render_checklist_markdown(checklist: Checklist) -> str:
    """Write the checklist as a Markdown task list that ends with a line break.

    Steps already done are ticked; documents and their blanks are for the reader to tick.
    """
    sections = (
        _head(checklist),
        _bullets("Look out", checklist.warnings),
        _section("Steps, in order", [_step(step) for step in checklist.steps]),
        _section("Documents", [_document(document) for document in checklist.documents]),
        _bullets("Fee", checklist.fee_lines),
        _bullets("Good to know", checklist.notes),
        _bullets("Rules behind this list", checklist.citations),
        f"---\n\n{escape_markdown(checklist.caution)}" if checklist.caution else "",
    )
    return "\n\n".join(section for section in sections if section) + "\n"


def _head(checklist: Checklist) -> str:
    address = "  \n".join(escape_markdown(line) for line in checklist.address_lines)
    lines = (
        f"# {escape_markdown(checklist.title)}",
        f"For {escape_markdown(checklist.holder)}.",
        f"Packet {escape_markdown(checklist.packet_id)}, as of {say_date(checklist.as_of)}.",
        "\n".join(
            f"- {label}: **{day}**"
            for label, day in say_mail_days(
                checklist.mail_by_safe, checklist.mail_by_last, checklist.verb
            )
        ),
        f"{say_to(checklist.verb)}:\n\n{address}" if address else "",
    )
    return "\n\n".join(line for line in lines if line)


def _section(heading: str, entries: list[str]) -> str:
    return f"## {heading}\n\n" + "\n".join(entries) if entries else ""


def _bullets(heading: str, lines: tuple[str, ...]) -> str:
    return _section(heading, [f"- {escape_markdown(line)}" for line in lines])


def _step(step: ChecklistStep) -> str:
    tick = "x" if step.done_on else " "
    head = f"- [{tick}] {step.order}\\. {escape_markdown(step.text)}"
    days = say_step_days(step)
    return f"{head}\n{_STEP_INDENT}- {escape_markdown(days)}" if days else head


def _document(document: ChecklistDocument) -> str:
    return "\n".join(
        (
            f"- [ ] {escape_markdown(say_document_head(document))}",
            *(f"  - {escape_markdown(line)}" for line in list_document_facts(document)),
            *(
                f"  - [{'x' if blank.is_done else ' '}] {escape_markdown(say_blank(blank))}"
                for blank in document.blanks
            ),
        )
    )
