"""What the facts say about the blanks of our own papers."""

from compliance.base.dates import say_date
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.facts.model import Aircraft, EntityType, Job, ManagedBy, Operation
from compliance.facts.states import STATES
from compliance.forms.model import Blank
from compliance.outputs.own_model import Lines
from compliance.outputs.packet_model import compute_coversheet, find_fact

# 14 CFR 47.13 asks for a title that shows the right to sign; that "Member" and a title with the
# word manager in it are taken: practitioner newsletter of 2014 (second-hand).
_TITLES = {ManagedBy.MEMBERS: "Member", ManagedBy.MANAGERS: "Manager"}


def say_title(operation: Operation) -> str:
    """Give the title that fits how a company is managed; empty when the signer writes it in."""
    managed_by = operation.managed_by if operation.entity is EntityType.LLC else None
    return _TITLES.get(managed_by, "") if managed_by is not None else ""


def list_subject(plan: Plan, paper: PaperPlan) -> Lines:
    """List what a page is about, with one serial number of an aircraft only.

    Source: 14 CFR 47.31(b) and FAA's page on unmanned aircraft (second-hand): the serial number
    must be the same on every paper, so the maker's own does not stand beside it.
    """
    lines = compute_coversheet(plan, paper).re_lines
    if plan.operation.find_aircraft(paper.packet.holder.ref) is None:
        return lines
    return (paper.packet.paper.title, *lines[1:])


def find_known(template: str, blank: Blank, operation: Operation, paper: PaperPlan) -> Lines:
    """Find the lines that answer a blank whole; empty when it has to be written in."""
    if blank.equals:
        said = find_fact(blank.equals, operation, paper)
        return (said,) if said else ()
    by_members = operation.managed_by is ManagedBy.MEMBERS
    if (template, blank.id) == ("faa-llc-statement", "managers") and by_members:
        return ("Does not apply: the members manage the company.",)
    if (template, blank.id) == ("faa-congested-notice", "operator") and operation.contact_phone:
        return (f"{operation.legal_name}, {operation.contact_phone}",)
    return ()


def find_hint(template: str, blank: Blank, operation: Operation, paper: PaperPlan) -> str:
    """Find a fact that helps to fill a blank in but does not settle it."""
    jobs = _list_jobs(operation, paper)
    if template != "ins-cover-request" or not jobs:
        return ""
    if blank.id == "first-day":
        return f"First day of the first job: {say_date(min(job.first_day for job in jobs))}"
    if blank.id == "last-day":
        return f"Last day of the last job: {say_date(max(job.last_day for job in jobs))}"
    return ""


def list_rows(
    template: str, blank: Blank, operation: Operation, paper: PaperPlan
) -> tuple[Lines, ...]:
    """List the rows of a table as far as they are known; an empty cell is to be written in.

    Shape: cells in the order of the columns that :data:`own_wording.WORDINGS` gives the blank.
    """
    jobs = _list_jobs(operation, paper)
    machines = _list_machines(operation, jobs)
    match template, blank.id:
        case "faa-petition", "contact":
            reached = (operation.contact_name, operation.contact_phone, operation.contact_email)
            return (reached,)
        case "faa-petition", "aircraft-list":
            return tuple(
                (_say_machine(one), _say_weight(one), one.registration_serial) for one in machines
            )
        case "ins-cover-request", "aircraft":
            return tuple(
                (
                    _say_machine(one),
                    one.registration_serial,
                    one.registration_number,
                    _say_weight(one),
                )
                for one in machines
            )
        case "ins-cover-request", "pilots":
            flying = {ref for job in jobs for ref in job.pilots}
            return tuple((one.name, "") for one in operation.pilots if one.id in flying)
        case "ins-cover-request", "states":
            return tuple((STATES[code], "") for code in dict.fromkeys(job.state for job in jobs))
    return ()


def _list_jobs(operation: Operation, paper: PaperPlan) -> tuple[Job, ...]:
    """List the jobs the paper is needed for."""
    return tuple(job for job in operation.jobs if job.id in paper.packet.verdict.jobs)


def _list_machines(operation: Operation, jobs: tuple[Job, ...]) -> tuple[Aircraft, ...]:
    flown = {ref for job in jobs for ref in job.aircraft}
    return tuple(one for one in operation.aircraft if one.id in flown)


def _say_machine(machine: Aircraft) -> str:
    return f"{machine.maker} {machine.model}"


def _say_weight(machine: Aircraft) -> str:
    return f"{machine.takeoff_weight_lb:f} lb"
