"""The network that packets become: order, rounds, log, freshness; papers and farm are invented."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from compliance.engine.applies import compute_verdicts
from compliance.engine.days import OperationDays
from compliance.engine.moves import Act, Gap, Wait
from compliance.engine.network import (
    NetworkBuilder,
    Pace,
    PacketNetwork,
    compute_filing_limit,
    lead_of,
    step_id,
)
from compliance.engine.packets import compute_packets
from compliance.facts.log import LogEntry
from compliance.facts.model import MailService, Operation
from compliance.rules.model import CalendarName, CountsOn, LeadDays, RulesTable

MakeTable = Callable[[str], RulesTable]
MakeOperation = Callable[..., Operation]
MakeLog = Callable[[Operation, str], tuple[LogEntry, ...]]
MakeNetwork = Callable[..., PacketNetwork]

AS_OF = date(2027, 1, 11)

HEAD = """\
  - id: ID
    title: License
    holder: operation
    why: w
    office: own.office
    validity: {kind: months, months: 12}
    cite: own
    edition: none
    confidence: memory
    steps:
"""
MAILED = (
    HEAD.replace("ID", "own.license")
    + """\
      - {name: sign, title: Sign, kind: act, done_at: farm, event: signed, @own}
      - {name: mail, title: Mail, kind: act, calendar: post-office, done_at: post office,
          event: mailed, @own}
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, calendar: federal,
          days: {fast: 5, usual: 10, slow: 20}, event: granted,
          return_path: [send-back, mend, mail, transit, review], @own}
      - {name: mail-back, title: Back, kind: wait, mail: back, @own}
      - {name: send-back, title: Sent back, kind: wait, mail: back, use: after-return,
          event: returned, @own}
      - {name: mend, title: Mend, kind: act, done_at: farm, use: after-return, @own}
