"""The demo farm with its log in a database of its own, made once for each module."""

from collections.abc import Iterator

import pytest
from sqlmodel import Session

from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.store.records import append_log
from compliance.store.repository import save_operation
from compliance.store.session import open_session


@pytest.fixture(scope="module")
def session(demo_operation: Operation, demo_log: tuple[LogEntry, ...]) -> Iterator[Session]:
    with open_session(":memory:") as opened:
        save_operation(opened, demo_operation, namespace="n")
        append_log(opened, demo_operation.id, demo_log)
        yield opened
