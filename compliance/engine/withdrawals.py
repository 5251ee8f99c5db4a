"""Whether a log entry may be withdrawn: nothing that still stands may rest on it."""

from compliance.base.dates import say_date
from compliance.base.problems import Problem, SourceRef
from compliance.facts.log import EventKind, LogEntry, find_standing

_REST_ON_MAILING = frozenset(
    {EventKind.RECEIVED, EventKind.HEARD, EventKind.RETURNED, EventKind.GRANTED}
)


def check_withdrawal(
    log: tuple[LogEntry, ...],
    number: int,
    place: SourceRef,
    gone: frozenset[int] = frozenset(),
) -> tuple[Problem, ...]:
    """Check that an entry to be withdrawn is there, stands, and that nothing rests on it.

    *gone* are numbers of entries that are withdrawn later on, so that they count as gone already.
    Codes L36 and L45.
    """
    standing = {entry.number: entry for entry in find_standing(log)}
    if number not in standing:
        known = any(entry.number == number for entry in log)
        sentence = f"entry {number} {'is withdrawn already' if known else 'is not in the log'}"
        hint = "mailby show lists the log with its numbers"
        return (Problem(place=place, code="L36", sentence=sentence, hint=hint),)
    resting = [one for one in find_resting(log, standing[number]) if one.number not in gone]
    if not resting:
        return ()
    names = " and ".join(_say(one) for one in resting)
    sentence = (
        f"{_say(standing[number])} cannot be withdrawn while {names} "
        f"{'stands' if len(resting) == 1 else 'stand'}, which {_say_rests(len(resting))} on it"
    )
    newest = sorted((one.number for one in resting), reverse=True)
    hint = f"withdraw first: {', then '.join(f'mailby log withdraw {one}' for one in newest)}"
    return (Problem(place=place, code="L45", sentence=sentence, hint=hint),)


def find_resting(log: tuple[LogEntry, ...], entry: LogEntry) -> tuple[LogEntry, ...]:
    """Find the standing entries of the same packet that mean nothing without *entry*.

    Shape: by day and number. On a mailing rests what came from the office up to the next mailing;
    on a return rests everything done anew after it, payments left out.
    """
    own = [
        one for one in find_standing(log) if (one.paper, one.holder) == (entry.paper, entry.holder)
    ]
    after = own[own.index(entry) + 1 :]
    if entry.kind is EventKind.RETURNED:
        return tuple(one for one in after if one.kind is not EventKind.PAID)
    if entry.kind is not EventKind.MAILED:
        return ()
    again = [at for at, one in enumerate(after) if one.kind is EventKind.MAILED]
    until = again[0] if again else len(after)
    return tuple(one for one in after[:until] if one.kind in _REST_ON_MAILING)


def _say(entry: LogEntry) -> str:
    return f"entry {entry.number} ({entry.kind}, {say_date(entry.happened_on)})"


def _say_rests(count: int) -> str:
    return "rests" if count == 1 else "rest"
