"""Go or no-go as text: the answer first, then what grounds it, then what to have and to tell."""

from collections.abc import Iterator
from datetime import date, timedelta

from compliance.base.dates import say_date
from compliance.engine.duties_model import DueDuty, DutyState
from compliance.engine.in_force import Answer, JobStanding, Pairing, PaperStanding, Standing
from compliance.facts.basis import WORDS_OF_CONFIDENCE
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import HolderKind, Job, Operation
from compliance.outputs.duty_groups import DutyGroup, fold_runs, group_duties, say_group_lacks
from compliance.outputs.duty_words import (
    pick_live,
    say_due,
    say_overdue,
    say_pack,
    say_short_source,
)
from compliance.outputs.paper_words import ASK_LATE, say_terms
from compliance.outputs.words import list_job_cautions, say_relative, wrap
from compliance.rules.model import DutyKind
from compliance.rules.validity_model import ValidityKind

DAYS_AHEAD = 7
"""How many days ahead duties are shown; records and reports of the season stay in `duties`."""


def render_go_text(
    operation: Operation,
    on: date,
    jobs: tuple[tuple[JobStanding, tuple[DueDuty, ...]], ...],
    next_job: Job | None,
) -> str:
    """Render the answers for one day, the ones that stand against flying first.

    Shape: *jobs* are answers with the live duties around each; without any, the next job is named.
    """
    head = wrap(f"{operation.legal_name}: may we fly on {say_date(on)}?")
    if not jobs:
        return f"{head}\n\n{_no_job(operation, on, next_job)}\n"
    order = [Answer.NO_GO, Answer.GO_FOR_NOW, Answer.GO]
    ranked = sorted(jobs, key=lambda one: order.index(one[0].answer))
    sections = ["\n".join(_job(operation, standing, duties)) for standing, duties in ranked]
    cautions = list_job_cautions([standing.job for standing, _ in jobs])
    people = (
        "Only licensed and certified people fly and handle products; look at wind, weather and who "
        "is near before each load. Local rules may ask for more."
    )
    return "\n\n".join([head, *sections, "\n".join(map(wrap, (people, *cautions)))]) + "\n"


def _no_job(operation: Operation, on: date, next_job: Job | None) -> str:
    lines = [wrap(f"No job is planned for {say_date(on)}, so there is nothing to answer for.")]
    if next_job is not None:
        days = say_relative(next_job.first_day, on)
        lines.append(
            wrap(
                f"The next is {next_job.id}, from {say_date(next_job.first_day)} ({days}); "
                f"`mailby go --job {next_job.id}` asks about its papers today."
            )
        )
    elif not operation.jobs:
        lines.append(wrap("Write the jobs into your file and load it, or run `mailby setup`."))
    lines.append("")
    lines.extend(map(wrap, list_job_cautions(())))
    return "\n".join(lines)


def _job(operation: Operation, standing: JobStanding, duties: tuple[DueDuty, ...]) -> Iterator[str]:
    job = standing.job
    span = f"{say_date(job.first_day)} to {say_date(job.last_day)}"
    yield wrap(f"{_say_answer(standing, duties)}  {job.id}, {job.state}, {span}", hang=4)
    if not job.first_day <= standing.on <= job.last_day:
        yield wrap(
            f"this job is not on that day; its papers as of {say_date(standing.on)}", indent=2
        )
    # Who may fly all the same is read in the field, so it stands with the answer itself.
    is_first = standing.answer is Answer.NO_GO and bool(_list_fit(standing))
    if is_first:
        yield from _pairings(operation, standing, duties)
    against = [paper for paper in standing.papers if paper.grounds]
    passing = [
        paper
        for paper in standing.papers
        if paper.standing in {Standing.ENDS_IN_JOB, Standing.KEPT_ALIVE}
    ]
    for paper in (*against, *passing):
        yield wrap(f"! {say_standing(operation, paper)}", indent=2, hang=4)
        yield wrap(_what_to_do(paper), indent=4)
    for unknown in standing.unknown:
        yield wrap(f"! {unknown}", indent=2, hang=4)
    yield from _untold(standing, duties)
    if not is_first:
        yield from _pairings(operation, standing, duties)
    yield from _in_order(operation, standing)
    yield from _have_along(standing, duties)
    yield from _tell(standing, duties)


