"""Reasons of an explanation as values, and the words that all of them use."""

from dataclasses import dataclass
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.plan_model import Plan, StepPlan
from compliance.facts.basis import NONE_READ, WORDS_OF_CONFIDENCE
from compliance.facts.model import MailService
from compliance.rules.model import CalendarName, Row

CALENDAR_WORDS = {
    CalendarName.EVERY_DAY: "calendar day",
    CalendarName.FEDERAL: "federal business day",
    CalendarName.POSTAL: "postal day",
    CalendarName.BANK: "banking day",
    CalendarName.FIELD: "day somebody can leave the field",
    CalendarName.NOTARY: "notary day",
    CalendarName.POST_OFFICE: "post-office day",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One line of an explanation, with the row it rests on.

    ``step_id`` and ``day`` are set for lines about dates, so that they can be replayed.
    """

    text: str
    source: str = ""
    step_id: str = ""
    day: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """An answer in one sentence and the reasons for it under headings, shortest first."""

    answer: str
    sections: tuple[tuple[str, tuple[Reason, ...]], ...]


def say_source(row: Row, *, several: bool = False) -> str:
    """Give a row's citation, edition and confidence in one line; of several, its days in force."""
    basis = row.basis
    words = WORDS_OF_CONFIDENCE[basis.confidence]
    force = f"; {say_in_force(row)}" if several else ""
    if basis.citation == words:
        return f"{row.id}: {words}{force}"
    edition = "" if basis.edition == NONE_READ else f"; edition: {basis.edition}"
    return f"{row.id}: {basis.citation}{edition}; {words}{force}"


def say_in_force(row: Row) -> str:
    """Say which of several editions of a row this is: by its first day, and its last when known."""
    first, last = row.applies_from, row.applies_until
    if first is None:
        return f"the edition in force through {say_date(last)}" if last else "the only edition"
    end = f" through {say_date(last)}" if last is not None else ""
    return f"the edition in force from {say_date(first)}{end}"


def say_lead(days: int, calendar: CalendarName) -> str:
    """Write a number of counted days with the name of what is counted."""
    name = CALENDAR_WORDS[calendar]
    return f"1 {name}" if days == 1 else f"{days} {name.replace('day', 'days', 1)}"


def say_step_lead(plan: Plan, step: StepPlan, days: int, calendar: CalendarName) -> str:
    """Write the counted days of a step of a plan, and by which mail service it goes if it does.

    A round that was sent off goes as it was sent; what an office sends goes by first-class mail.
    """
    lead, paper = say_lead(days, calendar), plan.find_paper(step.id.partition("/")[0])
    if not step.row.mail or paper is None:
        return lead
    service = MailService.FIRST_CLASS
    if step.row.mail == "out":
        sent = paper.packet.progress.services
        service = sent.get(step.turn, plan.operation.mail_service)
    return f"{lead} by {service}"


def source_of(plan: Plan, step: StepPlan, row: Row) -> str:
    """Give the source of a row of a step, and which of several editions it is."""
    paper = plan.find_paper(step.id.partition("/")[0])
    return say_source(row, several=paper is not None and paper.packet.has_several(row))
