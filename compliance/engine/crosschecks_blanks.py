"""Cross-checks on single blanks: filled in, signed, the printed name beside the signature."""

from collections.abc import Callable, Iterator

from compliance.engine.check_facts import is_online, is_registry
from compliance.engine.check_model import CheckFinding, Severity
from compliance.engine.check_sheets import Case, Crosscheck, Sheet, find_envelope
from compliance.facts.answers import Status
from compliance.facts.basis import Confidence
from compliance.forms.model import Blank, BlankKind, FilledBy

_RULE = "14 CFR 47.31(b)(1)"
_WHO = {
    FilledBy.NOTARY: "Have the notary fill it in.",
    FilledBy.SELLER: "Have the seller fill it in.",
    FilledBy.INSURER: "Have the insurer fill it in.",
    FilledBy.MAKER: "Have the maker fill it in.",
    FilledBy.REGISTRY: "Have the registry fill it in.",
    FilledBy.OFFICE: "Have it filled in by whoever issues it.",
}


def is_certificate(blank: Blank) -> bool:
    """Tell whether a blank belongs to the notary's certificate."""
    return blank.filled_by is FilledBy.NOTARY


def is_signature(blank: Blank) -> bool:
    """Tell whether a blank is the signature of somebody else than the notary."""
    return blank.kind is BlankKind.SIGNATURE


def is_printed_name(blank: Blank) -> bool:
    """Tell whether a blank is a printed name outside the notary's certificate."""
    return blank.kind is BlankKind.PRINTED_NAME and not is_certificate(blank)


def is_plain(blank: Blank) -> bool:
    """Tell whether no cross-check of its own asks that a blank is filled."""
    return not (is_certificate(blank) or is_signature(blank) or is_printed_name(blank))


def find_missing(sheet: Sheet, blank: Blank, *, citation: str = "") -> CheckFinding | None:
    """Give the finding about a blank that must be filled and is not, or None."""
    status, label = sheet.status(blank.id), blank.label
    if status is Status.FILLED:
        return None
    if status is Status.EMPTY:
        todo = _WHO.get(blank.filled_by, "Fill it in.")
        return sheet.stop(blank, f"`{label}` is empty.", todo, citation=citation)
    if status is Status.STRUCK:
        sentence = f"`{label}` is struck, but it must be filled in."
        return sheet.stop(blank, sentence, "Fill in a fresh form.", citation=citation)
    if status is Status.UNCLEAR:
        sentence = f"`{label}` is not clear."
        return sheet.open(blank, sentence, "Look again: is it filled in?", citation=citation)
    sentence = f"`{label}`: nobody has said how it stands."
    return sheet.open(blank, sentence, "Is it filled in?", citation=citation)


def _check_must(case: Case, belongs: Callable[[Blank], bool]) -> Iterator[CheckFinding]:
    for sheet in case.sheets:
        # FAA's rule speaks of its own forms; elsewhere the form's own source is the better one.
        citation = _RULE if is_registry(case.context) else sheet.template.basis.citation
        for blank in sheet.template.blanks:
            if blank.must and belongs(blank):
                found = find_missing(sheet, blank, citation=citation)
                if found is not None:
                    yield found


def check_blanks(case: Case) -> Iterator[CheckFinding]:
    """Find every plain blank that must be filled in and is not."""
    yield from _check_must(case, is_plain)


def check_signatures(case: Case) -> Iterator[CheckFinding]:
    """Find every signature that is missing."""
    yield from _check_must(case, is_signature)


def check_printed_names(case: Case) -> Iterator[CheckFinding]:
    """Find every signature without a typed or printed name beside it."""
    for sheet in case.sheets:
        registry = is_registry(case.context)
        citation = "14 CFR 47.13(a), 47.31(b)(3)" if registry else sheet.template.basis.citation
        for blank in sheet.template.blanks:
            if blank.must and is_printed_name(blank):
                found = find_missing(sheet, blank, citation=citation)
                if found is not None:
                    yield found


def check_unclear(case: Case) -> Iterator[CheckFinding]:
    """Ask again about the blanks that may be left but could not be read."""
    for sheet in case.sheets:
        for blank in sheet.template.blanks:
            if not blank.must and sheet.status(blank.id) is Status.UNCLEAR:
                sentence = f"`{blank.label}` is not clear."
                yield sheet.open(blank, sentence, "Look again: is it filled in, empty or struck?")


def check_open_blanks(case: Case) -> Iterator[CheckFinding]:
    """Point out blanks left open on a paper a notary certifies."""
    for sheet in case.sheets:
        if not sheet.template.is_notarized:
            continue
        for blank in sheet.template.blanks:
            empty = sheet.status(blank.id) is Status.EMPTY
            if empty and not blank.must and not is_certificate(blank):
                todo = "Write n/a or draw a line before the notary signs, if it does not apply."
                yield sheet.note(blank, f"`{blank.label}` is left open.", todo)


def check_signature_kind(case: Case) -> Iterator[CheckFinding]:
    """Refuse a pasted picture of a signature on papers for the aircraft registry."""
    if not is_registry(case.context) or is_online(case.context):
        return
    signed = [
        sheet
        for sheet in case.sheets
        if any(sheet.is_filled(blank.id) for blank in sheet.of_kind(BlankKind.SIGNATURE))
    ]
    kind = case.context.envelope.signature_kind
    if signed and not kind:
        sentence = "Nobody has said how the papers were signed."
        todo = "Signed in ink, with a digital signature that can be verified, or a pasted picture?"
        yield find_envelope(Severity.OPEN, "signature_kind", sentence, todo)
    elif signed and kind == "picture":
        sentence = "A signature is only a pasted picture, which nobody can verify."
        todo = "Sign in ink, or with a digital signature that shows who signed and when."
        yield find_envelope(Severity.STOP, "signature_kind", sentence, todo)


BLANKS = Crosscheck(
    id="blanks",
    title="Every blank that must be filled in is filled in",
    citation=_RULE,
    confidence=Confidence.READ,
    example="The model was left empty on the application; a form not completed comes back.",
    run=check_blanks,
)
SIGNATURES = Crosscheck(
    id="signatures",
    title="Every paper is signed",
    citation="14 CFR 47.13(a)",
    confidence=Confidence.READ,
    example="The seller forgot to sign the bill of sale.",
    run=check_signatures,
)
PRINTED_NAMES = Crosscheck(
    id="printed-name",
    title="The name is typed or printed beside each signature",
    citation="14 CFR 47.13(a), 47.31(b)(3)",
    confidence=Confidence.READ,
    example="Odile Ferrant signed, but nobody can read it and no printed name stands beside it.",
    run=check_printed_names,
)
UNCLEAR = Crosscheck(
    id="unclear",
    title="Nothing is left that could not be read",
    citation="none",
    confidence=Confidence.COMMON_PRACTICE,
    example="On the photo the memo line cannot be told from a shadow.",
    run=check_unclear,
)
OPEN_BLANKS = Crosscheck(
    id="open-blanks",
    title="No open blanks on a paper that is notarized",
    citation="instructions of North Dakota's Secretary of State; Iowa's notary handbook",
    confidence=Confidence.READ,
    example="The line for the N-number of a new machine is neither filled nor struck.",
    run=check_open_blanks,
)
SIGNATURE_KIND = Crosscheck(
    id="signature-kind",
    title="Signed in ink, or digitally in a way that can be verified",
    citation="14 CFR 47.13(a); 81 FR 23348",
    confidence=Confidence.SECOND_HAND,
    example="The signature on the application is a picture pasted into the file.",
    run=check_signature_kind,
)
