"""Cross-checks on who signs: title, authority, co-owners, one person under one name."""

from collections.abc import Iterator

from compliance.engine.check_facts import is_registry
from compliance.engine.check_model import CheckFinding, Severity
from compliance.engine.check_sheets import Case, Crosscheck, Sheet, find_envelope
from compliance.engine.check_words import is_company_name, split_words
from compliance.engine.crosschecks_documents import is_left_out
from compliance.engine.crosschecks_person import find_meant, list_persons
from compliance.engine.crosschecks_said import is_known_text, is_talk
from compliance.engine.near_names import Likeness, find_person, is_one_person
from compliance.facts.answers import Status
from compliance.facts.basis import Confidence
from compliance.facts.model import EntityType, ManagedBy, Operation
from compliance.forms.model import Blank, BlankKind, FilledBy

OFFICER_WORDS = frozenset(
    {"president", "secretary", "treasurer", "chief", "officer", "chairman", "chair", "chairwoman"}
    | {"ceo", "cfo", "coo"}
)
AGENT_WORDS = frozenset({"agent", "attorney"})
CO_OWNERS = "co-owner-signature"
AUTHORITY = "signer-authority"


def find_title_fault(operation: Operation, title: str) -> str:
    """Say what title an owner's signer must show instead, or give an empty text when it fits.

    Source: 14 CFR 47.13(d); a practitioner newsletter of 2014 on the titles of LLC signers.
    """
    words = set(split_words(title))
    if words & AGENT_WORDS:
        return ""  # the owner's agent is asked for a power of attorney instead
    if operation.entity is EntityType.PARTNERSHIP:
        return "" if "partner" in words else "a partner signs as General Partner"
    if operation.entity is EntityType.LLC:
        return _find_llc_fault(operation, words)
    return ""


def _find_llc_fault(operation: Operation, words: set[str]) -> str:
    if operation.managed_by is ManagedBy.MEMBERS and "member" not in words:
        return "in a company managed by its members the signer is a Member"
    if operation.managed_by is ManagedBy.MANAGERS and "manager" not in words:
        return "in a company managed by managers the title holds the word Manager"
    if operation.managed_by is ManagedBy.OFFICERS and not words & OFFICER_WORDS:
        return "in a company managed by officers the title is an officer's, such as President"
    return ""


def titles_of(sheet: Sheet) -> tuple[Blank, ...]:
    """Give the blanks for the title of the owner's signer."""
    titles = sheet.of_kind(BlankKind.TITLE)
    return tuple(blank for blank in titles if blank.filled_by is FilledBy.OWNER)


def check_capacity(case: Case) -> Iterator[CheckFinding]:
    """Ask for the title of whoever signs for an entity, and whether it fits the entity."""
    operation = case.context.operation
    if operation.entity is EntityType.INDIVIDUAL:
        return
    for sheet in case.sheets:
        for blank in titles_of(sheet):
            title = sheet.says(blank.id)
            if not sheet.is_filled(blank.id):
                if not blank.must:
                    yield _missing_title(sheet, blank, operation)
            elif not title:
                sentence = f"`{blank.label}` is filled, but nobody has said what it says."
                yield sheet.open(blank, sentence, "Which title stands beside the signature?")
            else:
                fault = find_title_fault(operation, title)
                sentence = f"`{blank.label}` says `{title}`; {fault}."
                if fault and is_registry(case.context):
                    yield sheet.stop(blank, sentence, "Sign under the title that fits.")
                elif fault:
                    yield sheet.note(blank, sentence, "Ask the office whether it takes this title.")


def _missing_title(sheet: Sheet, blank: Blank, operation: Operation) -> CheckFinding:
    entity = "LLC" if operation.entity is EntityType.LLC else str(operation.entity)
    article = "an" if entity == "LLC" else "a"
    if sheet.status(blank.id) in {Status.EMPTY, Status.STRUCK}:
        sentence = f"`{blank.label}` is missing, and {article} {entity} signs through a person."
        return sheet.stop(blank, sentence, "Write the title beside the signature.")
    sentence = f"`{blank.label}`: nobody has said which title stands beside the signature."
    return sheet.open(blank, sentence, "Which title stands there?")


def check_authority(case: Case) -> Iterator[CheckFinding]:
    """Ask for proof of authority when a corporation's signer is no officer or manager."""
    enclosure = case.find_enclosure(AUTHORITY)
    if enclosure is None or not is_left_out(enclosure):
        return
    for sheet in case.sheets:
        for blank in titles_of(sheet):
            words = set(split_words(sheet.says(blank.id)))
            if words and not words & (OFFICER_WORDS | {"manager", "director"}):
                sentence = f"`{blank.label}` says `{sheet.says(blank.id)}`, which is no office."
                todo = f"Enclose this too: {enclosure.row.title}."
                yield sheet.stop(blank, sentence, todo)


def check_agent(case: Case) -> Iterator[CheckFinding]:
    """Ask for the power of attorney when an agent signs for the owner."""
    for sheet in case.sheets:
        for blank in titles_of(sheet):
            if not set(split_words(sheet.says(blank.id))) & AGENT_WORDS:
                continue
            enclosed = case.context.envelope.power_enclosed
            if enclosed is None:
                sentence = f"{sheet.title} is signed by an agent of the owner."
                todo = "Is the power of attorney enclosed, and is the owner named?"
                yield find_envelope(Severity.OPEN, "power_enclosed", sentence, todo)
                return
            if not enclosed:
                sentence = "is signed by an agent, and no power of attorney is enclosed."
                yield sheet.stop(blank, sentence, "Enclose the power of attorney.")


