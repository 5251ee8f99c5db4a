"""Cross-checks on the documents as wholes: what came back, what is enclosed, in which shape."""

from collections.abc import Iterator

from compliance.base.dates import say_date
from compliance.engine.check_facts import is_online
from compliance.engine.check_model import CheckFinding, Place, Severity
from compliance.engine.check_sheets import (
    Case,
    Crosscheck,
    Enclosure,
    Sheet,
    find_envelope,
    name_of,
)
from compliance.facts.answers import COPY, ENCLOSED, ORIGINAL, Status
from compliance.facts.basis import Confidence
from compliance.facts.log import LogEntry
from compliance.forms.model import Blank, BlankKind
from compliance.rules.model import NotaryAct


def check_earlier_return(case: Case) -> Iterator[CheckFinding]:
    """Ask whether every reason the office gave for sending something back is mended."""
    for entry, is_own in find_unmended(case):
        day = say_date(entry.happened_on)
        if is_own:
            sentence = f"It came back on {day}: {entry.reason}."
            todo = "Look at that place first. Is it mended?"
        else:
            sentence = f"{entry.paper}, at the same office, came back on {day}: {entry.reason}."
            todo = "See that the same is in order here."
        yield find_envelope(Severity.OPEN, "earlier_reasons_mended", sentence, todo)


def find_unmended(case: Case) -> Iterator[tuple[LogEntry, bool]]:
    """Give each return whose reason nobody has called mended, and whether it was this packet's.

    A reason that several returns gave is asked once; those of this packet come first.
    """
    context = case.context
    settled = {" ".join(text.split()) for text in context.envelope.earlier_reasons_mended}
    own = context.paper.packet.progress.returns
    for is_own, entries in ((True, own), (False, context.office_returns)):
        for entry in entries:
            reason = " ".join(entry.reason.split())
            if reason not in settled:
                settled.add(reason)
                yield entry, is_own


def may_leave_out(case: Case, enclosure: Enclosure) -> bool:
    """Tell whether a document may be left out: its row says so, or another goes in its place."""
    row = enclosure.row
    return row.may_leave_out or any(
        name_of(one.row) == row.instead and count_enclosed(one)[0] > 0 for one in case.enclosures
    )


def count_enclosed(enclosure: Enclosure) -> tuple[int, int]:
    """Count the sheets in the envelope, and those nobody has said anything about."""
    said = [sheet.answers.get(ENCLOSED) for sheet in enclosure.sheets]
    inside = sum(one is not None and one.status is Status.FILLED for one in said)
    return inside, sum(one is None or one.status is Status.UNCLEAR for one in said)


def is_left_out(enclosure: Enclosure) -> bool:
    """Tell whether somebody said that a document is left out on purpose."""
    said = [sheet.answers.get(ENCLOSED) for sheet in enclosure.sheets]
    return any(one is not None and one.status is Status.STRUCK for one in said)


def check_enclosed(case: Case) -> Iterator[CheckFinding]:
    """Count every document the packet must hold."""
    for one in case.enclosures:
        if one.is_kept:
            continue
        inside, unsaid = count_enclosed(one)
        if one.template is None:
            sentence = f"{one.row.title}: its form `{one.row.template}` is not among the templates."
            yield _about(one, Severity.OPEN, sentence, "Check this document by hand.")
        elif is_left_out(one) and may_leave_out(case, one) and inside == 0:
            sentence = f"{one.row.title} is left out."
            yield _about(one, Severity.NOTE, sentence, " ".join(one.row.notes))
        elif inside + unsaid < one.needed:
            yield _about(one, Severity.STOP, _say_short(one, inside), "Put it into the envelope.")
        elif inside < one.needed:
            many = f"all {one.needed} of it" if one.needed > 1 else "it"
            sentence = f"{one.row.title}: nobody has said whether it is in the envelope."
            yield _about(one, Severity.OPEN, sentence, f"Is {many} in the envelope?")


def _say_short(one: Enclosure, inside: int) -> str:
    if one.needed == 1:
        return f"{one.row.title} is not in the envelope."
    return f"{one.row.title}: {inside} of {one.needed} are in the envelope."


def _about(one: Enclosure, severity: Severity, sentence: str, todo: str) -> CheckFinding:
    where = Place.HOME
    if one.template is not None and one.sheets:
        where = one.sheets[0].place_of(_key_blank(one.sheets[0]))
    return CheckFinding(
        severity=severity,
        document=name_of(one.row),
        blank=ENCLOSED,
        sentence=sentence,
        todo=todo,
        where=where,
        citation=one.row.basis.citation,
    )


