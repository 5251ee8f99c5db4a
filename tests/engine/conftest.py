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
from tests.engine.kit_own import FARM, HEAD, JOB, OWN

ONE_JOB = "- {id: pasture, first_day: 2027-05-24, last_day: 2027-06-12, @job}"


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
