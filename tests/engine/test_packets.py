"""What each needed paper still asks for; papers and farm are invented."""

from collections.abc import Callable
from datetime import date

import pytest

from compliance.engine.applies import compute_verdicts
from compliance.engine.packets import (
    Packet,
    PaperState,
    compute_packets,
    order_steps,
    packet_id,
)
from compliance.facts.log import LogEntry
from compliance.facts.model import HeldPaper, Holder, HolderKind, Operation
from compliance.rules.model import DocumentRow, RulesTable, StepRow, StepUse

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]

AS_OF = date(2027, 1, 11)
OPERATION = Holder(kind=HolderKind.OPERATION)

PAPER = """\
  - id: own.license
    title: License
    holder: operation
    why: w
    office: own.office
    validity: VALIDITY
    cite: own
    edition: none
    confidence: memory
    steps:
      - {name: exam, title: Exam, kind: act, done_at: town, use: first, @own}
      - {name: course, title: Course, kind: act, done_at: town, use: renewal, @own}
      - {name: sign, title: Sign, kind: act, done_at: farm, event: signed, @own}
      - {name: seal, title: Seal, kind: act, done_at: farm, when: [{job.state: SD}], @own}
      - {name: mail, title: Mail, kind: act, done_at: post office, event: mailed, @own}
      - {name: review, title: Review, kind: wait, days: 10, event: granted,
          return_path: [mend, mail, review], @own}
      - {name: mend, title: Mend, kind: act, done_at: farm, use: after-return, @own}
    documents:
      - {name: form, title: Form, template: form, originals: 1, use: first, @own}
      - {name: slip, title: Slip, template: slip, originals: 1, use: renewal, @own}
      - {name: check, title: Check, template: check, originals: 1, @own}
      - {name: away, title: Away, template: away, originals: 1, when: [{job.state: SD}], @own}
      - {name: later, title: Later, template: later, originals: 1, applies_from: 2028-01-01, @own}
"""
YEARLY = "{kind: months, months: 12}"

# Two jobs with a month between them.
TWO_JOBS = """\
  - {id: spring, first_day: 2027-05-24, last_day: 2027-06-12, @job}
  - {id: fall, first_day: 2027-08-23, last_day: 2027-09-30, @job}
"""


def held(through: str = "", issued: str = "", number: str = "") -> str:
    parts = [f", issued_on: {issued}" if issued else "", f", number: {number}" if number else ""]
    parts.append(f", valid_through: {through}" if through else "")
    return f"papers:\n  - {{paper: own.license, holder: operation{''.join(parts)}}}\n"


