"""Every command explains itself and is in the README, and what the README shows can be typed."""

import re
import shlex
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from markdown_it import MarkdownIt
from typer.core import TyperCommand, TyperGroup
from typer.main import get_command

from compliance.base.problems import ExitCode
from compliance.cli.main import app

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def walk(command: object, path: tuple[str, ...] = ()) -> Iterator[tuple[str, TyperCommand]]:
    """Every command with the words that call it."""
    if isinstance(command, TyperCommand):
        yield " ".join(path), command
    elif isinstance(command, TyperGroup):
        for name, below in command.commands.items():
            yield from walk(below, (*path, name))


COMMANDS = dict(walk(get_command(app)))


def shown() -> list[str]:
    """Every call of ``mailby`` in the README's code, blocks and spans alike."""
    found: list[str] = []
    for token in MarkdownIt().enable("table").parse(README):
        texts = [token.content] if token.type == "fence" else []
        texts.extend(one.content for one in token.children or () if one.type == "code_inline")
        found.extend(line.strip() for text in texts for line in text.splitlines())
    return [line for line in found if re.match(r"mailby( |$)", line)]


def test_commands_are_found() -> None:
    assert {"setup", "plan", "log mailed", "rules check", "demo"} <= COMMANDS.keys()


@pytest.mark.parametrize("name", COMMANDS)
def test_command_and_its_parameters_have_help(name: str) -> None:
    command = COMMANDS[name]
    mute = [one.name for one in command.params if not getattr(one, "help", "")]

    assert (command.help or "").strip().endswith(".")
    assert mute == []


@pytest.mark.parametrize("name", COMMANDS)
def test_command_help_is_printed(
    name: str, run: Callable[[list[str]], tuple[int, str, str]]
) -> None:
    code, out, err = run([*name.split(), "--help"])
    first = (COMMANDS[name].help or "").splitlines()[0]

    assert (code, err) == (0, "")
    assert f"Usage: mailby {name}" in out
    assert " ".join(first.split()) in " ".join(out.split())


@pytest.mark.parametrize("name", COMMANDS)
def test_command_is_in_the_readme(name: str) -> None:
    assert re.search(rf"\b{re.escape(name)}\b", README), f"README.md does not show `{name}`"


def find_group(name: str) -> TyperGroup | None:
    """A group of commands that is a command of its own too."""
    root = get_command(app)
    assert isinstance(root, TyperGroup)
    found = root.commands.get(name)
    return found if isinstance(found, TyperGroup) else None


@pytest.mark.parametrize("line", sorted(set(shown())))
def test_readme_call_can_be_typed(line: str) -> None:
    """The call names a command that exists, with options and values it takes."""
    words = shlex.split(line, comments=True)[1:]
    groups = {name.rpartition(" ")[0] for name in COMMANDS} - {""}
    name = next(
        (name for name in COMMANDS if words[: len(name.split())] == name.split()), "missing"
    )
    rest = words[len(name.split()) :]
    group = find_group(words[0]) if words else None

    if words == ["--version"] or " ".join(words) in groups:
        return
    if name == "missing" and group is not None and group.invoke_without_command:
        assert group.make_context(words[0], words[1:]) is not None
        return
    assert name in COMMANDS
    # A name alone stands for the command; with anything behind it, it must be a whole call.
    assert not rest or COMMANDS[name].make_context(name, rest) is not None


def test_readme_shows_calls() -> None:
    assert len(set(shown())) > 10


def test_readme_tells_every_exit_code() -> None:
    told = {int(number) for number in re.findall(r"^\| (\d+) \|", README, re.MULTILINE)}

    assert {int(code) for code in ExitCode} <= told
