"""Cross-checks on evidence: the chain of owners, foreign registers, the company, the insurance."""

from collections.abc import Iterator

from compliance.base.dates import say_date
from compliance.engine.check_facts import is_registry, list_people
from compliance.engine.check_model import CheckFinding, Place, Severity
from compliance.engine.check_sheets import (
    REGISTRY_HALF,
    Case,
    Crosscheck,
    Sheet,
    find_envelope,
    is_bill_of_sale,
)
from compliance.engine.check_words import say_difference, split_words, squash
from compliance.engine.crosschecks_blanks import is_printed_name
from compliance.engine.crosschecks_person import list_persons
from compliance.engine.near_names import Likeness, find_person, find_slips
from compliance.facts.answers import Status
from compliance.facts.basis import Confidence
from compliance.facts.model import ManagedBy
from compliance.facts.reply_words import Meaning, read_meaning
from compliance.forms.model import Blank, BlankKind

_MANAGED = {ManagedBy.MEMBERS: "member", ManagedBy.MANAGERS: "manager", ManagedBy.OFFICERS: "offic"}


def bills_of(case: Case) -> tuple[Sheet, ...]:
    """Give the bills of sale in play, in order."""
    return tuple(sheet for sheet in case.sheets if is_bill_of_sale(sheet.template))


def needs_chain(case: Case) -> bool:
    """Tell whether the packet must show the chain of owners."""
    return any(
        one.template is not None and is_bill_of_sale(one.template) and not one.is_kept
        for one in case.enclosures
    )


def check_owners(case: Case) -> Iterator[CheckFinding]:
    """Ask for the owners from the maker to the applicant."""
    context = case.context
    machine = context.operation.find_aircraft(context.paper.packet.holder.ref)
    if not needs_chain(case) or machine is None:
        return
    chain = tuple(name.strip() for name in context.envelope.owners_chain)
    if not chain:
        sentence = "Nobody has said who owned the aircraft before you."
        todo = "Name every owner in order, from the maker to you."
        yield find_envelope(Severity.OPEN, "owners_chain", sentence, todo)
        return
    ends = ((chain[0], machine.maker, "first"), (chain[-1], context.operation.legal_name, "last"))
    for said, wanted, which in ends:
        if said != wanted.strip():
            sentence = f"The {which} owner is `{said}`, not `{wanted}`."
            todo = "The chain runs from the maker to you without a gap; find the missing owner."
            yield find_envelope(Severity.STOP, "owners_chain", sentence, todo, Place.SELLER)


def check_bills(case: Case) -> Iterator[CheckFinding]:
    """Compare each bill of sale with the one before it and with the chain of owners."""
    bills = bills_of(case)
    chain = tuple(name.strip() for name in case.context.envelope.owners_chain)
    for position, sheet in enumerate(bills):
        links = (("seller-name", position), ("buyer-name", position + 1))
        for name, place in links:
            blank = sheet.template.find_blank(name)
            wanted = chain[place] if place < len(chain) else ""
            if blank is not None:
                yield from _compare(sheet, blank, wanted)
        if position and not chain:
            yield from _compare_neighbors(bills[position - 1], sheet)
        yield from _compare_days(bills[position - 1] if position else None, sheet)


def _compare(sheet: Sheet, blank: Blank, wanted: str) -> Iterator[CheckFinding]:
    if not sheet.is_filled(blank.id):
        return
    says = sheet.says(blank.id)
    if not says:
        sentence = f"`{blank.label}` is filled, but nobody has said what it says."
        ask = f"Does it say exactly `{wanted}`?" if wanted else "Which name stands there?"
        yield sheet.open(blank, sentence, ask)
    elif wanted and says != wanted:
        gap = say_difference(wanted, says)
        sentence = f"`{blank.label}` says `{says}`, the chain has `{wanted}` there: {gap}."
        yield sheet.stop(blank, sentence, "Get a bill of sale with the right names.")


