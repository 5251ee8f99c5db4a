"""The words of go or no-go for every way a paper can stand; whole lines are compared."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from compliance.engine.in_force import (
    GROUNDING,
    Answer,
    JobStanding,
    Pairing,
    PaperStanding,
    Standing,
)
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import HeldPaper, Holder, HolderKind, Operation
from compliance.outputs.go_text import render_go_text
from compliance.rules.model import PaperRow, RulesTable
from compliance.rules.validity_model import ValidityKind

ON = date(2027, 5, 24)
WREN = Holder(kind=HolderKind.PILOT, ref="wren")
COME = "If it has come, `mailby log granted faa.pilot-recency:wren` says so; "
HAVE = (
    "If you have it, write it under `papers:` in your file as `- {paper: faa.pilot-recency, "
    "holder: wren, issued_on: DATE}` and load that again; "
)
TAIL = (
    "`mailby why faa.pilot-recency:wren` says why it is needed (14 CFR 107.65; the text itself "
    "was read)."
)
NAME = "! Remote pilot's 24-month knowledge, Wren Castellow:"


@pytest.fixture(name="paper", scope="module")
def find_paper(table: RulesTable) -> PaperRow:
    (row,) = (row for row in table.papers if row.id == "faa.pilot-recency")
    return replace(row, carry=())


def stand(paper: PaperRow, standing: Standing, through: date | None = None) -> PaperStanding:
    held = HeldPaper(paper=paper.id, holder=WREN, issued_on=date(2027, 6, 1))
    return PaperStanding(
        paper=paper,
        holder=WREN,
        standing=standing,
        held=held,
        through=through,
        findings=(),
    )


def logged(kind: EventKind, reason: str = "") -> LogEntry:
    return LogEntry(
        number=1,
        kind=kind,
        paper="faa.pilot-recency",
        holder=WREN,
        happened_on=date(2027, 5, 3),
        reason=reason,
    )


def job_of(operation: Operation, one: PaperStanding, ends_on: date | None = None) -> JobStanding:
    answer = Answer.NO_GO if one.standing in GROUNDING else Answer.GO_FOR_NOW
    answer = Answer.GO if one.standing is Standing.IN_FORCE else answer
    return JobStanding(job=operation.jobs[0], on=ON, answer=answer, papers=(one,), ends_on=ends_on)


def say(operation: Operation, standing: JobStanding) -> str:
    return " ".join(render_go_text(operation, ON, ((standing, ()),), None).split())


@pytest.mark.parametrize(
    ("standing", "through", "last", "words"),
    [
        (
            Standing.NOT_HELD,
            None,
            None,
            f"not held {HAVE}{TAIL}",
        ),
        (
            Standing.NOT_HELD,
            None,
            logged(EventKind.MAILED),
            (
                "not held The packet was sent on Mon 3 May 2027 and no answer is logged. "
                f"{COME}{TAIL}"
            ),
        ),
        (
            Standing.NOT_HELD,
            None,
            logged(EventKind.RECEIVED),
            (
                "not held The packet reached the office on Mon 3 May 2027 and no answer is "
                f"logged. {COME}{TAIL}"
            ),
        ),
        (
            Standing.LAPSED,
            date(2027, 4, 30),
            logged(EventKind.RETURNED, "no date"),
            (
                "ran out on Fri 30 Apr 2027 The packet came back on Mon 3 May 2027 (no date) and "
                f"was not sent again. {HAVE}{TAIL}"
            ),
        ),
        (
            Standing.LAPSED,
            date(2027, 4, 30),
            logged(EventKind.SIGNED),
            (
                "ran out on Fri 30 Apr 2027 The packet has been begun and was not sent; the last "
                f"step was logged on Mon 3 May 2027. {HAVE}{TAIL}"
            ),
        ),
        (
            Standing.END_UNKNOWN,
            None,
            None,
            (
                "held, but its last day is not written down Write its last day into your file as "
                f"`valid_through:` and load it; {TAIL}"
            ),
        ),
        (
            Standing.NOT_YET,
            date(2029, 6, 30),
            None,
            f"in force from Tue 1 Jun 2027 on, not before Wait for that day; {TAIL}",
        ),
    ],
)
def test_paper_that_stands_against_flying(
    demo_operation: Operation,
    paper: PaperRow,
    standing: Standing,
    through: date | None,
    last: LogEntry | None,
    words: str,
) -> None:
    one = replace(stand(paper, standing, through), last_logged=last)

    text = say(demo_operation, job_of(demo_operation, one))

    assert "NO-GO: pasture-ne, NE, Mon 24 May 2027 to Sat 12 Jun 2027" in text
    assert f"{NAME} {words}" in text


def test_receipt_that_would_change_the_answer_is_asked_for(
    demo_operation: Operation, paper: PaperRow
) -> None:
    one = replace(
        stand(paper, Standing.LAPSED, date(2027, 4, 30)),
        last_logged=logged(EventKind.MAILED),
        file_by=date(2027, 4, 30),
    )

    assert (
        "If its office had it by Fri 30 Apr 2027, that keeps the old one alive: `mailby log "
        "received faa.pilot-recency:wren` with that day says so."
    ) in say(demo_operation, job_of(demo_operation, one))


def test_renewal_filed_is_a_go_until_the_office_decides(
    demo_operation: Operation, paper: PaperRow
) -> None:
    one = stand(paper, Standing.KEPT_ALIVE, date(2027, 4, 30))
    one = replace(one, filed_on=date(2027, 3, 1))

    text = say(demo_operation, job_of(demo_operation, one))

    assert "GO until the office decides: pasture-ne, NE," in text
    assert (
        f"{NAME} ran out on Fri 30 Apr 2027; its renewal, filed Mon 1 Mar 2027, keeps it alive It "
        f"ends when the office decides, also against you; ask before each job. {TAIL}"
    ) in text


@pytest.mark.parametrize(
    ("kind", "who"),
    [
        (HolderKind.OPERATION, "everybody"),
        (HolderKind.AIRCRAFT, "this aircraft"),
        (HolderKind.PILOT, "this pilot"),
    ],
)
def test_go_through_a_day_says_who_stays_on_the_ground(
    demo_operation: Operation, paper: PaperRow, kind: HolderKind, who: str
) -> None:
    last = date(2027, 5, 31)
    one = replace(stand(paper, Standing.ENDS_IN_JOB, last), holder=Holder(kind=kind))

    text = say(demo_operation, job_of(demo_operation, one, last))

    assert "GO through Mon 31 May 2027 only: pasture-ne, NE," in text
    assert f"From Tue 1 Jun 2027 on {who} stays on the ground until its renewal is in hand;" in text


def test_state_without_rules_is_no_plain_go(demo_operation: Operation, paper: PaperRow) -> None:
    one = job_of(demo_operation, stand(paper, Standing.IN_FORCE, date(2028, 5, 31)))
    far = replace(one, state_known=False, unknown=("no rule for Wyoming: ask there",))

    text = say(demo_operation, far)

    assert "GO, by the federal papers alone: pasture-ne, NE," in text
    assert "! no rule for Wyoming: ask there" in text


def test_answers_that_stand_against_flying_come_first(
    demo_operation: Operation, paper: PaperRow
) -> None:
    good = job_of(demo_operation, stand(paper, Standing.IN_FORCE, date(2028, 5, 31)))
    bad = job_of(demo_operation, stand(paper, Standing.NOT_HELD))
    bad = replace(bad, job=demo_operation.jobs[1])

    text = render_go_text(demo_operation, ON, ((good, ()), (bad, ())), None)

    assert text.index("NO-GO:  pasture-sd") < text.index("GO:  pasture-ne")


def test_go_through_a_day_names_the_pairs_that_hold_through_the_job(
    demo_operation: Operation, paper: PaperRow
) -> None:
    last = date(2027, 5, 31)
    one = job_of(demo_operation, stand(paper, Standing.ENDS_IN_JOB, last), last)
    short = Pairing(aircraft="tg46", pilot="wren", answer=Answer.GO_FOR_NOW)
    whole = Pairing(aircraft="tg46", pilot="odile", answer=Answer.GO)

    text = say(demo_operation, replace(one, pairings=(short, whole)))
    assert "In order through the whole job: TG-46 " in text
    assert text.count(" flown by ") == 1
    assert " flown by Odile Ferrant" in text
    assert "No aircraft and pilot of this job are in order through the whole job." in say(
        demo_operation, replace(one, pairings=(short,))
    )


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({}, "In order all the same:"),
        ({"state_known": False}, "In order all the same, by the federal papers alone:"),
        (
            {"labels_unread": ("Thistle-Out 4",)},
            (
                "In order all the same, on papers; nobody has said whether the label of "
                "Thistle-Out 4 allows it by air:"
            ),
        ),
        (
            {"labels_unread": ("Thistle-Out 4",), "state_known": False},
            (
                "In order all the same, on the federal papers alone; nobody has said whether the "
                "label of Thistle-Out 4 allows it by air:"
            ),
        ),
    ],
)
def test_no_go_names_who_may_fly_all_the_same_before_the_reasons(
    changed: dict[str, Any], said: str, demo_operation: Operation, paper: PaperRow
) -> None:
    """Whoever reads only the first lines must not miss it, nor what the papers leave open."""
    bad = job_of(demo_operation, stand(paper, Standing.NOT_HELD))
    no = Pairing(aircraft="tg46", pilot="wren", answer=Answer.NO_GO)
    yes = Pairing(aircraft="tg46", pilot="odile", answer=Answer.GO)

    text = say(demo_operation, replace(bad, pairings=(no, yes), **changed))

    assert (
        f"NO-GO: pasture-ne, NE, Mon 24 May 2027 to Sat 12 Jun 2027 {said} TG-46 46-00017 flown by "
        f"Odile Ferrant {NAME} not held"
    ) in text
    assert text.count("In order all the same") == 1


def test_no_go_of_another_day_says_so_before_who_may_fly(
    demo_operation: Operation, paper: PaperRow
) -> None:
    early = date(2027, 5, 20)
    bad = replace(job_of(demo_operation, stand(paper, Standing.NOT_HELD)), on=early)
    yes = Pairing(aircraft="tg46", pilot="odile", answer=Answer.GO)

    text = say(demo_operation, replace(bad, pairings=(yes,)))

    assert (
        "to Sat 12 Jun 2027 this job is not on that day; its papers as of Thu 20 May 2027 In order "
        "all the same: TG-46 46-00017 flown by Odile Ferrant !"
    ) in text


def test_no_go_without_a_pair_in_order_says_so_after_the_reasons(
    demo_operation: Operation, paper: PaperRow
) -> None:
    bad = job_of(demo_operation, stand(paper, Standing.NOT_HELD))
    no = Pairing(aircraft="tg46", pilot="wren", answer=Answer.NO_GO)

    text = say(demo_operation, replace(bad, pairings=(no,)))

    assert f"{NAME} not held {HAVE}{TAIL} No aircraft and pilot of this job are in order" in text


def test_row_of_a_pack_is_marked(demo_operation: Operation, paper: PaperRow) -> None:
    own = replace(paper, pack="adviser")

    text = say(demo_operation, job_of(demo_operation, stand(own, Standing.NOT_HELD)))

    assert "Wren Castellow (your own rule, pack adviser): not held" in text


def test_number_belongs_to_the_paper_it_came_with(
    demo_operation: Operation, paper: PaperRow
) -> None:
    """A policy with a number ends and one without follows it; neither lends the other its own."""
    one = stand(paper, Standing.IN_FORCE, date(2028, 5, 31))
    old = HeldPaper(paper=paper.id, holder=WREN, number="POL-1")
    new = HeldPaper(paper=paper.id, holder=WREN, issued_on=date(2027, 5, 25))
    both = replace(one, held=old, held_through=date(2027, 5, 24), follower=new, numbered=True)
    alone = replace(one, held=new, numbered=True)

    assert (
        "no. POL-1, through Mon 24 May 2027; then number not written down, through Wed 31 May 2028"
        in say(demo_operation, job_of(demo_operation, both))
    )
    assert f"{NAME[2:]} number not written down, through Wed 31 May 2028" in say(
        demo_operation, job_of(demo_operation, alone)
    )
    assert f"{NAME[2:]} through Wed 31 May 2028" in say(demo_operation, job_of(demo_operation, one))


@pytest.mark.parametrize(
    ("labels", "known", "words"),
    [
        (
            ("Maybe Max",),
            True,
            "GO on papers; nobody has said whether the label of Maybe Max allows it by air: ",
        ),
        (
            ("Maybe Max", "Other"),
            False,
            (
                "GO on the federal papers alone; nobody has said whether the label of Maybe Max "
                "and Other allows it by air: "
            ),
        ),
        ((), True, "GO: "),
    ],
)
def test_label_nobody_read_is_told_in_the_first_words(
    demo_operation: Operation,
    paper: PaperRow,
    labels: tuple[str, ...],
    known: bool,
    words: str,
) -> None:
    """A GO is about papers, and a label decides whether a product may be flown at all."""
    one = job_of(demo_operation, stand(paper, Standing.IN_FORCE, date(2028, 5, 31)))
    one = replace(one, labels_unread=labels, state_known=known)

    assert f"{words}pasture-ne, NE," in say(demo_operation, one)


def test_renewal_window_that_closed_is_told(demo_operation: Operation, paper: PaperRow) -> None:
    """The rule's last day to renew is past, and the job goes on beyond the paper's end."""
    last = date(2027, 5, 31)
    one = replace(stand(paper, Standing.ENDS_IN_JOB, last), renewal_missed=date(2027, 4, 30))

    assert (
        "LATE: the last day to file its renewal was Fri 30 Apr 2027, and none is logged by then; "
        "ask the office whether it takes a late one or wants a whole new paper, and what that "
        "needs. From Tue 1 Jun 2027 on"
    ) in say(demo_operation, job_of(demo_operation, one, last))


@pytest.mark.parametrize(
    ("next_from", "days"),
    [
        (date(2027, 6, 3), "Tue 1 Jun 2027 to Wed 2 Jun 2027 have none"),
        (date(2027, 6, 2), "Tue 1 Jun 2027 has none"),
    ],
)
def test_next_paper_held_is_named_with_the_days_between(
    next_from: date, days: str, demo_operation: Operation, paper: PaperRow
) -> None:
    last = date(2027, 5, 31)
    begins = f"The next one begins on {next_from:%a} {next_from.day} Jun 2027; {days}"
    ends = replace(stand(paper, Standing.ENDS_IN_JOB, last), next_from=next_from)
    gone = replace(stand(paper, Standing.LAPSED, last), next_from=next_from)

    assert f"{begins}, so this pilot stays on the ground then; {TAIL}" in say(
        demo_operation, job_of(demo_operation, ends, last)
    )
    assert f"{begins}. Wait for that day; {TAIL}" in say(
        demo_operation, job_of(demo_operation, gone)
    )


@pytest.mark.parametrize(
    ("kind", "line"),
    [
        (ValidityKind.FROM_DOCUMENT, "issued_on: DATE, valid_through: DATE}"),
        (ValidityKind.OPEN_ENDED, "issued_on: DATE, valid_through: open}"),
        (ValidityKind.MONTHS, "issued_on: DATE}"),
    ],
)
def test_line_for_a_paper_in_hand_asks_for_the_days_nobody_can_count(
    demo_operation: Operation, paper: PaperRow, kind: ValidityKind, line: str
) -> None:
    """A paper never sent cannot be granted in the log, so the way is the file."""
    row = replace(paper, validity=replace(paper.validity, kind=kind))

    text = say(demo_operation, job_of(demo_operation, stand(row, Standing.NOT_HELD)))

    assert f"`- {{paper: faa.pilot-recency, holder: wren, {line}` and load that again;" in text
