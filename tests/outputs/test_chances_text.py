"""Chances in plain words: nothing is called certain, nothing left unsaid, no line too wide."""

from dataclasses import replace
from datetime import date

import pytest

from compliance.engine.chance_model import Chances, JobChance, PacketChance, StepWeight
from compliance.engine.plan_model import Plan
from compliance.outputs.chances_text import (
    list_job_chance,
    list_packet_chance,
    list_weights,
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
    )


def squeeze(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (
            packet(LATE, EARLY, "return"),
            ("mail by, 90 % Tue 16 Mar 2027; if it comes back once, already Wed 27 Jan 2027"),
        ),
        (
            packet(LATE, None, "return"),
            "mail by, 90 % Tue 16 Mar 2027; no day left for that chance if it comes back once",
        ),
        (
            packet(EARLY, LATE, "chance"),
            "mail by, 90 % Wed 27 Jan 2027 (that leaves room to come back once)",
        ),
        (packet(LATE, None, "chance"), "mail by, 90 % Tue 16 Mar 2027"),
        (
            packet(None, None, "chance"),
            "mail by, 90 % no day left; mailed Tue 12 Jan 2027 it is in time with 70 %",
        ),
        (replace(packet(None, None, "chance"), by_mail_day=()), "mail by, 90 % no day left"),
    ],
)
def test_packet_line_says_which_day_counts(
    demo_plan: Plan, chance: PacketChance, words: str
) -> None:
    paper = demo_plan.find_paper(PACKET)
    assert paper is not None

    assert squeeze(list(list_packet_chance(plan_with(demo_plan, chance), paper))) == words


def test_packet_sent_off_says_when_it_is_likely(demo_plan: Plan) -> None:
    name = "faa.exemption"
    paper = demo_plan.find_paper(name)
    assert paper is not None
    plan = plan_with(demo_plan, replace(packet(None, None, "chance"), packet=name))

    assert squeeze(list(list_packet_chance(plan, paper))) == (
        "likely even odds by Sat 20 Feb 2027, nine in ten by Mon 12 Apr 2027"
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
    lines = list(list_weights(plan_with(demo_plan, packet(LATE, None, "chance"), *weights, more)))
    said = squeeze(lines)

    assert lines[0] == "CHANCES"
    assert "raises the chance of pasture-sd by about 2 in 100" in said
    assert said.count("by under 1 in 100") == 2
    assert said.count("a day less at") == 3
    assert said.endswith("Most office times are guesses; so are these chances.")
    assert max(map(len, lines[0].splitlines())) <= 80


def test_plan_without_chances_says_nothing(demo_plan: Plan) -> None:
    paper = demo_plan.find_paper(PACKET)
    assert paper is not None

    assert list(list_job_chance(demo_plan, "pasture-ne")) == []
    assert list(list_packet_chance(demo_plan, paper)) == []
    assert list(list_weights(demo_plan)) == []
