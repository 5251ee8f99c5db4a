"""The story of a packet from its log; days are invented, differences counted by hand."""

from compliance.engine.story import Chapter, Story, Turn, compute_story
from compliance.facts.log import EventKind
from tests.story_log import (
    AGAIN,
    BACK,
    GRANTED,
    HEARD,
    LOG,
    SENT,
    SIGNED,
    THERE,
    TODAY,
    entry,
)


def test_story_counts_what_a_return_cost() -> None:
    """30 days to the return, 5 at home, 35 lost, 35 to the grant."""
    assert compute_story(LOG, TODAY) == Story(
        chapters=(
            Chapter(turn=Turn.BEFORE, entry=SIGNED),
            Chapter(turn=Turn.SENT, entry=SENT),
            Chapter(turn=Turn.REACHED, entry=THERE, waited=3),
            Chapter(turn=Turn.HEARD, entry=HEARD, waited=24),
            Chapter(turn=Turn.CAME_BACK, entry=BACK, waited=30),
            Chapter(turn=Turn.SENT_AGAIN, entry=AGAIN, waited=5, lost=35),
            Chapter(turn=Turn.GRANTED, entry=GRANTED, waited=35),
        ),
        returns=1,
        lost=35,
    )


def test_packet_that_is_still_at_home_loses_days_up_to_today() -> None:
    """From 5 January to 1 April."""
    story = compute_story((SENT, BACK), TODAY)

    assert (story.returns, story.lost) == (1, 86)


def test_packet_that_never_came_back_lost_nothing() -> None:
    """And a renewal after a grant begins a new story within the old one."""
    story = compute_story((SENT, GRANTED, entry(8, EventKind.MAILED, TODAY)), TODAY)

    assert (story.returns, story.lost) == (0, 0)
    assert [chapter.turn for chapter in story.chapters] == [Turn.SENT, Turn.GRANTED, Turn.SENT]
