"""A file of office times (CSV) to counted packets, or problems."""

import csv
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from itertools import pairwise
from typing import NamedTuple

from compliance.base.dates import parse_iso_date, say_date
from compliance.base.problems import Problem, SourceRef
from compliance.base.reading import suggest
from compliance.engine.turnaround import Outcome

FAMILY = "O"
MAX_ROWS = 1_000_000
MAX_DAYS = 3_660  # ten years; a wait longer than that is a slip of the pen
MOST_PROBLEMS = 1_000
COLUMNS = ("office", "step", "sent", "reached", "decided", "outcome")
_NEEDED = ("sent", "outcome")
_FORMULA = ("=", "+", "-", "@", "\t")
_ISO = "write it as 2027-05-24"


class Packets(NamedTuple):
    """Packets that are the same in all but their number."""

    step: str
    sent_on: date
    reached_on: date | None
    decided_on: date | None
    outcome: Outcome


def parse_office_file(
    text: str, file: str, offices: Mapping[str, str], today: date
) -> tuple[Counter[Packets], tuple[Problem, ...]]:
    """Read a CSV file of packets at offices; *offices* maps step row ids to office ids.

    Columns: ``step`` (a row id such as faa.registration-n.review) or ``office`` (when it has one
    kind of packet only), ``sent``, ``decided`` (empty while pending), ``outcome`` (granted,
    returned or pending), and optionally ``reached``, the day the office had it.

    Shape: the packets, each with how many there are, and no problems; or no packets and the
    problems, sorted by place (at most 1,000, with a last one that says so). Codes O01 to O19.
    """
    reader = _FileReader(file, offices, today)
    found = reader.read(text)
    if reader.problems:
        return Counter(), tuple(sorted(reader.problems))
    return found, ()


