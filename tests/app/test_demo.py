"""The demo in a folder: whole, repeatable, and harmless to what lies beside it."""

from pathlib import Path

import pytest

from compliance.app.demo import run_demo
from compliance.base.problems import OutputError
from compliance.engine.plan_model import Plan

NAMESPACE = "5b0c1a52-5a0e-4d0e-9d0a-0a6a1f3c7e11"


def contents(folder: Path) -> dict[str, bytes]:
    """Every file but the database, whose pages may lie in any order."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.suffix != ".sqlite"
    }


def test_run_demo_shows_the_plan_and_names_every_file(tmp_path: Path, demo_shown: Plan) -> None:
    shown = run_demo(tmp_path / "demo", namespace=NAMESPACE)
    there = {
        path.relative_to(shown.folder).as_posix()
        for path in shown.folder.rglob("*")
        if path.is_file()
    }

    assert shown.plan == demo_shown
    assert sorted(shown.paths) == sorted(there)


def test_run_demo_twice_gives_equal_bytes(tmp_path: Path) -> None:
    run_demo(tmp_path, namespace=NAMESPACE)
    first = contents(tmp_path)
    run_demo(tmp_path, namespace=NAMESPACE)

    assert contents(tmp_path) == first


def test_run_demo_leaves_other_files_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")

    run_demo(tmp_path, namespace=NAMESPACE)

    assert (tmp_path / "notes.txt").read_text() == "mine"


def test_run_demo_folder_is_a_file(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")

    with pytest.raises(OutputError):
        run_demo(tmp_path / "file", namespace=NAMESPACE)

    assert (tmp_path / "file").read_text() == "mine"


def test_run_demo_database_is_a_folder(tmp_path: Path) -> None:
    (tmp_path / "mailby-demo.sqlite").mkdir()

    with pytest.raises(OutputError, match="cannot be replaced"):
        run_demo(tmp_path, namespace=NAMESPACE)
