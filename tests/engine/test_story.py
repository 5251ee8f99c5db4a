"""The story of a packet from its log; days are invented, differences counted by hand."""

from datetime import date

from compliance.engine.story import Chapter, Story, Turn, compute_story
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind


def entry(number: int, kind: EventKind, day: date, **more: object) -> LogEntry:
    return LogEntry(
        number=number,
        kind=kind,
        paper="own.license",
        holder=Holder(kind=HolderKind.OPERATION),
        happened_on=day,
        **more,  # type: ignore[arg-type] # the fields a test sets
    )


SIGNED = entry(1, EventKind.SIGNED, date(2027, 1, 4))
SENT = entry(2, EventKind.MAILED, date(2027, 1, 5), tracking="INVENTED-1")
THERE = entry(3, EventKind.RECEIVED, date(2027, 1, 8))
BACK = entry(
    4,
    EventKind.RETURNED,
    date(2027, 2, 4),
    reason="stamp not readable",
    blanks=("affidavit/notary-stamp",),
    still_good=("sign",),
)
AGAIN = entry(5, EventKind.MAILED, date(2027, 2, 9), reason="looked over by hand")
GRANTED = entry(6, EventKind.GRANTED, date(2027, 3, 16), paper_number="N-INVENTED")
LOG = (SIGNED, SENT, THERE, BACK, AGAIN, GRANTED)
TODAY = date(2027, 4, 1)


def test_story_counts_what_a_return_cost() -> None:
    """30 days to the return, 5 at home, 35 lost, 35 to the grant."""
    assert compute_story(LOG, TODAY) == Story(
        chapters=(
            Chapter(turn=Turn.BEFORE, entry=SIGNED),
            Chapter(turn=Turn.SENT, entry=SENT),
            Chapter(turn=Turn.REACHED, entry=THERE, waited=3),
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
    story = compute_story((SENT, GRANTED, entry(7, EventKind.MAILED, TODAY)), TODAY)

    assert (story.returns, story.lost) == (0, 0)
    assert [chapter.turn for chapter in story.chapters] == [Turn.SENT, Turn.GRANTED, Turn.SENT]
