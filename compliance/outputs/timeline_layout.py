"""The season laid out in points on US Letter: as large as one page allows, else on several."""

from collections.abc import Iterator
from dataclasses import dataclass

from compliance.base.dates import say_date
from compliance.outputs.timeline_axis import Axis, make_axis_head, make_background
from compliance.outputs.timeline_ink import (
    BLACK,
    GREY,
    PALE,
    Block,
    Ink,
    Page,
    Picture,
    Stroke,
    make_line,
    move_ink,
    scale_ink,
    wrap_text,
)
from compliance.outputs.timeline_labels import ROOMY, TIGHT
from compliance.outputs.timeline_lines import draw_row
from compliance.outputs.timeline_model import Season, say_season

LONG_SIDE, SHORT_SIDE = 792.0, 612.0
MARGIN = 26.0
MOST_ROWS = 60
"""More rows than this are never put on one page."""
_SMALLEST = 1.4
"""A page is made smaller by this factor at most: words of 7 points are then 5, and no smaller."""
_STEPS = 8
MANY_PAGES = 1.2
_TITLE, _UNDER, _FOOT = 15.0, 8.5, 7.0
_MOST_AIR = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cut:
    """One way to lay a season out: the sheet before it is made smaller by ``factor``."""

    width: float
    height: float
    factor: float
    near: tuple[int, ...]

    @property
    def label_width(self) -> float:
        if self.near is TIGHT:
            return self.width * 0.34
        return self.width * (0.25 if self.width > self.height else 0.29)

    @property
    def room(self) -> float:
        return self.width - 2 * MARGIN


def lay_out_season(season: Season, *, paged: bool) -> Picture:
    """Lay a season out on one page, or on several when it would become too small to read.

    Unless *paged* what does not fit on a page becomes one tall sheet. Equal input gives equal ink.
    """
    pages = _on_one_page(season) if season.row_count <= MOST_ROWS else None
    if pages is None:
        pages = _on_many_pages(season) if paged else _on_a_tall_sheet(season)
    return Picture(title=season.title, description=say_season(season), pages=pages)


def _on_one_page(season: Season) -> tuple[Page, ...] | None:
    """Choose the way that costs least: large letters, a wide page, words off the line."""
    tries = []
    for is_tall in (False, True):
        for near in (ROOMY, TIGHT):
            # What does not fit in the smallest letters fits in none.
            if _fit(season, _cut_for(_SMALLEST, near, is_tall=is_tall)) is None:
                continue
            for step in range(_STEPS + 1):
                factor = 1.0 + (_SMALLEST - 1.0) * step / _STEPS
                cost = factor + 0.12 * is_tall + 0.1 * (near is TIGHT)
                tries.append((cost, _cut_for(factor, near, is_tall=is_tall)))
    for _, cut in sorted(tries, key=lambda one: one[0]):
        page = _fit(season, cut)
        if page is not None:
            return (page,)
    return None


def _cut_for(factor: float, near: tuple[int, ...], *, is_tall: bool) -> _Cut:
    width, height = (SHORT_SIDE, LONG_SIDE) if is_tall else (LONG_SIDE, SHORT_SIDE)
    return _Cut(width=width * factor, height=height * factor, factor=factor, near=near)


def _fit(season: Season, cut: _Cut) -> Page | None:
    """Make the page of a cut, room to spare shared out over the rows; None when it is too full."""
    head, foot = _make_head(season, cut, ""), _make_foot(season, cut, "")
    used = head.height + make_axis_head(_axis(season, cut), season.as_of).height + foot.height
    free = cut.height - 2 * MARGIN - used
    blocks = []
    for block in _make_blocks(season, cut):
        blocks.append(block)
        free -= block.height
        if free < 0:
            return None
    air = min(free / max(len(blocks), 1), _MOST_AIR)
    return _make_page(season, cut, (head, blocks, foot), air)


def _on_a_tall_sheet(season: Season) -> tuple[Page, ...]:
    width = LONG_SIDE
    cut = _Cut(width=width, height=width + 1, factor=1.0, near=ROOMY)
    head, foot = _make_head(season, cut, ""), _make_foot(season, cut, "")
    blocks = list(_make_blocks(season, cut))
    used = head.height + make_axis_head(_axis(season, cut), season.as_of).height + foot.height
    height = used + sum(block.height for block in blocks) + 2 * MARGIN
    cut = _Cut(width=width, height=max(height, width + 1), factor=1.0, near=ROOMY)
    return (_make_page(season, cut, (head, blocks, foot), 0.0),)


def _on_many_pages(season: Season) -> tuple[Page, ...]:
    cut = _Cut(
        width=SHORT_SIDE * MANY_PAGES,
        height=LONG_SIDE * MANY_PAGES,
        factor=MANY_PAGES,
        near=TIGHT,
    )
    said = f"{season.row_count} lines do not fit on one page. This is page {{}} of {{}}."
    foot = _make_foot(season, cut, "")
    used = _make_head(season, cut, said).height + foot.height
    room = cut.height - 2 * MARGIN - used - make_axis_head(_axis(season, cut), season.as_of).height
    sheets = _split(list(_make_blocks(season, cut)), room)
    pages = []
    for number, blocks in enumerate(sheets, 1):
        head = _make_head(season, cut, said.format(number, len(sheets)))
        pages.append(_make_page(season, cut, (head, blocks, foot), 0.0))
    return tuple(pages)


