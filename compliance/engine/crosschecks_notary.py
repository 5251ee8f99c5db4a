"""Cross-checks on the notarial certificate: complete, of the right kind, by the right notary."""

from collections.abc import Iterator

from compliance.base.dates import say_date
from compliance.engine.check_model import CheckFinding
from compliance.engine.check_sheets import REGISTRY_HALF, Case, Crosscheck, Sheet
from compliance.engine.check_words import is_placeholder, say_difference, split_words
from compliance.engine.crosschecks_blanks import find_missing, is_printed_name
from compliance.engine.crosschecks_person import find_meant
from compliance.engine.declaration import ASK_FIRST, CITATION
from compliance.facts.answers import Status
from compliance.facts.basis import Confidence
from compliance.facts.states import STATES, find_state
from compliance.forms.model import Blank, BlankKind
from compliance.rules.model import NotaryAct

_UNIFORM = "NDCC 44-06.1-14; Iowa Code 9B.15; Minn. Stat. 358.65 (states with the uniform act)"
_STAMP = "Iowa Code 9B.17; North Dakota Secretary of State on stamps"
_ADDS = (",", " as ", " (")

WORDS_OF_ACT = {
    NotaryAct.JURAT: "signed and sworn to",
    NotaryAct.ACKNOWLEDGMENT: "acknowledged",
}
"""What a certificate of the kind says; source: the short forms of ORS 194.285."""


def notarized(case: Case) -> Iterator[Sheet]:
    """Give the sheets a notary certifies; where a declaration stands in nobody does."""
    for sheet in _with_certificate(case):
        if not case.is_declared(sheet):
            yield sheet


def _with_certificate(case: Case) -> Iterator[Sheet]:
    for sheet in case.sheets:
        if sheet.row.notary is not NotaryAct.NONE and sheet.template.is_notarized:
            yield sheet


def is_waived(sheet: Sheet) -> bool:
    """Tell whether a certificate that may be absent is not used on this sheet.

    It is used as soon as a part of it is filled in.
    """
    return not any(blank.must or sheet.is_filled(blank.id) for blank in sheet.block)


def find_notary_blank(sheet: Sheet, kind: BlankKind) -> Blank | None:
    """Give the certificate's blank of a kind."""
    return next(iter(sheet.of_kind(kind)), None)


def check_certificate(case: Case) -> Iterator[CheckFinding]:
    """Find every part of a notarial certificate that is missing."""
    for sheet in _with_certificate(case):
        if case.is_declared(sheet):
            sentence = "no notary signs it; the unsworn declaration stands in."
            yield sheet.note(sheet.block[0], sentence, ASK_FIRST, citation=CITATION)
    for sheet in notarized(case):
        if is_waived(sheet):
            yield from _check_unused(sheet)
            continue
        for blank in sheet.block:
            citation = _STAMP if blank.kind is BlankKind.NOTARY_STAMP else _UNIFORM
            found = find_missing(sheet, blank, citation=citation)
            if found is not None:
                yield found
            elif is_placeholder(sheet.says(blank.id)):
                sentence = f"`{blank.label}` says only `{sheet.says(blank.id)}`."
                yield sheet.stop(blank, sentence, "Ask the notary to fill it in.")


def _check_unused(sheet: Sheet) -> Iterator[CheckFinding]:
    """Ask about a block the form may not print; halves of a paper are asked elsewhere."""
    if sheet.template.find_blank(REGISTRY_HALF) is not None:
        return
    states = {sheet.status(blank.id) for blank in sheet.block}
    first = sheet.block[0]
    if Status.EMPTY in states:
        yield sheet.stop(first, "the notary's block is empty.", "Sign it in front of a notary.")
    elif states != {Status.STRUCK}:
        sentence = "nobody has said whether the form prints a notary's block."
        todo = "Does the form print one? Fill it at the notary, or mark every part struck."
        yield sheet.open(first, sentence, todo)


def acts_of(text: str) -> set[NotaryAct]:
    """Tell which acts the words of a certificate name."""
    words = split_words(text)
    sworn = any(word.startswith(("sworn", "affirm", "jurat")) for word in words)
    acknowledged = any(word.startswith("acknowledg") for word in words)
    found = {NotaryAct.JURAT} if sworn else set()
    return found | ({NotaryAct.ACKNOWLEDGMENT} if acknowledged else set())


def act_of(sheet: Sheet) -> NotaryAct:
    """Tell which act a sheet carries: what its row asks, or what an as-printed block says."""
    if sheet.row.notary is not NotaryAct.AS_PRINTED:
        return sheet.row.notary
    blank = find_notary_blank(sheet, BlankKind.NOTARY_ACT)
    named = acts_of(sheet.says(blank.id)) if blank is not None else set()
    return named.pop() if len(named) == 1 else NotaryAct.AS_PRINTED


def check_act(case: Case) -> Iterator[CheckFinding]:
    """Compare the words of the certificate with the act the paper asks for."""
    for sheet in notarized(case):
        blank = find_notary_blank(sheet, BlankKind.NOTARY_ACT)
        asked = sheet.row.notary
        if blank is None or not sheet.is_filled(blank.id):
            continue
        named = acts_of(sheet.says(blank.id))
        words = WORDS_OF_ACT.get(asked, "")
        if not named:
            # Also asked where any act is taken: whether the two dates must agree hangs on it.
            sentence = f"`{blank.label}`: nobody has said which words stand there."
            todo = f"Do the words say `{words}`?" if words else "Sworn to, or acknowledged?"
            yield sheet.open(blank, sentence, todo)
        elif words and asked not in named:
            sentence = f"the certificate says `{sheet.says(blank.id)}`, the paper asks `{words}`."
            yield sheet.stop(blank, sentence, "Ask the notary for the right certificate.")


