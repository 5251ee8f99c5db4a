"""From a plan to the season on one page: which days, which rows, under which names."""

from dataclasses import replace
from datetime import date, timedelta

from compliance.base.dates import add_months, month_end, say_date, say_days
from compliance.engine.agenda import subject_of
from compliance.engine.chance_model import Chances
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.facts.model import HolderKind
from compliance.outputs.timeline_frame import Frame
from compliance.outputs.timeline_jobs import make_job_row, make_trips_row
from compliance.outputs.timeline_model import Group, Row, Season, Spread
from compliance.outputs.timeline_rows import find_ask_mark, make_packet_row
from compliance.outputs.timeline_waits import compute_spreads
from compliance.outputs.words import list_cautions, say_relative

MONTHS_BACK = 12
MONTHS_AHEAD = 36
MOST_WARNINGS = 3
MOST_NAMED = 4
_FEW = 3
_LATELY = timedelta(days=31)
_TAIL = timedelta(days=31)
_HOLDERS = (HolderKind.OPERATION, HolderKind.AIRCRAFT, HolderKind.PILOT)


def compute_season(
    plan: Plan,
    *,
    trips: tuple[date, ...] = (),
    remarks: tuple[str, ...] = (),
) -> Season:
    """Compute the picture of a season: jobs first, then the packets of each holder.

    Shape: within a group what is to be had comes first, the most pressing on top, then what is in
    hand. At most 12 months back and 36 ahead are shown; what lies outside stands at the edge.
    *trips* are days of drives to town, those past left out; *remarks* stand under the title.
    """
    spreads = compute_spreads(plan)
    ahead = tuple(day for day in trips if day >= plan.as_of)
    first, last = _days_shown(plan, ahead, spreads)
    frame = Frame(
        as_of=plan.as_of, first=first, last=last, spreads=spreads, is_drawn=plan.chances is not None
    )
    groups = []
    work = _jobs(plan, frame)
    if ahead:
        work = (*work, make_trips_row(ahead, frame))
    if work:
        groups.append(Group(title="Spraying", rows=work))
    for kind in _HOLDERS:
        groups.extend(_groups_of(plan, kind, frame))
    begins = sorted({job.job.first_day for job in plan.jobs})
    return Season(
        title=f"The season of {plan.operation.legal_name}",
        under=(*_under(plan), *remarks),
        as_of=plan.as_of,
        first=first,
        last=last,
        groups=tuple(groups),
        begins=tuple(day for day in begins if first <= day <= last),
        notices=list_cautions(plan),
    )


def _jobs(plan: Plan, frame: Frame) -> tuple[Row, ...]:
    earliest = min(_list_to_come(plan), default=None)
    return tuple(
        make_job_row(plan, job, frame, is_first=job.job.first_day == earliest)
        for job in sorted(plan.jobs, key=lambda one: (one.job.first_day, one.job.last_day))
    )


def _groups_of(plan: Plan, kind: HolderKind, frame: Frame) -> list[Group]:
    papers: dict[str, list[PaperPlan]] = {}
    for paper in plan.papers:
        if paper.packet.holder.kind is kind:
            papers.setdefault(plan.operation.say_holder(paper.packet.holder), []).append(paper)
    if len(papers) >= _FEW and all(len(own) == 1 for own in papers.values()):
        rows = [
            replace(row, title=f"{row.title}, {name}")
            for name, own in papers.items()
            for row in (make_packet_row(plan, own[0], frame),)
        ]
        return [Group(title=f"For each {kind}", rows=tuple(rows))]
    return [
        Group(
            title=f"For {name}",
            rows=tuple(
                make_packet_row(plan, paper, frame) for paper in sorted(own, key=_how_pressing)
            ),
        )
        for name, own in papers.items()
    ]


def _how_pressing(paper: PaperPlan) -> tuple[bool, int]:
    return not paper.packet.planned, paper.slack_days or 0


