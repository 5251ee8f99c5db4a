"""A binder from what is known: cover, cautions, and its sections in order."""

from collections.abc import Iterator

from compliance.base.dates import say_date
from compliance.engine.in_force import Standing
from compliance.facts.model import Address, Aircraft, Job, Material
from compliance.outputs.binder_ground import Ground
from compliance.outputs.binder_model import Binder, Block, Entry, Fact, Grid, Section, Words
from compliance.outputs.binder_papers import (
    tell_conditions,
    tell_insurance,
    tell_papers,
    tell_pilots,
)
from compliance.outputs.binder_proof import tell_copies, tell_mailings, tell_open, tell_records
from compliance.outputs.words import AVIATION_CAUTION, CAUTION, CHEMICAL_CAUTION

_REGISTRATIONS = frozenset({"faa.registration-n", "faa.registration-small"})
_NOT_IN_HAND = frozenset({Standing.NOT_HELD, Standing.NOT_YET, Standing.LAPSED})
_LABEL = (
    "The label is the law: it decides where, when, how and on what a product may be used, and who "
    "must wear what."
)
_POISON = (
    "Pesticides can poison people, animals and water. Only licensed and certified people may mix, "
    "load and apply them where the law asks for it; restricted-use products never without."
)
_FALLING = (
    "A spray aircraft can kill: rotors, batteries and a full tank fall on whoever is below. Only "
    "the people these papers name may fly it, within what the certificates, exemptions and "
    "authorizations allow."
)
_LOCAL = (
    "Counties, cities, drainage and water districts and landowners may ask for more than this "
    "binder knows."
)
_NO_ORIGINAL = (
    "This binder shows what was entered and attached. It is not issued or checked by any agency; "
    "the papers themselves count, not their copies."
)
_CAUTIONS = (
    CHEMICAL_CAUTION,
    _LABEL,
    _POISON,
    AVIATION_CAUTION,
    _FALLING,
    _LOCAL,
    CAUTION,
    _NO_ORIGINAL,
)


def compute_binder(ground: Ground) -> Binder:
    """Put a binder together; equal ground gives an equal binder."""
    return Binder(
        name=ground.operation.legal_name,
        as_of=ground.as_of,
        cover=tuple(_tell_cover(ground)),
        caution=CAUTION,
        sections=(
            _tell_cautions(ground),
            _tell_operation(ground),
            _tell_aircraft(ground),
            tell_papers(ground),
            tell_conditions(ground),
            tell_pilots(ground),
            tell_insurance(ground),
            tell_records(ground),
            tell_mailings(ground),
            tell_copies(ground),
            tell_open(ground),
        ),
    )


def _tell_cautions(ground: Ground) -> Section:
    """Tell the cautions, rules past their review day first."""
    old = tuple(
        Words(text=f"{line[:1].upper()}{line[1:]}.", strong=True) for line in ground.reviews
    )
    return Section(title="Cautions", blocks=(*old, *(Words(text=one) for one in _CAUTIONS)))


def _tell_cover(ground: Ground) -> Iterator[Fact]:
    yield Fact(label="Printed on", lines=(say_date(ground.printed_on),))
    if ground.job is not None:
        yield Fact(label="For the job", lines=(_say_job(ground.job),))
    else:
        yield Fact(label="For the jobs", lines=tuple(map(_say_job, ground.jobs)) or ("none",))
    if ground.first is not None or ground.last is not None:
        first = say_date(ground.first) if ground.first is not None else "the beginning"
        last = say_date(ground.last) if ground.last is not None else say_date(ground.as_of)
        yield Fact(label="Period", lines=(f"{first} through {last}",))
    operation = ground.operation
    who = (operation.contact_name, operation.contact_phone, operation.contact_email)
    yield Fact(label="Ask", lines=(", ".join(part for part in who if part),))


def _say_job(job: Job) -> str:
    span = f"{say_date(job.first_day)} to {say_date(job.last_day)}"
    return f"{job.id}, {job.state}, {span}"


