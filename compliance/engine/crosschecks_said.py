"""Cross-checks on what stands in a blank: a real text, and the right person's name."""

from collections.abc import Iterator

from compliance.engine.check_facts import find_fact, list_people
from compliance.engine.check_model import CheckFinding
from compliance.engine.check_sheets import Case, Crosscheck, Sheet, is_bill_of_sale
from compliance.engine.crosschecks_blanks import is_certificate
from compliance.engine.near_names import is_one_person
from compliance.facts.answers import Source
from compliance.facts.basis import Confidence
from compliance.facts.reply_instructions import may_instruct
from compliance.facts.reply_left import is_slip
from compliance.facts.reply_words import Meaning, is_line, is_waiting, read_meaning
from compliance.forms.model import Blank, BlankKind, FilledBy

_NAMES = frozenset(
    {BlankKind.PRINTED_NAME, BlankKind.TITLE, BlankKind.NUMBER, BlankKind.ADDRESS}
    | {BlankKind.NOTARY_COUNTY, BlankKind.NOTARY_STATE, BlankKind.NOTARY_ACT}
    | {BlankKind.NOTARY_TITLE}
)
# Holds at least one letter, whatever else stands there.
_LETTERS = _NAMES - {BlankKind.NUMBER}
_NO_TEXT = frozenset(
    {Meaning.YES, Meaning.THERE, Meaning.SAME, Meaning.NOT_YET, Meaning.STRUCK, Meaning.UNSURE}
    | {Meaning.LATER, Meaning.WAITING}
)
# No answer to a plain question, and no name; elsewhere `none` may be the right text.
_NO_NAME = _NO_TEXT | {Meaning.NO, Meaning.NOTHING}


def is_talk(blank: Blank, says: str) -> bool:
    """Tell whether a text only speaks of the blank, such as `filled` where a name belongs.

    So does a number where a name or an address belongs, and a lone 0.
    """
    if not says:
        return False
    if blank.kind in _LETTERS and not any(letter.isalpha() for letter in says):
        return True
    if blank.kind in _NAMES:
        return read_meaning(says) in _NO_NAME or is_slip(says)
    is_zero = not says.strip("0. ")
    return blank.kind is BlankKind.TEXT and (is_zero or read_meaning(says) in _NO_TEXT)


def may_wait(blank: Blank) -> bool:
    """Tell whether a blank holds a text that may be put off by another."""
    return blank.kind in _NAMES or blank.kind is BlankKind.TEXT


def _waits(blank: Blank, says: str) -> bool:
    """Tell whether a text in a blank that may be left says that one is still to come."""
    return may_wait(blank) and not is_line(says) and is_waiting(says)


def is_doubtful(sheet: Sheet, blank: Blank) -> bool:
    """Tell whether a file shows a text that may be an instruction, such as `See Hal`, or a name.

    Whoever types it has looked.
    """
    answer = sheet.answers.get(blank.id)
    is_seen = answer is not None and answer.source is not Source.PERSON
    return is_seen and may_wait(blank) and may_instruct(sheet.says(blank.id))


def is_known_text(case: Case, blank: Blank, says: str) -> bool:
    """Tell whether a text is what the facts say of a blank, or somebody they name."""
    if not says or says in list_people(case.context.operation):
        return bool(says)
    return bool(blank.equals) and find_fact(case.context, blank.equals).strip() == says


def check_talk(case: Case) -> Iterator[CheckFinding]:
    """Ask what really stands where the text given is none, and which name was printed."""
    for sheet in case.sheets:
        for blank in sheet.template.blanks:
            says = sheet.says(blank.id)
            is_doubt = is_doubtful(sheet, blank)
            if not sheet.is_filled(blank.id) or is_known_text(case, blank, says):
                continue
            if not (blank.must or is_doubt or _waits(blank, says)):
                continue
            # A line in the notary's certificate is refused there.
            if is_certificate(blank) and is_line(says):
                continue
            if says and is_talk(blank, says):
                sentence = f"`{blank.label}` says `{says}`, which is no answer to it."
                yield sheet.open(blank, sentence, "What stands there? If just that, correct it.")
            elif is_doubt:
                sentence = f"`{blank.label}` says `{says}`: a name, or where to look?"
                yield sheet.open(blank, sentence, "What stands there? If it is the name, type it.")
            elif not says and lacks_name(blank):
                sentence = f"`{blank.label}` is filled, but nobody has said which name it is."
                yield sheet.open(blank, sentence, "Which name stands there?")


def lacks_name(blank: Blank) -> bool:
    """Tell whether nobody else asks for the text of a printed name that must be there."""
    is_name = blank.kind is BlankKind.PRINTED_NAME
    return is_name and blank.filled_by in {FilledBy.OWNER, FilledBy.SELLER}


def check_seller_signer(case: Case) -> Iterator[CheckFinding]:
    """Ask about a seller for whom one of the owner's own people signed."""
    for sheet in case.sheets:
        blank = find_seller_signer(case, sheet)
        if blank is None:
            continue
        name, seller = sheet.says(blank.id), sheet.says("seller-name")
        sentence = f"`{name}`, one of your own people, signed for the seller `{seller}`."
        if any(sheet.is_filled(title.id) for title in _titles(sheet)):
            yield sheet.note(blank, sentence, "Make sure that the title is one at the seller.")
        else:
            todo = "Have the seller sign; if it is the same person, with the title at the seller."
            yield sheet.open(blank, sentence, todo)


def find_seller_signer(case: Case, sheet: Sheet) -> Blank | None:
    """Give the blank where one of the owner's people is printed as the seller's signer."""
    seller = sheet.says("seller-name")
    if not is_bill_of_sale(sheet.template) or not seller:
        return None
    own = {
        *list_people(case.context.operation),
        *(
            other.says(blank.id)
            for other in case.sheets
            for blank in other.of_kind(BlankKind.PRINTED_NAME)
            if blank.filled_by is FilledBy.OWNER
        ),
    }
    if any(_is_same(seller, name) for name in own):
        return None
    for blank in sheet.of_kind(BlankKind.PRINTED_NAME):
        name = sheet.says(blank.id)
        if blank.filled_by is FilledBy.SELLER and any(_is_same(name, one) for one in own):
            return blank
    return None


def _is_same(name: str, other: str) -> bool:
    return bool(name) and is_one_person(name, other)


def _titles(sheet: Sheet) -> Iterator[Blank]:
    for blank in sheet.of_kind(BlankKind.TITLE):
        if blank.filled_by is FilledBy.SELLER:
            yield blank


TALK = Crosscheck(
    id="real-text",
    title="What stands in a blank is the text that belongs there",
    citation="none",
    confidence=Confidence.COMMON_PRACTICE,
    example="The line for the printed name says `N/A`, or only `filled` was said of it.",
    run=check_talk,
)
SELLER_SIGNER = Crosscheck(
    id="seller-signer",
    title="The seller's paper is signed by the seller's own person",
    citation="14 CFR 47.13(d)",
    confidence=Confidence.READ,
    example="The buyer's own signer also signed the maker's bill of sale.",
    run=check_seller_signer,
)
