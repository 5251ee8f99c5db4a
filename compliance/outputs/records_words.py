"""Sentences about records of applications that the text, the table and the pages share."""

from collections.abc import Iterator, Sequence
from datetime import date, datetime

from compliance.base.dates import say_date
from compliance.engine.record_keep import Kept
from compliance.engine.record_limits import find_within
from compliance.engine.record_page import RecordPage
from compliance.engine.record_time import WriteBy, find_early
from compliance.engine.records import Lacking
from compliance.facts.basis import WORDS_OF_CONFIDENCE, Confidence
from compliance.facts.products import LABEL_BARS, LABEL_UNREAD, NOT_TO_BE_FLOWN, ByAir
from compliance.facts.record_clean import Cleaned
from compliance.facts.record_elements import ELEMENTS, ElementKind
from compliance.facts.records import Application, UsedProduct
from compliance.facts.states import STATES
from compliance.facts.zones import say_clock, say_moment
from compliance.rules.model import DutyRow, RecordRow

FEDERAL = "The federal government"

RECORD_CAUTION = (
    "A help for keeping records, not legal advice. The label is the law; only licensed or "
    "certified people apply what it restricts. Confirm what a record must hold and how long it is "
    "kept with the agency and in local rules."
)
_MOST_CLEANED = 20
_SHOWN = 60
LABEL_CAUTION = (
    "mailby does not judge labels: whether a product may be applied by air is what you said."
)


def say_authority(row: RecordRow) -> str:
    """Name who asks."""
    return STATES[row.state] if row.state else FEDERAL


def say_source(row: RecordRow | DutyRow) -> str:
    """Give a rule's citation, its edition, and its confidence where it was not read."""
    sure = row.basis.confidence is Confidence.READ
    doubt = "" if sure else WORDS_OF_CONFIDENCE[row.basis.confidence]
    return f"{row.basis.citation} ({'; '.join(filter(None, (row.basis.edition, doubt)))})"


def say_elements(names: Sequence[str], *, keys: bool = False) -> str:
    """Name elements in a row; with *keys* each with the key a file or table has for it."""
    return ", ".join(
        f"{ELEMENTS[name].words} ({_say_key(name)})" if keys else ELEMENTS[name].words
        for name in names
    )


def _say_key(name: str) -> str:
    either = ELEMENTS[name].either or (name,)
    return " or ".join(f"`{ELEMENTS[one].key}`" for one in either)


def say_lacking(lacking: Lacking, *, keys: bool = False) -> str:
    """Say what a rule asks for that is not there."""
    words = say_elements(lacking.elements, keys=keys)
    return f"{say_authority(lacking.row)} asks for {words}: {say_source(lacking.row)}"


def say_missed(one: WriteBy) -> str:
    """Say which time to write the record was not kept."""
    advice = "Write down why it is late; do not change the day it was written."
    return f"{say_write_by(one)}. {advice}"


def say_missed_briefly(page: RecordPage) -> Iterator[str]:
    """Say when a record was first written and by when it was due, shortly, for each answer.

    Shape: the soonest time of a rule first, then that of careful practice; one line each.
    """
    first = say_date(page.versions[0].written_on)
    early = find_early(page.versions)
    if early is not None:
        yield (
            f"first written {first}, before its work as corrected, {say_date(page.record.on)}: "
            "not in time by that"
        )
    rules = tuple(one for one in page.missed if not one.is_careful)
    careful = tuple(one for one in page.missed if one.is_careful)
    yield from _say_both(f"written {first}, due by", rules)
    yield from _say_both(f"written {first}, with care by", careful)


def _say_both(begin: str, missed: tuple[WriteBy, ...]) -> Iterator[str]:
    """Say the soonest day that was missed, once for each day of work if they differ."""
    late = (one for one in missed if one.is_late)
    now = min(((one.by, _say_by(one)) for one in late), default=None)
    late = (one for one in missed if one.was_late)
    then = min(((one.by_first, _say_by_first(one)) for one in late), default=None)
    if now is not None and now == then:
        yield f"{begin} {now[1]}"
        return
    if now is not None:
        yield f"{begin} {now[1]} for the day of work as corrected"
    if then is not None:
        yield f"{begin} {then[1]} for the day of work it was first written with"


