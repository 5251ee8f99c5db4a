"""Records of applications: from texts with places to values, or all that is wrong with them."""

from collections.abc import Iterator, Mapping
from datetime import date

from compliance.base.dates import parse_iso_date, say_date, say_how_to_write
from compliance.base.problems import Problem
from compliance.base.reading import MAX_TEXT, suggest
from compliance.base.sources import find_unkeepable, say_unkeepable
from compliance.facts.model import Job, Material, Operation
from compliance.facts.products import (
    LABEL_BARS,
    LABEL_UNREAD,
    NOT_TO_BE_FLOWN,
    READ_THE_LABEL,
    ByAir,
    Product,
)
from compliance.facts.record_elements import PRODUCT_KEYS, RECORD_KEYS, Element
from compliance.facts.record_raw import Cell, Cells, Faults, RawRecord
from compliance.facts.record_values import TYPE_ANEW, Unread, read_value
from compliance.facts.records import Application, UsedProduct
from compliance.facts.zones import find_skipped, find_zone

_KEPT_WITH = 'if it was flown all the same, keep the truth with `anyway: why` or --anyway "why"'
_CORE = ("day", "start", "end")
_YES = {"yes": True, "true": True, "no": False, "false": False}


def parse_record(
    raw: RawRecord, operation: Operation, job: str, today: date
) -> tuple[Application | None, tuple[Problem, ...]]:
    """Make a record of what was written; number and version are given to it later.

    Shape: the record and no problems, or None and all problems. *job* is used when the record
    names none. Products of the operation's list are filled in from there.
    """
    faults = Faults()
    chosen = _find_job(raw, operation, job, faults)
    values = dict(_read_values(raw.cells, RECORD_KEYS, raw.what, faults))
    on = _find_day(raw, values, today, faults)
    _check_times(raw, values, faults)
    zone = "" if chosen is None else find_zone(operation, chosen)
    if on is not None:
        _check_clock(raw, values, on, zone, faults)
    written_on = _find_written(raw, today, faults)
    aircraft = _find_holder(raw, "aircraft", operation, chosen, faults)
    pilot = _find_holder(raw, "pilot", operation, chosen, faults)
    products = tuple(
        _parse_product(cells, number, raw, operation, chosen, faults)
        for number, cells in enumerate(raw.products, 1)
    )
    _check_repeats(raw, products, faults)
    anyway = _read_anyway(raw, faults)
    if chosen is not None and chosen.material is Material.PESTICIDE and not products:
        sentence = f"{raw.what} names no product"
        faults.note("33", raw.place, sentence, "add `products:` with what was applied")
    if chosen is None or on is None or faults.found:
        return None, tuple(sorted(faults.found))
    return Application(
        number=0,
        written_on=written_on or today,
        written_known=written_on is not None or not raw.from_table,
        job=chosen.id,
        state=chosen.state,
        for_hire=chosen.for_hire,
        material=chosen.material,
        on=on,
        start=values.get("start", ""),
        end=values.get("end", ""),
        zone=zone,
        aircraft=aircraft,
        pilot=pilot,
        said=tuple((name, text) for name, text in values.items() if name not in _CORE),
        products=products,
        anyway=anyway if any(one.by_air is not ByAir.YES for one in products) else "",
    ), ()


def _read_anyway(raw: RawRecord, faults: Faults) -> str:
    """Read why a record is kept though a label does not allow what was done."""
    cell = raw.cells.get("anyway")
    if cell is None or not cell.text:
        return ""
    if len(cell.text) > MAX_TEXT or len(cell.text.splitlines()) > 1:
        sentence = f"`anyway` of {raw.what} is longer than one line of {MAX_TEXT:,} characters"
        faults.note("22", cell.place, sentence, "say it in fewer words, on one line")
        return cell.text
    bad = find_unkeepable(cell.text)
    if bad is not None:
        sentence = f"`anyway` of {raw.what} holds {say_unkeepable(bad)}"
        faults.note("22", cell.place, sentence, TYPE_ANEW)
    return cell.text


def _check_repeats(raw: RawRecord, products: tuple[UsedProduct, ...], faults: Faults) -> None:
    names = [product.name.casefold() for product in products]
    for number, name in enumerate(names):
        if name and name in names[:number]:
            place = min((cell.place for cell in raw.products[number].values()), default=raw.place)
            sentence = f"{raw.what} names the product {products[number].name} twice"
            faults.note("12", place, sentence, "write it once, with its whole amount")


