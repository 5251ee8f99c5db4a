"""What happened, in a binder: applications, mailings with their proof, copies kept, open items."""

from collections.abc import Iterator

from compliance.base.dates import say_date
from compliance.engine.in_force import GROUNDING, Standing
from compliance.engine.packets import packet_id
from compliance.facts.attachments import Attachment
from compliance.facts.events import find_flights
from compliance.facts.log import LogEntry, find_standing
from compliance.outputs.binder_ground import Ground
from compliance.outputs.binder_model import Block, Copy, Entry, Grid, Section, Words
from compliance.outputs.binder_papers import say_stand
from compliance.outputs.duty_groups import group_duties
from compliance.outputs.duty_words import (
    pick_live,
    say_due,
    say_lacks,
    say_short_source,
    say_unwritten,
)
from compliance.outputs.events_text import say_event
from compliance.outputs.words import say_waiting

DAYS_AHEAD = 30


def tell_records(ground: Ground) -> Section:
    """Tell the application records of the period, and the flights that were logged."""
    blocks: list[Block] = [Words(text=_say_period(ground))]
    if not ground.records:
        blocks.append(Words(text="No application record is kept for it.", strong=True))
    flights = [one for one in find_flights(ground.events) if ground.in_period(one.on)]
    if ground.job is not None:
        flights = [one for one in flights if one.job == ground.job.id]
    if flights:
        rows = tuple((say_date(one.on), one.job, say_event(one)) for one in flights)
        blocks.append(Words(text="Flights that were logged", strong=True))
        blocks.append(Grid(heads=("Day", "Job", "Flight"), rows=rows, shares=(18, 18, 64)))
    entries = tuple(
        Entry(title=record.title, blocks=tuple(map(_lay_in_pairs, record.groups)))
        for record in ground.records
    )
    return Section(title="Application records", blocks=tuple(blocks), entries=entries)


def _lay_in_pairs(group: tuple[tuple[str, str], ...]) -> Grid:
    """Lay labels and texts out two abreast, so that a record takes half a page."""
    said = [one for one in group if one[1]]
    said += [("", "")] * (len(said) % 2)
    rows = tuple((*said[at], *said[at + 1]) for at in range(0, len(said), 2))
    heads = ("Item", "As written", "Item", "As written")
    return Grid(heads=heads, rows=rows, shares=(22, 28, 22, 28))


def _say_period(ground: Ground) -> str:
    first = f"from {say_date(ground.first)} " if ground.first is not None else ""
    last = min(ground.last or ground.as_of, ground.as_of)
    job = f" of the job {ground.job.id}" if ground.job is not None else ""
    return f"Applications{job} {first}through {say_date(last)}."


def tell_mailings(ground: Ground) -> Section:
    """Tell what was signed, mailed, returned and granted, with tracking and hashes, by packet."""
    by_packet: dict[str, list[LogEntry]] = {}
    wanted = {one.id for one, _ in ground.list_needed()} if ground.job is not None else None
    for entry in find_standing(ground.log):
        packet = packet_id(entry.paper, entry.holder)
        if ground.in_period(entry.happened_on) and (wanted is None or packet in wanted):
            by_packet.setdefault(packet, []).append(entry)
    entries = tuple(_tell_packet(ground, packet, found) for packet, found in by_packet.items())
    words = (
        "What was logged for each packet. A hash is the fingerprint (SHA-256) of a file looked at "
        "before it was mailed; the same file always gives the same one."
    )
    if not entries:
        words = "Nothing was logged for a packet in this time."
    return Section(title="Mailing history", blocks=(Words(text=words),), entries=entries)


def _tell_packet(ground: Ground, packet: str, found: list[LogEntry]) -> Entry:
    rows = tuple(
        (say_date(one.happened_on), str(one.kind), _say_details(one), str(one.number))
        for one in found
    )
    heads = ("Day", "What", "Details", "Entry")
    blocks: list[Block] = [Grid(heads=heads, rows=rows, shares=(20, 14, 56, 10))]
    sent = tuple(
        (str(one.turn), one.document, one.file_name, say_date(one.checked_on), one.sha256)
        for one in ground.sent
        if one.packet == packet and one.checked_on <= ground.as_of
    )
    if sent:
        names = ("Mailing", "Document", "File", "Looked at", "Hash")
        blocks.append(Grid(heads=names, rows=sent, shares=(11, 21, 20, 16, 32)))
    else:
        blocks.append(Words(text="No file of it was looked at, so no hash is known."))
    return Entry(title=ground.say_packet(packet), blocks=tuple(blocks))


def _say_details(entry: LogEntry) -> str:
    parts = (
        entry.step,
        f"by {entry.service}" if entry.service is not None else "",
        f"tracking {entry.tracking}" if entry.tracking else "",
        f"why: {entry.reason}" if entry.reason else "",
        f"at fault: {', '.join(entry.blanks)}" if entry.blanks else "",
        f"number {entry.paper_number}" if entry.paper_number else "",
        f"issued {say_date(entry.issued_on)}" if entry.issued_on else "",
        f"through {say_date(entry.valid_through)}" if entry.valid_through else "",
    )
    return "; ".join(part for part in parts if part)


