"""Cross-checks of what stands on the papers against the facts: names, machine, numbers, places."""

from collections.abc import Iterator

from compliance.engine.check_facts import find_fact, is_registry
from compliance.engine.check_model import CheckFinding
from compliance.engine.check_sheets import Case, Crosscheck, Sheet
from compliance.engine.check_words import is_same_email, is_same_phone, say_difference, squash
from compliance.engine.contact_words import list_other_contacts
from compliance.engine.weights import read_weights
from compliance.facts.basis import Confidence
from compliance.facts.model import Address
from compliance.forms.model import Blank, BlankKind, FilledBy

NAMES = ("operation.legal_name", "pilot.name")
MACHINE = ("aircraft.maker", "aircraft.model", "aircraft.serial", "aircraft.registration_serial")
PLACES = ("operation.mailing_address", "operation.physical_address")
_WHICH = "Which is right? Correct the paper or the facts."
PHONE, EMAIL = "operation.contact_phone", "operation.contact_email"
_CONTACT = "contact"
"""The blank of a form for the contact's name, telephone and e-mail address in one line."""
WEIGHT = "aircraft.takeoff_weight_lb"
REGISTRATION = "aircraft.registration_number"
STREET = "operation.physical_address"


def find_equals(blank: Blank) -> str:
    """Name the fact a blank must agree with; a pilot's printed name is the pilot's."""
    if not blank.equals and blank.kind is BlankKind.PRINTED_NAME:
        return "pilot.name" if blank.filled_by is FilledBy.PILOT else ""
    return blank.equals


def _filled(case: Case, *facts: str) -> Iterator[tuple[Sheet, Blank, str]]:
    """Give every filled blank that must agree with one of the facts, and the fact's text."""
    for sheet in case.sheets:
        for blank in sheet.template.blanks:
            name = find_equals(blank)
            if name in facts and sheet.is_filled(blank.id):
                yield sheet, blank, find_fact(case.context, name)


def _ask(sheet: Sheet, blank: Blank, fact: str) -> CheckFinding:
    sentence = f"`{blank.label}` is filled, but nobody has said what it says."
    return sheet.open(blank, sentence, f"Does it say exactly `{fact}`?")


def check_names(case: Case) -> Iterator[CheckFinding]:
    """Compare every name of the owner and the pilot letter for letter."""
    for sheet, blank, fact in _filled(case, *NAMES):
        says = sheet.says(blank.id)
        if fact and not says:
            yield _ask(sheet, blank, fact)
        elif fact and says != fact.strip():
            gap = say_difference(fact, says)
            sentence = f"`{blank.label}` says `{says}`, not `{fact}`: {gap}."
            yield sheet.stop(blank, sentence, f"Write it as `{fact}` on every paper.")


def check_machine(case: Case) -> Iterator[CheckFinding]:
    """Compare maker, model, serial number and weight on every paper."""
    machine = case.context.operation.find_aircraft(case.context.paper.packet.holder.ref)
    for sheet, blank, fact in _filled(case, *MACHINE):
        says = sheet.says(blank.id)
        if fact and not says:
            yield _ask(sheet, blank, fact)
        elif fact and says != fact.strip():
            gap = say_difference(fact, says)
            why = f"it says `{says}`, not `{fact}`: {gap}"
            if machine is not None and machine.serial == says != machine.registration_serial:
                why = f"it says the maker's serial number `{says}`; the Remote ID one is asked"
            todo = f"Write `{fact}` on every paper of the packet."
            yield sheet.stop(blank, f"`{blank.label}`: {why}.", todo)
    for sheet, blank, fact in _filled(case, WEIGHT):
        if fact:
            yield from _compare_weight(sheet, blank, fact)


