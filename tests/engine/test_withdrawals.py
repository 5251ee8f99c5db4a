"""An entry may be withdrawn unless another that stands rests on it; messages compared whole."""

from dataclasses import replace
from datetime import date

from compliance.base.problems import Problem, SourceRef
from compliance.engine.withdrawals import check_withdrawal
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind

TYPED = SourceRef(file="")
FIRST = LogEntry(
    number=1,
    kind=EventKind.SIGNED,
    paper="own.license",
    holder=Holder(kind=HolderKind.OPERATION),
    happened_on=date(2027, 1, 4),
)


def entry(number: int, kind: EventKind, day: int, withdraws: int | None = None) -> LogEntry:
    return replace(
        FIRST, number=number, kind=kind, happened_on=date(2027, 1, day), withdraws=withdraws
    )


RETURNED = (
    FIRST,
    entry(2, EventKind.MAILED, 5),
    entry(3, EventKind.HEARD, 7),
    entry(4, EventKind.RETURNED, 8),
)
AGAIN = (*RETURNED, entry(5, EventKind.SIGNED, 9), entry(6, EventKind.MAILED, 11))


def check(log: tuple[LogEntry, ...], number: int) -> tuple[tuple[str, str, str], ...]:
    found: tuple[Problem, ...] = check_withdrawal(log, number, TYPED)
    return tuple((one.code, one.sentence, one.hint) for one in found)


def test_an_entry_that_is_gone_or_never_was_is_refused() -> None:
    """Withdrawn already, and not in the log."""
    log = (*RETURNED, entry(5, EventKind.WITHDRAWN, 9, withdraws=1))
    hint = "mailby show lists the log with its numbers"

    assert check(log, 1) == (("L36", "entry 1 is withdrawn already", hint),)
    assert check(log, 9) == (("L36", "entry 9 is not in the log", hint),)


def test_a_mailing_stays_while_what_the_office_did_stands() -> None:
    """What was heard and the return rest on it; the newest is to be withdrawn first."""
    assert check(RETURNED, 2) == (
        (
            "L45",
            (
                "entry 2 (mailed, Tue 5 Jan 2027) cannot be withdrawn while entry 3 (heard, Thu 7 "
                "Jan 2027) and entry 4 (returned, Fri 8 Jan 2027) stand, which rest on it"
            ),
            "withdraw first: mailby log withdraw 4, then mailby log withdraw 3",
        ),
    )


def test_a_return_stays_while_what_was_done_anew_stands() -> None:
    """A second signature and mailing would otherwise be logged twice in one round."""
    assert check(AGAIN, 4) == (
        (
            "L45",
            (
                "entry 4 (returned, Fri 8 Jan 2027) cannot be withdrawn while entry 5 (signed, Sat "
                "9 Jan 2027) and entry 6 (mailed, Mon 11 Jan 2027) stand, which rest on it"
            ),
            "withdraw first: mailby log withdraw 6, then mailby log withdraw 5",
        ),
    )


def test_one_entry_that_rests_is_named_alone() -> None:
    """The sentence agrees with one."""
    assert check((*RETURNED, entry(5, EventKind.WITHDRAWN, 9, withdraws=3)), 2) == (
        (
            "L45",
            (
                "entry 2 (mailed, Tue 5 Jan 2027) cannot be withdrawn while entry 4 (returned, Fri "
                "8 Jan 2027) stands, which rests on it"
            ),
            "withdraw first: mailby log withdraw 4",
        ),
    )


def test_nothing_rests_on_the_last_entry_of_a_round() -> None:
    """The second mailing, the return without work after it, a signature."""
    assert check(AGAIN, 6) == ()
    assert check(RETURNED, 4) == ()
    assert check(RETURNED, 1) == ()


def test_the_return_of_a_first_mailing_does_not_rest_on_the_second() -> None:
    """Only what follows up to the next mailing counts."""
    log = (*AGAIN, entry(7, EventKind.RECEIVED, 11))

    assert [one[1].count("entry 7") for one in check(log, 6)] == [1]
    assert [one[1].count("entry 7") for one in check(log, 2)] == [0]


def test_a_payment_and_another_packet_rest_on_nothing() -> None:
    """A fee may be paid at any time; what happened to another holder is apart."""
    other = replace(entry(5, EventKind.SIGNED, 9), holder=Holder(kind=HolderKind.PILOT, ref="wren"))

    assert check((*RETURNED, entry(6, EventKind.PAID, 9), other), 4) == ()


def test_what_a_file_withdraws_later_counts_as_gone() -> None:
    """A log file may hold the two withdrawals in either order."""
    assert check_withdrawal(RETURNED, 2, TYPED, frozenset({3, 4})) == ()


def test_a_withdrawn_return_frees_its_mailing() -> None:
    """The remedy of the message works."""
    log = (
        *RETURNED,
        entry(5, EventKind.WITHDRAWN, 9, withdraws=4),
        entry(6, EventKind.WITHDRAWN, 9, withdraws=3),
    )

    assert check(log, 2) == ()
