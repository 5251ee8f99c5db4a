"""A packet that came back: which blanks were at fault, and what need not be done again."""

from collections.abc import Mapping

from compliance.base.problems import Problem, SourceRef
from compliance.base.reading import suggest
from compliance.engine.check_sheets import name_of
from compliance.engine.logbook import find_keepable
from compliance.engine.packets import Packet
from compliance.engine.plan_model import PaperPlan
from compliance.facts.answers import ENCLOSED
from compliance.facts.log import EventKind, LogEntry, find_standing
from compliance.forms.model import BlankKind, FormTemplate
from compliance.rules.model import DocumentRow, NotaryAct, RulesTable

Templates = Mapping[str, FormTemplate]


def resolve_blanks(
    packet: Packet, templates: Templates, words: tuple[str, ...], place: SourceRef
) -> tuple[tuple[str, ...], tuple[Problem, ...]]:
    """Find the blanks that were named, each as ``document/blank``.

    A word is a blank's id, with its document and a slash before it when several documents have it;
    ``document/enclosed`` stands for a document that was missing.

    Shape: the blanks as they were named, each once, and a problem (L39) for each word that names
    none or several.
    """
    known = list_blanks(packet, templates)
    by_blank: dict[str, list[str]] = {}
    for name in known:
        by_blank.setdefault(name.partition("/")[2], []).append(name)
    found: dict[str, None] = {}
    problems = []
    for word in words:
        matches = [word] if word in known else by_blank.get(word, [])
        if len(matches) == 1:
            found[matches[0]] = None
            continue
        if matches:
            sentence = f"several documents of {packet.id} have a blank `{word}`"
            hint = f"name one of: {', '.join(matches)}"
        else:
            sentence = f"no document of {packet.id} has a blank `{word}`"
            near = suggest(word, (*known, *by_blank))
            hint = near or "mailby forms show FORM lists the blanks; its documents: "
            hint += "" if near else _say_documents(packet)
        problems.append(Problem(place=place, code="L39", sentence=sentence, hint=hint))
    return tuple(found), tuple(problems)


def list_blanks(packet: Packet, templates: Templates) -> tuple[str, ...]:
    """List the blanks of a packet's documents as ``document/blank``, with ``/enclosed`` for each.

    Shape: document by document, in the order of the form.
    """
    found = []
    for row in packet.documents:
        template = templates.get(row.template)
        blanks = template.blanks if template is not None else ()
        found.append(f"{name_of(row)}/{ENCLOSED}")
        found.extend(f"{name_of(row)}/{blank.id}" for blank in blanks)
    return tuple(dict.fromkeys(found))


def resolve_steps(
    packet: Packet, words: tuple[str, ...], place: SourceRef
) -> tuple[tuple[str, ...], tuple[Problem, ...]]:
    """Find steps that may be left as they are, by name or by the word of the log.

    Shape: their names, each once, and a problem (L40) for each word that is none of them.
    """
    rows = find_keepable(packet)
    known = {row.name: row.name for row in rows} | {str(row.event): row.name for row in rows}
    found: dict[str, None] = {}
    problems = []
    for word in words:
        if word in known:
            found[known[word]] = None
            continue
        sentence = f"{packet.id} has no step `{word}` that can be left as it is after a return"
        listed = ", ".join(dict.fromkeys(known)) or "none"
        hint = suggest(word, known) or f"it knows: {listed}"
        problems.append(Problem(place=place, code="L40", sentence=sentence, hint=hint))
    return tuple(found), tuple(problems)


def compute_still_good(
    packet: Packet, templates: Templates, blanks: tuple[str, ...]
) -> tuple[str, ...]:
    """Tell which steps of the return path need not be done again, given the blanks at fault.

    Without a named blank everything is done again: the fault may be anywhere. A fault anywhere on
    a notarized page means a new page and a new act, for what was sworn to must not be changed
    afterwards; a fault on another page that somebody signs means signing again, for a changed page
    wants a new signature. A page that came back whole and was not at fault keeps both.

    Shape: names of steps in the order of the packet.
    """
    if not blanks:
        return ()
    faulty = {name.partition("/")[0] for name in blanks}
    rows = [row for row in packet.documents if name_of(row) in faulty]
    again = set()
    for row in rows:
        if row.notary is not NotaryAct.NONE:
            again.add(EventKind.NOTARIZED)
        # Whether a page whose certificate is as printed has one is seen only on the page.
        if row.notary in {NotaryAct.NONE, NotaryAct.AS_PRINTED} and _is_signed(row, templates):
            again.add(EventKind.SIGNED)
    # Without a step at the notary the signing is the only act that can make a page good again.
    notary = any(row.event is EventKind.NOTARIZED for row in packet.steps)
    if EventKind.NOTARIZED in again and not notary:
        again.add(EventKind.SIGNED)
    signing = {EventKind.SIGNED, EventKind.NOTARIZED}
    return tuple(
        row.name for row in find_keepable(packet) if row.event in signing and row.event not in again
    )


