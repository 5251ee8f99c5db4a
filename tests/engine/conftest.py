"""Makers of small invented tables, farms and logs for the engine's tests, read from text.

In rules text ``@own`` stands for the basis of an invented row; in jobs ``@job`` for the usual facts
of a job.
"""

from collections.abc import Callable

import pytest

from compliance.facts.log import LogEntry
from compliance.facts.log_parse import parse_log
from compliance.facts.model import Operation
from compliance.facts.parse import parse_operation
from compliance.rules.model import RulesTable
from compliance.rules.parse import parse_table

OWN = "cite: own example, edition: none, confidence: common-practice"
JOB = "state: NE, for_hire: yes, restricted_use: no, aircraft: tg46, pilots: wren"
ONE_JOB = "- {id: pasture, first_day: 2027-05-24, last_day: 2027-06-12, @job}"

HEAD = """\
authority: Invented office
states: [NE]
reviewed: 2026-11-25
services:
  - {id: mail.first-class, title: Letter, days: {fast: 2, usual: 3, slow: 4}, calendar: postal,
      reaches_po_box: yes, @own}
  - {id: mail.priority, title: Quick letter, days: {fast: 1, usual: 2, slow: 3}, calendar: postal,
      reaches_po_box: yes, @own}
  - {id: mail.express, title: Express, days: {fast: 1, usual: 1, slow: 2}, calendar: postal,
      reaches_po_box: yes, @own}
  - {id: mail.courier, title: Courier, days: {fast: 1, usual: 1, slow: 2}, calendar: federal,
      reaches_po_box: no, @own}
offices:
  - {id: own.office, title: Office, mail_to: [1 Example Road, Anytown], @own}
papers:
"""

FARM = """\
mailby_file: 1
operation:
  id: sandbur-flats
  legal_name: Sandbur Flats Aerial LLC
  entity: llc
  managed_by: members
  home_state: NE
  mailing_address: [1 Invented Road, "Burrell Crossing, NE 00000"]
  contact: {name: Odile Ferrant, phone: 402-555-0143}
  mail_service: @service
aircraft:
  - {id: tg46, maker: Tallgrass Rotorworks, model: TG-46, serial: "46-00017",
      takeoff_weight_lb: 118, acquired: new}
  - {id: tg18, maker: Tallgrass Rotorworks, model: TG-18, serial: "18-00204",
      takeoff_weight_lb: 49, acquired: new}
pilots:
  - {id: odile, name: Odile Ferrant}
  - {id: wren, name: Wren Castellow}
"""


@pytest.fixture
def make_table() -> Callable[[str], RulesTable]:
    """Read papers of an invented office, written from the left margin, into a table."""

    def make(papers: str) -> RulesTable:
        table, problems = parse_table({"own.yaml": (HEAD + papers).replace("@own", OWN)})
        assert [str(problem) for problem in problems] == []
        return table

    return make


@pytest.fixture
def make_operation() -> Callable[..., Operation]:
    """Read a farm with the jobs and further sections given."""

    def make(jobs: str = ONE_JOB, *, more: str = "", service: str = "first-class") -> Operation:
        text = FARM.replace("@service", service) + f"jobs:\n{jobs}\n".replace("@job", JOB) + more
        operation, problems = parse_operation(text, "farm.yaml")
        assert [str(problem) for problem in problems] == []
        assert operation is not None
        return operation

    return make


@pytest.fixture
def make_log() -> Callable[[Operation, str], tuple[LogEntry, ...]]:
    """Read log entries, one ``- {kind: ...}`` a line."""

    def make(operation: Operation, entries: str) -> tuple[LogEntry, ...]:
        log, problems = parse_log(f"log:\n{entries}\n", "log.yaml", operation)
        assert [str(problem) for problem in problems] == []
        return log

    return make
