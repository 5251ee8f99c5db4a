"""What changed between two readings of an operation, in plain words."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from enum import StrEnum

from compliance.base.dates import say_date
from compliance.facts.model import (
    Address,
    Aircraft,
    Closure,
    HeldPaper,
    Job,
    Operation,
    Pilot,
)
from compliance.facts.places import PLACE_WORDS, Place, say_hours
from compliance.facts.products import Product

_NOTHING = "nothing"

_WORDS = {
    "id": "short name",
    "legal_name": "legal name",
    "entity": "legal form",
    "managed_by": "manager",
    "mailing_address": "mailing address",
    "physical_address": "physical address",
    "contact_name": "contact's name",
    "contact_phone": "contact's telephone",
    "contact_email": "contact's e-mail",
    "home_state": "home state",
    "mail_service": "mail service",
    "time_zone": "time zone",
    "first_flight": "hour of the first flight",
    "own_terms": "own terms",
    "notary_days": "days the notary is in",
    "post_office_days": "days the post office is open",
    "takeoff_weight_lb": "take-off weight",
    "acquired": "way it was acquired",
    "remote_id_serial": "Remote ID serial",
    "registration_number": "registration number",
    "n_number_wanted": "wish for an N-number",
    "first_day": "first day",
    "last_day": "last day",
    "for_hire": "being for hire",
    "restricted_use": "use of a restricted-use product",
    "controlled_airspace": "lying in controlled airspace",
    "outside_blanket_area": "lying outside the blanket authorization",
    "congested_area": "lying over a congested area",
    "issued_on": "day of issue",
    "valid_through": "last day in force",
    "by_air": "label's word on application by air",
    "registration": "EPA registration number",
    "active_ingredient": "active ingredient",
    "re_entry_hours": "restricted-entry interval",
}
_LISTS = frozenset({"aircraft", "pilots", "jobs", "papers", "closures", "places", "products"})


class ChangeKind(StrEnum):
    """What happened to a value."""

    ADDED = "added"
    CHANGED = "changed"
    REMOVED = "removed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One difference: what it is about, and the value before and after, in words.

    ``old`` is empty for something added, ``new`` for something removed.
    """

    kind: ChangeKind
    what: str
    old: str = ""
    new: str = ""

    def __str__(self) -> str:
        if self.kind is ChangeKind.CHANGED:
            return f"{self.kind} {self.what}: {self.old} -> {self.new}"
        return f"{self.kind} {self.what}: {self.old or self.new}"


_Item = Aircraft | Pilot | Job | HeldPaper | Closure | Place | Product


def compare_operations(old: Operation | None, new: Operation) -> tuple[Change, ...]:
    """Tell what changed; against None everything is added.

    Shape: the operation's own values first, then aircraft, pilots, jobs, papers, closures, places
    and products, each in the new file's order with what was removed last; empty when both are
    equal, and also when only the order of a list differs.
    """
    changes: list[Change] = []
    if old is None:
        changes.append(Change(kind=ChangeKind.ADDED, what="operation", new=new.legal_name))
    else:
        changes.extend(_compare_fields(old, new, "the operation"))
    before = old or new
    for section in ("aircraft", "pilots", "jobs", "papers", "closures", "places", "products"):
        earlier: tuple[_Item, ...] = getattr(old, section) if old else ()
        changes.extend(_compare_items(earlier, getattr(new, section), before, new))
    return tuple(changes)


def _compare_items(
    earlier: tuple[_Item, ...], later: tuple[_Item, ...], old: Operation, new: Operation
) -> Iterator[Change]:
    pairs, gone = _pair(earlier, later)
    for before, after in pairs:
        if before is None:
            yield Change(kind=ChangeKind.ADDED, what=_name(after, new), new=_say_item(after))
        elif before != after:
            yield from _compare_fields(before, after, _name(after, new))
    for item in gone:
        yield Change(kind=ChangeKind.REMOVED, what=_name(item, old), old=_say_item(item))


def _pair(
    earlier: tuple[_Item, ...], later: tuple[_Item, ...]
) -> tuple[list[tuple[_Item | None, _Item]], list[_Item]]:
    """Match the items of two lists: equal ones first, then by number or id, then by likeness."""
    left = list(earlier)
    partner: dict[int, _Item] = {}
    for key in (_same, _exact_key, _loose_key):
        for place, item in enumerate(later):
            if place in partner:
                continue
            match = next((other for other in left if key(other) == key(item)), None)
            if match is not None:
                partner[place] = match
                left.remove(match)
    return [(partner.get(place), item) for place, item in enumerate(later)], left


def _same(item: _Item) -> object:
    return item


def _exact_key(item: _Item) -> object:
    if isinstance(item, HeldPaper):
        return item.paper, item.holder, item.number
    if isinstance(item, Place):
        return item.kind, item.name, item.town
    return (item.who, item.first_day, item.why) if isinstance(item, Closure) else item.id


def _loose_key(item: _Item) -> object:
    if isinstance(item, HeldPaper):
        return item.paper, item.holder
    if isinstance(item, Place):
        return item.kind, item.name
    return (item.who, item.why) if isinstance(item, Closure) else item.id


def _name(item: _Item, operation: Operation) -> str:
    if isinstance(item, HeldPaper):
        return f"paper {item.paper} of {operation.say_holder(item.holder)}"
    if isinstance(item, Closure):
        return f"closure of {item.who}"
    if isinstance(item, Place):
        return f"{PLACE_WORDS[item.kind]} {item}"
    kind = {Aircraft: "aircraft", Pilot: "pilot", Job: "job", Product: "product"}[type(item)]
    return f"{kind} {item.id}"


def _say_item(item: _Item) -> str:
    if isinstance(item, Aircraft):
        weight = _say("takeoff_weight_lb", item.takeoff_weight_lb)
        return f"{item.maker} {item.model}, serial {item.serial}, {weight}"
    if isinstance(item, Pilot | Product):
        return item.name
    if isinstance(item, HeldPaper):
        number = f"number {item.number}, " if item.number else ""
        end = say_date(item.valid_through) if item.valid_through else "no end given"
        return f"{number}valid through {end}" if item.valid_through else f"{number}{end}"
    if isinstance(item, Place):
        parts = (", ".join(item.days), say_hours(item), item.phone)
        return "; ".join(part for part in parts if part) or "no days given"
    days = f"{say_date(item.first_day)} to {say_date(item.last_day)}"
    if isinstance(item, Closure):
        return f"{days}, {item.why}" if item.why else days
    return f"{days} in {item.state}"


def _compare_fields(old: _Item | Operation, new: _Item | Operation, whose: str) -> Iterator[Change]:
    for field in fields(new):
        # The lists of an operation are compared item by item; a job's own lists are plain values.
        if isinstance(new, Operation) and field.name in _LISTS:
            continue
        before, after = getattr(old, field.name), getattr(new, field.name)
        if before != after:
            yield Change(
                kind=ChangeKind.CHANGED,
                what=f"{_WORDS.get(field.name, field.name)} of {whose}",
                old=_say(field.name, before),
                new=_say(field.name, after),
            )


def _say(name: str, value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return say_date(value)
    if isinstance(value, Decimal):
        return f"{value:f} lb" if name == "takeoff_weight_lb" else f"{value:f}"
    if isinstance(value, Address):
        return _join(value.lines)
    if isinstance(value, tuple):
        return _join(map(str, value))
    return str(value) if value not in (None, "") else _NOTHING


def _join(words: Iterable[str]) -> str:
    return ", ".join(words) or _NOTHING
