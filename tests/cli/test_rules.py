"""rules list ... unset as a user types them."""

from collections.abc import Callable

import pytest

from compliance.rules.model import RulesTable

Run = Callable[[list[str]], tuple[int, str, str]]
SET = ["rules", "set", "faa.registration-n", "fee.amount_usd"]


def test_rules_check_is_sound(run: Run) -> None:
    code, out, err = run(["rules", "check", "--on", "2027-01-11"])

    assert (code, err) == (0, "")
    assert out.startswith("the rules table is sound: ")


def test_rules_list_names_every_paper(run: Run, table: RulesTable) -> None:
    out = run(["rules", "list"])[1]

    assert [row.id for row in table.papers if f"  {row.id}  " not in out] == []


def test_rules_list_word_finds_ids_and_titles(run: Run) -> None:
    by_id = run(["rules", "list", "faa.registration-n"])[1]
    by_title = run(["rules", "list", "N-NUMBER"])[1]

    assert "  faa.registration-n.review  " in by_id
    assert "  faa.registration-n  " in by_title


def test_rules_list_word_that_nothing_holds(run: Run) -> None:
    assert run(["rules", "list", "zzz"]) == (0, "no row holds 'zzz'\n", "")


def test_rules_show_every_row(run: Run, table: RulesTable) -> None:
    for row_id in sorted({row.id for row in table.rows})[::7]:
        code, out, err = run(["rules", "show", row_id])

        assert (code, err) == (0, "")
        assert out.startswith(f"{row_id}: ")
        assert "confidence" in out


def test_rules_show_unknown_gives_a_hint(run: Run) -> None:
    assert run(["rules", "show", "faa.registry.review"])[0] == 4
    assert "did you mean `faa.exemption`?" in run(["rules", "show", "faa.exemtion"])[2]


def test_rules_set_shows_and_unset_goes_back(run: Run) -> None:
    before = run(["rules", "show", "faa.registration-n"])[1]
    said = run([*SET, "12.5", "--because", "as the clerk said", "--on", "2027-01-05"])
    shown = " ".join(run(["rules", "show", "faa.registration-n"])[1].split())
    undone = run(["rules", "unset", "faa.registration-n", "fee.amount_usd"])

    assert said == (
        0,
        (
            "faa.registration-n fee.amount_usd is now 12.5; go back with: "
            "mailby rules unset faa.registration-n fee.amount_usd\n"
        ),
        "",
    )
    assert "$12.50" in shown
    assert "(as the clerk said, set Tue 5 Jan 2027)" in shown
    assert undone[0] == 0
    assert run(["rules", "show", "faa.registration-n"])[1] == before


@pytest.mark.parametrize("reason", ["", " ", "\t"])
def test_rules_set_needs_a_reason(run: Run, reason: str) -> None:
    code, out, err = run([*SET, "12.5", "--because", reason])

    assert (code, out) == (3, "")
    assert err.startswith("a value of your own needs its reason\n")


@pytest.mark.parametrize("value", ["", "x", "nan", "-5", "1e99", "12,50"])
def test_rules_set_nonsense_keeps_nothing(run: Run, value: str) -> None:
    before = run(["rules", "show", "faa.registration-n"])
    code, out, _ = run([*SET, "--because", "b", "--", value])

    assert (code, out) == (3, "")
    assert run(["rules", "show", "faa.registration-n"]) == before


@pytest.mark.parametrize(
    ("arguments", "value"),
    [
        (["-5", "--because", "b"], "-5"),
        (["--because", "b", "-5"], "-5"),
        (["--because=b", "--", "-5"], "-5"),
        (["-x", "--because", "b"], "-x"),
        (["--because", "b", "-five"], "-five"),
    ],
)
def test_rules_set_value_with_a_dash_is_refused_in_our_words(
    run: Run, arguments: list[str], value: str
) -> None:
    """And not as an option that does not exist."""
    assert run(["rules", "set", "faa.exemption.review", "days.usual", *arguments]) == (
        3,
        "",
        (
            f"your own rule values:1:1: R63 `days.usual` of `faa.exemption.review` is {value!r}, "
            "no number of days\n  hint: write a whole number from 0 to 900\n"
            "1 problem; nothing was changed\n"
        ),
    )


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["12", "--becuase", "b"], "No such option: --becuase"),
    ],
)
def test_rules_set_still_knows_its_options(run: Run, arguments: list[str], message: str) -> None:
    """What has two dashes is an option still."""
    code, out, err = run(["rules", "set", "faa.exemption.review", "days.usual", *arguments])

    assert (code, out) == (2, "")
    assert message in err


def test_rules_unset_without_a_value(run: Run) -> None:
    assert run(["rules", "unset", "faa.registration-n", "fee.amount_usd"]) == (
        4,
        "",
        "no value of your own is set for faa.registration-n fee.amount_usd\n",
    )


@pytest.mark.parametrize("text", ["a\x1b[31m", "a\x07", "x" * 2001])
def test_rules_set_sign_that_cannot_be_kept_is_refused(run: Run, text: str) -> None:
    before = run(["rules", "show", "faa.registry"])
    answers = [
        run([*SET, "7", "--because", text]),
        run(["rules", "set", "faa.registry", "mail_to", text, "--because", "b"]),
    ]

    assert [(code, out) for code, out, _ in answers] == [(3, ""), (3, "")]
    assert run(["rules", "show", "faa.registry"]) == before
