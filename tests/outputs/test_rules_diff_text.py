"""What a change of rules says: plain words for every field of every kind of row, never Python."""

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass

import pytest

from compliance.engine.rules_diff import RowChange
from compliance.facts.basis import Basis
from compliance.outputs.rules_diff_text import render_diff_json, render_diff_text
from compliance.rules.model import ComesBack, Freshness, Row, RulesTable
from compliance.rules.packs import OF_ROWS
from compliance.rules.validity_model import Mark, NameDay, Renewal, Validity, ValidityKind

# A value as Python writes it: a name that begins with a capital and an opening bracket without a
# blank between, a keyword with its equal sign, None, an enum, a tuple.
LEAK = re.compile(r"\b[A-Z][A-Za-z]*\(\w+=|\b\w+=['\"\[(]|\bNone\b|<[A-Z]\w+\.|\(\)|',\)")


def list_values(table: RulesTable) -> Iterator[tuple[str, object]]:
    """Give every value of every row, those of its basis one by one."""
    for kind in OF_ROWS:
        rows: tuple[Row, ...] = getattr(table, kind)
        for row in rows:
            for field in fields(row):
                value = getattr(row, field.name)
                if isinstance(value, Basis):
                    yield from ((part.name, getattr(value, part.name)) for part in fields(value))
                elif field.name not in {"place", "overrides"}:
                    yield field.name, value


def say(*changed: tuple[str, object, object]) -> str:
    """Every change of a field as a row of its own, as text and as JSON."""
    rows = tuple(
        RowChange(kind="papers", id="x", title="T", how="changed", fields=(one,)) for one in changed
    )
    return render_diff_text(rows, (), "") + render_diff_json(rows, (), "")


def test_no_field_of_any_shipped_row_is_said_as_python(table: RulesTable) -> None:
    """Every value of the shipped table, and every kind of value, in words."""
    values = {(name, repr(value)): value for name, value in list_values(table)}
    said = say(*((name, value, None) for (name, _), value in values.items()))
    leaks = [said[max(0, one.start() - 60) : one.end() + 20] for one in LEAK.finditer(said)]

    assert leaks == []
    assert said.count("  x  T\n") == said.count('"id": "x"') == len(values)  # all of them were said
    seen = {type(value) for value in values.values()}

    made = {kind for kind in seen if is_dataclass(kind)}
    assert {"LeadDays", "Fee", "Validity", "Renewal", "Freshness", "ComesBack"} <= {
        kind.__name__ for kind in made
    }


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (
            Renewal(opens_months=6, opens_before_month=True, renew_by=Mark(days=-30)),
            (
                "opens 6 months before the month it ends in; renew by 30 days before the last day "
                "in force; a renewal filed in time does not keep the old one alive"
            ),
        ),
        (
            Renewal(late_fee_from=Mark(days=1), reexam_from=Mark(month_day="03-01")),
            (
                "late fee from 1 day after the last day in force; examination again from 03-01; a "
                "renewal filed in time does not keep the old one alive"
            ),
        ),
        (Freshness(after="sign", days=30), "at most 30 days after sign"),
        (ComesBack(times=1, of=8, cite="guess"), "1 of 8 packets (guess)"),
        (
            Validity(kind=ValidityKind.MONTHS, months=24, renewal_from_expiry=True),
            (
                "24 months from the day of issue; a renewed one counts from the last day of the "
                "one before"
            ),
        ),
        (
            Validity(
                kind=ValidityKind.FIXED_DAY,
                month_day="12-31",
                by_name=(NameDay(through="M", month_day="06-30"),),
            ),
            "through 06-30 for names from a digit or A to M, else through 12-31 next after issue",
        ),
        (True, "yes"),
        (("a", "b"), "a / b"),
    ],
)
def test_value_is_said_in_words(value: object, words: str) -> None:
    """Each kind of value beside nothing, as it stands in the text."""
    said = " ".join(say(("field", value, None)).split())

    assert f"field: {words} -> nothing" in said
