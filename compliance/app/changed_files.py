"""Files that are no longer what a check looked at: what rested on them is taken back."""

import hashlib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from compliance.app.checking import Checking
from compliance.app.earlier_pictures import mark_earlier
from compliance.app.new_print import forget_answers
from compliance.app.seen import SeenFile
from compliance.base.problems import RefusedError
from compliance.facts.answers import ENCLOSED, Answer, Source
from compliance.forms.model import Blank


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
    """Take back what changed files had shown, whoever else had said the same.

    A person who agreed with a file had that paper in mind, so those answers go too. So does all
    that was said of a paper printed from a changed PDF, such as its signature, its date and the
    notary's block, and all that photos of it showed, unless another file shows it: the rule of
    :mod:`compliance.app.new_print`.

    Shape: the check without those files and answers, so that they are asked again, and for each
    file one sentence with the command that looks at it again.

    Raises:
        RefusedError: A file cannot be read.
    """
    changed = tuple(find_changed(checking.files))
    if not changed:
        return checking, ()
    prints = {mark for one in changed if one.kind == Source.PDF for mark in one.prints}
    left = tuple(
        one for one in checking.files if one not in changed and prints.isdisjoint(one.prints)
    )
    shown = {(one.document, one.sheet, blank) for one in left for blank in one.blanks}
    lost = {
        seen: tuple(
            one
            for one in checking.context.answers
            if _key(one) not in shown and _rests_on(one, seen)
        )
        for seen in changed
    }
    lines = tuple(_say(seen, answers, checking) for seen, answers in lost.items())
    gone = tuple(one for answers in lost.values() for one in answers)
    still = {mark for one in left for mark in one.prints}
    after = mark_earlier(replace(checking, files=left), frozenset(prints - still))
    return forget_answers(after, gone), lines


def _key(answer: Answer) -> tuple[str, int, str]:
    return answer.document, answer.sheet, answer.blank


def _rests_on(answer: Answer, seen: SeenFile) -> bool:
    """Tell whether an answer is about what a file showed, or about the paper printed from it."""
    if (answer.document, answer.sheet) != (seen.document, seen.sheet):
        return False
    if answer.blank in seen.blanks or answer.seen_in == seen.sha256:
        return True
    return seen.kind == Source.PDF and answer.blank != ENCLOSED


def _list_blanks(seen: SeenFile, checking: Checking) -> tuple[Blank, ...]:
    rows = {row.id.rpartition(".")[2]: row for row in checking.context.paper.packet.documents}
    template = checking.context.templates.get(rows[seen.document].template)
    return template.blanks if template is not None else ()


def _say(seen: SeenFile, lost: tuple[Answer, ...], checking: Checking) -> str:
    names = {one.blank for one in lost}
    told = seen.blanks or tuple(one.blank for one in lost if one.seen_in)
    blanks = [blank for blank in _list_blanks(seen, checking) if blank.id in names]
    showed = ", ".join(blank.label for blank in blanks if blank.id in told)
    signed = ", ".join(blank.label for blank in blanks if blank.id not in told)
    what = f"what it showed is asked again: {showed}" if showed else "nothing rests on it"
    if signed:
        what += f"; so is what was said or seen of the paper printed from it: {signed}"
    how = say_how(seen, checking.packet)
    return f"{seen.path} has changed since it was checked; {what}. To look at it again: {how}"