def _under(plan: Plan) -> tuple[str, ...]:
    lines = [f"As of {say_date(plan.as_of)}."]
    to_come = _list_to_come(plan)
    if to_come:
        day = min(to_come)
        names = ", ".join(job.job.id for job in plan.jobs if job.job.first_day == day)
        lines[0] += f" Next to begin: {names} on {say_date(day)}, {say_relative(day, plan.as_of)}."
    lines.extend(_list_trouble(plan))
    planned = [paper for paper in plan.papers if paper.packet.planned]
    if not plan.jobs:
        # A file without any job is warned of below.
        over = plan.operation.jobs
        lines[0] += " Every job is over, so no paper is asked for." if over else ""
    elif not planned:
        lines[0] += " Every paper needed is in hand."
    else:
        lines.append(_say_answers(plan.chances))
    lines.extend(f"! {warning}" for warning in plan.warnings[:MOST_WARNINGS])
    more = len(plan.warnings) - MOST_WARNINGS
    if more > 0:
        lines.append(f"! and {more} more to know: mailby plan lists everything")
    return tuple(lines)


def _list_to_come(plan: Plan) -> list[date]:
    """List the first days of jobs that are still ahead, today's too."""
    return [job.job.first_day for job in plan.jobs if job.job.first_day >= plan.as_of]


def _list_trouble(plan: Plan) -> list[str]:
    """Name the jobs that cannot begin on their day or must stop in between, and overdue papers."""
    late = [
        f"{job.job.id} by {say_days(job.late_by_days)}"
        for job in plan.jobs
        if job.late_by_days and job.ended_on is None
    ]
    ended = [
        f"{job.job.id} since {say_date(job.grounded_since)}"
        for job in plan.jobs
        if job.grounded_since is not None
    ]
    grounded = [job.job.id for job in plan.jobs if job.gap is not None]
    lines = [f"LATE: {_name_few(late)}."] if late else []
    if ended:
        lines.append(f"GROUNDED: {_name_few(ended)}.")
    overdue = [subject_of(plan, paper) for paper in plan.papers if paper.overdue_since is not None]
    if overdue:
        it = "them" if len(overdue) > 1 else "it"
        lines.append(
            f"OVERDUE: {_name_few(overdue)}. What waits for {it} has no ready day and no days to "
            "spare."
        )
    if grounded:
        lines.append(f"GROUNDED for some of its days: {_name_few(grounded)}.")
    return lines


def _name_few(names: list[str]) -> str:
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


def _say_answers(chances: Chances | None) -> str:
    if chances is None:
        return (
            "Where a line swells an office may answer: soonest, most likely and slow day, by the "
            "rows of the rules table."
        )
    return (
        "Where a line swells an office may answer. The swell begins on the day by which one answer "
        "in ten is there, is widest at even odds, and ends with nine in ten, or goes on past the "
        "edge. It counts packets that come back; a day at usual pace does not. What then comes by "
        "mail is in hand days later."
    )


def _days_shown(
    plan: Plan, trips: tuple[date, ...], spreads: dict[str, Spread]
) -> tuple[date, date]:
    """Give the first and the last day of the picture: whole months, two at the least."""
    days = [plan.as_of, *trips]
    for job in plan.jobs:
        days += [job.job.first_day, job.job.last_day, job.first_lawful_day]
    for paper in plan.papers:
        if paper.packet.planned:
            days += _days_of(paper, plan.as_of)
    earliest = max(min(days), add_months(plan.as_of, -MONTHS_BACK))
    # A slow answer may come very late; the months after the last job would crowd all others.
    slow = max((spread.slow for spread in spreads.values()), default=plan.as_of)
    latest = max(*days, min(slow, max(days) + _TAIL))
    latest = min(latest, add_months(plan.as_of, MONTHS_AHEAD))
    first = earliest.replace(day=1)
    last = max(month_end(latest + timedelta(days=7)), month_end(add_months(first, 1)))
    return first, last


def _days_of(paper: PaperPlan, as_of: date) -> list[date]:
    ahead = (paper.in_hand_by, paper.mail_last, find_ask_mark(paper, as_of))
    return [
        paper.earliest_ready,
        *(day for day in ahead if day is not None and day >= as_of - _LATELY),
        *(step.done_on for step in paper.steps if step.done_on is not None),
    ]
