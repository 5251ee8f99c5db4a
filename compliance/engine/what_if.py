"""Changes to try on a plan: each gives other facts, rules or log entries, and nothing is kept."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from compliance.base.dates import say_date
from compliance.base.problems import NotFoundError, RefusedError
from compliance.base.reading import suggest
from compliance.engine.agenda import list_once_papers
from compliance.engine.double_use import list_new_double_use
from compliance.engine.extra_trip import open_day
from compliance.engine.network import lead_of
from compliance.engine.packets import PaperState
from compliance.engine.plan import build_days, compute_plan, move_first_spray
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.engine.progress import find_returnable
from compliance.engine.sent_mail import hold_services
from compliance.engine.turnaround import find_offices
from compliance.engine.wish import Wish, refuse_two
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Job, MailService, Operation
from compliance.rules.model import LeadDays, RulesTable, StepRow

MOST_DAYS = 2_000
_MOST_NAMES = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """Facts, rules and log with what was asked for, and what that is in words.

    ``log`` has what would have happened by today, ``ahead`` what is taken to happen later, of which
    no office has learnt yet. The days of a plan are those after both; its chances are drawn from
    ``log`` alone, with each packet of ``back`` coming back so often for certain, because on what
    day it goes and returns is as uncertain as all before it. ``by_packet`` are packets with a mail
    service of their own, ``unseen`` step rows whose observed times no longer count. ``not_kept``
    says in words what cannot be kept.
    """

    operation: Operation
    table: RulesTable
    log: tuple[LogEntry, ...]
    ahead: tuple[LogEntry, ...] = ()
    back: Mapping[str, int] = field(default_factory=dict)
    by_packet: Mapping[str, MailService] = field(default_factory=dict)
    unseen: frozenset[str] = frozenset()
    words: tuple[str, ...] = ()
    not_kept: tuple[str, ...] = ()

    def say(self, words: str) -> "Changed":
        """Add what a change is in words."""
        return replace(self, words=(*self.words, words))

    def cannot_keep(self, words: str) -> "Changed":
        """Add what cannot be kept, and what to do instead."""
        return replace(self, not_kept=(*self.not_kept, words))


PlanWith = Callable[[Changed], Plan]


def plan_days_with(changed: Changed, as_of: date) -> Plan:
    """Plan with the changes, without trips."""
    return compute_plan(
        changed.operation,
        changed.table,
        (*changed.log, *changed.ahead),
        as_of,
        by_packet=changed.by_packet,
    )


def apply_wish(
    plan: Plan,
    table: RulesTable,
    log: tuple[LogEntry, ...],
    wish: Wish,
    plan_with: PlanWith | None = None,
) -> Changed:
    """Apply everything that was asked for, one after another: swaps before drops, returns last.

    Shape: *plan_with* gives the plan with what was changed so far, whose days a return to come
    rests on; without it those are the days without trips.

    Raises:
        NotFoundError: A packet, job, machine, person, office or service is not known.
        RefusedError: A change makes no sense.
    """
    refuse_two(wish)
    found = Changed(operation=plan.operation, table=table, log=log)
    if wish.first_spray is not None:
        found = _move(found, plan, wish.first_spray)
    again = {paper.id for name in wish.returned if (paper := plan.find_paper(name)) is not None}
    for name, service in wish.mail:
        found = _mail(found, plan, name, service, again)
    for name, pace in wish.office:
        found = _slow_down(found, plan, name, pace)
    for job, name in wish.swap_aircraft:
        found = _swap(found, job, name, _AIRCRAFT)
    for job, name in wish.swap_pilot:
        found = _swap(found, job, name, _PILOT)
    for name in wish.drop_aircraft:
        found = _drop(found, name, _AIRCRAFT, plan.as_of)
    for name in wish.drop_pilot:
        found = _drop(found, name, _PILOT, plan.as_of)
    for day in wish.trips:
        found = _drive(found, plan, day)
    # Last, because the days of a return to come rest on everything else.
    for name in wish.returned:
        there = plan_days_with(found, plan.as_of) if plan_with is None else plan_with(found)
        found = _return(found, there, name)
    # Of everything together: a swap may part what a moved season brought together.
    clashes = list_new_double_use(plan.operation, found.operation, plan.as_of)
    return replace(found, words=(*found.words, *clashes))


@dataclass(frozen=True, slots=True)
class _Kind:
    """How jobs name machines or people."""

    word: str
    known: Callable[[Operation], Iterable[str]]
    of_job: Callable[[Job], tuple[str, ...]]
    with_job: Callable[[Job, tuple[str, ...]], Job]


_AIRCRAFT = _Kind(
    "aircraft",
    lambda operation: (one.id for one in operation.aircraft),
    lambda job: job.aircraft,
    lambda job, names: replace(job, aircraft=names),
)
_PILOT = _Kind(
    "pilot",
    lambda operation: (one.id for one in operation.pilots),
    lambda job: job.pilots,
    lambda job, names: replace(job, pilots=names),
)


def _move(found: Changed, plan: Plan, day: date) -> Changed:
    if day < plan.as_of:
        raise RefusedError(
            f"the first spray {say_date(day)} is past; today is {say_date(plan.as_of)}",
            hint="give a day to come, or plan as of an earlier day with --on",
        )
    if not found.operation.jobs:
        raise RefusedError("there is no job whose first spray could move")
    moved = move_first_spray(found.operation, day)
    return replace(found, operation=moved).say(f"the first spray is on {say_date(day)}")


def _mail(found: Changed, plan: Plan, name: str, service: str, again: set[str]) -> Changed:
    """Send packets another way; *again* are those that come back and are sent once more."""
    typed, service = service, service.strip().lower()
    if service not in set(MailService):
        hint = f"one of: {', '.join(MailService)}"
        raise NotFoundError(f"no mail service is called {typed!r}", hint=hint)
    chosen = MailService(service)
    if name == "all":
        operation = replace(found.operation, mail_service=chosen)
        return replace(_hold(found, plan), operation=operation).say(_say_all(plan, service, again))
    paper = plan.find_paper(name)
    if paper is None or not paper.packet.planned:
        raise _unknown("packet to be sent", name, [*_planned(plan), "all"])
    if not paper.is_mailed:
        raise RefusedError(f"{paper.id} is filed, not mailed; no mail service makes it quicker")
    if paper.mailed_on is not None and paper.id not in again:
        raise RefusedError(f"{paper.id} was sent off on {say_date(paper.mailed_on)} already")
    by_packet = dict(found.by_packet) | {paper.id: chosen}
    when = " when it is sent again" if paper.mailed_on is not None else ""
    held = replace(_hold(found, plan), by_packet=by_packet)
    changed = held.say(f"{paper.id} goes by {service}{when}")
    return changed.cannot_keep(
        f"the service of one packet ({paper.id}): choose it at the counter, and log the mailing"
    )


def _hold(found: Changed, plan: Plan) -> Changed:
    """Leave what is in the mail already with the service it was sent by."""
    return replace(found, log=hold_services(found.log, plan.operation.mail_service, found.table))


def _say_all(plan: Plan, service: str, again: set[str]) -> str:
    """Say what goes by another service, and what was sent off before and does not come back."""
    going = [paper for paper in plan.papers if paper.packet.planned and paper.is_mailed]
    sent = [paper.id for paper in going if paper.mailed_on is not None]
    if not sent:
        return f"every packet goes by {service}"
    back = ", ".join(name for name in sent if name in again)
    stays = ", ".join(name for name in sent if name not in again)
    return (
        f"every packet still to be sent goes by {service}"
        + (f", and {back} when it is sent again" if back else "")
        + (f"; sent off already, and so stays as it is: {stays}" if stays else "")
    )


def _planned(plan: Plan) -> list[str]:
    return [paper.id for paper in plan.papers if paper.packet.planned]


def _slow_down(found: Changed, plan: Plan, name: str, pace: str) -> Changed:
    offices = find_offices(found.table)
    wanted = {row for row, office in offices.items() if name in (row, office)}
    if not wanted:
        raise _unknown_office(plan, name, offices)
    days = _read_pace(pace)
    steps = tuple(
        replace(row, days=_pace(row.days, pace, days)) if row.id in wanted and row.days else row
        for row in found.table.steps
    )
    how = f"takes {days} days" if days is not None else f"is {pace}"
    return replace(
        found,
        table=replace(found.table, steps=steps),
        unseen=found.unseen | wanted,
        words=(*found.words, f"{name} {how}, whatever was seen of it"),
    ).cannot_keep(f"the times of {name}: set them with mailby rules set")


def _read_pace(pace: str) -> int | None:
    if pace in {"slow", "fast"}:
        return None
    if pace.isascii() and pace.isdigit() and 1 <= int(pace[:5]) <= MOST_DAYS:
        return int(pace)
    raise RefusedError(
        f"an office is slow, fast, or takes 1 to {MOST_DAYS} days, not {pace!r}",
        hint="such as --office faa.registry=slow or --office faa.registration-n.review=30",
    )


def _pace(lead: LeadDays, pace: str, days: int | None) -> LeadDays:
    """Give a row's days at another pace: the slow or fast days become the usual ones."""
    if days is not None:
        return LeadDays(fast=days, usual=days, slow=days)
    usual = lead.slow if pace == "slow" else max(lead.fast, 1)
    factor = usual / max(lead.usual, 1)
    slow = max(round(lead.slow * factor), usual)
    return LeadDays(fast=min(round(lead.fast * factor), usual), usual=usual, slow=slow)


