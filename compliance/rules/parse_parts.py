"""Parts that several kinds of rows share: basis, conditions, lead times, validity, fees."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from compliance.base.dates import parse_iso_date
from compliance.base.ids import DOTTED_FORM, NAME_FORM, is_dotted_id, is_name
from compliance.base.problems import SourceRef
from compliance.base.reading import Reader
from compliance.base.sources import Node, Scalar
from compliance.facts.basis import Basis, Inherited, parse_basis
from compliance.facts.conditions import Condition, parse_condition
from compliance.rules.model import Fee, LeadDays
from compliance.rules.validity_model import Mark, NameDay, Renewal, Validity, ValidityKind

FAMILY = "R"
MAX_LEAD_DAYS = 900
MAX_MONTHS = 240
MAX_PACKETS = 1_000

_MONTH_DAY = re.compile(r"(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01]|end)", re.ASCII)
_DAYS = re.compile(r"(\d{1,3}) days (before|after)", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Common:
    """What every row carries besides its own fields."""

    id: str
    title: str
    when: Condition
    basis: Basis
    applies_from: date | None
    applies_until: date | None
    replaces: str
    because: str
    place: SourceRef

    def fields(self) -> dict[str, Any]:
        """Give the values by field name, for the constructor of a row."""
        return {name: getattr(self, name) for name in self.__slots__}


def parse_common(reader: Reader, row_id: str, inherited: Inherited) -> Common:
    """Read what every row carries; the id is given because steps build theirs from the paper."""
    return Common(
        id=row_id,
        title=reader.text("title"),
        when=parse_condition(reader.node("when"), FAMILY, reader.problems),
        basis=parse_basis(reader, inherited),
        applies_from=reader.date("applies_from") or inherited.applies_from,
        applies_until=reader.date("applies_until") or inherited.applies_until,
        replaces=reader.text("replaces", required=False),
        because=reader.text("because", required=False),
        place=reader.place,
    )


def row_id(reader: Reader, key: str = "id") -> str:
    """Read a dotted lower-case id."""
    return _checked(reader, key, DOTTED_FORM, fits=is_dotted_id)


def row_name(reader: Reader) -> str:
    """Read the name of a step or document, unique within its paper."""
    return _checked(reader, "name", NAME_FORM, fits=is_name)


def _checked(reader: Reader, key: str, form: str, *, fits: Callable[[str], bool]) -> str:
    text = reader.text(key)
    if text and not fits(text):
        reader.note("11", reader.place_of(key), f"`{key}` is {text!r}; ids are {form}")
    return text


def parse_lead(reader: Reader, key: str = "days", *, required: bool) -> LeadDays | None:
    """Read ``{fast: 2, usual: 4, slow: 6}``, or one number for all three, in counted days."""
    node = reader.node(key, required=required)
    if node is None:
        return None
    if isinstance(node, Scalar):
        days = reader.whole(key, low=0, high=MAX_LEAD_DAYS)
        return LeadDays(fast=days, usual=days, slow=days)
    part = Reader(node, f"`{key}` of {reader.what}", FAMILY, reader.problems)
    fast, usual, slow = (
        part.whole(name, low=0, high=MAX_LEAD_DAYS) for name in ("fast", "usual", "slow")
    )
    lead = LeadDays(fast=fast, usual=usual, slow=slow)
    part.finish()
    if not lead.fast <= lead.usual <= lead.slow:
        sentence = f"fast {lead.fast}, usual {lead.usual}, slow {lead.slow} are out of order"
        reader.note("12", node.place, sentence, "fast <= usual <= slow")
    return lead


def parse_validity(reader: Reader) -> Validity:
    """Read how a paper's last day in force follows from its issue."""
    part = reader.part("validity", f"`validity` of {reader.what}", required=True)
    if part is None:
        return Validity(kind=ValidityKind.FROM_DOCUMENT)
    before = len(part.problems)
    kind = ValidityKind(part.choice("kind", tuple(ValidityKind)))
    if len(part.problems) > before:
        # Which other keys it needs is not known without its kind.
        return Validity(kind=ValidityKind.FROM_DOCUMENT)
    by_months = kind in {ValidityKind.MONTHS, ValidityKind.MONTHS_TO_MONTH_END}
    fixed = kind is ValidityKind.FIXED_DAY
    validity = Validity(
        kind=kind,
        months=part.whole("months", low=1, high=MAX_MONTHS) if by_months else 0,
        month_day=_month_day(part, "day") if fixed else "",
        years=part.whole("years", low=1, high=10, default=1) if fixed else 1,
        after_issue_year=part.flag("after_issue_year", default=False) if fixed else False,
        renewal_from_expiry=part.flag("renewal_from_expiry", default=False) if by_months else False,
        by_name=tuple(_name_day(node, part) for node in part.items("by_name")) if fixed else (),
    )
    part.finish()
    return validity


def _name_day(node: Node, parent: Reader) -> NameDay:
    part = Reader(node, f"`by_name` of {parent.what}", FAMILY, parent.problems)
    letter = part.text("through")
    if letter and not (len(letter) == 1 and "A" <= letter <= "Z"):
        sentence = f"`through` is {letter!r}; write one letter, A to Z"
        part.note("69", part.place_of("through"), sentence)
    found = NameDay(through=letter, month_day=_month_day(part, "day"))
    part.finish()
    return found


def _month_day(reader: Reader, key: str) -> str:
    text = reader.text(key)
    if text and not is_month_day(text):
        reader.note("13", reader.place_of(key), f"`{key}` is {text!r}; write MM-DD or MM-end")
    return text


def is_month_day(text: str) -> bool:
    """Tell whether a text is a day of every year: ``MM-DD`` or ``MM-end``; never 29 February."""
    if _MONTH_DAY.fullmatch(text) is None:
        return False
    return text.endswith("end") or parse_iso_date(f"2027-{text}") is not None


def parse_renewal(reader: Reader) -> Renewal | None:
    """Read the renewal window of a paper, or None when the row has none."""
    part = reader.part("renewal", f"`renewal` of {reader.what}")
    if part is None:
        return None
    renewal = Renewal(
        opens_months=part.whole("opens_months", low=0, high=60, default=0),
        opens_before_month=part.flag("opens_before_month", default=False),
        renew_by=_mark(part, "renew_by"),
        late_fee_from=_mark(part, "late_fee_from"),
        reexam_from=_mark(part, "reexam_from"),
        carries_over=part.flag("carries_over", default=False),
    )
    part.finish()
    return renewal


def _mark(reader: Reader, key: str) -> Mark | None:
    text = reader.text(key, required=False)
    if not text:
        return None
    if is_month_day(text):
        return Mark(month_day=text)
    counted = _DAYS.fullmatch(text)
    if counted is None:
        sentence = f"`{key}` is {text!r}"
        hint = "write MM-DD, MM-end, `30 days before` or `60 days after`"
        reader.note("13", reader.place_of(key), sentence, hint)
        return None
    days = int(counted[1])
    return Mark(days=-days if counted[2] == "before" else days)


def parse_fee(reader: Reader, key: str) -> Fee | None:
    """Read what a filing costs, or None when the row names no fee."""
    part = reader.part(key, f"`{key}` of {reader.what}")
    if part is None:
        return None
    amount = part.number("amount_usd", above=0, most=100_000)
    fee = Fee(
        amount_usd=amount if amount is not None else Decimal(0),
        payee=part.text("payee"),
        method=part.text("method"),
        per=part.text("per", required=False),
    )
    part.finish()
    return fee if amount is not None else None
