"""Changes to try: what each changes, what it is called, and what makes no sense."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from compliance.app.planning import Planned
from compliance.base.problems import NotFoundError, RefusedError
from compliance.engine.what_if import Changed, apply_wish
from compliance.engine.wish import Wish
from compliance.facts.log import EventKind
from compliance.facts.model import Closure, MailService
from compliance.rules.model import LeadDays

PACKET = "faa.registration-n:tg46"


@pytest.fixture(name="apply")
def wish_applier(demo_planned: Planned) -> Callable[[Wish], Changed]:
    def apply(wish: Wish) -> Changed:
        return apply_wish(demo_planned.plan, demo_planned.table, demo_planned.log, wish)

    return apply


Apply = Callable[[Wish], Changed]


def days_of(changed: Changed, row: str) -> LeadDays:
    found = next(one.days for one in changed.table.steps if one.id == row)
    assert found is not None
    return found


def test_no_wish_changes_nothing(apply: Apply, demo_planned: Planned) -> None:
    assert Wish().is_empty
    assert apply(Wish()) == Changed(
        operation=demo_planned.plan.operation, table=demo_planned.table, log=demo_planned.log
    )


def test_everything_at_once(apply: Apply, demo_planned: Planned) -> None:
    """Each change in words, in an order in which a swap comes before a drop."""
    changed = apply(
        Wish(
            first_spray=date(2027, 6, 1),
            mail=(("all", "express"), (PACKET, "courier")),
            office=(("faa.registry", "slow"),),
            returned=("faa.exemption",),
            drop_pilot=("wren",),
            swap_pilot=(("own-quarter", "odile"),),
            trips=(date(2027, 3, 9),),
        )
    )

    assert changed.words == (
        "the first spray is on Tue 1 Jun 2027",
        "every packet goes by express",
        f"{PACKET} goes by courier",
        "faa.registry is slow, whatever was seen of it",
        "own-quarter has the pilot odile and no other",
        "no job has the pilot wren",
        (
            "somebody goes to town on Tue 9 Mar 2027 after all, to the notary and the post "
            "office and "
            "the test center (its days are not in your facts)"
        ),
        "faa.exemption comes back today",
        (
            "pasture-ne and pasture-sd then both have tg46 from Mon 14 Jun 2027 through Sun 20 Jun "
            "2027; move the other job too, or take turns"
        ),
    )
    assert changed.operation.mail_service is MailService.EXPRESS
    assert changed.by_packet == {PACKET: MailService.COURIER}
    assert {job.pilots for job in changed.operation.jobs} == {("odile",)}
    assert changed.operation.jobs[0].first_day == date(2027, 6, 1)
    entry = changed.log[-1]
    assert (entry.kind, entry.paper, entry.happened_on) == (
        EventKind.RETURNED,
        "faa.exemption",
        demo_planned.plan.as_of,
    )
    assert changed.not_kept == (
        f"the service of one packet ({PACKET}): choose it at the counter, and log the mailing",
        "the times of faa.registry: set them with mailby rules set",
        "an extra day in town: change the closure in your facts and load them",
        "a return that has not happened (faa.exemption)",
    )


@pytest.mark.parametrize(
    ("pace", "days"),
    [
        ("slow", LeadDays(fast=30, usual=45, slow=96)),
        ("fast", LeadDays(fast=9, usual=14, slow=30)),
        ("30", LeadDays(fast=30, usual=30, slow=30)),
    ],
)
def test_office_pace_scales_all_its_days(apply: Apply, pace: str, days: LeadDays) -> None:
    """The Registry's row says 14, 21 and 45 days; 45 / 21 of 45 is 96."""
    row = "faa.registration-n.review"
    changed = apply(Wish(office=((row, pace),)))

    assert days_of(changed, row) == days
    assert changed.unseen == {row}


def test_trip_opens_a_day_of_a_closure(apply: Apply) -> None:
    """The week of calving, 8 to 14 March, without its Tuesday."""
    closures = apply(Wish(trips=(date(2027, 3, 9),))).operation.closures

    assert [one for one in closures if one.why.startswith("calving")] == [
        Closure(
            who="field",
            first_day=date(2027, 3, day),
            last_day=date(2027, 3, last),
            why="calving, nobody can leave",
        )
        for day, last in ((8, 8), (10, 14))
    ]


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (
            date(2027, 3, 10),
            (
                "somebody goes to town on Wed 10 Mar 2027 after all, to the post office and "
                "the test "
                "center (its days are not in your facts); the notary is closed (open Tue, Thu)"
            ),
        ),
        (
            date(2027, 3, 16),
            (
                "a trip on Tue 16 Mar 2027 changes nothing: your facts let somebody go to the "
                "notary "
                "and the post office that day as it is"
            ),
        ),
    ],
)
def test_trip_says_what_it_reaches(
    apply: Apply, demo_planned: Planned, day: date, words: str
) -> None:
    """Calving keeps everybody at home from 8 to 14 March; no drive opens a door."""
    changed = apply(Wish(trips=(day,)))

    assert changed.words == (words,)
    is_same = changed.operation == demo_planned.plan.operation
    assert (is_same, changed.not_kept == ()) == (day.day == 16, day.day == 16)


def test_trip_with_nothing_left_to_do_changes_nothing(
    demo_planned: Planned,
) -> None:
    plan = replace(demo_planned.plan, papers=())
    changed = apply_wish(plan, demo_planned.table, (), Wish(trips=(date(2027, 3, 9),)))

    assert changed.words == (
        "a trip on Tue 9 Mar 2027 changes nothing: nothing is left to do in town",
    )


