"""What a record can take from what is known: names, numbers of papers, the aircraft's plate."""

from dataclasses import dataclass, replace
from datetime import date

from compliance.facts.log import EventKind, LogEntry, find_standing
from compliance.facts.model import HolderKind, Operation
from compliance.facts.record_elements import ELEMENTS
from compliance.facts.records import Application

_CERTIFICATES = ("applicator", "certification")
_PILOT_PAPER = "faa.remote-pilot"
_REGISTRATIONS = ("faa.registration-n", "faa.registration-small")
_BUSINESS = ("business", "license", "operator")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Paper:
    """One paper with a number, from the facts or from the log; its days are inclusive."""

    id: str
    kind: HolderKind
    ref: str
    number: str
    issued_on: date | None
    valid_through: date | None

    def is_good_on(self, day: date) -> bool:
        begun = self.issued_on is None or self.issued_on <= day
        return begun and (self.valid_through is None or day <= self.valid_through)


def fill_record(
    record: Application, operation: Operation, log: tuple[LogEntry, ...]
) -> tuple[Application, tuple[str, ...]]:
    """Fill in what the record leaves out and what is known without asking.

    Shape: the record, and the names of the elements filled in. A number is taken only from a paper
    in force on the day of the application. What was written is never changed.
    """
    said = dict(record.said)
    found = _find_all(record, operation, _find_papers(operation, log))
    added = {name: text for name, text in found.items() if text and name not in said}
    said |= added
    ordered = tuple((name, said[name]) for name in ELEMENTS if name in said)
    return replace(record, said=ordered), tuple(name for name in ELEMENTS if name in added)


def _find_all(
    record: Application, operation: Operation, papers: tuple[_Paper, ...]
) -> dict[str, str]:
    pilot = operation.find_pilot(record.pilot)
    machine = operation.find_aircraft(record.aircraft)
    address = operation.physical_address or operation.mailing_address
    name = pilot.name if pilot is not None else ""
    own_name = dict(record.said).get("applicator", name) == name
    return {
        "applicator": name,
        # Another person's certificate is not the pilot's.
        "certificate": _find_number(
            record, papers, HolderKind.PILOT, _CERTIFICATES if own_name else ()
        ),
        "pilot-name": name,
        "pilot-certificate": _find_number(record, papers, HolderKind.PILOT, (_PILOT_PAPER,)),
        "business": operation.legal_name,
        "business-address": ", ".join(address.lines),
        "business-license": _find_number(record, papers, HolderKind.OPERATION, _BUSINESS),
        "aircraft-number": (machine.registration_number if machine is not None else "")
        or _find_number(record, papers, HolderKind.AIRCRAFT, _REGISTRATIONS),
        "equipment": f"{machine.maker} {machine.model}" if machine is not None else "",
        "re-entry": _find_interval(record, operation),
    }


def _find_interval(record: Application, operation: Operation) -> str:
    """Give the longest restricted-entry interval, if that of every product is known."""
    names = {product.name for product in record.products}
    known = [one for one in operation.products if one.name in names]
    hours = [one.re_entry_hours for one in known if one.re_entry_hours is not None]
    return str(max(hours)) if names and len(hours) == len(names) else ""


def _find_papers(operation: Operation, log: tuple[LogEntry, ...]) -> tuple[_Paper, ...]:
    """Collect papers with a number, the latest first; a granted one comes before a listed one."""
    listed = [
        _Paper(
            id=held.paper,
            kind=held.holder.kind,
            ref=held.holder.ref,
            number=held.number,
            issued_on=held.issued_on,
            valid_through=held.valid_through,
        )
        for held in operation.papers
        if held.number
    ]
    granted = [
        _Paper(
            id=entry.paper,
            kind=entry.holder.kind,
            ref=entry.holder.ref,
            number=entry.paper_number,
            issued_on=entry.issued_on or entry.happened_on,
            valid_through=entry.valid_through,
        )
        for entry in find_standing(log)
        if entry.kind is EventKind.GRANTED and entry.paper_number
    ]
    return tuple(sorted((*listed, *granted), key=lambda one: one.issued_on or date.min))[::-1]


def _find_number(
    record: Application, papers: tuple[_Paper, ...], kind: HolderKind, words: tuple[str, ...]
) -> str:
    """Find the number of a paper of the state, or of the one named, in force on the day."""
    ref = {HolderKind.PILOT: record.pilot, HolderKind.AIRCRAFT: record.aircraft}.get(kind, "")
    prefix = f"{record.state.lower()}."
    for paper in papers:
        fits = paper.id in words or (
            paper.id.startswith(prefix) and any(word in paper.id for word in words)
        )
        if fits and (paper.kind, paper.ref) == (kind, ref) and paper.is_good_on(record.on):
            return paper.number
    return ""
