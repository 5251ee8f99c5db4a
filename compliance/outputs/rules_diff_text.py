"""What a change of rules changes, as text and as JSON."""

import json
from collections.abc import Iterator
from datetime import date
from itertools import groupby

from compliance.base.dates import say_date, say_days
from compliance.engine.rules_diff import DateChange, RowChange
from compliance.facts.conditions import AllOf, AnyOf, Test
from compliance.outputs.rules_text import say_condition, say_renewal, say_validity
from compliance.outputs.words import CAUTION, wrap
from compliance.rules.model import ComesBack, Fee, Freshness, LeadDays
from compliance.rules.validity_model import Renewal, Validity

_MOST_NAMED = 5
"""More things that are kept than these are told together."""


def render_diff_text(
    rows: tuple[RowChange, ...], dates: tuple[DateChange, ...], operation: str
) -> str:
    """Render the rows that differ, field by field, then the days that differ for the operation."""
    lines = list(_rows(rows))
    lines.append("")
    if not operation:
        lines.append("No operation is loaded, so no dates were compared.")
    elif not dates:
        lines.append(wrap(f"No day of {operation} changes."))
    else:
        lines.append(wrap(f"DAYS OF {operation} THAT CHANGE"))
    for heading, group in groupby(dates, key=lambda change: change.group or change.about):
        lines.append(wrap(heading, indent=2, hang=4))
        lines.extend(wrap(words, indent=6, hang=8) for words in _days(tuple(group)))
    lines.extend(["", "Nothing was kept.", "", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def _days(changes: tuple[DateChange, ...]) -> Iterator[str]:
    """Say each day that differs; of many things that are kept only how many and the outer days."""
    alike: dict[tuple[str, bool, bool], list[DateChange]] = {}
    for change in changes:
        if change.group and len(changes) > _MOST_NAMED:
            key = (change.things, change.old is None, change.new is None)
            alike.setdefault(key, []).append(change)
        else:
            yield f"{change.what}: {_say_side(change, change.old)} -> {_say_new(change)}"
    for some in alike.values():
        first = some[0]
        old = _span([change.old for change in some]) or _say_side(first, None)
        new = _span([change.new for change in some]) or _say_new(first)
        yield f"{len(some):,} {first.things}: {old} -> {new}"


def _say_side(change: DateChange, day: date | None) -> str:
    return change.without or "not asked" if change.group and day is None else _day(day)


def _say_new(change: DateChange) -> str:
    if change.group and change.new is None:
        return change.without or "no longer asked"
    return _day(change.new)


def _span(days: list[date | None]) -> str:
    """Say the earliest and the latest of some days, empty without any."""
    known = sorted(day for day in days if day is not None)
    if not known:
        return ""
    if known[0] == known[-1]:
        return say_date(known[0])
    return f"earliest {say_date(known[0])}, latest {say_date(known[-1])}"


def _rows(rows: tuple[RowChange, ...]) -> Iterator[str]:
    if not rows:
        yield "The rules are the same."
        return
    for how, heading in (("gone", "GONE"), ("changed", "CHANGED"), ("added", "ADDED")):
        some = [row for row in rows if row.how == how]
        if some:
            yield f"RULES {heading}"
        for row in some:
            same = " (as the edition before it)" if row.after and not row.fields else ""
            yield wrap(f"{row.id}{_say_edition(row)}  {row.title}{same}", indent=2, hang=4)
            if row.after and row.fields:
                yield wrap("a new edition; against the one before it:", indent=6, hang=8)
            for name, old, new in row.fields:
                label = name.replace("_", " ")
                yield wrap(f"{label}: {_say(old)} -> {_say(new)}", indent=6, hang=8)


def _say_edition(row: RowChange) -> str:
    """Say for which days an edition holds, or held; nothing of a row that always does."""
    first = f" from {say_date(row.first)}" if row.first is not None else ""
    return f"{first} through {say_date(row.last)}" if row.last is not None else first


def _day(day: date | None) -> str:
    return say_date(day) if day is not None else "none"


def _say(value: object) -> str:
    if value is None or value in ("", ()):
        return "nothing"
    if isinstance(value, tuple):
        return " / ".join(_say(part) for part in value)
    return _say_one(value)


def _say_one(value: object) -> str:
    match value:
        case bool():
            said = "yes" if value else "no"
        case date():
            said = say_date(value)
        case LeadDays():
            said = f"fast {value.fast}, usual {value.usual}, slow {value.slow}"
        case Fee():
            per = f" per {value.per}" if value.per else ""
            said = f"${value.amount_usd:.2f}{per}, {value.method}, to {value.payee}"
        case Validity():
            again = "; a renewed one counts from the last day of the one before"
            said = f"{say_validity(value)}{again if value.renewal_from_expiry else ''}"
        case Renewal():
            said = say_renewal(value)
        case Freshness():
            said = f"at most {say_days(value.days)} after {value.after}"
        case ComesBack():
            said = f"{value} packets{f' ({value.cite})' if value.cite else ''}"
        case AllOf() | AnyOf() | Test():
            said = say_condition(value) or "always"
        case _:
            said = str(value)
    return said


def render_diff_json(
    rows: tuple[RowChange, ...], dates: tuple[DateChange, ...], operation: str
) -> str:
    """Render the same as JSON with ISO dates and a closing line feed; values of rows as texts."""
    document = {
        "rows": [
            {
                "kind": row.kind,
                "id": row.id,
                "title": row.title,
                "how": row.how,
                "applies_from": row.first.isoformat() if row.first is not None else None,
                "applies_until": row.last.isoformat() if row.last is not None else None,
                "after_another_edition": row.after,
                "fields": [
                    {"name": name, "old": _say(old), "new": _say(new)}
                    for name, old, new in row.fields
                ],
            }
            for row in rows
        ],
        "operation": operation,
        "dates": [
            {
                "about": change.about,
                "what": change.what,
                "old": change.old.isoformat() if change.old is not None else None,
                "new": change.new.isoformat() if change.new is not None else None,
            }
            for change in dates
        ],
        "cautions": [CAUTION],
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"