def _tell_operation(ground: Ground) -> Section:
    operation = ground.operation
    managed = f", managed by {operation.managed_by}" if operation.managed_by else ""
    blocks: list[Block] = [
        Fact(label="Legal name", lines=(operation.legal_name,)),
        Fact(label="Kind", lines=(f"{operation.entity}{managed}",)),
        Fact(label="Home state", lines=(operation.home_state,)),
        Fact(label="Mail to", lines=operation.mailing_address.lines),
        Fact(label="Place", lines=_lines(operation.physical_address)),
        Fact(label="Ask", lines=(operation.contact_name,)),
        Fact(label="Telephone", lines=_some(operation.contact_phone)),
        Fact(label="E-mail", lines=_some(operation.contact_email)),
        Fact(label="Pilots", lines=tuple(pilot.name for pilot in operation.pilots)),
    ]
    if ground.jobs:
        rows = tuple(_job_row(ground, job) for job in ground.jobs)
        heads = ("Job", "Days", "State", "What", "Who flies what")
        blocks.append(Words(text="Jobs of this binder", strong=True))
        blocks.append(Grid(heads=heads, rows=rows, shares=(15, 22, 8, 27, 28)))
    return Section(title="Operation and people", blocks=tuple(blocks))


def _lines(address: Address | None) -> tuple[str, ...]:
    return address.lines if address is not None else ()


def _some(text: str) -> tuple[str, ...]:
    return (text,) if text else ()


def _job_row(ground: Ground, job: Job) -> tuple[str, ...]:
    hire = "for hire" if job.for_hire else "own land"
    limited = ", restricted-use product" if job.restricted_use else ""
    material = str(job.material) if job.material is not Material.PESTICIDE else "pesticide"
    names = [ground.operation.find_pilot(ref) for ref in job.pilots]
    machines = [ground.operation.find_aircraft(ref) for ref in job.aircraft]
    who = ", ".join(one.name for one in names if one is not None)
    with_what = ", ".join(one.model for one in machines if one is not None)
    days = f"{say_date(job.first_day)} to {say_date(job.last_day)}"
    return job.id, days, job.state, f"{hire}, {material}{limited}", f"{who}; {with_what}"


def _say_registration(ground: Ground, machine: Aircraft) -> str:
    """Give the number of an aircraft, from its entry or from its registration in hand."""
    if machine.registration_number:
        return machine.registration_number
    held = [
        one.held
        for one, _ in ground.list_needed()
        if one.paper.id in _REGISTRATIONS
        and one.holder.ref == machine.id
        and one.standing not in _NOT_IN_HAND
    ]
    held += [
        one.held
        for one in ground.others
        if one.paper.id in _REGISTRATIONS
        and one.holder.ref == machine.id
        and (one.through is None or one.through >= ground.as_of)
    ]
    numbers = [one.number for one in held if one is not None and one.number]
    if numbers:
        return numbers[0]
    return "number not written down" if held else "none yet"


def _tell_aircraft(ground: Ground) -> Section:
    named = {ref for job in ground.jobs for ref in job.aircraft}
    entries = tuple(
        Entry(
            title=f"{one.maker} {one.model}, serial {one.serial}",
            blocks=(
                Fact(label="Registration", lines=(_say_registration(ground, one),)),
                Fact(label="Remote ID", lines=_some(one.remote_id_serial)),
                Fact(label="At take-off", lines=(f"{one.takeoff_weight_lb:f} lb",)),
                Fact(label="Acquired", lines=(str(one.acquired),)),
                Fact(
                    label="Used here",
                    lines=("yes" if one.id in named else "no job of this binder names it",),
                ),
            ),
        )
        for one in ground.operation.aircraft
    )
    words = "Weights are with full tank and batteries. The papers of each are in the next section."
    if not entries:
        words = "No aircraft is known."
    return Section(title="Aircraft", blocks=(Words(text=words),), entries=entries)
