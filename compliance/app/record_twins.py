"""Two records of one application: found, and said."""

from collections.abc import Iterable, Sequence

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


def find_twins(records: Sequence[Application]) -> dict[int, int]:
    """Find the records that tell of the same application as one before them.

    Shape: by the number of each such record, the number of the first that tells of it.
    """
    first: dict[tuple[object, ...], int] = {}
    found = {}
    for one in records:
        number = first.setdefault(mark_record(one), one.number)
        if number != one.number:
            found[one.number] = number
    return found


def say_twin(raw: RawRecord, record: Application, other: str, number: int | None = None) -> Problem:
    """Say that a record is there already (W37); *number* is that of one that is kept."""
    return Problem(
        place=raw.place,
        code=f"{FAMILY}37",
        sentence=f"{raw.what} tells of the same application as {other}",
        hint=_say_mend(record.start, number),
    )


def _say_mend(start: str, number: int | None) -> str:
    """Say what to do; two records of one application begin at the same time, or say no time."""
    if not start:
        mend = "keep one of them" if number is None else f"correct that one with --correct {number}"
        return f"{mend}, or give the start of each if they are two"
    if number is None:
        return (
            f"both begin at {start}: remove one of the two if it is the same work twice; if it is "
            "not, give each its own start"
        )
    return (
        f"both begin at {start}: if it is the same work, leave this one out or correct that one "
        f"with --correct {number}; if it is not, give this one its own start"
    )
