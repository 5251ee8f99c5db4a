"""Packs of the user's own and the change of rules, as a user types them; examples are invented."""

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tests.kit_packs import TOWNSHIP

Run = Callable[[list[str]], tuple[int, str, str]]
DAY = ["--on", "2027-01-11"]

MOVED = """\
authority: Our adviser
reviewed: 2026-12-01
offices:
  - id: ne.agriculture
    title: Nebraska Department of Agriculture
    replaces: ne.agriculture
    because: the adviser called
    mail_to: [2 Invented Road, "Anytown, NE 00000"]
    cite: a call
    edition: "2027"
    confidence: second-hand
"""


@pytest.fixture
def write(isolated: Path) -> Callable[[str, str], str]:
    """Write a file of the user's and give its name."""

    def make(name: str, text: str) -> str:
        (isolated / name).write_text(text, encoding="utf-8")
        return name

    return make


Write = Callable[[str, str], str]


def test_pack_adds_a_paper_that_the_plan_marks(loaded: Run, write: Write) -> None:
    """Common practice, no source: what nobody checked is marked wherever it is used."""
    assert loaded(["rules", "add", write("township.yaml", TOWNSHIP), *DAY])[0] == 0

    plan = loaded(["plan", *DAY])[1]

    assert "! your own rules are used, pack township: bc.permit; bc.clerk" in plan
    shown = loaded(["rules", "list", "bc.permit.form"])[1]
    assert shown.startswith("DOCUMENTS\n  bc.permit.form  Form (your own rule, pack township)\n")


def test_pack_replaces_a_row_until_it_is_dropped(loaded: Run, write: Write) -> None:
    before = loaded(["rules", "show", "ne.agriculture"])[1]
    loaded(["rules", "add", write("moved.yaml", MOVED), *DAY])

    during = loaded(["rules", "show", "ne.agriculture"])[1]
    packs = loaded(["rules", "packs"])[1]
    dropped = loaded(["rules", "drop", "moved"])

    assert "mail to      2 Invented Road, Anytown, NE 00000" in during
    assert "your own rule in place of the table's own (the adviser called)" in during
    assert packs.startswith("pack moved: 1 rule from moved.yaml, added Mon 11 Jan 2027, content ")
    gone = "the pack `moved` is gone; what it replaced is the table's own again\n"
    assert dropped == (0, gone, "")
    assert loaded(["rules", "show", "ne.agriculture"])[1] == before
    none = "no pack of your own was added; mailby rules add FILE adds one\n"
    assert loaded(["rules", "packs"])[1] == none


