"""Promises of go or no-go, on papers and jobs drawn at random over the rules that mailby ships.

They are our own promises (the last days themselves are checked against outside sources elsewhere).
"""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.engine.applies import compute_verdicts
from compliance.engine.in_force import Answer, JobStanding, Standing, compute_job_standing
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import HeldPaper, Job, Material, Operation
from compliance.facts.parse import parse_operation
from compliance.rules.model import RulesTable
from compliance.rules.parse import parse_table

SETTINGS = settings(deadline=None, derandomize=True, database=None, max_examples=25)
ROOT = Path(__file__).parents[2]
RANK = {Answer.NO_GO: 0, Answer.GO_FOR_NOW: 1, Answer.GO: 2}
ON = date(2028, 2, 29)
STATES = ("NE", "MS", "WY")  # MS lets a filing in time carry a license on; WY has no rules


@cache
def shipped_table() -> RulesTable:
    folder = ROOT / "compliance" / "rules" / "table"
    names = ("common", "faa", "epa", "insurance", *(state.lower() for state in STATES))
    paths = [path for name in names if (path := folder / f"{name}.yaml").exists()]
    files = {path.name: path.read_text(encoding="utf-8") for path in paths}
    table, problems = parse_table(files)
    assert problems == ()
    return table


@cache
def demo_operation() -> Operation:
    text = (ROOT / "demo_data" / "sandbur_flats.yaml").read_text(encoding="utf-8")
    operation, problems = parse_operation(text, "demo")
    assert operation is not None, problems
    return operation


def days(around: date = ON, spread: int = 800) -> st.SearchStrategy[date]:
    return st.integers(-spread, spread).map(lambda count: around + timedelta(days=count))


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    first = draw(days(spread=40))
    return replace(
        demo_operation().jobs[0],
        first_day=first,
        last_day=first + timedelta(days=draw(st.integers(0, 60))),
        state=draw(st.sampled_from(STATES)),
        for_hire=draw(st.booleans()),
        restricted_use=draw(st.booleans()),
        material=draw(st.sampled_from(tuple(Material))),
        aircraft=draw(st.sampled_from((("tg46",), ("tg18",), ("tg46", "tg18")))),
        pilots=draw(st.sampled_from((("wren",), ("odile", "wren")))),
    )


@st.composite
def held_for(draw: st.DrawFn, operation: Operation) -> HeldPaper:
    """Draw a held paper that the job needs: known, unknown and no last day among them."""
    verdicts = [one for one in compute_verdicts(operation, shipped_table()) if one.applies]
    verdict = draw(st.sampled_from(verdicts))
    issued = draw(st.none() | days())
    through = draw(st.none() | days())
    if issued is not None and through is not None and through < issued:
        issued, through = through, issued
    return HeldPaper(
        paper=verdict.paper.id, holder=verdict.holder, issued_on=issued, valid_through=through
    )


@st.composite
def farms(draw: st.DrawFn) -> Operation:
    """Draw a farm with one job that has most of its papers, so that every answer comes up."""
    operation = replace(demo_operation(), jobs=(draw(jobs()),), papers=())
    good = []
    for verdict in compute_verdicts(operation, shipped_table()):
        if verdict.applies and draw(st.integers(0, 19)):
            ends = draw(st.sampled_from((900, 900, 900, 900, 30, 0)))
            good.append(
                HeldPaper(
                    paper=verdict.paper.id,
                    holder=verdict.holder,
                    issued_on=ON - timedelta(days=400),
                    valid_through=ON + timedelta(days=ends),
                )
            )
    more = draw(st.lists(held_for(operation), max_size=3))
    return replace(operation, papers=(*good, *more))


@st.composite
def logs(draw: st.DrawFn, operation: Operation) -> tuple[LogEntry, ...]:
    """Draw filings and grants of a few papers of the farm."""
    entries = []
    for number in range(1, draw(st.integers(0, 4)) + 1):
        held = draw(st.sampled_from(operation.papers))
        kind = draw(
            st.sampled_from(
                (EventKind.MAILED, EventKind.RECEIVED, EventKind.RETURNED, EventKind.GRANTED)
            )
        )
        entries.append(
            LogEntry(
                number=number,
                kind=kind,
                paper=held.paper,
                holder=held.holder,
                happened_on=draw(days(spread=60)),
            )
        )
    return tuple(entries)


@st.composite
def ready_farms(draw: st.DrawFn) -> tuple[Operation, tuple[LogEntry, ...]]:
    """Draw a farm with every paper of its job, most of them for long, and a log beside."""
    operation = replace(demo_operation(), jobs=(draw(jobs()),), papers=())
    lasts = st.sampled_from((900,) * 30 + (60, 30, 0))
    papers = tuple(
        HeldPaper(
            paper=verdict.paper.id,
            holder=verdict.holder,
            issued_on=ON - timedelta(days=400),
            valid_through=ON + timedelta(days=draw(lasts)),
        )
        for verdict in compute_verdicts(operation, shipped_table())
        if verdict.applies
    )
    held = replace(operation, papers=papers)
    return held, draw(logs(held)) if draw(st.booleans()) else ()


