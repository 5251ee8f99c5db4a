"""The commands by name: where each is, and its first sentence for the list that --help shows.

A command is imported and built only when it is the one that was called.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from importlib import import_module
from typing import Any

import typer
from typer.core import TyperCommand, TyperGroup
from typer.main import get_command, get_group

COMMANDS: dict[str, tuple[str, str]] = {
    "setup": (
        "setup:set_up",
        "Ask for your facts in plain words; stop at any time and go on later.",
    ),
    "load": (
        "facts:load",
        "Read a facts file; a changed file updates what is known and says what changed.",
    ),
    "show": ("facts:show", "Print what is known of an operation and its log."),
    "export": (
        "facts:export",
        "Write the facts (or the log, or the records) to a file, so that nothing is locked in.",
    ),
    "plan": ("plan:plan", "Show what to do by when, the next thing on top."),
    "today": ("plan:today", "Show the few things for today and the next seven days."),
    "go": (
        "go:go",
        "Say GO or NO-GO for the jobs of a day, with every paper; NO-GO exits with 10.",
    ),
    "renewals": (
        "renewals:renewals",
        "Show what ends in the years ahead, and by when each renewal must be on its way.",
    ),
    "what-if": (
        "what_if:what_if",
        "Show the plan beside the plan with a change; several at once are tried together.",
    ),
    "why": ("plan:why", "Say why a paper is needed or not, and what sets a date, with citations."),
    "duties": (
        "duties:duties",
        "Show what must be told, reported and written around flying, and by when.",
    ),
    "trips": (
        "trips:trips",
        "Show the fewest drives to town: when, where, in which order, what to bring, who comes.",
    ),
    "coverage": (
        "coverage:coverage",
        "Say what mailby knows state by state, how sure it is, as of when, and what to ask.",
    ),
    "history": (
        "history:history",
        "Tell what happened to a packet: when it was sent, came back and why, and what that cost.",
    ),
    "record": (
        "records:record",
        "Write the record of an application: asked one plain thing at a time, or from a file.",
    ),
    "check": (
        "check:check",
        "Check a packet before mailing: exits with 0 when it is ready, with 3 when it is not.",
    ),
    "packet": (
        "papers:packet",
        "Write a packet's checklist, its cover sheet, and the papers mailby can write itself.",
    ),
    "attach": (
        "binder:attach",
        "Keep a copy of a paper, a receipt or a letter beside the database, for your eyes only.",
    ),
    "attachments": ("binder:attachments", "List the copies attached to papers and packets."),
    "detach": (
        "binder:detach",
        "Leave a copy out of binders from now on; its file stays where it is.",
    ),
    "binder": (
        "binder:binder",
        "Write one PDF with every paper, its copies, records, mailings and open items, in order.",
    ),
    "calendar": (
        "papers:calendar",
        "Write the dates as a calendar file for a phone; the same dates give the same bytes.",
    ),
    "timeline": (
        "timeline:timeline",
        "Draw the season on one page: what happened, what is ahead, and the days to mail by.",
    ),
    "demo": (
        "papers:demo",
        "Show the whole job on an invented operation: plan, packets, calendar, all written.",
    ),
    "log": ("log_events:app", "Log what happened to a packet; the plan uses it."),
    "offices": (
        "offices:app",
        (
            "How long each office takes: what the rule says, what was seen, what to believe, and "
            "when to ask."
        ),
    ),
    "records": (
        "records:app",
        "Records of applications: list them, hand them out, keep them as long as the rules ask.",
    ),
    "rules": (
        "rules:app",
        "Look into the rules table, check it, or put your own value in place of one of its own.",
    ),
    "forms": (
        "forms:app",
        "Look at what a form asks for, show mailby its blank once, print it with corner codes.",
    ),
}


class CommandGroup(TyperGroup):
    """The group of all commands, which knows their names without importing any of them."""

    def __init__(self, **settings: Any) -> None:  # noqa: ANN401 - passed on as typer gave them
        super().__init__(**settings)
        self.commands = _CommandsOnCall()  # type: ignore[assignment]  # nothing is added to it

    def format_commands(self, ctx: Any, formatter: Any) -> None:  # noqa: ANN401 - types typer hides
        """Write the list of commands for ``--help`` from the table above."""
        listed: dict[str, Any] = {
            name: TyperCommand(name, help=sentence) for name, (_, sentence) in COMMANDS.items()
        }
        TyperGroup(name=self.name, commands=listed).format_commands(ctx, formatter)


class _CommandsOnCall(Mapping[str, Any]):
    """The commands by name, each imported and built at the moment it is looked up."""

    def __getitem__(self, name: str) -> Any:  # noqa: ANN401 - a type typer hides
        if name not in COMMANDS:
            raise KeyError(name)
        return _build_command(name)

    def __iter__(self) -> Iterator[str]:
        return iter(COMMANDS)

    def __len__(self) -> int:
        return len(COMMANDS)


@cache
def _build_command(name: str) -> Any:  # noqa: ANN401 - a type typer hides
    """Import and build a command, once in a process: building one takes longer than most use it."""
    module, _, attribute = COMMANDS[name][0].partition(":")
    found = getattr(import_module(f"compliance.cli.{module}"), attribute)
    if isinstance(found, typer.Typer):
        group = get_group(found)
        group.name = name
        return group
    alone = typer.Typer(add_completion=False, rich_markup_mode=None)
    alone.command(name)(found)
    return get_command(alone)
