"""Checks of the rules table that look at more than one value; one function, one kind of fault."""

from collections.abc import Callable, Iterator
from datetime import date

from compliance.base.dates import say_date
from compliance.base.problems import Problem, SourceRef
from compliance.base.reading import suggest
from compliance.facts.model import MailService
from compliance.rules.checks_duties import check_duties
from compliance.rules.checks_editions import check_ids
from compliance.rules.checks_parts import (
    can_hold,
    find_alternatives,
    find_circles,
    problem_at,
    say_place,
)
from compliance.rules.checks_records import check_record_rows
from compliance.rules.checks_steps import (
    check_after_return,
    check_comes_back,
    check_events,
    check_fresh_again,
    check_freshness,
    check_notices,
    check_return_paths,
    check_step_circles,
    check_step_days,
    check_step_names,
)
from compliance.rules.model import (
    DocumentRow,
    DutyRow,
    PaperRow,
    Row,
    RulesTable,
    StepRow,
    StepUse,
)
from compliance.rules.parse_parts import is_month_day
from compliance.rules.validity_model import ValidityKind

FIRST_REVIEW_YEAR = 2020
MONTHS_A_YEAR = 12

_STATE_FACTS = ("job.state", "operation.home_state")
_BY_MONTHS = (ValidityKind.MONTHS, ValidityKind.MONTHS_TO_MONTH_END)

Check = Callable[[RulesTable], Iterator[Problem]]


def check_table(table: RulesTable, templates: frozenset[str]) -> tuple[Problem, ...]:
    """Run every check; *templates* are the ids of the forms there are.

    Shape: sorted by place; empty when all is well.
    """
    problems = [problem for check in CHECKS for problem in check(table)]
    problems.extend(check_templates(table, templates))
    return tuple(sorted(problems))


def check_shared_ids(table: RulesTable) -> Iterator[Problem]:
    """No two kinds of row a user can give own values to share an id (R59)."""
    earlier: dict[str, Row] = {}
    for rows in (table.offices, table.services, table.papers, table.steps):
        for row in rows:
            other = earlier.setdefault(row.id, row)
            if row.id and type(other) is not type(row):
                sentence = f"another kind of row has the id `{row.id}` too; "
                sentence += f"first at {say_place(other.place)}"
                hint = "a user's own values name a row by its id; give it another"
                yield problem_at(row.place, "59", sentence, hint)


def check_prefixes(table: RulesTable) -> Iterator[Problem]:
    """Rows of a paper carry the paper's id at the front of their own (R33)."""
    rows: tuple[StepRow | DocumentRow | DutyRow, ...]
    rows = (*table.steps, *table.documents, *table.duties)
    for row in rows:
        if row.paper and not row.id.startswith(f"{row.paper}."):
            sentence = f"`{row.id}` belongs to paper `{row.paper}`, but its id says otherwise"
            hint = f"begin the id with `{row.paper}.`"
            yield problem_at(row.place, "33", sentence, hint)


def check_needs(table: RulesTable) -> Iterator[Problem]:
    """Papers that steps need are there, and no paper needs itself round a corner (R38, R39)."""
    papers = {row.id: row for row in table.papers}
    needs: dict[str, tuple[str, ...]] = dict.fromkeys(papers, ())
    for step in table.steps:
        needs[step.paper] = (*needs.get(step.paper, ()), *step.needs)
        for name in dict.fromkeys(step.needs):
            if name not in papers:
                sentence = f"step `{step.id}` needs `{name}`, which is no paper of the table"
                hint = suggest(name, papers) or "write the id of a paper"
                yield problem_at(step.place, "39", sentence, hint)
    for circle in find_circles(needs):
        sentence = f"papers need one another: {' -> '.join(circle)}"
        hint = "take one of them out of `needs`"
        yield problem_at(papers[circle[0]].place, "38", sentence, hint)


