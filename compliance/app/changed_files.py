"""Files that are no longer what a check looked at: what rested on them is taken back."""

import hashlib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from compliance.app.checking import Checking, SeenFile
from compliance.base.problems import RefusedError


def find_changed(files: tuple[SeenFile, ...]) -> Iterator[SeenFile]:
    """Give the files that hold something else now; one that is gone has not changed.

    Raises:
        RefusedError: A file is there and cannot be read.
    """
    for seen in files:
        path = Path(seen.path)
        try:
            data = path.read_bytes() if path.is_file() else None
        except OSError as fault:
            raise RefusedError(
                f"{seen.path} cannot be read any more, so nobody can tell whether it has changed",
                hint="give yourself leave to read it, or move it away",
            ) from fault
        if data is not None and hashlib.sha256(data).hexdigest() != seen.sha256:
            yield seen


def say_how(seen: SeenFile, packet: str) -> str:
    """Give the command that looks at a file again."""
    way = "--file" if seen.kind == "pdf" else "--scan"
    sheet = f" --sheet {seen.sheet}" if seen.sheet > 1 else ""
    return f'mailby check {packet} --document {seen.document}{sheet} {way} "{seen.path}"'


def drop_changed(checking: Checking) -> tuple[Checking, tuple[str, ...]]:
    """Take back what changed files had shown.

    Shape: the check without those files and answers, so that they are asked again, and for each
    file one sentence with the command that looks at it again. A person's own answers stay.

    Raises:
        RefusedError: A file cannot be read.
    """
    changed = tuple(find_changed(checking.files))
    if not changed:
        return checking, ()
    hashes = {seen.sha256 for seen in changed}
    answers = checking.context.answers
    kept = tuple(one for one in answers if one.seen_in not in hashes)
    lines = tuple(_say(seen, checking) for seen in changed)
    return replace(
        checking,
        files=tuple(one for one in checking.files if one not in changed),
        context=replace(checking.context, answers=kept),
    ), lines


def _say(seen: SeenFile, checking: Checking) -> str:
    rows = {row.id.rpartition(".")[2]: row for row in checking.context.paper.packet.documents}
    template = checking.context.templates.get(rows[seen.document].template)
    blanks = template.blanks if template is not None else ()
    lost = [
        blank.label
        for blank in blanks
        if any(
            (one.document, one.sheet, one.blank) == (seen.document, seen.sheet, blank.id)
            and one.seen_in == seen.sha256
            for one in checking.context.answers
        )
    ]
    what = f"what it showed is asked again: {', '.join(lost)}" if lost else "nothing rests on it"
    how = say_how(seen, checking.packet)
    return f"{seen.path} has changed since it was checked; {what}. To look at it again: {how}"
