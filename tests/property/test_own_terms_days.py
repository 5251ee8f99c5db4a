"""A paper that is not in force on a day never changes what a duty of that day asks for."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import cache
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.app.demo import FACTS
from compliance.app.facts_file import parse_facts
from compliance.app.resources import read_folder, shipped_folder
from compliance.app.tables import load_shipped_table
from compliance.engine.applies import compute_verdicts
from compliance.engine.duties_due import compute_duty_book
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.model import HeldPaper, Holder, HolderKind, Operation
from compliance.facts.own_terms import OwnTerm
from compliance.rules.model import RulesTable

ZONE = ZoneInfo("America/Chicago")
ON = date(2027, 6, 1)
NOTAM = "faa.airspace-authorization.notam"
ACCIDENT = "faa.airspace-authorization.accident-report"
MONTHLY = "faa.airspace-authorization.monthly-report"
WATCHED = (NOTAM, ACCIDENT, MONTHLY)


@cache
def shipped_table() -> RulesTable:
    table = load_shipped_table()
    return replace(table, duties=tuple(row for row in table.duties if row.id in WATCHED))


@cache
def farm() -> Operation:
    """The demo's operation with one job on one day at 16:00."""
    text = read_folder(shipped_folder("demo_data"))[FACTS]
    operation = parse_facts(text, FACTS, load_shipped_table())
    job = replace(operation.jobs[0], id="june", first_day=ON, last_day=ON, first_flight="16:00")
    return replace(operation, jobs=(job,), papers=())


@st.composite
def held_papers(draw: st.DrawFn) -> HeldPaper:
    """Draw a paper in force somewhere within four months of the day, with or without terms."""
    first = ON + timedelta(days=draw(st.integers(-120, 60)))
    last = first + timedelta(days=draw(st.integers(0, 120)))
    terms = []
    for duty in WATCHED:
        how = draw(st.sampled_from(("none", "not asked", "counted")))
        document = f"item {draw(st.integers(1, 99))}"
        if how == "not asked":
            terms.append(OwnTerm(duty=duty, document=document, applies=False))
        elif how == "counted":
            unit = "days" if duty == MONTHLY else draw(st.sampled_from(("hours", "days")))
            count = draw(st.integers(1, 60 if unit == "hours" else 6))
            terms.append(OwnTerm(duty=duty, document=document, count=count, unit=unit))
    return HeldPaper(
        paper=draw(st.sampled_from(("faa.airspace-authorization", "faa.exemption"))),
        holder=Holder(kind=HolderKind.OPERATION),
        number=f"INV-{draw(st.integers(1, 999))}",
        issued_on=draw(st.sampled_from((first, first, first, None))),
        valid_through=last,
        own_terms=tuple(terms),
    )


def list_windows(papers: tuple[HeldPaper, ...], month: str) -> list[tuple[object, ...]]:
    """Give what is asked for the flight and the accident of the day and for one month."""
    own = replace(farm(), papers=papers)
    at = datetime(2027, 6, 1, 17, 0, tzinfo=ZONE)
    hurt = JobEvent(number=1, kind=JobEventKind.ACCIDENT, on=ON, start=at, job="june")
    verdicts = compute_verdicts(own, shipped_table())
    book = compute_duty_book(own, shipped_table(), verdicts, (), (hurt,), as_of=ON)
    return [
        (one.id, one.opens_on, one.opens_at, one.due_on, one.due_at, one.term, one.beside)
        for one in (*book.older, *book.due)
        if one.row.id != MONTHLY or one.occasion == month
    ]


def touches(held: HeldPaper, first: date, last: date) -> bool:
    begun = held.issued_on is None or held.issued_on <= last
    return begun and (held.valid_through is None or first <= held.valid_through)


@settings(deadline=None)
@given(papers=st.lists(held_papers(), min_size=1, max_size=4))
def test_paper_not_in_force_on_the_day_changes_nothing_of_that_day(
    papers: list[HeldPaper],
) -> None:
    """The flight's day for the notice and the accident, any day of June for its report."""
    day = tuple(one for one in papers if touches(one, ON, ON))
    june = tuple(one for one in papers if touches(one, ON, date(2027, 6, 30)))

    every = list_windows(tuple(papers), "2027-06")

    of_day = [one for one in every if not str(one[0]).startswith(MONTHLY)]
    assert of_day == [
        one for one in list_windows(day, "2027-06") if not str(one[0]).startswith(MONTHLY)
    ]
    assert [one for one in every if str(one[0]).startswith(MONTHLY)] == [
        one for one in list_windows(june, "2027-06") if str(one[0]).startswith(MONTHLY)
    ]


def is_asked(papers: list[HeldPaper], day: date) -> bool:
    """Tell whether the monthly report is asked for by what is in force on one day alone."""
    now = [one for one in papers if touches(one, day, day)]
    own = [one for one in now if one.paper == "faa.airspace-authorization"]
    terms = [term for one in now for term in one.own_terms if term.duty == MONTHLY]
    beside = [
        term for one in now for term in one.own_terms if one not in own and term.duty == MONTHLY
    ]
    silent = [one for one in own if MONTHLY not in {term.duty for term in one.own_terms}]
    return bool(own) and (any(one.applies for one in terms) or (bool(silent) and not beside))


@settings(deadline=None)
@given(papers=st.lists(held_papers(), min_size=1, max_size=4))
def test_month_is_silent_only_when_each_of_its_days_is(papers: list[HeldPaper]) -> None:
    """A paper beside, of the other kind, has no say on days on which it is not in force."""
    asked = any(is_asked(papers, ON + timedelta(days=at)) for at in range(30))

    found = [one for one in list_windows(tuple(papers), "2027-06") if "2027-06" in str(one[0])]

    reports = [one for one in found if str(one[0]).startswith(MONTHLY)]
    assert len(reports) == asked


@settings(deadline=None)
@given(papers=st.permutations([(-90, 30), (-60, 10), (-30, 40)]), hours=st.integers(1, 70))
def test_order_of_the_papers_in_the_file_changes_nothing(
    papers: list[tuple[int, int]], hours: int
) -> None:
    """The paper written down last has no say of its own."""
    held = tuple(
        HeldPaper(
            paper="faa.airspace-authorization",
            holder=Holder(kind=HolderKind.OPERATION),
            number=str(first),
            issued_on=ON + timedelta(days=first),
            valid_through=ON + timedelta(days=last),
            own_terms=(
                OwnTerm(duty=NOTAM, document=str(first), count=hours - first, unit="hours"),
            ),
        )
        for first, last in papers
    )
    (notam,) = (one for one in list_windows(held, "") if str(one[0]).startswith(NOTAM))

    assert notam[5] == OwnTerm(duty=NOTAM, document="-90", count=hours + 90, unit="hours")