def _split(blocks: list[Block], room: float) -> list[list[Block]]:
    """Share blocks out over pages; a heading goes with its first row and is repeated."""
    sheets: list[list[Block]] = [[]]
    used = 0.0
    heading: Block | None = None
    for at, block in enumerate(blocks):
        heading = block if block.again is not None else heading
        after = blocks[at + 1].height if block.again is not None and at + 1 < len(blocks) else 0.0
        if sheets[-1] and used + block.height + after > room:
            sheets.append([])
            used = 0.0
            if heading is not None and heading is not block and heading.again is not None:
                again = Block(height=heading.height, ink=heading.again)
                sheets[-1].append(again)
                used = again.height
        sheets[-1].append(block)
        used += block.height
    return sheets


def _axis(season: Season, cut: _Cut) -> Axis:
    return Axis(
        first=season.first,
        last=season.last,
        left=MARGIN + cut.label_width,
        right=cut.width - MARGIN,
    )


def _make_blocks(season: Season, cut: _Cut) -> Iterator[Block]:
    """Make headings and rows, each drawn from its own upper edge."""
    axis = _axis(season, cut)
    for group in season.groups:
        yield _make_heading(group.title, cut)
        for row in group.rows:
            yield draw_row(row, axis, (MARGIN, cut.label_width - 10), cut.near)


def _make_heading(title: str, cut: _Cut) -> Block:
    above = 3.0 if cut.near is TIGHT else 0.0
    ink = move_ink(_heading_ink(title, cut), 0.0, -above)
    lines = sum(1 for one in ink if not isinstance(one, Stroke))
    return Block(
        height=8.0 - above + 11.0 * lines, ink=ink, again=_heading_ink(f"{title} (continued)", cut)
    )


def _heading_ink(title: str, cut: _Cut) -> tuple[Ink, ...]:
    lines = wrap_text(title, 8.6, cut.room, bold=True)
    texts = [
        make_line(MARGIN, 14.0 + 11.0 * number, line, 8.6, bold=True, paper=True)
        for number, line in enumerate(lines)
    ]
    under = 17.0 + 11.0 * (len(lines) - 1)
    rule = Stroke(x1=MARGIN, y1=under, x2=cut.width - MARGIN, y2=under, width=0.6, color=GREY)
    return (rule, *texts)


def _make_head(season: Season, cut: _Cut, said: str) -> Block:
    ink: list[Ink] = []
    y = 0.0
    for line in wrap_text(season.title, _TITLE, cut.room, bold=True):
        y += _TITLE * 1.15
        ink.append(make_line(MARGIN, y, line, _TITLE, bold=True))
    y += 3.0
    for text in (*season.under, *([said] if said else [])):
        for line in wrap_text(text, _UNDER, cut.room):
            y += _UNDER * 1.3
            ink.append(make_line(MARGIN, y, line, _UNDER))
    return Block(height=y + 8.0, ink=tuple(ink))


def _make_foot(season: Season, cut: _Cut, said: str) -> Block:
    y = 6.0
    ink: list[Ink] = [Stroke(x1=MARGIN, y1=y, x2=cut.width - MARGIN, y2=y, width=0.6, color=BLACK)]
    y += 2.0
    text = " ".join([f"As of {say_date(season.as_of)}.", *season.notices, said]).strip()
    for line in wrap_text(text, _FOOT, cut.room):
        y += _FOOT * 1.3
        ink.append(make_line(MARGIN, y, line, _FOOT))
    return Block(height=y + 3.0, ink=tuple(ink))


def _make_page(
    season: Season, cut: _Cut, parts: tuple[Block, list[Block], Block], air: float
) -> Page:
    """Put head, months, rows and foot on a sheet, the foot at its lower edge."""
    head, blocks, foot = parts
    front = list(move_ink(head.ink, 0.0, MARGIN))
    front += move_ink(foot.ink, 0.0, cut.height - MARGIN - foot.height)
    if blocks:
        front = [*_draw_rows(season, cut, blocks, (MARGIN + head.height, air)), *front]
    ink = scale_ink(tuple(front), 1 / cut.factor)
    return Page(width=cut.width / cut.factor, height=cut.height / cut.factor, ink=ink)


def _draw_rows(
    season: Season, cut: _Cut, blocks: list[Block], place: tuple[float, float]
) -> tuple[Ink, ...]:
    """Draw the months and the rows below them; *place* is their upper edge and the air of a row."""
    y, air = place
    axis = _axis(season, cut)
    months = make_axis_head(axis, season.as_of)
    front = list(move_ink(months.ink, 0.0, y))
    y += months.height
    top = y
    for block in blocks:
        front += move_ink(block.ink, 0.0, y + air / 2)
        y += block.height + air
    back = make_background(axis, season.as_of, season.begins, top, y + 2.0)
    bottom = Stroke(x1=axis.left, y1=y + 2, x2=axis.right, y2=y + 2, width=0.6, color=PALE)
    return (*back, bottom, *front)
