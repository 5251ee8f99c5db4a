"""Records of applications as a table of comma-separated values: read, and written safely.

A cell that a spreadsheet would take for a formula is guarded by an apostrophe before it, which is
taken away again when the table is read. Source: OWASP, CSV Injection (cells that begin with
``= + - @``, a tab or a carriage return), from memory.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence

from compliance.base.problems import Problem, SourceRef
from compliance.base.reading import suggest
from compliance.base.sources import find_unkeepable, say_unkeepable
from compliance.facts.record_elements import PRODUCT_KEYS, RECORD_KEYS
from compliance.facts.record_raw import FAMILY, Cell, RawRecord, find_keys_of

HEAD = ("record", "version", "first_written", "job", "state", "aircraft", "pilot")
COLUMNS = (*HEAD, *RECORD_KEYS, *PRODUCT_KEYS, "restricted_use", "by_air", "anyway")
_EXTRA = ("id",)
STATE_TAIL = ("still missing", "first written on", "version")
_SIGNS = "=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20"
_DANGEROUS = re.compile(rf"'*[{_SIGNS}]")
_FIRST = frozenset("'=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")
_GUARDED = re.compile(rf"'+[{_SIGNS}]")
_IGNORED = frozenset({"record", "version"})
_OF_PRODUCT = frozenset({*PRODUCT_KEYS, "id", "restricted_use", "by_air"})
MOST_ROWS = 100_000


def guard_cell(text: str) -> str:
    """Put an apostrophe before a text that a spreadsheet would run.

    Example:
        >>> guard_cell("=1+1"), guard_cell("12 gal")
        ("'=1+1", '12 gal')
    """
    return f"'{text}" if _DANGEROUS.match(text) else text


def unguard_cell(text: str) -> str:
    """Take the apostrophe of :func:`guard_cell` away again."""
    return text[1:] if _GUARDED.match(text) else text


def write_table(rows: Iterable[Sequence[str]]) -> bytes:
    """Write rows as UTF-8 text with commas and CRLF, every cell guarded.

    Source: RFC 4180 for commas, quotes and line ends. A mark of the encoding stands in front,
    because spreadsheets otherwise take the text for another one.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    # Nearly all of the million cells of a long table begin with none of the signs.
    writer.writerows(
        [guard_cell(cell) if cell[:1] in _FIRST else cell for cell in row] for row in rows
    )
    return out.getvalue().encode("utf-8-sig")


def read_table(text: str, file: str) -> tuple[tuple[RawRecord, ...], tuple[Problem, ...]]:
    """Read records from a table; lines with the same ``record`` are the products of one.

    Shape: the records in the order of the table and no problems, or none and all problems. Without
    a column ``record`` every line is a record. Lines are counted as an editor shows them.
    """
    problems: list[Problem] = []
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    lines: list[tuple[int, list[str]]] = []
    begun = 1
    try:
        for row in reader:
            if any(cell.strip() for cell in row):
                lines.append((begun, row))
            begun = reader.line_num + 1
    except csv.Error as error:
        sentence = f"the line cannot be read: {error}"
        hint = 'a quote inside a cell is written twice: ""'
        return (), (_problem(file, begun, 1, "36", sentence, hint),)
    if not lines:
        return (), (_problem(file, 1, 1, "36", "the table is empty", "begin with its columns"),)
    if len(lines) > MOST_ROWS:
        sentence = f"the table has {len(lines):,} lines; at most {MOST_ROWS:,} are read"
        return (), (_problem(file, 1, 1, "36", sentence, "split it"),)
    (first, heads), *body = lines
    columns = [head.strip() for head in heads]
    problems.extend(_check_columns(columns, file, first))
    if problems:
        return (), tuple(problems)
    groups: dict[object, list[tuple[int, dict[str, Cell]]]] = {}
    for line, row in body:
        cells = _read_row(row, columns, file, line, problems)
        label = cells["record"].text if "record" in cells else ""
        groups.setdefault(label or ("line", line), []).append((line, cells))
    records = tuple(_join(group, file, problems) for group in groups.values())
    return (() if problems else records), tuple(sorted(problems))


def _problem(file: str, line: int, column: int, number: str, sentence: str, hint: str) -> Problem:
    place = SourceRef(file=file, line=line, column=column)
    return Problem(place=place, code=f"{FAMILY}{number}", sentence=sentence, hint=hint)


def _check_columns(columns: list[str], file: str, line: int) -> Iterable[Problem]:
    known = (*COLUMNS, *_EXTRA)
    if set(STATE_TAIL) <= set(columns):
        sentence = "the table was written for a state with --for; its columns are not for reading"
        hint = "write it again with mailby export --records FILE.yaml, or FILE.csv, and read that"
        yield _problem(file, line, 1, "36", sentence, hint)
        return
    for at, name in enumerate(columns, 1):
        if name not in known:
            hint = find_keys_of(name) or suggest(name, known) or f"known: {', '.join(known)}"
            sentence = f"column {at} is called {name!r}, which is not known"
            yield _problem(file, line, at, "36", sentence, hint)
        elif name in columns[: at - 1]:
            sentence = f"the column `{name}` stands twice"
            yield _problem(file, line, at, "36", sentence, "keep one of them")
    if "day" not in columns:
        hint = f"the first line names the columns, such as {', '.join(COLUMNS[3:10])}"
        yield _problem(file, line, 1, "36", "there is no column `day`", hint)


def _read_row(
    row: list[str], columns: list[str], file: str, line: int, problems: list[Problem]
) -> dict[str, Cell]:
    if len(row) != len(columns):
        sentence = f"the line has {len(row)} cells, but the table {len(columns)} columns"
        hint = "a cell with a comma in it stands in quotes"
        problems.append(_problem(file, line, 1, "36", sentence, hint))
    cells: dict[str, Cell] = {}
    for at, (name, raw) in enumerate(zip(columns, row, strict=False), 1):
        text = unguard_cell(raw).strip()
        bad = find_unkeepable(text)
        if bad is not None:
            sentence = f"`{name}` holds {say_unkeepable(bad)}"
            hint = "type the cell anew, on one line"
            problems.append(_problem(file, line, at, "22", sentence, hint))
        cells[name] = Cell(text=text, place=SourceRef(file=file, line=line, column=at))
    return cells


def _join(
    group: list[tuple[int, dict[str, Cell]]], file: str, problems: list[Problem]
) -> RawRecord:
    """Make one record of its lines; what belongs to the record must be the same on each."""
    line, first = group[0]
    own = {key: cell for key, cell in first.items() if key not in _OF_PRODUCT | _IGNORED}
    for _, cells in group[1:]:
        for key, cell in own.items():
            other = cells.get(key, cell)
            if other.text != cell.text:
                sentence = f"`{key}` is {other.text!r}, but {cell.text!r} on line {line}, which "
                sentence += "is of the same record"
                hint = "make both the same, or give this line another `record`"
                place = other.place
                problems.append(_problem(file, place.line, place.column, "38", sentence, hint))
    products = tuple(
        {key: cell for key, cell in cells.items() if key in _OF_PRODUCT and cell.text}
        for _, cells in group
    )
    return RawRecord(
        what=f"the record on line {line}",
        place=SourceRef(file=file, line=line),
        cells=own,
        products=tuple(cells for cells in products if cells),
        from_table=True,
    )
