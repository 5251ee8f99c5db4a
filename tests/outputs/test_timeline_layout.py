"""The season laid out: no words on words, none outside, none lost, as large as a page allows."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.app.demo import DEMO_DAY
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.outputs.timeline_ink import Page, Picture, Text, wrap_text
from compliance.outputs.timeline_labels import ROOMY, TIGHT, Lanes
from compliance.outputs.timeline_layout import MOST_ROWS, lay_out_season
from compliance.outputs.timeline_model import (
    Group,
    Mark,
    Row,
    Season,
    Sign,
    Spread,
    Stretch,
    Weight,
)
from compliance.outputs.timeline_season import compute_season
from compliance.rules.model import RulesTable

SETTINGS = settings(deadline=None, derandomize=True, database=None, max_examples=25)
FIRST = date(2026, 11, 1)
HAIR = 0.01


def texts_of(page: Page) -> list[Text]:
    return [one for one in page.ink if isinstance(one, Text) and one.text]


def list_overlaps(page: Page) -> Iterator[tuple[str, str]]:
    """Every two texts whose measured boxes share more than a hair."""
    for one, other in combinations(texts_of(page), 2):
        left, top, right, bottom = one.box
        left2, top2, right2, bottom2 = other.box
        across = min(right, right2) - max(left, left2)
        down = min(bottom, bottom2) - max(top, top2)
        if across > HAIR and down > HAIR:
            yield one.text, other.text


def check_page(page: Page) -> None:
    assert list(list_overlaps(page)) == []
    for text in texts_of(page):
        left, top, right, bottom = text.box
        assert left >= 0
        assert top >= 0
        assert right <= page.width + HAIR
        assert bottom <= page.height + HAIR


def squash(picture: Picture) -> str:
    """All letters of a picture, in the order drawn, without blanks."""
    return "".join("".join(t.text for p in picture.pages for t in texts_of(p)).split())


DAYS = st.integers(min_value=0, max_value=500)
WORDS = st.text(alphabet=st.sampled_from("abcdefgWMil ,.-ÅŁж"), min_size=1, max_size=160).filter(
    str.strip
)


@st.composite
def rows(draw: st.DrawFn, last: date) -> Row:
    span = (last - FIRST).days
    some_day = st.integers(min_value=0, max_value=span).map(
        lambda offset: FIRST + timedelta(days=offset)
    )
    marks = tuple(
        Mark(
            on=draw(some_day),
            sign=draw(st.sampled_from([sign for sign in Sign if sign is not Sign.SPREAD])),
            words=draw(st.sampled_from(["last day to mail Wed 28 Apr", "ready Tue 4 May", "x"])),
            short="last 28 Apr",
            order=draw(st.integers(min_value=0, max_value=4)),
        )
        for _ in range(draw(st.integers(min_value=0, max_value=6)))
    )
    one, two, three = sorted(draw(some_day) for _ in range(3))
    spread = Spread(soonest=one, likely=two, slow=three)
    named = Mark(
        on=two, sign=Sign.SPREAD, words="answer about 4 May (1 May to 9 May)", short="answer",
        order=draw(st.sampled_from([1, 6])),
    )  # fmt: skip
    return Row(
        key="row",
        title=draw(WORDS),
        notes=tuple(draw(st.lists(WORDS, max_size=2))),
        stretches=(Stretch(first=one, last=three, weight=draw(st.sampled_from(list(Weight)))),),
        spreads=(spread,) if one < three else (),
        marks=(*marks, named) if one < three else marks,
        is_late=draw(st.booleans()),
    )


@st.composite
def seasons(draw: st.DrawFn, most: int = 45) -> Season:
    last = (FIRST + timedelta(days=40 + draw(DAYS))).replace(day=28)
    groups = tuple(
        Group(title=draw(WORDS), rows=tuple(draw(st.lists(rows(last), min_size=1, max_size=8))))
        for _ in range(draw(st.integers(min_value=0, max_value=most // 8)))
    )
    return Season(
        title=draw(WORDS),
        under=(draw(WORDS),),
        as_of=FIRST + timedelta(days=draw(st.integers(min_value=0, max_value=40))),
        first=FIRST,
        last=last,
        groups=groups,
        begins=(last,),
        notices=("A planning aid, not legal advice.",),
    )


@SETTINGS
@given(season=seasons())
def test_no_words_touch_and_none_leave_the_page(season: Season) -> None:
    """Whatever the names, the marks and the months: measured boxes never share a place."""
    for paged in (True, False):
        for page in lay_out_season(season, paged=paged).pages:
            check_page(page)


@SETTINGS
@given(season=seasons(most=16))
def test_no_letter_of_a_name_is_lost(season: Season) -> None:
    """Titles, notes and headings are wrapped or moved, never cut."""
    drawn = squash(lay_out_season(season, paged=True))

    for group in season.groups:
        assert "".join(group.title.split()) in drawn
        for row in group.rows:
            assert "".join(row.title.split()) in drawn
            assert "".join("; ".join(row.notes).split()) in drawn


@pytest.mark.parametrize("days", [-125, -100, -60, 0, 150, 400])
def test_plans_of_the_demo_fit_one_page_without_touching(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], table: RulesTable, days: int
) -> None:
    """The demo farm with its season moved: everything late, tight, easy, next year."""
    jobs = tuple(
        replace(
            job,
            first_day=job.first_day + timedelta(days=days),
            last_day=job.last_day + timedelta(days=days),
        )
        for job in demo_operation.jobs
    )
    plan = compute_plan(replace(demo_operation, jobs=jobs), table, demo_log, DEMO_DAY)
    trips = (date(2027, 1, 12), date(2027, 1, 13), date(2027, 1, 22), date(2027, 3, 2))
    picture = lay_out_season(compute_season(plan, trips=trips), paged=True)

    assert len(picture.pages) == 1
    check_page(picture.pages[0])


def fleet(operation: Operation, table: RulesTable, count: int) -> Plan:
    machines = tuple(
        replace(operation.aircraft[0], id=f"m{at}", serial=f"46-{at:05}", remote_id_serial="")
        for at in range(count)
    )
    pilots = tuple(
        replace(operation.pilots[0], id=f"p{at}", name=f"Odile Ferrant {at}") for at in range(count)
    )
    jobs = tuple(
        replace(
            job,
            aircraft=tuple(one.id for one in machines),
            pilots=tuple(one.id for one in pilots),
        )
        for job in operation.jobs
    )
    changed = replace(operation, aircraft=machines, pilots=pilots, jobs=jobs, papers=())
    return compute_plan(changed, table, (), DEMO_DAY)


def test_forty_packets_fit_one_page_in_letters_of_five_points(
    demo_operation: Operation, table: RulesTable
) -> None:
    """Six machines and six pilots with nothing in hand: 35 packets and 4 jobs."""
    season = compute_season(fleet(demo_operation, table, 6))
    picture = lay_out_season(season, paged=True)

    assert season.row_count == 39
    assert len(picture.pages) == 1
    assert min(text.size for text in texts_of(picture.pages[0])) >= 5
    check_page(picture.pages[0])


def test_more_rows_than_a_page_holds_go_on_and_say_so(
    demo_operation: Operation, table: RulesTable
) -> None:
    """A PDF goes on with headings repeated; every row is on one page exactly."""
    season = compute_season(fleet(demo_operation, table, 12))
    picture = lay_out_season(season, paged=True)
    said = [[text.text for text in texts_of(page)] for page in picture.pages]
    count = len(picture.pages)

    assert season.row_count > MOST_ROWS
    assert count > 1
    for number, lines in enumerate(said, 1):
        assert (
            f"{season.row_count} lines do not fit on one page. This is page {number} of {count}."
            in lines
        )
    for page in picture.pages:
        check_page(page)
    names = [line for lines in said for line in lines if line.startswith("Aircraft registration")]
    assert len(names) == len(set(names)) == 12
    assert "For each aircraft" in said[0] + said[1]


def test_a_picture_without_pages_grows_tall(demo_operation: Operation, table: RulesTable) -> None:
    """SVG and PNG have no second page: all rows on one sheet."""
    picture = lay_out_season(compute_season(fleet(demo_operation, table, 12)), paged=False)

    assert len(picture.pages) == 1
    assert picture.pages[0].height > 792
    check_page(picture.pages[0])


def test_an_empty_season_is_one_wide_page(demo_operation: Operation, table: RulesTable) -> None:
    """Nothing to do: the sentence and the notice, no empty months."""
    plan = compute_plan(replace(demo_operation, jobs=()), table, (), DEMO_DAY)
    page = lay_out_season(compute_season(plan), paged=True).pages[0]
    said = " ".join(text.text for text in texts_of(page))

    assert (page.width, page.height) == (792, 612)
    assert "no job is planned, so no paper is needed by any day" in said
    assert "A planning aid, not legal advice." in said
    assert "Feb 2027" not in said
    check_page(page)


def test_every_page_carries_the_notice_and_the_day(demo_plan: Plan) -> None:
    """No legal advice, and as of when."""
    for page in lay_out_season(compute_season(demo_plan), paged=True).pages:
        said = " ".join(text.text for text in texts_of(page))
        assert "As of Mon 11 Jan 2027. No paper makes a flight safe" in said
        assert "not legal advice" in said


def test_equal_seasons_give_equal_ink(demo_plan: Plan) -> None:
    """Nothing of the layout depends on chance or order of hashing."""
    assert lay_out_season(compute_season(demo_plan), paged=True) == lay_out_season(
        compute_season(demo_plan), paged=True
    )


@SETTINGS
@given(
    marks=st.lists(st.floats(min_value=0, max_value=300), min_size=1, max_size=25),
    near=st.sampled_from([ROOMY, TIGHT, (-1,)]),
)
def test_lanes_always_find_room(marks: list[float], near: tuple[int, ...]) -> None:
    """Labels of one lane keep apart, stay inside, and reach over their mark off the line."""
    lanes = Lanes(left=0, right=300, size=7, near=near)
    placed = [lanes.place(at, ("last day to mail", "last"), (at - 3, at + 3)) for at in marks]

    for one, other in combinations(placed, 2):
        if one.lane == other.lane:
            assert one.x + one.width <= other.x + HAIR or other.x + other.width <= one.x + HAIR
    for one in placed:
        assert one.x >= 0
        assert one.x + one.width <= 300 + HAIR
        assert one.lane == 0 or one.x - HAIR <= one.at <= one.x + one.width + HAIR


def test_lanes_refuse_words_wider_than_the_picture() -> None:
    """A label that can go nowhere is an error, not a cut."""
    with pytest.raises(ValueError, match="a label is wider than the picture"):
        Lanes(left=0, right=20, size=7).place(10, ("last day to mail",), (10, 10))


def test_wrapping_breaks_a_word_that_is_wider_than_the_room() -> None:
    """Two hundred letters without a blank lose none."""
    lines = wrap_text("W" * 200, 8.0, 100.0)

    assert "".join(lines) == "W" * 200
    assert len(lines) > 1
