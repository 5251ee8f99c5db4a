"""What is in the mail already, and so does not go another way when the mail service is changed."""

from dataclasses import replace

from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import MailService
from compliance.rules.model import RulesTable


def find_mailed_papers(table: RulesTable) -> frozenset[str]:
    """Find the papers whose packets go to their office by mail."""
    return frozenset(row.paper for row in table.steps if row.mail == "out")


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
