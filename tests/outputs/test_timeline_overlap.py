"""No words on signs and no signs on signs, measured on the ink of real plans.

The boxes are measured anew with reportlab's pdfmetrics and not taken from the layout.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reportlab.pdfbase.pdfmetrics import stringWidth
from sqlmodel import Session

from compliance.app.demo import DEMO_DAY
from compliance.app.planning import make_plan
from compliance.engine.plan_model import Plan
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Operation
from compliance.outputs.pdf_kit import FONT, FONT_BOLD
from compliance.outputs.timeline_axis import Axis
from compliance.outputs.timeline_ink import BLACK, WARM, Dot, Ink, Page, Shape, Stroke, Text
from compliance.outputs.timeline_joins import join_marks, say_marks
from compliance.outputs.timeline_layout import lay_out_season
from compliance.outputs.timeline_model import Mark, Sign
from compliance.outputs.timeline_season import compute_season
from compliance.outputs.timeline_signs import draw_joint
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session

Box = tuple[float, float, float, float]
HAIR = 0.05
# Signs are at most 8 points high; lines through all rows are longer, and may pass behind words.
TALLEST_SIGN = 9.0
THINNEST_SOLID = 1.8
"""What happened (2.6 points) and what is late (3.4), on the smallest page."""


def measure_text(text: Text) -> Box:
    width = stringWidth(text.text, FONT_BOLD if text.bold else FONT, text.size)
    return (text.x, text.y - 0.78 * text.size, text.x + width, text.y + 0.22 * text.size)


def box_of(one: Ink) -> Box:
    match one:
        case Text():
            return measure_text(one)
        case Dot():
            return (one.x - one.radius, one.y - one.radius, one.x + one.radius, one.y + one.radius)
        case Shape():
            xs, ys = [x for x, _ in one.corners], [y for _, y in one.corners]
            return (min(xs), min(ys), max(xs), max(ys))
        case Stroke():
            across = one.width / 2 if one.x1 == one.x2 else 0.0
            down = one.width / 2 if one.y1 == one.y2 else 0.0
            return (
                min(one.x1, one.x2) - across,
                min(one.y1, one.y2) - down,
                max(one.x1, one.x2) + across,
                max(one.y1, one.y2) + down,
            )


def is_solid(one: Ink) -> bool:
    """Tell whether words may not lie on it: signs, swells, crops, what happened, what is late."""
    match one:
        case Dot() | Shape():
            return True
        case Stroke() if one.x1 == one.x2:
            return one.color == BLACK and abs(one.y2 - one.y1) < TALLEST_SIGN
        case Stroke() if one.y1 == one.y2:
            return one.color in {BLACK, WARM} and one.width > THINNEST_SOLID
    return False


def touch(one: Box, other: Box) -> bool:
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > HAIR and down > HAIR


def list_faults(page: Page) -> Iterator[str]:
    texts = [(one.text, box_of(one)) for one in page.ink if isinstance(one, Text) and one.text]
    solids = [(type(one).__name__, box_of(one)) for one in page.ink if is_solid(one)]
    for (name, box), (other, second) in combinations(texts, 2):
        if touch(box, second):
            yield f"{name!r} on {other!r}"
    for name, box in texts:
        yield from (f"{name!r} on a {kind} at {at}" for kind, at in solids if touch(box, at))
        if box[0] < 0 or box[1] < 0 or box[2] > page.width + HAIR or box[3] > page.height + HAIR:
            yield f"{name!r} leaves the page"


def plan_of(operation: Operation, log: tuple[LogEntry, ...], day: date) -> Plan:
    with open_session(":memory:") as session:
        return plan_in(session, operation, log, day)


def plan_in(session: Session, operation: Operation, log: tuple[LogEntry, ...], day: date) -> Plan:
    save_operation(session, operation, namespace="n")
    append_log(session, operation.id, log)
    return make_plan(session, None, day, with_chances=True).plan


def check_plan(plan: Plan, trips: tuple[date, ...] = ()) -> None:
    season = compute_season(plan, trips=trips)
    swells = sum(len(row.spreads) for group in season.groups for row in group.rows)
    for paged in (True, False):
        pages = lay_out_season(season, paged=paged).pages
        said = " ".join(one.text for page in pages for one in page.ink if isinstance(one, Text))
        assert [fault for page in pages for fault in list_faults(page)] == []
        # The heading says "even odds, and"; each swell's own words go on with a day.
        assert said.count("even odds ") == swells


@pytest.mark.parametrize(
    "day", [date(2027, 1, 11), date(2027, 2, 1), date(2027, 4, 15), date(2027, 6, 20)]
)
def test_the_demo_is_readable_all_season(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], day: date
) -> None:
    """Tight in winter, late in spring, in the middle of it in June; every swell has its words."""
    trips = tuple(day + timedelta(days=offset) for offset in (0, 1, 2, 9, 60))

    check_plan(plan_of(demo_operation, demo_log, day), trips)


def test_the_demo_is_readable_before_anything_happened(demo_operation: Operation) -> None:
    """1 December with an empty log: everything is to do."""
    check_plan(plan_of(demo_operation, (), date(2026, 12, 1)), (date(2026, 12, 3),))


def test_the_demo_is_readable_after_one_more_return(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...]
) -> None:
    """The exemption comes back while the registration is away."""
    back = replace(
        demo_log[0],
        number=len(demo_log) + 1,
        kind=EventKind.RETURNED,
        happened_on=date(2027, 1, 20),
        tracking="",
        reason="item 4 is not answered",
    )

    check_plan(plan_of(demo_operation, (*demo_log, back), date(2027, 1, 22)))


def adviser_farm(operation: Operation) -> Operation:
    """Five machines, three pilots and two states, nothing in hand."""
    machines = tuple(
        replace(operation.aircraft[at % 2], id=f"m{at}", serial=f"46-{at:05}", remote_id_serial="")
        for at in range(5)
    )
    pilots = tuple(
        replace(operation.pilots[0], id=f"p{at}", name=f"Odile Ferrant {at}") for at in range(3)
    )
    jobs = tuple(
        replace(
            job,
            aircraft=tuple(one.id for one in machines),
            pilots=tuple(one.id for one in pilots),
        )
        for job in operation.jobs
    )
    return replace(operation, aircraft=machines, pilots=pilots, jobs=jobs, papers=())


def test_a_farm_with_many_packets_is_readable(demo_operation: Operation) -> None:
    """Five machines, three pilots, Nebraska and South Dakota."""
    check_plan(plan_of(adviser_farm(demo_operation), (), DEMO_DAY), (DEMO_DAY,))


def test_an_empty_farm_is_readable(demo_operation: Operation) -> None:
    """No job, no packet: title, sentence and notice."""
    check_plan(plan_of(replace(demo_operation, jobs=()), (), DEMO_DAY))


AXIS = Axis(first=date(2027, 1, 1), last=date(2027, 12, 31), left=200.0, right=700.0)
MARKS = st.builds(
    Mark,
    on=st.integers(min_value=0, max_value=364).map(lambda at: AXIS.first + timedelta(days=at)),
    sign=st.sampled_from(list(Sign)),
    words=st.just("last day to mail"),
    short=st.just("last"),
    order=st.integers(min_value=0, max_value=5),
)


@settings(deadline=None, derandomize=True, database=None, max_examples=40)
@given(marks=st.lists(MARKS, max_size=14))
def test_signs_never_touch_and_none_is_lost(marks: list[Mark]) -> None:
    """Each joint keeps to its room, the rooms keep apart, and every mark is in one of them."""
    joints = join_marks(tuple(marks), AXIS, 7.0)
    signed = [mark for mark in marks if mark.sign not in {Sign.SPREAD, Sign.EDGE}]

    for before, after in pairwise(joints):
        assert before.end < after.start
    for joint in joints:
        for one in draw_joint(joint, AXIS):
            left, _, right, _ = box_of(one)
            assert joint.start - HAIR <= left
            assert right <= joint.end + HAIR
    assert sorted(id(mark) for joint in joints for mark in joint.marks) == sorted(map(id, signed))


def test_marks_of_one_day_say_the_day_once() -> None:
    """What is to be done by that day stands last, before the day."""
    ends = Mark(
        on=date(2027, 7, 31), sign=Sign.ENDS, words="the one in hand runs out Sat 31 Jul",
        short="runs out 31 Jul", order=2,
    )  # fmt: skip
    last = Mark(
        on=date(2027, 7, 31), sign=Sign.LAST, words="file by Sat 31 Jul", short="file by 31 Jul",
        order=0,
    )  # fmt: skip

    assert say_marks((last, ends), is_short=False) == "the one in hand runs out, file by Sat 31 Jul"
    assert say_marks((last, ends), is_short=True) == "runs out, file by 31 Jul"


def test_drives_close_together_say_each_month_once() -> None:
    """Four drives around the end of a month."""
    days = (date(2027, 1, 28), date(2027, 1, 29), date(2027, 2, 1), date(2027, 2, 2))
    drives = tuple(
        Mark(on=day, sign=Sign.TOWN, words=f"{day:%a} {day.day} {day:%b}",
             short=f"{day.day} {day:%b}") for day in days
    )  # fmt: skip

    assert say_marks(drives, is_short=True) == "28, 29 Jan; 1, 2 Feb"
    assert say_marks(drives, is_short=False) == "Thu 28, Fri 29 Jan; Mon 1, Tue 2 Feb"


def test_a_long_row_of_joined_marks_gets_several_labels() -> None:
    """Sixty drives on sixty days in a row: no label is wider than half the picture."""
    drives = tuple(
        Mark(on=AXIS.first + timedelta(days=at), sign=Sign.TOWN, words=f"{at}. drive",
             short=f"{at}. drive") for at in range(60)
    )  # fmt: skip
    (joint,) = join_marks(drives, AXIS, 7.0)

    assert len(joint.labels) > 1
    for label in joint.labels:
        assert stringWidth(label.short, FONT, 7.0) <= 250