def _compare_neighbors(before: Sheet, sheet: Sheet) -> Iterator[CheckFinding]:
    blank = sheet.template.find_blank("seller-name")
    bought, sells = before.says("buyer-name"), sheet.says("seller-name")
    if blank is not None and bought and sells and bought != sells:
        sentence = f"the seller is `{sells}`, but `{bought}` bought it before."
        yield sheet.stop(blank, sentence, "A bill of sale between the two is missing.")


def _compare_days(before: Sheet | None, sheet: Sheet) -> Iterator[CheckFinding]:
    blank = sheet.template.find_blank("sold-on")
    if before is None or blank is None:
        return
    earlier, later = before.on("sold-on"), sheet.on("sold-on")
    if earlier is not None and later is not None and later < earlier:
        sentence = f"sold on {say_date(later)}, before the seller bought it."
        yield sheet.stop(blank, sentence, "Put the bills in order, or have the date corrected.")


def check_foreign(case: Case) -> Iterator[CheckFinding]:
    """Ask for one whole half of the proof on foreign registers, and the other half struck."""
    for sheet in case.sheets:
        if sheet.template.find_blank(REGISTRY_HALF) is None:
            continue
        optional = [blank for blank in sheet.template.blanks if not blank.must]
        own = [blank for blank in optional if blank.id.startswith(("owner-", "notary-"))]
        foreign = [blank for blank in optional if blank not in own]
        used = [half for half in (foreign, own) if _is_used(sheet, half)]
        if len(used) == 1:
            yield from _missing_of(sheet, used[0])
        elif used:
            sentence = "both halves are filled in, and only one can be true."
            yield sheet.stop(own[0], sentence, "Fill in a fresh one and strike the other half.")
        elif all(sheet.status(blank.id) is not None for blank in optional):
            sentence = "neither the registry's statement nor the owner's is there."
            yield sheet.stop(foreign[0], sentence, "Get one of the two.")
        else:
            todo = "Was it on a foreign register, or never? Fill in the half that is true."
            yield sheet.open(foreign[0], "nobody has said which half is filled in.", todo)


def _is_used(sheet: Sheet, half: list[Blank]) -> bool:
    return any(sheet.is_filled(blank.id) for blank in half)


def _missing_of(sheet: Sheet, half: list[Blank]) -> Iterator[CheckFinding]:
    for blank in half:
        # The parts of the certificate are asked for by their own cross-check.
        if sheet.is_filled(blank.id) or blank.id.startswith("notary-"):
            continue
        if sheet.status(blank.id) is None:
            sentence = f"`{blank.label}`: nobody has said how it stands."
            yield sheet.open(blank, sentence, "Is it filled in?")
        else:
            yield sheet.stop(blank, f"`{blank.label}` is missing.", "Have it filled in.")


COMPANY_STATEMENT = "llc-statement"


def find_signer(case: Case) -> str:
    """Give who signed the application, or an empty text.

    Of a misspelt name it is who is meant; so it is of one written another way than in the facts
    when another paper has it as they do, for then the application is the wrong one.
    """
    names = (one.says("printed-name") for one in case.sheets if one.document == "application")
    name = next(names, "")
    meant, likeness = find_person(name, list_persons(case.context.operation))
    others = (one.says("printed-name") for one in case.sheets if not is_bill_of_sale(one.template))
    if likeness is Likeness.SLIP or (likeness is Likeness.WAY and meant in others):
        return meant
    is_name = name in list_people(case.context.operation) or read_meaning(name) is Meaning.TEXT
    return name if is_name else ""


def check_company(case: Case) -> Iterator[CheckFinding]:
    """Compare the statement about the LLC with the facts and with who signed."""
    enclosure = case.find_enclosure(COMPANY_STATEMENT)
    managed = case.context.operation.managed_by
    if enclosure is None or managed is None or not is_registry(case.context):
        return
    for sheet in enclosure.sheets[:1]:
        how = sheet.template.find_blank("managed-by")
        if how is not None and sheet.is_filled(how.id):
            says = sheet.says(how.id)
            if not says:
                sentence = f"`{how.label}` is marked, but nobody has said which."
                yield sheet.open(how, sentence, f"Does it say managed by {managed}?")
            elif not any(word.startswith(_MANAGED[managed]) for word in split_words(says)):
                sentence = f"it says managed by `{says}`, the facts say by {managed}."
                yield sheet.stop(how, sentence, "Correct whichever is wrong.")
        yield from _check_listed(sheet, managed, find_signer(case))
        yield from _check_own_signer(sheet, managed)