"""
)


@pytest.fixture(name="make_builder")
def builder_maker(
    make_table: MakeTable, make_operation: MakeOperation, make_log: MakeLog
) -> Callable[..., NetworkBuilder]:
    def make(
        papers: str = MAILED, log: str = "", *, service: str = "first-class", **farm: str
    ) -> NetworkBuilder:
        operation = make_operation(service=service, **farm)
        table = make_table(papers)
        entries = make_log(operation, log) if log else ()
        verdicts = compute_verdicts(operation, table)
        packets = compute_packets(operation, table, verdicts, entries, AS_OF)
        days = OperationDays(operation, date(2025, 1, 1), date(2029, 12, 31))
        return NetworkBuilder(packets, table, days, MailService(service))

    return make


MakeBuilder = Callable[..., NetworkBuilder]


def links(network: PacketNetwork) -> dict[str, tuple[str, ...]]:
    """Give what each task waits for, without the name of the only packet."""
    return {
        task.id.replace("own.license/", ""): tuple(
            name.replace("own.license/", "") for name in task.after
        )
        for task in network.tasks
    }


def done(network: PacketNetwork) -> dict[str, date]:
    return {
        task.id.replace("own.license/", ""): date.fromordinal(task.done_on)
        for task in network.tasks
        if task.done_on is not None
    }


def test_step_id_names_the_round_from_the_second_on() -> None:
    assert step_id("own.license:wren", "mail") == "own.license:wren/mail"
    assert step_id("own.license:wren", "mail", 2) == "own.license:wren/mail~2"


def test_chain_without_a_return(make_builder: MakeBuilder) -> None:
    network = make_builder().build(Pace.USUAL)

    assert links(network) == {
        "sign": (),
        "mail": ("sign",),
        "transit": ("mail",),
        "review": ("transit",),
        "mail-back": ("review",),
        "in-hand": ("mail-back",),
    }


def test_spare_return_stands_between_the_review_and_what_follows(
    make_builder: MakeBuilder,
) -> None:
    network = make_builder().build(Pace.SLOW, spare_returns=1)

    assert links(network) == {
        "sign": (),
        "mail": ("sign",),
        "transit": ("mail",),
        "review": ("transit",),
        "send-back~2": ("review",),
        "mend~2": ("send-back~2",),
        "mail~2": ("mend~2",),
        "transit~2": ("mail~2",),
        "review~2": ("transit~2",),
        "mail-back": ("review~2",),
        "in-hand": ("mail-back",),
    }


@pytest.mark.parametrize(
    ("pace", "transit", "review"), [(Pace.FAST, 2, 5), (Pace.USUAL, 3, 10), (Pace.SLOW, 4, 20)]
)
def test_pace_sets_the_days_of_waits(
    make_builder: MakeBuilder, pace: Pace, transit: int, review: int
) -> None:
    builder = make_builder()
    moves = {task.id: task.move for task in builder.build(pace).tasks}

    calendar = builder.days.calendar
    assert moves["own.license/transit"] == Wait(
        calendar=calendar(CalendarName.POSTAL), days=transit
    )
    assert moves["own.license/review"] == Wait(calendar=calendar(CalendarName.FEDERAL), days=review)
    assert moves["own.license/mail"] == Act(calendar=calendar(CalendarName.POST_OFFICE))


@pytest.mark.parametrize(
    ("service", "out", "calendar"),
    [
        ("first-class", 3, CalendarName.POSTAL),
        ("priority", 2, CalendarName.POSTAL),
        ("express", 1, CalendarName.POSTAL),
        ("courier", 1, CalendarName.FEDERAL),
    ],
)
def test_service_carries_the_way_out_and_a_letter_the_way_back(
    make_builder: MakeBuilder, service: str, out: int, calendar: CalendarName
) -> None:
    steps = make_builder(service=service).build(Pace.USUAL).steps

    transit, back = steps["own.license/transit"], steps["own.license/mail-back"]
    assert (transit.days, transit.calendar) == (out, calendar)
    assert (back.days, back.calendar) == (3, CalendarName.POSTAL)


def test_lead_of_an_act_is_no_days(make_builder: MakeBuilder) -> None:
    builder = make_builder()
    row = builder.packets[0].steps[1]

    (carrier,) = builder.services["mail.first-class"]
    lead = lead_of(row, carrier, carrier)

    assert lead == (LeadDays(fast=0, usual=0, slow=0), CalendarName.POST_OFFICE)


def test_dropped_step_hands_on_what_it_waited_for(make_builder: MakeBuilder) -> None:
    """`seal` and `stamp` are for another state; `mail` then waits for `sign` and `pay`."""
    paper = (
        HEAD.replace("ID", "own.license")
        + """\
      - {name: sign, title: Sign, kind: act, done_at: farm, @own}
      - {name: pay, title: Pay, kind: act, done_at: online, after: [], @own}
      - {name: seal, title: Seal, kind: act, done_at: farm, after: [sign], when: [{job.state: SD}],
          @own}
      - {name: stamp, title: Stamp, kind: act, done_at: farm, after: [seal, pay, sign],
          when: [{job.state: SD}], @own}
      - {name: mail, title: Mail, kind: act, done_at: post office, after: [stamp], @own}
"""
    )

    network = make_builder(paper).build(Pace.USUAL)

    assert links(network) == {
        "sign": (),
        "pay": (),
        "mail": ("pay", "sign"),
        "in-hand": ("mail",),
    }


def test_steps_for_a_first_paper_are_no_part_of_a_renewal(make_builder: MakeBuilder) -> None:
    """What is dropped because of its use hands on its predecessors like any other."""
    paper = (
        HEAD.replace("ID", "own.license")
        + """\
      - {name: sign, title: Sign, kind: act, done_at: farm, @own}
      - {name: exam, title: Exam, kind: act, done_at: town, use: first, @own}
      - {name: mail, title: Mail, kind: act, done_at: post office, @own}
"""
    )
    held = "papers:\n  - {paper: own.license, holder: operation, valid_through: 2027-03-31}\n"

    network = make_builder(paper, more=held).build(Pace.USUAL)

    assert links(network) == {"sign": (), "mail": ("sign",), "in-hand": ("mail",)}


def test_paper_without_steps_is_one_task(make_builder: MakeBuilder) -> None:
    paper = HEAD.replace("ID", "own.license").replace("    steps:\n", "")

    assert links(make_builder(paper).build(Pace.USUAL)) == {"in-hand": ()}


def test_all_ends_must_be_reached(make_builder: MakeBuilder) -> None:
    paper = (
        HEAD.replace("ID", "own.license")
        + """\
      - {name: file, title: File, kind: act, done_at: online, event: mailed, @own}
      - {name: review, title: Review, kind: wait, days: 10, event: granted, @own}
      - {name: notice, title: Notice, kind: notice, days: 120, after: [file], @own}
