"""Pictures as files: whole or not at all, the ending decides, and what cannot be drawn is said."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader
from sqlmodel import Session

from compliance.app.demo import DEMO_DAY
from compliance.app.planning import make_plan
from compliance.app.timeline_file import find_trip_days, write_timeline
from compliance.app.trips import make_trips
from compliance.base.problems import NotFoundError, OutputError, RefusedError
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.outputs.timeline_model import Weight
from compliance.outputs.timeline_season import compute_season
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session

NAMESPACE = "5b0c1a52-5a0e-4d0e-9d0a-0a6a1f3c7e11"
WREN = "ne.commercial-applicator:wren"


def keep(session: Session, operation: Operation) -> None:
    save_operation(session, operation, namespace=NAMESPACE)


@pytest.fixture
def session(demo_operation: Operation, demo_log: tuple[LogEntry, ...]) -> Iterator[Session]:
    with open_session(":memory:") as opened:
        keep(opened, demo_operation)
        append_log(opened, demo_operation.id, demo_log)
        yield opened


@pytest.mark.parametrize("name", ["season.svg", "season.pdf", "season.png", "SEASON.PDF"])
def test_the_ending_says_how(session: Session, tmp_path: Path, name: str) -> None:
    """Each ending gives a file of its kind, the same when it is written again."""
    written = write_timeline(session, None, DEMO_DAY, tmp_path / name)
    data = written.path.read_bytes()
    starts = {".svg": b"<?xml", ".pdf": b"%PDF-", ".png": b"\x89PNG"}
    again = write_timeline(session, None, DEMO_DAY, tmp_path / name)

    assert (written.pages, written.rows) == (1, 20)
    assert data.startswith(starts[written.path.suffix.lower()])
    assert again.path.read_bytes() == data


def test_the_season_shows_drives_and_odds(session: Session, tmp_path: Path) -> None:
    """What the trips and the chances know is in the picture."""
    path = write_timeline(session, None, DEMO_DAY, tmp_path / "season.pdf").path
    said = " ".join(PdfReader(path).pages[0].extract_text().split())

    assert "Trips to town" in said
    assert "It counts packets that come back; a day at usual pace does not." in said
    assert "in hand: even odds" in said


@pytest.mark.parametrize(("name", "end"), [("a.jpg", "'.jpg'"), ("a", "'nothing'")])
def test_another_ending_is_refused(session: Session, tmp_path: Path, name: str, end: str) -> None:
    """One sentence, and no file."""
    with pytest.raises(RefusedError) as caught:
        write_timeline(session, None, DEMO_DAY, tmp_path / name)

    assert caught.value.message == (
        f"{tmp_path / name} cannot be written as a picture: its name ends with {end}, not with "
        ".svg, .pdf or .png"
    )
    assert caught.value.hint == "name a file such as season.pdf with -o"
    assert list(tmp_path.iterdir()) == []


def test_a_folder_in_the_way_changes_nothing(session: Session, tmp_path: Path) -> None:
    """A file that cannot be written is an output error."""
    (tmp_path / "season.pdf").mkdir()
    with pytest.raises(OutputError):
        write_timeline(session, None, DEMO_DAY, tmp_path / "season.pdf")

    assert [one.name for one in tmp_path.iterdir()] == ["season.pdf"]


def test_letters_the_font_lacks_are_refused(
    session: Session, demo_operation: Operation, tmp_path: Path
) -> None:
    """A name that would be drawn as boxes is no picture."""
    keep(session, replace(demo_operation, legal_name="Sandbur 麦"))
    with pytest.raises(RefusedError, match="holds 麦, which the picture's font does not have"):
        write_timeline(session, None, DEMO_DAY, tmp_path / "season.svg")

    assert list(tmp_path.iterdir()) == []


def test_trips_that_cannot_be_planned_are_a_remark(
    session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The season is drawn all the same, and says that the drives are missing."""

    def refuse(*_: object, **__: object) -> None:
        raise RefusedError("no trip is left for sign")

    monkeypatch.setattr("compliance.app.timeline_file.make_trips", refuse)
    written = write_timeline(session, None, DEMO_DAY, tmp_path / "season.pdf")
    said = " ".join(PdfReader(written.path).pages[0].extract_text().split())

    assert written.rows == 19
    assert "! Trips to town are not shown: no trip is left for sign" in said


