"""offices, offices import, offices forget, log returned and history as a user types them."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from compliance.outputs.words import CAUTION, wrap

Run = Callable[[list[str]], tuple[int, str, str]]
PACKET = "faa.registration-n:tg46"
REVIEW = "faa.registration-n.review"
DAY = ["--on", "2027-01-11"]


@pytest.fixture(name="mailed")
def mailed_packet(loaded: Run) -> Run:
    """The demo's farm with its registration mailed on 30 November 2026."""
    for line in ("notarized --on 2026-11-24", "mailed --on 2026-11-30 --anyway by-hand"):
        kind, *rest = line.split()
        assert loaded(["log", kind, PACKET, *rest, "--today", "2027-01-11"])[0] == 0
    return loaded


def give_back(run: Run, *words: str) -> tuple[int, str, str]:
    line = ["log", "returned", PACKET, "--on", "2027-01-06", "--today", "2027-01-11", *words]
    return run(line)


def test_offices_before_anything_was_seen(loaded: Run) -> None:
    """It says how to begin."""
    assert loaded(["offices", *DAY]) == (
        0,
        (
            "Nothing was seen of any office yet. Log what you mail and what comes back, or\n"
            "read a file in with `mailby offices import FILE.csv`; `mailby offices --all`\n"
            "shows what the rules say.\n\n"
            f"{wrap(CAUTION)}\n"
        ),
        "",
    )


def test_offices_of_a_packet_that_is_out(mailed: Run) -> None:
    """What the rule says, what was seen, what to believe and when to ask."""
    code, out, _ = mailed(["offices", *DAY])

    assert code == 0
    assert out.splitlines()[:8] == [
        "FAA Aircraft Registration Branch (faa.registry)",
        "  faa.registration-n.review: At the Registry, in the pile and then in an",
        "    examiner's hands",
        "      the rule     usually 21 calendar days; fast 14, slow 45; 1 of 5 come back",
        "      seen         0 decided, 0 of them sent back; 1 out now",
        "      believed     half within 33 calendar days, nine in ten within 87; about 20",
        "                   in 100 come back",
        "      out now      sandbur-flats faa.registration-n:tg46, there since about Sat",
    ]
    late = mailed(["offices", "--on", "2027-03-01"])[1]
    assert "; ask them now" in " ".join(late.split())


def test_packet_on_its_way_is_not_said_to_be_there(mailed: Run) -> None:
    """Before, it was said to be there since a day to come."""
    day = ["--on", "2026-12-01"]
    lines = mailed(["offices", *day])[1].splitlines()
    document = json.loads(mailed(["offices", *day, "--format", "json"])[1])
    (kind,) = document["offices"][0]["kinds"]

    assert lines[4:6] == [
        "      seen         0 decided, 0 of them sent back; 0 out now, 1 still in the",
        "                   mail",
    ]
    assert lines[8:10] == [
        "      in the mail  sandbur-flats faa.registration-n:tg46, there from about Sat 5",
        "                   Dec 2026: unusual from Thu 18 Feb 2027",
    ]
    assert (kind["seen"]["pending"], kind["seen"]["in_the_mail"]) == (0, 1)
    assert kind["waiting"][0]["is_there"] is False
    assert mailed(["offices", "--on", "2026-11-29"])[1].startswith("Nothing was seen of any office")


def test_offices_as_json(mailed: Run) -> None:
    """The same numbers for programs."""
    document = json.loads(mailed(["offices", *DAY, "--format", "json"])[1])

    (office,) = document["offices"]
    (kind,) = office["kinds"]
    assert (document["as_of"], office["office"], kind["step"]) == (
        "2027-01-11",
        "faa.registry",
        REVIEW,
    )
    assert kind["rule"] == {
        "fast": 14,
        "usual": 21,
        "slow": 45,
        "comes_back": {"times": 1, "of": 5},
    }
    assert kind["seen"] == {
        "decided": 0,
        "returned": 0,
        "pending": 1,
        "in_the_mail": 0,
        "days_not_seen": 0,
        "sent_back_meanwhile": 0,
    }
    assert kind["waiting"][0]["packet"] == PACKET
    assert kind["waiting"][0]["is_there"] is True
    assert kind["waiting"][0]["age"] == 37