"""
    )

    network = make_builder(paper).build(Pace.USUAL)

    assert links(network)["in-hand"] == ("review", "notice")


def test_notice_is_as_long_at_every_pace(make_builder: MakeBuilder) -> None:
    paper = (
        HEAD.replace("ID", "own.license")
        + """\
      - {name: file, title: File, kind: act, done_at: online, event: mailed, @own}
      - {name: notice, title: Notice, kind: notice, days: 120, @own}
"""
    )
    builder = make_builder(paper)

    days = [builder.build(pace).steps["own.license/notice"].days for pace in Pace]

    assert days == [120, 120, 120]


NEEDS = (
    HEAD.replace("ID", "own.first").replace("holder: operation", "holder: pilot")
    + "      - {name: exam, title: Exam, kind: act, done_at: town, @own}\n"
    + HEAD.replace("ID", "own.second").replace("holder: operation", "holder: aircraft")
    + "      - {name: ask, title: Ask, kind: act, done_at: online, needs: [own.first], @own}\n"
    + HEAD.replace("ID", "own.third").replace("holder: operation", "holder: aircraft")
    + "      - {name: end, title: End, kind: act, done_at: online, needs: [own.second], @own}\n"
)
NEEDS_JOBS = """\
  - {id: one, first_day: 2027-05-24, last_day: 2027-05-28, state: NE, for_hire: yes,
      restricted_use: no, aircraft: tg46, pilots: [odile, wren]}
  - {id: two, first_day: 2027-06-01, last_day: 2027-06-02, state: NE, for_hire: yes,
      restricted_use: no, aircraft: tg18, pilots: wren}
"""


def test_step_waits_for_papers_of_holders_who_share_a_job(make_builder: MakeBuilder) -> None:
    network = make_builder(NEEDS, jobs=NEEDS_JOBS).build(Pace.USUAL)

    after = {task.id: task.after for task in network.tasks}
    assert after["own.second:tg46/ask"] == ("own.first:odile/in-hand", "own.first:wren/in-hand")
    assert after["own.second:tg18/ask"] == ("own.first:wren/in-hand",)
    # Of papers of the same kind of holder only the holder's own count.
    assert after["own.third:tg46/end"] == ("own.second:tg46/in-hand",)
    assert after["own.third:tg18/end"] == ("own.second:tg18/in-hand",)


def test_step_does_not_wait_for_a_paper_in_force(make_builder: MakeBuilder) -> None:
    """Wren's is in force for the season, Odile's runs out and is renewed meanwhile."""
    held = """\
papers:
  - {paper: own.first, holder: wren, valid_through: 2028-01-31}
  - {paper: own.first, holder: odile, valid_through: 2027-05-26}
