"""Pictures of a print that another print has taken the place of: they say nothing of the new one.

A picture is known again by its bytes alone; one saved anew cannot be known. Each is kept with the
prints its sheet had when it was looked at (see :mod:`compliance.app.new_print`).
"""

import hashlib
from collections.abc import Iterable
from dataclasses import replace

from compliance.app.checking import Checking
from compliance.app.seen import SeenPicture
from compliance.base.dates import say_date
from compliance.base.problems import RefusedError
from compliance.facts.answers_parse import find_day

_Sheet = tuple[str, int]


def note_pictures(checking: Checking, taken: Iterable[SeenPicture]) -> Checking:
    """Keep which pictures were looked at; one that is looked at again counts as it was now."""
    new = {_key(one): one for one in taken}
    old = tuple(one for one in checking.pictures if _key(one) not in new)
    return replace(checking, pictures=(*old, *new.values()))


def mark_earlier(
    checking: Checking,
    gone: frozenset[str],
    sheet: _Sheet | None = None,
    *,
    for_good: bool = False,
) -> Checking:
    """Mark the pictures of prints that are gone; on *sheet* also those older than any print.

    With *for_good* nobody can tell which paper they show, and they never count again.
    """
    pictures = tuple(
        replace(one, is_earlier=True, prints=() if for_good else one.prints)
        if gone.intersection(one.prints) or (not one.prints and (one.document, one.sheet) == sheet)
        else one
        for one in checking.pictures
    )
    return replace(checking, pictures=pictures)


def mark_sheet(checking: Checking, sheet: _Sheet) -> Checking:
    """Mark every picture of a sheet for good: the paper in hand is another than the one shown."""
    pictures = tuple(
        replace(one, is_earlier=True, prints=()) if (one.document, one.sheet) == sheet else one
        for one in checking.pictures
    )
    return replace(checking, pictures=pictures)


def take_up_again(checking: Checking, live: frozenset[str]) -> Checking:
    """Let the pictures count again all of whose prints are those of the papers in hand."""
    pictures = tuple(
        replace(one, is_earlier=False) if one.prints and live.issuperset(one.prints) else one
        for one in checking.pictures
    )
    return replace(checking, pictures=pictures)


def leave_out_earlier(
    checking: Checking, files: tuple[tuple[str, bytes], ...], sheet: _Sheet
) -> tuple[tuple[tuple[str, bytes], ...], tuple[str, ...]]:
    """Give the files that are no pictures of an earlier print, and a sentence for each that is."""
    earlier = {_key(one): one for one in checking.pictures if one.is_earlier}
    left: list[tuple[str, bytes]] = []
    lines: list[str] = []
    for path, data in files:
        known = earlier.get((*sheet, hashlib.sha256(data).hexdigest()))
        if known is None:
            left.append((path, data))
            continue
        day = find_day(known.seen_on)
        on = f", seen on {say_date(day)}" if day else ""
        of = f"of the earlier print{on}, so it says nothing of the new one"
        if known.turn < checking.turn:
            of = f"older than the last return{on}, so it says nothing of the paper as it is now"
        lines.append(
            f"{path}: this picture is {of};"
            " take a picture of the paper as it is now, or answer the questions"
        )
    return tuple(left), tuple(lines)


def refuse_two_papers(
    checking: Checking, file: tuple[str, bytes], sheet: _Sheet, *, pages: int
) -> None:
    """Refuse a photo that was taken for another paper of the packet; *pages* it has as a file.

    A file of several pages, such as a scan of a whole packet, may show several papers.

    Raises:
        RefusedError: It was.
    """
    digest = hashlib.sha256(file[1]).hexdigest()
    for one in checking.pictures:
        if pages <= 1 and one.sha256 == digest and (one.document, one.sheet) != sheet:
            which = f"{one.document}, sheet {one.sheet}" if one.sheet > 1 else one.document
            raise RefusedError(
                f"{file[0]}: this picture was given for {which} already; one picture cannot be"
                " two papers",
                hint="take a picture of each paper, or answer the questions about this one",
            )


def _key(one: SeenPicture) -> tuple[str, int, str]:
    return one.document, one.sheet, one.sha256
