"""The curve of one packet: its marks, its words, and its place on the page."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations

import pytest

from compliance.engine.chance_model import Chances, PacketChance
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.outputs.timeline_chance import (
    ChanceView,
    compute_chance_view,
    find_chance,
    lay_out_chance,
    say_chance_view,
)
from compliance.outputs.timeline_ink import Dot, Stroke, Text

PACKET = "ne.commercial-applicator:wren"
START = date(2027, 1, 11)
# A straight fall from 99 % to nothing over 110 days, made up for these tests.
CURVE = tuple((START + timedelta(days=at), 0.99 - 0.009 * at) for at in range(111))


def with_chances(plan: Plan, **changes: object) -> Plan:
    packet = PacketChance(
        packet=PACKET,
        mail_step=f"{PACKET}/mail",
        mail_by=date(2027, 1, 21),
        mail_by_with_return=date(2027, 1, 15),
        binds="return",
        by_mail_day=CURVE,
        ready=(date(2027, 2, 1), date(2027, 2, 10), date(2027, 3, 1)),
    )
    packet = replace(packet, **changes)  # type: ignore[arg-type] # one field or another
    chances = Chances(
        draws=20_000, seed=1, wanted=0.9, jobs=(), packets=(packet,), matters=(), spread={}
    )
    return replace(plan, chances=chances)


def paper_of(plan: Plan) -> PaperPlan:
    paper = plan.find_paper(PACKET)
    assert paper is not None
    return paper


def view_of(plan: Plan, **changes: object) -> ChanceView:
    view = compute_chance_view(with_chances(plan, **changes), paper_of(plan))
    assert view is not None
    return view


def test_marks_say_day_and_chance(demo_plan: Plan) -> None:
    """The wanted chance, the same with a return, safe and last, each with the curve's value."""
    assert [mark.words for mark in view_of(demo_plan).marks] == [
        "as early as you can: Mon 11 Jan 2027 (99 %)",
        "mail by, for 90 % even if it comes back once: Fri 15 Jan 2027 (95 %)",
        "mail by, for a chance of 90 %: Thu 21 Jan 2027 (90 %)",
        "safe day to mail: Fri 22 Jan 2027 (89 %)",
        "last day to mail: Wed 21 Apr 2027 (9 %)",
    ]


def test_marks_of_one_day_are_one(demo_plan: Plan) -> None:
    """Two reasons for the same day stand in one sentence."""
    words = [mark.words for mark in view_of(demo_plan, mail_by=date(2027, 1, 22)).marks]

    assert "mail by, for a chance of 90 % and safe day to mail: Fri 22 Jan 2027 (89 %)" in words


def test_a_day_before_the_packet_can_go_has_no_chance(demo_plan: Plan) -> None:
    """A mail-by that comes before the first possible day is said to be so, without a number."""
    view = view_of(demo_plan, by_mail_day=CURVE[20:])
    marks = {mark.words: mark.chance for mark in view.marks}

    assert marks["mail by, for a chance of 90 %: Thu 21 Jan 2027, before you can mail it"] is None


def test_under_says_what_binds(demo_plan: Plan) -> None:
    """One sentence when the return decides, one when no day will do."""
    none = view_of(demo_plan, mail_by=None, mail_by_with_return=None, binds="chance")
    without = view_of(demo_plan, mail_by_with_return=None)

    assert view_of(demo_plan).under[1] == (
        "Room for one return is what decides here: mail by the earlier day."
    )
    assert none.under[1] == "On no day to come is the chance 90 % or better."
    assert without.under[1] == ("If it comes back once, no day to come leaves a chance of 90 %.")
    assert view_of(demo_plan).under[2] == (
        "In hand by Mon 1 Feb 2027 with a chance of 10 %, by Wed 10 Feb 2027 of 50 %, by "
        "Mon 1 Mar 2027 of 90 %."
    )


def test_no_view_without_a_curve(demo_plan: Plan) -> None:
    """Nothing drawn, nothing for this packet, or only days that are past: no picture."""
    paper = paper_of(demo_plan)
    past = with_chances(demo_plan, by_mail_day=((date(2027, 1, 1), 0.9),))

    assert compute_chance_view(replace(demo_plan, chances=None), paper) is None
    assert compute_chance_view(with_chances(demo_plan, packet="other"), paper) is None
    assert compute_chance_view(with_chances(demo_plan, by_mail_day=()), paper) is None
    assert compute_chance_view(past, paper) is None


def test_chance_of_a_day_between_two_of_the_curve() -> None:
    """On a closed day it waits for the next; before the curve its first, after it its last."""
    curve = ((date(2027, 1, 10), 0.9), (date(2027, 1, 20), 0.5))

    days = (date(2027, 1, 1), date(2027, 1, 15), date(2027, 2, 1))
    assert [find_chance(curve, day) for day in days] == [0.9, 0.5, 0.5]


def test_curve_falls_across_the_page_between_never_and_always(demo_plan: Plan) -> None:
    """The dots of the marks lie on the curve: a chance of 0.9 nine tenths of the way up."""
    page = lay_out_chance(view_of(demo_plan)).pages[0]
    strokes = [one for one in page.ink if isinstance(one, Stroke)]
    curve = [one for one in strokes if one.width == 2.4]
    wanted = next(one for one in strokes if one.dash == (4.0, 2.5))
    dots = [one for one in page.ink if isinstance(one, Dot)]

    assert len(curve) > 40
    assert all(one.y2 >= one.y1 and one.x2 > one.x1 for one in curve)
    assert len(dots) == 5
    assert dots[2].y == pytest.approx(wanted.y1)


def test_words_of_the_curve_do_not_touch(demo_plan: Plan) -> None:
    """Marks a day apart have their words one above the other."""
    for changes in (
        {},
        {"mail_by": date(2027, 1, 12), "mail_by_with_return": date(2027, 1, 13)},
        {"mail_by": date(2027, 4, 20), "mail_by_with_return": date(2027, 4, 22)},
    ):
        page = lay_out_chance(view_of(demo_plan, **changes)).pages[0]
        texts = [one for one in page.ink if isinstance(one, Text)]
        for one, other in combinations(texts, 2):
            across = min(one.box[2], other.box[2]) - max(one.box[0], other.box[0])
            down = min(one.box[3], other.box[3]) - max(one.box[1], other.box[1])
            assert across <= 0.01 or down <= 0.01, (one.text, other.text)
        assert all(t.box[0] >= 0 and t.box[2] <= 792 and t.box[3] <= 612 for t in texts)


def test_curve_in_words(demo_plan: Plan) -> None:
    """The description names the packet, the marks, the notice and the day."""
    said = say_chance_view(view_of(demo_plan))

    assert said.startswith(
        "When to mail: Nebraska commercial applicator license, aerial category, Wren Castellow\n"
    )
    assert "last day to mail: Wed 21 Apr 2027 (9 %)." in said
    assert "As of Mon 11 Jan 2027." in said
    assert "A planning aid, not legal advice." in said