def test_file_is_read_listed_and_forgotten(loaded: Run, isolated: Path) -> None:
    """Three commands, three short sentences."""
    (isolated / "a.csv").write_text(
        f"step,sent,decided,outcome\n{REVIEW},2026-10-01,2026-11-02,granted\n", encoding="utf-8"
    )

    assert loaded(["offices", "import", "a.csv", *DAY]) == (
        0,
        "1 packet read as file 1; take it back with: mailby offices forget 1\n",
        "",
    )
    assert loaded(["offices", "forget"]) == (
        0,
        (
            "1. a.csv, packets: 1, read on Mon 11 Jan 2027\n"
            "take one back with: mailby offices forget NUMBER\n"
        ),
        "",
    )
    assert loaded(["offices", "forget", "1"]) == (0, "file 1 is forgotten\n", "")
    assert loaded(["offices", "forget"]) == (0, "no file of office times was read in\n", "")


def test_faulty_file_exits_with_three(loaded: Run, isolated: Path) -> None:
    """Every line is reported, nothing is kept."""
    (isolated / "a.csv").write_text(
        f"step,sent,decided,outcome\n{REVIEW},2026-10-01,2026-09-02,granted\n"
        f"{REVIEW},2026-10-01,,granted\n",
        encoding="utf-8",
    )

    code, out, err = loaded(["offices", "import", "a.csv", *DAY])

    assert (code, out) == (3, "")
    assert err == (
        "a.csv:2:1: O11 `decided` is Wed 2 Sep 2026, before `sent` on Thu 1 Oct 2026\n"
        "  hint: swap the two days, or correct the year\n"
        "a.csv:3:1: O10 it is granted without a day of decision\n"
        "  hint: add the day in `decided`, or write pending\n"
        "2 problems; nothing was changed\n"
    )
    assert loaded(["offices", "forget"])[1] == "no file of office times was read in\n"


def test_return_says_what_moved_and_what_is_not_done_again(mailed: Run) -> None:
    """The notary is not asked for again when no blank at fault is on a notarized page."""
    code, out, err = give_back(
        mailed, "--reason", "serial differs", "--blank", "application/serial"
    )

    assert (code, err) == (0, "")
    text = " ".join(out.split())
    assert text.startswith(
        "logged as entry 3: Wed 6 Jan 2027: faa.registration-n, TG-46 46-00017, came back: serial "
        "differs; at fault: application/serial not again: Sign the affidavit in front of the notary"
    )
    assert "`mailby log withdraw 3` and log the return with --again notarized." in text
    assert "! Affidavit of ownership for an unmanned aircraft says the same under" in text
    assert (
        "WHAT MOVED, before -> now faa.registration-n:tg46 mail by, last sent off Mon 30 Nov"
        in text
    )
    assert "Next: put it right, then `mailby check faa.registration-n:tg46` asks about this" in text
    exported = mailed(["export", "--log"])[1]
    assert '    blanks:\n      - "application/serial"\n    still_good: [notarize]\n' in exported


def test_return_can_be_told_what_to_do_again(mailed: Run) -> None:
    """A person who sees the page knows better."""
    out = give_back(
        mailed, "--reason", "r", "--blank", "application/serial", "--again", "notarized"
    )[1]

    assert "not again" not in out
    assert (
        "! `Sign the affidavit in front of the notary and look the certificate over there` is "
        "planned again because you say so; by the blanks at fault it would be left as it is"
    ) in " ".join(out.split())
    assert "still_good" not in mailed(["export", "--log"])[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--again", "notarized"], "would be planned again anyhow; --again changes nothing"),
        (
            ["--blank", "application/serial", "--still-good", "notarized"],
            "would be left as it is anyhow; --still-good changes nothing",
        ),
    ],
)
def test_return_says_when_a_word_changes_nothing(mailed: Run, words: list[str], said: str) -> None:
    """Without a blank all is done again; a fault on the application is none of the notary's."""
    out = " ".join(give_back(mailed, "--reason", "r", *words)[1].split())

    title = "Sign the affidavit in front of the notary and look the certificate over there"
    assert f"! `{title}` {said}" in out


def test_return_against_the_fault_is_doubted(mailed: Run) -> None:
    """It is done as said, with a warning."""
    out = give_back(mailed, "--reason", "r", "--still-good", "notarized")[1]

    assert "is left as it is because you say so; no blank is named" in " ".join(out.split())


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (
            ["--blank", "seral"],
            (
                "L39 no document of faa.registration-n:tg46 has a blank `seral`\n"
                "  hint: did you mean `serial`?\n1 problem; nothing was changed\n"
            ),
        ),
        (
            ["--blank", "serial"],
            (
                "L39 several documents of faa.registration-n:tg46 have a blank `serial`\n"
                "  hint: name one of: application/serial, affidavit/serial, bill-of-sale/serial\n"
                "1 problem; nothing was changed\n"
            ),
        ),
        (
            ["--still-good", "mailed"],
            (
                "L40 faa.registration-n:tg46 has no step `mailed` that can be left as it is after "
                "a return\n  hint: it knows: sign, notarize, signed, notarized\n"
                "1 problem; nothing was changed\n"
            ),
        ),
        (
            ["--still-good", "signed", "--again", "sign"],
            (
                "sign cannot be still good and be done again\n"
                "  hint: leave one of the two options out\n"
            ),
        ),
    ],
)
def test_return_with_a_word_that_fits_nothing(mailed: Run, words: list[str], expected: str) -> None:
    """Nothing is kept."""
    assert give_back(mailed, "--reason", "r", *words) == (3, "", expected)
    assert "returned" not in mailed(["show"])[1]