ONE = "1 problem; nothing was changed\n"
BAD = {
    "unknown key": (
        MOVED.replace("mail_to", "mial_to"),
        (
            "bad.yaml:8:5: R02 an office has an entry `mial_to` that is not known here\n"
            f"  hint: did you mean `mail_to`?\n{ONE}"
        ),
    ),
    "same id": (
        MOVED.replace("    replaces: ne.agriculture\n    because: the adviser called\n", ""),
        (
            "bad.yaml:4:5: R31 the office `ne.agriculture` stands twice for the same days; "
            "first at ne.yaml:7\n  hint: give it another id, or write `replaces:` with the id and "
            f"`because:` with the reason\n{ONE}"
        ),
    ),
    "no reason": (
        MOVED.replace("    because: the adviser called\n", ""),
        (
            "bad.yaml:4:5: R93 `ne.agriculture` replaces a row of the table without saying why\n"
            f"  hint: add `because:` with the reason, and who told you\n{ONE}"
        ),
    ),
    "nothing there": (
        MOVED.replace("ne.agriculture", "ne.agricultura"),
        (
            "bad.yaml:4:5: R91 `ne.agricultura` replaces a row that is not there\n"
            f"  hint: did you mean `ne.agriculture`?\n{ONE}"
        ),
    ),
    "another id": (
        MOVED.replace("id: ne.agriculture", "id: own.office"),
        (
            "bad.yaml:4:5: R92 `own.office` replaces `ne.agriculture`, a row with another id\n"
            f"  hint: give it the id of the row it replaces\n{ONE}"
        ),
    ),
    "reason alone": (
        MOVED.replace("    replaces: ne.agriculture\n", "").replace("id: ne.a", "id: own.a"),
        (
            "bad.yaml:4:5: R93 `own.agriculture` says `because`, but replaces nothing\n"
            f"  hint: add `replaces` with the id of the row, or write it as `note`\n{ONE}"
        ),
    ),
    "circle": (
        TOWNSHIP.replace(
            "    documents:",
            "    steps:\n      - {name: ask, title: Ask, kind: act, done_at: farm, "
            "needs: [bc.permit], cite: c, confidence: read}\n    documents:",
        ),
        (
            "bad.yaml:6:5: R38 papers need one another: bc.permit -> bc.permit\n"
            f"  hint: take one of them out of `needs`\n{ONE}"
        ),
    ),
    "part alone": (
        TOWNSHIP.replace("{name: form,", "{name: form, replaces: bc.permit.form, because: b,"),
        (
            "bad.yaml:18:9: R92 `bc.permit.form` is a part of the paper `bc.permit` and cannot be "
            "replaced alone\n  hint: write `replaces` and `because` at the paper, and the paper "
            f"with all its parts\n{ONE}"
        ),
    ),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_pack_is_refused_whole(run: Run, write: Write, name: str) -> None:
    """Whole messages with file, line and column; nothing is kept."""
    text, message = BAD[name]

    assert run(["rules", "add", write("bad.yaml", text), *DAY]) == (3, "", message)
    assert run(["rules", "packs"])[1].startswith("no pack of your own was added")


SECOND = """\
authority: Burrell Crossing Township
reviewed: 2026-12-01
offices:
  - {id: bc.second, title: Second clerk, cite: ordinance, edition: "2026", confidence: read}
"""
BOTH = TOWNSHIP.replace("offices:\n", SECOND.partition("2026-12-01\n")[2], 1)
STAND = "; if both are to stand, give the row here another id"
IN_PLACE = (
    "  hint: if this file is to stand in place of your whole pack `township`, `mailby rules add "
    f"FILE --as township`{STAND}\n"
)
AFTER_DROP = (
    "  hint: if this file is to stand in place of your whole packs `second` and `township`, "
    f"`mailby rules drop township`, then `mailby rules add FILE --as second`{STAND}\n"
)


@pytest.mark.parametrize(
    ("text", "err"),
    [
        pytest.param(
            TOWNSHIP,
            "newer.yaml:4:5: R31 the office `bc.clerk` stands twice for the same days; first at "
            f"township.yaml:4\n{IN_PLACE}"
            "newer.yaml:6:5: R31 the paper `bc.permit` stands twice for the same days; first at "
            f"township.yaml:6\n{IN_PLACE}2 problems; nothing was changed\n",
            id="one pack",
        ),
        pytest.param(
            BOTH,
            "newer.yaml:4:5: R31 the office `bc.second` stands twice for the same days; first at "
            f"second.yaml:4\n{AFTER_DROP}"
            "newer.yaml:5:5: R31 the office `bc.clerk` stands twice for the same days; first at "
            f"township.yaml:4\n{AFTER_DROP}"
            "newer.yaml:7:5: R31 the paper `bc.permit` stands twice for the same days; first at "
            f"township.yaml:6\n{AFTER_DROP}3 problems; nothing was changed\n",
            id="two packs",
        ),
        pytest.param(
            MOVED,
            "newer.yaml:4:5: R91 `ne.agriculture` replaces a row of your own pack `moved`\n"
            "  hint: if this file is to stand in place of your whole pack `moved`, `mailby rules "
            "add FILE --as moved`; if not, change the row in that pack\n"
            "1 problem; nothing was changed\n",
            id="rows in place of the table's",
        ),
    ],
)
def test_kept_pack_under_another_file_name_says_how_to_replace_it(
    run: Run, write: Write, text: str, err: str
) -> None:
    """Each way out is told with its command, and nothing is half-written before it is taken."""
    for name, own in (("township", TOWNSHIP), ("second", SECOND), ("moved", MOVED)):
        assert run(["rules", "add", write(f"{name}.yaml", own), *DAY])[0] == 0
    before = run(["rules", "packs"])[1], run(["rules", "list"])[1]

    assert run(["rules", "add", write("newer.yaml", text), *DAY]) == (3, "", err)
    assert (run(["rules", "packs"])[1], run(["rules", "list"])[1]) == before


def test_told_commands_put_the_file_in_place_of_two_packs(run: Run, write: Write) -> None:
    """Somebody who does what the hint says has one pack that holds the rows of both."""
    for name, own in (("township", TOWNSHIP), ("second", SECOND)):
        run(["rules", "add", write(f"{name}.yaml", own), *DAY])

    assert run(["rules", "drop", "township"])[0] == 0
    assert run(["rules", "add", write("newer.yaml", BOTH), "--as", "second", *DAY])[0] == 0

    listed = run(["rules", "list", "bc."])[1]
    assert "bc.second  Second clerk (your own rule, pack second)" in listed
    assert "bc.permit  Township spraying permit (your own rule, pack second)" in listed


def test_drop_of_what_an_own_value_rests_on_is_refused(run: Run, write: Write) -> None:
    """Else no plan could be made any more, because the value would fit no row."""
    run(["rules", "add", write("township.yaml", TOWNSHIP), *DAY])
    run(["rules", "set", "bc.permit", "fee.amount_usd", "5", "--because", "told"])

    code, _, error = run(["rules", "drop", "township"])

    assert (code, "mailby rules unset" in error) == (3, True)
    assert run(["rules", "show", "bc.permit"])[0] == 0


def test_drop_unknown_pack(run: Run) -> None:
    message = "no pack is called 'x'\n  hint: none was added\n"
    assert run(["rules", "drop", "x"]) == (4, "", message)


def test_diff_names_rows_and_days_and_keeps_nothing(loaded: Run, write: Write) -> None:
    before = loaded(["plan", *DAY])[1]

    code, out, error = loaded(
        ["rules", "diff", "--shipped", write("township.yaml", TOWNSHIP), *DAY]
    )

    assert (code, error) == (0, "")
    assert out.startswith("RULES ADDED\n  bc.clerk  Township clerk\n")
    assert "  bc.permit\n      mail by, safe: none -> " in out
    assert loaded(["plan", *DAY])[1] == before


def test_diff_between_two_editions_of_a_pack_is_field_by_field(loaded: Run, write: Write) -> None:
    """A review of 20 days more takes at least 20 days off the last day to mail (arithmetic)."""
    step = (
        "    steps:\n      - {name: review, title: Review, kind: wait, days: NUMBER, "
        "event: granted, return_path: [return-mail, mend, mail, transit, review], cite: c, "
        "confidence: read}\n    documents:"
    )
    short, long = (
        TOWNSHIP.replace("    documents:", step.replace("NUMBER", days)) for days in ("10", "30")
    )
    Path("old").mkdir()
    Path("new").mkdir()
    names = [write("old/township.yaml", short), write("new/township.yaml", long)]

    out = json.loads(loaded(["rules", "diff", *names, "--format", "json", *DAY])[1])

    (row,) = out["rows"]
    assert (row["id"], row["how"]) == ("bc.permit.review", "changed")
    assert row["fields"] == [
        {
            "name": "days",
            "old": "fast 10, usual 10, slow 10",
            "new": "fast 30, usual 30, slow 30",
        }
    ]
    last = next(one for one in out["dates"] if one["what"] == "mail by, last")
    moved = date.fromisoformat(last["old"]) - date.fromisoformat(last["new"])
    assert last["about"] == "bc.permit"
    assert 20 <= moved.days <= 24


def test_diff_of_a_table_with_itself_is_empty(loaded: Run, write: Write) -> None:
    name = write("township.yaml", TOWNSHIP)

    out = json.loads(loaded(["rules", "diff", name, name, "--format", "json", *DAY])[1])

    assert (out["rows"], out["dates"]) == ([], [])


def test_diff_needs_two_things(run: Run) -> None:
    hint = "mailby rules diff OLD NEW, or mailby rules diff --shipped NEW"
    message = f"two things are to be compared\n  hint: {hint}\n"
    assert run(["rules", "diff", "one.yaml"]) == (3, "", message)


def test_fault_in_the_use_of_a_pattern_points_at_the_pack(run: Run, write: Write) -> None:
    """The pattern stands in a shipped file; what is to be mended stands in the user's own."""
    bad = TOWNSHIP.replace(
        "    documents:\n",
        "    steps:\n"
        "      - {name: review, title: Clerk, kind: wait, event: granted, calendar: federal,\n"
        "         days: {fast: 5, usual: 10, slow: 20}, cite: ordinance, confidence: read}\n"
        "    documents:\n",
    )
    code, _, err = run(["rules", "add", write("township.yaml", bad)])

    assert code == 3
    assert err == (
        "township.yaml:6:5: R48 step `bc.permit.mend` is for packets sent back, but no "
        "`return_path` names it\n"
        "  hint: put it in the `return_path` of the step at the office\n"
        "township.yaml:6:5: R48 step `bc.permit.return-mail` is for packets sent back, but no "
        "`return_path` names it\n"
        "  hint: put it in the `return_path` of the step at the office\n"
        "2 problems; nothing was changed\n"
    )


KANSAS = """\
authority: Our adviser
reviewed: 2026-12-01
papers:
  - id: ks.business
    title: Kansas business license
    replaces: ks.business
    because: the adviser called
    holder: operation
    why: The adviser says so.
    when: [{job.state: KS}, {job.for_hire: yes}, {job.material: pesticide}]
    office: ks.agriculture
    validity: {kind: from-document}
    fee: {amount_usd: 100, payee: the office, method: check}
    cite: a call
    edition: "2027"
    confidence: second-hand
    pattern: mailed
    documents:
      - {name: application, title: Form, template: ks-business-application, originals: 1,
         cite: a call, confidence: second-hand}
"""


def make_editions(ends: str, begins: str) -> str:
    """Write the paper twice: until one day, then from another on with another fee."""
    paper = KANSAS.partition("papers:\n")[2]
    old = paper.replace("    cite: a", f"    applies_until: {ends}\n    cite: a", 1)
    new = paper.replace("    cite: a", f"    applies_from: {begins}\n    cite: a", 1)
    return KANSAS.replace(paper, old + new.replace("amount_usd: 100", "amount_usd: 300"))


LOST = ("customer-statement", "statement-keep", "insurance", "fee-check")
# Documents first, each kind by name: problems of one place are sorted by what they say.
NAMED_LOST = (
    ("document `fee-check`", "Check for the fee (K.S.A. 2-2440 (one fee for each category))"),
    ("document `insurance`", "Certificate of insurance or bond (K.S.A. 2-2448)"),
    (
        "duty `customer-statement`",
        "Give the customer the written statement (K.S.A. 2-2455; K.A.R. 4-13-4)",
    ),
    ("duty `statement-keep`", "Keep your copy of the customer's statement (K.A.R. 4-13-4)"),
)


def say_lost(where: str, named_lost: tuple[tuple[str, str], ...] = NAMED_LOST) -> str:
    """Give the whole refusal of the Kansas paper, one problem a duty or document."""
    hint = (
        f"  hint: write `keeps: [{', '.join(LOST)}]` {where} to keep what still holds, or your own "
        "under `duties:` and `documents:`; --without-duties takes the file as it is\n"
    )
    go = "k.yaml:4:5: R97 `ks.business` takes the place of the table's paper, and its"
    said = [f"{go} {named} would go with it: {title}\n{hint}" for named, title in named_lost]
    return "".join(said) + f"{len(said)} problems; nothing was changed\n"


def test_what_would_go_with_a_replaced_paper_is_named_first(loaded: Run, write: Write) -> None:
    """Nothing is kept until each duty and document is kept, written anew, or left out knowingly."""
    name = write("k.yaml", KANSAS)

    assert loaded(["rules", "add", name, *DAY]) == (3, "", say_lost("at the paper"))
    assert loaded(["rules", "packs"])[1].startswith("no pack of your own was added")


def test_documents_alone_that_would_go_are_named_first(loaded: Run, write: Write) -> None:
    """A packet without the certificate that the office asks for comes back."""
    kept = "    keeps: [customer-statement, statement-keep]\n    holder:"
    name = write("k.yaml", KANSAS.replace("    holder:", kept))

    assert loaded(["rules", "add", name, *DAY]) == (3, "", say_lost("at the paper", NAMED_LOST[:2]))


def test_parts_of_a_replaced_paper_are_kept_by_name(loaded: Run, write: Write) -> None:
    """What `keeps` names stands on as it was, duties and documents."""
    shown = ("ks.business.statement-keep", "ks.business.insurance")
    before = [loaded(["rules", "show", one])[1] for one in shown]
    kept = f"    keeps: [{', '.join(LOST)}]\n    holder:"
    name = write("k.yaml", KANSAS.replace("    holder:", kept))

    code, out, _ = loaded(["rules", "add", name, *DAY])

    assert code == 0
    assert "does not count any more" not in out
    assert f"kept of the table's ks.business, with it: {', '.join(LOST)}" in " ".join(out.split())
    assert [loaded(["rules", "show", one])[1] for one in shown] == before


def test_what_one_edition_keeps_all_keep_and_that_is_said(loaded: Run, write: Write) -> None:
    """One `keeps` is enough; the refusal says so before, the pack after."""
    text = make_editions("2028-01-14", "2028-01-15")
    name = write("k.yaml", text)

    refused = loaded(["rules", "add", name, *DAY])
    write("k.yaml", text.replace("    holder:", f"    keeps: [{', '.join(LOST)}]\n    holder:", 1))
    code, out, _ = loaded(["rules", "add", name, *DAY])

    assert refused == (
        3,
        "",
        say_lost("at one edition of the paper, which counts for all its editions,"),
    )
    assert code == 0
    said = f"kept of the table's ks.business, with all its editions: {', '.join(LOST)}"
    assert said in " ".join(out.split())
    assert said in " ".join(loaded(["rules", "packs"])[1].split())
    assert loaded(["rules", "show", "ks.business.insurance"])[0] == 0


def test_list_says_when_each_edition_is_in_force(loaded: Run, write: Write) -> None:
    """Two rows of one id are told apart by their days, the last one included."""
    name = write("k.yaml", make_editions("2028-01-14", "2028-01-15"))
    loaded(["rules", "add", name, "--without-duties", *DAY])

    out = " ".join(loaded(["rules", "list", "ks.business"])[1].split())

    title = "ks.business Kansas business license"
    pack = "(your own rule, pack k)"
    assert f"{title} (through Fri 14 Jan 2028) {pack} " in out
    assert f"{title} (from Sat 15 Jan 2028) {pack} " in out


def test_duties_left_out_knowingly_are_said_ever_after(loaded: Run, write: Write) -> None:
    name = write("kansas.yaml", KANSAS)
    said = "! the table's duty ks.business.statement-keep does not count any more: Keep your copy"

    code, out, _ = loaded(["rules", "add", name, "--without-duties", *DAY])

    assert code == 0
    assert said in " ".join(out.split())
    assert said in " ".join(loaded(["rules", "packs"])[1].split())
    assert loaded(["rules", "show", "ks.business.statement-keep"])[0] == 4


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "    holder:",
            "    keeps: [statment-keep]\n    holder:",
            (
                "R96 paper `ks.business` keeps `statment-keep`, which is no duty or document of "
                "the paper it replaces\n  hint: did you mean `statement-keep`?\n"
            ),
        ),
        (
            "    replaces: ks.business\n    because: the adviser called\n",
            "    keeps: [statement-keep]\n",
            (
                "R96 paper `ks.business` keeps `statement-keep`, but replaces no paper\n  hint: "
                "add `replaces` and `because`, or write it under `duties` or `documents`\n"
            ),
        ),
    ],
)
def test_only_parts_of_the_replaced_paper_can_be_kept(
    old: str, new: str, message: str, run: Run, write: Write
) -> None:
    error = run(["rules", "add", write("k.yaml", KANSAS.replace(old, new)), *DAY])

    assert error == (3, "", f"k.yaml:4:5: {message}{ONE}")


