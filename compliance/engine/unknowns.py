"""What nobody knows of the jobs to come: rules of a state, labels unread, rules long not read."""

from collections.abc import Iterator
from datetime import date

from compliance.engine.applies import find_subjects, row_holds_for
from compliance.engine.reviews import find_old_reviews
from compliance.facts.model import Job, Material, Operation
from compliance.facts.products import LABEL_UNREAD, READ_THE_LABEL, ByAir, Product
from compliance.facts.states import STATES
from compliance.facts.zones import say_first_flight_faults
from compliance.rules.model import GapRow, RulesTable


def find_unknowns(operation: Operation, table: RulesTable, as_of: date) -> Iterator[str]:
    """Say what nobody knows of jobs that are not over: rules of their states, labels, clocks."""
    missing = dict.fromkeys(job.state for job in operation.jobs if job.state not in table.states)
    for code in missing:
        yield (
            f"no rule for {STATES[code]}: only federal papers are planned there; "
            f"ask the state's agriculture and aviation offices which licenses apply"
        )
    yield from _find_gaps(operation, table, as_of)
    yield from _find_unread_labels(operation, as_of)
    for job in operation.jobs:
        if job.last_day >= as_of:
            yield from say_first_flight_faults(operation, job, as_of)
    yield from find_plan_reviews(operation, table, as_of)


def find_plan_reviews(operation: Operation, table: RulesTable, as_of: date) -> tuple[str, ...]:
    """Say which rules that matter to jobs not over nobody has looked at for too long."""
    states = dict.fromkeys(job.state for job in operation.jobs if job.last_day >= as_of)
    return find_old_reviews(table, tuple(states), as_of)


def _find_unread_labels(operation: Operation, as_of: date) -> Iterator[str]:
    """Name products of jobs of which nobody has said what their label says of the air."""
    for job in operation.jobs:
        if job.last_day >= as_of:
            for product in find_unread(operation, job):
                yield f"{job.id} names {product.name}, but {LABEL_UNREAD}: {READ_THE_LABEL}"


def find_unread(operation: Operation, job: Job) -> Iterator[Product]:
    """Find the products of a job of which nobody has said what their label says of the air."""
    if job.material is not Material.PESTICIDE:
        return
    for product in map(operation.find_product, job.products):
        if product is not None and product.by_air is ByAir.UNKNOWN:
            yield product


def _find_gaps(operation: Operation, table: RulesTable, as_of: date) -> Iterator[str]:
    """Say once a state what the table has no rule for, each with what to ask."""
    states = dict.fromkeys(job.state for job in operation.jobs if job.last_day >= as_of)
    for state in states:
        gaps = [row for row in table.gaps if row.state == state and row.in_force_on(as_of)]
        gaps = [row for row in gaps if _may_matter(row, operation, state)]
        if gaps:
            asked = "; ".join(row.what for row in gaps)
            yield f"mailby has no rule for this in {STATES[state]}, ask the agency: {asked}"


def _may_matter(row: GapRow, operation: Operation, state: str) -> bool:
    jobs = [job for job in operation.jobs if job.state == state]
    subjects = [one for job in jobs for one in find_subjects(operation, job)]
    return not subjects or row_holds_for(row, tuple(subjects))