def _find_job(raw: RawRecord, operation: Operation, job: str, faults: Faults) -> Job | None:
    cell = raw.cells.get("job")
    name = cell.text if cell is not None and cell.text else job
    place = cell.place if cell is not None else raw.place
    known = tuple(one.id for one in operation.jobs)
    if name and job and name != job:
        sentence = f"{raw.what} is of job {name!r}, but the command names {job!r}"
        faults.note("13", place, sentence, "name the same job in both, or leave it out of the file")
        return None
    if name in known:
        found = next(one for one in operation.jobs if one.id == name)
        _check_state(raw, found, faults)
        return found
    sentence = f"{raw.what} names no job" if not name else f"{raw.what} names {name!r} as its job, "
    sentence += "which the operation does not have" if name else ""
    faults.note("13", place, sentence, suggest(name, known) or f"known: {', '.join(known)}")
    return None


def _check_state(raw: RawRecord, job: Job, faults: Faults) -> None:
    """Refuse another state than that of the job (W42); only tables name one."""
    cell = raw.cells.get("state")
    if cell is None or not cell.text or cell.text.upper() == job.state:
        return
    sentence = f"{raw.what} says the state {cell.text!r}, but its job {job.id} is in {job.state}"
    hint = "correct it, name the job it belongs to, or leave the cell empty"
    faults.note("42", cell.place, sentence, hint)


def _find_written(raw: RawRecord, today: date, faults: Faults) -> date | None:
    """Read on which day a record of a table was first written, None when it does not say."""
    cell = raw.cells.get("first_written")
    if cell is None or not cell.text:
        return None
    on = parse_iso_date(cell.text)
    if on is None:
        sentence = f"`first_written` of {raw.what} is {cell.text!r}, which is no date"
        hint = f"{say_how_to_write(cell.text, '2027-05-24')}; leave it empty if nobody knows"
        faults.note("22", cell.place, sentence, hint)
    elif on > today:
        sentence = f"`first_written` of {raw.what} is {say_date(on)}, which is still to come"
        faults.note("31", cell.place, sentence, "correct it; leave it empty if nobody knows")
    return on


def _read_values(
    cells: Cells, keys: Mapping[str, Element], what: str, faults: Faults
) -> Iterator[tuple[str, str]]:
    """Read the elements among some cells, in the order of the closed list; empty cells are not."""
    for key, element in keys.items():
        cell = cells.get(key)
        if cell is None or not cell.text:
            continue
        found = read_value(element, cell.text)
        if isinstance(found, Unread):
            faults.note("22", cell.place, f"{what}: {found.sentence}", found.hint)
        else:
            yield element.name, found


def _find_day(
    raw: RawRecord, values: Mapping[str, str], today: date, faults: Faults
) -> date | None:
    cell = raw.cells.get("day")
    if cell is None or not cell.text:
        place = raw.place if cell is None else cell.place
        faults.note("03", place, f"{raw.what} lacks `day`", "add a line `day: 2027-05-24`")
        return None
    on = parse_iso_date(values.get("day", ""))
    if on is not None and on > today:
        sentence = f"{raw.what} is of {say_date(on)}, which is still to come"
        faults.note("31", cell.place, sentence, "write the record when the work is done")
    return on


def _check_times(raw: RawRecord, values: Mapping[str, str], faults: Faults) -> None:
    start, end = values.get("start", ""), values.get("end", "")
    if start and end and end < start:
        sentence = f"{raw.what} ends at {end}, before it begins at {start}"
        hint = (
            "work past midnight gets a record for each day, both with --flight and the number of "
            f"the one flight in the log: the first from {start} to 23:59, the second with the next "
            f"day, from 00:00 to {end}"
        )
        faults.note("32", raw.cells["end"].place, sentence, hint)


def _check_clock(
    raw: RawRecord, values: Mapping[str, str], on: date, zone: str, faults: Faults
) -> None:
    """Refuse a time that the clocks of the place never showed (W22)."""
    for key in ("start", "end"):
        found = find_skipped(on, values[key], zone) if key in values else None
        if found is not None:
            faults.note("22", raw.cells[key].place, f"{raw.what}: {found.sentence}", found.hint)


def _find_holder(
    raw: RawRecord, key: str, operation: Operation, job: Job | None, faults: Faults
) -> str:
    """Read an aircraft or a pilot; the job's only one without."""
    people = key == "pilot"
    holders = operation.pilots if people else operation.aircraft
    known = tuple(one.id for one in holders)
    named = () if job is None else (job.pilots if people else job.aircraft)
    cell = raw.cells.get(key)
    if cell is None or not cell.text:
        if job is not None and len(named) != 1:
            hint = f"add a line `{key}:` with one of {', '.join(named or known)}"
            place = raw.place if cell is None else cell.place
            faults.note("03", place, f"{raw.what} lacks `{key}`", hint)
        return named[0] if len(named) == 1 else ""
    if cell.text not in known:
        sentence = f"`{key}` of {raw.what} is {cell.text!r}, which the operation does not have"
        hint = suggest(cell.text, known) or f"known: {', '.join(known) or 'none'}"
        faults.note("13", cell.place, sentence, hint)
    return cell.text


