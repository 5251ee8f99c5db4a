"""What is wrong with somebody's data, where, and what to do; and the errors a user may meet."""

from dataclasses import dataclass
from enum import IntEnum


class ExitCode(IntEnum):
    """Exit codes of the command, promised stable."""

    DONE = 0
    CRASH = 1
    USAGE = 2
    DATA = 3
    NOT_FOUND = 4
    STORE = 5
    OUTPUT = 6
    OVERDUE = 10


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class SourceRef:
    """A place in a text: file name as given, line and column counted from 1.

    An empty file name stands for what was typed at the command.
    """

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Problem:
    """One fault in somebody's data: place, code, sentence and what to do about it.

    Shape: sorts by place, then code. Codes begin with ``S`` (text), ``F`` (facts), ``R`` (rules),
    ``T`` (templates), ``L`` (log), ``A`` (answers) and their numbers are never reused.
    """

    place: SourceRef
    code: str
    sentence: str
    hint: str = ""

    def __str__(self) -> str:
        # What was typed at the command has no file to point into.
        head = f"{self.place}: " if self.place.file else ""
        head += f"{self.code} {self.sentence}"
        return f"{head}\n  hint: {self.hint}" if self.hint else head


class MailbyError(Exception):
    """The work cannot go on; the message is a sentence for the user."""

    exit_code = ExitCode.CRASH

    def __init__(self, message: str, *, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


class DataProblemsError(MailbyError):
    """Somebody's data has faults; nothing was kept."""

    exit_code = ExitCode.DATA

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        self.problems = tuple(sorted(problems))
        count = len(self.problems)
        super().__init__(f"{count} {'problem' if count == 1 else 'problems'}; nothing was changed")


class RefusedError(MailbyError):
    """A request makes no sense as asked; nothing was changed."""

    exit_code = ExitCode.DATA


class NotFoundError(MailbyError):
    """The thing asked for is not there."""

    exit_code = ExitCode.NOT_FOUND


class StoreError(MailbyError):
    """The database cannot be opened, read or written."""

    exit_code = ExitCode.STORE


class OutputError(MailbyError):
    """A file or folder cannot be written."""

    exit_code = ExitCode.OUTPUT
