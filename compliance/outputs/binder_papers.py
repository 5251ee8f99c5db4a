"""The papers of a binder: in force or not, whose, on whose word, and the copies of them."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.duties_model import UNNEEDED, DueDuty, UndatedDuty
from compliance.engine.in_force import PaperStanding, Standing
from compliance.facts.basis import WORDS_OF_CONFIDENCE
from compliance.facts.model import HeldPaper, HolderKind
from compliance.outputs.binder_ground import Ground, OtherPaper
from compliance.outputs.binder_model import Block, Entry, Fact, Grid, Section, Words
from compliance.outputs.duty_words import say_beside, say_pack, say_rule
from compliance.outputs.paper_words import say_numbers, say_when
from compliance.rules.model import PaperRow

INSURANCE = "ins."
NO_END = "does not end"
_HEADS = ("Paper", "Whose", "Number", "Through", "How it stands")
_SHARES = (25, 16, 23, 18, 18)


def tell_papers(ground: Ground) -> Section:
    """Tell the papers in force: a table of all, then those of the operation and its aircraft."""
    needed = ground.list_needed()
    rows = tuple(_row(ground, one) for one, _ in needed)
    blocks: list[Block] = [
        Words(
            text=f"Each paper the jobs of this binder need, as it stands on "
            f"{say_date(ground.as_of)}. Those of the pilots are in the section on pilots, "
            f"insurance in its own. Last days count."
        )
    ]
    if rows:
        blocks.append(Grid(heads=_HEADS, rows=rows, shares=_SHARES))
    else:
        blocks.append(Words(text="No job of this binder needs a paper of the rules table."))
    if ground.others:
        blocks.append(
            Words(text="In hand too, though no job of this binder needs them", strong=True)
        )
        others = tuple(_other_row(ground, one) for one in ground.others)
        blocks.append(Grid(heads=_HEADS, rows=others, shares=_SHARES))
    entries = [
        _tell_paper(ground, one, jobs)
        for one, jobs in needed
        if one.holder.kind is not HolderKind.PILOT and not one.paper.id.startswith(INSURANCE)
    ]
    entries += [
        _tell_other(ground, one)
        for one in ground.others
        if one.holder.kind is not HolderKind.PILOT and not one.paper.id.startswith(INSURANCE)
    ]
    return Section(
        title="Papers in force",
        blocks=tuple(blocks),
        entries=(*entries, *_tell_loose(ground)),
    )


def tell_pilots(ground: Ground) -> Section:
    """Tell each pilot's papers and how long each is current."""
    named = {name for job in ground.jobs for name in job.pilots}
    entries: list[Entry] = []
    blocks: list[Block] = []
    for pilot in ground.operation.pilots:
        needed = [(one, jobs) for one, jobs in ground.list_needed() if _is_of_pilot(one, pilot.id)]
        others = [one for one in ground.others if _is_of_pilot(one, pilot.id)]
        rows = (
            *(_row(ground, one) for one, _ in needed),
            *(_other_row(ground, one) for one in others),
        )
        flies = "" if pilot.id in named else " (flies no job of this binder)"
        blocks.append(Words(text=f"{pilot.name}{flies}", strong=True))
        if rows:
            blocks.append(Grid(heads=_HEADS, rows=rows, shares=_SHARES))
        else:
            blocks.append(Words(text="No paper of this pilot is known."))
        entries += [_tell_paper(ground, one, jobs) for one, jobs in needed]
        entries += [_tell_other(ground, one) for one in others]
    if not ground.operation.pilots:
        blocks.append(Words(text="No pilot is known."))
    return Section(title="Pilots and currency", blocks=tuple(blocks), entries=tuple(entries))


def tell_insurance(ground: Ground) -> Section:
    """Tell what is known of insurance."""
    needed = [
        (one, jobs) for one, jobs in ground.list_needed() if one.paper.id.startswith(INSURANCE)
    ]
    others = [one for one in ground.others if one.paper.id.startswith(INSURANCE)]
    rows = (*(_row(ground, one) for one, _ in needed), *(_other_row(ground, one) for one in others))
    block: Block = (
        Grid(heads=_HEADS, rows=rows, shares=_SHARES)
        if rows
        else Words(text="No insurance is known, and no job of this binder asks for any.")
    )
    entries = (
        *(_tell_paper(ground, one, jobs) for one, jobs in needed),
        *(_tell_other(ground, one) for one in others),
    )
    return Section(title="Insurance", blocks=(block,), entries=entries)