@pytest.mark.parametrize(
    ("ends", "begins", "message"),
    [
        (
            "2028-01-14",
            "2028-01-10",
            (
                "R31 the paper `ks.business` stands twice for the same days; first at k.yaml:4\n"
                "  hint: end the earlier one the day before: `applies_until: 2028-01-09`; or begin "
                "the later one the day after: `applies_from: 2028-01-15`\n"
            ),
        ),
        (
            "2028-01-14",
            "2028-02-10",
            (
                "R95 no edition of the paper `ks.business` applies from Sat 15 Jan 2028 to Wed 9 "
                "Feb 2028, between two others\n  hint: let one of them apply then; if the rule "
                "did not hold, give the later one another id\n"
            ),
        ),
    ],
)
def test_days_of_editions_at_fault_are_one_problem(
    ends: str, begins: str, message: str, run: Run, write: Write
) -> None:
    """A paper's steps and documents have its days, so that they are not named beside it."""
    text = make_editions(ends, begins)

    error = run(["rules", "add", write("k.yaml", text), *DAY])

    assert error == (3, "", f"k.yaml:22:5: {message}{ONE}")


def test_kind_of_validity_that_is_none_is_one_problem(run: Run, write: Write) -> None:
    text = KANSAS.replace("kind: from-document", "kind: forever")

    error = run(["rules", "add", write("k.yaml", text), *DAY])

    assert error == (
        3,
        "",
        (
            "k.yaml:12:22: R05 `kind` of `validity` of paper `ks.business` is 'forever'; allowed: "
            f"months, months-to-month-end, fixed-day, from-document, open-ended\n{ONE}"
        ),
    )


