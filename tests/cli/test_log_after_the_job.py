"""Somebody catches up on the log when a job is over, as a user types it.

The farm is the demo's; its job pasture-ne is from 24 May to 12 June 2027.
"""

from collections.abc import Callable
from pathlib import Path

from compliance.outputs.words import CAUTION, wrap

Run = Callable[[list[str]], tuple[int, str, str]]
PACKET = "ne.aerial-business"
LATER = ["--today", "2027-06-15"]
MAILED = ["log", "mailed", PACKET, "--on", "2027-03-30", *LATER, "--anyway", "catching up"]
HAPPENED = "the day it happened"
LAST = "the last day on which a job needed it"


def say_judged(day: str, which: str) -> str:
    """Say by which plan an entry was judged, as README says that the answer does."""
    judged = f"it was judged by the plan of {day}, {which}; the entry is kept"
    text = f"{PACKET}: no job needs it any more; {judged}"
    return f"{wrap(text, indent=2, hang=4)}\n"


JOBS = (
    "  ! pasture-sd has no lawful day left: it ends on Sat 3 Jul 2027, before its\n"
    "    papers can be there, "
)


def test_what_happened_to_a_packet_of_a_job_that_is_over_is_kept(loaded: Run) -> None:
    """Before, it was refused as not needed for the jobs planned."""
    code, out, err = loaded(MAILED)

    assert (code, err) == (0, "")
    assert out.startswith(
        "logged as entry 1: Tue 30 Mar 2027: mailed ne.aerial-business, Sandbur Flats\n"
        f"  Aerial LLC; reason: catching up\n{say_judged('Tue 30 Mar 2027', HAPPENED)}{JOBS}"
    )
    assert out.endswith(f"\n\n{wrap(CAUTION)}\n")


def test_whole_story_after_the_job_is_kept_and_reads_in_again(loaded: Run) -> None:
    """Heard, returned and granted too; the last day is after the job, and the file agrees."""
    assert loaded(MAILED)[0] == 0
    said = ["--said", "on a desk"]
    heard = loaded(["log", "heard", PACKET, "--on", "2027-04-02", *LATER, *said])
    back = ["log", "returned", PACKET, "--on", "2027-04-12", *LATER, "--reason", "no fee"]
    returned = loaded(back)
    again = ["log", "mailed", PACKET, "--on", "2027-04-15", *LATER, "--anyway", "catching up"]
    assert loaded(again)[0] == 0
    granted = loaded(["log", "granted", PACKET, "--on", "2027-06-14", *LATER, "--number", "X1"])
    exported = loaded(["export", "--log"])[1]
    story = loaded(["history", PACKET, "--on", "2027-06-15"])[1]
    Path("log.yaml").write_text(exported, encoding="utf-8")

    assert [(code, err) for code, _, err in (heard, returned, granted)] == [(0, "")] * 3
    assert say_judged("Fri 2 Apr 2027", HAPPENED) in heard[1]
    assert say_judged("Sat 12 Jun 2027", LAST) in granted[1]
    assert returned[1] == (
        "logged as entry 3: Mon 12 Apr 2027: ne.aerial-business, Sandbur Flats Aerial\n"
        f"  LLC, came back: no fee\n{say_judged('Mon 12 Apr 2027', HAPPENED)}"
        f"\nNo day has moved.\n\n{wrap(CAUTION)}\n"
    )
    assert "  Mon 14 Jun 2027  granted, no. X1, 60 days after it was sent\n" in story
    other = ["--db", "other.db"]
    assert loaded(["load", "sandbur_flats.yaml", *other])[0] == 0
    assert loaded(["log", "import", "log.yaml", *LATER, *other]) == (
        0,
        "5 entries added to the log\n",
        "",
    )
    assert loaded(["export", "--log", *other])[1] == exported


def test_order_of_days_is_held_after_the_job_too(loaded: Run) -> None:
    """What cannot have happened is refused as before, also from a file."""
    early = ["log", "granted", PACKET, "--on", "2027-06-14", *LATER]
    Path("log.yaml").write_text(
        f"log:\n  - {{kind: granted, paper: {PACKET}, holder: operation, on: 2027-06-14}}\n",
        encoding="utf-8",
    )
    told = (
        f"L33 {PACKET} cannot be granted before it is mailed\n"
        f"  hint: log it first: mailby log mailed {PACKET} --on DATE\n"
        "1 problem; nothing was changed\n"
    )

    assert loaded(early) == (3, "", told)
    assert loaded(["log", "import", "log.yaml", *LATER]) == (3, "", f"log.yaml:2:5: {told}")


def test_what_no_job_needs_any_more_is_said_so(loaded: Run) -> None:
    """Before, a check said that it is not needed and `why` that it is."""
    why = loaded(["why", PACKET, "--on", "2027-06-15"])[1]

    assert why.startswith(
        "Nebraska aerial pesticide business license was needed for Sandbur Flats Aerial\n"
        "LLC through Sat 12 Jun 2027; no job needs it any more.\n"
    )
    assert loaded(["check", PACKET, "--on", "2027-06-15"]) == (
        4,
        "",
        (
            f"{PACKET} is not needed any more\n"
            "  hint: the last job that needs it was over on Sat 12 Jun 2027\n"
        ),
    )


def test_return_after_the_grant_names_the_grant(loaded: Run) -> None:
    """Before, it was said that it was not mailed, though it was; the days are made up."""
    assert loaded(MAILED)[0] == 0
    assert loaded(["log", "granted", PACKET, "--on", "2027-05-05", *LATER])[0] == 0
    told = (
        f"L33 {PACKET} was granted on Wed 5 May 2027, and nothing is logged as mailed since, so "
        "it cannot be {}\n"
        "  hint: if it was not granted: mailby log withdraw 2; if a renewal was mailed, log that "
        f"first: mailby log mailed {PACKET} --on DATE\n"
        "1 problem; nothing was changed\n"
    )

    back = ["log", "returned", PACKET, "--on", "2027-05-10", *LATER, "--reason", "no fee"]
    assert loaded(back) == (3, "", told.format("returned"))
    again = ["log", "granted", PACKET, "--on", "2027-05-10", *LATER]
    assert loaded(again) == (3, "", told.format("granted again"))