def _say_answer(standing: JobStanding, duties: tuple[DueDuty, ...]) -> str:
    words = _say_days(standing)
    if standing.answer is Answer.NO_GO:
        return f"{words}:"
    open_ends = _list_open_ends(standing, duties)
    if not open_ends:
        return f"{words}:" if standing.state_known else f"{words}, by the federal papers alone:"
    papers = "papers" if standing.state_known else "the federal papers alone"
    days = words.removeprefix("GO")
    return f"GO on {papers}{days}; {'; '.join(open_ends)}:"


def _list_open_ends(standing: JobStanding, duties: tuple[DueDuty, ...]) -> list[str]:
    """List what keeps papers in order from being the whole answer."""
    open_ends = []
    if standing.labels_unread:
        names = " and ".join(standing.labels_unread)
        open_ends.append(f"nobody has said whether the label of {names} allows it by air")
    if is_notice_missing(standing, duties):
        open_ends.append("a notice was not given in time, or is not ticked off")
    return open_ends


def is_notice_missing(standing: JobStanding, duties: tuple[DueDuty, ...]) -> bool:
    """Tell whether a notice of the flight asked about is late, for some starts at least."""
    return any(_is_untold(standing, one) for one in duties)


def _say_days(standing: JobStanding) -> str:
    if standing.answer is Answer.GO_FOR_NOW and standing.ends_on is not None:
        return f"GO through {say_date(standing.ends_on)} only"
    if standing.answer is Answer.GO_FOR_NOW:
        return "GO until the office decides"
    return str(standing.answer)


def say_standing(operation: Operation, paper: PaperStanding) -> str:
    """Say how one paper stands, whose it is and its last day."""
    who = operation.say_holder(paper.holder)
    name = f"{paper.paper.title}, {who}{say_pack(paper.paper)}"
    end = say_date(paper.through) if paper.through is not None else ""
    begins = "a day not known"
    if paper.held is not None and paper.held.issued_on is not None:
        begins = say_date(paper.held.issued_on)
    filed = say_date(paper.filed_on) if paper.filed_on is not None else ""
    words = {
        Standing.NOT_HELD: "not held",
        Standing.END_UNKNOWN: "held, but its last day is not written down",
        Standing.NOT_YET: f"in force from {begins} on, not before",
        Standing.LAPSED: f"ran out on {end}",
        Standing.ENDS_IN_JOB: f"runs out on {end}, before the job ends",
        Standing.KEPT_ALIVE: f"ran out on {end}; its renewal, filed {filed}, keeps it alive",
        Standing.IN_FORCE: say_terms(paper),
    }
    return f"{name}: {words[paper.standing]}"


def _what_to_do(paper: PaperStanding) -> str:
    source = f"{paper.paper.basis.citation}; {WORDS_OF_CONFIDENCE[paper.paper.basis.confidence]}"
    ask = f"`mailby why {paper.id}` says why it is needed ({source})"
    if paper.standing is Standing.END_UNKNOWN:
        return f"Write its last day into your file as `valid_through:` and load it; {ask}."
    if paper.standing is Standing.KEPT_ALIVE:
        return f"It ends when the office decides, also against you; ask before each job. {ask}."
    if paper.standing is Standing.ENDS_IN_JOB and paper.through is not None:
        stop = say_date(paper.through + timedelta(days=1))
        whom = {HolderKind.AIRCRAFT: "this aircraft", HolderKind.PILOT: "this pilot"}
        stays = f"{whom.get(paper.holder.kind, 'everybody')} stays on the ground"
        until = f"{_say_missed(paper)}From {stop} on {stays} until its renewal is in hand"
        return f"{f'{_say_gap(paper)}, so {stays} then' if paper.next_from else until}; {ask}."
    if paper.standing is Standing.NOT_YET or paper.next_from is not None:
        gap = f"{_say_gap(paper)}. " if paper.next_from is not None else ""
        return f"{gap}Wait for that day; {ask}."
    return f"{_say_way(paper)}{_say_come(paper)}; {ask}."


