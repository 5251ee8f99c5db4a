"""Chances in plain words: nothing is called certain, nothing left unsaid, no line too wide."""

from dataclasses import replace
from datetime import date

import pytest

from compliance.engine.chance_model import Chances, JobChance, PacketChance, StepWeight
from compliance.engine.plan_model import Plan, TripDay
from compliance.outputs.chances_text import (
    WHY_THEY_DIFFER,
    list_chances,
    list_job_chance,
    list_packet_chance,
    say_chance,
)

LATE, EARLY = date(2027, 3, 16), date(2027, 1, 27)
PACKET = "sd.commercial-applicator:odile"
READY = (date(2027, 2, 2), date(2027, 2, 20), date(2027, 4, 12))
CURVE = ((date(2027, 1, 12), 0.704),)


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.0, "under 1 %"),
        (0.0099, "under 1 %"),
        (0.01, "1 %"),
        (0.194, "19 %"),
        (0.99, "99 %"),
        (0.9901, "over 99 %"),
        (1.0, "over 99 %"),
    ],
)
def test_say_chance_rounds_and_never_promises(chance: float, words: str) -> None:
    assert say_chance(chance) == words


def plan_with(plan: Plan, packet: PacketChance, *weights: StepWeight) -> Plan:
    job = plan.jobs[0].job
    chances = Chances(
        draws=20_000,
        seed=1,
        wanted=0.9,
        jobs=(JobChance(job=job.id, first_day=job.first_day, on_first_day=0.19, by_day=()),),
        packets=(packet,),
        matters=weights,
        spread={},
    )
    return replace(plan, chances=chances)


def packet(by: date | None, again: date | None, binds: str) -> PacketChance:
    return PacketChance(
        packet=PACKET,
        mail_step=f"{PACKET}/mail",
        mail_by=by,
        mail_by_with_return=again,
        binds=binds,
        by_mail_day=CURVE,
        ready=READY,
        by_mail_day_with_return=CURVE_ONCE,
    )


def squeeze(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


def said_of(plan: Plan, chance: PacketChance, *, asked: bool = True) -> list[str]:
    """The lines of the packet, between its title and the footnote."""
    lines = "\n".join(list_chances(plan_with(plan, chance), chance_asked=asked)).splitlines()
    assert lines[:2] == ["CHANCES", "  South Dakota commercial applicator license, Odile Ferrant"]
    assert max(map(len, lines)) <= 80
    end = next(at for at, line in enumerate(lines) if line.startswith("  Act on the safe day"))
    return squeeze(lines[2:end]).replace(" for 90 %", "\nfor 90 %").splitlines()


FIRST, SAFE = date(2027, 1, 12), date(2027, 2, 10)
CURVE_ONCE = ((FIRST, 0.71), (SAFE, 0.664))
TODAY = date(2027, 1, 11)


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (
            packet(LATE, EARLY, "return"),
            [
                "for 90 %: mail by Tue 16 Mar 2027",
                (
                    "for 90 % even if it comes back once: mail by Wed 27 Jan 2027; the earlier of "
                    "the two, so for that chance this one counts"
                ),
            ],
        ),
        (
            packet(EARLY, LATE, "chance"),
            [
                (
                    "for 90 %: mail by Wed 27 Jan 2027; the earlier of the two, so for that chance "
                    "this one counts"
                ),
                "for 90 % even if it comes back once: mail by Tue 16 Mar 2027",
            ],
        ),
        (
            packet(LATE, None, "return"),
            [
                "for 90 %: mail by Tue 16 Mar 2027",
                (
                    "for 90 % even if it comes back once: no day left; mailed Tue 12 Jan 2027, the "
                    "first day: 71 %"
                ),
            ],
        ),
        (
            packet(None, None, "chance"),
            [
                (
                    "for 90 %: no day left; mailed Tue 12 Jan 2027, the first day: 70 %, and "
                    "71 % if "
                    "it comes back once"
                ),
            ],
        ),
        (
            replace(packet(LATE, None, "chance"), by_mail_day_with_return=()),
            ["for 90 %: mail by Tue 16 Mar 2027"],
        ),
        (
            replace(
                packet(None, None, "chance"),
                by_mail_day=((TODAY, 0.709),),
                by_mail_day_with_return=((TODAY, 0.5),),
            ),
            ["for 90 %: no day left; mailed today: 71 %, and 50 % if it comes back once"],
        ),
        (
            replace(packet(LATE, EARLY, "return"), by_mail_day=(*CURVE, (SAFE, 0.95))),
            [
                "for 90 %: mail by Tue 16 Mar 2027",
                (
                    "for 90 % even if it comes back once: mail by Wed 27 Jan 2027; the earlier of "
                    "the two, so for that chance this one counts mailed on the safe day, Wed 10 "
                    "Feb 2027: 95 %, and 66 % if it comes back once"
                ),
            ],
        ),
        (
            replace(packet(None, None, "chance"), by_mail_day=()),
            ["for 90 %: no day left; the chance to be in time is under 1 %"],
        ),
    ],
)
def test_packet_lines_say_which_day_counts(
    demo_plan: Plan, chance: PacketChance, said: list[str]
) -> None:
    """One day to send it off, one that leaves room to come back, and what the safe day is worth."""
    assert said_of(demo_plan, chance) == said


