"""Entries that make no sense are refused; code, sentence and hint are compared whole."""

from collections.abc import Callable
from datetime import date

import pytest

from compliance.base.problems import Problem, SourceRef
from compliance.engine.applies import compute_verdicts
from compliance.engine.logbook import check_log_entry
from compliance.engine.packets import compute_packets
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind, Operation
from compliance.rules.model import RulesTable

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]

Field = str | date

AS_OF = date(2027, 1, 11)
TYPED = SourceRef(file="")

LICENSE = """\
  - id: own.license
    title: License
    holder: operation
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    cite: own
    edition: none
    confidence: second-hand
    steps:
      - {name: exam, title: Exam, kind: act, done_at: town, @own}
      - {name: sign, title: Sign, kind: act, done_at: farm, event: signed, @own}
      - {name: seal, title: Seal, kind: act, done_at: notary, event: notarized, @own}
      - {name: mail, title: Mail, kind: act, done_at: post office, event: mailed, @own}
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, days: 10, event: granted,
          return_path: [mend, mail, transit, review], @own}
      - {name: mend, title: Mend, kind: act, done_at: farm, use: after-return, @own}
"""
UP_TO_SEALED = """\
  - {kind: done, step: exam, paper: own.license, on: 2026-12-01}
  - {kind: signed, paper: own.license, on: 2026-12-10}
  - {kind: notarized, paper: own.license, on: 2026-12-15}
"""
MAILED = UP_TO_SEALED + "  - {kind: mailed, paper: own.license, on: 2026-12-17}\n"
RETURNED = MAILED + "  - {kind: returned, paper: own.license, on: 2027-01-05, reason: no fee}\n"


