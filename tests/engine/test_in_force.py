"""Whether a job is in order on a day: invented papers over invented jobs.

What a filing in time does is the row's to say (for example 5 USC 558(c) and state license acts);
here only what the program makes of such a row is checked.
"""

from collections.abc import Callable
from datetime import date

import pytest

from compliance.engine.in_force import (
    Answer,
    JobStanding,
    Standing,
    compute_job_standing,
)
from compliance.engine.plan import compute_plan
from compliance.engine.timely_filing import find_timely_filing
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.rules.model import RulesTable
from tests.engine.kit_license import write_license

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]

PAPER = write_license(
    "{kind: months, months: 12}",
    "{opens_months: 2, renew_by: 10 days before, carries_over: @carries}",
)
PILOTS = PAPER.replace("own.license", "own.card").replace("holder: operation", "holder: pilot")


def rules(make_table: MakeTable, paper: str = PAPER, *, carries: str = "yes") -> RulesTable:
    return make_table(paper.replace("@carries", carries))


def held(*lines: str) -> str:
    return "papers:\n" + "".join(f"  - {{paper: own.license, {line}}}\n" for line in lines)


def stand(
    operation: Operation, table: RulesTable, on: date, log: tuple[LogEntry, ...] = ()
) -> JobStanding:
    return compute_job_standing(operation, table, log, operation.jobs[0], on)


FIRST, LAST = date(2027, 5, 24), date(2027, 6, 12)


@pytest.mark.parametrize(
    ("lines", "answer", "standing", "through"),
    [
        ((), Answer.NO_GO, Standing.NOT_HELD, None),
        (("issued_on: 2026-06-12",), Answer.GO, Standing.IN_FORCE, LAST),
        (
            ("issued_on: 2026-06-11",),
            Answer.GO_FOR_NOW,
            Standing.ENDS_IN_JOB,
            date(2027, 6, 11),
        ),
        (("issued_on: 2026-05-24",), Answer.GO_FOR_NOW, Standing.ENDS_IN_JOB, FIRST),
        (("issued_on: 2026-05-23",), Answer.NO_GO, Standing.LAPSED, date(2027, 5, 23)),
        (("issued_on: 2027-05-24",), Answer.GO, Standing.IN_FORCE, date(2028, 5, 24)),
        (("issued_on: 2027-05-25",), Answer.NO_GO, Standing.NOT_YET, date(2028, 5, 25)),
        (("number: A1",), Answer.NO_GO, Standing.END_UNKNOWN, None),
        (("valid_through: open",), Answer.NO_GO, Standing.END_UNKNOWN, None),
        (("valid_through: 2027-06-12",), Answer.GO, Standing.IN_FORCE, LAST),
        # One after another without a day between, and with one.
        (
            ("issued_on: 2026-06-01", "issued_on: 2027-06-02"),
            Answer.GO,
            Standing.IN_FORCE,
            date(2028, 6, 2),
        ),
        (
            ("issued_on: 2026-06-01", "issued_on: 2027-06-03"),
            Answer.GO_FOR_NOW,
            Standing.ENDS_IN_JOB,
            date(2027, 6, 1),
        ),
        # What ran out and what is to come leave the day bare.
        (
            ("issued_on: 2026-05-01", "issued_on: 2027-05-25"),
            Answer.NO_GO,
            Standing.LAPSED,
            date(2027, 5, 1),
        ),
        # A paper whose end nobody wrote down takes nothing from one that is good.
        (("issued_on: 2026-06-12", "number: A2"), Answer.GO, Standing.IN_FORCE, LAST),
    ],
)
def test_paper_on_the_first_day_of_a_job(
    make_table: MakeTable,
    make_operation: MakeOperation,
    lines: tuple[str, ...],
    answer: Answer,
    standing: Standing,
    through: date | None,
) -> None:
    operation = make_operation(more=held(*(f"holder: operation, {one}" for one in lines)))

    found = stand(operation, rules(make_table), FIRST)

    assert found.answer is answer
    assert [(one.standing, one.through) for one in found.papers] == [(standing, through)]