def tell_copies(ground: Ground) -> Section:
    """Tell every copy kept: of what, from which file, its hash, and whether it is shown here."""
    rows = tuple(
        _copy_row(ground, one, copy)
        for one, copy in zip(ground.attachments, ground.copies, strict=True)
    )
    blocks: list[Block] = []
    if rows:
        heads = ("No.", "Paper", "Copy", "Attached", "Hash (SHA-256)", "Shown")
        blocks.append(Grid(heads=heads, rows=rows, shares=(7, 22, 19, 13, 22, 17)))
    else:
        blocks.append(Words(text="No copy is attached to the papers of this binder."))
    if ground.left_out:
        count = ground.left_out
        said = "1 copy of another paper is" if count == 1 else f"{count} copies of other papers are"
        blocks.append(Words(text=f"{said} kept too, and not part of this binder."))
    return Section(title="Copies kept", blocks=tuple(blocks))


def _copy_row(ground: Ground, one: Attachment, copy: Copy) -> tuple[str, ...]:
    name = f"{one.title} ({one.file_name})" if one.what else one.file_name
    pages = "1 page" if len(copy.pages) == 1 else f"{len(copy.pages)} pages"
    shown = pages if copy.pages else f"NOT SHOWN: {copy.kept_out}"
    packet = ground.say_packet(one.packet)
    attached = say_date(one.attached_on)
    attached = attached if one.attached_on <= ground.as_of else f"{attached}, after this day"
    return str(one.number), packet, name, attached, one.sha256, shown


def tell_open(ground: Ground) -> Section:
    """Tell what is open: papers that stand against flying, under way, duties, copies missing."""
    rows = tuple(_list_open(ground))
    if not rows:
        block: Block = Words(text="Nothing is open.")
    else:
        block = Grid(heads=("What", "How it stands", "What next"), rows=rows, shares=(34, 30, 36))
    blocks = [block]
    if ground.no_plan:
        blocks.append(Words(text=f"No plan could be made: {ground.no_plan}"))
    return Section(title="Open items", blocks=tuple(blocks))


def _list_open(ground: Ground) -> Iterator[tuple[str, str, str]]:
    planned = {one.id: one for one in ground.plan.papers} if ground.plan is not None else {}
    for standing, _ in ground.list_needed():
        if standing.standing is Standing.IN_FORCE:
            continue
        paper = planned.get(standing.id)
        state = f"; {paper.state}" if paper is not None and paper.packet.planned else ""
        waits = paper is not None and paper.packet.planned
        following = f"it waits on {say_waiting(paper)}" if paper is not None and waits else ""
        if not following and standing.standing in GROUNDING:
            following = "no job that needs it may be flown"
        yield ground.say_packet(standing.id), f"{say_stand(standing)}{state}", following
    shown = {one.id for one, _ in ground.list_needed()}
    for paper in planned.values():
        wanted = ground.job is None or paper.id in shown
        in_force = paper.id not in shown or _is_in_force(ground, paper.id)
        if paper.packet.planned and wanted and in_force:
            waiting = f"it waits on {say_waiting(paper)}"
            yield ground.say_packet(paper.id), f"its next packet: {paper.state}", waiting
    job = ground.job.id if ground.job is not None else ""
    due = [one for one in ground.book.due if not job or (one.needed and one.job in {"", job})]
    for group in group_duties(pick_live(due, ground.as_of, DAYS_AHEAD)):
        lacks = f"; {say_lacks(group.first)}" if say_lacks(group.first) else ""
        stands = f"{say_due(group.first, ground.as_of)}, for {group.about}{lacks}"
        yield group.first.row.title, stands, say_short_source(group.first)
    for one in ground.book.unwritten:
        if ground.in_period(one.flight.on) and job in {"", one.flight.job}:
            stands = say_unwritten(one, ground.as_of)
            following = f"mailby record {one.flight.job} --flight {one.flight.number}"
            yield (
                f"No record of flight {one.flight.number}, {say_date(one.flight.on)}",
                stands,
                following,
            )
    yield from _list_lapsed(ground)
    yield from _list_open_copies(ground)


def _list_lapsed(ground: Ground) -> Iterator[tuple[str, str, str]]:
    """List the flights of the period that were flown while a paper was not in force."""
    for flight, papers in ground.lapsed:
        if not ground.in_period(flight.on):
            continue
        named = "; ".join(f"{ground.say_packet(one.id)}: {say_stand(one)}" for one in papers)
        yield (
            f"Flight {flight.number}, {say_date(flight.on)}, {flight.job}",
            f"not in force that day: {named}",
            "ask the agency or a lawyer what this means",
        )


def _is_in_force(ground: Ground, packet: str) -> bool:
    return any(
        one.id == packet and one.standing is Standing.IN_FORCE for one, _ in ground.list_needed()
    )


def _list_open_copies(ground: Ground) -> Iterator[tuple[str, str, str]]:
    for one, copy in zip(ground.attachments, ground.copies, strict=True):
        if not copy.pages:
            stands = f"copy {one.number} is not shown: {copy.kept_out}"
            yield ground.say_packet(one.packet), stands, "have the copy itself at hand"
    for standing, _ in ground.list_needed():
        if standing.held is not None and not ground.list_copies(standing.id):
            following = f"mailby attach {standing.id} FILE"
            yield ground.say_packet(standing.id), "in hand, but no copy is attached", following