def test_log_with_blanks_reads_back_from_its_export(mailed: Run, isolated: Path) -> None:
    """Into an empty log of another database, entry by entry."""
    give_back(mailed, "--reason", "r", "--blank", "notary-expiry")
    exported = mailed(["export", "--log"])[1]
    (isolated / "log.yaml").write_text(exported, encoding="utf-8")
    facts = [str(path) for path in isolated.glob("sandbur_flats.yaml")]
    assert mailed(["load", *facts, "--db", "other.sqlite"])[0] == 0

    line = ["log", "import", "log.yaml", "--today", "2027-01-11", "--db", "other.sqlite"]
    assert mailed(line) == (0, "3 entries added to the log\n", "")
    assert mailed(["export", "--log", "--db", "other.sqlite"])[1] == exported


def test_log_file_with_an_unknown_blank_is_refused(mailed: Run, isolated: Path) -> None:
    """At its line, and nothing is kept."""
    (isolated / "log.yaml").write_text(
        mailed(["export", "--log"])[1]
        + "  - {kind: returned, paper: faa.registration-n, holder: tg46, on: 2027-01-06,\n"
        "     reason: r, blanks: [application/seral]}\n",
        encoding="utf-8",
    )

    code, _, err = mailed(["log", "import", "log.yaml", "--today", "2027-01-11"])

    assert code == 3
    assert "L39 no document of faa.registration-n:tg46 has a blank `application/seral`" in err
    assert "log.yaml:" in err


def test_calendar_entries_keep_their_ids_when_a_return_moves_them(
    mailed: Run, isolated: Path
) -> None:
    """The airspace authorization waits for the registration: the same ids, later revisions."""

    def read() -> dict[str, str]:
        assert mailed(["calendar", "-o", "a.ics", *DAY])[0] == 0
        text = (isolated / "a.ics").read_text(encoding="utf-8").replace("\n ", "")
        events = text.split("BEGIN:VEVENT")[1:]
        found = {}
        for event in events:
            lines = dict(line.split(":", 1) for line in event.splitlines() if ":" in line)
            found[event.split("UID:")[1].split()[0]] = lines["SUMMARY"]
        return found

    before = read()
    give_back(mailed, "--reason", "r")
    after = read()

    assert set(before) <= set(after)
    asked = [uid for uid, title in before.items() if title.startswith("Ask the office: ")]
    assert len(asked) == 1
    assert after[asked[0]].startswith("Off this calendar: Ask the office: ")


def test_today_and_plan_say_when_to_ask(mailed: Run) -> None:
    """On the day, and with a word in the plan before it."""
    plan = mailed(["plan", *DAY])[1]
    why = "(nine in ten have an answer by then, yes or sent back)"
    assert f" if nothing has come {why} " in " ".join(plan.split())
    day = json.loads(mailed(["plan", *DAY, "--format", "json"])[1])
    (asked,) = [paper for paper in day["papers"] if paper["ask_on"] is not None]
    assert asked["packet"] == PACKET

    today = mailed(["today", "--on", asked["ask_on"]])[1]
    assert "(today): Ask the office if nothing has come" in " ".join(today.split())


def test_history_of_a_packet(mailed: Run) -> None:
    """By the packet's id or the paper's."""
    give_back(mailed, "--reason", "no stamp", "--blank", "notary-stamp")

    code, out, _ = mailed(["history", "faa.registration-n", *DAY])

    assert code == 0
    assert out.splitlines()[:10] == [
        "Aircraft registration with an N-number (Part 47), TG-46 46-00017",
        "(faa.registration-n:tg46)",
        "",
        "  Tue 24 Nov 2026  notarized",
        "  Mon 30 Nov 2026  sent off",
        "                   without a ready check: by-hand",
        "  Wed 6 Jan 2027   came back, 37 days after it was sent: no stamp",
        "                   at fault: affidavit/notary-stamp",
        "                   not done again: sign",
        "",
    ]
    assert "It came back once; that cost 42 days so far." in out