"""

    network = make_builder(NEEDS, jobs=NEEDS_JOBS, more=held).build(Pace.USUAL)

    after = {task.id: task.after for task in network.tasks}
    assert after["own.second:tg46/ask"] == ()
    assert "own.first:odile/exam" in after
    assert "own.first:wren/exam" not in after


def test_apart_no_packet_waits_for_another(make_builder: MakeBuilder) -> None:
    network = make_builder(NEEDS, jobs=NEEDS_JOBS).build(Pace.SLOW, joined=False)

    strangers = [
        (task.id, name)
        for task in network.tasks
        for name in task.after
        if name.partition("/")[0] != task.id.partition("/")[0]
    ]
    assert strangers == []


def test_second_round_does_not_wait_for_other_papers_again(make_builder: MakeBuilder) -> None:
    papers = (
        HEAD.replace("ID", "own.first")
        + "      - {name: exam, title: Exam, kind: act, done_at: town, @own}\n"
        + MAILED.replace("event: mailed,", "event: mailed, needs: [own.first],")
    )

    network = make_builder(papers).build(Pace.SLOW, spare_returns=1)

    after = {task.id: task.after for task in network.tasks}
    assert after["own.license/mail"] == ("own.license/sign", "own.first/in-hand")
    assert after["own.license/mail~2"] == ("own.license/mend~2",)


FRESH = MAILED.replace("calendar: post-office, done_at", "fresh: {after: sign, days: 30}, done_at")


def test_return_path_passes_over_steps_that_do_not_apply(make_builder: MakeBuilder) -> None:
    paper = MAILED.replace(
        "done_at: farm, use: after-return",
        "done_at: farm, when: [{job.state: SD}], use: after-return",
    )

    network = make_builder(paper).build(Pace.SLOW, spare_returns=1)

    assert links(network)["mail~2"] == ("send-back~2",)
    assert "mend~2" not in links(network)


def test_names_the_paper_does_not_have_are_passed_over(make_builder: MakeBuilder) -> None:
    """The checks of a table refuse them; nothing may come loose all the same."""
    paper = MAILED.replace(
        "{name: mail, title: Mail,", "{name: mail, after: [sign, ghost], title: M,"
    )

    assert links(make_builder(paper).build(Pace.USUAL))["mail"] == ("sign",)


def test_paper_does_not_wait_for_itself(make_builder: MakeBuilder) -> None:
    paper = MAILED.replace("event: mailed,", "event: mailed, needs: [own.license],")

    assert links(make_builder(paper).build(Pace.USUAL))["mail"] == ("sign",)


def test_freshness_in_the_first_round(make_builder: MakeBuilder) -> None:
    network = make_builder(FRESH).build(Pace.USUAL)

    assert network.gaps == (
        Gap(first="own.license/sign", then="own.license/mail", at_most_days=30),
    )


def test_freshness_of_a_second_mailing_counts_from_the_second_signature(
    make_builder: MakeBuilder,
) -> None:
    signed_again = FRESH.replace("send-back, mend, mail", "send-back, sign, mail")

    network = make_builder(signed_again).build(Pace.SLOW, spare_returns=1)

    assert [(gap.first, gap.then) for gap in network.gaps] == [
        ("own.license/sign", "own.license/mail"),
        ("own.license/sign~2", "own.license/mail~2"),
    ]


def test_freshness_of_what_is_not_done_again_counts_only_when_it_happened(
    make_builder: MakeBuilder,
) -> None:
    """No work-back date could keep a first signature fresh through a return."""
    log = """\
  - {kind: mailed, paper: own.license, on: 2026-12-01}
  - {kind: returned, paper: own.license, on: 2026-12-28, reason: no date}
"""
    builder = make_builder(FRESH, log)

    pairs = [
        [(gap.first, gap.then) for gap in network.gaps]
        for network in (builder.build(Pace.USUAL), builder.build_happened(AS_OF))
    ]

    first = ("own.license/sign", "own.license/mail")
    assert pairs == [[first], [first, ("own.license/sign", "own.license/mail~2")]]


def test_freshness_holds_though_the_row_is_written_first(make_builder: MakeBuilder) -> None:
    paper = (
        HEAD.replace("ID", "own.license")
        + """\
      - {name: mail, title: Mail, kind: act, done_at: post office, after: [sign],
          fresh: {after: sign, days: 30}, @own}
      - {name: sign, title: Sign, kind: act, done_at: farm, after: [], @own}
"""
    )

    network = make_builder(paper).build(Pace.USUAL)

    assert network.gaps == (
        Gap(first="own.license/sign", then="own.license/mail", at_most_days=30),
    )


def test_freshness_after_a_step_that_is_dropped_asks_nothing(make_builder: MakeBuilder) -> None:
    paper = FRESH.replace("event: signed,", "when: [{job.state: SD}],")

    assert make_builder(paper).build(Pace.USUAL).gaps == ()


def test_mailing_shows_what_came_before_it(make_builder: MakeBuilder) -> None:
    """Only the mailing is logged, on Friday 8 January; signing happened by then."""
    builder = make_builder(log="  - {kind: mailed, paper: own.license, on: 2027-01-08}")

    happened = builder.build_happened(AS_OF)

    # In the mail for 3 postal days: Saturday 9, Monday 11, Tuesday 12. Not over by the 11th.
    assert done(happened) == {"sign": date(2027, 1, 8), "mail": date(2027, 1, 8)}
    assert happened.assumed == frozenset()


def test_the_first_of_two_later_entries_shows_the_day(make_builder: MakeBuilder) -> None:
    """`mend` of the second round is not logged, its mailing is."""
    log = """\
  - {kind: mailed, paper: own.license, on: 2026-12-01}
  - {kind: returned, paper: own.license, on: 2026-12-28, reason: no date}
  - {kind: mailed, paper: own.license, on: 2027-01-04}
  - {kind: received, paper: own.license, on: 2027-01-07}
