"""The questions of the lists: aircraft, people who fly, jobs, days that do not count."""

from decimal import Decimal

from compliance.app.interview import Section, Talk, choose, is_yes, put, put_name
from compliance.app.interview_days import (
    parse_hours,
    read_day,
    read_hours,
    read_last_day,
    read_weekdays,
)
from compliance.app.interview_items import Item, leave_out_empty, list_items
from compliance.app.interview_parts import (
    Option,
    make_name,
    read_line,
    read_name,
    read_phone,
    read_several,
    read_state,
    read_text,
    read_weight,
)
from compliance.app.interview_zones import ask_job_zone
from compliance.facts.model import Material

# Source: 14 CFR 107.3: a small unmanned aircraft weighs less than 55 pounds on take-off.
SMALL_UNDER_LB = 55

WAYS: tuple[Option, ...] = (
    ("new", "bought new from a dealer or the maker"),
    ("used-us", "bought used in the United States"),
    ("imported", "brought in from another country"),
    ("own-build", "built by yourselves"),
)

MATERIALS: tuple[Option, ...] = (
    ("pesticide", "against weeds, insects or disease"),
    ("fertilizer", "fertilizer and nothing else"),
    ("seed", "seed"),
)

CLOSING: tuple[Option, ...] = (
    ("field", "nobody can leave the field"),
    ("notary", "the notary is away"),
    ("post-office", "the post office is closed"),
    ("federal", "federal offices are closed"),
    ("postal", "no mail travels"),
    ("bank", "the bank is closed"),
    ("vehicle", "nobody can drive to town"),
)

PLACES: tuple[Option, ...] = (
    ("notary", "where papers are notarized"),
    ("post-office", "the counter where packets are mailed"),
    ("test-center", "where exams are sat or classes held"),
    ("office", "the counter of an agency, or the town hall"),
    ("bank", "the bank"),
)


def ask_aircraft(talk: Talk) -> list[Section]:
    """Ask for the aircraft one by one."""
    found: list[Section] = []

    def describe(key: str) -> str:
        return f"{talk.recall(f'{key}.model')} {talk.recall(f'{key}.serial')}".strip()

    for item in list_items(talk, "aircraft", describe):
        found.append(_ask_machine(talk, item, [str(one["id"]) for one in found]))
    return found


def _ask_machine(talk: Talk, item: Item, taken: list[str]) -> Section:
    def line(field: str, noun: str, *, optional: bool = False) -> str:
        read = read_line(noun, "the aircraft")
        return put(talk, f"{item.key}.{field}", read, optional=optional, path=item.path(field))

    maker, model = line("maker", "maker"), line("model", "model")
    compact = make_name(model).replace("-", "")
    name = put_name(talk, f"{item.key}.id", compact, f"aircraft-{item.place + 1}", taken)
    serial = line("serial", "serial number")
    remote = line("remote_id_serial", "Remote ID serial", optional=True)
    key = f"{item.key}.takeoff_weight_lb"
    weight = Decimal(put(talk, key, read_weight, path=item.path("takeoff_weight_lb")))
    acquired = choose(talk, f"{item.key}.acquired", WAYS, default="new")
    number = line("registration_number", "registration number", optional=True)
    section: Section = {
        "id": name,
        "maker": maker,
        "model": model,
        "serial": serial,
        "remote_id_serial": remote,
        "takeoff_weight_lb": weight,
        "acquired": acquired,
        "registration_number": number,
    }
    wish = f"{item.key}.n_number_wanted"
    if weight < SMALL_UNDER_LB or talk.recall(wish) == "yes":
        section["n_number_wanted"] = is_yes(talk, wish, default="no")
    return leave_out_empty(section)


def ask_pilots(talk: Talk, machines: list[Section]) -> list[Section]:
    """Ask for the people who fly, the contact first."""
    found: list[Section] = []
    for item in list_items(talk, "pilots", lambda key: talk.recall(f"{key}.name")):
        name = put(
            talk,
            f"{item.key}.name",
            read_line("name", "the person who flies"),
            default=talk.answers["contact.name"] if not found else None,
            path=item.path("name"),
        )
        taken = [str(one["id"]) for one in (*machines, *found)]
        first_name = make_name(name.split()[0])
        spare = f"pilot-{item.place + 1}"
        found.append(
            {"id": put_name(talk, f"{item.key}.id", first_name, spare, taken), "name": name}
        )
    return found


def ask_jobs(
    talk: Talk, machines: list[Section], pilots: list[Section], home: Section
) -> dict[str, Section]:
    """Ask for the jobs; there can be none without an aircraft and somebody to fly it.

    Shape: by the number of their questions, in order. *home* has the home state and its clock.
    """
    found: dict[str, Section] = {}
    if not machines or not pilots:
        return found

    def describe(key: str) -> str:
        return talk.recall(f"{key}.id")

    for item in list_items(talk, "jobs", describe, first_default="yes"):
        found[item.number] = _ask_job(talk, item, tuple(found.values()), home, (machines, pilots))
    return found


