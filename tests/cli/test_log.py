"""log signed ... withdraw as a user types them."""

from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[[list[str]], tuple[int, str, str]]
PACKET = "faa.registration-n:tg46"
ANYWAY = "--anyway checked-by-hand"  # these papers have not been through `mailby check`


def log(run: Run, line: str, today: str = "2027-02-01") -> tuple[int, str, str]:
    return run(["log", *line.split(), "--today", today])


def test_log_a_packet_from_signing_to_the_certificate(loaded: Run) -> None:
    lines = [
        f"done {PACKET} --step prepare --on 2027-01-11",
        f"signed {PACKET} --on 2027-01-12",
        f"notarized {PACKET} --on 2027-01-12",
        f"checked {PACKET} --on 2027-01-13",
        f"mailed {PACKET} --on 2027-01-14 --tracking INVENTED-1 {ANYWAY}",
        f"received {PACKET} --on 2027-01-19",
        f"returned {PACKET} --on 2027-01-21 --reason smudged",
        f"notarized {PACKET} --on 2027-01-26",
        f"mailed {PACKET} --on 2027-01-26 {ANYWAY}",
        f"granted {PACKET} --on 2027-02-01 --number N-INVENTED --issued 2027-01-30",
    ]

    answers = [log(loaded, line) for line in lines]
    shown = loaded(["show"])[1]

    assert [(code, err) for code, _, err in answers] == [(0, "")] * len(lines)
    assert [out.split(":")[0] for _, out, _ in answers] == [
        f"logged as entry {number}" for number in range(1, 11)
    ]
    assert f"  {PACKET}: came back; it waits on you: " in answers[6][1]
    assert f"{PACKET} is in hand" in answers[9][1]
    assert (
        "mailed faa.registration-n, TG-46 46-00017; tracking INVENTED-1, reason: "
        "checked-by-hand" in " ".join(shown.split())
    )
    assert "10. Mon 1 Feb 2027: granted faa.registration-n, TG-46 46-00017" in shown
    assert "number N-INVENTED, issued Sat 30 Jan 2027" in " ".join(shown.split())
    assert "number N-INVENTED, issued Sat 30 Jan 2027" in " ".join(answers[9][1].split())


@pytest.mark.parametrize(
    ("line", "message"),
    [
        (f"mailed {PACKET}", f"L33 {PACKET} cannot be mailed before it is notarized"),
        (f"granted {PACKET}", f"L33 {PACKET} cannot be granted before it is mailed"),
        (f"returned {PACKET} --reason x", f"L33 {PACKET} cannot be returned before it is mailed"),
        (f"signed {PACKET} --on 2027-02-02", "L31 Tue 2 Feb 2027 is in the future"),
        (f"done {PACKET} --step dance", f"L32 {PACKET} has no step `dance`"),
        (f"paid {PACKET} --on 2027-02-02", "L31 Tue 2 Feb 2027 is in the future"),
        (f"notarized {PACKET} --step dance", f"L32 {PACKET} has no step `dance`"),
    ],
)
def test_log_impossible_entry_keeps_nothing(loaded: Run, line: str, message: str) -> None:
    before = loaded(["show"])
    code, out, err = log(loaded, line)

    assert (code, out) == (3, "")
    assert err.startswith(f"{message}\n  hint: ")
    assert loaded(["show"]) == before


def test_log_hint_can_be_typed(loaded: Run) -> None:
    err = log(loaded, f"mailed {PACKET}")[2]
    hint = next(line for line in err.splitlines() if "mailby log" in line)
    call = hint.partition("mailby log ")[2].replace("DATE", "2027-01-12")

    assert log(loaded, call)[0] == 0
    assert log(loaded, f"mailed {PACKET} {ANYWAY}")[0] == 0


def test_log_mailed_unchecked_is_refused_unless_said_why(loaded: Run) -> None:
    log(loaded, f"notarized {PACKET} --on 2027-01-12")
    before = loaded(["show"])

    assert log(loaded, f"mailed {PACKET} --on 2027-01-12") == (
        3,
        "",
        (
            f"the papers of {PACKET} have not been checked\n"
            f'  hint: mailby check {PACKET}; or log it with --anyway "why"\n'
        ),
    )
    assert loaded(["show"]) == before
    assert log(loaded, f"mailed {PACKET} --on 2027-01-12 {ANYWAY}")[0] == 0


def test_log_returned_needs_a_reason(loaded: Run) -> None:
    log(loaded, f"notarized {PACKET} --on 2027-01-12")
    log(loaded, f"mailed {PACKET} --on 2027-01-12 {ANYWAY}")
    code, out, err = log(loaded, f"returned {PACKET}")

    assert (code, out) == (3, "")
    assert "L35 a return needs its reason" in err