def test_job_that_is_over_keeps_its_pilot(demo_planned: Planned) -> None:
    plan = replace(demo_planned.plan, as_of=date(2027, 8, 8))
    changed = apply_wish(plan, demo_planned.table, (), Wish(drop_pilot=("wren",)))

    assert [job.pilots for job in changed.operation.jobs] == [
        ("odile", "wren"),
        ("odile", "wren"),
        ("wren",),
        ("odile",),
    ]


@pytest.mark.parametrize(
    ("wish", "message", "hint"),
    [
        (
            Wish(first_spray=date(2027, 1, 10)),
            "the first spray Sun 10 Jan 2027 is past; today is Mon 11 Jan 2027",
            "give a day to come, or plan as of an earlier day with --on",
        ),
        (
            Wish(mail=(("faa.exemption", "express"),)),
            "faa.exemption is filed, not mailed; no mail service makes it quicker",
            "",
        ),
        (
            Wish(office=(("faa.registry", "0"),)),
            "an office is slow, fast, or takes 1 to 2000 days, not '0'",
            "such as --office faa.registry=slow or --office faa.registration-n.review=30",
        ),
        (
            Wish(mail=(("all", "express"), (PACKET, "courier"), ("all", "priority"))),
            "--mail says two things of all: express and priority",
            "give one of them, and the other in a run of its own",
        ),
        (
            Wish(swap_pilot=(("own-quarter", "odile"), ("own-quarter", "wren"))),
            "--swap-pilot says two things of own-quarter: odile and wren",
            "give one of them, and the other in a run of its own",
        ),
        (
            Wish(returned=("faa.pilot-recency:wren",)),
            "faa.pilot-recency:wren is a packet that no office sends back",
            "",
        ),
        (
            Wish(drop_pilot=("wren",)),
            "own-quarter would have no pilot left without wren",
            "give it another one first: --swap-pilot own-quarter=ID",
        ),
        (
            Wish(drop_aircraft=("tg46",)),
            "pasture-sd would have no aircraft left without tg46",
            "give it another one first: --swap-aircraft pasture-sd=ID",
        ),
        (
            Wish(trips=(date(2027, 1, 10),)),
            "the trip Sun 10 Jan 2027 is past; today is Mon 11 Jan 2027",
            "give a day to come",
        ),
        (
            Wish(trips=(date(2027, 3, 20),)),
            (
                "a trip on Sat 20 Mar 2027 changes nothing: the notary is closed (open Tue, "
                "Thu); you "
                "can go to the post office that day as it is"
            ),
            "a trip helps on a day on which the place is open and your facts keep you at home",
        ),
        (
            Wish(trips=(date(2027, 2, 9),)),
            (
                "a trip on Tue 9 Feb 2027 changes nothing: the notary is closed (the notary is "
                "away); "
                "you can go to the post office that day as it is"
            ),
            "a trip helps on a day on which the place is open and your facts keep you at home",
        ),
        (
            Wish(trips=(date(2027, 2, 15),)),
            (
                "a trip on Mon 15 Feb 2027 changes nothing: the notary is closed (Washington's "
                "Birthday) and the post office is closed (Washington's Birthday)"
            ),
            "a trip helps on a day on which the place is open and your facts keep you at home",
        ),
    ],
)
def test_what_makes_no_sense_is_refused(apply: Apply, wish: Wish, message: str, hint: str) -> None:
    with pytest.raises(RefusedError) as caught:
        apply(wish)

    assert (caught.value.message, caught.value.hint) == (message, hint)


@pytest.mark.parametrize(
    ("wish", "message", "hint"),
    [
        (
            Wish(mail=(("all", "pigeon"),)),
            "no mail service is called 'pigeon'",
            "one of: first-class, priority, express, courier",
        ),
        (
            Wish(mail=(("faa.registration-n:tg64", "express"),)),
            "no packet to be sent is called 'faa.registration-n:tg64'",
            "did you mean `faa.registration-n:tg46`?",
        ),
        (
            Wish(office=(("faa.registri", "slow"),)),
            "no office or step at an office is called 'faa.registri'",
            "did you mean `faa.registry`?",
        ),
        (Wish(drop_pilot=("wrenn",)), "no pilot is called 'wrenn'", "did you mean `wren`?"),
        (
            Wish(swap_aircraft=(("pasture-n", "tg46"),)),
            "no job is called 'pasture-n'",
            "did you mean `pasture-ne`?",
        ),
    ],
)
def test_unknown_names_get_a_hint(apply: Apply, wish: Wish, message: str, hint: str) -> None:
    with pytest.raises(NotFoundError) as caught:
        apply(wish)

    assert (caught.value.message, caught.value.hint) == (message, hint)


def test_unknown_office_names_those_of_the_own_packets_first(apply: Apply) -> None:
    """A list that is cut says so, and where the rest is."""
    with pytest.raises(NotFoundError) as caught:
        apply(Wish(office=(("ndoa", "slow"),)))

    hint = caught.value.hint
    assert hint.startswith("known are: faa.registry, faa.registration-n.review, ")
    assert "ne.agriculture" in hint
    assert "sd.commercial-applicator.review" in hint
    assert hint.endswith(" more: mailby offices --all")


def test_a_moved_season_says_who_is_in_two_jobs_at_once(apply: Apply) -> None:
    """A week later pasture-ne, 20 days long, runs into pasture-sd with the same aircraft."""
    moved, clash = apply(Wish(first_spray=date(2027, 5, 31))).words
    parted = apply(Wish(first_spray=date(2027, 5, 31), swap_aircraft=(("pasture-ne", "tg18"),)))

    assert moved == "the first spray is on Mon 31 May 2027"
    assert clash == (
        "pasture-ne and pasture-sd then both have tg46 from Mon 14 Jun 2027 through Sat 19 Jun "
        "2027; move the other job too, or take turns"
    )
    assert parted.words == (moved, "pasture-ne has the aircraft tg18 and no other")
