"""Loading facts: what changed, what is refused, which operation is meant."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlmodel import Session

from compliance.app.demo import FACTS
from compliance.app.facts_file import check_papers_known, load_file, parse_facts
from compliance.app.operations import choose_operation, load_with_log
from compliance.base.problems import DataProblemsError, NotFoundError, SourceRef
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
    line = text[: text.index("paper: ins.liability")].count("\n") + 1

    with pytest.raises(DataProblemsError) as caught:
        parse_facts(text, "x.yaml", table)

    (problem,) = caught.value.problems
    assert (problem.code, problem.place) == (
        "F42",
        SourceRef(file="x.yaml", line=line, column=12),
    )
    assert problem.sentence == "`ins.liability` belongs to the operation, not to `wren`"


def test_parse_facts_unknown_paper_is_told_beside_other_faults(
    demo_files: dict[str, str], table: RulesTable
) -> None:
    text = demo_files[FACTS].replace("paper: ins.liability", "paper: ins.liabilty")
    text = text.replace("state: SD", "state: XX").replace("holder: tg18", "holder: odile")
    lines = [
        (code, text[: text.index(words)].count("\n") + 1)
        for code, words in (
            ("F16", "state: XX"),
            ("F42", "paper: faa.registration-small"),
            ("F41", "paper: ins.liabilty"),
        )
    ]

    with pytest.raises(DataProblemsError) as caught:
        parse_facts(text, "x.yaml", table)

    assert [(problem.code, problem.place.line) for problem in caught.value.problems] == lines


PAPERS = """\
aircraft: [{id: tg46}]
pilots: [{id: wren}]
papers:
"""


@pytest.mark.parametrize(
    ("paper", "code", "column"),
    [
        ("paper: ins.liability", "", 0),
        ("paper: ins.liability, holder: operation", "", 0),
        ("paper: faa.remote-pilot, holder: wren", "", 0),
        ("paper: faa.registration-n, holder: tg46", "", 0),
        ("paper: faa.registration-n, holder: wren", "F42", 13),
        ("holder: tg46, paper: faa.remote-pilot", "F42", 27),
        ("paper: faa.remote-pilot", "F42", 13),
        ("paper: faa.nothing, holder: wren", "F41", 13),
        # Left to the reading of the facts: no such holder, no paper at all, no paper id.
        ("paper: faa.remote-pilot, holder: somebody", "", 0),
        ("holder: wren", "", 0),
        ("paper: Faa Nothing", "", 0),
        ("paper: [faa.nothing]", "", 0),
    ],
)
def test_check_papers_known_names_the_place(
    table: RulesTable, paper: str, code: str, column: int
) -> None:
    problems = check_papers_known(f"{PAPERS}  - {{{paper}}}\n", "x.yaml", table)
    place = SourceRef(file="x.yaml", line=4, column=column)

    assert [(problem.code, problem.place) for problem in problems] == (
        [(code, place)] if code else []
    )


@pytest.mark.parametrize("text", ["", "- a", "papers: none", "papers: [a]", "a: [", "papers: {}"])
def test_check_papers_known_of_a_broken_file_is_silent(table: RulesTable, text: str) -> None:
    assert check_papers_known(text, "x.yaml", table) == ()


def test_choose_operation_none_known(session: Session) -> None:
    with pytest.raises(NotFoundError) as caught:
        choose_operation(session, None)

    assert caught.value.message == "no operation is known yet in :memory:"


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