def tell_conditions(ground: Ground) -> Section:
    """Tell the conditions that carry dates: the holder's own terms, then the duties of papers."""
    entries = tuple(_tell_conditions_of(ground, packet) for packet in _list_bound(ground))
    words = (
        "What the papers and the rules behind them ask for by a day or an hour. Where a document "
        "of the holder says another time, that one stands here."
    )
    if not entries:
        words = "No condition that carries a date is known."
    return Section(
        title="Conditions that carry dates", blocks=(Words(text=words),), entries=entries
    )


_STANDS = {
    Standing.NOT_HELD: "NOT HELD",
    Standing.END_UNKNOWN: "in hand, but its last day is not written down",
    Standing.NOT_YET: "NOT YET IN FORCE",
    Standing.LAPSED: "RAN OUT",
    Standing.ENDS_IN_JOB: "in force, but ends before a job does",
    Standing.KEPT_ALIVE: "ran out; kept alive by its renewal, filed in time",
    Standing.IN_FORCE: "in force",
}


def say_stand(standing: PaperStanding) -> str:
    """Say in a few words how a paper stands."""
    filed = f" on {say_date(standing.filed_on)}" if standing.filed_on is not None else ""
    return f"{_STANDS[standing.standing]}{filed}"


def say_stand_of_other(other: OtherPaper, as_of: date) -> str:
    """Say in a few words how a paper stands that no job needs."""
    if other.end_unknown:
        return "its last day is not written down"
    if other.held.issued_on is not None and other.held.issued_on > as_of:
        return "not yet in force"
    return "ran out" if other.through is not None and other.through < as_of else "in force"


def _say_through(standing: PaperStanding) -> str:
    if standing.through is not None:
        return say_date(standing.through)
    unknown = {Standing.NOT_HELD, Standing.END_UNKNOWN}
    return "" if standing.standing in unknown else NO_END


def _row(ground: Ground, one: PaperStanding) -> tuple[str, ...]:
    who = ground.operation.say_holder(one.holder)
    title = f"{one.paper.title}{say_pack(one.paper)}"
    return title, who, say_numbers(one), _say_through(one), say_stand(one)


def _other_row(ground: Ground, one: OtherPaper) -> tuple[str, ...]:
    through = say_date(one.through) if one.through is not None else ""
    through = through or ("" if one.end_unknown else NO_END)
    who = ground.operation.say_holder(one.holder)
    stands = say_stand_of_other(one, ground.as_of)
    title = f"{one.paper.title}{say_pack(one.paper)}"
    return title, who, one.held.number, through, stands


def _is_of_pilot(one: PaperStanding | OtherPaper, pilot: str) -> bool:
    return one.holder.kind is HolderKind.PILOT and one.holder.ref == pilot


def _tell_paper(ground: Ground, one: PaperStanding, jobs: tuple[str, ...]) -> Entry:
    blocks = (
        Fact(label="How it stands", lines=(say_stand(one),)),
        *_tell_standing(one),
        Fact(label="Needed for", lines=(", ".join(jobs),)),
        *_tell_source(ground, one.paper),
    )
    return _with_copies(ground, one.id, blocks)


def _tell_other(ground: Ground, one: OtherPaper) -> Entry:
    through = say_date(one.through) if one.through is not None else ""
    blocks = (
        Fact(label="How it stands", lines=(say_stand_of_other(one, ground.as_of),)),
        *_tell_held(one.held, through or ("" if one.end_unknown else NO_END)),
        Fact(label="Needed for", lines=("no job of this binder",)),
        *_tell_source(ground, one.paper),
    )
    return _with_copies(ground, one.id, blocks)


def _tell_standing(one: PaperStanding) -> Iterator[Block]:
    """Tell the paper that counts on the day, and the one that follows it without a gap."""
    if one.follower is None:
        yield from _tell_held(one.held, _say_through(one))
        return
    end = say_date(one.held_through) if one.held_through is not None else NO_END
    yield from _tell_held(one.held, end)
    begins = one.follower.issued_on
    issued = f"issued {say_date(begins)}, " if begins is not None else ""
    number = one.follower.number or "not written down"
    line = f"number {number}, {issued}through {_say_through(one)}"
    yield Fact(label="Then", lines=(line,))