def _compare_weight(sheet: Sheet, blank: Blank, fact: str) -> Iterator[CheckFinding]:
    """Compare a weight with the facts by its unit; without one it is in pounds, as forms ask."""
    says = sheet.says(blank.id)
    weights, pounds = read_weights(says, blank.label), read_weights(fact)[0].pounds
    if not says:
        yield _ask(sheet, blank, fact)
    elif not weights:
        sentence = f"`{blank.label}` says `{says}`: cannot tell whether that is `{fact}`."
        yield sheet.open(blank, sentence, "How much is it, in lb or kg? Only that belongs there.")
    else:
        wrong = next((one for one in weights if not one.is_of(pounds)), None)
        if wrong is not None:
            in_pounds = f" ({wrong.pounds:.1f} lb)" if wrong.unit == "kg" else ""
            sentence = f"`{blank.label}` says `{says}`{in_pounds}, the facts say `{fact}`."
            yield sheet.stop(blank, sentence, "Weigh it full, and correct whichever is wrong.")


def check_numbers(case: Case) -> Iterator[CheckFinding]:
    """Compare registration, certificate and policy numbers with the papers in hand."""
    paper_numbers = {
        blank.equals
        for sheet in case.sheets
        for blank in sheet.template.blanks
        if blank.equals.startswith("paper.")
    }
    for sheet, blank, fact in _filled(case, REGISTRATION, *paper_numbers):
        says = sheet.says(blank.id)
        if not fact and says:
            sentence = f"`{blank.label}` says `{says}`, which is not among the facts."
            yield sheet.note(blank, sentence, "Add it to the facts, so that it can be compared.")
        elif not fact:
            sentence = f"`{blank.label}` is filled, but nobody has said what it says."
            yield sheet.open(blank, sentence, "Which number stands there?")
        elif not says:
            yield _ask(sheet, blank, fact)
        elif says != fact.strip():
            gap = say_difference(fact, says)
            sentence = f"`{blank.label}` says `{says}`, not `{fact}`: {gap}."
            yield sheet.stop(blank, sentence, f"Write `{fact}`.")


def check_same(case: Case) -> Iterator[CheckFinding]:
    """Compare with one another the papers that must agree on a fact nobody has written down."""
    first: dict[str, tuple[Sheet, str]] = {}
    for sheet in case.sheets:
        for blank in sheet.template.blanks:
            says = sheet.says(blank.id)
            if not blank.equals or not says or find_fact(case.context, blank.equals):
                continue
            other, said = first.setdefault(blank.equals, (sheet, says))
            if said != says:
                sentence = f"`{blank.label}` says `{says}`, but `{said}` on {other.title}."
                yield sheet.stop(blank, sentence, "Write the same on every paper.")


def check_addresses(case: Case) -> Iterator[CheckFinding]:
    """Compare addresses with the facts, passing over commas, periods and capitals.

    Of a telephone number the digits are compared, and of an e-mail address all but capitals, also
    in a line with the contact's name. Where nobody has said what stands there, nobody is asked: a
    wrong one brings no paper back.
    """
    for sheet, blank, fact in _filled(case, *PLACES):
        says = sheet.says(blank.id)
        if not says:
            sentence = f"`{blank.label}` is filled, but nobody has said what it says."
            todo = f"Does it say `{fact}`?" if fact else "Which address stands there?"
            yield sheet.open(blank, sentence, todo)
        elif fact and squash(says) != squash(fact):
            sentence = f"`{blank.label}` says `{says}`, the facts say `{fact}`."
            yield sheet.open(blank, sentence, _WHICH)
    for sheet, blank, fact in _filled(case, PHONE, EMAIL):
        says = sheet.says(blank.id)
        is_same = is_same_phone if find_equals(blank) == PHONE else is_same_email
        if fact and says and not is_same(says, fact):
            sentence = f"`{blank.label}` says `{says}`, the facts say `{fact}`."
            yield sheet.open(blank, sentence, _WHICH)
    yield from _check_contacts(case)


def _check_contacts(case: Case) -> Iterator[CheckFinding]:
    """Compare what is plainly a telephone or an e-mail address in a line that holds a name too."""
    facts = [find_fact(case.context, name) for name in (PHONE, EMAIL)]
    for sheet in case.sheets:
        blank = sheet.template.find_blank(_CONTACT)
        if blank is not None and not blank.equals and sheet.is_filled(blank.id):
            for says, fact in list_other_contacts(sheet.says(blank.id), *facts):
                sentence = f"`{blank.label}` says `{says}`, the facts say `{fact}`."
                yield sheet.open(blank, sentence, _WHICH)