def test_log_withdraw_takes_back_and_says_so(loaded: Run) -> None:
    log(loaded, f"signed {PACKET}")

    assert log(loaded, "withdraw 1") == (
        0,
        "entry 1 is withdrawn by entry 2\n",
        "",
    )
    assert "1. Mon 1 Feb 2027: signed faa.registration-n, TG-46 46-00017 (withdrawn)" in (
        " ".join(loaded(["show"])[1].split())
    )
    code, out, err = loaded(["log", "withdraw", "1"])
    assert (code, out) == (3, "")
    assert "L36 entry 1 is withdrawn already" in err


def test_log_withdraw_on_is_the_day_it_happened(loaded: Run) -> None:
    """As with every other command of the log, --on is the day and --today what today is."""
    log(loaded, f"signed {PACKET} --on 2027-01-12")

    later = log(loaded, "withdraw 1 --on 2027-02-02")
    done = log(loaded, "withdraw 1 --on 2027-01-20")

    assert later[:2] == (3, "")
    assert later[2].startswith("L31 Tue 2 Feb 2027 is in the future\n")
    assert done == (0, "entry 1 is withdrawn by entry 2\n", "")
    assert "2. Wed 20 Jan 2027: " in loaded(["show"])[1]


def test_log_import_of_an_unneeded_paper_says_where_and_keeps_nothing(
    loaded: Run, isolated: Path
) -> None:
    """The line is named, as for every other fault of the file."""
    (isolated / "log.yaml").write_text(
        "log:\n"
        "  - {kind: signed, paper: faa.registration-n, holder: tg46, on: 2027-01-11}\n"
        "  - {kind: signed, paper: faa.registration-small, holder: tg46, on: 2027-01-12}\n",
        encoding="utf-8",
    )
    before = loaded(["show"])

    code, out, err = log(loaded, "import log.yaml")

    assert (code, out) == (3, "")
    assert err.startswith(
        "log.yaml:3:5: L41 faa.registration-small:tg46 is not needed for the jobs planned\n"
    )
    assert loaded(["show"]) == before


def test_log_withdraw_gives_back_the_plan(loaded: Run) -> None:
    before = loaded(["plan", "--on", "2027-02-01"])
    log(loaded, f"notarized {PACKET} --on 2027-01-12")
    log(loaded, f"mailed {PACKET} --on 2027-01-12 {ANYWAY}")
    changed = loaded(["plan", "--on", "2027-02-01"])
    log(loaded, "withdraw 2")
    log(loaded, "withdraw 1")

    assert changed != before
    assert loaded(["plan", "--on", "2027-02-01"]) == before


def test_log_import_of_a_bad_file_keeps_nothing(loaded: Run, isolated: Path) -> None:
    before = loaded(["show"])
    (isolated / "log.yaml").write_text(
        "log:\n"
        "  - {kind: signed, paper: faa.registration-n, holder: tg46, on: 2027-01-11}\n"
        "  - {kind: mailed, paper: faa.registration-n, holder: tg46, on: 2027-01-12}\n",
        encoding="utf-8",
    )

    code, out, err = loaded(["log", "import", "log.yaml", "--today", "2027-01-12"])

    assert (code, out) == (3, "")
    assert err.startswith("log.yaml:3:5: L33 ")
    assert loaded(["show"]) == before


def test_log_import_again_adds_only_what_is_new(loaded: Run, isolated: Path) -> None:
    first = "log:\n  - {kind: signed, paper: faa.registration-n, holder: tg46, on: 2027-01-11}\n"
    second = "  - {kind: notarized, paper: faa.registration-n, holder: tg46, on: 2027-01-12}\n"
    path = isolated / "log.yaml"
    call = ["log", "import", "log.yaml", "--today", "2027-01-12"]

    path.write_text(first, encoding="utf-8")
    answers = [loaded(call), loaded(call)]
    path.write_text(first + second, encoding="utf-8")
    answers.append(loaded(call))

    assert [(code, err) for code, _, err in answers] == [(0, "")] * 3
    assert [out for _, out, _ in answers] == [
        "1 entry added to the log\n",
        "0 entries added to the log\n",
        "1 entry added to the log\n",
    ]


def test_log_import_beside_other_entries_is_refused(loaded: Run, isolated: Path) -> None:
    log(loaded, f"signed {PACKET} --on 2027-01-12")
    before = loaded(["show"])
    (isolated / "log.yaml").write_text(
        "log:\n  - {kind: signed, paper: faa.registration-n, holder: tg46, on: 2027-01-11}\n",
        encoding="utf-8",
    )

    assert log(loaded, "import log.yaml") == (
        3,
        "",
        (
            "the log of sandbur-flats holds entries that log.yaml does not begin with\n"
            "  hint: a log file is read into an empty log, or goes on where the log ends\n"
        ),
    )
    assert loaded(["show"]) == before