def test_day_sooner_than_the_trip_says_so(demo_plan: Plan) -> None:
    """The trip waits for other errands while that is safe; the chance may ask to go sooner."""
    on = date(2027, 3, 6)
    trip = TripDay(first=date(2027, 1, 12), on=on, by=LATE, is_safe=True)
    trips = replace(demo_plan, trip_days={f"{PACKET}/mail": trip})
    chance = replace(
        packet(LATE, EARLY, "return"),
        by_mail_day=((date(2027, 1, 12), 0.97), (on, 0.93)),
        by_mail_day_with_return=((date(2027, 1, 12), 0.92), (on, 0.884)),
    )
    none = replace(chance, mail_by=None, mail_by_with_return=None)

    assert said_of(trips, chance, asked=False) == [
        "for 90 %: mail by Tue 16 Mar 2027",
        (
            "for 90 % even if it comes back once: mail by Wed 27 Jan 2027; that is sooner than its "
            "trip to town, Sat 6 Mar 2027 (88 %), so go sooner for this chance"
        ),
    ]
    assert said_of(trips, none) == [
        (
            "for 90 %: no day left; mailed Tue 12 Jan 2027, the first day it could go, sooner than "
            "its trip to town, Sat 6 Mar 2027: 97 %, and 92 % if it comes back once"
        )
    ]


def test_no_day_counts_unless_a_chance_was_asked_for(demo_plan: Plan) -> None:
    """The safe day is the day to act on; the days for a chance are for those who ask for one."""
    said = said_of(demo_plan, packet(LATE, EARLY, "return"), asked=False)

    assert said == [
        "for 90 %: mail by Tue 16 Mar 2027",
        "for 90 % even if it comes back once: mail by Wed 27 Jan 2027",
    ]
    assert "this one counts" not in "\n".join(list_chances(demo_plan))


def test_no_percent_sign_stands_alone(demo_shown: Plan) -> None:
    """A number and its percent sign stay on one line."""
    lines = "\n".join(list_chances(demo_shown)).splitlines()

    assert not [line for line in lines if line.lstrip().startswith("%")]
    assert sum("%" in line for line in lines) > 5


def test_packet_sent_off_says_when_it_is_likely(demo_plan: Plan) -> None:
    name = "faa.exemption"
    paper = demo_plan.find_paper(name)
    assert paper is not None
    plan = plan_with(demo_plan, replace(packet(None, None, "chance"), packet=name))

    assert squeeze(list(list_packet_chance(plan, paper))) == (
        "likely even odds by Sat 20 Feb 2027, nine in ten by Mon 12 Apr 2027, as nothing has come "
        "yet, by what is believed of the office, returns counted"
    )


def test_job_line_says_the_joint_chance(demo_plan: Plan) -> None:
    plan = plan_with(demo_plan, packet(LATE, EARLY, "return"))
    begun = replace(plan, as_of=date(2027, 6, 1))

    assert list(list_job_chance(plan, "pasture-ne")) == [
        "      chance that every paper is in force on its first day: 19 %"
    ]
    assert list(list_job_chance(begun, "pasture-ne")) == [
        "      chance that every paper is in force from today on: 19 %"
    ]
    assert list(list_job_chance(plan, "pasture-sd")) == []


def test_weights_name_three_steps_and_what_they_rest_on(demo_plan: Plan) -> None:
    weights = [
        StepWeight(step=f"{PACKET}/{step}", packet=PACKET, gain_per_day=gain, job="pasture-sd")
        for step, gain in (("review", 0.021), ("transit", 0.004), ("mail-back", 0.003))
    ]
    more = replace(weights[0], step=f"{PACKET}/mail")
    lines = list(list_chances(plan_with(demo_plan, packet(LATE, None, "chance"), *weights, more)))
    said = squeeze(lines)

    assert lines[0] == "CHANCES"
    assert "raises the chance of pasture-sd by about 2 in 100" in said
    assert said.count("by under 1 in 100") == 2
    assert said.count("a day less at") == 3
    assert said.count(WHY_THEY_DIFFER) == 1
    assert said.endswith("Most office times are guesses; so are these chances.")
    assert max(map(len, lines[0].splitlines())) <= 80


def test_plan_without_chances_says_nothing(demo_plan: Plan) -> None:
    paper = demo_plan.find_paper(PACKET)
    assert paper is not None

    assert list(list_job_chance(demo_plan, "pasture-ne")) == []
    assert list(list_packet_chance(demo_plan, paper)) == []
    assert list(list_chances(demo_plan)) == []