def is_street_only(blank: Blank) -> bool:
    """Tell whether an office takes no P.O. box in a blank that need not equal a fact."""
    limit = blank.limit
    return limit is not None and limit.street_only and find_equals(blank) not in PLACES


def needs_street(case: Case, sheet: Sheet, blank: Blank) -> bool:
    """Tell whether a street address that may be left open must be there after all."""
    if blank.id == "residence":
        return _is_box(sheet.says("address"))
    return blank.equals == STREET and (
        case.context.operation.mailing_address.is_po_box or _is_box(sheet.says("mailing-address"))
    )


def _is_box(text: str) -> bool:
    return bool(text) and Address(lines=(text,)).is_po_box


def check_street(case: Case) -> Iterator[CheckFinding]:
    """Ask for a street address or physical location beside a P.O. box."""
    for sheet in case.sheets:
        citation = "" if is_registry(case.context) else sheet.template.basis.citation
        for blank in sheet.template.blanks:
            limit = blank.limit if blank.limit is not None and blank.limit.street_only else None
            if (limit is not None or blank.equals == STREET) and _is_box(sheet.says(blank.id)):
                sentence = f"`{blank.label}` is a P.O. box."
                todo = "Write a street address or describe the place."
                source = limit.basis.citation if limit is not None else citation
                yield sheet.stop(blank, sentence, todo, citation=source)
            elif is_street_only(blank) and sheet.is_filled(blank.id) and not sheet.says(blank.id):
                sentence = f"`{blank.label}` is filled, but nobody has said with which address."
                todo = "Which address stands there? It must be no P.O. box."
                yield sheet.open(blank, sentence, todo, citation=citation)
            elif not blank.must and needs_street(case, sheet, blank):
                yield from _find_street(sheet, blank, citation)


def _find_street(sheet: Sheet, blank: Blank, citation: str) -> Iterator[CheckFinding]:
    if sheet.is_filled(blank.id):
        return
    if sheet.status(blank.id) is None:
        sentence = f"`{blank.label}`: nobody has said how it stands; the mail goes to a P.O. box."
        yield sheet.open(blank, sentence, "Is the street address filled in?", citation=citation)
    else:
        sentence = f"`{blank.label}` is not filled in, and the mail goes to a P.O. box."
        yield sheet.stop(blank, sentence, "Fill in the street address.", citation=citation)


NAMES_SAME = Crosscheck(
    id="names",
    title="The owner's and the pilot's name are the same throughout",
    citation="14 CFR 47.31(b)(2)",
    confidence=Confidence.READ,
    example=(
        "The application says `Sandbur Flats Aerial, LLC`, the articles of organization have no "
        "comma."
    ),
    run=check_names,
)
MACHINE_SAME = Crosscheck(
    id="machine",
    title="Maker, model, serial number and weight are the same throughout",
    citation="reproductions of FAA's page on registering unmanned aircraft of 55 lb or more",
    confidence=Confidence.SECOND_HAND,
    example="The application shows the Remote ID serial number, the affidavit the maker's own.",
    run=check_machine,
)
NUMBERS = Crosscheck(
    id="numbers",
    title="Registration, certificate and policy numbers are those of the papers in hand",
    citation="none",
    confidence=Confidence.COMMON_PRACTICE,
    example="The state form shows last year's policy number.",
    run=check_numbers,
)
SAME = Crosscheck(
    id="same",
    title="What nobody wrote down yet is at least the same on every paper",
    citation="none",
    confidence=Confidence.COMMON_PRACTICE,
    example="Two papers of one packet show different N-numbers.",
    run=check_same,
)
ADDRESSES = Crosscheck(
    id="addresses",
    title="Addresses, telephone and e-mail are those of the facts",
    citation="none",
    confidence=Confidence.COMMON_PRACTICE,
    example="The form still shows the box in the next town, which was given up.",
    run=check_addresses,
)
STREETS = Crosscheck(
    id="street-address",
    title="A street address or place beside a P.O. box",
    citation="14 CFR 47.45; FAA's page on registering unmanned aircraft",
    confidence=Confidence.READ,
    example="The mail goes to P.O. Box 0 and the line for the physical location is empty.",
    run=check_street,
)
