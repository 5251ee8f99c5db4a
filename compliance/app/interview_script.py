"""The questions of the interview in the order a farmer finds natural, and the facts they make."""

from compliance.app.interview import Section, Talk, choose, is_yes, put, put_name
from compliance.app.interview_days import read_weekdays
from compliance.app.interview_lists import (
    ask_aircraft,
    ask_closures,
    ask_jobs,
    ask_pilots,
    ask_places,
)
from compliance.app.interview_papers import ask_papers
from compliance.app.interview_parts import (
    Option,
    guess_entity,
    make_business_name,
    read_address_line,
    read_email,
    read_line,
    read_phone,
    read_state,
)
from compliance.app.interview_products import ask_products
from compliance.app.interview_zones import ask_first_flights, ask_home_zone
from compliance.base.yaml_text import render_yaml
from compliance.facts.checks import FEWEST_LINES, FORMAT, MOST_LINES
from compliance.facts.model import Address, EntityType
from compliance.rules.model import RulesTable

ENTITIES: tuple[Option, ...] = (
    ("individual", "you yourself, without a company"),
    ("partnership", "two or more owners without a company"),
    ("corporation", "a company with shares"),
    ("llc", "a limited liability company"),
)
MANAGERS: tuple[Option, ...] = (
    ("members", "its owners themselves"),
    ("managers", "managers it has named"),
    ("officers", "officers, such as a president"),
)
SERVICES: tuple[Option, ...] = (
    ("first-class", "letter mail"),
    ("priority", "priority mail"),
    ("express", "the post's overnight service"),
    ("courier", "a private courier; none delivers to a P.O. box"),
)


def ask_facts(talk: Talk, table: RulesTable, taken: frozenset[str]) -> None:
    """Ask everything; the facts file that the answers make is left in the talk's draft.

    *taken* are the short names of other operations. What has been answered is not asked again.

    Raises:
        DataProblemsError: The answers do not fit one another; the places are those of the file.
        BackError: The person asked for the question before.
        StoppedError: The person asked to stop.
        EOFError: Nobody is there to answer any more.
    """
    talk.begin()
    operation = _ask_business(talk, taken)
    operation |= _ask_mail(talk)
    operation["contact"] = _ask_contact(talk)
    tree: Section = {"mailby_file": int(FORMAT), "operation": operation}
    tree["aircraft"] = machines = ask_aircraft(talk)
    tree["pilots"] = pilots = ask_pilots(talk, machines)
    jobs = ask_jobs(talk, machines, pilots, operation)
    ask_first_flights(talk, jobs)
    products = ask_products(talk, jobs)
    tree["jobs"] = [*jobs.values()]
    if products:
        tree["products"] = products
    tree["papers"] = ask_papers(talk, table, tree)
    tree["closures"] = ask_closures(talk)
    for key in ("notary_days", "post_office_days"):
        usual = "mon,tue,wed,thu,fri" if key == "notary_days" else "mon,tue,wed,thu,fri,sat"
        days = put(talk, f"days.{key}", read_weekdays, default=usual, path=(key,))
        tree[key] = days.split(",")
    operation["mail_service"] = choose(talk, "days.mail_service", SERVICES, default="first-class")
    places = ask_places(talk)
    if places:
        tree["places"] = places
        for key, kind in (("notary_days", "notary"), ("post_office_days", "post-office")):
            if any(one["kind"] == kind and "days" in one for one in places):
                del tree[key]  # the days of the places are taken
    talk.draft = render_yaml(tree)


def _ask_business(talk: Talk, taken: frozenset[str]) -> Section:
    path = "operation"
    legal_name = put(
        talk,
        "business.legal_name",
        read_line("legal name", "the business"),
        path=(path, "legal_name"),
    )
    name = put_name(talk, "business.id", make_business_name(legal_name), "my-business", taken)
    guess = str(guess_entity(legal_name))
    entity = choose(talk, "business.entity", ENTITIES, default=guess, path=(path, "entity"))
    section: Section = {"id": name, "legal_name": legal_name, "entity": entity}
    if entity == EntityType.LLC:
        managed_by = choose(talk, "business.managed_by", MANAGERS, default="members")
        section["managed_by"] = managed_by
    home = put(talk, "business.home_state", read_state, path=(path, "home_state"))
    zone = ask_home_zone(talk, home)
    return section | {"home_state": home} | ({"time_zone": zone} if zone else {})


def _ask_mail(talk: Talk) -> Section:
    mailing = _ask_lines(talk, "mail.to", "mailing_address", is_place=False)
    section: Section = {"mailing_address": mailing}
    is_box = Address(lines=tuple(mailing)).is_po_box
    if is_box or is_yes(talk, "mail.elsewhere", default="no"):
        section["physical_address"] = _ask_lines(
            talk, "mail.place", "physical_address", is_place=True
        )
    return section


def _ask_lines(talk: Talk, key: str, name: str, *, is_place: bool) -> list[str]:
    lines: list[str] = []
    for number in range(1, MOST_LINES + 1):
        kind = "first" if number == 1 else "next" if number == FEWEST_LINES else "more"
        line = put(
            talk,
            f"{key}.{number}",
            read_address_line(is_place=is_place),
            words=f"{key}.{kind}",
            optional=number > FEWEST_LINES,
            path=("operation", name, number - 1),
        )
        if not line:
            break
        lines.append(line)
    return lines


def _ask_contact(talk: Talk) -> Section:
    path = ("operation", "contact")
    own = talk.answers["business.legal_name"]
    is_person = talk.answers["business.entity"] == EntityType.INDIVIDUAL
    contact: Section = {
        "name": put(
            talk,
            "contact.name",
            read_line("name", "the contact"),
            default=own if is_person else None,
            path=(*path, "name"),
        ),
        "phone": put(talk, "contact.phone", read_phone, path=(*path, "phone")),
    }
    email = put(talk, "contact.email", read_email, optional=True, path=(*path, "email"))
    return contact | ({"email": email} if email else {})