def _return(found: Changed, plan: Plan, name: str) -> Changed:
    """Let a packet come back: today when it is at an office, else once after it was sent."""
    paper = plan.find_paper(name)
    if paper is None or not paper.packet.planned:
        raise _unknown("packet to be sent", name, _planned(plan))
    row = find_returnable(paper.packet.steps)
    if row is None:
        raise RefusedError(f"{paper.id} is a packet that no office sends back")
    if paper.state is PaperState.AT_OFFICE:
        # Logged as a return would be, so that what it teaches of the office counts too.
        entry = _entry(found, paper, EventKind.RETURNED, plan.as_of)
        changed = replace(found, log=(*found.log, entry)).say(f"{paper.id} comes back today")
    else:
        changed = _return_later(found, plan, paper, row)
    return changed.cannot_keep(f"a return that has not happened ({paper.id})")


def _return_later(found: Changed, plan: Plan, paper: PaperPlan, row: StepRow) -> Changed:
    """Let a packet go on the plan's day and come back after the usual days."""
    sent, back = _find_return(found, plan, paper, row)
    first = _entry(found, paper, EventKind.MAILED, sent)
    then = replace(_entry(found, paper, EventKind.RETURNED, back), number=first.number + 1)
    often = dict(found.back) | {paper.id: found.back.get(paper.id, 0) + 1}
    changed = replace(found, ahead=(*found.ahead, first, then), back=often)
    word = "mailed" if paper.is_mailed else "filed"
    awaited = list_once_papers(plan, paper)
    what = "paper" if len(awaited) == 1 else "papers"
    once = f" if the overdue {what} came today" if awaited else ""
    return changed.say(
        f"{paper.id} is {word} on {say_date(sent)}, the first day the plan has for it{once}, and "
        f"comes back on {say_date(back)}, after the usual days; then it goes again. The chances "
        "count this return as certain, on a day nobody knows, and further returns as likely as "
        "before"
    )