"""

    happened = make_builder(log=log).build_happened(AS_OF)

    assert done(happened) == {
        "sign": date(2026, 12, 1),
        "mail": date(2026, 12, 1),
        # Nobody logged the arrival; the return shows it, and the wait has long been over.
        "transit": date(2026, 12, 28),
        "review": date(2026, 12, 28),
        "send-back~2": date(2026, 12, 28),
        "mend~2": date(2027, 1, 4),
        "mail~2": date(2027, 1, 4),
        "transit~2": date(2027, 1, 7),
    }


def test_two_ways_back_show_the_earlier_day(make_builder: MakeBuilder) -> None:
    """`plan` was over before the first of the two steps that waited for it."""
    paper = (
        HEAD.replace("ID", "own.license")
        + """\
      - {name: plan, title: Plan, kind: act, done_at: farm, @own}
      - {name: pay, title: Pay, kind: act, done_at: online, event: paid, after: [plan], @own}
      - {name: copy, title: Copy, kind: act, done_at: farm, after: [plan], @own}
"""
    )
    paid = "  - {kind: paid, paper: own.license, on: DAY}\n"
    copied = "  - {kind: done, step: copy, paper: own.license, on: DAY}\n"
    third, fifth = "2027-01-03", "2027-01-05"

    shown = [
        done(make_builder(paper, log).build_happened(AS_OF))["plan"]
        for log in (
            paid.replace("DAY", third) + copied.replace("DAY", fifth),
            paid.replace("DAY", fifth) + copied.replace("DAY", third),
        )
    ]

    assert shown == [date(2027, 1, 3), date(2027, 1, 3)]


def test_two_returns_are_three_rounds(make_builder: MakeBuilder) -> None:
    log = """\
  - {kind: mailed, paper: own.license, on: 2026-10-01}
  - {kind: returned, paper: own.license, on: 2026-11-02, reason: no date}
  - {kind: mailed, paper: own.license, on: 2026-11-04}
  - {kind: returned, paper: own.license, on: 2026-12-14, reason: no fee}
"""
    builder = make_builder(log=log)

    chain = links(builder.build(Pace.USUAL))
    spare = links(builder.build(Pace.USUAL, spare_returns=1))

    assert chain["mail-back"] == ("review~3",)
    assert chain["mail~3"] == ("mend~3",)
    assert spare["mail-back"] == ("review~4",)
    assert done(builder.build_happened(AS_OF))["send-back~3"] == date(2026, 12, 14)


def test_unseen_wait_is_taken_as_over_after_its_usual_time(make_builder: MakeBuilder) -> None:
    """Nobody at the farm learns when a letter arrives.

    Mailed on Tuesday 5 January: 6, 7, 8 are 3 postal days. The review then takes 10 federal days
    and is not over, so it stays open.
    """
    builder = make_builder(log="  - {kind: mailed, paper: own.license, on: 2027-01-05}")

    happened = builder.build_happened(AS_OF)

    assert done(happened) == {
        "sign": date(2027, 1, 5),
        "mail": date(2027, 1, 5),
        "transit": date(2027, 1, 8),
    }
    assert happened.assumed == {"own.license/transit"}


def test_last_wait_is_never_assumed_over(make_builder: MakeBuilder) -> None:
    """Everything should have come by now; the way back is what the farm would notice."""
    builder = make_builder(log="  - {kind: mailed, paper: own.license, on: 2026-11-02}")

    happened = builder.build_happened(AS_OF)

    # 3 postal days: 3, 4, 5 November. 10 federal days less Veterans Day: 6, 9, 10, 12, 13, 16 to
    # 20 November. 5 USC 6103.
    assert done(happened)["transit"] == date(2026, 11, 5)
    assert done(happened)["review"] == date(2026, 11, 20)
    assert "mail-back" not in done(happened)
    assert happened.assumed == {"own.license/transit", "own.license/review"}


def test_wait_that_an_act_follows_is_seen(make_builder: MakeBuilder) -> None:
    paper = (
        HEAD.replace("ID", "own.license")
        + """\
      - {name: order, title: Order, kind: act, done_at: online, event: paid, @own}
      - {name: form, title: Form comes, kind: wait, days: 5, @own}
      - {name: fill, title: Fill in, kind: act, done_at: farm, @own}
