"""Run mailby with ``python -m compliance``."""

from compliance.cli.main import run

run()