@dataclass(slots=True)
class _FileReader:
    file: str
    offices: Mapping[str, str]
    today: date
    problems: list[Problem] = field(default_factory=list)
    line: int = 1
    _days: dict[str, date | None] = field(default_factory=dict)
    _steps: dict[tuple[str, str], str] = field(default_factory=dict)

    def read(self, text: str) -> Counter[Packets]:
        found: Counter[Packets] = Counter()
        lines = csv.reader(text.splitlines(keepends=True), strict=True)
        header = None
        rows = 0
        for cells in self._lines(lines):
            if not any(cell.strip() for cell in cells):
                continue
            if header is None:
                header = self._header([cell.strip().lower() for cell in cells])
                if header is None:
                    return found
                continue
            rows += 1
            if rows > MAX_ROWS:
                self._note("18", f"the file has over {MAX_ROWS:,} packets", "split the file")
                return found
            packet = self._row(header, cells)
            if packet is not None:
                found[packet] += 1
            if len(self.problems) >= MOST_PROBLEMS:
                self._note("19", f"{MOST_PROBLEMS:,} problems so far; the rest was not read")
                return found
        if header is None or not rows:
            self._note("03", "the file has no packets", f"first line: {','.join(COLUMNS)}")
        return found

    def _lines(self, lines: Iterator[list[str]]) -> Iterator[list[str]]:
        """Give the rows with ``line`` at the line each begins on."""
        before = 0
        while True:
            self.line = before + 1
            try:
                cells = next(lines)
            except StopIteration:
                return
            except csv.Error as error:
                self._note("01", f"the line is no CSV: {error}", "save the file again as CSV")
                return
            before = lines.line_num  # type: ignore[attr-defined] # the reader of the csv module
            yield cells

    def _note(self, number: str, sentence: str, hint: str = "") -> None:
        place = SourceRef(file=self.file, line=self.line)
        code = f"{FAMILY}{number}"
        self.problems.append(Problem(place=place, code=code, sentence=sentence, hint=hint))

    def _header(self, names: list[str]) -> list[str] | None:
        before = len(self.problems)
        if len(names) == 1 and set(names[0].split(";")) & set(COLUMNS) and ";" in names[0]:
            hint = "save the file again as CSV with commas"
            self._note("01", "the values are parted by semicolons, not by commas", hint)
            return None
        for name in dict.fromkeys(names):
            if name not in COLUMNS:
                hint = suggest(name, COLUMNS) or f"known here: {', '.join(COLUMNS)}"
                self._note("02", f"the file has an unknown column {name!r}", hint)
            elif names.count(name) > 1:
                self._note("17", f"the column `{name}` stands twice", "keep one of them")
        for name in _NEEDED:
            if name not in names:
                self._note(
                    "03", f"the column `{name}` is missing", f"first line: {','.join(COLUMNS)}"
                )
        if not {"office", "step"} & set(names):
            hint = "add a column `step`, such as faa.registration-n.review"
            self._note("03", "the columns `step` and `office` are both missing", hint)
        return names if len(self.problems) == before else None

    def _row(self, header: list[str], cells: list[str]) -> Packets | None:
        before = len(self.problems)
        if len(cells) != len(header):
            hint = "one value for each column; put a text with a comma in quotes"
            self._note("16", f"{len(cells)} values for {len(header)} columns", hint)
            return None
        values = {name: cell.strip() for name, cell in zip(header, cells, strict=True)}
        for name, value in values.items():
            if _is_number(value):
                hint = f"no column of this file takes a number; a day: {_ISO}"
                self._note("15", f"`{name}` is {value[:40]!r}, a number with a sign", hint)
            elif value.startswith(_FORMULA):
                hint = "write plain text; a value that begins so may be run by a spreadsheet"
                self._note("15", f"`{name}` is {value[:40]!r}, which looks like a formula", hint)
        if len(self.problems) > before:
            return None
        step = self._step(values.get("step", ""), values.get("office", ""))
        outcome = self._outcome(values["outcome"])
        sent = self._day("sent", values["sent"], is_needed=True)
        reached = self._day("reached", values.get("reached", ""), is_needed=False)
        decided = self._day("decided", values.get("decided", ""), is_needed=False)
        if len(self.problems) > before or sent is None or outcome is None:
            return None
        self._check_order(sent, reached, decided)
        self._check_outcome(outcome, sent, decided)
        if len(self.problems) > before:
            return None
        return Packets(step, sent, reached, decided, outcome)

    def _step(self, step: str, office: str) -> str:
        key = (step, office)
        known = self._steps.get(key)
        if known is None:
            known = self._find_step(step, office)
            if known:
                self._steps[key] = known
        return known

    def _find_step(self, step: str, office: str) -> str:
        if not step and not office:
            self._note("03", "the line names neither a step nor an office", "mailby offices --all")
            return ""
        kinds = [name for name, owner in self.offices.items() if owner == office]
        if office and not kinds:
            hint = suggest(office, self.offices.values()) or "mailby offices --all names them"
            self._note("13", f"no office is called {office[:60]!r}", hint)
            return ""
        if step and step not in self.offices:
            hint = suggest(step, self.offices) or "mailby offices --all names them"
            self._note("13", f"no step at an office is called {step[:60]!r}", hint)
            return ""
        if step and kinds and step not in kinds:
            hint = f"it is at {self.offices[step]}; leave `office` empty or correct one of them"
            self._note("13", f"the step {step} is not at the office {office}", hint)
            return ""
        if not step and len(kinds) > 1:
            hint = f"name one in a column `step`: {', '.join(kinds)}"
            self._note("14", f"the office {office} has {len(kinds)} kinds of packets", hint)
            return ""
        return step or kinds[0]

    def _outcome(self, word: str) -> Outcome | None:
        try:
            return Outcome(word.lower())
        except ValueError:
            allowed = ", ".join(Outcome)
            hint = suggest(word.lower(), tuple(Outcome))
            self._note("05", f"`outcome` is {word[:40]!r}; allowed: {allowed}", hint)
            return None

    def _day(self, name: str, text: str, *, is_needed: bool) -> date | None:
        if not text:
            if is_needed:
                self._note("06", f"`{name}` is empty", _ISO)
            return None
        if text not in self._days:
            self._days[text] = parse_iso_date(text)
        day = self._days[text]
        if day is None:
            self._note("06", f"`{name}` is {text[:40]!r}, which is no day", _ISO)
        elif day > self.today:
            hint = "write what has happened; leave `decided` empty while it is pending"
            self._note("12", f"`{name}` is {say_date(day)}, which is in the future", hint)
        return day

    def _check_order(self, sent: date, reached: date | None, decided: date | None) -> None:
        days = [("sent", sent), ("reached", reached), ("decided", decided)]
        given = [(name, day) for name, day in days if day is not None]
        for (first, early), (then, late) in pairwise(given):
            if late < early:
                sentence = f"`{then}` is {say_date(late)}, before `{first}` on {say_date(early)}"
                self._note("11", sentence, "swap the two days, or correct the year")

    def _check_outcome(self, outcome: Outcome, sent: date, decided: date | None) -> None:
        if outcome is Outcome.PENDING and decided is not None:
            hint = "write granted or returned, or leave `decided` empty"
            self._note("10", "it is pending and has a day of decision", hint)
        elif outcome is not Outcome.PENDING and decided is None:
            hint = "add the day in `decided`, or write pending"
            self._note("10", f"it is {outcome} without a day of decision", hint)
        end = decided or self.today
        if (end - sent).days > MAX_DAYS:
            sentence = f"sent on {say_date(sent)} and not decided within {MAX_DAYS:,} days"
            self._note("07", sentence, "correct the year, or leave the line out")


def _is_number(value: str) -> bool:
    """Tell whether a value is a number that begins with a sign."""
    digits = value[1:].strip()
    return value[:1] in {"+", "-"} and digits.replace(".", "", 1).isdecimal()
