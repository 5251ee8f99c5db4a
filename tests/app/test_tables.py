"""The shipped table as the program loads it, and the user's own values in it."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from sqlmodel import Session

from compliance.app.tables import (
    check_rules,
    find_rows,
    forget_override,
    load_shipped_table,
    load_table,
    load_table_for,
    load_templates,
    set_override,
)
from compliance.base.problems import DataProblemsError, NotFoundError, RefusedError
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import HeldPaper, Holder, HolderKind, Operation
from compliance.facts.overrides import Override
from compliance.rules.model import PaperRow, RulesTable
from compliance.store.records import save_override
from compliance.store.session import open_session


@pytest.fixture
def session() -> Iterator[Session]:
    with open_session(":memory:") as opened:
        yield opened


def override(
    row: str = "faa.registration-n", field: str = "fee.amount_usd", value: str = "12.50"
) -> Override:
    return Override(row=row, field=field, value=value, reason="told so", set_on=date(2027, 1, 5))


def fee_usd(table: RulesTable) -> Decimal | None:
    (row,) = find_rows(table, "faa.registration-n")
    assert isinstance(row, PaperRow)
    return row.fee.amount_usd if row.fee is not None else None


def test_check_rules_shipped_table_has_no_problem() -> None:
    table, templates, problems = check_rules()

    assert problems == ()
    assert (table, templates) == (load_shipped_table(), len(load_templates()))


def test_load_table_without_own_values_is_the_shipped_one(session: Session) -> None:
    assert load_table(session) == load_shipped_table()


def test_set_override_takes_the_place_of_the_value_and_says_so(session: Session) -> None:
    set_override(session, override())

    (row,) = find_rows(load_table(session), "faa.registration-n")

    assert fee_usd(load_table(session)) == Decimal("12.50")
    assert row.overrides == (override(),)


def test_set_override_twice_keeps_the_second(session: Session) -> None:
    set_override(session, override())
    set_override(session, override(value="13"))

    assert fee_usd(load_table(session)) == Decimal(13)


def test_forget_override_goes_back(session: Session) -> None:
    set_override(session, override())
    forget_override(session, "faa.registration-n", "fee.amount_usd")

    assert load_table(session) == load_shipped_table()


def test_forget_override_none_set(session: Session) -> None:
    with pytest.raises(NotFoundError, match="no value of your own is set for"):
        forget_override(session, "faa.registration-n", "fee.amount_usd")


def test_set_override_unknown_row_gives_a_hint(session: Session) -> None:
    with pytest.raises(NotFoundError) as caught:
        set_override(session, override(row="faa.registration"))

    assert "faa.registration" in caught.value.hint


def test_set_override_unknown_field_lists_those_known(session: Session) -> None:
    with pytest.raises(RefusedError) as caught:
        set_override(session, override(field="colour"))

    assert caught.value.message == "faa.registration-n has no 'colour' that can be set"
    assert caught.value.hint.startswith("this row knows: ")


@pytest.mark.parametrize("value", ["", "nan", "-1", "five", "1e99"])
def test_set_override_nonsense_keeps_nothing(session: Session, value: str) -> None:
    with pytest.raises(DataProblemsError):
        set_override(session, override(value=value))

    assert load_table(session) == load_shipped_table()


def test_load_table_value_that_fits_no_more_is_named(session: Session) -> None:
    """As after an update that took the row away."""
    save_override(session, override(row="faa.gone"))

    with pytest.raises(DataProblemsError) as caught:
        load_table(session)

    assert ["faa.gone" in str(problem) for problem in caught.value.problems] == [True]


def test_find_rows_gives_every_edition(table: RulesTable) -> None:
    for row_id in {row.id for row in table.rows}:
        assert {row.id for row in find_rows(table, row_id)} == {row_id}


def states_of(table: RulesTable) -> set[str]:
    return {row.id.partition(".")[0] for row in table.papers} - {"faa", "ins", "epa"}


def test_table_of_an_operation_holds_the_states_it_names(
    session: Session, demo_operation: Operation, table: RulesTable
) -> None:
    """Jobs, home, held papers and logged papers bring a state's rows in; the rest stays out."""
    whose = Holder(kind=HolderKind.OPERATION)
    held = HeldPaper(paper="mn.agricultural-aerial", holder=whose)
    more = replace(demo_operation, papers=(*demo_operation.papers, held))
    logged = LogEntry(
        number=1,
        kind=EventKind.SIGNED,
        paper="ia.commercial-business",
        holder=whose,
        happened_on=date(2027, 1, 5),
    )

    assert states_of(load_table_for(session, demo_operation)) == {"ne", "sd"}
    assert states_of(load_table_for(session, more, (logged,))) == {"ia", "mn", "ne", "sd"}
    federal = [row for row in table.papers if row.id.startswith(("faa.", "ins."))]
    kept = load_table_for(session, replace(demo_operation, jobs=(), home_state="WY")).papers
    assert [row for row in kept if row.id.startswith(("faa.", "ins."))] == federal


def test_own_value_of_a_state_left_out_is_no_fault(
    session: Session, demo_operation: Operation
) -> None:
    """A value set for a row of Missouri does not stop a plan for Nebraska."""
    (row,) = [one for one in load_shipped_table().papers if one.id == "mo.commercial-applicator"]
    assert row.fee is not None
    save_override(session, override(row=row.id))
    save_override(session, override())

    table = load_table_for(session, demo_operation)

    assert fee_usd(table) == Decimal("12.50")
