"""The questions about products: what their labels say, and which job uses which."""

from collections.abc import Mapping

from compliance.app.interview import Section, Talk, choose, is_yes, put, put_name
from compliance.app.interview_items import Item, leave_out_empty, list_items
from compliance.app.interview_parts import (
    Option,
    Reading,
    make_name,
    read_line,
    read_several,
)
from compliance.base.ids import MAX_ID, is_name
from compliance.facts.model import Material
from compliance.facts.products import ByAir
from compliance.facts.record_elements import ELEMENTS
from compliance.facts.record_values import Unread, read_value

BY_AIR: tuple[Option, ...] = (
    ("yes", "the label allows it"),
    ("no", "the label does not allow it"),
    ("unknown", "nobody has read it there yet"),
)
_MOST_HOURS = ELEMENTS["re-entry"].most


def use_key(number: str, material: str) -> str:
    """Give the key of the question which products a job uses; another material is another one."""
    tail = "" if material == Material.PESTICIDE else f".{material}"
    return f"products.for.{number}{tail}"


def read_registration(text: str) -> Reading:
    """Read the number after ``EPA Reg. No.`` on a label."""
    found = read_value(ELEMENTS["registration"], text)
    if isinstance(found, Unread):
        return Reading(fault=found.sentence, hint=found.hint)
    return Reading(value=found)


def read_hours_closed(text: str) -> Reading:
    """Read the hours of a restricted-entry interval; the unit may stand behind them."""
    bare = text.lower().removesuffix("hours").removesuffix("h").strip()
    if not (bare.isascii() and bare.isdigit()) or int(bare[:9]) > _MOST_HOURS:
        fault = f"{text!r} is no number of hours from 0 to {_MOST_HOURS}"
        return Reading(fault=fault, hint="such as 12; one day is 24")
    return Reading(value=str(int(bare)))


def ask_products(talk: Talk, jobs: Mapping[str, Section]) -> list[Section]:
    """Ask for the products, if the person wants to name any, and which job uses which.

    Without a job that puts out a pesticide there are none to name, unless some are known.
    """
    sprays = [job for job in jobs.values() if job["material"] == Material.PESTICIDE]
    if not sprays and not talk.knows("products.1."):
        return []
    found: list[Section] = []

    def describe(key: str) -> str:
        return talk.recall(f"{key}.name")

    for item in list_items(talk, "products", describe, first_default="no"):
        found.append(_ask_product(talk, item, [str(one["id"]) for one in found]))
    options = tuple(
        (str(one["id"]), str(one["name"])) for one in found if one["by_air"] != ByAir.NO
    )
    for place, (number, job) in enumerate(jobs.items()):
        key = use_key(number, str(job["material"]))
        if options and (job["material"] == Material.PESTICIDE or talk.recall(key)):
            used = put(
                talk,
                key,
                read_several(options, needed=False),
                words="products.for",
                what=str(job["id"]),
                optional=True,
                options=options,
                path=("jobs", place, "products"),
            )
            if used:
                job["products"] = used.split(",")
    return found


def _ask_product(talk: Talk, item: Item, taken: list[str]) -> Section:
    key = item.key
    read = read_line("name", "the product")
    name = put(talk, f"{key}.name", read, path=item.path("name"))
    short = put_name(talk, f"{key}.id", _shorten(name), f"product-{item.place + 1}", taken)
    path = item.path("registration")
    number = put(talk, f"{key}.registration", read_registration, optional=True, path=path)
    by_air = choose(talk, f"{key}.by_air", BY_AIR, default="unknown", path=item.path("by_air"))
    is_restricted = is_yes(talk, f"{key}.restricted_use", path=item.path("restricted_use"))
    path = item.path("restricted_entry_hours")
    hours = put(talk, f"{key}.restricted_entry_hours", read_hours_closed, optional=True, path=path)
    return leave_out_empty(
        {
            "id": short,
            "name": name,
            "registration": number,
            "by_air": by_air,
            "restricted_use": is_restricted,
            "restricted_entry_hours": hours,
        }
    )


def _shorten(name: str) -> str:
    """Make the short name of a product; one that begins with a digit, as many do, gets a word."""
    short = make_name(name)
    return short if is_name(short) or not short else f"product-{short}"[:MAX_ID].strip("-")
