"""What the calendar has said so far, and what it has to say next: ids, revisions, tombstones."""

import hashlib
import json
import unicodedata
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from enum import StrEnum
from uuid import UUID, uuid5

TOMBSTONE_DAYS = 60
CANCELLED_PREFIX = "Off this calendar: "
CANCELLED_TEXT = (
    "This date is not kept on this calendar any more; `mailby plan`, `mailby duties` or "
    "`mailby renewals` says what is still to be done."
)
RUNS_OUT_PREFIX = "Runs out: "
NO_DAY_PREFIX = "No day yet: "
DONE_PREFIX = "\N{CHECK MARK} "

# A ledger may hold these words of before: they are not true of what is still to be done.
_OLD_CANCELLED_PREFIX = "No longer needed: "
# What is not kept on a day any more is not called late on it.
_URGENT_PREFIXES = ("OVERDUE: ", "LATE: ", "LATE FOR SOME STARTS: ")
_SEPARATOR = "\x1f"
_SCHEME = "v1"
_RESTART_EPOCH = date(2020, 1, 1)
_LAST_HOUR = 23
_BAD = frozenset({"Cc", "Cs"})  # control characters, halves of a character
# Every sign that some program takes for the end of a line, CR LF first so that it counts once.
_LINE_ENDS = ("\r\n", "\r", "\v", "\f", "\x85", "\u2028", "\u2029")


class EntryState(StrEnum):
    """Whether the thing on the calendar is still to be done, and on a day that is known."""

    LIVE = "live"
    DONE = "done"
    NO_DAY = "no day"


class LineState(StrEnum):
    """What the calendar says about a thing: to be done, done, or not to be kept on a day."""

    LIVE = "live"
    DONE = "done"
    CANCELLED = "cancelled"