def _check_own_signer(sheet: Sheet, managed: ManagedBy) -> Iterator[CheckFinding]:
    """Ask that whoever signs as one of those listed is listed."""
    name = "members" if managed is ManagedBy.MEMBERS else "managers"
    word = name.removesuffix("s")
    listed, titles = sheet.says(name), sheet.of_kind(BlankKind.TITLE)
    is_one = any(word in split_words(sheet.says(blank.id)) for blank in titles)
    for blank in filter(is_printed_name, sheet.of_kind(BlankKind.PRINTED_NAME)):
        says = sheet.says(blank.id)
        if listed and says and is_one and squash(says) not in squash(listed):
            sentence = f"`{blank.label}` says `{says}`, who is not among the {name} listed."
            todo = f"Have a {word} who is listed sign, or list everybody."
            yield sheet.stop(blank, sentence, todo)


def _check_listed(sheet: Sheet, managed: ManagedBy, signer: str) -> Iterator[CheckFinding]:
    name = "members" if managed is ManagedBy.MEMBERS else "managers"
    blank = sheet.template.find_blank(name)
    if blank is None or not signer:
        return
    says = sheet.says(blank.id)
    if not blank.must and sheet.status(blank.id) in {Status.EMPTY, Status.STRUCK}:
        sentence = f"`{blank.label}` is missing, and the company is managed by {managed}."
        yield sheet.stop(blank, sentence, "List them.")
    elif says and squash(signer) not in squash(says) and not any(find_slips(says, (signer,))):
        sentence = f"`{blank.label}` does not name {signer}, who signed the application."
        yield sheet.stop(blank, sentence, "List everybody, or have one of those listed sign.")
    elif not says and sheet.status(blank.id) in {None, Status.FILLED} and _is_open(sheet, blank):
        sentence = f"`{blank.label}`: nobody has said whether {signer} is among them."
        yield sheet.open(blank, sentence, f"Does it name {signer}?")


def _is_open(sheet: Sheet, blank: Blank) -> bool:
    """Tell whether no other cross-check asks about the blank."""
    return sheet.is_filled(blank.id) or not blank.must


OWNERS = Crosscheck(
    id="owners",
    title="The chain of owners runs from the maker to you",
    citation="reproductions of FAA's page on registering unmanned aircraft; 14 CFR 47.35(a)(2)",
    confidence=Confidence.SECOND_HAND,
    example="You bought it from a dealer, and nothing shows how the dealer came by it.",
    run=check_owners,
)
BILLS = Crosscheck(
    id="bills-of-sale",
    title="Each bill of sale begins with the buyer of the one before",
    citation="reproductions of FAA's page on registering unmanned aircraft; 14 CFR 47.35(a)(2)",
    confidence=Confidence.SECOND_HAND,
    example="The first bill is made out to `Burrell Implement Inc`, the second by `Burrell LLC`.",
    run=check_bills,
)
FOREIGN = Crosscheck(
    id="foreign-register",
    title="An import shows that no foreign registration stands",
    citation="14 CFR 47.37(a)(3), (b)",
    confidence=Confidence.READ,
    example="The foreign registry's statement lacks the title of its official.",
    run=check_foreign,
)
COMPANY = Crosscheck(
    id="company",
    title="The statement about the company fits the facts and the signer",
    citation="practitioner notes (2014 to 2022) on FAA's sheet for LLC owners",
    confidence=Confidence.SECOND_HAND,
    example="Wren Castellow signed, but the statement lists Odile Ferrant only.",
    run=check_company,
)
