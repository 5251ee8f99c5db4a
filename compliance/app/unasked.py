"""What an interview does not ask, taken over from what was known before it."""

from dataclasses import replace

from compliance.facts.model import HeldPaper, Job, Operation


def take_over_unasked(old: Operation | None, new: Operation) -> Operation:
    """Give the new operation with the time zones, first flights, products and own terms of the old.

    A job is the same by its id, a paper by its rule, holder and number.
    """
    if old is None:
        return new
    jobs = {job.id: job for job in old.jobs}
    papers = {_mark(held): held for held in old.papers}
    return replace(
        new,
        time_zone=new.time_zone or old.time_zone,
        products=new.products or old.products,
        jobs=tuple(_take_over_job(jobs.get(job.id), job) for job in new.jobs),
        papers=tuple(
            replace(held, own_terms=held.own_terms or papers[_mark(held)].own_terms)
            if _mark(held) in papers
            else held
            for held in new.papers
        ),
    )


def _mark(held: HeldPaper) -> tuple[object, ...]:
    return held.paper, held.holder, held.number


def _take_over_job(old: Job | None, new: Job) -> Job:
    if old is None:
        return new
    # Products go with the kind of work they were listed for.
    same_work = (old.material, old.restricted_use) == (new.material, new.restricted_use)
    return replace(
        new,
        time_zone=new.time_zone or old.time_zone,
        first_flight=new.first_flight or old.first_flight,
        products=new.products or (old.products if same_work else ()),
    )
