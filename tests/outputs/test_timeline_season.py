"""The season's values: which rows, which marks, on which days."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from compliance.app.demo import DEMO_DAY
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.facts.log import LogEntry
from compliance.facts.model import HeldPaper, Operation
from compliance.outputs.timeline_frame import say_short
from compliance.outputs.timeline_model import Mark, Row, Season, Sign, Stretch, Weight, say_season
from compliance.outputs.timeline_season import compute_season
from compliance.rules.model import RulesTable


@pytest.fixture(scope="module")
def season(demo_plan: Plan) -> Season:
    return compute_season(replace(demo_plan, chances=None))


def row_of(season: Season, key: str) -> Row:
    return next(row for group in season.groups for row in group.rows if row.key == key)


def marks_of(row: Row) -> list[tuple[Sign, date, str]]:
    return [(mark.sign, mark.on, mark.words) for mark in sorted(row.marks, key=lambda m: m.on)]


def test_season_groups_by_what_a_packet_is_for(season: Season) -> None:
    """The jobs stand first, then the business, each aircraft and each pilot."""
    assert [group.title for group in season.groups] == [
        "Spraying",
        "For Sandbur Flats Aerial LLC",
        "For TG-46 46-00017",
        "For TG-18 18-00204",
        "For Odile Ferrant",
        "For Wren Castellow",
    ]


def test_season_has_a_row_for_every_job_and_packet(season: Season, demo_plan: Plan) -> None:
    """Nothing of the plan is left out of the picture."""
    keys = sorted(row.key for group in season.groups for row in group.rows)

    assert keys == sorted(
        [*(job.job.id for job in demo_plan.jobs), *(paper.id for paper in demo_plan.papers)]
    )


def test_season_shows_whole_months(season: Season) -> None:
    """From the month of the first thing that happened to the month after the last job."""
    assert (season.first, season.last) == (date(2026, 9, 1), date(2027, 10, 31))


def test_returned_packet_shows_what_happened_and_what_is_ahead(season: Season) -> None:
    """The days are those of the plan: mailed, came back, ready, last day, needed by."""
    row = row_of(season, "faa.registration-n:tg46")

    assert marks_of(row) == [
        (Sign.DONE, date(2026, 11, 30), "mailed Mon 30 Nov"),
        (Sign.BACK, date(2027, 1, 6), "came back Wed 6 Jan"),
        (Sign.SPREAD, date(2027, 2, 24), "ready about 24 Feb"),
        (Sign.LAST, date(2027, 3, 30), "last day to mail Tue 30 Mar"),
        (Sign.NEEDED, date(2027, 5, 10), "needed by Mon 10 May"),
    ]
    assert row.stretches == (
        Stretch(first=date(2026, 11, 23), last=date(2027, 1, 6), weight=Weight.HAPPENED),
        Stretch(first=DEMO_DAY, last=date(2027, 2, 24), weight=Weight.AHEAD),
        Stretch(first=date(2027, 2, 24), last=date(2027, 5, 10), weight=Weight.ROOM),
    )
    assert row.notes == (
        "came back 6 Jan: notary block: commission expiry left empty",
        "no room for a return: safe day Tue 13 Oct 2026 cannot be kept",
    )


def test_packet_at_the_office_is_solid_until_today(season: Season) -> None:
    """What is under way has happened up to today; its answer is still to come."""
    row = row_of(season, "faa.exemption")

    assert row.stretches[0] == Stretch(
        first=date(2026, 9, 14), last=DEMO_DAY, weight=Weight.HAPPENED
    )
    assert row.notes == ("at the office",)


def test_packet_that_waits_for_another_names_it(season: Season) -> None:
    """The line begins when the other paper can be there, and the note says which one."""
    row = row_of(season, "ne.aerial-business")

    assert row.notes[-1] == "waits for: Agricultural aircraft operator certificate (Part 137)"
    assert row.stretches[0].first == date(2027, 3, 23)


def test_safe_day_is_marked_while_it_can_be_kept(season: Season) -> None:
    """Safe and last day are two marks; a packet without room for a return has only the last."""
    kept = row_of(season, "ne.commercial-applicator:wren")
    tight = row_of(season, "ne.aerial-business")

    assert [mark.sign for mark in kept.marks].count(Sign.SAFE) == 1
    assert Sign.SAFE not in {mark.sign for mark in tight.marks}


def test_renewal_says_when_the_one_in_hand_runs_out(season: Season) -> None:
    """The paper in force and the day by which the next one must be there are one row."""
    row = row_of(season, "faa.pilot-recency:wren")

    assert marks_of(row) == [
        (Sign.READY, DEMO_DAY, "can be done Mon 11 Jan"),
        (Sign.LAST, date(2027, 7, 31), "file by Sat 31 Jul"),
        (Sign.ENDS, date(2027, 7, 31), "the one in hand runs out Sat 31 Jul"),
    ]
    assert row.stretches[0].weight is Weight.IN_FORCE
    assert row.stretches[0].last == date(2027, 7, 31)


def test_paper_in_hand_tells_its_last_day_though_it_is_outside(season: Season) -> None:
    """A last day after the months shown stands at the edge, with its year and an arrow."""
    row = row_of(season, "faa.registration-small:tg18")

    assert row.marks == (
        Mark(
            on=season.last,
            sign=Sign.EDGE,
            words="in force through Sat 10 Jun 2028 →",
            short="in force through Sat 10 Jun 2028 →",
        ),
    )


def test_jobs_show_their_first_day(season: Season) -> None:
    """Only the earliest is the first spray."""
    assert [row_of(season, key).marks[0].words for key in ("pasture-ne", "pasture-sd")] == [
        "first spray Mon 24 May",
        "begins Mon 14 Jun",
    ]
    assert season.begins == (
        date(2027, 5, 24), date(2027, 6, 14), date(2027, 7, 12), date(2027, 8, 23),
    )  # fmt: skip


def test_trips_to_come_are_a_row_of_their_own(demo_plan: Plan) -> None:
    """Each day counts once; a day that is past is left out."""
    days = (date(2027, 1, 12), date(2027, 1, 12), date(2027, 3, 23), date(2026, 12, 1))
    row = row_of(compute_season(demo_plan, trips=days), "trips")

    assert row.notes == ("2 drives",)
    assert [mark.words for mark in row.marks] == ["Tue 12 Jan", "Tue 23 Mar"]


def late_plan(operation: Operation, log: tuple[LogEntry, ...], table: RulesTable) -> Plan:
    jobs = tuple(
        replace(
            job,
            first_day=date(2027, 2, 1) + timedelta(days=14 * number),
            last_day=date(2027, 2, 10) + timedelta(days=14 * number),
        )
        for number, job in enumerate(operation.jobs)
    )
    return compute_plan(replace(operation, jobs=jobs), table, log, DEMO_DAY)


def test_late_job_shows_the_days_that_are_missing(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], table: RulesTable
) -> None:
    """From its first day to the day before the first lawful one."""
    plan = late_plan(demo_operation, demo_log, table)
    job = plan.jobs[0]
    row = row_of(compute_season(plan), "pasture-ne")

    assert row.is_late
    assert row.notes[-1] == f"LATE by {job.late_by_days} days"
    assert row.stretches[1] == Stretch(
        first=date(2027, 2, 1),
        last=job.first_lawful_day - timedelta(days=1),
        weight=Weight.LATE,
    )


def test_late_packet_shows_the_days_that_are_missing(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], table: RulesTable
) -> None:
    """From the day it is needed to the day it is ready; a last day that is past is a note."""
    plan = late_plan(demo_operation, demo_log, table)
    paper = plan.find_paper("faa.registration-n:tg46")
    row = row_of(compute_season(plan), "faa.registration-n:tg46")

    assert paper is not None
    assert paper.in_hand_by is not None
    assert row.stretches[-1] == Stretch(
        first=paper.in_hand_by, last=paper.earliest_ready, weight=Weight.LATE
    )
    assert row.notes[1:] == (
        f"{-(paper.slack_days or 0)} days TOO LATE",
        "the last day to mail it was Mon 7 Dec 2026",
    )


def test_no_jobs_says_so(demo_operation: Operation, table: RulesTable) -> None:
    """An empty season is two months and one sentence, another when all jobs are over."""
    plan = compute_plan(replace(demo_operation, jobs=()), table, (), DEMO_DAY)
    season = compute_season(plan)

    assert season.groups == ()
    assert season.under == (
        "As of Mon 11 Jan 2027.",
        "! no job is planned, so no paper is needed by any day; add jobs to the file",
    )
    later = compute_plan(demo_operation, table, (), date(2028, 1, 1))
    assert compute_season(later).under[0] == (
        "As of Sat 1 Jan 2028. Every job is over, so no paper is asked for."
    )
    assert (season.first, season.last) == (date(2027, 1, 1), date(2027, 2, 28))


def test_all_in_hand_says_so(demo_operation: Operation, demo_plan: Plan, table: RulesTable) -> None:
    """With every paper held there is no line ahead, only papers in force."""
    held = tuple(
        HeldPaper(
            paper=paper.packet.paper.id,
            holder=paper.packet.holder,
            issued_on=date(2026, 5, 1),
            valid_through=date(2028, 1, 1),
        )
        for paper in demo_plan.papers
    )
    plan = compute_plan(replace(demo_operation, papers=held), table, (), DEMO_DAY)
    season = compute_season(plan)
    weights = {s.weight for group in season.groups[1:] for r in group.rows for s in r.stretches}

    assert season.under[0].endswith("Every paper needed is in hand.")
    assert weights == {Weight.IN_FORCE}


def test_many_holders_with_one_packet_each_share_a_heading(
    demo_operation: Operation, table: RulesTable
) -> None:
    """Three machines of one packet each need no three headings; the rows name the machine."""
    machines = tuple(
        replace(demo_operation.aircraft[0], id=f"m{at}", serial=f"46-{at}", remote_id_serial="")
        for at in range(3)
    )
    jobs = tuple(replace(job, aircraft=("m0", "m1", "m2")) for job in demo_operation.jobs)
    plan = compute_plan(
        replace(demo_operation, aircraft=machines, jobs=jobs, papers=()), table, (), DEMO_DAY
    )
    group = next(one for one in compute_season(plan).groups if "aircraft" in one.title)

    assert group.title == "For each aircraft"
    assert [row.title for row in group.rows] == [
        f"Aircraft registration with an N-number (Part 47), TG-46 46-{at}" for at in range(3)
    ]


def test_every_stretch_and_mark_lies_between_the_days_shown(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], table: RulesTable
) -> None:
    """Whatever the first spray: a week away, next year, or five years away."""
    for days in (-120, -60, 0, 200, 700, 1_800):
        jobs = tuple(
            replace(
                job,
                first_day=job.first_day + timedelta(days=days),
                last_day=job.last_day + timedelta(days=days),
            )
            for job in demo_operation.jobs
        )
        plan = compute_plan(replace(demo_operation, jobs=jobs), table, demo_log, DEMO_DAY)
        season = compute_season(plan)
        rows = [row for group in season.groups for row in group.rows]
        days_shown = [mark.on for row in rows for mark in row.marks]
        days_shown += [day for row in rows for s in row.stretches for day in (s.first, s.last)]

        assert days_shown
        assert all(season.first <= day <= season.last for day in days_shown)


def test_season_in_words_holds_every_title_note_and_mark(season: Season) -> None:
    """Who cannot see the picture gets all of it, the notice of no legal advice included."""
    said = say_season(season)

    for row in (row for group in season.groups for row in group.rows):
        assert all(one in said for one in (row.title, *row.notes, *(m.words for m in row.marks)))
    assert "A planning aid, not legal advice." in said
    assert "As of Mon 11 Jan 2027." in said


def test_only_the_last_wait_of_a_packet_swells(demo_shown: Plan) -> None:
    """Its spread has the waits before it in it; what it is stands with it, its span for readers."""
    shown = compute_season(demo_shown)
    row = row_of(shown, "faa.registration-n:tg46")
    paper = demo_shown.find_paper("faa.registration-n:tg46")
    assert paper is not None
    assert demo_shown.chances is not None
    last = [step for step in paper.steps if step.row.name == "mail-back"][-1]
    soonest, likely, slow = demo_shown.chances.spread[last.id]
    (mark,) = [mark for mark in row.marks if mark.sign is Sign.SPREAD]

    assert len(row.spreads) == 1
    assert (row.spreads[0].soonest, row.spreads[0].likely, row.spreads[0].slow) == (
        soonest,
        likely,
        slow,
    )
    assert mark.words == f"in hand: even odds by {say_short(likely)}"
    assert mark.said == (
        f"{mark.words} (one in ten by {say_short(soonest)}, nine in ten by {say_short(slow)})"
    )
    assert mark.said in say_season(shown)


def test_the_top_line_names_the_next_job_and_each_that_is_late(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], table: RulesTable
) -> None:
    """The days late belong to the job they are said of, not to the one that begins next."""
    plan = compute_plan(demo_operation, table, demo_log, date(2027, 6, 20))
    under = compute_season(plan).under
    late = {job.job.id: job.late_by_days for job in plan.jobs if job.late_by_days}

    assert under[0] == (
        "As of Sun 20 Jun 2027. Next to begin: own-quarter on Mon 12 Jul 2027, in 22 days."
    )
    assert sorted(late) == ["own-quarter", "pasture-sd"]
    assert under[1] == (
        f"LATE: pasture-sd by {late['pasture-sd']} days, own-quarter by {late['own-quarter']} days."
    )


def test_a_job_that_has_begun_is_no_first_spray_to_come(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], table: RulesTable
) -> None:
    """The words of a past first day do not speak of a day ahead."""
    shown = compute_season(compute_plan(demo_operation, table, demo_log, date(2027, 6, 20)))
    begun, ahead = row_of(shown, "pasture-sd"), row_of(shown, "own-quarter")

    assert (Sign.NEEDED, date(2027, 6, 14), "first day Mon 14 Jun") in marks_of(begun)
    assert (Sign.NEEDED, date(2027, 7, 12), "first spray Mon 12 Jul") in marks_of(ahead)
