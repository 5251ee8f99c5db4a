"""Command: setup."""


def set_up() -> None:
    """Ask for your facts in plain words."""
