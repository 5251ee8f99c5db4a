"""What is unusual about a flight that was flown: its product, its label, the papers of that day."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date

from compliance.app.planning import Planned
from compliance.base.dates import say_date
from compliance.base.reading import suggest
from compliance.engine.in_force import PaperStanding, compute_job_standing
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.log import LogEntry
from compliance.facts.model import Job, Material, Operation
from compliance.facts.products import (
    LABEL_BARS,
    LABEL_UNREAD,
    NOT_TO_BE_FLOWN,
    READ_THE_LABEL,
    ByAir,
)
from compliance.facts.records import Application
from compliance.outputs.go_text import say_standing
from compliance.rules.model import RulesTable


def list_remarks(planned: Planned, event: JobEvent) -> tuple[str, ...]:
    """Say what is unusual about a logged flight; it is kept all the same, since it is the truth."""
    operation = planned.plan.operation
    job = next((one for one in operation.jobs if one.id == event.job), None)
    if job is None:
        return ()
    product = operation.name_product(event.product) if event.product else None
    said: list[str] = []
    if product is not None and product.by_air is ByAir.NO:
        said.append(f"{product.name}: {LABEL_BARS}; {NOT_TO_BE_FLOWN}")
    elif product is not None and product.by_air is ByAir.UNKNOWN and _is_pesticide(job):
        said.append(f"{product.name}: {LABEL_UNREAD}; {READ_THE_LABEL}")
    if event.product:
        said.extend(list_product_remarks(operation, job, (event.product,)))
    lapsed = find_lapsed(operation, planned.table, planned.log, job, event)
    said.extend(say_lapsed(operation, lapsed, event.on))
    return tuple(said)


def _is_pesticide(job: Job) -> bool:
    return job.material is Material.PESTICIDE


def say_taken(event: JobEvent) -> str:
    """Say that the restricted-entry interval was taken from the file."""
    return (
        f"re-entry after {event.re_entry_hours} hours is taken from your file; if the label says "
        f"otherwise, `mailby log withdraw-event {event.number}` and log it with --re-entry HOURS"
    )


def list_product_remarks(operation: Operation, job: Job, names: Iterable[str]) -> Iterator[str]:
    """Say which products are not of the file, or not of the job; a file may have none at all."""
    listed = {one.id for name in job.products if (one := operation.find_product(name))}
    for name in names:
        known = operation.name_product(name)
        if known is None and operation.products:
            yield (
                f"{name} is no product of your file, so nobody said what its label says of the air "
                f"({_hint(operation, name)})"
            )
        elif known is not None and listed and known.id not in listed:
            yield f"{job.id} does not list the product {known.name}"


def _hint(operation: Operation, name: str) -> str:
    words = [word for one in operation.products for word in (one.id, one.name)]
    return suggest(name, words) or "read its label, and add it under `products:` if you use it"


def find_lapsed(
    operation: Operation,
    table: RulesTable,
    log: tuple[LogEntry, ...],
    job: Job,
    flight: JobEvent,
) -> tuple[PaperStanding, ...]:
    """Find the papers that were not in force on the day of a flight, for who and what flew."""
    machines = (flight.aircraft,) if flight.aircraft else job.aircraft
    people = (flight.pilot,) if flight.pilot else job.pilots
    own = replace(job, aircraft=machines, pilots=people)
    standing = compute_job_standing(operation, table, log, own, flight.on)
    return tuple(paper for paper in standing.papers if paper.grounds)


def say_lapsed(operation: Operation, lapsed: tuple[PaperStanding, ...], on: date) -> Iterator[str]:
    """Say which papers were not in force on the day of a flight, and what to do."""
    if lapsed:
        named = "; ".join(say_standing(operation, paper) for paper in lapsed)
        yield (
            f"not in force on {say_date(on)}: {named}. Ask the agency or a lawyer what this means, "
            "and do not fly so again; if it was in force, write it under `papers:` in your file, "
            "with its days, and load that again"
        )


def say_papers_then(
    operation: Operation, table: RulesTable, log: tuple[LogEntry, ...], record: Application
) -> Iterator[str]:
    """Say which papers were not in force on the day of a record; nothing of a job that is gone."""
    job = next((one for one in operation.jobs if one.id == record.job), None)
    if job is not None:
        flight = JobEvent(
            number=0,
            kind=JobEventKind.FLEW,
            on=record.on,
            aircraft=record.aircraft,
            pilot=record.pilot,
        )
        lapsed = find_lapsed(operation, table, log, job, flight)
        yield from say_lapsed(operation, lapsed, record.on)