def find_doubts(
    packet: Packet, templates: Templates, blanks: tuple[str, ...], still_good: tuple[str, ...]
) -> tuple[str, ...]:
    """Warn of steps a person leaves as they are though a blank at fault speaks against it."""
    sound = set(compute_still_good(packet, templates, blanks))
    rows = {row.name: row for row in packet.steps}
    doubtful = [rows[name].title for name in still_good if name not in sound and name in rows]
    why = "a page that was at fault there" if blanks else "no blank is named, so any page there"
    return tuple(
        f"`{title}` is left as it is because you say so; {why} may need it again"
        for title in doubtful
    )


def find_overruled(
    packet: Packet,
    templates: Templates,
    blanks: tuple[str, ...],
    *,
    kept: tuple[str, ...] = (),
    redone: tuple[str, ...] = (),
) -> tuple[str, ...]:
    """Say which steps a person has done again though no blank asks for it, and words without use.

    *kept* and *redone* are the steps a person named; what speaks against a kept one says
    `find_doubts`.
    """
    sound = set(compute_still_good(packet, templates, blanks))
    titles = {row.name: row.title for row in packet.steps}
    found = []
    for name in redone:
        if name in sound:
            found.append(
                f"`{titles[name]}` is planned again because you say so; by the blanks at fault it "
                "would be left as it is"
            )
        else:
            found.append(f"`{titles[name]}` would be planned again anyhow; --again changes nothing")
    found.extend(
        f"`{titles[name]}` would be left as it is anyhow; --still-good changes nothing"
        for name in kept
        if name in sound
    )
    return tuple(found)


def find_twins(
    packet: Packet, templates: Templates, blanks: tuple[str, ...], still_good: tuple[str, ...]
) -> tuple[str, ...]:
    """Warn of pages that are left as they are and say the same as a blank that was at fault.

    Whether the fact is wrong there too is seen only on the page.
    """
    kept = {row.event for row in packet.steps if row.name in still_good}
    forms = {name_of(row): (row, templates.get(row.template)) for row in packet.documents}
    said: dict[str, None] = {}
    for name in blanks:
        document, _, at_fault = name.partition("/")
        template = forms[document][1] if document in forms else None
        blank = template.find_blank(at_fault) if template is not None else None
        fact = blank.equals if blank is not None else ""
        for other, (row, form) in forms.items():
            notarial = row.notary is not NotaryAct.NONE
            is_kept = (EventKind.NOTARIZED if notarial else EventKind.SIGNED) in kept
            if not fact or form is None or other == document or not is_kept:
                continue
            for twin in form.blanks:
                if twin.equals == fact and (notarial or _is_signed(row, templates)):
                    said[
                        f"{row.title} says the same under `{twin.label}`; look whether it is right "
                        f"there. If not, it has to be made and "
                        f"{'notarized' if notarial else 'signed'} anew."
                    ] = None
    return tuple(said)


def find_office_returns(
    table: RulesTable, log: tuple[LogEntry, ...], paper: PaperPlan
) -> tuple[LogEntry, ...]:
    """Find what else came back from the office of a packet: other packets, and before a grant.

    Shape: oldest first, the returns the packet itself is being mended for left out.
    """
    offices = {row.id: row.office for row in table.papers}
    own = {entry.number for entry in paper.packet.progress.returns}
    return tuple(
        entry
        for entry in find_standing(log)
        if entry.kind is EventKind.RETURNED
        and offices.get(entry.paper) == paper.packet.paper.office
        and entry.number not in own
    )


def _is_signed(row: DocumentRow, templates: Templates) -> bool:
    """Tell whether somebody signs a page; a bank check is signed when it is written anew."""
    template = templates.get(row.template)
    if template is None:
        return True
    kinds = {blank.kind for blank in template.blanks}
    return BlankKind.SIGNATURE in kinds and BlankKind.AMOUNT not in kinds


def _say_documents(packet: Packet) -> str:
    forms = dict.fromkeys(f"{name_of(row)} ({row.template})" for row in packet.documents)
    return ", ".join(forms) or "none"