@st.composite
def farms_with_log(draw: st.DrawFn) -> tuple[Operation, tuple[LogEntry, ...]]:
    operation = draw(farms().filter(lambda one: bool(one.papers)))
    return operation, draw(logs(operation))


def stand(operation: Operation, log: tuple[LogEntry, ...], on: date) -> JobStanding:
    return compute_job_standing(operation, shipped_table(), log, operation.jobs[0], on)


@SETTINGS
@given(data=st.data(), farm=farms_with_log(), on=days(spread=60))
def test_one_more_held_paper_never_makes_an_answer_worse(
    data: st.DataObject, farm: tuple[Operation, tuple[LogEntry, ...]], on: date
) -> None:
    operation, log = farm
    more = data.draw(held_for(operation))

    before = stand(operation, log, on)
    after = stand(replace(operation, papers=(*operation.papers, more)), log, on)

    assert RANK[after.answer] >= RANK[before.answer]


@SETTINGS
@given(farm=farms_with_log() | ready_farms(), on=days(spread=60))
def test_go_means_that_no_day_through_the_jobs_end_is_a_no(
    farm: tuple[Operation, tuple[LogEntry, ...]], on: date
) -> None:
    operation, log = farm
    known = tuple(entry for entry in log if entry.happened_on <= on)
    found = stand(operation, known, on)
    last = operation.jobs[0].last_day
    if found.answer is Answer.GO and on <= last:
        for ahead in range((last - on).days + 1):
            later = stand(operation, known, on + timedelta(days=ahead))
            assert later.answer is Answer.GO, later
        assert all(
            paper.standing is Standing.IN_FORCE and (paper.through is None or paper.through >= last)
            for paper in found.papers
        )


@SETTINGS
@given(farm=farms_with_log(), on=days(spread=60))
def test_answer_follows_from_the_papers_and_its_end_is_kept(
    farm: tuple[Operation, tuple[LogEntry, ...]], on: date
) -> None:
    """With nothing new logged, the day after `ends_on` is a no unless a filing keeps it alive."""
    operation, log = farm
    known = tuple(entry for entry in log if entry.happened_on <= on)
    found = stand(operation, known, on)

    assert (found.answer is Answer.NO_GO) == any(one.grounds for one in found.papers)
    if found.ends_on is not None:
        assert found.ends_on >= on
        assert stand(operation, known, found.ends_on).answer is not Answer.NO_GO
        beyond = stand(operation, known, found.ends_on + timedelta(days=1))
        assert beyond.answer is Answer.NO_GO or any(
            one.standing is Standing.KEPT_ALIVE for one in beyond.papers
        )


@SETTINGS
@given(data=st.data(), farm=farms(), on=days(spread=60))
def test_a_later_renewal_never_shortens_cover(
    data: st.DataObject, farm: Operation, on: date
) -> None:
    """A grant for a paper still in force leaves every day in force that was so before."""
    found = stand(farm, (), on)
    standing = [one for one in found.papers if one.standing is Standing.IN_FORCE]
    if not standing:
        return
    paper = data.draw(st.sampled_from(standing))
    day = on - timedelta(days=data.draw(st.integers(0, 90)))
    grant = LogEntry(
        number=1,
        kind=EventKind.GRANTED,
        paper=paper.paper.id,
        holder=paper.holder,
        happened_on=day,
        issued_on=day,
        valid_through=data.draw(st.none() | days(around=day + timedelta(days=400), spread=400)),
    )

    (after,) = [one for one in stand(farm, (grant,), on).papers if one.id == paper.id]

    assert after.standing is Standing.IN_FORCE
    assert after.through is None or (paper.through is not None and after.through >= paper.through)


@SETTINGS
@given(farm=farms_with_log(), on=days(spread=60))
def test_what_is_logged_later_changes_no_answer_of_a_day_gone_by(
    farm: tuple[Operation, tuple[LogEntry, ...]], on: date
) -> None:
    operation, log = farm
    known = tuple(entry for entry in log if entry.happened_on <= on)

    assert stand(operation, log, on) == stand(operation, known, on)


@SETTINGS
@given(farm=farms(), on=days(spread=60))
def test_pairings_of_a_no_agree_with_the_job_narrowed_to_them(farm: Operation, on: date) -> None:
    found = stand(farm, (), on)
    for pair in found.pairings:
        narrow = replace(farm.jobs[0], aircraft=(pair.aircraft,), pilots=(pair.pilot,))
        alone = compute_job_standing(farm, shipped_table(), (), narrow, on)
        assert alone.answer is pair.answer
        assert len(alone.papers) <= len(found.papers)


def test_drawn_farms_have_every_answer() -> None:
    """The promises above are asked of farms with each of the three answers."""
    seen: set[Answer] = set()

    @SETTINGS
    @given(farm=farms())
    def look(farm: Operation) -> None:
        seen.add(stand(farm, (), max(ON, farm.jobs[0].first_day)).answer)

    look()
    assert seen == set(Answer)
