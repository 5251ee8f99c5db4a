"""Cross-check of the people on the papers: spelt as the facts know them."""

from collections.abc import Iterator

from compliance.engine.check_facts import find_fact
from compliance.engine.check_model import CheckFinding
from compliance.engine.check_sheets import Case, Crosscheck, Sheet
from compliance.engine.crosschecks_facts import find_equals
from compliance.engine.crosschecks_said import is_known_text, is_talk
from compliance.engine.near_names import Likeness, find_person, find_slips, say_slip
from compliance.facts.basis import Confidence
from compliance.facts.model import EntityType, Operation
from compliance.forms.model import Blank, BlankKind, FilledBy

_OWN = frozenset({FilledBy.OWNER, FilledBy.PILOT})
_NAMED = frozenset({"notary-signer", "pilot-name", "name"})
"""Blanks for one of the owner's people, whoever fills them in."""
_SEVERAL = frozenset({"members", "managers", "contact"})
"""Blanks of the owner's that name people among other words."""
_FACTS = "If the facts are wrong, correct them; if it is somebody else, name that person there."


def list_persons(operation: Operation) -> tuple[str, ...]:
    """Name the persons of the facts: the contact, the pilots, an owner who is no firm."""
    names = [operation.contact_name, *(pilot.name for pilot in operation.pilots)]
    if operation.entity is EntityType.INDIVIDUAL:
        names.append(operation.legal_name)
    return tuple(dict.fromkeys(name.strip() for name in names if name.strip()))


def find_meant(case: Case, name: str) -> str:
    """Give the person of the facts whose misspelt name this is, or an empty text."""
    person, likeness = find_person(name, list_persons(case.context.operation))
    return person if likeness is Likeness.SLIP else ""


def check_persons(case: Case) -> Iterator[CheckFinding]:
    """Refuse a misspelt name of somebody the facts know; point out another way to write it."""
    people = list_persons(case.context.operation)
    noted: set[str] = set()
    for sheet in case.sheets:
        for blank in sheet.template.blanks:
            says = sheet.says(blank.id)
            if not says or _is_compared(case, blank):
                continue
            if blank.id in _SEVERAL and blank.filled_by is FilledBy.OWNER:
                for run, person in find_slips(says, people):
                    yield _refuse(sheet, blank, run, person)
            if not _is_person(blank) or _is_talk(case, blank, says):
                continue
            person, likeness = find_person(says, people)
            if likeness is Likeness.SLIP:
                yield _refuse(sheet, blank, says, person)
            elif likeness is Likeness.WAY and says not in noted:
                noted.add(says)
                sentence = f"`{blank.label}` says `{says}`, the facts say `{person}`."
                todo = "One way to write a name is the surest on all papers. Is it the same person?"
                yield sheet.note(blank, sentence, todo)


def _refuse(sheet: Sheet, blank: Blank, says: str, person: str) -> CheckFinding:
    gap = say_slip(says, person)
    sentence = f"`{blank.label}` says `{says}`, the facts know `{person}`: {gap}."
    todo = f"Write it as `{person}`."
    if blank.filled_by is FilledBy.NOTARY:
        todo = f"Ask the notary for a fresh certificate that says `{person}`."
    return sheet.stop(blank, sentence, f"{todo} {_FACTS}")


def _is_person(blank: Blank) -> bool:
    is_own = blank.kind is BlankKind.PRINTED_NAME and blank.filled_by in _OWN
    return is_own or blank.id in _NAMED


def _is_compared(case: Case, blank: Blank) -> bool:
    """Tell whether a blank must hold a fact, letter for letter, which is looked at elsewhere."""
    equals = find_equals(blank)
    return bool(equals) and bool(find_fact(case.context, equals))


def _is_talk(case: Case, blank: Blank, says: str) -> bool:
    return is_talk(blank, says) and not is_known_text(case, blank, says)


PERSONS = Crosscheck(
    id="known-person",
    title="Whoever signs or is listed is spelt as in the facts",
    citation="14 CFR 47.31(b)(2); list of defects of a county recorders' association (2012)",
    confidence=Confidence.SECOND_HAND,
    example="`Odil Ferrant` is printed beside the signature, the facts know `Odile Ferrant`.",
    run=check_persons,
)