def test_first_end_is_told_unless_something_is_missing(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    table = rules(make_table)
    good = make_operation(more=held("holder: operation, issued_on: 2027-01-05"))

    assert stand(good, table, FIRST).ends_on == date(2028, 1, 5)
    assert stand(make_operation(), table, FIRST).ends_on is None


SENT = "- {kind: mailed, paper: own.license, holder: operation, on: @day}\n"
RECEIVED = SENT.replace("mailed", "received")
GRANTED = SENT.replace("mailed", "granted")
HELD = "holder: operation, issued_on: 2026-05-23"  # through 23 May 2027; renew by 13 May


@pytest.mark.parametrize(
    ("entries", "standing"),
    [
        ([], Standing.LAPSED),
        # The office counts receipt; the last day to file is inclusive.
        ([(SENT, "2027-05-01")], Standing.LAPSED),
        ([(SENT, "2027-05-01"), (RECEIVED, "2027-05-13")], Standing.KEPT_ALIVE),
        ([(SENT, "2027-05-01"), (RECEIVED, "2027-05-14")], Standing.LAPSED),
        # What came back was not filed; filed again in time it is.
        (
            [(RECEIVED, "2027-05-03"), (SENT.replace("mailed", "returned"), "2027-05-08")],
            Standing.LAPSED,
        ),
        (
            [
                (RECEIVED, "2027-05-03"),
                (SENT.replace("mailed", "returned"), "2027-05-08"),
                (RECEIVED, "2027-05-12"),
            ],
            Standing.KEPT_ALIVE,
        ),
        # What is logged for later days does not count yet.
        ([(RECEIVED, "2027-05-13"), (SENT.replace("mailed", "returned"), "2027-05-25")], None),
    ],
)
def test_renewal_filed_in_time(
    make_table: MakeTable,
    make_operation: MakeOperation,
    make_log: MakeLog,
    entries: list[tuple[str, str]],
    standing: Standing | None,
) -> None:
    """Only where the row says so, only by its last day, as its office counts, and not sent back."""
    operation = make_operation(more=held(HELD))
    text = "".join(
        entry.replace("@day", day).replace("returned,", 'returned, reason: "blank",')
        for entry, day in entries
    )
    log = make_log(operation, text) if text else ()

    (kept,) = stand(operation, rules(make_table), FIRST, log).papers
    (bare,) = stand(operation, rules(make_table, carries="no"), FIRST, log).papers

    assert kept.standing is (standing or Standing.KEPT_ALIVE)
    assert kept.file_by == date(2027, 5, 13)
    assert (bare.standing, bare.filed_on, bare.file_by) == (Standing.LAPSED, None, None)


def test_kept_alive_is_go_for_now_and_ends_with_the_answer(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> None:
    operation = make_operation(more=held(HELD, "holder: operation, number: A2"))
    filed = RECEIVED.replace("@day", "2027-05-13")
    granted = SENT.replace("mailed", "granted").replace("@day", "2027-06-01")
    log = make_log(operation, filed + granted)
    table = rules(make_table)

    waiting, decided = stand(operation, table, FIRST, log), stand(operation, table, LAST, log)

    assert (waiting.answer, waiting.ends_on) == (Answer.GO_FOR_NOW, None)
    assert waiting.papers[0].filed_on == date(2027, 5, 13)
    assert (decided.answer, decided.papers[0].standing) == (Answer.GO, Standing.IN_FORCE)


@pytest.mark.parametrize(
    ("entries", "bare"),
    [
        ((), True),
        (((RECEIVED, "2027-05-13"),), False),
        (((RECEIVED, "2027-05-14"),), True),
        # The filing of the round before led to the paper in hand, and keeps nothing alive.
        (((RECEIVED, "2026-05-01"), (GRANTED, "2026-05-23")), True),
    ],
)
def test_days_before_the_next_paper_are_bare_unless_the_old_one_is_kept_alive(
    make_table: MakeTable,
    make_operation: MakeOperation,
    make_log: MakeLog,
    entries: tuple[tuple[str, str], ...],
    *,
    bare: bool,
) -> None:
    """The plan says the same as `go` of 24 May, the day after the old paper ended."""
    operation = make_operation(more=held(HELD, "holder: operation, issued_on: 2027-05-28"))
    text = "".join(entry.replace("@day", day) for entry, day in entries)
    log, table = make_log(operation, text) if text else (), rules(make_table)

    (job,) = compute_plan(operation, table, log, FIRST).jobs

    assert (stand(operation, table, FIRST, log).answer is Answer.NO_GO) is bare
    assert job.first_lawful_day == (date(2027, 5, 28) if bare else FIRST)


def test_filing_counts_where_no_office_is_known_only_when_received(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> None:
    operation = make_operation(more=held(HELD))
    log = make_log(operation, SENT.replace("@day", "2027-05-01"))
    (paper,) = rules(make_table).papers

    assert find_timely_filing(paper, None, log, date(2027, 5, 23)) is None


def test_grant_of_the_paper_written_down_twice_is_counted_once(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> None:
    """A grant in the log and the same paper in the file are one paper, not a paper and a renewal.

    The count from the old last day is that of 14 CFR 48.100(c)(2).
    """
    table = make_table(
        PAPER.replace("months: 12}", "months: 12, renewal_from_expiry: yes}").replace(
            "@carries", "no"
        )
    )
    operation = make_operation(more=held("holder: operation, number: A1, issued_on: 2027-01-05"))
    log = make_log(
        operation,
        "- {kind: granted, paper: own.license, holder: operation, on: 2027-01-09, "
        "number: A1, issued_on: 2027-01-05}\n",
    )

    (paper,) = stand(operation, table, FIRST, log).papers

    assert paper.through == date(2028, 1, 5)


def test_renewal_counts_from_the_last_day_before_it(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> None:
    """14 CFR 48.100(c)(2): the new term runs from the old last day, the last one known."""
    table = make_table(
        PAPER.replace("months: 12}", "months: 12, renewal_from_expiry: yes}").replace(
            "@carries", "no"
        )
    )
    operation = make_operation(
        more=held("holder: operation, issued_on: 2026-07-01", "holder: operation, number: A2")
    )
    log = make_log(
        operation, "- {kind: granted, paper: own.license, holder: operation, on: 2027-05-20}\n"
    )

    (paper,) = stand(operation, table, FIRST, log).papers

    assert paper.through == date(2028, 7, 1)


def test_pairings_say_who_may_fly_all_the_same(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    job = (
        "- {id: pasture, first_day: 2027-05-24, last_day: 2027-06-12, state: NE, for_hire: yes, "
        "restricted_use: no, aircraft: [tg46, tg18], pilots: [odile, wren]}"
    )
    more = "papers:\n  - {paper: own.card, holder: wren, issued_on: 2027-01-05}\n"
    operation = make_operation(job, more=more)

    found = stand(operation, rules(make_table, PILOTS), FIRST)

    assert found.answer is Answer.NO_GO
    assert [(one.aircraft, one.pilot, str(one.answer)) for one in found.pairings] == [
        ("tg46", "odile", "NO-GO"),
        ("tg46", "wren", "GO"),
        ("tg18", "odile", "NO-GO"),
        ("tg18", "wren", "GO"),
    ]


def test_single_pair_and_a_go_have_no_pairings(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    assert stand(make_operation(), rules(make_table), FIRST).pairings == ()


def test_gravest_paper_comes_first_then_the_one_that_ends_first(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    names = ("a", "b", "c", "d")
    table = make_table(
        "".join(PAPER.replace("own.license", f"own.{one}") for one in names).replace(
            "@carries", "no"
        )
    )
    more = (
        "papers:\n"
        "  - {paper: own.a, holder: operation, valid_through: 2028-01-01}\n"
        "  - {paper: own.b, holder: operation, valid_through: 2027-12-01}\n"
        "  - {paper: own.c, holder: operation, valid_through: 2027-03-01}\n"
    )

    found = stand(make_operation(more=more), table, FIRST)

    assert [one.paper.id for one in found.papers] == ["own.d", "own.c", "own.b", "own.a"]


def test_state_without_rules_is_told(make_table: MakeTable, make_operation: MakeOperation) -> None:
    job = (
        "- {id: far, first_day: 2027-05-24, last_day: 2027-06-12, state: WY, for_hire: yes, "
        "restricted_use: no, aircraft: tg46, pilots: wren}"
    )
    more = held("holder: operation, issued_on: 2027-01-05")

    found = stand(make_operation(job, more=more), rules(make_table), FIRST)

    assert (found.answer, found.state_known) == (Answer.GO, False)
    (told,) = found.unknown
    assert told == (
        "no rule for Wyoming: only federal papers are planned there; ask the state's agriculture "
        "and aviation offices which licenses apply"
    )


@pytest.mark.parametrize(
    ("issued", "last"),
    [("2024-02-29", date(2025, 2, 28)), ("2023-02-28", date(2024, 2, 28))],
)
def test_leap_day_and_the_end_of_february(
    make_table: MakeTable, make_operation: MakeOperation, issued: str, last: date
) -> None:
    """Twelve months from 29 February end on the 28th (python-dateutil's relativedelta)."""
    operation = make_operation(more=held(f"holder: operation, issued_on: {issued}"))
    table = rules(make_table)

    (on_last,) = stand(operation, table, last).papers
    (after,) = stand(operation, table, date.fromordinal(last.toordinal() + 1)).papers

    assert (on_last.standing, after.standing) == (Standing.ENDS_IN_JOB, Standing.LAPSED)


def test_paper_that_follows_keeps_its_own_number(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> None:
    """A grant without a number follows the paper in the file without a day between."""
    operation = make_operation(more=held("holder: operation, number: A1, issued_on: 2026-05-30"))
    granted = SENT.replace("mailed", "granted").replace("@day", "2027-05-20")
    log = make_log(operation, granted.replace("}", ", issued_on: 2027-05-31}"))
    table = rules(make_table)

    (before,) = stand(operation, table, FIRST, log).papers
    (after,) = stand(operation, table, LAST, log).papers

    assert before.held is not None
    assert before.follower is not None
    assert (before.held.number, before.held_through) == ("A1", date(2027, 5, 30))
    assert (before.follower.number, before.through) == ("", date(2028, 5, 31))
    assert after.held is not None
    assert (after.held.number, after.follower, after.numbered) == ("", None, True)


@pytest.mark.parametrize(
    ("entries", "on", "missed"),
    [
        # The paper ends on 31 May 2027; its row wants the renewal ten days before.
        ([], date(2027, 5, 21), None),
        ([], date(2027, 5, 22), date(2027, 5, 21)),
        ([(RECEIVED, "2027-05-21")], date(2027, 5, 24), None),
        ([(RECEIVED, "2027-05-22")], date(2027, 5, 24), date(2027, 5, 21)),
        ([(SENT, "2027-05-20")], date(2027, 5, 24), date(2027, 5, 21)),
    ],
)
def test_renewal_that_was_not_filed_in_time_is_told(
    make_table: MakeTable,
    make_operation: MakeOperation,
    make_log: MakeLog,
    entries: list[tuple[str, str]],
    on: date,
    missed: date | None,
) -> None:
    """The office counts receipt, and the last day to file is inclusive; it grounds nobody yet."""
    operation = make_operation(more=held("holder: operation, issued_on: 2026-05-31"))
    text = "".join(entry.replace("@day", day) for entry, day in entries)
    log = make_log(operation, text) if text else ()

    whole = stand(operation, rules(make_table, carries="no"), on, log)

    assert (whole.answer, whole.papers[0].renewal_missed) == (Answer.GO_FOR_NOW, missed)


@pytest.mark.parametrize(
    ("day", "standing", "begins"),
    [
        ("2027-06-01", Standing.ENDS_IN_JOB, date(2027, 6, 3)),
        ("2027-06-02", Standing.LAPSED, date(2027, 6, 3)),
        ("2027-06-03", Standing.IN_FORCE, None),
    ],
)
def test_next_paper_held_is_told_and_no_renewal_is_late(
    make_table: MakeTable,
    make_operation: MakeOperation,
    day: str,
    standing: Standing,
    begins: date | None,
) -> None:
    """The first ends on 1 June, its last day to renew is past; 2 June alone has no paper."""
    lines = ("issued_on: 2026-06-01", "issued_on: 2027-06-03")
    operation = make_operation(more=held(*(f"holder: operation, {one}" for one in lines)))

    (one,) = stand(operation, rules(make_table, carries="no"), date.fromisoformat(day)).papers

    assert (one.standing, one.next_from, one.renewal_missed) == (standing, begins, None)
