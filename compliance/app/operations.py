"""Operations that are known: choose one, with its log, and one of its jobs."""

from compliance.base.problems import NotFoundError
from compliance.base.reading import suggest
from compliance.facts.log import LogEntry
from compliance.facts.model import Job, Operation
from compliance.store.reading import Readable, say_database
from compliance.store.records import load_log
from compliance.store.repository import load_operation, load_operation_ids


def choose_operation(session: Readable, wanted: str | None) -> Operation:
    """Load the operation asked for; without a wish, the only one there is.

    Raises:
        NotFoundError: There is none, there are several and none was named, or no such one.
    """
    known = load_operation_ids(session)
    if not known:
        raise NotFoundError(
            f"no operation is known yet in {say_database(session)}",
            hint="mailby setup asks for it, mailby load FILE reads one, mailby demo shows one",
        )
    if wanted is None and len(known) > 1:
        raise NotFoundError(
            f"the database holds {len(known)} operations",
            hint=f"name one with --operation: {', '.join(known[:20])}",
        )
    chosen = known[0] if wanted is None else wanted
    operation = load_operation(session, chosen)
    if operation is None:
        hint = suggest(chosen, known) or f"known: {', '.join(known[:20])}"
        raise NotFoundError(f"no operation is called {chosen!r}", hint=hint)
    return operation


def load_with_log(session: Readable, wanted: str | None) -> tuple[Operation, tuple[LogEntry, ...]]:
    """Load an operation and its log; see :func:`choose_operation`."""
    operation = choose_operation(session, wanted)
    return operation, load_log(session, operation.id)


def check_job(operation: Operation, name: str) -> Job | None:
    """Find a job by its name; no name gives None.

    Raises:
        NotFoundError: No job is called so.
    """
    if not name:
        return None
    jobs = {job.id: job for job in operation.jobs}
    if name not in jobs:
        hint = suggest(name, jobs) or f"known: {', '.join(jobs) or 'none'}"
        raise NotFoundError(f"no job is called {name!r}", hint=hint)
    return jobs[name]
