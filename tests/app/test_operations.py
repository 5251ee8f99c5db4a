"""Loading facts: what changed, what is refused, which operation is meant."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlmodel import Session

from compliance.app.demo import FACTS
from compliance.app.operations import choose_operation, load_file, load_with_log, parse_facts
from compliance.base.problems import DataProblemsError, NotFoundError
from compliance.facts.model import Operation
from compliance.facts.write import render_operation
from compliance.rules.model import RulesTable
from compliance.store.repository import load_calendar_namespace, load_operation_ids, save_operation
from compliance.store.session import open_session


@pytest.fixture
def session() -> Iterator[Session]:
    with open_session(":memory:") as opened:
        yield opened


def load(session: Session, path: Path, table: RulesTable, namespace: str = "n") -> list[str]:
    changes = load_file(session, str(path), table, namespace=namespace)[1]
    return [str(change) for change in changes]


def test_load_file_again_changes_nothing(
    session: Session, demo_file: Path, table: RulesTable, demo_operation: Operation
) -> None:
    first = load(session, demo_file, table)

    assert first[0] == "added operation: Sandbur Flats Aerial LLC"
    assert load(session, demo_file, table) == []
    assert load_with_log(session, None) == (demo_operation, ())


def test_load_file_changed_says_what_and_keeps_one(
    session: Session, demo_file: Path, table: RulesTable
) -> None:
    load(session, demo_file, table, namespace="first")
    text = demo_file.read_text().replace("first_day: 2027-05-24", "first_day: 2027-05-20")
    demo_file.write_text(text)

    changes = load(session, demo_file, table, namespace="second")

    assert changes == ["changed first day of job pasture-ne: Mon 24 May 2027 -> Thu 20 May 2027"]
    assert load_operation_ids(session) == ("sandbur-flats",)
    assert len(load_with_log(session, None)[0].jobs) == 4
    assert load_calendar_namespace(session, "sandbur-flats") == "first"


def test_load_file_with_faults_keeps_what_was_known(
    session: Session, demo_file: Path, table: RulesTable, demo_operation: Operation
) -> None:
    load(session, demo_file, table)
    demo_file.write_text(demo_file.read_text().replace("state: SD", "state: XX"))

    with pytest.raises(DataProblemsError):
        load(session, demo_file, table)

    assert load_with_log(session, None)[0] == demo_operation


def test_parse_facts_own_export_is_the_same(demo_operation: Operation, table: RulesTable) -> None:
    assert parse_facts(render_operation(demo_operation), "x.yaml", table) == demo_operation


def test_parse_facts_unknown_paper_says_where(
    demo_files: dict[str, str], table: RulesTable
) -> None:
    text = demo_files[FACTS].replace("paper: ins.liability", "paper: ins.liabilty")
    line = text[: text.index("ins.liabilty")].count("\n") + 1

    with pytest.raises(DataProblemsError) as caught:
        parse_facts(text, "x.yaml", table)

    (problem,) = caught.value.problems
    assert (problem.code, problem.place.line, problem.hint) == (
        "F41",
        line,
        "did you mean `ins.liability`?",
    )


def test_parse_facts_paper_of_the_wrong_holder(
    demo_files: dict[str, str], table: RulesTable
) -> None:
    text = demo_files[FACTS].replace("holder: operation", "holder: wren")

    with pytest.raises(DataProblemsError) as caught:
        parse_facts(text, "x.yaml", table)

    (problem,) = caught.value.problems
    assert problem.code == "F42"
    assert problem.sentence == "`ins.liability` belongs to the operation, not to `pilot:wren`"


def test_choose_operation_none_known(session: Session) -> None:
    with pytest.raises(NotFoundError, match="no operation is known yet"):
        choose_operation(session, None)


def test_choose_operation_of_two_must_be_named(
    session: Session, demo_file: Path, table: RulesTable
) -> None:
    load(session, demo_file, table)
    text = demo_file.read_text().replace("id: sandbur-flats", "id: second-farm")
    save_operation(session, parse_facts(text, "x.yaml", table), namespace="m")

    with pytest.raises(NotFoundError) as caught:
        choose_operation(session, None)

    assert caught.value.message == "the database holds 2 operations"
    assert caught.value.hint == "name one with --operation: sandbur-flats, second-farm"
    assert choose_operation(session, "second-farm").id == "second-farm"


def test_choose_operation_misspelt_gives_a_hint(
    session: Session, demo_file: Path, table: RulesTable
) -> None:
    load(session, demo_file, table)

    with pytest.raises(NotFoundError) as caught:
        choose_operation(session, "sandbur-flat")

    assert caught.value.hint == "did you mean `sandbur-flats`?"
