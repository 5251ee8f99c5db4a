"""Read somebody else's PDF in a process of its own that may be stopped.

A PDF may loop for hours, grow to gigabytes or crash the C library that draws it, and a running
thread can be stopped in none of these cases. A child process can: it is killed when its time is
up, the system stops it at its memory limit, and when it crashes this program goes on. It costs
about 0.1 to 0.3 s for each call. A process is started afresh for each call rather than forked,
because that works alike on Linux, macOS and Windows and shares nothing with the database here.
"""

import json
import os
import subprocess  # nosec B404
import sys
from typing import Any

from compliance.base.problems import RefusedError

MAX_BYTES = 64 * 1024 * 1024
MAX_SECONDS = 20.0
MAX_MEMORY = 1024 * 1024 * 1024
WORKER = "compliance.scan.pdf_worker"
# ISO 32000-1 annex H.3: viewers accept the header anywhere in the first 1024 bytes.
HEADER_WITHIN = 1024
TAKE_IT_ANEW = "Download or save it again, or print it and take a photo of it."

# What people give by mistake: first bytes -> what it is, what to do.
_OTHERS = (
    (b"\xff\xd8\xff", "a JPEG picture", "Give it as a picture, with its name ending in .jpg."),
    (b"\x89PNG", "a PNG picture", "Give it as a picture, with its name ending in .png."),
    (b"II*\0", "a TIFF picture", "Give it as a picture, with its name ending in .tif."),
    (b"MM\0*", "a TIFF picture", "Give it as a picture, with its name ending in .tif."),
    (b"PK\x03\x04", "a zip or office file", "Open it and save or print it as PDF."),
    (b"\xd0\xcf\x11\xe0", "an old office file", "Open it and save or print it as PDF."),
    (b"{\\rtf", "a text document", "Open it and save or print it as PDF."),
    (b"%FDF-", "only the data of a form", "Open the form itself and save it with the data in it."),
    (b"<?xml", "an XML file", "Open the form itself and save it as PDF."),
)
_HEIC_BRANDS = (b"heic", b"heix", b"mif1", b"msf1", b"hevc")


def run_bounded(
    task: str,
    data: bytes,
    arguments: dict[str, Any] | None = None,
    *,
    seconds: float = MAX_SECONDS,
    memory: int = MAX_MEMORY,
) -> tuple[dict[str, Any], bytes]:
    """Run one task of the worker on a PDF and give its answer and the bytes that came with it.

    Units: ``seconds`` of the wall clock; ``memory`` in bytes of address space, held by the system
    where it can hold it (Linux), while the time limit holds everywhere.

    Raises:
        RefusedError: The file is not a PDF, too large, damaged, locked, or hits a limit.
    """
    check_is_pdf(data)
    header = {"task": task, "arguments": arguments or {}, "seconds": seconds, "memory": memory}
    paths = os.pathsep.join(path for path in sys.path if path)
    # The folder the user stands in must not lend modules to the child: -P leaves it out.
    command = [sys.executable, "-P", "-m", WORKER]
    try:
        done = subprocess.run(  # noqa: S603 - the command is our own, nothing of it from the file
            command,
            input=json.dumps(header).encode() + b"\n" + data,
            capture_output=True,
            timeout=seconds,
            check=False,
            env={**os.environ, "PYTHONPATH": paths, "PYTHONDONTWRITEBYTECODE": "1"},
        )
    except subprocess.TimeoutExpired:
        raise RefusedError(
            f"This PDF was not read within {seconds:g} s, so the work was stopped.",
            hint=TAKE_IT_ANEW,
        ) from None
    head, _, payload = done.stdout.partition(b"\n")
    if done.returncode != 0 or not head:
        raise RefusedError(
            "This PDF stops the part of the program that reads PDFs: it is damaged, far too large "
            "inside, or built to do harm.",
            hint=TAKE_IT_ANEW,
        )
    answer: dict[str, Any] = json.loads(head)
    if "refused" in answer:
        raise RefusedError(answer["refused"], hint=answer["hint"])
    return answer, payload


def check_is_pdf(data: bytes) -> None:
    """Refuse what is plainly no PDF, or too large to be looked at.

    Source: ISO 32000-1 section 7.5.2 and annex H.3 for the header.

    Raises:
        RefusedError: It is no PDF, or larger than :data:`MAX_BYTES`.
    """
    if not data:
        raise RefusedError("This file is empty.", hint="Save or download it again.")
    if len(data) > MAX_BYTES:
        raise RefusedError(
            f"This file has {len(data) // 2**20} MB; at most {MAX_BYTES // 2**20} MB are read.",
            hint="Save only the pages of the form as a PDF of their own.",
        )
    if b"%PDF-" in data[:HEADER_WITHIN]:
        return
    for first, what, hint in _OTHERS:
        if data.lstrip()[:8].startswith(first):
            raise RefusedError(f"This is {what}, not a PDF.", hint=hint)
    if data[4:8] == b"ftyp" and data[8:12] in _HEIC_BRANDS:
        raise RefusedError(
            "This is a HEIC picture, not a PDF.",
            hint="Set the phone's camera to JPEG, or send the picture to yourself as JPEG.",
        )
    raise RefusedError("This is not a PDF: it does not begin like one.", hint=TAKE_IT_ANEW)
