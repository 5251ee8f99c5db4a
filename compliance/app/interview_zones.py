"""The questions about clocks: which one a place goes by, and at what hour a job begins."""

from collections.abc import Mapping

from compliance.app.interview import Section, Talk, is_yes, put
from compliance.app.interview_days import read_clock
from compliance.app.interview_items import Item
from compliance.app.interview_parts import Option, read_choice
from compliance.facts.states import STATES
from compliance.facts.zones import ZONES_OF_STATES, say_zone

FIRST_FLIGHTS = "jobs.hours"
"""The question whether an hour is known of any job."""


def home_zone_key(state: str) -> str:
    """Give the key of the question about the clock at home; another state is another question."""
    return f"business.time_zone.{state}"


def job_zone_key(number: str, state: str) -> str:
    """Give the key of the question about the clock of a job in a state."""
    return f"jobs.{number}.time_zone.{state}"


def ask_home_zone(talk: Talk, state: str) -> str:
    """Ask for the clock at home when the state lies on several; empty when it goes without saying.

    A clock that was named before is offered even where the state has but one.
    """
    key = home_zone_key(state)
    zones = ZONES_OF_STATES.get(state, ())
    if len(zones) < 2 and not talk.recall(key):  # noqa: PLR2004 - one clock needs no choice
        return ""
    path = ("operation", "time_zone")
    return _ask_zone(talk, key, state, zones[0] if zones else "", path)


def ask_job_zone(talk: Talk, item: Item, state: str, home: Section) -> str:
    """Ask for the clock of a job in another state than home that lies on several.

    In the home state the clock at home counts.
    """
    key = job_zone_key(item.number, state)
    zones = ZONES_OF_STATES.get(state, ())
    is_elsewhere = state != home["home_state"] and len(zones) > 1
    if not is_elsewhere and not talk.recall(key):
        return ""
    at_home = str(home.get("time_zone", "")) or _only(str(home["home_state"]))
    near = at_home if at_home in zones else zones[0] if zones else ""
    return _ask_zone(talk, key, state, near, item.path("time_zone"))


def _only(state: str) -> str:
    zones = ZONES_OF_STATES.get(state, ())
    return zones[0] if len(zones) == 1 else ""


def _ask_zone(talk: Talk, key: str, state: str, near: str, path: tuple[str | int, ...]) -> str:
    zones = ZONES_OF_STATES.get(state, ())
    known = talk.recall(key)
    names = (*zones, *((known,) if known and known not in zones else ()))
    options: tuple[Option, ...] = tuple((name, say_zone(name)) for name in names)
    words = "jobs.time_zone" if path[0] == "jobs" else "business.time_zone"
    return put(
        talk,
        key,
        read_choice(options),
        words=words,
        what=STATES.get(state, state),
        default=near,
        optional=True,
        options=options,
        path=path,
    )


def ask_first_flights(talk: Talk, jobs: Mapping[str, Section]) -> None:
    """Ask for the hours of first flights, if the person knows any, and put them into the jobs."""
    if not jobs or not is_yes(talk, FIRST_FLIGHTS, default="no"):
        return
    for place, (number, job) in enumerate(jobs.items()):
        hour = put(
            talk,
            f"jobs.{number}.first_flight",
            read_clock,
            what=str(job["id"]),
            optional=True,
            path=("jobs", place, "first_flight"),
        )
        if hour:
            job["first_flight"] = hour