@pytest.fixture(name="check")
def entry_checker(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> Callable[..., tuple[Problem, ...]]:
    def check(
        kind: str, day: date, *, log: str = "", papers: str = LICENSE, **fields: Field
    ) -> tuple[Problem, ...]:
        operation = make_operation()
        table = make_table(papers)
        entries = make_log(operation, log) if log else ()
        verdicts = compute_verdicts(operation, table)
        (packet,) = compute_packets(operation, table, verdicts, entries, AS_OF)
        entry = LogEntry(
            number=len(entries) + 1,
            kind=EventKind(kind),
            paper="own.license",
            holder=Holder(kind=HolderKind.OPERATION),
            happened_on=day,
            **fields,  # type: ignore[arg-type]  # the names say which is a day
        )
        return check_log_entry(packet, entries, entry, AS_OF, TYPED)

    return check


Check = Callable[..., tuple[Problem, ...]]


def problem(code: str, sentence: str, hint: str) -> Problem:
    return Problem(place=TYPED, code=code, sentence=sentence, hint=hint)


@pytest.mark.parametrize(
    ("kind", "day", "log", "fields"),
    [
        ("done", date(2026, 12, 1), "", {"step": "exam"}),
        ("signed", AS_OF, "", {}),
        ("mailed", date(2026, 12, 17), UP_TO_SEALED, {}),
        # The same day is in order: sign, seal and mail on one trip.
        ("mailed", date(2026, 12, 15), UP_TO_SEALED, {}),
        ("received", date(2026, 12, 19), MAILED, {}),
        ("returned", date(2027, 1, 5), MAILED, {"reason": "no fee"}),
        ("granted", date(2027, 1, 5), MAILED, {}),
        ("granted", date(2027, 1, 5), MAILED, {"issued_on": AS_OF, "valid_through": AS_OF}),
        ("done", date(2027, 1, 6), RETURNED, {"step": "mend"}),
        # What is off the return path is not sealed again.
        ("mailed", date(2027, 1, 7), RETURNED, {}),
        # Something forgotten may be logged later on.
        (
            "signed",
            date(2026, 12, 10),
            "  - {kind: done, step: exam, paper: own.license, on: 2026-12-01}\n",
            {},
        ),
    ],
)
def test_entry_in_order(
    check: Check, kind: str, day: date, log: str, fields: dict[str, Field]
) -> None:
    assert check(kind, day, log=log, **fields) == ()


def test_l31_future(check: Check) -> None:
    assert check("signed", date(2027, 1, 12)) == (
        problem(
            "L31",
            "Tue 12 Jan 2027 is in the future",
            "log things on the day they happen; to take another day as today: --today DATE",
        ),
    )


@pytest.mark.parametrize(
    ("day", "log", "fields", "found"),
    [
        (
            date(2026, 12, 20),
            UP_TO_SEALED,
            {"reason": "nothing there"},
            (
                "L43",
                "own.license is not at an office, so no office can say what has become of it",
                "log it first: mailby log mailed own.license --on DATE",
            ),
        ),
        (
            date(2027, 1, 6),
            RETURNED,
            {"reason": "it is on its way back"},
            (
                "L43",
                "own.license is not at an office, so no office can say what has become of it",
                "log it first: mailby log mailed own.license --on DATE",
            ),
        ),
        (
            date(2026, 12, 20),
            MAILED,
            {},
            ("L44", "what the office said is missing", 'add --said "in your own words"'),
        ),
        (
            date(2026, 12, 20),
            MAILED,
            {"reason": "soon", "expects": date(2026, 12, 19)},
            (
                "L44",
                (
                    "the day they expect, Sat 19 Dec 2026, lies before the day they said so, "
                    "Sun 20 Dec 2026"
                ),
                "correct --expects, or leave it out",
            ),
        ),
    ],
)
def test_l43_l44_what_an_office_can_have_said(
    check: Check, day: date, log: str, fields: dict[str, Field], found: tuple[str, str, str]
) -> None:
    assert check("heard", day, log=log, **fields) == (problem(*found),)


def test_what_an_office_said_is_no_step(check: Check) -> None:
    """It may be logged as often as it happens, the day it was sent included."""
    fields: dict[str, Field] = {"reason": "in the pile", "expects": date(2026, 12, 20)}
    heard = "  - {kind: heard, paper: own.license, on: 2026-12-20, reason: in the pile}\n"

    assert check("heard", date(2026, 12, 20), log=MAILED, **fields) == ()
    assert check("heard", date(2026, 12, 20), log=MAILED + heard, **fields) == ()
    assert check("granted", date(2027, 1, 5), log=MAILED + heard) == ()


def test_l34_heard_before_it_was_sent(check: Check) -> None:
    (found,) = check("heard", date(2026, 12, 1), log=MAILED, reason="not here")

    assert found.code == "L34"
    assert found.sentence.startswith("the office cannot have been heard on Tue 1 Dec 2026: ")


KNOWS = (
    "it knows: signed, notarized, mailed, received, granted; "
    "or `done` with --step one of: exam, sign, seal, mail, transit, review, mend"
)


@pytest.mark.parametrize(
    ("kind", "fields", "sentence"),
    [
        ("checked", {}, "own.license has no step that is `checked`"),
        ("done", {"step": "sing"}, "own.license has no step `sing`"),
        ("done", {}, "own.license has no step that is `done`"),
    ],
)
def test_l32_no_such_step(check: Check, kind: str, fields: dict[str, Field], sentence: str) -> None:
    assert check(kind, AS_OF, **fields) == (problem("L32", sentence, KNOWS),)


def test_fee_may_be_paid_at_any_time(check: Check) -> None:
    """No step of the packet is a payment, and yet it may be logged before and after mailing."""
    found = [check("paid", date(2026, 12, 11), log=log) for log in ("", UP_TO_SEALED, MAILED)]

    assert found == [(), (), ()]


def test_l32_of_a_paper_that_knows_no_event(check: Check) -> None:
    papers = LICENSE[: LICENSE.index("      - {name: sign")]

    assert check("signed", AS_OF, papers=papers) == (
        problem(
            "L32",
            "own.license has no step that is `signed`",
            "it knows: nothing; or `done` with --step one of: exam",
        ),
    )


def test_l33_mailed_before_it_is_notarized(check: Check) -> None:
    signed = "\n".join(UP_TO_SEALED.splitlines()[:2])

    assert check("mailed", date(2026, 12, 17), log=signed) == (
        problem(
            "L33",
            "own.license cannot be mailed before it is notarized",
            "log it first: mailby log notarized own.license --on DATE",
        ),
    )


@pytest.mark.parametrize(
    ("kind", "log", "fields"),
    [
        ("received", UP_TO_SEALED, {}),
        ("granted", UP_TO_SEALED, {}),
        ("returned", UP_TO_SEALED, {"reason": "no fee"}),
        # The first mailing is no mailing of the second round.
        ("granted", RETURNED, {}),
        ("returned", RETURNED, {"reason": "no date"}),
    ],
)
def test_l33_answered_before_it_is_mailed(
    check: Check, kind: str, log: str, fields: dict[str, Field]
) -> None:
    assert check(kind, date(2027, 1, 7), log=log, **fields) == (
        problem(
            "L33",
            f"own.license cannot be {kind} before it is mailed",
            "log it first: mailby log mailed own.license --on DATE",
        ),
    )


def test_paper_that_is_never_mailed_can_be_granted(check: Check) -> None:
    papers = LICENSE[: LICENSE.index("      - {name: sign")]

    assert check("granted", AS_OF, papers=papers) == ()


def test_l34_before_what_came_first(check: Check) -> None:
    assert check("mailed", date(2026, 12, 12), log=UP_TO_SEALED) == (
        problem(
            "L34",
            "`Mail` cannot be on Sat 12 Dec 2026: `Seal` came only later, on Tue 15 Dec 2026",
            "give the right day with --on, or withdraw the other",
        ),
    )


def test_l34_after_what_came_later(check: Check) -> None:
    """The exam was forgotten; it cannot have been after the signing."""
    late = "\n".join(UP_TO_SEALED.splitlines()[1:2])

    assert check("done", date(2026, 12, 11), log=late, step="exam") == (
        problem(
            "L34",
            "`Exam` cannot be on Fri 11 Dec 2026: `Sign` came already, on Thu 10 Dec 2026",
            "give the right day with --on, or withdraw the other",
        ),
    )


def test_l34_is_said_once_of_many_days_that_do_not_fit(check: Check) -> None:
    """On 9 December nothing was signed, sealed or mailed yet: three days stand against it."""
    found = check("received", date(2026, 12, 9), log=MAILED)

    assert [(one.code, one.sentence) for one in found] == [
        (
            "L34",
            "`On the way` cannot be on Wed 9 Dec 2026: `Sign` came only later, on Thu 10 Dec 2026",
        )
    ]


def test_l34_second_round_before_the_return(check: Check) -> None:
    found = check("mailed", date(2027, 1, 4), log=RETURNED)

    assert found == (
        problem(
            "L34",
            "`Mail` cannot be on Mon 4 Jan 2027: `Review` came only later, on Tue 5 Jan 2027",
            "give the right day with --on, or withdraw the other",
        ),
    )


@pytest.mark.parametrize(
    ("log", "day", "said"),
    [
        (
            MAILED,
            date(2026, 12, 16),
            "cannot have come back on Wed 16 Dec 2026: `Mail` came only later, on Thu 17 Dec 2026",
        ),
        (
            RETURNED + "  - {kind: mailed, paper: own.license, on: 2027-01-08}\n",
            date(2027, 1, 7),
            "cannot have come back on Thu 7 Jan 2027: `Mail` came only later, on Fri 8 Jan 2027",
        ),
        (
            RETURNED + "  - {kind: mailed, paper: own.license, on: 2027-01-08}\n",
            date(2027, 1, 4),
            "cannot have come back on Mon 4 Jan 2027: `Review` came only later, on Tue 5 Jan 2027",
        ),
    ],
)
def test_l34_return_before_the_mailing_it_answers(
    check: Check, log: str, day: date, said: str
) -> None:
    """A packet cannot come back before the mailing of its own round, nor before an earlier one."""
    assert check("returned", day, log=log, reason="no fee") == (
        problem(
            "L34",
            f"own.license {said}",
            "give the right day with --on, or withdraw the other",
        ),
    )


def test_return_on_the_day_of_its_mailing_is_taken(check: Check) -> None:
    """A packet handed in over a counter may come back the same day."""
    again = RETURNED + "  - {kind: mailed, paper: own.license, on: 2027-01-08}\n"

    assert check("returned", date(2027, 1, 8), log=again, reason="no fee") == ()


def test_l34_over_two_ways_to_the_same_step(check: Check) -> None:
    """`post` waits for `pay` and `copy`, which both wait for `plan`."""
    papers = (
        LICENSE[: LICENSE.index("      - {name: exam")]
        + """\
      - {name: plan, title: Plan, kind: act, done_at: farm, @own}
      - {name: pay, title: Pay, kind: act, done_at: online, event: paid, after: [plan], @own}
      - {name: copy, title: Copy, kind: act, done_at: farm, after: [plan], @own}
      - {name: post, title: Post, kind: act, done_at: town, event: mailed, after: [pay, copy],
          @own}
"""
    )
    planned = "  - {kind: done, step: plan, paper: own.license, on: 2026-12-10}\n"

    assert [one.code for one in check("mailed", date(2026, 12, 9), log=planned, papers=papers)] == [
        "L34"
    ]
    assert check("mailed", date(2026, 12, 10), log=planned, papers=papers) == ()


def test_l35_return_without_a_reason(check: Check) -> None:
    assert check("returned", date(2027, 1, 5), log=MAILED) == (
        problem(
            "L35",
            "a return needs its reason",
            'add --reason "what the office wrote"; it becomes a check of the next mailing',
        ),
    )


def test_l37_last_day_before_issue(check: Check) -> None:
    days = {"issued_on": date(2027, 1, 5), "valid_through": date(2027, 1, 4)}

    assert check("granted", date(2027, 1, 5), log=MAILED, **days) == (
        problem("L37", "valid through lies before issued on", "look at the paper again"),
    )


def test_l38_logged_already(check: Check) -> None:
    assert check("signed", date(2026, 12, 12), log=UP_TO_SEALED) == (
        problem(
            "L38",
            "`sign` of own.license is logged already, on Thu 10 Dec 2026",
            "to correct it: mailby log withdraw 2",
        ),
    )


def test_l38_names_the_entry_of_that_step_whatever_its_word(check: Check) -> None:
    """On one day the exam was logged, then the signing by its step's name, then the sealing."""
    one_day = """\
  - {kind: done, step: exam, paper: own.license, on: 2026-12-10}
  - {kind: done, step: sign, paper: own.license, on: 2026-12-10}
  - {kind: done, step: seal, paper: own.license, on: 2026-12-10}
"""
    assert check("signed", date(2026, 12, 10), log=one_day) == (
        problem(
            "L38",
            "`sign` of own.license is logged already, on Thu 10 Dec 2026",
            "to correct it: mailby log withdraw 2",
        ),
    )


def test_l38_of_the_way_back_that_the_return_itself_shows(check: Check) -> None:
    back = """\
      - {name: send-back, title: Sent back, kind: wait, mail: back, use: after-return,
          event: returned, @own}
"""
    papers = (LICENSE + back).replace("[mend, mail,", "[send-back, mend, mail,")

    found = check("done", date(2027, 1, 6), log=RETURNED, papers=papers, step="send-back")

    assert found == (
        problem(
            "L38",
            "`send-back` of own.license is logged already, on Tue 5 Jan 2027",
            "to correct it: mailby log withdraw 5",
        ),
    )


def test_every_fault_is_found_at_once(check: Check) -> None:
    found = check("returned", date(2027, 1, 12), log=UP_TO_SEALED, valid_through=date(2026, 1, 1))

    assert [one.code for one in found] == ["L31", "L35", "L33"]


def test_withdrawn_entry_may_be_logged_anew(check: Check) -> None:
    log = UP_TO_SEALED + "  - {kind: withdrawn, withdraws: 3, on: 2027-01-04}\n"

    assert check("notarized", date(2026, 12, 16), log=log) == ()
    assert [one.code for one in check("mailed", date(2026, 12, 17), log=log)] == ["L33"]