def test_diff_says_when_a_new_edition_begins_and_what_it_changes(loaded: Run, write: Write) -> None:
    name = write("k.yaml", make_editions("2028-01-14", "2028-01-15"))
    asked = ["rules", "diff", "--shipped", name, *DAY]

    out = loaded(asked)[1]
    rows = json.loads(loaded([*asked, "--format", "json"])[1])["rows"]

    assert (
        "RULES ADDED\n  ks.business from Sat 15 Jan 2028  Kansas business license\n"
        "      a new edition; against the one before it:\n"
        "      fee: $100.00, check, to the office -> $300.00, check, to the office\n"
        "  ks.business.prepare from Sat 15 Jan 2028  " in out
    )
    assert "(as the edition before it)" in out
    added = next(row for row in rows if row["how"] == "added")
    assert (added["id"], added["applies_from"], added["after_another_edition"]) == (
        "ks.business",
        "2028-01-15",
        True,
    )
    assert [field["name"] for field in added["fields"]] == ["fee"]


OWN_CHECK = """\
      - {name: fee-check, title: Fee check, template: ks-fee-check, originals: 1,
         cite: a call, confidence: second-hand}
"""
OWN_DUTY = """\
    duties:
      - {id: ks.business.notice, title: Tell the adviser, event: flight, kind: report-after,
         trigger: the day the job is done, direction: after, count: 3, unit: days, cite: a call,
         edition: "2027", confidence: second-hand}
"""