def _tell_held(held: HeldPaper | None, through: str) -> Iterator[Block]:
    if held is not None:
        yield Fact(label="Number", lines=(held.number or "not written down",))
        if held.issued_on is not None:
            yield Fact(label="Issued", lines=(say_date(held.issued_on),))
    if through:
        yield Fact(label="Through", lines=(through,))


def _tell_source(ground: Ground, paper: PaperRow) -> Iterator[Block]:
    office = next((one for one in ground.offices if one.id == paper.office), None)
    if office is not None:
        yield Fact(label="Office", lines=(office.title,))
    basis = paper.basis
    yield Fact(
        label="Rests on",
        lines=(
            basis.citation,
            f"{basis.edition}; {WORDS_OF_CONFIDENCE[basis.confidence]}{say_pack(paper)}",
        ),
    )


def _with_copies(ground: Ground, packet: str, blocks: tuple[Block, ...]) -> Entry:
    copies = ground.list_copies(packet)
    shown = sum(1 for copy in copies if copy.pages)
    words = {
        0: "none attached" if not copies else "none that can be shown",
        1: "one, which follows",
    }
    said = words.get(shown, f"{shown}, which follow")
    return Entry(
        title=ground.say_packet(packet),
        blocks=(*blocks, Fact(label="Copies", lines=(said,))),
        copies=copies,
    )


def _tell_loose(ground: Ground) -> Iterator[Entry]:
    """Tell the papers that only have copies: not needed and not known to be in hand."""
    placed = {one.id for one, _ in ground.list_needed()} | {one.id for one in ground.others}
    for packet in dict.fromkeys(one.packet for one in ground.attachments):
        if packet not in placed:
            words = "Not known to be in hand, and no job of this binder needs it."
            yield _with_copies(ground, packet, (Words(text=words),))


def _list_bound(ground: Ground) -> tuple[str, ...]:
    """List the papers that set terms of their own or bring duties, by id."""
    found = {paper.paper for paper in ground.operation.papers if paper.own_terms}
    found |= {duty.row.paper for duty in _list_duties(ground)}
    return tuple(sorted(found))


def _list_duties(ground: Ground) -> tuple[DueDuty | UndatedDuty, ...]:
    """Give every duty once, whatever its occasions; of a binder for one job only those with it."""
    job = ground.job.id if ground.job is not None else ""
    due = [one for one in ground.book.due if not job or (one.needed and one.job in {"", job})]
    undated = [
        one
        for one in ground.book.undated
        if not job or (one.needed and (not one.jobs or job in one.jobs))
    ]
    found: dict[tuple[str, str], DueDuty | UndatedDuty] = {}
    every: tuple[DueDuty | UndatedDuty, ...] = (*due, *undated)
    for one in every:
        found.setdefault((one.row.id, one.term.document if one.term else ""), one)
    return tuple(found.values())


def _tell_conditions_of(ground: Ground, paper: str) -> Entry:
    terms = tuple(
        f"{ground.operation.say_holder(held.holder)}{say_when(held)}: {term}"
        for held in ground.operation.papers
        if held.paper == paper
        for term in held.own_terms
    )
    rows = tuple(
        (one.row.title, say_rule(one.row), f"{_say_word(one)}{_mark_unneeded(one)}")
        for one in _list_duties(ground)
        if one.row.paper == paper
    )
    blocks: list[Block] = [Fact(label="Its own terms", lines=terms)]
    if rows:
        heads = ("What", "When", "On whose word")
        blocks.append(Grid(heads=heads, rows=rows, shares=(36, 30, 34)))
    title = ground.titles.get(paper, paper) or "Rules that go with no single paper"
    return Entry(title=title, blocks=tuple(blocks))


def _mark_unneeded(duty: DueDuty | UndatedDuty) -> str:
    return "" if duty.needed else f" ({UNNEEDED})"


def _say_word(duty: DueDuty | UndatedDuty) -> str:
    basis = duty.row.basis
    if duty.term is not None:
        return f"the holder's own document: {duty.term.document}{say_beside(duty)}"
    pack = say_pack(duty.row)
    strict = say_beside(duty)
    return f"{basis.citation}; {WORDS_OF_CONFIDENCE[basis.confidence]}{strict}{pack}"
