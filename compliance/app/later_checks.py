"""Which mailing of a packet a check is of, and what checks of mailings that are no more say of it.

A return or a grant that is withdrawn from the log brings an earlier mailing back. What was printed
or told for the later one came after the ink of this one, so that paper is asked about again.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from compliance.app.kept_answers import read_kept_answers
from compliance.app.seen import SeenFile, SeenPicture
from compliance.engine.check_sheets import name_of
from compliance.engine.packets import packet_id
from compliance.engine.plan_model import PaperPlan
from compliance.facts.answers import ENCLOSED, Source
from compliance.facts.answers_parse import PacketAnswers
from compliance.facts.log import EventKind, LogEntry, find_standing
from compliance.forms.model import FormTemplate
from compliance.store.checks import StoredCheck
from compliance.store.kept_json import parse_kept

_ENDS = frozenset({EventKind.RETURNED, EventKind.GRANTED})
_Sheet = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What is kept of a check: answers, files and pictures; ``lines`` say what is asked again."""

    said: PacketAnswers
    files: tuple[SeenFile, ...]
    pictures: tuple[SeenPicture, ...]
    lines: tuple[str, ...] = ()


def find_turn(log: tuple[LogEntry, ...], paper: PaperPlan) -> int:
    """Give the number of the mailing that is worked on, from 1, over all renewals of a packet.

    Every return begins another one, and every grant: a renewal is other papers with other ink.
    """
    ends = (entry for entry in find_standing(log) if entry.kind in _ENDS)
    return 1 + sum(packet_id(entry.paper, entry.holder) == paper.id for entry in ends)


def leave_later(
    kept: Kept,
    later: tuple[StoredCheck, ...],
    paper: PaperPlan,
    templates: Mapping[str, FormTemplate],
) -> Kept:
    """Forget every sheet of which a later check has another print, or a text that was told.

    Raises:
        ValueError, TypeError: What was kept is damaged.
    """
    for check in later:
        said, _ = read_kept_answers(check.answers, paper, templates)
        files = parse_kept(SeenFile, check.files)
        known = {(one.document, one.sheet, one.sha256) for one in kept.pictures}
        pictures = parse_kept(SeenPicture, check.pictures)
        fresh = tuple(
            replace(one, is_earlier=True, prints=())
            for one in pictures
            if (one.document, one.sheet, one.sha256) not in known
        )
        kept = replace(kept, pictures=(*kept.pictures, *fresh))
        marked = {(one.document, one.sheet) for one in pictures if not one.sha256}
        for row in paper.packet.documents:
            form = templates.get(row.template)
            if form is not None:
                for sheet in _list_other(kept, said, files, marked, name_of(row)):
                    kept = _note_other(_ask_again(kept, sheet, form), sheet)
    return kept


def _note_other(kept: Kept, sheet: _Sheet) -> Kept:
    """Note that a later mailing had another print: the one before this may be taken up too."""
    mark = SeenPicture(sha256="", document=sheet[0], sheet=sheet[1], seen_on="", is_earlier=True)
    return kept if mark in kept.pictures else replace(kept, pictures=(*kept.pictures, mark))


def _list_other(
    kept: Kept,
    said: PacketAnswers,
    files: tuple[SeenFile, ...],
    marked: set[_Sheet],
    document: str,
) -> Iterator[_Sheet]:
    """Give the sheets of a document of which the later check has another print, or a text told.

    *marked* are those of which a check later still had another print. A text that was told last is
    not all that was told: there may have been another one between.
    """
    mine = {mark for one in kept.files if one.document == document for mark in one.prints}
    printed = {
        one.sheet for one in files if one.document == document and not mine.issuperset(one.prints)
    }
    told = {
        one.sheet
        for one in said.answers
        if one.document == document and one.says and one.source is Source.PERSON
    }
    noted = {number for name, number in marked if name == document}
    yield from ((document, number) for number in sorted(printed | told | noted))


def _ask_again(kept: Kept, sheet: _Sheet, form: FormTemplate) -> Kept:
    """Forget all about a sheet but whether it is enclosed: its files show no paper in hand."""
    left = tuple(
        one
        for one in kept.said.answers
        if (one.document, one.sheet) != sheet or one.blank == ENCLOSED
    )
    pictures = tuple(
        replace(one, is_earlier=True, prints=()) if (one.document, one.sheet) == sheet else one
        for one in kept.pictures
    )
    files = tuple(one for one in kept.files if (one.document, one.sheet) != sheet)
    if len(left) == len(kept.said.answers):
        return replace(kept, files=files, pictures=pictures)
    which = f"`{form.title}`" + (f", sheet {sheet[1]}" if sheet[1] > 1 else "")
    line = (
        f"{which}: a later mailing, which the log has no more, had another print or text. All of"
        " this paper is asked again."
    )
    envelope = replace(kept.said.envelope, no_corrections=None, signature_kind="")
    said = replace(kept.said, answers=left, envelope=envelope)
    return Kept(said=said, files=files, pictures=pictures, lines=(*kept.lines, line))