def _entry(found: Changed, paper: PaperPlan, kind: EventKind, day: date) -> LogEntry:
    log = (*found.log, *found.ahead)
    return LogEntry(
        number=max((one.number for one in log), default=0) + 1,
        kind=kind,
        paper=paper.packet.paper.id,
        holder=paper.packet.holder,
        happened_on=day,
        reason="what if it came back" if kind is EventKind.RETURNED else "",
    )


def _find_return(found: Changed, plan: Plan, paper: PaperPlan, row: StepRow) -> tuple[date, date]:
    """Find the first day a packet can be sent off, and the day it is back with usual times."""
    sending, answer = plan.find_step(paper.mail_step), paper.find_step(row.name)
    if sending is None or answer is None or sending.row.event is not EventKind.MAILED:
        raise RefusedError(f"{paper.id} is not sent to an office, so none can send it back")
    services = {one.id: one for one in found.table.services}
    out, back = services[f"mail.{plan.operation.mail_service}"], services["mail.first-class"]
    days = build_days(plan.operation, tuple(one.packet for one in plan.papers), plan.as_of)
    day = answer.earliest.toordinal()
    for one in paper.packet.steps:
        if one.name in row.return_path and one.event is EventKind.RETURNED:
            lead, calendar = lead_of(one, out, back)
            day = days.calendar(calendar).forward(day, lead.usual)
    return sending.earliest, date.fromordinal(day)


