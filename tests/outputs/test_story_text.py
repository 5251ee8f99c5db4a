"""The story of a packet in words; days are invented, differences counted by hand."""

from compliance.engine.story import compute_story
from compliance.outputs.story_text import render_story
from compliance.outputs.words import CAUTION, wrap
from tests.story_log import BACK, LOG, SENT, TODAY


def test_story_as_text() -> None:
    """Read aloud it tells what happened, why, and what it cost."""
    assert render_story(compute_story(LOG, TODAY), "License", "own.license") == (
        "License (own.license)\n"
        "\n"
        "  Mon 4 Jan 2027   signed\n"
        "  Tue 5 Jan 2027   sent off, INVENTED-1\n"
        "  Fri 8 Jan 2027   at the office, 3 days after it was sent\n"
        "  Fri 29 Jan 2027  the office said, 24 days after it was sent: an examiner has\n"
        "                   it\n"
        "                   it expects to answer by Fri 12 Feb 2027\n"
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