@pytest.fixture(name="make_packet")
def packet_maker(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> Callable[..., Packet]:
    def make(
        more: str = "",
        log: str = "",
        *,
        validity: str = YEARLY,
        jobs: str = TWO_JOBS,
        as_of: date = AS_OF,
    ) -> Packet:
        operation = make_operation(jobs, more=more)
        table = make_table(PAPER.replace("VALIDITY", validity))
        entries = make_log(operation, log) if log else ()
        verdicts = compute_verdicts(operation, table)
        (packet,) = compute_packets(operation, table, verdicts, entries, as_of)
        return packet

    return make


MakePacket = Callable[..., Packet]


def names(rows: tuple[StepRow, ...] | tuple[DocumentRow, ...]) -> list[str]:
    return [row.id.rpartition(".")[2] for row in rows]


def test_paper_not_held_is_needed_by_the_first_job(make_packet: MakePacket) -> None:
    packet = make_packet()

    assert (packet.id, packet.use, packet.state) == (
        "own.license",
        StepUse.FIRST,
        PaperState.TO_DO,
    )
    assert (packet.need_by, packet.cover_until) == (date(2027, 5, 24), date(2027, 9, 30))
    assert (packet.held, packet.valid_through, packet.end_unknown) == (None, None, False)
    assert names(packet.steps) == ["exam", "sign", "mail", "review", "mend"]
    assert names(packet.all_steps) == ["exam", "course", "sign", "seal", "mail", "review", "mend"]
    assert names(packet.documents) == ["form", "check"]
    assert packet.planned
    assert packet.holder == OPERATION
    assert packet.paper.id == "own.license"


@pytest.mark.parametrize(
    ("through", "need_by", "use"),
    [
        # In force through the last day of the last job: nothing to do.
        ("2027-09-30", date(2027, 5, 24), None),
        # One day short: the renewal must be there on the last day in force.
        ("2027-09-29", date(2027, 9, 29), StepUse.RENEWAL),
        ("2027-06-01", date(2027, 6, 1), StepUse.RENEWAL),
        # On the last day of the first job, or between jobs: in time for the next job.
        ("2027-06-12", date(2027, 8, 23), StepUse.RENEWAL),
        ("2027-07-15", date(2027, 8, 23), StepUse.RENEWAL),
        # Before the season, but not over yet.
        ("2027-03-31", date(2027, 5, 24), StepUse.RENEWAL),
        ("2027-01-11", date(2027, 5, 24), StepUse.RENEWAL),
        # Over: as if there were none.
        ("2027-01-10", date(2027, 5, 24), StepUse.FIRST),
    ],
)
def test_held_paper_is_renewed_for_the_first_day_it_does_not_cover(
    make_packet: MakePacket, through: str, need_by: date, use: StepUse | None
) -> None:
    packet = make_packet(held(through))

    assert (packet.need_by, packet.use) == (need_by, use)
    assert packet.valid_through == date.fromisoformat(through)


def test_renewal_has_its_own_steps_and_documents(make_packet: MakePacket) -> None:
    packet = make_packet(held("2027-07-15"))

    assert names(packet.steps) == ["course", "sign", "mail", "review", "mend"]
    assert names(packet.documents) == ["slip", "check"]
    assert packet.state is PaperState.RUNS_OUT


def test_paper_in_hand_keeps_the_documents_of_a_first_issue(make_packet: MakePacket) -> None:
    packet = make_packet(held("2028-07-15"))

    assert (packet.use, packet.state, packet.planned) == (None, PaperState.IN_HAND, False)
    assert names(packet.steps) == ["sign", "mail", "review", "mend"]
    assert names(packet.documents) == ["form", "check"]


@pytest.mark.parametrize(
    ("validity", "paper", "through", "unknown", "use"),
    [
        # Counted by the rule: issued 20 May 2027, a year on.
        (YEARLY, held(issued="2027-05-20"), date(2028, 5, 20), False, None),
        ("{kind: open-ended}", held(issued="2020-01-01"), None, False, None),
        ("{kind: open-ended}", held(), None, False, None),
        # The last day stands on the paper, and nobody wrote it down.
        ("{kind: from-document}", held(issued="2026-05-20"), None, True, None),
        (YEARLY, held(), None, True, None),
    ],
)
def test_last_day_of_what_is_held(
    make_packet: MakePacket,
    validity: str,
    paper: str,
    through: date | None,
    unknown: bool,
    use: StepUse | None,
) -> None:
    packet = make_packet(paper, validity=validity)

    assert (packet.valid_through, packet.end_unknown, packet.use) == (through, unknown, use)


def test_of_several_held_the_longest_counts(make_packet: MakePacket) -> None:
    more = held("2026-12-31", number="OLD") + held("2027-10-15", number="NEW").partition("\n")[2]

    packet = make_packet(more)

    assert packet.held == HeldPaper(
        paper="own.license", holder=OPERATION, number="NEW", valid_through=date(2027, 10, 15)
    )


def test_grant_of_a_first_paper_is_counted_by_the_rule(make_packet: MakePacket) -> None:
    log = """\
  - {kind: mailed, paper: own.license, on: 2027-01-04}
  - {kind: granted, paper: own.license, on: 2027-01-08, number: INVENTED-1}
"""

    packet = make_packet(log=log)

    assert packet.held == HeldPaper(
        paper="own.license",
        holder=OPERATION,
        number="INVENTED-1",
        issued_on=date(2027, 1, 8),
    )
    # Issued 8 January 2027 for 12 months.
    assert (packet.valid_through, packet.use) == (date(2028, 1, 8), None)
    assert packet.progress.done == {}


def test_grant_with_the_days_printed_on_it(make_packet: MakePacket) -> None:
    log = """\
  - {kind: granted, paper: own.license, on: 2027-01-08, issued_on: 2027-01-02,
      valid_through: 2027-08-31}
"""

    packet = make_packet(log=log)

    assert packet.held is not None
    assert packet.held.issued_on == date(2027, 1, 2)
    assert (packet.valid_through, packet.use) == (date(2027, 8, 31), StepUse.RENEWAL)


def test_grant_of_a_renewal_runs_on_from_the_paper_before(make_packet: MakePacket) -> None:
    yearly = "{kind: months, months: 12, renewal_from_expiry: yes}"
    log = "  - {kind: granted, paper: own.license, on: 2027-01-08}"

    renewed = make_packet(held("2027-06-10"), log, validity=yearly)
    lapsed = make_packet(held("2027-01-07"), log, validity=yearly)

    assert renewed.valid_through == date(2028, 6, 10)
    assert lapsed.valid_through == date(2028, 1, 8)


def test_what_was_logged_before_a_grant_is_no_part_of_the_renewal(make_packet: MakePacket) -> None:
    """The mailing of December was written into the log only after the grant it led to."""
    log = """\
  - {kind: granted, paper: own.license, on: 2027-01-04, valid_through: 2027-07-15}
  - {kind: mailed, paper: own.license, on: 2026-12-14}
  - {kind: signed, paper: own.license, on: 2027-01-06}
"""

    packet = make_packet(log=log)

    assert packet.progress.done == {("sign", 1): date(2027, 1, 6)}
    assert packet.state is PaperState.UNDER_WAY


@pytest.mark.parametrize(
    ("log", "state"),
    [
        ("  - {kind: signed, paper: own.license, on: 2027-01-04}", PaperState.UNDER_WAY),
        ("  - {kind: mailed, paper: own.license, on: 2027-01-04}", PaperState.AT_OFFICE),
        (
            (
                "  - {kind: mailed, paper: own.license, on: 2027-01-04}\n"
                "  - {kind: returned, paper: own.license, on: 2027-01-08, reason: no date}"
            ),
            PaperState.CAME_BACK,
        ),
        (
            (
                "  - {kind: mailed, paper: own.license, on: 2027-01-04}\n"
                "  - {kind: returned, paper: own.license, on: 2027-01-08, reason: no date}\n"
                "  - {kind: done, step: mend, paper: own.license, on: 2027-01-09}"
            ),
            PaperState.UNDER_WAY,
        ),
        (
            (
                "  - {kind: mailed, paper: own.license, on: 2027-01-04}\n"
                "  - {kind: withdrawn, withdraws: 1, on: 2027-01-05}"
            ),
            PaperState.TO_DO,
        ),
    ],
)
def test_state_from_the_log(make_packet: MakePacket, log: str, state: PaperState) -> None:
    assert make_packet(log=log).state is state


def test_jobs_that_are_over_ask_for_nothing(
    make_table: MakeTable, make_operation: MakeOperation
) -> None:
    operation = make_operation(TWO_JOBS)
    table = make_table(PAPER.replace("VALIDITY", YEARLY))
    verdicts = compute_verdicts(operation, table)

    found = {
        day: compute_packets(operation, table, verdicts, (), day)
        for day in (date(2027, 6, 12), date(2027, 6, 13), date(2027, 10, 1))
    }

    assert [[packet.need_by for packet in packets] for packets in found.values()] == [
        [date(2027, 5, 24)],
        [date(2027, 8, 23)],
        [],
    ]


def test_steps_of_a_job_elsewhere_join_when_one_job_is_there(make_packet: MakePacket) -> None:
    jobs = (
        TWO_JOBS
        + """\
  - {id: away, first_day: 2027-10-01, last_day: 2027-10-02, state: SD, for_hire: yes,
      restricted_use: no, aircraft: tg46, pilots: wren}
"""
    )

    packet = make_packet(jobs=jobs)

    assert names(packet.steps) == ["exam", "sign", "seal", "mail", "review", "mend"]
    assert names(packet.documents) == ["form", "check", "away"]


def test_steps_are_put_in_order_of_work(make_table: MakeTable) -> None:
    """Written in another order; where the rows leave a choice they stay as written."""
    steps = """\
    steps:
      - {name: mail, title: Mail, kind: act, done_at: town, after: [sign, pay, stamp], @own}
      - {name: pay, title: Pay, kind: act, done_at: town, after: [], @own}
      - {name: sign, title: Sign, kind: act, done_at: farm, after: [], @own}
      - {name: copy, title: Copy, kind: act, done_at: farm, after: [mail], @own}
"""
    table = make_table(PAPER[: PAPER.index("    steps:")].replace("VALIDITY", YEARLY) + steps)

    assert names(order_steps(table.steps)) == ["pay", "sign", "mail", "copy"]
    assert names(order_steps(table.steps[:1])) == ["mail"]


def test_steps_that_wait_for_one_another_stay_as_written(make_table: MakeTable) -> None:
    """The checks of a table refuse such a circle; putting it in order must still come to an end."""
    steps = """\
    steps:
      - {name: hen, title: Hen, kind: act, done_at: farm, after: [egg], @own}
      - {name: egg, title: Egg, kind: act, done_at: farm, after: [hen], @own}
"""
    table = make_table(PAPER[: PAPER.index("    steps:")].replace("VALIDITY", YEARLY) + steps)

    assert names(order_steps(table.steps)) == ["hen", "egg"]


def test_packet_knows_its_office(make_packet: MakePacket) -> None:
    office = make_packet().office

    assert office is not None
    assert (office.id, office.mail_to) == ("own.office", ("1 Example Road", "Anytown"))


def test_packet_ids() -> None:
    wren = Holder(kind=HolderKind.PILOT, ref="wren")

    assert packet_id("own.license", OPERATION) == "own.license"
    assert packet_id("own.license", wren) == "own.license:wren"