def test_a_picture_that_is_too_tall_for_a_png_is_refused(
    session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The bound is set below a page here, because 240 packets take a minute to plan."""
    monkeypatch.setattr("compliance.app.timeline_file.TALLEST", 600.0)
    with pytest.raises(RefusedError) as caught:
        write_timeline(session, None, DEMO_DAY, tmp_path / "season.png")

    assert caught.value.message == "20 lines are too many for one .png picture"
    assert caught.value.hint == "write a .pdf, which goes on over several pages, or an .svg"
    assert list(tmp_path.iterdir()) == []


def test_the_curve_of_a_packet(session: Session, tmp_path: Path) -> None:
    """One page with the marks in words."""
    written = write_timeline(session, None, DEMO_DAY, tmp_path / "c.pdf", chance_of=WREN)
    said = " ".join(PdfReader(written.path).pages[0].extract_text().split())

    assert (written.pages, written.rows) == (1, 0)
    assert "When to mail: Nebraska commercial applicator license" in said
    assert "last day to mail: Wed 21 Apr 2027" in said


def test_the_curve_as_png_is_a_page(session: Session, tmp_path: Path) -> None:
    """US Letter at two pixels a point."""
    written = write_timeline(session, None, DEMO_DAY, tmp_path / "c.png", chance_of=WREN)

    with Image.open(written.path) as image:
        assert image.size == (1584, 1224)


@pytest.mark.parametrize(
    ("packet", "message"),
    [
        (
            "faa.remote-pilot:wren",
            "faa.remote-pilot:wren is in hand; there is no day to choose",
        ),
        (
            "faa.exemption",
            "faa.exemption was sent off on Mon 14 Sep 2026; there is no day to choose",
        ),
    ],
)
def test_no_curve_for_what_needs_none(
    session: Session, tmp_path: Path, packet: str, message: str
) -> None:
    """In hand or sent off: a sentence, and no file."""
    with pytest.raises(RefusedError) as caught:
        write_timeline(session, None, DEMO_DAY, tmp_path / "c.svg", chance_of=packet)

    assert caught.value.message == message
    assert list(tmp_path.iterdir()) == []


def test_no_curve_for_an_unknown_packet(session: Session, tmp_path: Path) -> None:
    """A wrong name says which would do."""
    with pytest.raises(NotFoundError):
        write_timeline(session, None, DEMO_DAY, tmp_path / "c.svg", chance_of="nonsense")


def test_a_season_without_jobs_is_a_picture_too(
    session: Session, demo_operation: Operation, tmp_path: Path
) -> None:
    """Nothing to do is said on a page."""
    keep(session, replace(demo_operation, jobs=()))
    written = write_timeline(session, None, DEMO_DAY, tmp_path / "season.pdf")

    assert written.rows == 0
    assert "no job is planned" in PdfReader(written.path).pages[0].extract_text()


def test_an_overdue_paper_has_odds_and_no_ready_day(session: Session, tmp_path: Path) -> None:
    """The exemption would have come by 6 February: on the 12th nobody knows its day."""
    out = tmp_path / "season.svg"

    write_timeline(session, None, date(2027, 2, 12), out)

    lines = out.read_text(encoding="utf-8").splitlines()
    (row,) = (one for one in lines if one.startswith("Exemption for spraying with unmanned air"))
    assert "OVERDUE since Sat 6 Feb 2027" in row
    assert "even odds" in row
    assert "ready" not in row


def test_a_drive_for_what_waits_for_an_overdue_paper_is_not_drawn(session: Session) -> None:
    """The business license has no day from 12 February on; on the 1st it was mailed on 30 March."""
    before = make_plan(session, None, date(2027, 2, 1))
    planned = make_plan(session, None, date(2027, 2, 12))
    trips = make_trips(planned)

    assert [act.step.id for act in trips.waiting] == ["ne.aerial-business/mail"]
    assert find_trip_days(planned) == (tuple(trip.on for trip in trips.trips), ())
    assert max(find_trip_days(planned)[0]) < max(find_trip_days(before)[0])


def draw(session: Session, folder: Path, day: date) -> dict[str, str]:
    """Draw the season of a day; the line of words of each row, by its first word or title."""
    out = folder / "season.svg"
    write_timeline(session, None, day, out)
    lines = out.read_text(encoding="utf-8").splitlines()
    found: dict[str, str] = {}
    for line in lines:
        found.setdefault(line.partition(";")[0], line)
    return found


def test_what_waits_for_an_overdue_paper_has_no_ready_day_and_none_to_spare(
    session: Session, tmp_path: Path
) -> None:
    """On 10 February three packets wait for the exemption; the drivers' licenses wait for none."""
    rows = draw(session, tmp_path, date(2027, 2, 10))

    for title in (
        "Agricultural aircraft operator certificate (Part 137)",
        "Nebraska aerial pesticide business license",
        "Blanket airspace authorization (COA)",
    ):
        assert "its day is known once the overdue paper is here" in rows[title]
        assert "ready" not in rows[title]
    assert "ready at usual pace" in rows["South Dakota commercial applicator license"]
    for job in ("pasture-ne", "pasture-sd", "own-quarter", "cover-crop"):
        assert "in time ONLY IF the overdue paper comes in time" in rows[job]
    planned = make_plan(session, None, date(2027, 2, 10), with_chances=True)
    season = compute_season(planned.plan)
    rooms = {
        row.key
        for group in season.groups
        for row in group.rows
        if any(one.weight in {Weight.ROOM, Weight.AHEAD} for one in row.stretches)
    }
    assert "sd.commercial-applicator:odile" in rooms
    assert not rooms & {"faa.ag-operator", "ne.aerial-business", "faa.airspace-authorization"}


def test_late_jobs_and_packets_say_what_they_hang_on(session: Session, tmp_path: Path) -> None:
    """On Saturday 22 May the day to ask, 10 March, is past: offices open again on Monday."""
    rows = draw(session, tmp_path, date(2027, 5, 22))

    assert (
        "LATE by 78 days; and that ONLY if the overdue paper came today; first spray Mon 24 May; "
        "not lawful before Tue 10 Aug"
    ) in rows["pasture-ne"]
    assert (
        "78 days TOO LATE, even if the overdue paper came today;"
        in rows["Nebraska aerial pesticide business license"]
    )
    asked = rows["Exemption for spraying with unmanned aircraft"]
    assert "ask the office Mon 24 May" in asked
    assert "the day to ask was Wed 10 Mar 2027" in asked
    assert "ask the office Wed 10 Mar" not in asked


def test_curve_of_what_waits_for_an_overdue_paper_says_so(session: Session, tmp_path: Path) -> None:
    out = tmp_path / "curve.svg"

    write_timeline(session, None, date(2027, 2, 10), out, chance_of="ne.aerial-business")

    assert "as early as you can, if the overdue paper came today" in out.read_text(encoding="utf-8")
