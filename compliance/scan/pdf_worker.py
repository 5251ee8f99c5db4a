"""The child process that reads a PDF: one task from standard input, one answer to standard output.

It limits its own memory and time before it touches the file. See ``sandbox`` for the other end.
"""

import importlib
import json
import os
import sys
from collections.abc import Callable
from typing import Any

from compliance.base.problems import RefusedError

Answer = tuple[dict[str, Any], bytes]
TAKE_IT_ANEW = "Download or save it again, or print it and take a photo of it."

# Task -> module and function; only the libraries that a task needs are loaded.
TASKS = {
    "facts": ("compliance.scan.pdfium_reading", "answer_facts"),
    "page": ("compliance.scan.pdfium_reading", "answer_page"),
    "fields": ("compliance.scan.acroform_read", "answer_fields"),
    "blanks": ("compliance.scan.form_worker", "answer_blanks"),
    "codes": ("compliance.scan.form_worker", "answer_codes"),
    "anew": ("compliance.scan.anew_worker", "answer_anew"),
    "drawing": ("compliance.scan.form_worker", "answer_drawing"),
}


def limit_self(seconds: float, memory: int) -> None:
    """Ask the system to stop this process at a limit, on systems that offer it.

    Units: seconds of processor time; bytes of address space. No file may be written at all.
    """
    try:
        resource = importlib.import_module("resource")
    except ImportError:  # Windows has none; the parent's clock still holds there
        return
    limits = (
        ("RLIMIT_AS", memory),
        ("RLIMIT_CPU", int(seconds) + 1),
        ("RLIMIT_FSIZE", 0),
        ("RLIMIT_CORE", 0),
    )
    for name, wanted in limits:
        if not hasattr(resource, name):
            continue
        number = getattr(resource, name)
        _, hard = resource.getrlimit(number)
        top = wanted if hard == resource.RLIM_INFINITY else min(wanted, hard)
        try:
            resource.setrlimit(number, (top, hard))
        except (OSError, ValueError):  # macOS refuses some of them
            continue


def refusal(sentence: str, hint: str) -> Answer:
    """Give the answer that makes the parent refuse."""
    return {"refused": sentence, "hint": hint}, b""


def answer(header: dict[str, Any], data: bytes) -> Answer:
    """Do the task; whatever a file provokes becomes a refusal with a sentence."""
    module, function = TASKS[header["task"]]
    try:
        work: Callable[..., Answer] = getattr(importlib.import_module(module), function)
    except ImportError as error:
        name = (error.name or "a package").split(".")[0]
        return refusal(
            f"Looking at PDFs needs {name}, which is not installed.",
            'Install it with: pip install "mailby[scan]"',
        )
    limit_self(header["seconds"], header["memory"])
    try:
        return work(data, **header["arguments"])
    except RefusedError as error:
        return refusal(error.message, error.hint)
    except MemoryError:
        return refusal(
            f"This PDF needs more than {header['memory'] // 2**20} MB of memory to read.",
            TAKE_IT_ANEW,
        )
    except Exception as error:  # noqa: BLE001 - a hostile file can make the libraries raise anything
        return refusal(
            f"This PDF is damaged and cannot be read ({type(error).__name__}).", TAKE_IT_ANEW
        )


def main() -> None:
    """Read one task, write one answer."""
    # What a C library prints goes to standard error, never into the answer.
    with os.fdopen(os.dup(1), "wb") as out:
        os.dup2(2, 1)
        line = sys.stdin.buffer.readline()
        given, payload = answer(json.loads(line), sys.stdin.buffer.read())
        out.write(json.dumps(given).encode() + b"\n")
        out.write(payload)


if __name__ == "__main__":
    main()