def _ask_job(
    talk: Talk,
    item: Item,
    before: tuple[Section, ...],
    home: Section,
    crew: tuple[list[Section], list[Section]],
) -> Section:
    key = item.key
    section: Section = {
        "id": put(
            talk,
            f"{key}.id",
            read_name("name", "the job", [str(one["id"]) for one in before]),
            default=f"job-{item.place + 1}",
            path=item.path("id"),
        )
    }
    first = put(talk, f"{key}.first_day", read_day, path=item.path("first_day"))
    last = put(talk, f"{key}.last_day", read_last_day(first), path=item.path("last_day"))
    near = str((before[-1] if before else {"state": home["home_state"]})["state"])
    state = put(talk, f"{key}.state", read_state, default=near, path=item.path("state"))
    zone = ask_job_zone(talk, item, state, home)
    section |= {"first_day": first, "last_day": last, "state": state, "time_zone": zone}
    section["for_hire"] = is_yes(talk, f"{key}.for_hire")
    section["material"] = choose(talk, f"{key}.material", MATERIALS, default="pesticide")
    is_pesticide = section["material"] == Material.PESTICIDE
    section["restricted_use"] = is_pesticide and is_yes(
        talk, f"{key}.restricted_use", path=item.path("restricted_use")
    )
    for field, known, word in (("aircraft", crew[0], "model"), ("pilots", crew[1], "name")):
        options = tuple((str(one["id"]), str(one[word])) for one in known)
        section[field] = _ask_crew(talk, f"{key}.{field}", options, item.path(field))
    for field in ("controlled_airspace", "outside_blanket_area", "congested_area"):
        section[field] = is_yes(talk, f"{key}.{field}", default="no")
    note = put(talk, f"{key}.note", read_text("note", "the job"), optional=True)
    return leave_out_empty(section | {"note": note})


def _ask_crew(
    talk: Talk, key: str, options: tuple[Option, ...], path: tuple[str | int, ...]
) -> list[str]:
    """Ask which of several aircraft or pilots; a single one goes without saying."""
    if len(options) == 1:
        return [options[0][0]]
    every = ",".join(word for word, _ in options)
    read = read_several(options, needed=True)
    return put(talk, key, read, default=every, options=options, path=path).split(",")


def ask_closures(talk: Talk) -> list[Section]:
    """Ask for the days on which nobody can leave the field, or an office is closed."""
    found: list[Section] = []

    def describe(key: str) -> str:
        words = dict(CLOSING).get(talk.recall(f"{key}.who"), "")
        day = read_day(talk.recall(f"{key}.first_day")).words
        return f"{words}, from {day}" if day else words

    for item in list_items(talk, "closures", describe, first_default="no"):
        who = choose(talk, f"{item.key}.who", CLOSING, default="field", path=item.path("who"))
        first = put(talk, f"{item.key}.first_day", read_day, path=item.path("first_day"))
        last = put(
            talk,
            f"{item.key}.last_day",
            read_last_day(first),
            default=first,
            path=item.path("last_day"),
        )
        why = put(talk, f"{item.key}.why", read_text("reason", "these days"), optional=True)
        found.append(
            leave_out_empty({"who": who, "first_day": first, "last_day": last, "why": why})
        )
    return found


def ask_places(talk: Talk) -> list[Section]:
    """Ask for places in town with their days and hours, if the person wants to name any."""
    found: list[Section] = []

    def describe(key: str) -> str:
        return talk.recall(f"{key}.name")

    for item in list_items(talk, "places", describe, first_default="no"):
        kind = choose(talk, f"{item.key}.kind", PLACES, default="notary", path=item.path("kind"))
        section: Section = {"kind": kind}
        for field, noun in (("name", "name"), ("town", "town")):
            section[field] = put(
                talk,
                f"{item.key}.{field}",
                read_line(noun, "the place"),
                optional=field == "town",
                path=item.path(field),
            )
        known = talk.answers.get(f"days.{kind.replace('-', '_')}_days", "mon,tue,wed,thu,fri")
        key, path = f"{item.key}.days", item.path("days")
        days = put(talk, key, read_weekdays, default=known, optional=True, path=path)
        section["days"] = days.split(",") if days else ""
        key, path = f"{item.key}.hours", item.path("hours")
        hours = put(talk, key, read_hours(days), optional=True, path=path)
        by_day = parse_hours(hours, days) or {}
        section["hours"] = by_day if ";" in hours or hours[:1].isalpha() else hours
        key, path = f"{item.key}.phone", item.path("phone")
        section["phone"] = put(talk, key, read_phone, optional=True, path=path)
        found.append(leave_out_empty(section))
    return found