def test_history_of_what_was_never_logged(mailed: Run) -> None:
    """It names what was."""
    assert mailed(["history", "faa.exemption", *DAY]) == (
        4,
        "",
        (
            "nothing is logged about 'faa.exemption'\n"
            "  hint: something is logged about: faa.registration-n:tg46\n"
        ),
    )


def test_history_with_nothing_logged(mailed: Run) -> None:
    """By a day before the first entry."""
    assert mailed(["history", PACKET, "--on", "2026-11-23"]) == (
        4,
        "",
        (
            "nothing that happened to a packet up to Mon 23 Nov 2026 is in the log\n"
            "  hint: `mailby plan` names the packets; log what happens to them with `mailby log`\n"
        ),
    )


def test_history_of_an_empty_log(loaded: Run) -> None:
    """Before, it was said that something is logged about nothing."""
    assert loaded(["history", PACKET, *DAY]) == (
        4,
        "",
        (
            "nothing that happened to a packet up to Mon 11 Jan 2027 is in the log\n"
            "  hint: `mailby plan` names the packets; log what happens to them with `mailby log`\n"
        ),
    )


def test_what_the_office_said_moves_the_day_to_ask(mailed: Run) -> None:
    """It is in the answer, in plan, offices, history, today and JSON, and ticks no step off."""
    before = json.loads(mailed(["plan", *DAY, "--format", "json"])[1])
    line = ["log", "heard", PACKET, "--said", "an examiner has it", "--expects", "2027-02-12"]
    code, out, err = mailed([*line, "--today", "2027-01-11"])
    said = " ".join(out.split())

    assert (code, err) == (0, "")
    assert "they said: an examiner has it, expected by them on Fri 12 Feb 2027" in said
    assert "ask again on Fri 12 Feb 2027, the day they named; that is " in said
    plan = " ".join(mailed(["plan", *DAY])[1].split())
    assert "ask on Fri 12 Feb 2027 if nothing has come (the day they named) they said on" in plan
    assert "on Mon 11 Jan 2027: an examiner has it; they expect Fri 12 Feb 2027 likely" in plan
    offices = " ".join(mailed(["offices", *DAY])[1].split())
    assert "they said on Mon 11 Jan 2027: an examiner has it; they expect Fri 12 Feb" in offices
    history = " ".join(mailed(["history", PACKET, *DAY])[1].split())
    assert "the office said, 42 days after it was sent: an examiner has it" in history
    today = " ".join(mailed(["today", "--on", "2027-02-12"])[1].split())
    assert "(today): Ask the office again if nothing has come; on Mon 11 Jan 2027 they" in today
    after = json.loads(mailed(["plan", *DAY, "--format", "json"])[1])
    (old, new) = (
        next(one for one in plan["papers"] if one["packet"] == PACKET) for plan in (before, after)
    )
    assert new["heard"] == [
        {"on": "2027-01-11", "said": "an examiner has it", "expects": "2027-02-12"}
    ]
    assert (new["ask_on"], new["ask_why"]) == ("2027-02-12", "named")
    assert new["steps"] == old["steps"]
    assert after["chances"] == before["chances"]
    (office,) = json.loads(mailed(["offices", *DAY, "--format", "json"])[1])["offices"]
    (waiting,) = office["kinds"][0]["waiting"]
    assert (waiting["ask_on"], waiting["heard"]["said"]) == ("2027-02-12", "an examiner has it")


def test_ask_again_is_compared_with_the_day_named_before(mailed: Run) -> None:
    """Not with the day it would have been had nothing been heard."""
    line = ["log", "heard", PACKET, "--said", "soon", "--expects"]
    assert mailed([*line, "2027-02-12", "--today", "2027-01-11"])[0] == 0

    out = " ".join(mailed([*line, "2027-02-20", "--today", "2027-01-12"])[1].split())

    assert (
        "ask again on Mon 22 Feb 2027, the first working day after the one they named; that is 10 "
        "days later than Fri 12 Feb 2027"
    ) in out


def test_log_of_what_an_office_said_goes_out_and_comes_in(mailed: Run, isolated: Path) -> None:
    assert mailed(["log", "heard", PACKET, "--said", "soon", "--today", "2027-01-11"])[0] == 0
    assert mailed(["export", "--log", "-o", "log.yaml"])[0] == 0

    text = (isolated / "log.yaml").read_text(encoding="utf-8")
    assert text.endswith("    on: 2027-01-11\n    reason: soon\n")
    assert mailed(["log", "import", "log.yaml", "--today", "2027-01-11"])[:2] == (
        0,
        "0 entries added to the log\n",
    )