def _drop(found: Changed, name: str, kind: _Kind, as_of: date) -> Changed:
    operation = found.operation
    if name not in set(kind.known(operation)):
        raise _unknown(kind.word, name, kind.known(operation))
    jobs = []
    for job in operation.jobs:
        if job.last_day < as_of:
            jobs.append(job)
            continue
        left = tuple(one for one in kind.of_job(job) if one != name)
        if not left:
            raise RefusedError(
                f"{job.id} would have no {kind.word} left without {name}",
                hint=f"give it another one first: --swap-{kind.word} {job.id}=ID",
            )
        jobs.append(kind.with_job(job, left))
    changed = replace(operation, jobs=tuple(jobs))
    return replace(found, operation=changed).say(f"no job has the {kind.word} {name}")


def _swap(found: Changed, job_id: str, name: str, kind: _Kind) -> Changed:
    operation = found.operation
    if name not in set(kind.known(operation)):
        raise _unknown(kind.word, name, kind.known(operation))
    if job_id not in {job.id for job in operation.jobs}:
        raise _unknown("job", job_id, (job.id for job in operation.jobs))
    jobs = tuple(kind.with_job(job, (name,)) if job.id == job_id else job for job in operation.jobs)
    return replace(found, operation=replace(operation, jobs=jobs)).say(
        f"{job_id} has the {kind.word} {name} and no other"
    )


def _drive(found: Changed, plan: Plan, day: date) -> Changed:
    """Let somebody go to town on a day on which nobody could."""
    operation, words = open_day(found.operation, plan, day)
    changed = replace(found, operation=operation).say(words)
    if operation == found.operation:
        return changed
    return changed.cannot_keep(
        "an extra day in town: change the closure in your facts and load them"
    )


def _unknown_office(plan: Plan, name: str, offices: Mapping[str, str]) -> NotFoundError:
    """Say that no office is called so, with those of the operation's own packets first."""
    rows = [step.row.id for paper in plan.papers for step in paper.steps if step.row.id in offices]
    own = list(dict.fromkeys(one for row in rows for one in (offices[row], row)))
    known = dict.fromkeys((*own, *sorted({*offices, *offices.values()})))
    word = "office or step at an office"
    return _unknown(word, name, known, where="mailby offices --all", near=own)


def _unknown(
    what: str, name: str, known: Iterable[str], *, where: str = "", near: Iterable[str] = ()
) -> NotFoundError:
    """Say that nothing is called so; *near* are names to think of first, *where* lists them all."""
    names = list(known)
    more = len(names) - _MOST_NAMES
    rest = f" and {more} more: {where}" if more > 0 and where else ""
    rest = f" and {more} more" if more > 0 and not where else rest
    listed = f"known are: {', '.join(names[:_MOST_NAMES]) or 'none'}{rest}"
    hint = suggest(name, near) or suggest(name, names) or listed
    return NotFoundError(f"no {what} is called {name!r}", hint=hint)
