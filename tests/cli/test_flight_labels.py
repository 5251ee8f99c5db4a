"""Flights and records whose label, product or papers are not in order: refused once, then kept.

Source: FIFRA 12(a)(2)(G), 7 USC 136j, for use against a label; that a log must take the truth is
the project's own decision.
"""

import shlex
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.cli.kit_farm import RECORD

Run = Callable[[list[str]], tuple[int, str, str]]
FLEW = (
    'log flew pasture-sd --from "2027-06-15 06:10" --to 07:45 --aircraft tg46 --pilot odile '
    "--today 2027-06-16"
)
MIX = "by_air: yes, restricted_use: no, registration: exempt"
KEEP = 'if it was flown all the same, keep the truth with --anyway "why"'
KEEP_RECORD = 'if it was flown all the same, keep the truth with `anyway: why` or --anyway "why"'
BARRED = (
    "the label does not allow it to be applied by air; it was not to be flown; ask the state's "
    "pesticide office what to do"
)


def one_line(text: str) -> str:
    return " ".join(text.split())


def flew(farm: Run, more: str) -> tuple[int, str, str]:
    return farm(shlex.split(f"{FLEW} {more}"))


@pytest.mark.parametrize("name", ["ground-only", "Groundhold", "groundhold"])
def test_flight_against_the_label_is_refused_once(farm: Run, name: str) -> None:
    """By its id or its name, a product whose label bars the air is asked about."""
    code, out, err = flew(farm, f"--product {name}")

    assert (code, out) == (3, "")
    assert err == (
        "E38 Groundhold: the label does not allow it to be applied by air\n  hint: it was not to "
        f"be flown; ask the state's pesticide office what to do; {KEEP}\n"
        "1 problem; nothing was changed\n"
    )


def test_flight_against_the_label_is_kept_with_its_reason(farm: Run) -> None:
    """The truth is kept with why, and the answer still says what the label says."""
    code, out, err = flew(farm, '--product ground-only --anyway "wrong tank"')

    assert (code, err) == (0, "")
    assert f"! Groundhold: {BARRED}" in one_line(out)
    assert "because: wrong tank" in one_line(out)


def test_label_nobody_read_is_asked_about(run: Run, demo_file: Path) -> None:
    """A product of the file without `by_air` asks to read the label first."""
    text = demo_file.read_text(encoding="utf-8")
    demo_file.write_text(f"{text}\nproducts: [{{id: new, name: Newcomer}}]\n", encoding="utf-8")
    run(["load", str(demo_file)])

    code, _, err = flew(run, "--product new")

    assert code == 3
    assert err == (
        "E39 Newcomer: nobody has said whether its label allows it to be applied by air\n  hint: "
        "read the label's directions for application by air, then write `by_air: yes` or "
        f"`by_air: no`; {KEEP}\n1 problem; nothing was changed\n"
    )
    assert flew(run, "--product new --anyway pressed")[0] == 0


def test_product_of_no_file_is_kept_and_said(farm: Run) -> None:
    """A product may be new; the answer names the one that was likely meant."""
    code, out, _ = flew(farm, "--product thistle-outt")

    assert code == 0
    assert (
        "! thistle-outt is no product of your file, so nobody said what its label says of the air "
        "(did you mean `thistle-out`?)" in one_line(out)
    )


def test_re_entry_is_taken_from_the_file(farm: Run) -> None:
    """40 CFR 170.311(b)(2): the posting stays up until 30 days after the restricted-entry interval.

    The flight ends on 15 June, the interval of 48 hours on 17 June, the posting on 17 July; read
    only in a summary.
    """
    taken = one_line(flew(farm, "--product thistle-out")[1])
    farm(["log", "withdraw-event", "1", "--on", "2027-06-16"])
    told = one_line(flew(farm, "--product thistle-out --re-entry 12")[1])

    assert "re-entry after 48 hours is taken from your file; if the label says otherwise" in taken
    assert "through Sat 17 Jul 2027: Leave the posting up" in taken
    assert "taken from your file" not in told
    assert "re-entry after 12 hours" in told


def test_record_of_such_a_flight_is_kept_with_its_reason(farm: Run, isolated: Path) -> None:
    """A record against the label is refused once, kept with why, and shows it for ever."""
    flew(farm, "--product ground-only --anyway wrong")
    text = RECORD.replace("id: thistle-out", "name: ground-only")
    (isolated / "r.yaml").write_text(text, encoding="utf-8")
    write = ["record", "pasture-sd", "--from", "r.yaml", "--flight", "1", "--on", "2027-06-16"]

    refused = farm(write)
    kept = farm([*write, "--anyway", "wrong tank"])
    shown = one_line(farm(["records", "show", "1"])[1])

    assert refused[0] == 3
    assert "W34 product 1 of the record: the label does not allow it" in refused[2]
    assert KEEP_RECORD in refused[2]
    assert kept[0] == 0
    assert f"! Groundhold: {BARRED} (kept because: wrong tank); kept all the same" in one_line(
        kept[1]
    )
    assert f"! Groundhold: {BARRED} (kept because: wrong tank)" in shown


