"""Changes to try on a plan: each gives other facts, rules or log entries, and nothing is kept."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from compliance.base.dates import say_date
from compliance.base.problems import NotFoundError, RefusedError
from compliance.base.reading import suggest
from compliance.engine.packets import PaperState
from compliance.engine.plan import move_first_spray
from compliance.engine.plan_model import Plan
from compliance.engine.turnaround import find_offices
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Closure, Job, MailService, Operation
from compliance.rules.model import LeadDays, RulesTable

MOST_DAYS = 2_000
_TOWN = ("field", "vehicle", "notary", "post-office")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What to try, as it was asked for; pairs are (left of the equals sign, right of it)."""

    first_spray: date | None = None
    mail: tuple[tuple[str, str], ...] = ()
    office: tuple[tuple[str, str], ...] = ()
    returned: tuple[str, ...] = ()
    drop_aircraft: tuple[str, ...] = ()
    drop_pilot: tuple[str, ...] = ()
    swap_aircraft: tuple[tuple[str, str], ...] = ()
    swap_pilot: tuple[tuple[str, str], ...] = ()
    trips: tuple[date, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Tell whether nothing was asked for."""
        return self == Wish()


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """Facts, rules and log with what was asked for, and what that is in words.

    ``by_packet`` are packets with a mail service of their own, ``unseen`` step rows whose observed
    times no longer count. ``not_kept`` says in words what cannot be kept.
    """

    operation: Operation
    table: RulesTable
    log: tuple[LogEntry, ...]
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


def apply_wish(plan: Plan, table: RulesTable, log: tuple[LogEntry, ...], wish: Wish) -> Changed:
    """Apply everything that was asked for, one thing after another; swaps before drops.

    Raises:
        NotFoundError: A packet, job, machine, person, office or service is not known.
        RefusedError: A change makes no sense.
    """
    found = Changed(operation=plan.operation, table=table, log=log)
    if wish.first_spray is not None:
        found = _move(found, plan, wish.first_spray)
    for name, service in wish.mail:
        found = _mail(found, plan, name, service)
    for name, pace in wish.office:
        found = _slow_down(found, name, pace)
    for name in wish.returned:
        found = _return(found, plan, name)
    for job, name in wish.swap_aircraft:
        found = _swap(found, job, name, _AIRCRAFT)
    for job, name in wish.swap_pilot:
        found = _swap(found, job, name, _PILOT)
    for name in wish.drop_aircraft:
        found = _drop(found, name, _AIRCRAFT, plan.as_of)
    for name in wish.drop_pilot:
        found = _drop(found, name, _PILOT, plan.as_of)
    for day in wish.trips:
        found = _drive(found, plan.as_of, day)
    return found


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


def _mail(found: Changed, plan: Plan, name: str, service: str) -> Changed:
    if service not in set(MailService):
        hint = f"one of: {', '.join(MailService)}"
        raise NotFoundError(f"no mail service is called {service!r}", hint=hint)
    chosen = MailService(service)
    if name == "all":
        operation = replace(found.operation, mail_service=chosen)
        return replace(found, operation=operation).say(f"every packet goes by {service}")
    paper = plan.find_paper(name)
    if paper is None or not paper.packet.planned:
        raise _unknown("packet to be sent", name, [*_planned(plan), "all"])
    if not paper.is_mailed:
        raise RefusedError(f"{paper.id} is filed, not mailed; no mail service makes it quicker")
    if paper.mailed_on is not None:
        raise RefusedError(f"{paper.id} was sent off on {say_date(paper.mailed_on)} already")
    by_packet = dict(found.by_packet) | {paper.id: chosen}
    changed = replace(found, by_packet=by_packet).say(f"{paper.id} goes by {service}")
    return changed.cannot_keep(
        f"the service of one packet ({paper.id}): choose it at the counter, and log the mailing"
    )


def _planned(plan: Plan) -> list[str]:
    return [paper.id for paper in plan.papers if paper.packet.planned]


def _slow_down(found: Changed, name: str, pace: str) -> Changed:
    offices = find_offices(found.table)
    wanted = {row for row, office in offices.items() if name in (row, office)}
    if not wanted:
        known = sorted({*offices, *offices.values()})
        raise _unknown("office or step at an office", name, known)
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
    paper = plan.find_paper(name)
    if paper is None or not paper.packet.planned:
        raise _unknown("packet to be sent", name, _planned(plan))
    if paper.state is not PaperState.AT_OFFICE:
        raise RefusedError(
            f"{paper.id} is not at an office, so it cannot come back",
            hint="mailby plan says by when to send it off so that it can come back once",
        )
    if not any(row.return_path for row in paper.packet.steps):
        raise RefusedError(f"{paper.id} is a packet that no office sends back")
    entry = LogEntry(
        number=max((one.number for one in found.log), default=0) + 1,
        kind=EventKind.RETURNED,
        paper=paper.packet.paper.id,
        holder=paper.packet.holder,
        happened_on=plan.as_of,
        reason="what if it came back",
    )
    changed = replace(found, log=(*found.log, entry)).say(f"{paper.id} comes back today")
    return changed.cannot_keep(f"a return that has not happened ({paper.id})")


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


def _drive(found: Changed, as_of: date, day: date) -> Changed:
    """Open a day on which nobody could go to town or a place in town was closed."""
    if day < as_of:
        raise RefusedError(f"the trip {say_date(day)} is past; today is {say_date(as_of)}")
    kept: list[Closure] = []
    opened = False
    for one in found.operation.closures:
        if one.who not in _TOWN or not one.first_day <= day <= one.last_day:
            kept.append(one)
            continue
        opened = True
        eve, morrow = day - timedelta(days=1), day + timedelta(days=1)
        kept += [replace(one, last_day=eve)] if one.first_day <= eve else []
        kept += [replace(one, first_day=morrow)] if morrow <= one.last_day else []
    if not opened:
        raise RefusedError(
            f"{say_date(day)} is not closed in your facts, so a trip on it changes nothing",
            hint="give a day of a closure; on other weekdays the places in town keep their days",
        )
    changed = replace(found.operation, closures=tuple(kept))
    return (
        replace(found, operation=changed)
        .say(f"somebody goes to town on {say_date(day)} after all")
        .cannot_keep("an extra day in town: change the closure in your facts and load them")
    )


def _unknown(what: str, name: str, known: Iterable[str]) -> NotFoundError:
    names = list(known)
    hint = suggest(name, names) or f"known are: {', '.join(names[:20]) or 'none'}"
    return NotFoundError(f"no {what} is called {name!r}", hint=hint)
