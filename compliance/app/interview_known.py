"""What is known of an operation as answers of the interview, so that it can be changed there."""

from collections.abc import Iterator

from compliance.app.interview_papers import make_words
from compliance.app.interview_products import use_key
from compliance.app.interview_zones import FIRST_FLIGHTS, home_zone_key, job_zone_key
from compliance.facts.checks import MOST_LINES
from compliance.facts.model import Aircraft, Closure, HeldPaper, Job, Operation
from compliance.facts.parse import OPEN_WORD
from compliance.facts.places import Place, say_hours
from compliance.facts.products import Product

_Answers = dict[str, str]


def make_answers(operation: Operation) -> dict[str, str]:
    """Give the answers that make an equal operation, by question in the order of asking."""
    answers = _head(operation)
    products = [_product(product) for product in operation.products]
    for section, items in (
        ("aircraft", [_aircraft(machine) for machine in operation.aircraft]),
        ("pilots", [{"name": pilot.name} for pilot in operation.pilots]),
        ("jobs", [_job(job) for job in operation.jobs]),
        ("products", products),
        ("closures", [_closure(closure) for closure in operation.closures]),
        ("places", [_place(place) for place in operation.places]),
    ):
        for number, item in enumerate(items, 1):
            answers[f"{section}.{number}"] = "yes"
            answers |= {f"{section}.{number}.{key}": value for key, value in item.items()}
        answers[f"{section}.{len(items) + 1}"] = "no"
    for number, job in enumerate(operation.jobs, 1):
        answers[job_zone_key(str(number), job.state)] = job.time_zone
        answers[use_key(str(number), str(job.material))] = ",".join(job.products)
    answers[FIRST_FLIGHTS] = _flag(is_set=any(job.first_flight for job in operation.jobs))
    words = make_words(operation.papers)
    answers["papers"] = ",".join(words)
    for word, held in zip(words, operation.papers, strict=True):
        answers |= {f"papers.{word}.{key}": value for key, value in _paper(held)}
    answers["days.notary_days"] = ",".join(operation.notary_days)
    answers["days.post_office_days"] = ",".join(operation.post_office_days)
    return answers | {"days.mail_service": str(operation.mail_service)}


def make_settled(operation: Operation) -> dict[str, str]:
    """Give the short names that stay as they are: of the operation, and of the lists' entries."""
    settled = {"business.id": operation.id}
    for number, machine in enumerate(operation.aircraft, 1):
        settled[f"aircraft.{number}.id"] = machine.id
    for number, product in enumerate(operation.products, 1):
        settled[f"products.{number}.id"] = product.id
    for number, pilot in enumerate(operation.pilots, 1):
        settled[f"pilots.{number}.id"] = pilot.id
    return settled


def _head(operation: Operation) -> _Answers:
    physical = operation.physical_address
    managed_by = operation.managed_by
    return {
        "business.legal_name": operation.legal_name,
        "business.entity": str(operation.entity),
        **({"business.managed_by": str(managed_by)} if managed_by is not None else {}),
        "business.home_state": operation.home_state,
        home_zone_key(operation.home_state): operation.time_zone,
        **_lines("mail.to", operation.mailing_address.lines),
        "mail.elsewhere": "no" if physical is None else "yes",
        **_lines("mail.place", physical.lines if physical is not None else ()),
        "contact.name": operation.contact_name,
        "contact.phone": operation.contact_phone,
        "contact.email": operation.contact_email,
    }


def _lines(key: str, lines: tuple[str, ...]) -> _Answers:
    answers = {f"{key}.{number}": line for number, line in enumerate(lines, 1)}
    if 0 < len(lines) < MOST_LINES:
        answers[f"{key}.{len(lines) + 1}"] = ""
    return answers


def _aircraft(machine: Aircraft) -> _Answers:
    return {
        "maker": machine.maker,
        "model": machine.model,
        "serial": machine.serial,
        "remote_id_serial": machine.remote_id_serial,
        "takeoff_weight_lb": f"{machine.takeoff_weight_lb:f}",
        "acquired": str(machine.acquired),
        "registration_number": machine.registration_number,
        "n_number_wanted": _flag(is_set=machine.n_number_wanted),
    }


def _job(job: Job) -> _Answers:
    return {
        "id": job.id,
        "first_day": job.first_day.isoformat(),
        "last_day": job.last_day.isoformat(),
        "state": job.state,
        "for_hire": _flag(is_set=job.for_hire),
        "material": str(job.material),
        "restricted_use": _flag(is_set=job.restricted_use),
        "aircraft": ",".join(job.aircraft),
        "pilots": ",".join(job.pilots),
        "controlled_airspace": _flag(is_set=job.controlled_airspace),
        "outside_blanket_area": _flag(is_set=job.outside_blanket_area),
        "congested_area": _flag(is_set=job.congested_area),
        "note": job.note,
        "first_flight": job.first_flight,
    }


def _product(product: Product) -> _Answers:
    hours = product.re_entry_hours
    return {
        "name": product.name,
        "registration": product.registration,
        "by_air": str(product.by_air),
        "restricted_use": _flag(is_set=product.restricted_use),
        "restricted_entry_hours": "" if hours is None else str(hours),
    }


def _closure(closure: Closure) -> _Answers:
    return {
        "who": closure.who,
        "first_day": closure.first_day.isoformat(),
        "last_day": closure.last_day.isoformat(),
        "why": closure.why,
    }


def _place(place: Place) -> _Answers:
    return {
        "kind": str(place.kind),
        "name": place.name,
        "town": place.town,
        "days": ",".join(place.days),
        "hours": say_hours(place),
        "phone": place.phone,
    }


def _paper(held: HeldPaper) -> Iterator[tuple[str, str]]:
    yield "number", held.number
    yield "issued_on", held.issued_on.isoformat() if held.issued_on is not None else ""
    end = held.valid_through
    yield "valid_through", end.isoformat() if end is not None else OPEN_WORD


def _flag(*, is_set: bool) -> str:
    return "yes" if is_set else "no"
