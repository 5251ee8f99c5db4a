"""The pictures of a season: plan to values, values to ink, ink to a file."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from sqlmodel import Session

from compliance.app.planning import Planned, find_paper, make_plan
from compliance.app.resources import write_file
from compliance.app.trips import make_trips
from compliance.base.dates import say_date
from compliance.base.problems import RefusedError
from compliance.outputs.pdf_kit import check_glyphs
from compliance.outputs.timeline_chance import compute_chance_view, lay_out_chance
from compliance.outputs.timeline_ink import Picture
from compliance.outputs.timeline_layout import lay_out_season
from compliance.outputs.timeline_pdf import render_timeline_pdf
from compliance.outputs.timeline_png import TALLEST, render_timeline_png
from compliance.outputs.timeline_season import compute_season
from compliance.outputs.timeline_svg import render_timeline_svg

_WRITERS: dict[str, Callable[[Picture], bytes]] = {
    ".svg": render_timeline_svg,
    ".pdf": render_timeline_pdf,
    ".png": render_timeline_png,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TimelineWritten:
    """A picture that was written; ``rows`` counts the lines of a season, 0 for a curve."""

    path: Path
    pages: int
    rows: int


def write_timeline(
    session: Session, wanted: str | None, as_of: date, path: Path, *, chance_of: str = ""
) -> TimelineWritten:
    """Write the season as a picture, or with *chance_of* the curve of one packet.

    The ending of the file's name says how: .svg, .pdf or .png. A file with the same bytes is left
    alone, another is replaced; it is written whole or not at all.

    Raises:
        RefusedError: The ending is another, a name holds a character the font lacks, the picture is
            too tall for a .png, or the packet has no curve.
        NotFoundError: No such operation or packet.
        OutputError: The file cannot be written.
    """
    render = _WRITERS.get(path.suffix.lower())
    if render is None:
        raise RefusedError(
            f"{path} cannot be written as a picture: its name ends with "
            f"{path.suffix or 'nothing'!r}, not with .svg, .pdf or .png",
            hint="name a file such as season.pdf with -o",
        )
    planned = make_plan(session, wanted, as_of, with_chances=True)
    if chance_of:
        picture, rows = _draw_chance(planned, chance_of), 0
    else:
        picture, rows = _draw_season(planned, is_pdf=path.suffix.lower() == ".pdf")
    _check_characters(picture)
    if path.suffix.lower() == ".png" and picture.pages[0].height > TALLEST:
        raise RefusedError(
            f"{rows} lines are too many for one .png picture",
            hint="write a .pdf, which goes on over several pages, or an .svg",
        )
    return TimelineWritten(
        path=write_file(path, render(picture)), pages=len(picture.pages), rows=rows
    )


def _draw_season(planned: Planned, *, is_pdf: bool) -> tuple[Picture, int]:
    trips, remarks = find_trip_days(planned)
    season = compute_season(planned.plan, trips=trips, remarks=remarks)
    return lay_out_season(season, paged=is_pdf), season.row_count


def find_trip_days(planned: Planned) -> tuple[tuple[date, ...], tuple[str, ...]]:
    """Find the days of the fewest drives to town; what has no day is a remark, no refusal."""
    try:
        found = make_trips(planned, compare=False)
    except RefusedError as error:
        return (), (f"! Trips to town are not shown: {error.message}",)
    return tuple(trip.on for trip in found.trips), ()


def _draw_chance(planned: Planned, name: str) -> Picture:
    paper = find_paper(planned.plan, name)
    if not paper.packet.planned:
        raise RefusedError(
            f"{paper.id} is in hand; there is no day to choose",
            hint="its renewal is planned when a job runs past its last day",
        )
    if paper.mailed_on is not None:
        raise RefusedError(
            f"{paper.id} was sent off on {say_date(paper.mailed_on)}; there is no day to choose",
            hint="mailby timeline shows when the answer may come",
        )
    view = compute_chance_view(planned.plan, paper)
    if view is None:
        raise RefusedError(
            f"there is no day to come on which {paper.id} can be sent off in time",
            hint="mailby plan says what makes it late",
        )
    return lay_out_chance(view)


def _check_characters(picture: Picture) -> None:
    """Refuse a picture with letters that would be drawn as empty boxes."""
    for line in picture.description.splitlines():
        missing = check_glyphs(line)
        if missing:
            raise RefusedError(
                f"{line!r} holds {', '.join(missing)}, which the picture's font does not have",
                hint="write it in Latin, Greek or Cyrillic letters, as the agency has it",
            )