def make_parted(*, first: str, later: str) -> str:
    """Write two editions of the paper, each with parts of its own; all but the check is kept."""
    kept = ", ".join(name for name in LOST if name != "fee-check")
    text = make_editions("2028-01-14", "2028-01-15")
    text = text.replace("    holder:", f"    keeps: [{kept}]\n    holder:", 1)
    at = text.index("  - id: ks.business", text.index("  - id: ks.business") + 1)
    return text[:at] + first + text[at:] + later


def test_what_a_later_edition_of_the_pack_no_longer_asks_for_is_told(
    loaded: Run, write: Write
) -> None:
    """It is kept all the same, for the pack itself had it; the difference names it too."""
    name = write("k.yaml", make_parted(first=OWN_CHECK + OWN_DUTY, later=""))
    told = (
        "! from Sat 15 Jan 2028 on the edition of ks.business no longer asks for: document "
        "fee-check, Fee check; duty notice, Tell the adviser"
    )

    diff = loaded(["rules", "diff", "--shipped", name, *DAY])[1]
    code, out, _ = loaded(["rules", "add", name, *DAY])

    assert code == 0
    assert told in " ".join(out.split())
    assert told in " ".join(loaded(["rules", "packs"])[1].split())
    assert (
        "      documents no longer asked for: Fee check -> nothing\n"
        "      duties no longer asked for: Tell the adviser -> nothing\n"
    ) in diff


