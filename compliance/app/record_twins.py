"""Two records of one application: found, and said."""

from collections.abc import Iterable

from compliance.base.problems import Problem
from compliance.facts.record_raw import FAMILY, RawRecord
from compliance.facts.records import Application


def find_twin(record: Application, others: Iterable[Application]) -> Application | None:
    """Find a record of another number that stands and tells of the same application."""
    standing = {one.number: one for one in sorted(others, key=lambda one: one.version)}
    mark = mark_record(record)
    return next(
        (
            one
            for one in standing.values()
            if one.number != record.number and mark_record(one) == mark
        ),
        None,
    )


def mark_record(record: Application) -> tuple[object, ...]:
    """Give what makes two records tell of the same application."""
    products = tuple(sorted(one.name.casefold() for one in record.products))
    place = record.find("place").casefold()
    return (record.job, record.on, record.start, record.aircraft, record.pilot, products, place)


def say_twin(raw: RawRecord, other: str, number: int | None = None) -> Problem:
    """Say that a record is there already (W37); *number* is that of one that is kept."""
    mend = f"correct that one with --correct {number}" if number is not None else "keep one of them"
    return Problem(
        place=raw.place,
        code=f"{FAMILY}37",
        sentence=f"{raw.what} tells of the same application as {other}",
        hint=f"{mend}, or give the start of each if they are two",
    )