def _say_by(one: WriteBy) -> str:
    return _say_limit(one.by, one.by_at)


def _say_by_first(one: WriteBy) -> str:
    return _say_limit(one.by_first, one.by_first_at)


def _say_limit(day: date, moment: datetime | None) -> str:
    """Say the last day, or the moment where hours are counted from the end of the flight."""
    return say_date(day) if moment is None else say_moment(moment)


def say_kept(kept: Kept) -> str:
    """Say until when a record is kept, and by which rule; and when the state's own was not read."""
    if kept.through is None or kept.row is None:
        return "no rule known here says how long; keep it and ask the agency"
    rule = f"{kept.row.title}, {say_source(kept.row)}"
    asked = "" if kept.state_known else "; the state's own rule was not read, ask the agency"
    return f"through {say_date(kept.through)}: {rule}{asked}"


def say_kept_page(page: RecordPage) -> str:
    """Say until when a record is kept, and why an earlier version's longer time counts."""
    said, alone, longest = say_kept(page.kept), page.kept_alone.through, page.longest
    if page.kept.through is None or longest is page.record:
        return said
    now = f"would be kept through {say_date(alone)}" if alone else "has no time known here"
    return (
        f"{said}; this is the time of version {longest.version}, which says "
        f"{say_date(longest.on)}, {longest.job}, {longest.state}; version {page.record.version} "
        f"alone {now}, and the longest time of all versions counts"
    )


def say_when(record: Application) -> str:
    """Say the day and the times of an application."""
    times = say_times(record)
    return f"{say_date(record.on)}{f' {times}' if times else ''}"


def say_written(version: Application) -> str:
    """Say when a version was written or, of a later one, corrected, or that nobody knows."""
    if version.version > 1:
        return f"corrected {say_date(version.written_on)}"
    if version.written_known:
        return f"written {say_date(version.written_on)}"
    return f"day of writing not known, read in {say_date(version.written_on)}"


def say_days_written(versions: Sequence[Application]) -> str:
    """Say when a record was first written and on which days it was corrected.

    Shape: *versions* oldest first; the first one's day of writing may not be known.
    """
    first, *later = versions
    day = say_date(first.written_on)
    written = day if first.written_known else f"day not known, read in {day}"
    days = " and ".join(dict.fromkeys(say_date(one.written_on) for one in later))
    return f"{written}, corrected {days}" if days else written


def say_why(before: Application, version: Application) -> str:
    """Say why a version took the place of the one *before* it, and of which job that was.

    Shape: begins with a colon where there is a reason; the job and state only where they changed.
    """
    why = f": {version.why}" if version.why else ""
    was, now = (f"{one.job} ({one.state})" for one in (before, version))
    return why if was == now else f"{why}, moved from {was} to {now}"


def say_write_by(one: WriteBy) -> str:
    """Say by when a record is to be written, and whether its first writing was in time."""
    parts = [f"{_say_asked(one)}, by {_say_by(one)}: {say_source(one.row)}"]
    if one.first is None:
        parts.append("whether it was written in time is not known")
    elif one.is_early:
        parts.append(
            f"first written {say_date(one.first)}, before its work as corrected, which does not "
            f"make it in time; for the day of work it was first written with it was "
            f"{_say_in_time(one, late=one.was_late)}, by {_say_by_first(one)}"
        )
    elif one.by_at is not None and one.first == one.by == one.by_first:
        parts.append(
            f"first written on that day, in time if before {say_clock(one.by_at)}; the hour of "
            "its writing is not kept"
        )
    elif one.is_late == one.was_late:
        parts.append(f"first written {_say_in_time(one, late=one.is_late)}")
    else:
        parts.append(
            f"first written {_say_in_time(one, late=one.is_late)} for the day of work as "
            f"corrected, but {_say_in_time(one, late=one.was_late)} for the one it was first "
            f"written with, by {_say_by_first(one)}"
        )
    if one.lacks:
        parts.append(f"it still lacks {say_elements(one.lacks)}")
    elif one.first is not None and one.whole_on is not None and one.whole_on > one.by >= one.first:
        added = "a record of that day's work stands since" if one.is_early else "what it lacked "
        added += "" if one.is_early else "then was added"
        parts.append(f"{added} {say_date(one.whole_on)}, after that day")
    return "; ".join(parts)


