"""The plan as text: the demo's plan to the letter, never wider than a screen, nothing left out."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from compliance.app.planning import Planned
from compliance.base.dates import say_date
from compliance.engine.agenda import subject_of
from compliance.engine.plan import compute_plan, move_first_spray
from compliance.engine.plan_model import Plan
from compliance.engine.remedies import add_remedies
from compliance.facts.model import Material
from compliance.outputs.plan_json import compute_plan_document
from compliance.outputs.plan_text import render_plan_text
from compliance.outputs.words import AVIATION_CAUTION, CAUTION, CHEMICAL_CAUTION

GOLDEN = Path(__file__).parents[1] / "golden" / "plan.txt"
DAYS = [
    date(2001, 1, 1),
    date(2026, 6, 1),
    date(2027, 1, 11),
    date(2027, 4, 1),
    date(2027, 5, 24),
    date(2027, 7, 31),
    date(2027, 8, 1),
    date(2030, 1, 1),
]


def plan_on(planned: Planned, day: date, first_spray: date | None = None) -> Plan:
    operation = planned.plan.operation
    if first_spray is not None:
        operation = move_first_spray(operation, first_spray)
    plan = compute_plan(operation, planned.table, planned.log, day)
    return add_remedies(plan, planned.table, planned.log)


def squeeze(text: str) -> str:
    """Take the line breaks out, which may fall anywhere."""
    return " ".join(text.split())


def test_render_plan_text_demo_to_the_letter(demo_shown: Plan) -> None:
    assert render_plan_text(demo_shown) == GOLDEN.read_text(encoding="utf-8")


@pytest.mark.parametrize("day", DAYS)
def test_render_plan_text_fits_a_screen(demo_planned: Planned, day: date) -> None:
    """80 columns, unless a single word is longer."""
    text = render_plan_text(plan_on(demo_planned, day))
    wide = [line for line in text.splitlines() if len(line) > 80 and " " in line.strip()]

    assert wide == []
    assert [line for line in text.splitlines() if line != line.rstrip()] == []


@pytest.mark.parametrize("day", DAYS)
def test_render_plan_text_leaves_no_paper_and_no_warning_out(
    demo_planned: Planned, day: date
) -> None:
    plan = plan_on(demo_planned, day)
    text = squeeze(render_plan_text(plan))
    wanted = [subject_of(plan, paper) for paper in plan.papers]
    wanted.extend(warning for paper in plan.papers for warning in paper.warnings)
    wanted.extend(line for paper in plan.papers for line in paper.confirm)
    wanted.extend([*plan.warnings, *(job.job.id for job in plan.jobs), CAUTION])

    assert [one for one in wanted if squeeze(one) not in text] == []


def test_render_plan_text_shows_both_mailing_days(demo_plan: Plan) -> None:
    text = squeeze(render_plan_text(demo_plan))
    ahead = [one for one in demo_plan.papers if one.packet.planned and one.mailed_on is None]

    assert len(ahead) > 3
    for paper in ahead:
        assert paper.mail_safe is not None
        assert paper.mail_last is not None
        assert f"by, safe {say_date(paper.mail_safe)}" in text
        assert f"by, last {say_date(paper.mail_last)}" in text


def test_render_plan_text_late_job_says_how_much_and_what_helps(demo_planned: Planned) -> None:
    plan = plan_on(demo_planned, date(2027, 1, 11), HELPED)
    text = squeeze(render_plan_text(plan))
    job = plan.jobs[0]

    assert f"WHAT WOULD HELP {job.job.id} - " in text
    assert plan.remedies
    assert (
        f"LATE by {job.late_by_days} days: first lawful day {say_date(job.first_lawful_day)}"
        in text
    )
    assert [one.what for one in plan.remedies if squeeze(one.what) not in text] == []


def test_render_plan_text_job_that_is_over_before_its_papers_says_so(
    demo_planned: Planned,
) -> None:
    """A job of two weeks that is later than its own length has no day left."""
    plan = plan_on(demo_planned, date(2027, 1, 11), date(2027, 2, 10))
    lost = [job for job in plan.jobs if job.first_lawful_day > job.job.last_day]
    text = squeeze(render_plan_text(plan))

    assert lost
    for job in lost:
        assert f"no day of this job is left: it ends on {say_date(job.job.last_day)}" in text
    assert text.count("no day of this job is left") == len(lost)


def test_render_plan_text_late_job_names_the_chain_it_waits_for(demo_planned: Planned) -> None:
    """14 CFR 137.15 and the grants themselves: no operating certificate without the exemption.

    Neb. Rev. Stat. 2-2655 asks for the operating certificate.
    """
    text = squeeze(render_plan_text(plan_on(demo_planned, date(2027, 1, 11), date(2027, 2, 10))))

    assert (
        "first lawful day Sat 24 Apr 2027, because of Nebraska aerial pesticide business license, "
        "which waits for Agricultural aircraft operator certificate (Part 137), which waits for "
        "Exemption for spraying with unmanned aircraft ! no day of this job is left"
    ) in text


def test_render_plan_text_says_when_nothing_of_the_kind_helps(demo_planned: Planned) -> None:
    """First lawful day 24 April; the job of twenty days from 10 February ends on 1 March."""
    plan = plan_on(demo_planned, date(2027, 1, 11), date(2027, 2, 10))

    assert (plan.remedies, plan.unhelped) == ((), ("pasture-ne",))
    assert (
        "WHAT WOULD HELP Nothing of this kind: express mail, earlier trips to town and a later "
        "first day leave no lawful day of pasture-ne. NEXT"
    ) in squeeze(render_plan_text(plan))


def test_render_plan_text_names_the_job_that_is_left_without_help(demo_planned: Planned) -> None:
    """On 31 May the pasture jobs end before their papers can be there; own-quarter need not."""
    plan = plan_on(demo_planned, date(2027, 5, 31))
    text = squeeze(render_plan_text(plan))

    assert {one.job for one in plan.remedies} == {"own-quarter"}
    assert plan.unhelped == ("pasture-ne", "pasture-sd")
    assert (
        "Nothing of this kind for the rest: express mail, earlier trips to town and a later first "
        "day leave no lawful day of pasture-ne or pasture-sd. NEXT"
    ) in text


def test_render_plan_text_packet_that_waits_for_an_overdue_paper_has_no_days_to_spare(
    demo_planned: Planned,
) -> None:
    """On 12 February the exemption is six days overdue; 14 CFR 137.15 asks for it first.

    Before, its certificate was "ready Mon 29 Mar 2027 at usual pace, 23 days to spare".
    """
    plan = plan_on(demo_planned, date(2027, 2, 12))
    text = squeeze(render_plan_text(plan))
    document = {one["packet"]: one for one in compute_plan_document(plan)["papers"]}
    certificate = document["faa.ag-operator"]

    assert "ready Mon 29 Mar 2027 at usual pace, if the overdue paper came today waits on" in text
    assert certificate["slack_days"] is None
    assert certificate["only_if_overdue_come"] == ["faa.exemption"]
    assert ["faa.exemption"] in [one["only_if_overdue_come"] for one in certificate["steps"]]
    assert document["faa.registration-n:tg46"]["only_if_overdue_come"] == []
    assert document["faa.registration-n:tg46"]["slack_days"] is not None


def test_render_plan_text_remedy_names_what_it_hangs_on(demo_planned: Planned) -> None:
    """The exemption ought to have come by 6 February; own-quarter ends on 31 August here.

    What would help names a day of the job, and that the office must send the exemption first.
    """
    operation = demo_planned.plan.operation
    jobs = tuple(
        replace(job, last_day=date(2027, 8, 31)) if job.id == "own-quarter" else job
        for job in operation.jobs
    )
    later = replace(
        demo_planned, plan=replace(demo_planned.plan, operation=replace(operation, jobs=jobs))
    )
    only = (
        "; ONLY IF the office, which is overdue, sends Exemption for spraying with unmanned "
        "aircraft at once"
    )

    july, august = (plan_on(later, date(2027, month, 20)) for month in (7, 8))

    assert [(one.job, one.overdue, one.missed) for one in july.remedies] == [
        ("cover-crop", ("faa.exemption",), ()),
        ("own-quarter", ("faa.exemption",), ()),
        ("cover-crop", ("faa.exemption",), ()),
    ]
    assert (
        "WHAT WOULD HELP - send every packet by Priority Mail Express cover-crop: lawful from Fri "
        f"10 Sep 2027, 4 days sooner; still late{only} - begin own-quarter on Tue 31 Aug 2027 "
        f"instead of Mon 12 Jul 2027: lawful from Tue 31 Aug 2027; in time{only} - begin "
        "cover-crop on Tue 14 Sep 2027 instead of Mon 23 Aug 2027: lawful from Tue 14 Sep 2027; in "
        f"time{only} NEXT"
    ) in squeeze(render_plan_text(july))
    # On 20 August the first lawful days are 4 and 19 October, after both jobs.
    assert (august.remedies, august.unhelped) == ((), ("own-quarter", "cover-crop"))


LATER = date(2027, 6, 1)
HELPED = date(2027, 4, 10)
GAIN_NOTHING = "Express mail and earlier trips to town would gain nothing."


def test_render_plan_text_says_when_nothing_but_waiting_helps(demo_planned: Planned) -> None:
    """South Dakota alone waits for papers that are filed online: no mail is on the way to them."""
    operation = demo_planned.plan.operation
    jobs = tuple(
        replace(job, last_day=date(2027, 12, 31)) for job in operation.jobs if job.state == "SD"
    )
    table = demo_planned.table
    plan = compute_plan(replace(operation, jobs=jobs, papers=()), table, (), date(2027, 1, 11))
    online = add_remedies(plan, table, ())

    assert [remedy.days_gained for remedy in online.remedies] == [0]
    assert GAIN_NOTHING in squeeze(render_plan_text(online))


def test_render_plan_text_does_not_say_so_when_express_mail_helps(demo_planned: Planned) -> None:
    plan = plan_on(demo_planned, date(2027, 1, 11), HELPED)

    assert [remedy.days_gained > 0 for remedy in plan.remedies] == [True, False]
    assert GAIN_NOTHING not in squeeze(render_plan_text(plan))


def test_render_plan_text_says_why_a_safe_day_is_none(demo_planned: Planned) -> None:
    """Late papers cannot meet it, tight ones have no room, the others say nothing."""
    late = plan_on(demo_planned, date(2027, 1, 11), date(2027, 2, 10))

    said = set()
    for plan in (demo_planned.plan, late):
        text = squeeze(render_plan_text(plan))
        for paper in plan.papers:
            if paper.mail_safe is None:
                continue
            tail = " (cannot be met)" if paper.is_late else ""
            tail = " (no room left for a return)" if paper.is_tight else tail
            verb = "mail" if paper.is_mailed else "file"
            assert (
                f"packet {paper.id}, {paper.state} {verb} by, safe {say_date(paper.mail_safe)}"
                f"{tail} {verb} by, last"
            ) in text
            said.add(tail)
    assert said == {"", " (cannot be met)", " (no room left for a return)"}


def test_render_plan_text_gap_grounds_the_job(demo_planned: Planned) -> None:
    """A paper that ends in the middle of a job and cannot be renewed before."""
    operation = demo_planned.plan.operation
    papers = tuple(
        replace(one, valid_through=date(2027, 5, 26))
        if one.paper == "ne.commercial-applicator"
        else one
        for one in operation.papers
    )
    plan = compute_plan(
        replace(operation, papers=papers), demo_planned.table, demo_planned.log, date(2027, 5, 24)
    )
    (job,) = [one for one in plan.jobs if one.gap is not None][:1]
    assert job.gap is not None
    last, again = job.gap

    assert last == date(2027, 5, 26)
    assert f"GROUNDED from the day after {say_date(last)} until {say_date(again)}" in squeeze(
        render_plan_text(plan)
    )


def test_render_plan_text_cautions_follow_the_job(demo_planned: Planned) -> None:
    operation = demo_planned.plan.operation
    seed = replace(
        operation, jobs=tuple(one for one in operation.jobs if one.material is Material.SEED)
    )
    texts = [
        squeeze(render_plan_text(compute_plan(one, demo_planned.table, (), date(2027, 1, 11))))
        for one in (operation, seed, replace(operation, jobs=()))
    ]
    said = [
        [squeeze(caution) in text for caution in (AVIATION_CAUTION, CHEMICAL_CAUTION, CAUTION)]
        for text in texts
    ]

    assert said == [[True, True, True], [True, False, True], [False, False, True]]


def test_render_plan_text_long_name_stays_whole(demo_planned: Planned) -> None:
    name = "Sandbur " * 40 + "LLC"
    operation = replace(demo_planned.plan.operation, legal_name=name)
    plan = compute_plan(operation, demo_planned.table, (), date(2027, 1, 11))

    assert name in squeeze(render_plan_text(plan))


def test_render_plan_text_overdue_paper_is_no_promise(demo_planned: Planned) -> None:
    """A packet that ought to have come long ago has no day; the job says on what it hangs."""
    plan = plan_on(demo_planned, date(2027, 5, 1))
    text = squeeze(render_plan_text(plan))
    paper = plan.find_paper("faa.exemption")
    assert paper is not None
    assert paper.overdue_since is not None
    since = say_date(paper.overdue_since)

    assert f"OVERDUE since {since}; when it will come is not known" in text
    assert (
        f"waits on the office; with usual times it would have come by {since}, so ask there what "
        "has become of it"
    ) in text
    assert "comes by Sat 1 May 2027" not in text


def test_render_plan_text_job_that_hangs_on_the_office_says_so(demo_plan: Plan) -> None:
    """In time by the count alone is not in time."""
    job = demo_plan.jobs[0]
    free = replace(job, first_lawful_day=job.job.first_day, waits_for=(), gap=None)
    first, second, *others = [
        replace(paper, overdue_since=None, renewal_missed=None) for paper in demo_plan.papers
    ]
    needed = replace(first.packet.verdict, jobs=(job.job.id,))
    day = date(2027, 1, 5)
    papers = (
        replace(first, overdue_since=day, packet=replace(first.packet, verdict=needed)),
        replace(second, renewal_missed=day, packet=replace(second.packet, verdict=needed)),
        *others,
    )
    plan = replace(demo_plan, jobs=(free,), papers=papers)
    text = squeeze(render_plan_text(plan))

    assert "every paper can be in force on its first day" not in text
    assert (
        f"in time ONLY IF: the office, which is overdue, sends {subject_of(plan, papers[0])} in "
        f"time the office takes a late renewal: {subject_of(plan, papers[1])}"
    ) in text

    late = replace(plan, jobs=(replace(free, first_lawful_day=LATER, waits_for=(first.id,)),))
    text = squeeze(render_plan_text(late))
    assert "in time ONLY IF" not in text
    assert (
        "and that day holds ONLY IF: the office, which is overdue, sends "
        f"{subject_of(plan, papers[0])} at once the office takes a late renewal: "
        f"{subject_of(plan, papers[1])}"
    ) in text


def _head(plan: Plan) -> list[str]:
    """Give what stands above the jobs, without warnings and the line of the day."""
    lines = " ".join(render_plan_text(plan).partition("\nJOBS\n")[0].split("\n")[1:])
    return [" ".join(lines.partition(" ! ")[0].split())]


@pytest.mark.parametrize(
    ("day", "lawful", "gap", "said"),
    [
        (date(2027, 5, 23), None, None, "First spray Mon 24 May 2027, tomorrow."),
        (date(2027, 5, 24), None, None, "First spray Mon 24 May 2027, today."),
        (
            date(2027, 5, 25),
            None,
            None,
            (
                "Now: pasture-ne, since Mon 24 May 2027. "
                "Next first spray Mon 14 Jun 2027, in 20 days: pasture-sd."
            ),
        ),
        (
            date(2027, 5, 25),
            date(2027, 6, 1),
            None,
            (
                "Now: pasture-ne, since Mon 24 May 2027, but not lawful before Tue 1 Jun 2027. "
                "Next first spray Mon 14 Jun 2027, in 20 days: pasture-sd."
            ),
        ),
        (
            date(2027, 5, 25),
            date(2027, 6, 13),
            None,
            (
                "Now: pasture-ne, since Mon 24 May 2027, but by this plan no day of it is lawful. "
                "Next first spray Mon 14 Jun 2027, in 20 days: pasture-sd."
            ),
        ),
        (
            date(2027, 6, 2),
            None,
            (date(2027, 6, 1), date(2027, 6, 8)),
            (
                "Now: pasture-ne, since Mon 24 May 2027, but not lawful before Tue 8 Jun 2027. "
                "Next first spray Mon 14 Jun 2027, in 12 days: pasture-sd."
            ),
        ),
        (
            date(2027, 6, 12),
            None,
            None,
            (
                "Now: pasture-ne, since Mon 24 May 2027. "
                "Next first spray Mon 14 Jun 2027, in 2 days: pasture-sd."
            ),
        ),
        (date(2027, 6, 13), None, None, "First spray Mon 14 Jun 2027, tomorrow."),
        (date(2027, 9, 30), None, None, "Now: cover-crop, since Mon 23 Aug 2027."),
        (date(2027, 10, 1), None, None, ""),
    ],
)
def test_running_job_stands_before_the_next_first_spray(
    demo_planned: Planned, day: date, lawful: date | None, gap: tuple[date, date] | None, said: str
) -> None:
    """Both ends of a job belong to it; a job that is not lawful is not called running only."""
    plan = replace(demo_planned.plan, as_of=day)
    jobs = tuple(
        replace(
            one,
            first_lawful_day=lawful or one.job.first_day,
            waits_for=("faa.exemption",) if lawful and one.job.id == "pasture-ne" else (),
            gap=gap if one.job.id == "pasture-ne" else None,
        )
        for one in plan.jobs
    )

    assert _head(replace(plan, jobs=jobs, warnings=())) == [said]


def test_two_running_jobs_are_both_named(demo_planned: Planned) -> None:
    """The one that began first stands first, and one that begins today is the next one."""
    begun = {"pasture-ne": date(2027, 5, 24), "pasture-sd": date(2027, 5, 20)}
    jobs = tuple(
        replace(
            one,
            waits_for=(),
            job=replace(
                one.job,
                first_day=begun.get(one.job.id, date(2027, 5, 26)),
                last_day=date(2027, 9, 30),
            ),
        )
        for one in demo_planned.plan.jobs
    )
    plan = replace(demo_planned.plan, as_of=date(2027, 5, 26), jobs=jobs, warnings=())

    assert _head(plan) == [
        (
            "Now: pasture-sd, since Thu 20 May 2027; pasture-ne, since Mon 24 May 2027. "
            "Next first spray Wed 26 May 2027, today: own-quarter."
        )
    ]


def test_running_job_in_order_is_said_of_the_days_to_come(demo_planned: Planned) -> None:
    """Nothing can be in force any more on a first day that is past."""
    (job, *_) = demo_planned.plan.jobs
    free = replace(job, first_lawful_day=job.job.first_day, waits_for=(), gap=None)
    papers = tuple(
        replace(one, overdue_since=None, renewal_missed=None) for one in demo_planned.plan.papers
    )
    plan = replace(demo_planned.plan, jobs=(free,), papers=papers)
    first = "every paper can be in force on its first day"
    begun = "every paper can be in force from today on"

    for day, said, other in ((24, first, begun), (25, begun, first)):
        text = squeeze(render_plan_text(replace(plan, as_of=date(2027, 5, day))))
        assert said in text
        assert other not in text