def _parse_product(
    cells: Cells,
    number: int,
    raw: RawRecord,
    operation: Operation,
    job: Job | None,
    faults: Faults,
) -> UsedProduct:
    what = f"product {number} of {raw.what}"
    cells = _read_name(cells, what, faults)
    place = min((cell.place for cell in cells.values()), default=raw.place)
    known = _find_known(cells, what, operation, faults)
    values = dict(_read_values(cells, PRODUCT_KEYS, what, faults))
    if known is not None:
        values = _fill_from(known) | values
        if not cells.get("id", Cell(text="", place=place)).text:
            values["product"] = known.name
    name = values.pop("product", "")
    if not name:
        faults.note("03", place, f"{what} lacks `product`", "write its name as on the label")
    by_air = _read_by_air(cells, what, known, faults)
    is_pesticide = job is None or job.material is Material.PESTICIDE
    kept = bool(raw.cells.get("anyway", Cell(text="", place=place)).text)
    if name and by_air is ByAir.NO and not kept:
        sentence = f"{what}: {LABEL_BARS} ({name})"
        faults.note("34", place, sentence, f"{NOT_TO_BE_FLOWN}; {_KEPT_WITH}")
    elif name and by_air is ByAir.UNKNOWN and is_pesticide and not kept:
        sentence = f"{what}: {LABEL_UNREAD} ({name})"
        faults.note("35", place, sentence, f"{READ_THE_LABEL}; {_KEPT_WITH}")
    usual = known.restricted_use if known is not None else job is not None and job.restricted_use
    return UsedProduct(
        name=name,
        restricted_use=_read_flag(cells, "restricted_use", what, faults, default=usual),
        by_air=by_air,
        said=tuple((key, values[key]) for key in _product_order() if key in values),
    )


def _read_name(cells: Cells, what: str, faults: Faults) -> Cells:
    """Take `name`, as the facts have it, for `product`."""
    if "name" not in cells:
        return cells
    if "product" in cells:
        sentence = f"{what} has both `name` and `product`, which mean the same"
        faults.note("02", cells["name"].place, sentence, "keep one of them")
    return {"product": cells["name"], **cells}


def _product_order() -> tuple[str, ...]:
    return tuple(element.name for element in PRODUCT_KEYS.values() if element.name != "product")


def _find_known(cells: Cells, what: str, operation: Operation, faults: Faults) -> Product | None:
    """Find the product of the operation's list, by its id or its name, whichever key has it."""
    cell = cells.get("id")
    if cell is None or not cell.text:
        named = cells.get("product")
        return operation.name_product(named.text) if named and named.text else None
    known = operation.name_product(cell.text)
    if known is None:
        names = [one.id for one in operation.products]
        hint = suggest(cell.text, names) or f"known: {', '.join(names) or 'none'}"
        sentence = f"`id` of {what} is {cell.text!r}, which is no product of the operation"
        faults.note("13", cell.place, sentence, hint)
    return known


def _fill_from(known: Product) -> dict[str, str]:
    found = {
        "product": known.name,
        "registration": known.registration,
        "active-ingredient": known.active_ingredient,
        "maker": known.maker,
    }
    return {name: text for name, text in found.items() if text}


def _read_by_air(cells: Cells, what: str, known: Product | None, faults: Faults) -> ByAir:
    listed = known.by_air if known is not None else ByAir.UNKNOWN
    cell = cells.get("by_air")
    if cell is None or not cell.text:
        return listed
    word = cell.text.lower()
    if word not in tuple(ByAir):
        sentence = f"`by_air` of {what} is {cell.text!r}; allowed: yes, no, unknown"
        faults.note("05", cell.place, sentence)
        return ByAir.YES
    # What was read once on the label and forbids the air is not undone by a word in a record.
    return ByAir.NO if ByAir.NO in {listed, ByAir(word)} else ByAir(word)


def _read_flag(cells: Cells, key: str, what: str, faults: Faults, *, default: bool) -> bool:
    cell = cells.get(key)
    if cell is None or not cell.text:
        return default
    value = _YES.get(cell.text.lower())
    if value is None:
        sentence = f"`{key}` of {what} is {cell.text!r}; allowed: yes, no"
        faults.note("05", cell.place, sentence)
    return bool(value)