@pytest.mark.parametrize("name", ["all.yaml", "all.csv"])
def test_reason_goes_out_and_comes_back(
    farm: Run, isolated: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """What was kept against a label is read back with its reason, from either file."""
    text = RECORD.replace("id: thistle-out", "id: ground-only")
    (isolated / "r.yaml").write_text(f"anyway: wrong tank\n{text}", encoding="utf-8")
    assert farm(["record", "pasture-sd", "--from", "r.yaml", "--on", "2027-06-16"])[0] == 0
    shown = farm(["records", "show", "1", "--on", "2027-06-16"])[1]
    assert farm(["export", "--records", name])[0] == 0
    facts = farm(["export"])[1]
    (isolated / "facts.yaml").write_text(facts, encoding="utf-8")
    monkeypatch.setenv("MAILBY_DB", str(isolated / "other.sqlite"))
    farm(["load", "facts.yaml"])

    assert farm(["records", "import", name, "--on", "2027-06-16"])[::2] == (0, "")
    assert farm(["records", "show", "1", "--on", "2027-06-16"])[1] == shown


@pytest.mark.parametrize("key", ["id: thistle-out", "name: Thistle-Out 4", "product: thistle-out"])
def test_product_of_a_record_is_found_by_any_key(farm: Run, isolated: Path, key: str) -> None:
    """`id`, `name` and `product` name a product of the file alike."""
    (isolated / "r.yaml").write_text(RECORD.replace("id: thistle-out", key), encoding="utf-8")

    code, out, err = farm(["record", "pasture-sd", "--from", "r.yaml", "--on", "2027-06-16"])

    assert (code, err) == (0, "")
    assert "SD; Thistle-Out 4 filled in" in one_line(out)


def test_table_for_a_state_is_refused_in_one_sentence(farm: Run, isolated: Path) -> None:
    """Columns in the words of a state are not for reading."""
    (isolated / "r.yaml").write_text(RECORD, encoding="utf-8")
    farm(["record", "pasture-sd", "--from", "r.yaml", "--on", "2027-06-16"])
    farm(["records", "--export", "sd.csv", "--for", "SD", "--on", "2027-06-16"])

    code, _, err = farm(["records", "import", "sd.csv", "--on", "2027-06-16"])

    assert code == 3
    assert err == (
        "sd.csv:1:1: W36 the table was written for a state with --for; its columns are not for "
        "reading\n  hint: write it again with mailby export --records FILE.yaml, or FILE.csv, and "
        "read that\n1 problem; nothing was changed\n"
    )


def test_flight_with_a_lapsed_paper_names_it(loaded: Run, isolated: Path) -> None:
    """14 CFR 107.65: Wren's 24 calendar months end on 31 July 2027; a flight of 2 August is kept.

    The record of the flight and the binder's open items name the paper too.
    """
    line = (
        'log flew own-quarter --from "2027-08-02 06:10" --to 07:45 --today 2027-08-03 '
        "--product Invented"
    )
    paper = "Remote pilot's 24-month knowledge, Wren Castellow: ran out on Sat 31 Jul 2027"

    code, out, _ = loaded(shlex.split(line))
    text = RECORD.replace("2027-06-15", "2027-08-02").replace("tg46", "tg18")
    text = text.replace("odile", "wren").replace("id: thistle-out", f"product: Invented, {MIX}")
    (isolated / "r.yaml").write_text(text, encoding="utf-8")
    written = loaded(["record", "own-quarter", "--from", "r.yaml", "--on", "2027-08-03"])
    loaded(["binder", "-o", "b.pdf", "--on", "2027-08-03"])
    pages = " ".join(one_line(page.extract_text()) for page in PdfReader("b.pdf").pages)

    assert code == 0
    assert "! not in force on Mon 2 Aug 2027: " in one_line(out)
    assert paper in one_line(out)
    assert "Ask the agency or a lawyer what this means, and do not fly so again" in one_line(out)
    assert paper in one_line(written[1])
    assert "Flight 1, Mon 2 Aug 2027, own-quarter" in pages
    assert "not in force that day:" in pages


def test_paper_on_its_last_day_is_not_named(loaded: Run) -> None:
    """On Wren's last day, 31 July 2027, the knowledge is in force yet (14 CFR 107.65)."""
    line = 'log flew own-quarter --from "2027-07-31 06:10" --to 07:45 --today 2027-08-03'

    assert "24-month" not in loaded(shlex.split(line))[1]
