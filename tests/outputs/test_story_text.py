"""The story of a packet in words; days are invented, differences counted by hand."""

from datetime import date

from compliance.engine.story import compute_story
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind
from compliance.outputs.story_text import render_story
from compliance.outputs.words import CAUTION, wrap


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


def test_story_as_text() -> None:
    """Read aloud it tells what happened, why, and what it cost."""
    assert render_story(compute_story(LOG, TODAY), "License", "own.license") == (
        "License (own.license)\n"
        "\n"
        "  Mon 4 Jan 2027   signed\n"
        "  Tue 5 Jan 2027   sent off, INVENTED-1\n"
        "  Fri 8 Jan 2027   at the office, 3 days after it was sent\n"
        "  Thu 4 Feb 2027   came back, 30 days after it was sent: stamp not readable\n"
        "                   at fault: affidavit/notary-stamp\n"
        "                   not done again: sign\n"
        "  Tue 9 Feb 2027   sent again, 5 days after it came back; 35 days lost\n"
        "                   without a ready check: looked over by hand\n"
        "  Tue 16 Mar 2027  granted, no. N-INVENTED, 35 days after it was sent\n"
        "\n"
        "It came back once; that cost 35 days.\n"
        "\n"
        f"{wrap(CAUTION)}\n"
    )


def test_story_without_a_return_as_text() -> None:
    """One sentence says so; a packet still out says what was lost so far."""
    assert "\nIt never came back.\n" in render_story(
        compute_story((SENT,), TODAY), "License", "own.license"
    )
    assert "\nIt came back once; that cost 86 days so far.\n" in render_story(
        compute_story((SENT, BACK), TODAY), "License", "own.license"
    )