def _key_blank(sheet: Sheet) -> Blank:
    """Give the blank that tells who makes the paper: its signature, or its first blank."""
    signed = sheet.of_kind(BlankKind.SIGNATURE)
    return (signed or sheet.template.blanks)[0]


def check_original(case: Case) -> Iterator[CheckFinding]:
    """Ask for the original where the office wants it, and spare it where a copy is enough."""
    if is_online(case.context):
        return
    for one in case.enclosures:
        filled = [
            sheet.says(ENCLOSED).casefold() for sheet in one.sheets if sheet.is_filled(ENCLOSED)
        ]
        originals = max(one.needed - one.row.copies, 0)
        if filled.count(COPY) > one.row.copies + max(len(filled) - one.needed, 0):
            sentence = f"{one.row.title}: a copy is in the envelope, the office wants the original."
            yield _about(one, Severity.STOP, sentence, "Put the original in and keep the copy.")
        elif originals and any(text not in {COPY, ORIGINAL} for text in filled):
            sentence = f"{one.row.title}: nobody has said whether it is the original."
            yield _about(one, Severity.OPEN, sentence, "Is it the original?")
        elif not originals and ORIGINAL in filled and not one.is_kept:
            sentence = f"{one.row.title}: the original is in the envelope, a copy is enough."
            yield _about(one, Severity.NOTE, sentence, "Keep the original and send a copy.")


def check_corrections(case: Case) -> Iterator[CheckFinding]:
    """Ask for correction fluid, crossings-out and words written over."""
    asked = [sheet for sheet in case.sheets if dislikes_corrections(sheet)]
    if not asked or is_online(case.context):
        return
    names = ", ".join(dict.fromkeys(sheet.row.title for sheet in asked))
    answer = case.context.envelope.no_corrections
    where = Place.NOTARY if any(sheet.is_certified for sheet in asked) else Place.HOME
    if answer is None:
        todo = f"Are these free of correction fluid, crossed-out and written-over words: {names}?"
        sentence = "Nobody has looked for corrections on the papers."
        yield find_envelope(Severity.OPEN, "no_corrections", sentence, todo)
    elif not answer:
        todo = f"Fill in a fresh form without a change; look at: {names}."
        sentence = "Something on the papers was painted over, crossed out or written over."
        yield find_envelope(Severity.STOP, "no_corrections", sentence, todo, where)


def dislikes_corrections(sheet: Sheet) -> bool:
    """Tell whether an office or a notary refuses a change on it: then a fresh one is needed."""
    return sheet.template.id.startswith("faa-8050-") or sheet.row.notary is not NotaryAct.NONE


def check_pictures(case: Case) -> Iterator[CheckFinding]:
    """Point out where a person calls filled in what the last picture showed empty."""
    for sheet in case.sheets:
        for blank in sheet.template.blanks:
            answer = sheet.answers.get(blank.id)
            if answer and answer.picture_empty and answer.status is Status.FILLED:
                sentence = f"`{blank.label}` is filled, you say; the picture showed nothing there."
                todo = "Look at the paper once more, or take a new picture of it."
                yield sheet.note(blank, sentence, todo)


EARLIER_RETURN = Crosscheck(
    id="earlier-return",
    title="What the packet came back for is mended",
    citation="the office's own reason, as logged",
    confidence=Confidence.COMMON_PRACTICE,
    example=(
        "The packet came back because the notary's commission expiry was empty. Until you say that "
        "this is mended, it is not ready."
    ),
    run=check_earlier_return,
)
ENCLOSED_ALL = Crosscheck(
    id="enclosed",
    title="Every document is in the envelope, as often as asked",
    citation="14 CFR 47.31(a); the document rows of the rules table",
    confidence=Confidence.READ,
    example=(
        "The aircraft went from maker to dealer to you: two bills of sale are needed, one lies in "
        "the envelope."
    ),
    run=check_enclosed,
)
ORIGINALS = Crosscheck(
    id="original",
    title="Originals where originals are asked",
    citation="list of defects of a county recorders' association (2012); document rows",
    confidence=Confidence.SECOND_HAND,
    example="A photocopy of the notarized affidavit lies in the envelope, the original at home.",
    run=check_original,
)
CORRECTIONS = Crosscheck(
    id="corrections",
    title="No correction fluid, nothing crossed out or written over",
    citation="list of defects of a county recorders' association (2012); index of an FAA manual",
    confidence=Confidence.SECOND_HAND,
    example="A digit of the serial number was painted over and written again.",
    run=check_corrections,
)
PICTURES = Crosscheck(
    id="pictures",
    title="Your word and the pictures agree",
    citation="none",
    confidence=Confidence.COMMON_PRACTICE,
    example="You say that the stamp is there; on the photo its place is empty.",
    run=check_pictures,
)