def _say_gap(paper: PaperStanding) -> str:
    """Say when the next paper held begins, and which days before it have none; else nothing."""
    if paper.next_from is None or paper.through is None:
        return ""
    first, last = paper.through + timedelta(days=1), paper.next_from - timedelta(days=1)
    days = say_date(first) if first == last else f"{say_date(first)} to {say_date(last)}"
    verb = "has" if first == last else "have"
    return f"The next one begins on {say_date(paper.next_from)}; {days} {verb} none"


def _say_missed(paper: PaperStanding) -> str:
    """Say that the rule's last day to file the renewal is past, and what to do; else nothing."""
    if paper.renewal_missed is None:
        return ""
    return (
        f"LATE: the last day to file its renewal was {say_date(paper.renewal_missed)}, and none is "
        f"logged by then; {ASK_LATE}. "
    )


def _say_come(paper: PaperStanding) -> str:
    """Say how to tell that a paper has come: in the log once it was sent, else in the file."""
    last = paper.last_logged
    if last is not None and last.kind in {EventKind.MAILED, EventKind.RECEIVED, EventKind.HEARD}:
        return f"If it has come, `mailby log granted {paper.id}` says so"
    return (
        f"If you have it, write it under `papers:` in your file as `- {{{_say_line(paper)}}}` and "
        f"load that again"
    )


def _say_line(paper: PaperStanding) -> str:
    """Give the line of the facts file for a paper, with the days that its row does not count."""
    line = f"paper: {paper.paper.id}, holder: {paper.holder.ref or 'operation'}, issued_on: DATE"
    ends = {ValidityKind.FROM_DOCUMENT: "DATE", ValidityKind.OPEN_ENDED: "open"}
    end = ends.get(paper.paper.validity.kind)
    return f"{line}, valid_through: {end}" if end is not None else line


def _say_way(paper: PaperStanding) -> str:
    """Say how far the packet is, and what a receipt that was not logged would change."""
    last = paper.last_logged
    if last is None:
        return ""
    way = f"{_say_logged(last)}. "
    if paper.file_by is not None and last.kind is EventKind.MAILED:
        way += (
            f"If its office had it by {say_date(paper.file_by)}, that keeps the old one alive: "
            f"`mailby log received {paper.id}` with that day says so. "
        )
    return way


def _say_logged(last: LogEntry) -> str:
    on = say_date(last.happened_on)
    if last.kind is EventKind.MAILED:
        return f"The packet was sent on {on} and no answer is logged"
    if last.kind is EventKind.RECEIVED:
        return f"The packet reached the office on {on} and no answer is logged"
    if last.kind is EventKind.RETURNED:
        return f"The packet came back on {on} ({last.reason}) and was not sent again"
    return f"The packet has been begun and was not sent; the last step was logged on {on}"


def _list_fit(standing: JobStanding) -> list[Pairing]:
    return [pair for pair in standing.pairings if pair.answer is not Answer.NO_GO]


def _pairings(
    operation: Operation, standing: JobStanding, duties: tuple[DueDuty, ...]
) -> Iterator[str]:
    fit = _list_fit(standing)
    if not standing.pairings:
        return
    if not fit:
        yield wrap("No aircraft and pilot of this job are in order together.", indent=2)
        return
    sound = [pair for pair in fit if pair.answer is Answer.GO]
    if standing.answer is Answer.GO_FOR_NOW and not sound:
        yield wrap(
            "No aircraft and pilot of this job are in order through the whole job.", indent=2
        )
        return
    whole = standing.answer is Answer.GO_FOR_NOW
    if whole:
        yield wrap("In order through the whole job:", indent=2)
    else:
        yield wrap(f"In order all the same{_say_limits(standing, duties)}:", indent=2)
    for pair in sound if whole else fit:
        machine = operation.find_aircraft(pair.aircraft)
        pilot = operation.find_pilot(pair.pilot)
        name = f"{machine.model} {machine.serial}" if machine is not None else pair.aircraft
        who = pilot.name if pilot is not None else pair.pilot
        short = ", though not through the whole job" if pair.answer is Answer.GO_FOR_NOW else ""
        yield wrap(f"{name} flown by {who}{short}", indent=4, hang=6)