def test_what_only_a_later_edition_asks_for_is_refused_where_the_table_asks_before(
    loaded: Run, write: Write
) -> None:
    """The table's own check would go on the first day, and no day without it is passed over."""
    name = write("k.yaml", make_parted(first="", later=OWN_CHECK))
    title = "Check for the fee (K.S.A. 2-2440 (one fee for each category))"

    refused = (
        "k.yaml:4:5: R97 `ks.business` takes the place of the table's paper, and its document "
        "`fee-check` would go with it, until your own counts on Sat 15 Jan 2028: "
        f"{title}\n"
        "  hint: write it in the edition before that day too; --without-duties takes the file as "
        f"it is\n{ONE}"
    )

    assert loaded(["rules", "add", name, *DAY]) == (3, "", refused)
    diff = loaded(["rules", "diff", "--shipped", name, *DAY])[1]
    assert "      documents asked for from then on: nothing -> Fee check\n" in diff
    out = loaded(["rules", "add", name, "--without-duties", *DAY])[1]
    assert (
        "! the table's document ks.business.fee-check does not count any more, your own not before "
        f"Sat 15 Jan 2028: {title}"
    ) in " ".join(out.split())


def test_nothing_is_told_where_every_edition_asks_for_the_same(loaded: Run, write: Write) -> None:
    """A part that stands in both editions goes nowhere."""
    name = write("k.yaml", make_parted(first=OWN_CHECK, later=OWN_CHECK))

    code, out, _ = loaded(["rules", "add", name, *DAY])

    assert code == 0
    assert "!" not in out
