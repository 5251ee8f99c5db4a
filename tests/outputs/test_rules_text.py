"""Rows as text: no value of a row may be swallowed on the way to the screen."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from compliance.app.tables import find_rows
from compliance.facts.basis import WORDS_OF_CONFIDENCE
from compliance.facts.conditions import AllOf, AnyOf
from compliance.facts.overrides import Override
from compliance.outputs.rules_text import (
    render_check,
    render_row,
    render_rows,
    say_condition,
    say_validity,
)
from compliance.rules.model import (
    DocumentRow,
    OfficeRow,
    PaperRow,
    RulesTable,
    ServiceRow,
    StepRow,
)
from compliance.rules.validity_model import Validity, ValidityKind


def squeeze(text: str) -> str:
    return " ".join(text.split())


def test_render_rows_without_a_word_lists_the_papers(table: RulesTable) -> None:
    text = render_rows(table, "")
    lines = {line.split()[0] for line in text.splitlines() if line.startswith("  ")}

    assert text.startswith("PAPERS\n")
    assert {row.id for row in table.papers} <= lines
    assert not {row.id for row in table.steps} & lines


@pytest.mark.parametrize("word", ["registry", "REGISTRY", "notar", "first-class", "report", "e"])
def test_render_rows_finds_what_holds_the_word_and_nothing_else(
    table: RulesTable, word: str
) -> None:
    text = render_rows(table, word)
    found = {line.split()[0] for line in text.splitlines() if line.startswith("  ")}
    wanted = {row.id for row in table.rows if word.lower() in f"{row.id} {row.title}".lower()}

    assert wanted
    assert wanted == found & {row.id for row in table.rows}


def test_render_row_keeps_every_source(table: RulesTable) -> None:
    for row in table.rows:
        text = squeeze(render_row(row))
        wanted = [
            row.title,
            row.basis.citation,
            row.basis.edition,
            row.basis.note,
            WORDS_OF_CONFIDENCE[row.basis.confidence],
        ]

        assert [one for one in wanted if squeeze(one) not in text] == []
        assert [
            line for line in render_row(row).splitlines() if len(line) > 80 and " " in line.strip()
        ] == []


def test_render_row_keeps_what_each_kind_knows(table: RulesTable) -> None:
    for row in table.rows:
        text = squeeze(render_row(row))
        wanted: list[str] = []
        if isinstance(row, PaperRow):
            wanted.extend([row.why, row.office, *row.notes, *row.cautions])
            wanted.extend(
                f"${fee.amount_usd:.2f}" for fee in (row.fee, row.renewal_fee) if fee is not None
            )
        elif isinstance(row, StepRow):
            wanted.extend([*row.after, *row.needs, *row.return_path])
            if row.days is not None:
                wanted.append(f"fast {row.days.fast}, slow {row.days.slow}")
        elif isinstance(row, DocumentRow):
            wanted.extend([row.template, row.signer, *row.notes])
        elif isinstance(row, OfficeRow):
            wanted.extend([*row.mail_to, *row.courier_to, row.online])
        elif isinstance(row, ServiceRow):
            wanted.append(f"{row.days.fast} / {row.days.usual} / {row.days.slow}")

        assert [one for one in wanted if squeeze(one) not in text] == []


def test_render_row_own_value_is_marked(table: RulesTable) -> None:
    (row,) = find_rows(table, "faa.registration-n")
    own = Override(
        row=row.id,
        field="fee.amount_usd",
        value="7",
        reason="the clerk said so",
        set_on=date(2027, 1, 5),
    )

    assert (
        "! your own value: fee.amount_usd = 7 (the clerk said so, set Tue 5 Jan 2027)"
        in squeeze(render_row(replace(row, overrides=(own,))))
    )


def test_render_row_fee_of_the_registry_is_five_dollars(table: RulesTable) -> None:
    """14 CFR 47.17(a): certificate of aircraft registration, $5.00."""
    (row,) = find_rows(table, "faa.registration-n")
    assert isinstance(row, PaperRow)
    assert row.fee is not None

    assert row.fee.amount_usd == Decimal(5)
    assert "$5.00" in render_row(row)


@pytest.mark.parametrize(
    ("validity", "words"),
    [
        (Validity(kind=ValidityKind.MONTHS, months=84), "84 months from the day of issue"),
        (
            Validity(kind=ValidityKind.MONTHS_TO_MONTH_END, months=24),
            "to the end of the month 24 months after issue",
        ),
        (Validity(kind=ValidityKind.FROM_DOCUMENT), "as printed on the paper"),
        (Validity(kind=ValidityKind.OPEN_ENDED), "until surrendered, suspended or revoked"),
    ],
)
def test_say_validity(validity: Validity, words: str) -> None:
    assert say_validity(validity) == words


def test_say_validity_of_every_row_says_something(table: RulesTable) -> None:
    said = {say_validity(row.validity) for row in table.papers}

    assert "" not in said
    assert len(said) >= 4


def test_say_condition_of_every_row_names_its_facts(table: RulesTable) -> None:
    def facts(condition: object) -> list[str]:
        if isinstance(condition, AllOf | AnyOf):
            return [fact for part in condition.parts for fact in facts(part)]
        return [condition.fact]  # type: ignore[attr-defined] # a test of one fact

    for row in table.rows:
        text = say_condition(row.when)

        assert [fact for fact in facts(row.when) if fact not in text] == []


def test_render_check_counts_every_row(table: RulesTable) -> None:
    text = squeeze(render_check(table, 7, date(2027, 1, 11)))

    assert text.startswith("the rules table is sound: ")
    assert f"{len(table.papers)} papers" in text
    assert "7 form templates" in text
    assert f"states with rows: {', '.join(table.states)}" in text


def test_render_check_names_rows_not_reviewed_for_a_year(table: RulesTable) -> None:
    newest = max(row.basis.reviewed_on for row in table.rows)
    fresh = render_check(table, 7, min(row.basis.reviewed_on for row in table.rows))
    old = render_check(table, 7, newest.replace(year=newest.year + 2))

    assert "looked over again: 0" in fresh
    assert f"looked over again: {len(table.rows)}" in old
    assert old.count("review: ") == len(table.rows)


def test_render_row_says_what_to_ask_where_there_is_no_rule(table: RulesTable) -> None:
    """A gap reads as a question for the agency, with where the answer was looked for."""
    (row,) = find_rows(table, "ok.insurance")

    text = squeeze(render_row(row))

    assert "no rule for insurance in OK" in text
    assert "ask whether proof of insurance goes with the business license" in text
    assert "source looked for in 2 O.S. 3-82 and OAC 35:30-17; not found" in text


def test_render_row_names_the_letters_that_decide_the_day(table: RulesTable) -> None:
    """OAC 35:30-17-1.3: the reader sees which names end in September."""
    (row,) = find_rows(table, "ok.business")

    said = "through 09-30 for names from a digit or A to L, else through 12-31 next after issue"
    assert said in squeeze(render_row(row))
