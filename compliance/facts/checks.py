"""Checks of an operation that look at more than one value; one function, one kind of fault."""

import re
from collections.abc import Callable, Iterable, Iterator
from datetime import date

from compliance.base.dates import say_date, say_days
from compliance.base.problems import Problem, SourceRef
from compliance.base.reading import suggest
from compliance.base.sources import Node, find_place
from compliance.facts.model import Address, EntityType, Material, Operation
from compliance.facts.places import PlaceKind, find_place_days
from compliance.facts.products import LABEL_BARS, ByAir
from compliance.facts.states import STATES

FAMILY = "F"
FORMAT = "1"
LONGEST_SPAN_DAYS = 366
FEWEST_LINES, MOST_LINES = 2, 6
FEWEST_DIGITS = 7
MOST_LINE = 80

_PHONE = re.compile(r"[0-9+(). /x-]+", re.ASCII)
_EMAIL = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s.]+")

At = Callable[..., SourceRef]
Check = Callable[[Operation, At], Iterator[Problem]]


def check_operation(operation: Operation, root: Node) -> tuple[Problem, ...]:
    """Run every check; *root* is the file's root node and gives the faults their places.

    Shape: sorted by place; empty when all is well. Empty texts are passed over, because whoever
    read them has said so already.
    """

    def at(*path: str | int) -> SourceRef:
        return find_place(root, *path)

    return tuple(sorted(problem for check in CHECKS for problem in check(operation, at)))


def _problem(number: str, place: SourceRef, sentence: str, hint: str = "") -> Problem:
    return Problem(place=place, code=f"{FAMILY}{number}", sentence=sentence, hint=hint)