# A file cannot take an entry away, so what has no day is cancelled until it has one again.
_SHOWN = {
    EntryState.LIVE: (LineState.LIVE, ""),
    EntryState.DONE: (LineState.DONE, DONE_PREFIX),
    EntryState.NO_DAY: (LineState.CANCELLED, NO_DAY_PREFIX),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """A reminder: so many calendar days before the day, at a full hour of the phone's own clock.

    Units: ``days_before`` is 1 or more (a phone can store only "before"); ``hour`` is 0 to 23.
    """

    id: str
    days_before: int
    hour: int

    def __post_init__(self) -> None:
        if self.days_before < 1 or not 0 <= self.hour <= _LAST_HOUR:
            raise ValueError(f"an alarm rings before its day, at an hour from 0 to 23; got {self}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A thing that belongs on the calendar today.

    Shape: ``key`` holds opaque ids only, never a date, name or title, so that a moved date stays
    the same entry; ``related_to`` is the key of the entry this one leads to. The alarm that
    matters most comes first, since some programs keep only one. ``at`` is the aware moment of
    something that has an hour, in the time zone of its place and on the day ``on``. With the state
    ``no day`` a thing is still to be done, but nobody knows when; ``on`` is then only where it
    stands when the calendar did not have it before.
    """

    key: tuple[str, ...]
    on: date
    title: str
    text: str = ""
    alarms: tuple[Alarm, ...] = ()
    state: EntryState = EntryState.LIVE
    related_to: tuple[str, ...] | None = None
    at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LineAlarm:
    """An alarm of a ledger line, with the id under which phones know it."""

    uid: str
    days_before: int
    hour: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerLine:
    """What the calendar last said under one id, ready to be written out.

    Shape: title and text are cleaned and as shown; ``revised_at`` is UTC in whole seconds;
    ``related_to`` is the uid of another line. Only live lines have alarms. ``at`` is a moment in
    a ``ZoneInfo``, or None for a whole day.
    """

    uid: str
    key: tuple[str, ...]
    content_hash: str
    sequence: int
    revised_at: datetime
    state: LineState
    on: date
    title: str
    text: str
    alarms: tuple[LineAlarm, ...]
    related_to: str | None
    at: datetime | None = None


def compute_revision(
    entries: Iterable[Entry],
    ledger: Iterable[LedgerLine],
    *,
    namespace: UUID,
    now: datetime,
    restarted: bool = False,
    held: Collection[tuple[str, ...]] = (),
) -> tuple[LedgerLine, ...]:
    """Bring the ledger in line with what belongs on the calendar.

    Shape: sorted by day, then uid; equal input gives equal output. A line whose content is the
    same comes back as it is. A new one starts at sequence 0; any change of meaning raises the
    sequence by one. A live line without an entry becomes a tombstone, however old its day; only one
    that tells of an end on a day past (the UTC day of *now*) stays as it is, for it is true still.
    A done line without an entry stays as it is. None is kept for ever: they drop out when their day
    and that of their last change are past by more than 60 calendar days (the UTC day of *now*; the
    60th day is still kept). A line whose key has one of *held* after its first part is never
    forgotten, because it may come back, and its counter must go on. After a ledger was lost, pass
    ``restarted`` from then on: new lines start at the days since 1 January 2020, which is above any
    counter kept before.

    Raises:
        ValueError: *now* has no time zone, two entries or alarms have the same id, a key is empty
            or holds the separator U+001F, or a title is empty.

    Source: RFC 5546 2.1.4 and 2.1.5 (which copy of an entry wins), RFC 5545 3.8.7.4 (SEQUENCE).
    """
    stamp = _checked_stamp(now)
    first = max(0, (stamp.date() - _RESTART_EPOCH).days) if restarted else 0
    known = {line.uid: line for line in ledger}
    wanted = [
        _compute_line(_keep_place(entry, known, namespace), namespace, stamp, first)
        for entry in entries
    ]
    _refuse_repeated_uids(wanted)
    kept = [_compute_successor(line, known.get(line.uid)) for line in wanted]
    present = {line.uid for line in wanted}
    kept += [
        _compute_vanished(line, stamp)
        for line in known.values()
        if line.uid not in present and (_follows(line.key, held) or not _is_forgotten(line, stamp))
    ]
    return tuple(sorted(kept, key=lambda line: (line.on, line.uid)))


def compute_uid(namespace: UUID, key: tuple[str, ...]) -> str:
    """Compute the id under which every calendar program knows an entry.

    Shape: a lower-case version 5 UUID. The namespace is random and kept per operation, so the id
    says nothing about the key. Letters composed in different ways give the same id.

    Raises:
        ValueError: The key is empty or a part holds the separator U+001F.

    Source: RFC 7986 5.3 (an id names no user, host or domain), RFC 9562 5.5 (version 5).
    """
    if not key or any(_SEPARATOR in part for part in key):
        raise ValueError(f"a calendar key is a list of ids without U+001F; got {key!r}")
    return str(uuid5(namespace, unicodedata.normalize("NFC", _SEPARATOR.join((_SCHEME, *key)))))


def clean_text(raw: str) -> str:
    r"""Clean text for a calendar: composed letters, only ``\n`` between lines, nothing unprintable.

    Shape: no control characters but ``\n``, no half characters, no byte-order mark; no blanks at
    the ends. Cleaning twice changes nothing.

    Source: RFC 5545 3.1 and 3.3.11 (control characters are not allowed in TEXT).
    """
    for end in _LINE_ENDS:
        raw = raw.replace(end, "\n")
    raw = raw.replace("\t", " ").replace("\ufeff", "")
    kept = "".join(sign for sign in raw if sign == "\n" or unicodedata.category(sign) not in _BAD)
    return unicodedata.normalize("NFC", kept).strip()


def clean_line(raw: str) -> str:
    """Clean text that must stay on one line, such as a title: as `clean_text`, blanks run together.

    Shape: no line ends, no two blanks in a row.
    """
    return " ".join(clean_text(raw).split())


def _checked_stamp(now: datetime) -> datetime:
    if now.tzinfo is None:
        raise ValueError("the ledger needs a time with a time zone")
    return now.astimezone(UTC).replace(microsecond=0)


def _compute_line(entry: Entry, namespace: UUID, stamp: datetime, sequence: int) -> LedgerLine:
    """Write an entry as the line it would be if the ledger knew nothing of it."""
    title = clean_line(entry.title)
    if not title:
        raise ValueError(f"a calendar entry needs a title; its key is {entry.key!r}")
    live = entry.state is EntryState.LIVE
    state, prefix = _SHOWN[entry.state]
    alarms = tuple(
        LineAlarm(
            uid=compute_uid(namespace, (*entry.key, "alarm", alarm.id)),
            days_before=alarm.days_before,
            hour=alarm.hour,
        )
        for alarm in entry.alarms
    )
    line = LedgerLine(
        uid=compute_uid(namespace, entry.key),
        key=entry.key,
        content_hash="",
        sequence=sequence,
        revised_at=stamp,
        state=state,
        on=entry.on,
        title=prefix + title,
        text=clean_text(entry.text),
        alarms=alarms if live else (),
        related_to=compute_uid(namespace, entry.related_to) if entry.related_to else None,
        at=entry.at if live else None,
    )
    return replace(line, content_hash=_compute_hash(line))


def _keep_place(entry: Entry, known: Mapping[str, LedgerLine], namespace: UUID) -> Entry:
    """Leave an entry without a day where it was: another day would be one to keep."""
    if entry.state is not EntryState.NO_DAY:
        return entry
    before = known.get(compute_uid(namespace, entry.key))
    return entry if before is None else replace(entry, on=before.on)


def _compute_successor(line: LedgerLine, before: LedgerLine | None) -> LedgerLine:
    """Number a fresh line as the follower of what the ledger has under the same uid."""
    if before is None:
        return line
    if before.content_hash == line.content_hash:
        return before
    # A clock set back must not make the newer copy look older.
    revised_at = max(line.revised_at, before.revised_at)
    return replace(line, sequence=before.sequence + 1, revised_at=revised_at)


def _compute_vanished(line: LedgerLine, stamp: datetime) -> LedgerLine:
    """Turn a live line that nothing asks for any more into a tombstone; a file cannot delete.

    It says only that the day is not kept, since the thing itself may be to be done still.
    """
    outdated = line.title.startswith(_OLD_CANCELLED_PREFIX) and line.state is LineState.CANCELLED
    if not outdated and (line.state is not LineState.LIVE or _tells_past_end(line, stamp)):
        return line
    before = f"\nBefore, it said:\n{line.text}" if line.text else ""
    tombstone = replace(
        line,
        state=LineState.CANCELLED,
        title=CANCELLED_PREFIX + _calm_title(line.title),
        text=CANCELLED_TEXT + before,
        alarms=(),
        revised_at=stamp,
    )
    return _compute_successor(
        replace(tombstone, content_hash=_compute_hash(tombstone)),
        line,
    )


def _calm_title(title: str) -> str:
    """Give the title of a thing without what was put before it to say how it stands."""
    title = title.removeprefix(_OLD_CANCELLED_PREFIX)
    for prefix in _URGENT_PREFIXES:
        title = title.removeprefix(prefix)
    return title


def _tells_past_end(line: LedgerLine, stamp: datetime) -> bool:
    return line.title.startswith(RUNS_OUT_PREFIX) and line.on < stamp.date()


def _follows(key: tuple[str, ...], held: Collection[tuple[str, ...]]) -> bool:
    return any(key[1 : 1 + len(one)] == one for one in held)


def _is_forgotten(line: LedgerLine, stamp: datetime) -> bool:
    """Tell whether a line without an entry can drop out; one still shown is taken back first."""
    since = max(line.on, line.revised_at.date())
    settled = line.state is not LineState.LIVE or _tells_past_end(line, stamp)
    return settled and (stamp.date() - since).days > TOMBSTONE_DAYS


def _compute_hash(line: LedgerLine) -> str:
    """Hash everything a reader of the calendar could notice, and nothing else."""
    content = (
        line.on.isoformat(),
        line.title,
        line.text,
        line.state.value,
        line.related_to,
        [(alarm.uid, alarm.days_before, alarm.hour) for alarm in line.alarms],
        # Whole days keep the hash they always had.
        *((line.at.isoformat(), str(line.at.tzinfo)) if line.at is not None else ()),
    )
    return hashlib.sha256(json.dumps(content, separators=(",", ":")).encode()).hexdigest()


def _refuse_repeated_uids(lines: list[LedgerLine]) -> None:
    seen: set[str] = set()
    for line in lines:
        for uid in (line.uid, *(alarm.uid for alarm in line.alarms)):
            if uid in seen:
                raise ValueError(f"two calendar entries or alarms share an id; one is {line.key!r}")
            seen.add(uid)
