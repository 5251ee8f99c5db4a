"""The demo's farm with products, for the commands about flights and records."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.kit_farm import PRODUCTS

Run = Callable[[list[str]], tuple[int, str, str]]


@pytest.fixture
def farm(run: Run, demo_file: Path) -> Run:
    """The demo's farm with two products."""
    text = demo_file.read_text(encoding="utf-8")
    demo_file.write_text(text + PRODUCTS, encoding="utf-8")
    assert run(["load", str(demo_file)])[0] == 0
    return run
