"""Judge the entries of a log one after the other, each by its own day and those before it."""

from dataclasses import dataclass
from datetime import date

from compliance.app.tables import load_templates
from compliance.base.problems import Problem, SourceRef
from compliance.engine.applies import Verdict, compute_verdicts
from compliance.engine.logbook import check_log_entry, say_not_needed
from compliance.engine.packets import Packet, compute_packets, find_last_needed, packet_id
from compliance.engine.returned import resolve_blanks
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Operation
from compliance.rules.model import RulesTable

_NOWHERE = SourceRef(file="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """An entry of a log that a table does not take, and the first reason."""

    entry: LogEntry
    problem: Problem


class Replay:
    """Entries of one operation held against a table, in the order of the log.

    Nothing is scheduled, so that a long log is read in a time that grows with its length.
    """

    def __init__(self, operation: Operation, table: RulesTable, gone: frozenset[int]) -> None:
        """Begin with an empty log; *gone* are the numbers of entries that are withdrawn later."""
        self._operation, self._table, self._gone = operation, table, gone
        verdicts = compute_verdicts(operation, table)
        self._needed = {packet_id(one.paper.id, one.holder): one for one in verdicts}
        self._papers = {row.id for row in table.papers}
        self._own: dict[str, list[LogEntry]] = {}

    def keep(self, entry: LogEntry) -> None:
        """Take an entry as having happened."""
        self._own.setdefault(packet_id(entry.paper, entry.holder), []).append(entry)

    def judge(self, entry: LogEntry, today: date, place: SourceRef) -> tuple[Problem, ...]:
        """Find what is wrong with an entry that withdraws none, after those that were kept.

        One that is withdrawn later counts nowhere: nothing is asked of it but that its paper is in
        the table.
        """
        if entry.number in self._gone and entry.paper in self._papers:
            return ()
        name = packet_id(entry.paper, entry.holder)
        mine = tuple(self._own.get(name, ()))
        packet = self._find_packet(self._needed.get(name), mine, entry)
        if packet is None:
            return say_not_needed(name, self._table, entry, place)
        problems = check_log_entry(packet, mine, entry, today, place)
        if entry.blanks:
            problems += resolve_blanks(packet, load_templates(), entry.blanks, place)[1]
        return problems

    def _find_packet(
        self, verdict: Verdict | None, mine: tuple[LogEntry, ...], entry: LogEntry
    ) -> Packet | None:
        """Give the packet of an entry as of its day; None when no job ever needed it.

        What no job needs any more by then is taken as of the last day on which one did.
        """
        if verdict is None:
            return None
        last = find_last_needed(self._operation, verdict)
        on = min(entry.happened_on, last or entry.happened_on)
        found = compute_packets(self._operation, self._table, (verdict,), mine, on)
        return next(iter(found), None)


def find_refused(
    operation: Operation, table: RulesTable, log: tuple[LogEntry, ...]
) -> tuple[Refused, ...]:
    """Find the entries of a log that a table would not take if they were read in.

    Shape: in the order of the log; one that is refused counts for those behind it all the same.
    """
    gone = frozenset(entry.withdraws for entry in log if entry.withdraws is not None)
    replay = Replay(operation, table, gone)
    found: list[Refused] = []
    for entry in log:
        if entry.kind is not EventKind.WITHDRAWN:
            # No day of a kept log is to come, whatever day is taken as today.
            problems = replay.judge(entry, date.max, _NOWHERE)
            found.extend(Refused(entry=entry, problem=one) for one in problems[:1])
        replay.keep(entry)
    return tuple(found)
