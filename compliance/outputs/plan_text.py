"""The plan as text for a screen of 80 columns, the next thing on top."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import say_date, say_days
from compliance.engine.agenda import (
    Item,
    ItemKind,
    compute_agenda,
    find_act_day,
    list_once,
    pick_first_acts,
    say_here,
    subject_of,
)
from compliance.engine.awaited import list_missed, list_overdue
from compliance.engine.explain_earliest import trace_papers
from compliance.engine.plan_model import JobPlan, PaperPlan, Plan, Remedy
from compliance.outputs.chances_text import list_chances, list_job_chance, list_packet_chance
from compliance.outputs.duties_text import list_plan_lines
from compliance.outputs.grounded_words import may_fly_in_part, say_ended, say_in_part
from compliance.outputs.office_words import say_ask, say_heard
from compliance.outputs.words import (
    AT_USUAL_PACE,
    list_cautions,
    say_if_came,
    say_limits,
    say_relative,
    say_waiting,
    wrap,
)

NEXT_ITEMS = 6
_AHEAD = (ItemKind.DO, ItemKind.EXPECT, ItemKind.ASK)


def render_plan_text(plan: Plan, *, chance_asked: bool = False) -> str:
    """Render the plan: warnings, jobs, what comes next, papers to get, papers in hand, cautions.

    *chance_asked* tells that the reader chose the chance, and wants to know which day is for it.
    """
    sections = [
        "\n".join(_head(plan)),
        "\n".join(_jobs(plan)),
        "\n".join(_remedies(plan)),
        "\n".join(_next(plan)),
        "\n".join(list_plan_lines(plan)),
        "\n".join(_to_get(plan)),
        "\n".join(_in_hand(plan)),
        "\n".join(list_chances(plan, chance_asked=chance_asked)),
        "\n".join(_confirm(plan)),
        "\n".join(wrap(caution) for caution in list_cautions(plan)),
    ]
    return "\n\n".join(section for section in sections if section) + "\n"


def _head(plan: Plan) -> Iterator[str]:
    yield wrap(f"{plan.operation.legal_name}, as of {say_date(plan.as_of)}")
    running = sorted(
        (one for one in plan.jobs if one.job.first_day < plan.as_of <= one.job.last_day),
        key=lambda one: one.job.first_day,
    )
    if running:
        yield wrap(f"Now: {'; '.join(_say_running(plan, one) for one in running)}.", hang=2)
    ahead = [job.job for job in plan.jobs if job.job.first_day >= plan.as_of]
    if ahead:
        first = min(ahead, key=lambda one: one.first_day)
        when = f"{say_date(first.first_day)}, {say_relative(first.first_day, plan.as_of)}"
        yield f"Next first spray {when}: {first.id}." if running else f"First spray {when}."
    for warning in plan.warnings:
        yield wrap(f"! {warning}", hang=2)


def _say_running(plan: Plan, job: JobPlan) -> str:
    """Name a job whose days have begun; beside it from when it is lawful, where it is not now."""
    text = f"{job.job.id}, since {say_date(job.job.first_day)}"
    lawful = job.first_lawful_day if job.waits_for or job.grounded_since else plan.as_of
    if job.gap is not None and job.gap[0] < plan.as_of < job.gap[1]:
        lawful = job.gap[1]
    if job.grounded_since is not None:
        text += f", but grounded since {say_date(job.grounded_since)}"
        if lawful > job.job.last_day:
            return f"{text}, and by this plan no day of it is lawful any more"
        return f"{text}, until {say_date(lawful)} at the soonest"
    if lawful <= plan.as_of:
        return text
    if lawful > job.job.last_day:
        return f"{text}, but by this plan no day of it is lawful"
    return f"{text}, but not lawful before {say_date(lawful)}"


def _jobs(plan: Plan) -> Iterator[str]:
    if not plan.jobs:
        return
    yield "JOBS"
    for job in plan.jobs:
        span = f"{say_date(job.job.first_day)} to {say_date(job.job.last_day)}"
        yield wrap(f"{job.job.id}, {job.job.state}, {span}", indent=2, hang=4)
        yield from _job_verdict(plan, job)
        yield from list_job_chance(plan, job.job.id)


def _job_verdict(plan: Plan, job: JobPlan) -> Iterator[str]:
    overdue = [paper.id for paper in list_overdue(plan, job)]
    missed = [paper.id for paper in list_missed(plan, job)]
    if job.late_by_days == 0 and not overdue and not missed:
        begun = job.job.first_day < plan.as_of
        when = "from today on" if begun else "on its first day"
        yield f"      every paper can be in force {when}"
    elif job.late_by_days == 0:
        yield "      in time ONLY IF:"
    else:
        yield from _late(plan, job)
        if overdue or missed:
            yield "      and that day holds ONLY IF:"
    if overdue:
        soon = "in time" if job.late_by_days == 0 else "at once"
        text = f"the office, which is overdue, sends {_names(plan, tuple(overdue))} {soon}"
        yield wrap(text, indent=8, hang=10)
    if missed:
        text = f"the office takes a late renewal: {_names(plan, tuple(missed))}"
        yield wrap(text, indent=8, hang=10)
    if job.gap is not None:
        last, again = job.gap
        yield wrap(
            f"GROUNDED from the day after {say_date(last)} until {say_date(again)}: "
            f"{_names(plan, (job.gap_packet,))} runs out before {_say_next(plan, job)}",
            indent=6,
            hang=6,
        )
    if may_fly_in_part(plan, job):
        yield wrap(say_in_part(job), indent=6, hang=6)


def _say_next(plan: Plan, job: JobPlan) -> str:
    held = [one for one in plan.papers if one.id == job.gap_packet and not one.packet.planned]
    return "the next one, held already, begins" if held else "a renewal can be there"


def _late(plan: Plan, job: JobPlan) -> Iterator[str]:
    """Say by how much a job is late or since when it is grounded, why, and if a day is left."""
    day = say_date(job.first_lawful_day)
    text = f"LATE by {say_days(job.late_by_days)}: first lawful day {day}, because of "
    if job.grounded_since is None:
        text += _roots(plan, job.waits_for)
    else:
        since = say_date(job.grounded_since)
        text = f"GROUNDED since {since}, until {day} at the soonest: {say_ended(plan, job)}"
    yield wrap(text, indent=6, hang=6)
    if job.first_lawful_day > job.job.last_day:
        yield wrap(
            f"! no day of this job is left: it ends on {say_date(job.job.last_day)}, before "
            "its papers can be there",
            indent=6,
            hang=8,
        )


def _names(plan: Plan, packets: tuple[str, ...]) -> str:
    papers = [paper for paper in plan.papers if paper.id in packets]
    return " and ".join(subject_of(plan, paper) for paper in papers)


def _roots(plan: Plan, packets: tuple[str, ...]) -> str:
    """Name the papers that make a job late, each with what it waits for in its turn."""
    chains = []
    for paper in plan.papers:
        if paper.id in packets:
            chain = [one.packet.paper.title for one in trace_papers(plan, paper)]
            chains.append(", which waits for ".join([subject_of(plan, paper), *chain[1:]]))
    return "; and ".join(chains)


def _remedies(plan: Plan) -> Iterator[str]:
    """Say what would help each late job, and which job nothing tried would help."""
    if not plan.remedies and not plan.unhelped:
        return
    jobs = dict.fromkeys(remedy.job for remedy in plan.remedies)
    yield f"WHAT WOULD HELP {next(iter(jobs))}" if len(jobs) == 1 else "WHAT WOULD HELP"
    for what in dict.fromkeys(remedy.what for remedy in plan.remedies):
        same = [remedy for remedy in plan.remedies if remedy.what == what]
        # A later first day names its job itself.
        if len(jobs) == 1 or same[0].days_gained == 0:
            yield wrap(f"- {what}: {_say_gain(plan, same[0])}", indent=2, hang=4)
            continue
        yield wrap(f"- {what}", indent=2, hang=4)
        for remedy in same:
            yield wrap(f"{remedy.job}: {_say_gain(plan, remedy)}", indent=6, hang=8)
    if any(remedy.trips for remedy in plan.remedies):
        yield wrap(
            "Of days to go to town only those are named without which a job listed would begin "
            "later; a drive on a sooner day leaves more room.",
            indent=2,
        )
    if plan.remedies and all(remedy.days_gained == 0 for remedy in plan.remedies):
        yield "  Express mail and earlier trips to town would gain nothing."
    grounded = [
        job.job.id
        for job in plan.jobs
        if job.ended_on is not None and job.first_lawful_day <= job.job.last_day
    ]
    if back := [job for job in plan.unhelped if job in grounded]:
        yield wrap(
            f"Nothing brings {' or '.join(back)} back sooner: express mail and earlier trips to "
            "town would gain nothing.",
            indent=2,
        )
    if unhelped := [job for job in plan.unhelped if job not in grounded]:
        nothing = f"Nothing of this kind{' for the rest' if plan.remedies else ''}"
        yield wrap(
            f"{nothing}: express mail, earlier trips to town and a later first day leave no lawful "
            f"day of {' or '.join(unhelped)}.",
            indent=2,
        )


def _say_gain(plan: Plan, remedy: Remedy) -> str:
    """Say the day a remedy leads to, what it gains, and on what it hangs."""
    gain = f", {say_days(remedy.days_gained)} sooner" if remedy.days_gained else ""
    enough = "in time" if remedy.enough else "still late"
    only = _say_only_if(plan, remedy)
    return f"lawful from {say_date(remedy.first_lawful_day)}{gain}; {enough}{only}"


def _say_only_if(plan: Plan, remedy: Remedy) -> str:
    """Say on what a remedy hangs besides."""
    found = []
    if remedy.overdue:
        found.append(f"the office, which is overdue, sends {_names(plan, remedy.overdue)} at once")
    if remedy.missed:
        found.append(f"the office takes a late renewal: {_names(plan, remedy.missed)}")
    return f"; ONLY IF {', and '.join(found)}" if found else ""


def _next(plan: Plan) -> Iterator[str]:
    agenda = pick_first_acts(compute_agenda(plan))
    items = [item for item in agenda if item.kind in _AHEAD]
    # Of what falls on the same day, the packet with the least to spare comes first.
    items.sort(key=lambda item: (item.day, item.paper.slack_days or 0 if item.paper else 0))
    if not items:
        return
    yield "NEXT"
    for item in items[:NEXT_ITEMS]:
        yield from _item(plan, item)
    if len(items) > NEXT_ITEMS:
        yield f"  ... and {len(items) - NEXT_ITEMS} more; `mailby today` shows this week"


def _item(plan: Plan, item: Item) -> Iterator[str]:
    day = f"{say_date(item.day)}, {say_relative(item.day, plan.as_of)}"
    yield wrap(f"{day}: {item.title}", indent=2, hang=4)
    limits = "".join(f"; {limit}" for limit in say_limits(item))
    yield wrap(f"{item.subject}{limits}", indent=6, hang=6)


def _to_get(plan: Plan) -> Iterator[str]:
    papers = [paper for paper in plan.papers if paper.packet.planned]
    if not papers:
        return
    yield "PAPERS TO GET, the most pressing first"
    pressing = sorted(papers, key=lambda paper: paper.slack_days or 0)
    for paper in pressing:
        yield ""
        yield wrap(subject_of(plan, paper), indent=2, hang=4)
        yield f"      packet {paper.id}, {paper.state}"
        yield from _paper_dates(plan, paper)


def _paper_dates(plan: Plan, paper: PaperPlan) -> Iterator[str]:
    packet = paper.packet
    if paper.mailed_on is not None:
        yield f"      sent off     {say_date(paper.mailed_on)}"
        if paper.ask_day is not None:
            yield wrap(say_ask(paper.ask_day, plan.as_of), indent=6, hang=19)
        for heard in packet.progress.heard[-1:]:
            yield wrap(f"they said    {say_heard(heard)}", indent=6, hang=19)
    elif paper.mail_last is not None and paper.mail_safe is not None:
        yield from _sending_days(plan, paper, paper.mail_safe, paper.mail_last)
    yield from list_packet_chance(plan, paper)
    needed = f"needed by    {say_date(packet.need_by)}"
    if paper.in_hand_by is not None and paper.in_hand_by != packet.need_by:
        needed += f"; other papers wait for it from {say_date(paper.in_hand_by)}"
    yield wrap(needed, indent=6, hang=19)
    if paper.overdue_since is not None:
        since = say_date(paper.overdue_since)
        yield f"      OVERDUE      since {since}; when it will come is not known"
    else:
        ready = say_date(paper.earliest_ready)
        slack = _slack(plan, paper)
        yield wrap(f"ready        {ready} {AT_USUAL_PACE}, {slack}", indent=6, hang=19)
    yield wrap(f"waits on     {say_waiting(paper, with_day=False)}", indent=6, hang=19)
    for entry in packet.progress.returns:
        yield wrap(f"came back    {say_date(entry.happened_on)}: {entry.reason}", indent=6, hang=19)
    for warning in paper.warnings:
        yield wrap(f"! {warning}", indent=6, hang=8)


def _sending_days(plan: Plan, paper: PaperPlan, safe: date, last: date) -> Iterator[str]:
    """Say the safe and the last day to send it off, and the trip or the day to act on."""
    word = "mail" if paper.is_mailed else "file"
    tail = " (no room left for a return)" if paper.is_tight else ""
    tail = " (cannot be met)" if paper.is_late else tail
    yield f"      {word} by, safe {say_date(safe)}{tail}"
    yield f"      {word} by, last {say_date(last)}{say_past_last(plan, paper)}"
    day, once = find_act_day(plan, paper), list_once(plan, paper)
    if once:
        text = f"so act       once {say_here(once)}"
        yield wrap(text, indent=6, hang=19)
    elif day is not None and paper.mail_step in plan.trip_days:
        text = f"so act on    {say_date(day)}, on the trip to town (mailby trips)"
        yield wrap(text, indent=6, hang=19)
    elif day is not None:
        text = f"so act on    {say_date(day)}, the first day it can go"
        yield wrap(text, indent=6, hang=19)


def say_past_last(plan: Plan, paper: PaperPlan) -> str:
    """Say that the last day cannot be met, whether it is past or the way to it is too long."""
    sending = next((step for step in paper.steps if step.id == paper.mail_step), None)
    if sending is None or sending.last is None or sending.earliest <= sending.last:
        return ""
    trip = plan.trip_days.get(sending.id)
    first = sending.earliest if trip is None else max(sending.earliest, trip.on)
    return f" (not possible before {say_date(first)})"


def _slack(plan: Plan, paper: PaperPlan) -> str:
    slack = paper.slack_days or 0
    # Nobody knows when the overdue paper comes, so nobody knows the days to spare.
    if once := list_once(plan, paper):
        late = f": {say_days(-slack)} TOO LATE even then" if slack < 0 else ""
        return f"{say_if_came(once)}{late}"
    if slack < 0:
        return f"{say_days(-slack)} TOO LATE"
    if paper.renewal_missed is not None:
        return "but only if the office takes a late renewal"
    return f"{say_days(slack)} to spare"


def _in_hand(plan: Plan) -> Iterator[str]:
    papers = [paper for paper in plan.papers if not paper.packet.planned]
    if not papers:
        return
    yield "PAPERS IN HAND, through the last job that needs them"
    for paper in papers:
        through = paper.packet.valid_through
        end = f"through {say_date(through)}" if through else "no last day"
        number = paper.packet.held.number if paper.packet.held is not None else ""
        number = f", no. {number}" if number else ""
        yield wrap(f"{subject_of(plan, paper)}{number}, {end}", indent=2, hang=4)
        for warning in paper.warnings:
            yield wrap(f"! {warning}", indent=6, hang=8)


def _confirm(plan: Plan) -> Iterator[str]:
    said = dict.fromkeys(line for paper in plan.papers for line in paper.confirm)
    if not said:
        return
    yield "CONFIRM BEFORE YOU RELY ON IT"
    for line in said:
        yield wrap(f"- {line}", indent=2, hang=4)
