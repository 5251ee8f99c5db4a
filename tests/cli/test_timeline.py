"""``mailby timeline`` as a user types it."""

from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[[list[str]], tuple[int, str, str]]
ON = ["--on", "2027-01-11"]


def test_timeline_names_what_it_wrote(loaded: Run, isolated: Path) -> None:
    assert loaded(["timeline", "-o", "season.svg", *ON]) == (0, "wrote season.svg: 20 lines\n", "")
    assert (isolated / "season.svg").read_bytes().startswith(b"<?xml")


def test_timeline_is_a_pdf_when_no_file_is_named(loaded: Run, isolated: Path) -> None:
    assert loaded(["timeline", *ON]) == (0, "wrote season.pdf: 20 lines\n", "")
    assert (isolated / "season.pdf").read_bytes().startswith(b"%PDF-")


def test_timeline_of_a_packet(loaded: Run, isolated: Path) -> None:
    call = ["timeline", "--chance", "faa.registration-n", "-o", "curve.svg", *ON]

    assert loaded(call) == (0, "wrote curve.svg\n", "")
    assert b"When to mail" in (isolated / "curve.svg").read_bytes()


@pytest.mark.parametrize("name", ["season.jpeg", "season.pdf.txt"])
def test_timeline_other_ending_is_3(loaded: Run, isolated: Path, name: str) -> None:
    before = sorted(isolated.iterdir())
    said = (
        f"{name} cannot be written as a picture: its name ends with '{Path(name).suffix}', not "
        "with .svg, .pdf or .png\n  hint: name a file such as season.pdf with -o\n"
    )

    assert loaded(["timeline", "-o", name, *ON]) == (3, "", said)
    assert sorted(isolated.iterdir()) == before


def test_timeline_cannot_write_is_6(loaded: Run, isolated: Path) -> None:
    (isolated / "taken").write_text("mine")
    code, out, err = loaded(["timeline", "-o", "taken/season.pdf", *ON])

    assert (code, out) == (6, "")
    assert "cannot be written" in err
    assert (isolated / "taken").read_text() == "mine"


def test_timeline_unknown_packet_is_4(loaded: Run) -> None:
    code, out, err = loaded(["timeline", "--chance", "faa.exemptoin", "-o", "c.svg", *ON])

    assert (code, out) == (4, "")
    assert err.startswith("no paper is called 'faa.exemptoin'\n")


def test_timeline_replaces_a_picture_of_another_day(loaded: Run, isolated: Path) -> None:
    loaded(["timeline", "-o", "season.svg", *ON])
    before = (isolated / "season.svg").read_bytes()
    loaded(["timeline", "-o", "season.svg", "--on", "2027-02-11"])

    assert (isolated / "season.svg").read_bytes() != before
