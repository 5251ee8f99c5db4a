"""One question about one file is asked once; another question, or no answer, is asked anew."""

import os
import sys

from tests.kit_reading import KEPT, ReadOnce

# Says the number of its process, which no two that run one after the other are likely to share.
TELL = (sys.executable, "-I", "-c", "import os, sys; print(os.getpid()); sys.exit(int(input()))")


def ask(reader: ReadOnce, question: bytes, path: str = "") -> bytes:
    return reader.run(
        TELL,
        env={**os.environ, "PYTHONPATH": path},
        timeout=60,
        check=False,
        capture_output=True,
        input=question,
    ).stdout


def test_equal_question_is_asked_once() -> None:
    """Another question, and the same one with packages from elsewhere, start a process."""
    reader = ReadOnce()

    assert ask(reader, b"0\n") == ask(reader, b"0\n")
    assert len({ask(reader, b"0\n"), ask(reader, b"00\n"), ask(reader, b"0\n", "elsewhere")}) == 3


def test_call_that_fails_is_not_kept() -> None:
    """A reader that crashed is started again."""
    reader = ReadOnce()

    assert ask(reader, b"3\n") != ask(reader, b"3\n")
    assert not reader.kept


def test_no_more_answers_are_kept_than_said() -> None:
    """The oldest goes first."""
    reader = ReadOnce()
    ask(reader, b"0\n")
    first = next(iter(reader.kept))
    for number in range(KEPT - 1):
        reader.kept[(str(number),), b"", ""] = reader.kept[first]
    ask(reader, b"00\n")

    assert len(reader.kept) == KEPT
    assert first not in reader.kept
