"""What is in the mail already, and so does not go another way when the mail service is changed."""

from dataclasses import replace

from compliance.engine.packets import Packet
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import MailService
from compliance.rules.model import RulesTable


def find_mailed_papers(table: RulesTable) -> frozenset[str]:
    """Find the papers whose packets go to their office by mail."""
    return frozenset(row.paper for row in table.steps if row.mail == "out")


def is_mailed(packet: Packet) -> bool:
    """Tell whether a packet goes to its office by mail, whatever edition its steps are of."""
    known = packet.steps if packet.editions is None else packet.editions.steps
    return any(row.mail == "out" for row in (*packet.steps, *known))


def say_filed(packet: Packet) -> str:
    """Say that no mail service can be named for a packet that is filed."""
    return f"{packet.id} is filed, not mailed; no mail service carries it"


def hold_services(
    log: tuple[LogEntry, ...], service: MailService, table: RulesTable
) -> tuple[LogEntry, ...]:
    """Give a log in which each mailing that names no mail service went by a given one."""
    papers = find_mailed_papers(table)
    return tuple(
        replace(entry, service=service)
        if entry.kind is EventKind.MAILED and entry.service is None and entry.paper in papers
        else entry
        for entry in log
    )
