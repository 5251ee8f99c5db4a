"""How far a packet has come, from its log entries."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date

from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import MailService
from compliance.rules.model import StepRow, StepUse

StepKey = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """What has happened to one packet since it was begun.

    ``done`` maps (step name, round) to the day it happened; round 1 is the first mailing, and each
    return starts the next round. ``returns`` are the returns, oldest first. ``came_back`` tells
    that nothing was done since the last return. ``anyway`` is the reason given when the packet of
    the present round was sent without a ready check. ``heard`` is what the office said of it since
    it was sent, oldest first. ``services`` has the mail service of each round that went by a known
    one.
    """

    done: Mapping[StepKey, date]
    returns: tuple[LogEntry, ...] = ()
    is_at_office: bool = False
    came_back: bool = False
    anyway: str = ""
    heard: tuple[LogEntry, ...] = ()
    services: Mapping[int, MailService] = field(default_factory=dict)

    @property
    def round(self) -> int:
        """Give the number of the mailing that is being worked on, from 1."""
        return len(self.returns) + 1

    def still_good(self, turn: int) -> tuple[str, ...]:
        """Give the names of the steps that need not be done again in a round."""
        return self.returns[turn - 2].still_good if 1 < turn <= self.round else ()


def find_returnable(steps: tuple[StepRow, ...]) -> StepRow | None:
    """Find the step an office can answer by sending the packet back."""
    return next((step for step in steps if step.return_path), None)


def compute_progress(
    steps: tuple[StepRow, ...],
    entries: tuple[LogEntry, ...],
    steps_on: Callable[[date], tuple[StepRow, ...]] | None = None,
) -> Progress:
    """Match log entries to the steps of a packet.

    Shape: entries in the order they happened; an entry whose step the packet does not have is
    passed over. With *steps_on* an entry is matched to the steps in force on its day, and only
    then to any of *steps*. A return marks the review of its round as over and begins the next one.
    """
    done: dict[StepKey, date] = {}
    returns: list[LogEntry] = []
    at_office = came_back = False
    anyway = ""
    heard: list[LogEntry] = []
    for entry in entries:
        rows = steps if steps_on is None else (*steps_on(entry.happened_on), *steps)
        returnable = find_returnable(rows)
        turn = len(returns) + 1
        if entry.kind is EventKind.HEARD:
            heard.append(entry)
            continue
        if entry.kind in {EventKind.MAILED, EventKind.RETURNED}:
            heard.clear()
        if entry.kind is EventKind.RETURNED:
            if returnable is not None:
                done[returnable.name, turn] = entry.happened_on
                for step in rows:
                    if step.event is EventKind.RETURNED:
                        done[step.name, turn + 1] = entry.happened_on
            returns.append(entry)
            at_office, came_back, anyway = False, True, ""
            continue
        logged = find_logged_step(rows, entry.kind, entry.step)
        if logged is None:
            continue
        came_back = False
        anyway = entry.reason if entry.kind is EventKind.MAILED else anyway
        done[logged.name, round_of(logged, returnable, turn)] = entry.happened_on
        if entry.kind in {EventKind.MAILED, EventKind.RECEIVED}:
            at_office = True
    return Progress(
        done=done,
        returns=tuple(returns),
        is_at_office=at_office,
        came_back=came_back,
        anyway=anyway,
        heard=tuple(heard),
        services=_find_services(entries),
    )


def _find_services(entries: tuple[LogEntry, ...]) -> dict[int, MailService]:
    """Find by which mail service each round went, where its mailing says so."""
    found: dict[int, MailService] = {}
    turn = 1
    for entry in entries:
        turn += entry.kind is EventKind.RETURNED
        if entry.service is not None:
            found[turn] = entry.service
    return found


def round_of(step: StepRow, returnable: StepRow | None, turn: int) -> int:
    """Give the round a step belongs to: only steps on the return path are done again."""
    again = returnable is not None and step.name in returnable.return_path
    return turn if again else 1


def find_logged_step(steps: tuple[StepRow, ...], kind: EventKind, name: str) -> StepRow | None:
    """Find the step a log entry is about: by its name, else by the event that ticks it.

    A name goes with ``done`` or with the step's own event; notarizing is not signing.
    """
    if name:
        fits = (step for step in steps if step.name == name)
        return next((step for step in fits if kind in {EventKind.DONE, step.event}), None)
    if kind is EventKind.DONE:
        return None
    fitting = [step for step in steps if step.event is kind]
    first = [step for step in fitting if step.use is not StepUse.AFTER_RETURN]
    return next(iter(first or fitting), None)