def check_offices(table: RulesTable) -> Iterator[Problem]:
    """The office of a paper is there (R40)."""
    known = tuple(row.id for row in table.offices)
    for paper in table.papers:
        if paper.office not in known:
            sentence = f"paper `{paper.id}` goes to the office `{paper.office}`, "
            sentence += "which is not in the table"
            hint = suggest(paper.office, known) or f"known: {', '.join(known) or 'none'}"
            yield problem_at(paper.place, "40", sentence, hint)


def check_services(table: RulesTable) -> Iterator[Problem]:
    """There is a row for every mail service an operation can choose, and no other (R41)."""
    known = tuple(f"mail.{service}" for service in MailService)
    found = {row.id for row in table.services}
    place = min((row.place for row in table.services), default=SourceRef(file="rules table"))
    for name in known:
        if name not in found:
            sentence = f"there is no row for the mail service `{name}`"
            yield problem_at(place, "41", sentence, f"add one with `id: {name}` under `services`")
    for row in table.services:
        if row.id not in known:
            sentence = f"`{row.id}` is no mail service an operation can choose"
            hint = suggest(row.id, known) or f"known: {', '.join(known)}"
            yield problem_at(row.place, "41", sentence, hint)


def check_instead(table: RulesTable) -> Iterator[Problem]:
    """What is sent instead of a document is another document of the same paper (R73)."""
    for document in table.documents:
        names = [
            other.id.removeprefix(f"{other.paper}.")
            for other in table.documents
            if other.paper == document.paper and other.id != document.id
        ]
        if document.instead and document.instead not in names:
            sentence = f"`instead` of document `{document.id}` names `{document.instead}`, "
            sentence += f"which is no other document of paper `{document.paper}`"
            known = ", ".join(names) or "it has no other"
            hint = suggest(document.instead, names) or f"known here: {known}"
            yield problem_at(document.place, "73", sentence, hint)


def check_templates(table: RulesTable, templates: frozenset[str]) -> Iterator[Problem]:
    """Every document has its form, and every form a document (R42, R43)."""
    for document in table.documents:
        if document.template not in templates:
            sentence = f"document `{document.id}` uses the form `{document.template}`, "
            sentence += "which is not there"
            hint = suggest(document.template, sorted(templates)) or "write the form, or correct it"
            yield problem_at(document.place, "42", sentence, hint)
    for name in sorted(templates - {document.template for document in table.documents}):
        sentence = f"no document uses the form `{name}`"
        hint = "name it as the `template` of a document, or delete the file"
        yield problem_at(SourceRef(file=f"{name}.yaml"), "43", sentence, hint)


def check_reviews(table: RulesTable) -> Iterator[Problem]:
    """Every row was looked at since 2020, and its file says when (R44)."""
    for row in table.rows:
        reviewed = row.basis.reviewed_on
        if reviewed.year >= FIRST_REVIEW_YEAR:
            continue
        sentence = f"`{row.id}` was last reviewed on {say_date(reviewed)}"
        if reviewed == date.min:
            sentence = f"`{row.id}` has no day of last review"
        hint = "look the rule up again, then write that day as `reviewed`"
        yield problem_at(row.place, "44", sentence, hint)


def check_states(table: RulesTable) -> Iterator[Problem]:
    """A state that a file claims to cover has a paper of its own (R45)."""
    named = {
        value
        for paper in table.papers
        for alternative in find_alternatives(paper.when)
        if can_hold(alternative)
        for test in alternative
        if test.fact in _STATE_FACTS and test.comparison == "is"
        for value in test.values
    }
    for code in dict.fromkeys(table.states):
        if code not in named:
            sentence = f"{code} stands under `states`, but no paper is for {code}"
            hint = f"add a paper with the condition `job.state: {code}`, or take {code} out"
            yield problem_at(SourceRef(file=f"{code.lower()}.yaml"), "45", sentence, hint)


def check_conditions(table: RulesTable) -> Iterator[Problem]:
    """Every row's condition can hold for somebody (R46)."""
    for row in table.rows:
        if not any(can_hold(alternative) for alternative in find_alternatives(row.when)):
            sentence = f"the condition of `{row.id}` can never hold"
            hint = "look for two lines that shut each other out, or an `any` with nothing in it"
            yield problem_at(row.place, "46", sentence, hint)