def test_log_import_of_a_day_to_come_is_refused(loaded: Run, isolated: Path) -> None:
    """Without --today the day on the wall counts, and no test will run after the last day."""
    (isolated / "log.yaml").write_text(
        "log:\n"
        "  - {kind: signed, paper: faa.registration-n, holder: tg46, on: 2027-01-11}\n"
        "  - {kind: notarized, paper: faa.registration-n, holder: tg46, on: 2079-12-30}\n",
        encoding="utf-8",
    )
    before = loaded(["show"])

    asked = log(loaded, "import log.yaml", today="2027-01-11")

    assert asked[:2] == (3, "")
    assert asked[2].startswith("log.yaml:3:5: L31 Sat 30 Dec 2079 is in the future\n")
    assert loaded(["log", "import", "log.yaml"])[0] == 3
    assert loaded(["show"]) == before


@pytest.mark.parametrize("packet", [PACKET, "faa.exemption"])
def test_log_paid_needs_no_step(loaded: Run, packet: str) -> None:
    """A fee may be paid at any time: common practice, no source."""
    code, out, err = log(loaded, f"paid {packet} --on 2027-01-12")

    assert (code, err) == (0, "")
    assert out.startswith("logged as entry 1: Tue 12 Jan 2027: paid ")
    assert "1. Tue 12 Jan 2027: paid " in loaded(["show"])[1]


def test_log_day_that_does_not_fit_is_told_once(loaded: Run) -> None:
    for line in ("done {} --step prepare", "signed {}", "notarized {}", "checked {}"):
        assert log(loaded, f"{line.format(PACKET)} --on 2027-01-14")[0] == 0

    code, out, err = log(loaded, f"mailed {PACKET} --on 2027-01-12")

    assert (code, out) == (3, "")
    assert err.count("L34") == 1
    assert "cannot be on Tue 12 Jan 2027: `" in err
    assert "` came only later, on Thu 14 Jan 2027\n  hint: give the right day with --on" in err


def test_log_unknown_packet_gives_a_hint(loaded: Run) -> None:
    code, out, err = log(loaded, "signed faa.registration-m:tg46")

    assert (code, out) == (4, "")
    assert f"did you mean `{PACKET}`?" in err


@pytest.mark.parametrize(
    "option",
    [
        "mailed --tracking",
        "mailed --anyway",
        "returned --reason",
        "granted --number",
        "done --step",
    ],
)
@pytest.mark.parametrize(
    "text", ["a\u200bb", "\u202ea", "a\x1b[31m", "a\x07", "a\0", "a\ud800", "x" * 2001]
)
def test_log_sign_that_cannot_be_kept_is_refused(loaded: Run, option: str, text: str) -> None:
    """Such a sign could be neither printed on a checklist nor read back from an export."""
    log(loaded, f"notarized {PACKET} --on 2027-01-12")
    if not option.startswith("mailed"):
        log(loaded, f"mailed {PACKET} --on 2027-01-13 {ANYWAY}")
    before = loaded(["show"])
    kind, name = option.split()

    code, out, err = loaded(["log", kind, PACKET, name, text, "--today", "2027-02-01"])

    assert (code, out) == (3, "")
    assert "nothing was changed" in err or "kept" in err
    assert loaded(["show"]) == before


def test_log_export_of_anything_typed_can_be_imported(loaded: Run, isolated: Path) -> None:
    log(loaded, f"notarized {PACKET} --on 2027-01-12")
    log(loaded, f"mailed {PACKET} --on 2027-01-13 {ANYWAY}")
    reason = "two\nlines: - {a} # 'b' \"c\" \\ & *d !e %f @g `h` \u2028 \xe9e\u0301 \U0001f69c"
    loaded(["log", "returned", PACKET, "--reason", reason, "--today", "2027-02-01"])
    first = loaded(["export", "--log"])[1]
    (isolated / "log.yaml").write_text(first, encoding="utf-8")
    facts = loaded(["export"])[1]
    (isolated / "facts.yaml").write_text(facts, encoding="utf-8")
    loaded(["load", "facts.yaml", "--db", "other.sqlite"])

    into_other = ["log", "import", "log.yaml", "--today", "2027-02-01", "--db", "other.sqlite"]

    assert loaded(into_other) == (0, "3 entries added to the log\n", "")
    assert loaded(["export", "--log", "--db", "other.sqlite"])[1] == first
