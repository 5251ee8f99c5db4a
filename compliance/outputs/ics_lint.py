"""Faults in a calendar file that phones stumble over, found before the file leaves the house."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime

_MAX_OCTETS = 75
_MAX_SEQUENCE = 2**31 - 1
_DATE_LENGTH = 8
_PARAMETER = r'[A-Za-z0-9-]+=(?:"[^"]*"|[^";:,]*)(?:,(?:"[^"]*"|[^";:,]*))*'
_LINE = re.compile(rf"([A-Za-z0-9-]+)((?:;{_PARAMETER})*):(.*)", re.DOTALL)
_UID = re.compile(r"[A-Za-z0-9-]{1,254}")
_TEXT = re.compile(r"(?:[^\\;,]|\\[\\;,nN])*", re.DOTALL)
_WHEN = re.compile(r"[0-9]{8}(?:T[0-9]{6}Z?)?")
_TIME = r"T(?:\d+H(?:\d+M(?:\d+S)?)?|\d+M(?:\d+S)?|\d+S)"
_DURATION = re.compile(rf"[+-]?P(?:\d+W|\d+D(?:{_TIME})?|{_TIME})", re.ASCII)
_STATUSES = ("TENTATIVE", "CONFIRMED", "CANCELLED")
_DAYS = ("DTSTART", "DTEND")
_STAMPS = ("DTSTAMP", "CREATED", "LAST-MODIFIED")
_TEXTS = ("SUMMARY", "DESCRIPTION", "LOCATION", "COMMENT", "CONTACT")
_NAMES = ("NAME", "X-WR-CALNAME")
_PARENTS = {
    "VCALENDAR": "",
    "VEVENT": "VCALENDAR",
    "VALARM": "VEVENT",
    "VTIMEZONE": "VCALENDAR",
    "STANDARD": "VTIMEZONE",
    "DAYLIGHT": "VTIMEZONE",
}
_CLOCKS = ("STANDARD", "DAYLIGHT")
_NEEDED = {
    "VCALENDAR": ("PRODID", "VERSION"),
    "VEVENT": ("UID", "DTSTAMP", "DTSTART", "SUMMARY"),
    "VALARM": ("ACTION", "TRIGGER", "UID"),
    "VTIMEZONE": ("TZID",),
    **dict.fromkeys(_CLOCKS, ("DTSTART", "TZOFFSETFROM", "TZOFFSETTO")),
}
# Not faults in themselves: they invite a server to send mail, or a program to refuse the file.
_UNWANTED = ("METHOD", "ORGANIZER", "ATTENDEE", "RRULE", "RDATE", "EXDATE", "SOURCE")
_REPEATABLE = ("ATTACH", "CATEGORIES", "COMMENT", "CONTACT", "RELATED-TO", "RESOURCES")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    number: int
    name: str
    parameters: str  # upper case, each with its semicolon in front
    value: str


@dataclass(slots=True, kw_only=True)
class _Block:
    kind: str
    number: int
    lines: list[_Line] = field(default_factory=list)
    blocks: list["_Block"] = field(default_factory=list)

    def lines_named(self, name: str) -> list[_Line]:
        return [line for line in self.lines if line.name == name]

    def find(self, name: str) -> _Line | None:
        return next((line for line in self.lines if line.name == name), None)


_Found = Iterator[tuple[int, str]]


def _parse_when(value: str) -> datetime | None:
    if not _WHEN.fullmatch(value):
        return None
    try:
        return datetime.fromisoformat(value)
    except ValueError:
        return None


def _is_sequence(value: str) -> bool:
    return re.fullmatch("[0-9]{1,10}", value) is not None and int(value) <= _MAX_SEQUENCE


# Property names, what a value must be, what to say otherwise: RFC 5545 3.3.8, 3.3.11, 3.6.6,
# 3.7.4, 3.8.1.11 and 3.8.7.4; RFC 7986 5.3.
_VALUE_RULES: tuple[tuple[tuple[str, ...], Callable[[str], object], str], ...] = (
    (_UNWANTED, lambda _: False, "is not to be written"),
    (_TEXTS, _TEXT.fullmatch, "has a comma, semicolon or backslash that is not escaped"),
    (_NAMES, lambda value: not set(value) & set(",;\\"), "has a comma, semicolon or backslash"),
    (("UID",), _UID.fullmatch, "is not 1 to 254 letters, digits and hyphens"),
    (_DAYS, _parse_when, "is not a real day or moment"),
    (_STAMPS, lambda value: value.endswith("Z") and _parse_when(value), "is not a moment in UTC"),
    (("STATUS",), _STATUSES.__contains__, f"is none of {', '.join(_STATUSES)}"),
    (("SEQUENCE",), _is_sequence, f"is not a whole number from 0 to {_MAX_SEQUENCE}"),
    (("VERSION",), "2.0".__eq__, "is not 2.0"),
    (("ACTION",), "DISPLAY".__eq__, "is not DISPLAY"),
)


def check_ics(data: bytes) -> tuple[str, ...]:
    """Check a calendar file of ours for everything known to lose entries or alarms on the way.

    Shape: sentences ``line 12: what is wrong``, in the order of the file; empty when all is well.
    Stricter than the standard: also reported is what we have decided never to write (METHOD,
    repeats, weeks in an alarm, parts other than entries, alarms and clocks).

    Source: RFC 5545 3.1 to 3.8 as noted at each check, RFC 7986 5.3 and 5.7, RFC 9074 4.
    """
    found = list(_check_bytes(data))
    root = _Block(kind="", number=1)
    found += _fill_blocks(root, _unfold(data, found))
    found += _check_root(root)
    seen: set[str] = set()
    zones = {line.value.upper() for block in _walk(root) for line in block.lines_named("TZID")}
    for block in _walk(root):
        found += _check_block(block, seen)
        found += _check_zones(block, zones)
    return tuple(f"line {number}: {sentence}" for number, sentence in sorted(set(found)))


def _check_bytes(data: bytes) -> _Found:
    """Check physical lines: RFC 5545 3.1."""
    if not data.endswith(b"\r\n"):
        yield data.count(b"\n") + 1, "the file does not end with CR LF"
    for number, raw in enumerate(data.split(b"\n"), start=1):
        line = raw.removesuffix(b"\r")
        if line == raw and number <= data.count(b"\n"):
            yield number, "the line ends with LF alone, not CR LF"
        if len(line) > _MAX_OCTETS:
            yield number, f"the line has {len(line)} octets; {_MAX_OCTETS} are allowed"
        try:
            text = line.decode()
        except UnicodeDecodeError:
            yield number, "the line is not whole UTF-8 characters"
            continue
        if any((sign < " " and sign != "\t") or "\x7f" <= sign <= "\x9f" for sign in text):
            yield number, "the line has a control character"


def _unfold(data: bytes, found: list[tuple[int, str]]) -> Iterator[_Line]:
    """Join folded lines and split each into name, parameters and value: RFC 5545 3.1."""
    joined: list[tuple[int, str]] = []
    for number, raw in enumerate(data.decode(errors="replace").split("\n"), start=1):
        text = raw.removesuffix("\r")
        if text.startswith((" ", "\t")) and joined:
            joined[-1] = (joined[-1][0], joined[-1][1] + text[1:])
        else:
            joined.append((number, text))
    if joined[-1][1] == "":
        joined.pop()  # what follows the last line end
    for number, text in joined:
        match = _LINE.fullmatch(text)
        if match is None:
            found.append((number, "the line is not NAME:VALUE"))
        else:
            name, parameters, value = match.groups()
            name, parameters = name.upper(), parameters.upper()
            yield _Line(number=number, name=name, parameters=parameters, value=value)


def _fill_blocks(root: _Block, lines: Iterator[_Line]) -> _Found:
    """Sort lines into their blocks: RFC 5545 3.4 and 3.6."""
    path = [root]
    for line in lines:
        if line.name == "BEGIN":
            block = _Block(kind=line.value.upper(), number=line.number)
            if _PARENTS.get(block.kind) != path[-1].kind:
                yield line.number, f"{block.kind} does not belong here"
            path[-1].blocks.append(block)
            path.append(block)
        elif line.name == "END":
            if path[-1].kind == line.value.upper():
                path.pop()
            else:
                yield line.number, f"END:{line.value} does not close {path[-1].kind or 'anything'}"
        else:
            path[-1].lines.append(line)
    for block in path[1:]:
        yield block.number, f"{block.kind} is not closed"


def _walk(block: _Block) -> Iterator[_Block]:
    for inner in block.blocks:
        yield inner
        yield from _walk(inner)


def _check_root(root: _Block) -> _Found:
    if [block.kind for block in root.blocks] != ["VCALENDAR"]:
        yield 1, "the file is not one VCALENDAR"
    for line in root.lines:
        yield line.number, f"{line.name} stands outside the calendar"


def _check_block(block: _Block, seen: set[str]) -> _Found:
    """Check what every kind of block has in common, then its own rules."""
    names: set[str] = set()
    for line in block.lines:
        if line.name in names and line.name not in _REPEATABLE:
            yield line.number, f"{line.name} is there twice"
        names.add(line.name)
        yield from _check_line(line, seen)
    for name in _NEEDED.get(block.kind, ()):
        if name not in names:
            yield block.number, f"{block.kind} has no {name}"
    if block.kind == "VCALENDAR" and not block.blocks:
        yield block.number, "the calendar has no entry"
    elif block.kind == "VEVENT":
        yield from _check_event(block)
    elif block.kind == "VALARM":
        yield from _check_alarm(block)


def _check_line(line: _Line, seen: set[str]) -> _Found:
    """Check one property by itself: RFC 5545 3.2.19, 3.3.4 and 3.3.5; RFC 7986 5.7."""
    name, value, parameters = line.name, line.value, line.parameters.split(";")
    if not value:
        yield line.number, f"{name} is empty"
    for names, is_good, sentence in _VALUE_RULES:
        if name in names and not is_good(value):
            yield line.number, f"{name} {sentence}"
    if name == "UID":
        if value in seen:
            yield line.number, "UID is used twice"
        seen.add(value)
    if name in _DAYS and (len(value) == _DATE_LENGTH) != ("VALUE=DATE" in parameters):
        yield line.number, f"{name} is a day without VALUE=DATE, or VALUE=DATE without a day"
    if name == "REFRESH-INTERVAL" and "VALUE=DURATION" not in parameters:
        yield line.number, "REFRESH-INTERVAL has no VALUE=DURATION"


def _check_zones(block: _Block, zones: set[str]) -> _Found:
    """Check that every moment of an entry says whose clock it is on: RFC 5545 3.2.19, 3.3.5."""
    for line in block.lines:
        zone = line.parameters.partition(";TZID=")[2].partition(";")[0].strip('"')
        if zone and zone not in zones:
            yield line.number, f"{line.name} has a TZID, but no time zone is written"
        timed = line.name in _DAYS and len(line.value) > _DATE_LENGTH
        if timed and block.kind not in _CLOCKS and not zone and not line.value.endswith("Z"):
            yield line.number, f"{line.name} is a moment on nobody's clock"
    if block.kind == "VTIMEZONE" and not any(one.kind in _CLOCKS for one in block.blocks):
        yield block.number, "VTIMEZONE says nothing about its clock"


def _check_event(event: _Block) -> _Found:
    """Check one entry: RFC 5545 3.6.1, 3.8.2.2 and 3.8.7.2."""
    start, end, length = event.find("DTSTART"), event.find("DTEND"), event.find("DURATION")
    if end and length:
        yield end.number, "VEVENT has both DTEND and DURATION"
    if not end and not length:
        yield event.number, "VEVENT has neither DTEND nor DURATION"
    if start and end:
        first, last = _parse_when(start.value), _parse_when(end.value)
        if len(start.value) != len(end.value):
            yield end.number, "DTSTART and DTEND are not of one kind"
        elif first and last and last <= first:
            yield end.number, "DTEND is not after DTSTART"
    stamp, changed = event.find("DTSTAMP"), event.find("LAST-MODIFIED")
    if stamp and changed and stamp.value != changed.value:
        yield stamp.number, "DTSTAMP is not the same as LAST-MODIFIED"
    status = event.find("STATUS")
    if status and status.value == "CANCELLED" and event.blocks:
        yield status.number, "a cancelled VEVENT has an alarm"


def _check_alarm(alarm: _Block) -> _Found:
    """Check one alarm: RFC 5545 3.3.6, 3.6.6 and 3.8.6.3; RFC 9074 4."""
    action, trigger = alarm.find("ACTION"), alarm.find("TRIGGER")
    if action and not alarm.find("DESCRIPTION"):
        yield alarm.number, "VALARM has no DESCRIPTION"
    if bool(alarm.find("REPEAT")) != bool(alarm.find("DURATION")):
        yield alarm.number, "VALARM has one of REPEAT and DURATION without the other"
    if trigger and not _DURATION.fullmatch(trigger.value):
        yield trigger.number, f"TRIGGER {trigger.value} is not a legal length of time"
    elif trigger and "W" in trigger.value:
        yield trigger.number, f"TRIGGER {trigger.value} counts in weeks; write days"
    elif trigger and not trigger.value.startswith("-") and set(trigger.value) & set("123456789"):
        yield trigger.number, f"TRIGGER {trigger.value} rings after the day has begun"