def check_validity(table: RulesTable) -> Iterator[Problem]:
    """A paper's last day can be counted, and its renewal opens within its life (R50)."""
    for paper in table.papers:
        validity, renewal = paper.validity, paper.renewal
        life = 0
        if validity.kind in _BY_MONTHS:
            life = validity.months
            if life < 1:
                sentence = f"paper `{paper.id}` is valid for {life} months"
                yield problem_at(paper.place, "50", sentence, "write the number of months")
        if validity.kind is ValidityKind.FIXED_DAY:
            life = validity.years * MONTHS_A_YEAR
            if not is_month_day(validity.month_day):
                sentence = f"paper `{paper.id}` ends on a day of the year, but none is written"
                yield problem_at(paper.place, "50", sentence, "add `day: MM-DD` to `validity`")
        if renewal is not None and life and renewal.opens_months > life:
            sentence = f"renewal of paper `{paper.id}` opens {renewal.opens_months} months before "
            sentence += f"its last day, but it lives only {life}"
            yield problem_at(paper.place, "50", sentence, "correct `opens_months` or `validity`")


def check_renewals(table: RulesTable) -> Iterator[Problem]:
    """Only papers that end are renewed; one that ends says how, or why not (R55, R56)."""
    for paper in table.papers:
        kind = paper.validity.kind
        if kind is ValidityKind.OPEN_ENDED and paper.renewal is not None:
            sentence = f"paper `{paper.id}` does not end, but has a `renewal`"
            hint = "remove `renewal`, or correct `validity`"
            yield problem_at(paper.place, "55", sentence, hint)
        counted = kind in _BY_MONTHS or kind is ValidityKind.FIXED_DAY
        if counted and paper.renewal is None and not (paper.notes or paper.basis.note):
            sentence = f"paper `{paper.id}` ends, but nothing says how it is renewed"
            hint = "add `renewal`, or a line under `notes` that says why there is none"
            yield problem_at(paper.place, "56", sentence, hint)


def check_packets(table: RulesTable) -> Iterator[Problem]:
    """A paper has steps for its first packet and, if it ends, for its renewal (R54)."""
    for paper in table.papers:
        if not any(step.paper == paper.id for step in table.steps):
            sentence = f"paper `{paper.id}` has no steps"
            yield problem_at(paper.place, "54", sentence, "add `pattern` or `steps`")
            continue
        for use in _packets_of(paper):
            fitting = (StepUse.BOTH, use)
            if not any(step.paper == paper.id and step.use in fitting for step in table.steps):
                sentence = f"paper `{paper.id}` has no step for its {use} packet"
                hint = f"write `use: {use}` or `use: both` at a step"
                yield problem_at(paper.place, "54", sentence, hint)


def _packets_of(paper: PaperRow) -> tuple[StepUse, ...]:
    if paper.validity.kind is ValidityKind.OPEN_ENDED:
        return (StepUse.FIRST,)
    return (StepUse.FIRST, StepUse.RENEWAL)


def check_no_replacing(table: RulesTable) -> Iterator[Problem]:
    """Only rows of packs replace others (R94)."""
    for row in table.rows:
        keeps = isinstance(row, PaperRow) and row.keeps
        if (row.replaces or row.because or keeps) and not row.pack:
            words = "`replaces` or `because`" if row.replaces or row.because else "`keeps`"
            sentence = f"`{row.id}` says {words} in a file that is no pack"
            hint = "change the row itself, or add the file with `mailby rules add`"
            yield problem_at(row.place, "94", sentence, hint)


CHECKS: tuple[Check, ...] = (
    check_ids,
    check_shared_ids,
    check_prefixes,
    check_needs,
    check_offices,
    check_services,
    check_reviews,
    check_states,
    check_conditions,
    check_validity,
    check_renewals,
    check_packets,
    check_instead,
    check_step_names,
    check_return_paths,
    check_comes_back,
    check_step_circles,
    check_notices,
    check_after_return,
    check_freshness,
    check_fresh_again,
    check_events,
    check_step_days,
    check_duties,
    check_record_rows,
    check_no_replacing,
)