def _say_asked(one: WriteBy) -> str:
    who = STATES[one.state] if one.state else FEDERAL
    within, unit = find_within(one.row)
    when = f"within {within} {unit}" if within else "on the day of the application"
    if one.is_careful:
        return f"no time to write it was found in the rule of {who}; with care it is written {when}"
    return f"{who} asks for it {when}"


def _say_in_time(one: WriteBy, *, late: bool | None) -> str:
    if not late:
        return "in time"
    # What no rule asks for is not called late.
    return "after that day" if one.is_careful else "LATE"


def say_flights(record: Application) -> str:
    """Name the logged flights a record belongs to, empty without any."""
    numbers = ", ".join(map(str, record.flights))
    word = "flight" if len(record.flights) == 1 else "flights"
    return f"{word} {numbers}" if numbers else ""


def say_against_label(record: Application) -> tuple[str, ...]:
    """Say what was flown though the label bars the air or was not read for it, and why it is kept.

    Shape: one sentence for each such product, none for a record that agrees with its labels.
    """
    barred = f"{LABEL_BARS}; {NOT_TO_BE_FLOWN}"
    return tuple(
        f"{one.name}: {barred if one.by_air is ByAir.NO else LABEL_UNREAD} "
        f"(kept because: {record.anyway})"
        for one in record.against_label
    )


def say_times(record: Application) -> str:
    """Say the times of an application, empty when none was said."""
    if record.start and record.end:
        return f"{record.start} to {record.end}"
    return record.start or (f"until {record.end}" if record.end else "")


def say_value(record: Application, name: str, product: UsedProduct | None = None) -> str:
    """Give the text of an element; of a product, that product's."""
    element = ELEMENTS[name]
    if element.of_product:
        return product.find(name) if product is not None else record.find(name)
    if name == "time":
        return say_times(record)
    if element.kind is ElementKind.EITHER:
        return ", ".join(dict.fromkeys(filter(None, map(record.find, element.either))))
    return record.find(name)


def say_products(record: Application) -> str:
    """Name the products of an application."""
    return ", ".join(product.name for product in record.products) or str(record.material)


def say_cleaned(cleaned: Sequence[Cleaned]) -> Iterator[str]:
    """Say which texts a file does not hold as they are kept, the first of many."""
    for one in cleaned[:_MOST_CLEANED]:
        which = f"record {one.number}, "
        which += f"version {one.version}" if one.version else "thrown away"
        told = f"the file says {_shorten(one.new)}" if one.new else "the file leaves it out"
        yield (
            f"{which}: the {one.what} is kept as {_shorten(one.old)}, which cannot be read in "
            f"again; {told}"
        )
    if len(cleaned) > _MOST_CLEANED:
        yield f"and {len(cleaned) - _MOST_CLEANED:,} more"
    if cleaned:
        yield "what is kept here stays as it is"


def say_twins(twins: Sequence[tuple[int, int]], mend: str) -> Iterator[str]:
    """Say which records were left out for another of the same application, the first of many."""
    for number, other in twins[:_MOST_CLEANED]:
        yield f"record {number} is left out: it tells of the same application as record {other}"
    if len(twins) > _MOST_CLEANED:
        yield f"and {len(twins) - _MOST_CLEANED:,} more are left out"
    if twins:
        yield mend


def _shorten(text: str) -> str:
    """Quote a text on one line with its hidden signs as escapes."""
    return repr(text if len(text) <= _SHOWN else f"{text[:_SHOWN]}...")
