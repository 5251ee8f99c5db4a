"""What is known of offices in words; the office and its numbers are invented."""

from dataclasses import replace
from datetime import date

from compliance.base.problems import SourceRef
from compliance.engine.follow_up import FollowUp
from compliance.engine.office_report import KindReport, OfficeReport
from compliance.engine.turnaround_grid import Tally
from compliance.facts.basis import Basis, Confidence
from compliance.outputs.offices_text import render_files, render_offices_text
from compliance.outputs.words import CAUTION, wrap
from compliance.rules.model import (
    CalendarName,
    ComesBack,
    LeadDays,
    OfficeRow,
    StepKind,
    StepRow,
)

BASIS = Basis(
    citation="own",
    edition="none",
    confidence=Confidence.COMMON_PRACTICE,
    reviewed_on=date(2026, 11, 25),
    note="",
)
PLACE = SourceRef(file="own.yaml")
OFFICE = OfficeRow(id="own.office", title="Own office", basis=BASIS, place=PLACE)
ROW = StepRow(
    id="own.license.review",
    title="At the office",
    basis=BASIS,
    place=PLACE,
    paper="own.license",
    name="review",
    kind=StepKind.WAIT,
    calendar=CalendarName.FEDERAL,
    days=LeadDays(fast=7, usual=15, slow=30),
    return_path=("review",),
    comes_back=ComesBack(times=1, of=8, cite="own guess"),
)
DAY = date(2027, 3, 1)


def follow(packet: str, unusual_from: date) -> FollowUp:
    return FollowUp(
        operation="own-farm",
        packet=packet,
        step=ROW.id,
        began_on=date(2027, 1, 4),
        age=38,
        answer_step=ROW.id,
        answer_from=date(2027, 1, 4),
        nine_in_ten_by=30,
        unusual_from=unusual_from,
    )


def test_packet_sent_back_from_a_later_step_is_said_at_both() -> None:
    """Of the one only the answer was seen, of the other that it took longer."""
    kinds = [
        KindReport(
            row=ROW,
            tally=tally,
            half_by=17,
            nine_in_ten_by=31,
            comes_back=0.2,
            counted=None,
            waiting=(waiting,),
        )
        for tally, waiting in (
            (
                Tally.of(decided={}, pending={}, returned=1, unseen=1),
                replace(follow("own.a", DAY), there_since=date(2026, 12, 1)),
            ),
            (
                Tally.of(decided={}, pending={60: 1}, returned=0, cut=1),
                replace(follow("own.b", DAY), there_since=DAY, began_on=date(2027, 4, 1)),
            ),
        )
    ]
    report = OfficeReport(office=OFFICE, kinds=tuple(kinds), reasons=(), faults=(), documents=())

    text = " ".join(render_offices_text((report,), DAY).split())

    assert (
        "seen 1 decided, 1 of them sent back; 0 out now; of 1 the days at this step were not seen, "
        "only the answer"
    ) in text
    assert (
        "seen 0 decided, 0 of them sent back; 0 out now; 1 sent back while it was at this step, by "
        "usual days"
    ) in text
    assert (
        "own.a, there since about Tue 1 Dec 2026, by usual days at this step since Mon 4 Jan 2027"
    ) in text
    assert (
        "own.b, there since about Mon 1 Mar 2027, by usual days at this step from Thu 1 Apr 2027"
    ) in text


def test_office_with_everything_there_is_to_say() -> None:
    """The rule, what was seen, what is believed, what is out, why packets came back."""
    kind = KindReport(
        row=ROW,
        tally=Tally.of(decided={12: 1_000, 20: 18}, pending={38: 2}, returned=3),
        half_by=17,
        nine_in_ten_by=31,
        comes_back=0.0042,
        counted=(12, None),
        waiting=(follow("own.license", date(2027, 2, 22)), follow("own.permit", date(2027, 3, 9))),
    )
    report = OfficeReport(
        office=OFFICE,
        kinds=(kind,),
        reasons=(("no stamp", 2), ("fee too low", 1)),
        faults=(("own.license.form/stamp", 2), ("own.license.form/signed-on", 1)),
        documents=(("own.license.form", 3),),
    )

    assert render_offices_text((report,), DAY) == (
        "Own office (own.office)\n"
        "  own.license.review: At the office\n"
        "      the rule     usually 15 federal business days; fast 7, slow 30; 1 of 8\n"
        "                   come back\n"
        "      seen         1,018 decided, 3 of them sent back; 2 out now\n"
        "      believed     half within 17 federal business days, nine in ten within 31;\n"
        "                   under 1 in 100 come back\n"
        "      counted      half within 12, nine in ten not reached, by counting alone\n"
        "      out now      own-farm own.license, there since about Mon 4 Jan 2027:\n"
        "                   unusual since Mon 22 Feb 2027; ask them now\n"
        "      out now      own-farm own.permit, there since about Mon 4 Jan 2027:\n"
        "                   unusual from Tue 9 Mar 2027\n"
        "  why packets came back\n"
        "    2 times: no stamp\n"
        "    once: fee too low\n"
        "  which papers were at fault\n"
        "    3 times: own.license.form (stamp 2 times, signed-on once)\n"
        "\n"
        "What is believed starts from the rule and moves with every packet seen; packets\n"
        "still out count as taking longer than so far. Before anything is seen, nine in\n"
        "ten is later than the slow days of the rule: the rule may be wrong about the\n"
        "office too, and that is counted. It is an estimate, not a promise of the office.\n"
        "\n"
        "WHAT THE DAYS MEAN\n"
        "  - nine in ten within: the office's own days, from the day a packet is there to\n"
        "    its answer, yes or sent back\n"
        "  - unusual from: the working day by which nine in ten are answered and usual\n"
        "    mail has brought the answer; reckoned from the day the answering step begins\n"
        "    by usual days, and without this packet, so that its own slowness does not\n"
        "    move the day\n"
        "  - ask on, in `mailby plan`: the day silence is unusual, or sooner when the\n"
        "    paper is needed sooner, but not before it ought to be there by usual days;\n"
        "    always a working day; once you logged what they said, the day they named,\n"
        "    else half the usual spread later (the spread: the days between half and nine\n"
        "    in ten being answered), but not after the day the paper is needed\n"
        "  The days for a chance in `mailby plan` differ because they also count letters\n"
        "  on the way and packets that come back: the day to mail by is earlier, the day\n"
        "  the paper is likely in hand is later.\n"
        "\n"
        f"{wrap(CAUTION)}\n"
    )


def test_files_that_were_read_in() -> None:
    """A line for each, and how to take one back."""
    assert render_files(((2, "times.csv", 1_200, DAY),)) == (
        "2. times.csv, packets: 1,200, read on Mon 1 Mar 2027\n"
        "take one back with: mailby offices forget NUMBER\n"
    )


def test_belief_about_what_nobody_saw_says_what_it_rests_on() -> None:
    """An office slow in one of its steps is believed to be slower in all."""
    kind = KindReport(
        row=ROW,
        tally=Tally.of(decided={}, pending={}, returned=0),
        half_by=17,
        nine_in_ten_by=31,
        comes_back=0.1,
        counted=None,
        waiting=(),
        leans_on=("own.permit.look",),
    )
    report = OfficeReport(office=OFFICE, kinds=(kind,), reasons=(), faults=(), documents=())
    alone = replace(report, kinds=(replace(kind, leans_on=()),))

    text = " ".join(render_offices_text((report,), DAY).split())
    assert "rests on what was seen of own.permit.look: one office is quick or slow in all" in text
    assert "rests on" not in render_offices_text((alone,), DAY)
