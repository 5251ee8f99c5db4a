"""What is known of the offices, as text for people and as JSON for programs."""

import json
from collections.abc import Iterator
from datetime import date
from typing import Any

from compliance.base.dates import say_date
from compliance.engine.explain_words import say_lead
from compliance.engine.follow_up import FollowUp
from compliance.engine.office_report import KindReport, OfficeReport
from compliance.engine.turnaround_grid import Tally
from compliance.facts.log import LogEntry
from compliance.outputs.office_words import (
    WHAT_DAYS_MEAN,
    WHY_PLAN_DIFFERS,
    say_heard,
    say_moved,
)
from compliance.outputs.rules_text import say_in_force
from compliance.outputs.words import CAUTION, wrap

_NOTHING = (
    "Nothing was seen of any office yet. Log what you mail and what comes back, or read a file in "
    "with `mailby offices import FILE.csv`; `mailby offices --all` shows what the rules say."
)
_HOW = (
    "What is believed starts from the rule and moves with every packet seen; packets still out "
    "count as taking longer than so far. Before anything is seen, nine in ten is later than the "
    "slow days of the rule: the rule may be wrong about the office too, and that is counted. It is "
    "an estimate, not a promise of the office."
)


def render_offices_text(reports: tuple[OfficeReport, ...], as_of: date) -> str:
    """Render each office with its kinds of packets: the rule, what was seen, what is believed."""
    if not reports:
        return f"{wrap(_NOTHING)}\n\n{wrap(CAUTION)}\n"
    lines: list[str] = []
    for report in reports:
        lines.extend(_office(report, as_of))
    lines.extend([wrap(_HOW), "", "WHAT THE DAYS MEAN"])
    lines.extend(wrap(f"- {line}", indent=2, hang=4) for line in WHAT_DAYS_MEAN)
    lines.extend([wrap(WHY_PLAN_DIFFERS, indent=2), "", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def _office(report: OfficeReport, as_of: date) -> Iterator[str]:
    yield wrap(f"{report.office.title} ({report.office.id})")
    for kind in report.kinds:
        yield from _kind(kind, as_of)
    if report.reasons:
        yield "  why packets came back"
        for reason, count in report.reasons:
            yield wrap(f"{_times(count)}: {reason}", indent=4, hang=6)
    if report.documents:
        yield "  which papers were at fault"
        for document, count in report.documents:
            faults = [
                f"{name.rpartition('/')[2]} {_times(n)}"
                for name, n in report.faults
                if name.partition("/")[0] == document
            ]
            yield wrap(f"{_times(count)}: {document} ({', '.join(faults)})", indent=4, hang=6)
    yield ""


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count:,} times"


def _kind(kind: KindReport, as_of: date) -> Iterator[str]:
    row, tally = kind.row, kind.tally
    yield wrap(f"{row.id}: {row.title}", indent=2, hang=4)
    if row.days is not None:
        rule = f"usually {say_lead(row.days.usual, row.calendar)}; fast {row.days.fast}"
        back = f"; {row.comes_back} come back" if row.comes_back is not None else ""
        yield wrap(f"the rule     {rule}, slow {row.days.slow}{back}", indent=6, hang=19)
    if kind.earlier:
        yield wrap(f"changed      {_say_earlier(kind)}", indent=6, hang=19)
    coming = sum(_is_coming(one, as_of) for one in kind.waiting)
    yield wrap(f"seen         {_say_seen(tally, coming)}", indent=6, hang=19)
    yield wrap(
        f"believed     half within {say_lead(kind.half_by, row.calendar)}, nine in ten within "
        f"{kind.nine_in_ten_by}{_say_back(kind)}",
        indent=6,
        hang=19,
    )
    if kind.leans_on:
        text = f"what was seen of {', '.join(kind.leans_on)}: one office is quick or slow in all"
        yield wrap(f"rests on     {text}", indent=6, hang=19)
    if kind.counted is not None:
        half, nine = (f"within {day}" if day is not None else "not reached" for day in kind.counted)
        text = f"half {half}, nine in ten {nine}, by counting alone"
        yield wrap(f"counted      {text}", indent=6, hang=19)
    for one in kind.waiting:
        label = "in the mail  " if _is_coming(one, as_of) else "out now      "
        yield wrap(f"{label}{_waiting(one, as_of)}", indent=6, hang=19)


def _say_earlier(kind: KindReport) -> str:
    """Say which other editions of the rule packets seen came under."""
    editions = (
        f"usually {say_lead(row.days.usual, row.calendar)} {say_in_force(row)}"
        for row in kind.earlier
        if row.days is not None
    )
    return (
        f"packets seen came under earlier editions of the rule too ({'; '.join(editions)}); what "
        f"is believed starts from today's"
    )


def _is_coming(one: FollowUp, as_of: date) -> bool:
    """Tell whether a packet is not at its office yet, by usual days of the mail."""
    return (one.there_since or one.began_on) > as_of


def _say_seen(tally: Tally, coming: int) -> str:
    """Say how many packets were decided, are out, are coming, and were sent back from this step."""
    if tally.is_empty:
        return "nothing yet"
    out = tally.out - coming
    text = f"{tally.finished:,} decided, {tally.returned:,} of them sent back; {out:,} out now"
    if coming:
        text += f", {coming:,} still in the mail"
    if tally.unseen:
        text += f"; of {tally.unseen:,} the days at this step were not seen, only the answer"
    if tally.cut:
        text += f"; {tally.cut:,} sent back while it was at this step, by usual days"
    return text


def _say_back(kind: KindReport) -> str:
    if not kind.comes_back:
        return ""
    percent = round(100 * kind.comes_back)
    return f"; {'under 1' if percent < 1 else f'about {percent}'} in 100 come back"


def _waiting(one: FollowUp, as_of: date) -> str:
    word = "from" if _is_coming(one, as_of) else "since"
    there = f"{one.operation} {one.packet}, there {word} about {_say_since(one, as_of)}"
    if one.heard is not None:
        silent = f"unusual from {say_date(one.unusual_from)}"
        return f"{there}: {silent}; they said {say_heard(one.heard)}; {_say_again(one, as_of)}"
    if one.unusual_from <= as_of:
        open_on = one.open_on or as_of
        ask = "ask them now" if open_on <= as_of else f"ask them on {say_date(open_on)}"
        return f"{there}: unusual since {say_date(one.unusual_from)}; {ask}"
    return f"{there}: unusual from {say_date(one.unusual_from)}"


def _say_again(one: FollowUp, as_of: date) -> str:
    """Say when to ask again: the plan's day, else the one that needs no plan."""
    ask = one.planned or one.ask_day()
    open_on = ask.open_on or as_of
    if ask.on < as_of:
        again = "now" if open_on <= as_of else f"on {say_date(open_on)}, when they open"
        return f"ask again {again}; the day to ask was {say_date(ask.on)}"
    if one.planned is not None:
        return say_moved(ask)
    return f"{say_moved(ask)}; not after the paper is needed, which is not known without a plan"


def _say_since(one: FollowUp, as_of: date) -> str:
    """Say since when a packet is at its office, and since when at this step."""
    if one.there_since is None:
        return say_date(one.began_on)
    word = "since" if one.began_on <= as_of else "from"
    return (
        f"{say_date(one.there_since)}, by usual days at this step {word} {say_date(one.began_on)}"
    )


def render_offices_json(reports: tuple[OfficeReport, ...], as_of: date) -> str:
    """Render the same as JSON: ISO dates, counted days of each step's calendar.

    Shape: ``offices``, each with ``office``, ``title``, ``kinds``, ``reasons`` and ``faults``.
    """
    document = {
        "as_of": as_of.isoformat(),
        "offices": [_office_json(report, as_of) for report in reports],
        "cautions": [_HOW, CAUTION],
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def _office_json(report: OfficeReport, as_of: date) -> dict[str, Any]:
    return {
        "office": report.office.id,
        "title": report.office.title,
        "kinds": [_kind_json(kind, as_of) for kind in report.kinds],
        "reasons": [{"reason": reason, "times": times} for reason, times in report.reasons],
        "faults": [{"blank": name, "times": times} for name, times in report.faults],
    }


def _ask_on(one: FollowUp, as_of: date) -> date:
    """Give the day to ask; of one that is past the next working day of offices."""
    ask = one.planned or one.ask_day()
    return ask.on if ask.on >= as_of else max(ask.open_on or as_of, as_of)


def _kind_json(kind: KindReport, as_of: date) -> dict[str, Any]:
    row, tally = kind.row, kind.tally
    days, back, counted = row.days, row.comes_back, kind.counted
    return {
        "step": row.id,
        "title": row.title,
        "calendar": str(row.calendar),
        "rule": {
            "fast": days.fast if days else None,
            "usual": days.usual if days else None,
            "slow": days.slow if days else None,
            "comes_back": {"times": back.times, "of": back.of} if back else None,
        },
        "earlier_editions": [
            {
                "applies_from": one.applies_from.isoformat() if one.applies_from else None,
                "applies_until": one.applies_until.isoformat() if one.applies_until else None,
                "usual": one.days.usual if one.days else None,
            }
            for one in kind.earlier
        ],
        "seen": {
            "decided": tally.finished,
            "returned": tally.returned,
            "pending": tally.out - sum(_is_coming(one, as_of) for one in kind.waiting),
            "in_the_mail": sum(_is_coming(one, as_of) for one in kind.waiting),
            "days_not_seen": tally.unseen,
            "sent_back_meanwhile": tally.cut,
        },
        "believed": {
            "half_by": kind.half_by,
            "nine_in_ten_by": kind.nine_in_ten_by,
            "comes_back": round(kind.comes_back, 4),
        },
        "counted": {"half_by": counted[0], "nine_in_ten_by": counted[1]} if counted else None,
        "waiting": [
            {
                "operation": one.operation,
                "packet": one.packet,
                "is_there": not _is_coming(one, as_of),
                "there_since": (one.there_since or one.began_on).isoformat(),
                "at_step_from": one.began_on.isoformat(),
                "age": one.age,
                "unusual_from": one.unusual_from.isoformat(),
                "ask_on": _ask_on(one, as_of).isoformat(),
                "heard": _heard_json(one.heard),
            }
            for one in kind.waiting
        ],
    }


def _heard_json(heard: LogEntry | None) -> dict[str, Any] | None:
    if heard is None:
        return None
    expects = None if heard.expects is None else heard.expects.isoformat()
    return {"on": heard.happened_on.isoformat(), "said": heard.reason, "expects": expects}


def render_files(files: tuple[tuple[int, str, int, date], ...]) -> str:
    """Render the files of office times that were read in: number, name, packets, day."""
    if not files:
        return "no file of office times was read in\n"
    lines = [
        wrap(f"{number}. {name}, packets: {packets:,}, read on {say_date(day)}", hang=3)
        for number, name, packets, day in files
    ]
    return "\n".join([*lines, "take one back with: mailby offices forget NUMBER"]) + "\n"
