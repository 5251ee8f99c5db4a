"""Checks of a form that look at more than one value."""

from collections.abc import Iterator

from compliance.base.problems import Problem, SourceRef
from compliance.forms.model import BlankKind, FilledBy, FormTemplate

FAMILY = "T"

# A certificate without these says neither who attested nor when; every state asks for both.
# Source: Revised Uniform Law on Notarial Acts (2018), section 15 (from memory).
CERTIFICATE = (BlankKind.NOTARY_SIGNATURE, BlankKind.NOTARY_DATE)


def check_template(template: FormTemplate) -> tuple[Problem, ...]:
    """Check one form (T13, T15 to T20, T23).

    Shape: sorted by place; empty when all is well.
    """
    checks = (check_blanks, check_notary, check_staleness, check_limits, check_choices)
    return tuple(sorted(problem for check in checks for problem in check(template)))


def _problem(number: str, place: SourceRef, sentence: str, hint: str) -> Problem:
    return Problem(place=place, code=f"{FAMILY}{number}", sentence=sentence, hint=hint)


def check_blanks(template: FormTemplate) -> Iterator[Problem]:
    """Check that no blank's id stands twice (T13)."""
    first: dict[str, SourceRef] = {}
    for blank in template.blanks:
        if blank.id and blank.id in first:
            sentence = f"the blank `{blank.id}` stands twice; first on line {first[blank.id].line}"
            yield _problem("13", blank.place, sentence, "give each blank its own id")
        first.setdefault(blank.id, blank.place)


def check_notary(template: FormTemplate) -> Iterator[Problem]:
    """Check that the notary, and nobody else, fills in a whole certificate (T15, T16)."""
    notarial = [blank for blank in template.blanks if blank.kind.is_notarial]
    for blank in notarial:
        if blank.filled_by is not FilledBy.NOTARY:
            sentence = f"blank `{blank.id}` is part of the notary's certificate, but "
            sentence += f"`filled_by` is {blank.filled_by}"
            yield _problem("15", blank.place, sentence, "write `filled_by: notary`")
    if notarial:
        kinds = {blank.kind for blank in notarial}
        for kind in CERTIFICATE:
            if kind not in kinds:
                sentence = f"the notary's certificate has no blank of kind {kind}"
                hint = "a certificate shows the notary's signature and the day of the act"
                yield _problem("16", notarial[0].place, sentence, hint)


def check_limits(template: FormTemplate) -> Iterator[Problem]:
    """Check that a limit says something, and that its blank can hold to it (T18, T19, T20)."""
    for blank in template.blanks:
        limit = blank.limit
        if limit is None:
            continue
        if not limit.street_only and limit.at_most_months is None:
            sentence = f"`limit` of blank `{blank.id}` limits nothing"
            hint = "add `at_most_months: 12` or `street_only: yes`, or remove the limit"
            yield _problem("18", blank.place, sentence, hint)
        if limit.at_most_months is not None and blank.kind is not BlankKind.DATE:
            sentence = f"`at_most_months` of blank `{blank.id}` counts from a date, but its kind "
            sentence += f"is {blank.kind}"
            yield _problem("19", blank.place, sentence, "write `kind: date`, or remove the limit")
        if limit.street_only and blank.kind is not BlankKind.ADDRESS:
            sentence = f"`street_only` of blank `{blank.id}` is about an address, but its kind "
            sentence += f"is {blank.kind}"
            hint = "write `kind: address`, or remove the limit"
            yield _problem("20", blank.place, sentence, hint)


def check_staleness(template: FormTemplate) -> Iterator[Problem]:
    """Check that a form that goes stale after signing has a signature (T17)."""
    signed = {BlankKind.SIGNATURE, BlankKind.NOTARY_SIGNATURE}
    if template.goes_stale_days is not None and not signed & {b.kind for b in template.blanks}:
        sentence = "`goes_stale_days` counts from signing, but the form has no signature"
        yield _problem("17", template.place, sentence, "add the signature, or remove the line")


def check_choices(template: FormTemplate) -> Iterator[Problem]:
    """Check that a choice of one has boxes to choose from (T23)."""
    for blank in template.blanks:
        if blank.one_of and (blank.kind is not BlankKind.CHECK or len(set(blank.one_of)) == 1):
            sentence = f"`one_of` of blank `{blank.id}` is no choice of boxes"
            hint = "write `kind: check` and at least two boxes, or remove the line"
            yield _problem("23", blank.place, sentence, hint)