def check_co_owners(case: Case) -> Iterator[CheckFinding]:
    """Ask for the signature of every partner, where partners own the aircraft."""
    if case.context.operation.entity is not EntityType.PARTNERSHIP:
        return
    for sheet in case.sheets:
        blank = sheet.template.find_blank(CO_OWNERS)
        if blank is None or sheet.is_filled(blank.id):
            continue
        if sheet.status(blank.id) in {Status.EMPTY, Status.STRUCK}:
            sentence = "not every general partner has signed."
            yield sheet.stop(blank, sentence, "Have every partner sign, with name and title.")
        else:
            sentence = "nobody has said whether every general partner has signed."
            yield sheet.open(blank, sentence, "Have all partners signed, with name and title?")


def check_seller_title(case: Case) -> Iterator[CheckFinding]:
    """Ask for a title beside the signature when the seller is a company."""
    for sheet in case.sheets:
        seller = sheet.says("seller-name")
        if not is_company_name(seller):
            continue
        for blank in sheet.of_kind(BlankKind.TITLE):
            if blank.filled_by is not FilledBy.SELLER or sheet.is_filled(blank.id):
                continue
            if sheet.status(blank.id) is None:
                sentence = f"`{blank.label}`: nobody has said how it stands."
                yield sheet.open(blank, sentence, f"Is a title there? {seller} is a company.")
            else:
                sentence = f"`{blank.label}` is missing, and {seller} is a company."
                yield sheet.stop(blank, sentence, "Have the seller add the title.")


def check_one_person(case: Case) -> Iterator[CheckFinding]:
    """Find one person under two spellings, or two where one and the same must sign."""
    names = tuple(_list_signers(case))
    if not names:
        return
    other, _, said = names[0]
    meant, likeness = find_person(said, list_persons(case.context.operation))
    if likeness is Likeness.WAY:
        # The paper that writes the name as the facts do is the right one.
        right = ((sheet, name) for sheet, _, name in names if name == meant)
        other, said = next(right, (other, said))
    for sheet, blank, name in names:
        same_asked = sheet.row.signer.startswith("the same person")
        if name != said and (is_one_person(name, said) or same_asked):
            sentence = f"`{blank.label}` says `{name}`, but `{said}` on {other.title}."
            yield sheet.stop(blank, sentence, "Use one name, letter for letter, on all papers.")


def _list_signers(case: Case) -> Iterator[tuple[Sheet, Blank, str]]:
    """Give every printed name of the owner's signers but talk and misspelt ones, asked elsewhere.

    A misspelt name is no measure for the others: it is refused where it stands.
    """
    for sheet in case.sheets:
        for blank in sheet.of_kind(BlankKind.PRINTED_NAME):
            name = sheet.says(blank.id)
            if blank.filled_by is not FilledBy.OWNER or "printed-name" not in blank.id or not name:
                continue
            is_no_name = is_talk(blank, name) and not is_known_text(case, blank, name)
            if not is_no_name and not find_meant(case, name):
                yield sheet, blank, name


CAPACITY = Crosscheck(
    id="capacity",
    title="The signer's title is there and fits the kind of owner",
    citation="14 CFR 47.13(d); practitioner newsletter (2014) on titles of LLC signers",
    confidence=Confidence.SECOND_HAND,
    example="A company managed by its members, signed by its `President` instead of a `Member`.",
    run=check_capacity,
)
AUTHORITY_SHOWN = Crosscheck(
    id="authority",
    title="A corporation's signer is an officer, or authority is enclosed",
    citation="14 CFR 47.13(d)",
    confidence=Confidence.READ,
    example="The corporation's bookkeeper signed and no resolution lies in the envelope.",
    run=check_authority,
)
AGENT = Crosscheck(
    id="agent",
    title="An agent shows the owner's name and a power of attorney",
    citation="14 CFR 47.13(c)",
    confidence=Confidence.READ,
    example="A nephew signed as attorney-in-fact; the power of attorney stayed at home.",
    run=check_agent,
)
CO_OWNERS_SIGNED = Crosscheck(
    id="co-owners",
    title="Every general partner or co-owner has signed",
    citation="14 CFR 47.13(b)",
    confidence=Confidence.READ,
    example="Two partners share title, only one signed.",
    run=check_co_owners,
)
SELLER_TITLE = Crosscheck(
    id="seller-title",
    title="A company that sells shows the title of its signer",
    citation="14 CFR 47.13(d)",
    confidence=Confidence.READ,
    example="The dealer, an LLC, signed the bill of sale without a title.",
    run=check_seller_title,
)
ONE_PERSON = Crosscheck(
    id="one-person",
    title="One signer goes by one name on all papers",
    citation="14 CFR 47.31(b)(2); list of defects of a county recorders' association (2012)",
    confidence=Confidence.SECOND_HAND,
    example="`Odile Ferrant` on the application, `Odile M. Ferrant` on the affidavit.",
    run=check_one_person,
)