def check_entity(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that an LLC says who manages it and nobody else does (F18, F19)."""
    is_company = operation.entity is EntityType.LLC
    if is_company and operation.managed_by is None:
        sentence = "an LLC must say who manages it, because the signer's title depends on it"
        hint = "add a line `managed_by: members` (or managers, or officers)"
        yield _problem("18", at("operation", "entity"), sentence, hint)
    if not is_company and operation.managed_by is not None:
        sentence = f"`managed_by` is for an LLC, but `entity` is {operation.entity}"
        yield _problem("19", at("operation", "managed_by"), sentence, "remove the line")


def check_addresses(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that an envelope can carry the addresses and a box has a real place too (F17, F28)."""
    mailing, physical = operation.mailing_address, operation.physical_address
    if mailing.is_po_box and physical is None:
        sentence = "the mailing address is a P.O. box, so a physical address is needed too"
        hint = "add `physical_address:` with the lines of the farm's own place"
        yield _problem("17", at("operation", "mailing_address"), sentence, hint)
    if physical is not None and physical.is_po_box:
        sentence = "`physical_address` names a P.O. box; nobody lives or works there"
        hint = "write the road and number, or directions to the place"
        yield _problem("17", at("operation", "physical_address"), sentence, hint)
    for key, address in (("mailing_address", mailing), ("physical_address", physical)):
        if address is not None and address.lines:
            yield from _check_lines(key, address, at)


def _check_lines(key: str, address: Address, at: At) -> Iterator[Problem]:
    count = len(address.lines)
    if not FEWEST_LINES <= count <= MOST_LINES:
        sentence = f"`{key}` has {count} line{'s' if count > 1 else ''}"
        hint = f"write {FEWEST_LINES} to {MOST_LINES} lines, each after a `- `"
        yield _problem("28", at("operation", key), sentence, hint)
    for place, line in enumerate(address.lines):
        if len(line.splitlines()) > 1 or len(line) > MOST_LINE:
            sentence = f"line {place + 1} of `{key}` does not fit on one line of an envelope"
            hint = f"at most {MOST_LINE} characters; begin a new line with `- `"
            yield _problem("28", at("operation", key, place), sentence, hint)


def check_contact(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that e-mail and telephone look like what they are (F22, F23)."""
    email, phone = operation.contact_email, operation.contact_phone
    if email and _EMAIL.fullmatch(email) is None:
        sentence = f"`email` of the contact is {email!r}, which is no e-mail address"
        hint = "write it as name@place.example, or remove the line"
        yield _problem("22", at("operation", "contact", "email"), sentence, hint)
    if phone and not is_phone(phone):
        sentence = f"`phone` of the contact is {phone!r}, which is no telephone number"
        hint = f"write at least {FEWEST_DIGITS} digits, for example 402-555-0143"
        yield _problem("23", at("operation", "contact", "phone"), sentence, hint)


def is_phone(text: str) -> bool:
    """Tell whether a text looks like a telephone number."""
    digits = sum(character.isdigit() for character in text)
    return _PHONE.fullmatch(text) is not None and digits >= FEWEST_DIGITS


def check_states(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that states are two-letter postal codes (F16)."""
    found: list[tuple[str, str, tuple[str | int, ...]]] = []
    found.append(
        (operation.home_state, "`home_state` of the operation", ("operation", "home_state"))
    )
    found.extend(
        (job.state, f"`state` of job `{job.id}`", ("jobs", place, "state"))
        for place, job in enumerate(operation.jobs)
    )
    for code, what, path in found:
        if code and code not in STATES:
            by_name = {name.lower(): short for short, name in STATES.items()}
            guess = by_name.get(code.lower(), code.upper())
            hint = f"write {guess}" if guess in STATES else "write a code such as NE or SD"
            yield _problem("16", at(*path), f"{what} is {code!r}, which is no state code", hint)


def check_ids(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that no id stands twice; aircraft and pilots share one set of ids (F12)."""
    holders = [("aircraft", place, item.id) for place, item in enumerate(operation.aircraft)]
    holders.extend(("pilots", place, item.id) for place, item in enumerate(operation.pilots))
    jobs = [("jobs", place, job.id) for place, job in enumerate(operation.jobs)]
    for group in (holders, jobs):
        first: dict[str, SourceRef] = {}
        for section, place, name in group:
            here = at(section, place, "id")
            if name and name in first:
                sentence = f"the id `{name}` stands twice; first on line {first[name].line}"
                hint = "aircraft and pilots share one set of ids" if section != "jobs" else ""
                yield _problem("12", here, sentence, hint or "give each job its own id")
            first.setdefault(name, here)


def check_references(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that jobs name aircraft and pilots of the file, each once (F12, F13, F21)."""
    machines = [machine.id for machine in operation.aircraft]
    pilots = [pilot.id for pilot in operation.pilots]
    for place, job in enumerate(operation.jobs):
        for key, one, named, known in (
            ("aircraft", "aircraft", job.aircraft, machines),
            ("pilots", "pilot", job.pilots, pilots),
        ):
            where = at("jobs", place, key)
            if not named:
                sentence = f"job `{job.id}` has no {one}"
                hint = f"add `{key}:` with one of {', '.join(known)}"
                if not known:
                    hint = f"list the {key} under `{key}:` at the left margin first"
                yield _problem("21", where, sentence, hint)
            for word in dict.fromkeys(named):
                if word not in known:
                    sentence = f"job `{job.id}` names {word!r}, which is no {one} of the file"
                    hint = suggest(word, known) or f"known here: {', '.join(known) or 'none'}"
                    yield _problem("13", where, sentence, hint)
            yield from _check_repeats(named, f"`{key}` of job `{job.id}`", where)


def check_weekdays(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that no day of the week stands twice (F12)."""
    yield from _check_repeats(operation.notary_days, "`notary_days`", at("notary_days"))
    days = operation.post_office_days
    yield from _check_repeats(days, "`post_office_days`", at("post_office_days"))


def check_places(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that places stand once, can be called, and agree on days (F12, F23, F53)."""
    first: dict[tuple[str, str, str], SourceRef] = {}
    for number, place in enumerate(operation.places):
        here = at("places", number, "name")
        key = (str(place.kind), place.name, place.town)
        if place.name and key in first:
            sentence = (
                f"the {place.kind} `{place.name}` stands twice; first on line {first[key].line}"
            )
            yield _problem("12", here, sentence, "keep one, with all its days")
        first.setdefault(key, here)
        yield from _check_repeats(place.days, f"`days` of place `{place.name}`", here)
        if place.phone and not is_phone(place.phone):
            sentence = f"`phone` of place `{place.name}` is {place.phone!r}, no telephone number"
            hint = f"write at least {FEWEST_DIGITS} digits, for example 402-555-0143"
            yield _problem("23", at("places", number, "phone"), sentence, hint)
    for line, kind, days in (
        ("notary_days", PlaceKind.NOTARY, operation.notary_days),
        ("post_office_days", PlaceKind.POST_OFFICE, operation.post_office_days),
    ):
        stated = find_place_days(operation.places, kind)
        if stated and set(stated) != set(days):
            sentence = f"`{line}` says {', '.join(days)}, but `places` says {', '.join(stated)}"
            hint = f"remove the line `{line}`; the days of the places are taken"
            yield _problem("53", at(line), sentence, hint)


def _check_repeats(words: Iterable[str], what: str, where: SourceRef) -> Iterator[Problem]:
    seen: set[str] = set()
    for word in words:
        if word in seen:
            yield _problem("12", where, f"{what} names `{word}` twice", "keep one of them")
        seen.add(word)


def check_spans(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that jobs and closures end on or after their first day, within a year (F14, F29).

    Units: at most 366 calendar days, both ends counted.
    """
    spans = [
        (f"job `{job.id}`", "jobs", place, job.first_day, job.last_day)
        for place, job in enumerate(operation.jobs)
    ]
    spans.extend(
        (f"the closure of {item.who}", "closures", place, item.first_day, item.last_day)
        for place, item in enumerate(operation.closures)
    )
    for what, section, place, first, last in spans:
        yield from _check_span(what, first, last, at(section, place, "last_day"))


def _check_span(what: str, first: date, last: date, where: SourceRef) -> Iterator[Problem]:
    days = (last - first).days + 1
    if days < 1:
        sentence = f"{what} ends on {say_date(last)}, before it begins on {say_date(first)}"
        yield _problem("14", where, sentence, "swap the two days, or correct the year")
    elif days > LONGEST_SPAN_DAYS:
        sentence = f"{what} lasts {say_days(days)}; at most {LONGEST_SPAN_DAYS} are read"
        yield _problem("29", where, sentence, "correct the year, or write one entry for each year")


def check_papers(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that no paper ends before it was issued and none stands twice (F15, F20).

    Two papers of one kind and holder may overlap, as a renewal does; the same number, or the same
    two dates, means that one entry was copied.
    """
    first: dict[tuple[object, ...], SourceRef] = {}
    for place, held in enumerate(operation.papers):
        issued, end = held.issued_on, held.valid_through
        if issued is not None and end is not None and end < issued:
            sentence = (
                f"paper `{held.paper}` is valid through {say_date(end)}, "
                f"before it was issued on {say_date(issued)}"
            )
            where = at("papers", place, "valid_through")
            yield _problem("15", where, sentence, "swap the two days, or correct the year")
        here = at("papers", place)
        keys: list[tuple[object, ...]] = [(held.paper, held.holder, issued, end)]
        if held.number:
            keys.append((held.paper, held.holder, held.number))
        twice = next((first[key] for key in keys if key in first), None)
        if twice is not None and held.paper:
            whose = operation.say_holder(held.holder)
            sentence = f"paper `{held.paper}` of {whose} stands twice; first on line {twice.line}"
            hint = "keep one; a renewal has its own number and its own dates"
            yield _problem("20", here, sentence, hint)
        for key in keys:
            first.setdefault(key, here)


def check_serials(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that no two aircraft share a serial, Remote ID serial or registration (F30)."""
    first: dict[tuple[str, ...], str] = {}
    for place, machine in enumerate(operation.aircraft):
        for key, words, value in (
            ("serial", "serial number", (machine.maker, machine.serial)),
            ("remote_id_serial", "Remote ID serial", (machine.remote_id_serial,)),
            ("registration_number", "registration number", (machine.registration_number,)),
        ):
            if not value[-1]:
                continue
            other = first.setdefault((key, *value), machine.id)
            if other != machine.id:
                sentence = f"aircraft `{machine.id}` has the {words} of aircraft `{other}`"
                hint = "read both plates again; no two machines share one"
                yield _problem("30", at("aircraft", place, key), sentence, hint)


def check_materials(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that only a pesticide is called a restricted-use product (F31).

    Source: 40 CFR 152.160 classifies pesticide products for restricted use (from memory).
    """
    for place, job in enumerate(operation.jobs):
        if job.restricted_use and job.material is not Material.PESTICIDE:
            sentence = (
                f"job `{job.id}` dispenses {job.material}, so nothing in it is restricted-use"
            )
            hint = "write `restricted_use: no`, or `material: pesticide`"
            yield _problem("31", at("jobs", place, "restricted_use"), sentence, hint)


def check_products(operation: Operation, at: At) -> Iterator[Problem]:
    """Check that jobs name products of the file whose labels do not bar the air (F12, F13, F72).

    Source: 7 USC 136j(a)(2)(G), use inconsistent with the label (from memory).
    """
    ids = [product.id for product in operation.products]
    for place, name in enumerate(ids):
        if name and name in ids[:place]:
            sentence = f"the id `{name}` stands twice"
            yield _problem("12", at("products", place, "id"), sentence, "give each its own id")
    for place, job in enumerate(operation.jobs):
        where = at("jobs", place, "products")
        yield from _check_repeats(job.products, f"`products` of job `{job.id}`", where)
        for name in dict.fromkeys(job.products):
            product = operation.find_product(name)
            if product is None:
                sentence = f"job `{job.id}` names {name!r}, which is no product of the file"
                hint = suggest(name, ids) or f"known here: {', '.join(ids) or 'none'}"
                yield _problem("13", where, sentence, hint)
            elif product.by_air is ByAir.NO:
                sentence = f"job `{job.id}` names {product.name}, but {LABEL_BARS}"
                hint = "take it out of the job; no paper makes that lawful"
                yield _problem("72", where, sentence, hint)
            elif product.restricted_use and not job.restricted_use:
                sentence = f"job `{job.id}` says `restricted_use: no`, but {product.name} is one"
                hint = "write `restricted_use: yes`; it decides which licenses are needed"
                yield _problem("73", at("jobs", place, "restricted_use"), sentence, hint)


CHECKS: tuple[Check, ...] = (
    check_entity,
    check_addresses,
    check_contact,
    check_states,
    check_ids,
    check_references,
    check_weekdays,
    check_places,
    check_spans,
    check_papers,
    check_serials,
    check_materials,
    check_products,
)
