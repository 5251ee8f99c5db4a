"""A user's own values put in place of a row's, as far as a row lets itself be changed."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from decimal import Decimal, InvalidOperation
from typing import TypeVar

from compliance.base.problems import Problem, SourceRef
from compliance.base.reading import suggest
from compliance.facts.checks import FEWEST_LINES, MOST_LINE, MOST_LINES
from compliance.facts.overrides import Override
from compliance.rules.checks_parts import problem_at
from compliance.rules.model import (
    ComesBack,
    Fee,
    LeadDays,
    OfficeRow,
    PaperRow,
    Row,
    RulesTable,
    ServiceRow,
    StepKind,
    StepRow,
)
from compliance.rules.parse_parts import MAX_LEAD_DAYS, MAX_PACKETS

PLACE = SourceRef(file="your own rule values")
LINE_MARK = " / "
MAX_FEE_USD = Decimal(100_000)
MAX_TEXT = 200

_LEAD = ("days.fast", "days.usual", "days.slow")
_FEES = ("fee.amount_usd", "renewal_fee.amount_usd")
_ADDRESSES = ("mail_to", "courier_to")
_COMES_BACK = "comes_back"
_TIMES_OF = re.compile(r"(\d{1,4}) of (\d{1,4})", re.ASCII)
_ASK_OFFICE = "as the office's form says"

AnyRow = TypeVar("AnyRow", bound=Row)


@dataclass(slots=True)
class _Change:
    """One row being changed: the row so far, the overrides taken, the problems met."""

    row: Row
    taken: list[Override] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def refuse(self, number: str, override: Override, sentence: str, hint: str) -> None:
        what = f"`{override.field}` of `{override.row}`"
        self.problems.append(problem_at(PLACE, number, f"{what} {sentence}", hint))


def find_overridable(row: Row) -> tuple[str, ...]:
    """Name the fields of a row that a user may put own values in; empty when there are none.

    Units: ``days...`` are counted days on the row's own calendar; ``days`` of a notice can only be
    raised. Addresses are lines joined by `` / ``; fees are US dollars; ``comes_back`` is written
    ``1 of 8`` packets.
    """
    if isinstance(row, StepRow):
        if row.kind is StepKind.NOTICE:
            return ("days",)
        lead = _LEAD if row.kind is StepKind.WAIT and row.days is not None else ()
        return (*lead, _COMES_BACK) if row.return_path else lead
    if isinstance(row, ServiceRow):
        return _LEAD
    if isinstance(row, PaperRow):
        return _FEES
    return (*_ADDRESSES, "online") if isinstance(row, OfficeRow) else ()


def apply_overrides(
    table: RulesTable, overrides: tuple[Override, ...]
) -> tuple[RulesTable, tuple[Problem, ...]]:
    """Put a user's own values into the table.

    Shape: a changed row carries the overrides it took in ``overrides``; one that does not fit is
    left out with a problem (R61 to R66), so that the table is always fit for use. When the days of
    a row are out of order none of its days are taken. Every edition of a row is changed.
    """
    known = [row.id for row in (*table.offices, *table.services, *table.papers, *table.steps)]
    problems = [_unknown_row(one, known) for one in overrides if one.row not in known]

    def change(rows: tuple[AnyRow, ...]) -> tuple[AnyRow, ...]:
        return tuple(_change_row(row, overrides, problems) for row in rows)

    changed = replace(
        table,
        offices=change(table.offices),
        services=change(table.services),
        papers=change(table.papers),
        steps=change(table.steps),
    )
    return changed, tuple(sorted(set(problems)))


def check_override(
    table: RulesTable, override: Override, saved: tuple[Override, ...] = ()
) -> tuple[Problem, ...]:
    """Check an override before it is kept.

    *table* is the table as shipped and *saved* what is kept already; the new one takes the place of
    a saved one for the same field.
    """
    others = tuple(
        one
        for one in saved
        if one.row == override.row and (one.row, one.field) != (override.row, override.field)
    )
    return apply_overrides(table, (*others, override))[1]


def _unknown_row(override: Override, known: list[str]) -> Problem:
    sentence = f"`{override.row}` is no row that can take a value of your own"
    hint = suggest(override.row, known) or "name a step, a mail service, a paper or an office"
    return problem_at(PLACE, "61", sentence, hint)


def _change_row(row: AnyRow, overrides: tuple[Override, ...], problems: list[Problem]) -> AnyRow:
    own = [override for override in overrides if override.row == row.id]
    if not own:
        return row
    change = _Change(row)
    fields = find_overridable(row)
    seen: set[str] = set()
    for override in own:
        if override.field not in fields:
            hint = suggest(override.field, fields)
            hint = hint or (f"it takes: {', '.join(fields)}" if fields else "leave this row alone")
            change.refuse("62", override, "cannot be changed", hint)
        elif override.field in seen:
            change.refuse("66", override, "stands twice", "keep one of them")
        elif not override.reason.strip():
            change.refuse("66", override, "has no reason", "write why, and who told you")
        else:
            seen.add(override.field)
            _take(change, override)
    _check_order(change, row)
    problems.extend(change.problems)
    changed = replace(change.row, overrides=tuple(change.taken))
    return changed if isinstance(changed, type(row)) else row


def _take(change: _Change, override: Override) -> None:
    takers: dict[str, Callable[[_Change, Override], Row | None]] = {
        "days": _with_notice,
        **dict.fromkeys(_LEAD, _with_lead),
        **dict.fromkeys(_FEES, _with_fee),
        **dict.fromkeys(_ADDRESSES, _with_address),
        "online": _with_online,
        _COMES_BACK: _with_comes_back,
    }
    row = takers[override.field](change, override)
    if row is not None:
        change.row = row
        change.taken.append(override)


def _days(change: _Change, override: Override) -> int | None:
    text = override.value.strip()
    is_short_number = text.isascii() and text.isdigit() and len(text) <= len(str(MAX_LEAD_DAYS))
    if is_short_number and int(text) <= MAX_LEAD_DAYS:
        return int(text)
    hint = f"write a whole number from 0 to {MAX_LEAD_DAYS}"
    change.refuse("63", override, f"is {override.value!r}, no number of days", hint)
    return None


def _with_notice(change: _Change, override: Override) -> Row | None:
    days, row = _days(change, override), change.row
    if days is None or not isinstance(row, StepRow) or row.days is None:
        return None
    if days < row.days.usual:
        sentence = f"is {days}, below the {row.days.usual} days the rule asks for"
        change.refuse("64", override, sentence, "a notice period can be raised, never lowered")
        return None
    return replace(row, days=LeadDays(fast=days, usual=days, slow=days))


def _with_lead(change: _Change, override: Override) -> Row | None:
    days, row = _days(change, override), change.row
    if days is None or not isinstance(row, StepRow | ServiceRow) or row.days is None:
        return None
    return replace(row, days=replace(row.days, **{override.field.removeprefix("days."): days}))


def _with_comes_back(change: _Change, override: Override) -> Row | None:
    found, row = _TIMES_OF.fullmatch(override.value.strip()), change.row
    times, of = (int(part) for part in found.groups()) if found else (0, 0)
    if not 0 < times < of <= MAX_PACKETS:
        hint = f"write how many packets of how many, such as 1 of 8; at most {MAX_PACKETS:,}"
        change.refuse("63", override, f"is {override.value!r}", hint)
        return None
    if not isinstance(row, StepRow):
        return None
    return replace(row, comes_back=ComesBack(times=times, of=of, cite="your own value"))


def _check_order(change: _Change, before: Row) -> None:
    """Take the days back when they are out of order."""
    row = change.row
    if not isinstance(row, StepRow | ServiceRow) or row.days is None:
        return
    fast, usual, slow = row.days.fast, row.days.usual, row.days.slow
    if fast <= usual <= slow or not isinstance(before, StepRow | ServiceRow):
        return
    sentence = f"`days` of `{row.id}` would be fast {fast}, usual {usual}, slow {slow}"
    hint = "fast <= usual <= slow; when all three grow, change slow first"
    change.problems.append(problem_at(PLACE, "65", sentence, hint))
    change.row = before
    change.taken = [one for one in change.taken if one.field not in _LEAD]


def _with_fee(change: _Change, override: Override) -> Row | None:
    amount, row = _amount(override.value.strip()), change.row
    if amount is None:
        sentence = f"is {override.value!r}, no amount in dollars"
        change.refuse("63", override, sentence, "write it as 5 or 12.50, without a sign")
        return None
    if not isinstance(row, PaperRow):
        return None
    if override.field == "fee.amount_usd":
        return replace(row, fee=_fee(row.fee, amount))
    return replace(row, renewal_fee=_fee(row.renewal_fee, amount))


def _fee(fee: Fee | None, amount: Decimal) -> Fee:
    if fee is None:
        return Fee(amount_usd=amount, payee=_ASK_OFFICE, method=_ASK_OFFICE)
    return replace(fee, amount_usd=amount)


def _amount(text: str) -> Decimal | None:
    try:
        amount = Decimal(text)
    except InvalidOperation:
        return None
    plain = text.isascii() and set(text) <= set("0123456789.")
    fits = plain and 0 <= amount <= MAX_FEE_USD and amount == round(amount, 2)
    return amount if fits else None


def _with_address(change: _Change, override: Override) -> Row | None:
    lines = tuple(line.strip() for line in override.value.split(LINE_MARK))
    fits = all(line.strip("/") == line and line.isprintable() for line in lines)
    fits = fits and all(0 < len(line) <= MOST_LINE for line in lines)
    if not fits or not FEWEST_LINES <= len(lines) <= MOST_LINES:
        sentence = "does not fit on an envelope"
        hint = f"write {FEWEST_LINES} to {MOST_LINES} lines of at most {MOST_LINE} characters, "
        change.refuse("63", override, sentence, f"{hint}with `{LINE_MARK}` between them")
        return None
    row = change.row
    if not isinstance(row, OfficeRow):
        return None
    if override.field == "mail_to":
        return replace(row, mail_to=lines)
    return replace(row, courier_to=lines)


def _with_online(change: _Change, override: Override) -> Row | None:
    text = override.value.strip()
    if not text or len(text) > MAX_TEXT or not text.isprintable():
        hint = f"write the site or e-mail address, at most {MAX_TEXT} characters"
        change.refuse("63", override, "is empty or too long", hint)
        return None
    row = change.row
    return replace(row, online=text) if isinstance(row, OfficeRow) else None