def _say_limits(standing: JobStanding, duties: tuple[DueDuty, ...]) -> str:
    """Say what papers in order leave open, as the answer of a job that is a GO does."""
    open_ends = _list_open_ends(standing, duties)
    if not open_ends:
        return "" if standing.state_known else ", by the federal papers alone"
    papers = "papers" if standing.state_known else "the federal papers alone"
    return f", on {papers}; {'; '.join(open_ends)}"


def _in_order(operation: Operation, standing: JobStanding) -> Iterator[str]:
    good = [paper for paper in standing.papers if paper.standing is Standing.IN_FORCE]
    if good:
        yield "  In force:"
    for paper in good:
        yield wrap(say_standing(operation, paper), indent=4, hang=6)
    if standing.ends_on is not None and standing.answer is Answer.GO:
        how_far = say_relative(standing.ends_on, standing.on)
        yield wrap(f"The first of them ends on {say_date(standing.ends_on)}, {how_far}.", indent=2)


def list_carried(standing: JobStanding, duties: tuple[DueDuty, ...]) -> tuple[str, ...]:
    """List what must lie within reach of the pilot, as the papers and duties of the job say it."""
    papers = [thing for paper in standing.papers for thing in paper.paper.carry]
    return tuple(dict.fromkeys([*papers, *(thing for one in duties for thing in one.row.carry)]))


def _have_along(standing: JobStanding, duties: tuple[DueDuty, ...]) -> Iterator[str]:
    things = list_carried(standing, duties)
    if things:
        yield "  Have along, within reach of the pilot:"
    for thing in things:
        yield wrap(thing, indent=4, hang=6)


def _tell(standing: JobStanding, duties: tuple[DueDuty, ...]) -> Iterator[str]:
    live = pick_live(duties, standing.on, DAYS_AHEAD)
    groups = fold_runs(one for one in live if not _is_untold(standing, one))
    if groups:
        yield "  To tell, check or write:"
    for group in groups:
        duty = group.first
        lacks = f"; {said}" if (said := say_group_lacks(group)) else ""
        text = f"{say_due(duty, standing.on)}: {duty.row.title}, for {group.about}{lacks}"
        yield wrap(f"{text} ({say_short_source(duty)})", indent=4, hang=6)


def _untold(standing: JobStanding, duties: tuple[DueDuty, ...]) -> Iterator[str]:
    """Say first what was to be told before a flight and is not ticked off."""
    for group in group_duties(one for one in duties if _is_untold(standing, one)):
        yield from _say_untold(standing, group)


def _say_untold(standing: JobStanding, group: DutyGroup) -> Iterator[str]:
    duty = group.first
    yield wrap(
        f"! not ticked off: {duty.row.title}, for {group.about}; {say_due(duty, standing.on)} "
        f"({say_short_source(duty)})",
        indent=2,
        hang=4,
    )
    late = _sentence(say_overdue(duty, standing.on))
    ticks = "`, `".join(f"mailby log did {name}" for name in group.names)
    yield wrap(f"{late} If it was done in time: `{ticks}`.", indent=4)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _is_untold(standing: JobStanding, duty: DueDuty) -> bool:
    """Tell whether the flight asked about was to be told of and was not; later ones are not it."""
    if duty.event_on > max(standing.on, standing.job.first_day):
        return False
    late = {DutyState.OVERDUE, DutyState.LATE_FOR_SOME}
    return duty.state in late and duty.row.kind is DutyKind.TELL_BEFORE
