"""What several tests of the use cases share: a database in which nothing is known."""

from collections.abc import Iterator

import pytest
from sqlmodel import Session

from compliance.store.session import open_session


@pytest.fixture
def session() -> Iterator[Session]:
    """A database of nobody, in which nothing was learned."""
    with open_session(":memory:") as opened:
        yield opened