def check_act_dates(case: Case) -> Iterator[CheckFinding]:
    """Compare the signer's date with the certificate's.

    Sworn papers are signed in front of the notary, so the days are equal; a signature that is only
    acknowledged may be older, never younger.
    """
    for sheet in notarized(case):
        blank = find_notary_blank(sheet, BlankKind.NOTARY_DATE)
        signed = sheet.signing_day
        acted = sheet.on(blank.id) if blank is not None else None
        if blank is None or signed is None or acted is None or signed == acted:
            continue
        if act_of(sheet) is NotaryAct.JURAT:
            sentence = (
                f"signed on {say_date(signed)}, but sworn to on {say_date(acted)}; it is signed "
                "in front of the notary, so both are one day."
            )
            yield sheet.stop(blank, sentence, "Sign a fresh one in front of the notary.")
        elif signed > acted:
            sentence = f"the notary acted on {say_date(acted)}, before it was signed."
            yield sheet.stop(blank, sentence, "Have the notary do it again after signing.")


def check_commission(case: Case) -> Iterator[CheckFinding]:
    """Compare the end of the notary's commission with the day of the act."""
    for sheet in notarized(case):
        blank = find_notary_blank(sheet, BlankKind.NOTARY_EXPIRY)
        day = find_notary_blank(sheet, BlankKind.NOTARY_DATE)
        if blank is None or day is None:
            continue
        ends, acted = sheet.on(blank.id), sheet.on(day.id)
        if ends is not None and acted is not None and ends < acted:
            sentence = f"the notary's commission ended on {say_date(ends)}, before the act."
            yield sheet.stop(blank, sentence, "Go to a notary whose commission is in force.")


def check_venue(case: Case) -> Iterator[CheckFinding]:
    """Compare the state in the certificate with the state of the notary's commission."""
    commissioned = find_state(case.context.envelope.notary_state)
    for sheet in notarized(case):
        blank = find_notary_blank(sheet, BlankKind.NOTARY_STATE)
        stands = find_state(sheet.says(blank.id)) if blank is not None else ""
        if blank is not None and stands and commissioned and stands != commissioned:
            sentence = (
                f"the certificate is made in {STATES[stands]}, the notary's commission is from "
                f"{STATES[commissioned]}."
            )
            todo = "Which is wrong? The notary corrects the page, with initials."
            yield sheet.stop(blank, sentence, todo)


def check_named_signer(case: Case) -> Iterator[CheckFinding]:
    """Compare the signer's name in the certificate with the printed name beside the signature."""
    for sheet in notarized(case):
        blank = sheet.template.find_blank("notary-signer")
        if blank is None or not sheet.is_filled(blank.id):
            continue
        named = sheet.says(blank.id)
        if find_meant(case, named):
            continue
        for printed in filter(is_printed_name, sheet.of_kind(BlankKind.PRINTED_NAME)):
            # A misspelt name is refused where it stands, and is no measure for the certificate.
            name = find_meant(case, sheet.says(printed.id)) or sheet.says(printed.id)
            if printed.id not in {"printed-name", "owner-printed-name"} or not name:
                continue
            if not named:
                sentence = f"`{blank.label}` is filled, but nobody has said what it says."
                yield sheet.open(blank, sentence, f"Does it say exactly `{name}`?")
            elif named != name and not named.startswith(tuple(name + more for more in _ADDS)):
                gap = say_difference(name, named)
                sentence = f"the certificate names `{named}`, signed as `{name}`: {gap}."
                yield sheet.stop(blank, sentence, "Ask the notary for a fresh certificate.")


CERTIFICATE = Crosscheck(
    id="certificate",
    title="The notarial certificate is complete",
    citation=_UNIFORM,
    confidence=Confidence.READ,
    example="State, county, date, signature and stamp are there; the commission expiry is not.",
    run=check_certificate,
)
ACT = Crosscheck(
    id="act",
    title="The certificate is of the kind the paper asks for",
    citation="ORS 194.285(2) and (3); county recorders' list of defects (2012)",
    confidence=Confidence.SECOND_HAND,
    example="The affidavit must be sworn to; the notary attached an acknowledgment.",
    run=check_act,
)
ACT_DATES = Crosscheck(
    id="act-dates",
    title="The signer's date fits the notary's",
    citation="ORS 194.285(3); Iowa Code 9B.2, 9B.5; signing in front of the notary from memory",
    confidence=Confidence.MEMORY,
    example="The affidavit was signed on Monday at home and sworn to on Tuesday at the bank.",
    run=check_act_dates,
)
COMMISSION = Crosscheck(
    id="commission",
    title="The notary's commission was in force on the day of the act",
    citation=_UNIFORM,
    confidence=Confidence.READ,
    example="The act is of 12 January, the commission ended on 31 December.",
    run=check_commission,
)
VENUE = Crosscheck(
    id="venue",
    title="The state in the certificate is the state of the notary's commission",
    citation="county recorders' list of defects (2012): venue blank or wrong",
    confidence=Confidence.SECOND_HAND,
    example="The preprinted `State of Iowa` was left standing by a notary of Nebraska.",
    run=check_venue,
)
NAMED_SIGNER = Crosscheck(
    id="named-signer",
    title="The certificate names the person who signed",
    citation="ORS 194.285; county recorders' list of defects (2012): name mismatch",
    confidence=Confidence.SECOND_HAND,
    example="The certificate names Wren Castellow, Odile Ferrant signed.",
    run=check_named_signer,
)