"""
    )
    builder = make_builder(paper, "  - {kind: paid, paper: own.license, on: 2026-12-01}")

    happened = builder.build_happened(AS_OF)

    assert done(happened) == {"order": date(2026, 12, 1)}


HELD = "papers:\n  - {paper: own.license, holder: operation, valid_through: 2027-05-28}\n"


def renewable(renewal: str) -> str:
    return MAILED.replace("    cite: own\n", f"    renewal: {renewal}\n    cite: own\n", 1)


def test_renewal_is_mailed_when_its_window_opens(make_builder: MakeBuilder) -> None:
    """Three months before 28 May is 28 February, which is that month's end but not May's."""
    paper = renewable("{opens_months: 3}")

    first, renewal, closed = (
        {task.id: task.not_before for task in builder.build_happened(AS_OF).tasks}
        for builder in (
            make_builder(paper),
            make_builder(paper, more=HELD),
            make_builder(renewable("{renew_by: 05-01}"), more=HELD),
        )
    )

    assert set(first.values()) == {None}
    opens = {name for name, day in renewal.items() if day is not None}
    assert opens == {"own.license/mail"}
    assert renewal["own.license/mail"] == date(2027, 2, 28).toordinal()
    assert set(closed.values()) == {None}


def test_renewal_that_came_back_for_being_early_waits_for_its_window(
    make_builder: MakeBuilder,
) -> None:
    log = """\
  - {kind: mailed, paper: own.license, on: 2026-12-01}
  - {kind: returned, paper: own.license, on: 2026-12-28, reason: too early}
"""
    builder = make_builder(renewable("{opens_months: 3}"), log, more=HELD)

    opens = {task.id: task.not_before for task in builder.build_happened(AS_OF).tasks}

    assert opens["own.license/mail~2"] == date(2027, 2, 28).toordinal()


@pytest.mark.parametrize(
    ("renewal", "more", "limit"),
    [
        # Counted where the office receives it, when the packet has such a step.
        ("{renew_by: 30 days before}", HELD, (("own.license/transit", date(2027, 4, 28)),)),
        ("{renew_by: 05-01}", HELD, (("own.license/transit", date(2027, 5, 1)),)),
        ("{opens_months: 3}", HELD, ()),
        ("{renew_by: 05-01}", "", ()),
    ],
)
def test_filing_limit(
    make_builder: MakeBuilder, renewal: str, more: str, limit: tuple[tuple[str, date], ...]
) -> None:
    (packet,) = make_builder(renewable(renewal), more=more).packets

    assert compute_filing_limit(packet) == limit


def test_filing_limit_without_a_receipt_is_the_sending(make_builder: MakeBuilder) -> None:
    sent = renewable("{renew_by: 05-01}").replace(", event: received", "")
    nothing = sent.replace("event: mailed, ", "").replace("event: mailed,\n", "\n")

    (by_mail,) = make_builder(sent, more=HELD).packets
    (by_nothing,) = make_builder(nothing, more=HELD).packets

    assert compute_filing_limit(by_mail) == (("own.license/mail", date(2027, 5, 1)),)
    assert compute_filing_limit(by_nothing) == ()


def test_filing_limit_of_an_office_that_counts_the_postmark(make_builder: MakeBuilder) -> None:
    (packet,) = make_builder(renewable("{renew_by: 05-01}"), more=HELD).packets
    assert packet.office is not None

    sent, filed, received, unknown = (
        compute_filing_limit(replace(packet, office=office))[0][0]
        for office in (
            replace(packet.office, counts_on=CountsOn.SENT),
            replace(packet.office, counts_on=CountsOn.FILED),
            replace(packet.office, counts_on=CountsOn.RECEIVED),
            None,
        )
    )

    assert (sent, filed) == ("own.license/mail", "own.license/mail")
    assert (received, unknown) == ("own.license/transit", "own.license/transit")


def test_papers_in_hand_have_no_tasks(make_builder: MakeBuilder) -> None:
    held = HELD.replace("2027-05-28", "2028-05-28")

    builder = make_builder(more=held)

    assert builder.build(Pace.USUAL) == PacketNetwork(tasks=(), gaps=(), steps={})
