"""A filled PDF that stands for a new print: what was said of the earlier print counts no longer.

A field can be looked at in the file; ink cannot. So what a person said, or a photo showed, of the
signature on one print says nothing of another. The rule, common practice, no source:

- Files of one sheet that hold the same bytes, or the same texts in the same fields, are one print.
  Whatever their names, nothing is taken back, and a field left empty for the pen leaves what was
  said or seen of the ink. Where a person gave another text since, the paper spoken of was another
  one: such a print counts as new though it is known.
- Answers of a file that give another text than the one kept are of another print too: what was
  said or seen of the ink goes, unless the same answers speak of it (:func:`leave_older_ink`).
- A filled PDF is a new print of an earlier one when most of what one of them shows the other shows
  too, and of whatever a photo taken before it showed. Then every answer about that sheet goes that
  neither the new file nor a PDF of another page gives itself, but for whether the paper is
  enclosed, and so do those on how all papers were signed.
- A filled PDF that shows other blanks is another page of the same document: nothing is taken back,
  unless the two show different texts in one blank.
- A photo or scan given after the PDF shows its signed print, so it takes nothing back.
- Before the first PDF of a sheet a person speaks of the paper in hand; that stays, unless the PDF
  shows another text than the person gave. Then it is a new print too.
- Answers given together with a PDF are of its print, unless they give another text than it shows.
- A picture of a print that is gone is known again by its bytes and says nothing of the new one:
  :mod:`compliance.app.earlier_pictures`.
"""

import hashlib
from dataclasses import dataclass, replace

from compliance.app.checking import Checking
from compliance.app.earlier_pictures import mark_earlier, take_up_again
from compliance.app.print_texts import Pair, list_other_texts, say_other
from compliance.app.seen import SeenFile
from compliance.facts.answers import ENCLOSED, Answer, Source, Status
from compliance.forms.model import FormTemplate
from compliance.scan.pdf_model import Field, FieldsRead, Shown

_FEW = 2
"""One shared blank, such as the owner's name on every page, makes no new print."""
_Sheet = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """A filled PDF as a print of a sheet: the hash of its bytes, and the mark of what it says."""

    sheet: _Sheet
    digest: str
    mark: str


def mark_print(read: FieldsRead) -> str:
    """Give the mark of what a filled PDF says, whatever program saved it.

    Two files with one mark give the same paper: same fields, same texts, same printed words, and
    the same fields printed otherwise than the file holds them.
    """
    held = sorted(
        f"{field.name}\0{field.value.strip()}{_mark_other(field)}" for field in read.fields
    )
    words = sorted(place.label for place in read.printed)
    return hashlib.sha256("\1".join((*held, "", *words)).encode()).hexdigest()


def _mark_other(field: Field) -> str:
    """Give what tells apart a print on which a field is not printed as the file holds it."""
    return "" if field.shown is Shown.AS_HELD else f"\0{field.shown}\0{field.shown_text}"


def leave_prints(checking: Checking, sheet: _Sheet, text: str) -> Checking:
    """Part the files of a sheet from the paper in hand, which says *text* in place of theirs.

    A photo taken from now on shows no print of those files; it goes with them all the same when one
    of them changes.
    """
    files = tuple(
        replace(one, prints=tuple(_mark_told(mark, text) for mark in one.prints))
        if _sheet_of(one) == sheet
        else one
        for one in checking.files
    )
    return replace(checking, files=files)


def _mark_told(mark: str, text: str) -> str:
    return hashlib.sha256(f"{mark}\0{text}".encode()).hexdigest()


def list_prints(files: tuple[SeenFile, ...], sheet: _Sheet) -> tuple[str, ...]:
    """Give the marks of the prints that a photo of a sheet may show, none before the first PDF."""
    marks = (mark for one in files if _sheet_of(one) == sheet for mark in one.prints)
    return tuple(dict.fromkeys(marks))


def leave_earlier(
    checking: Checking, given: Print, said: tuple[Answer, ...], form: FormTemplate
) -> tuple[Checking, tuple[Answer, ...], tuple[str, ...]]:
    """Take back what a new print does not show; let a known print say nothing against ink.

    Shape: the check to put the answers into, the answers of the file to be taken, and what to tell
    the person, one line or none.
    """
    mine = [one for one in checking.files if _sheet_of(one) == given.sheet]
    live = frozenset(mark for one in mine for mark in one.prints)
    is_known = given.mark in live or any(given.digest == one.sha256 for one in mine)
    if is_known and not list_other_texts(checking.context.answers, said, form):
        return checking, _without_pens(checking, said, frozenset()), ()
    shows = {one.blank for one in said}
    replaced = _list_replaced(checking, said, form)
    left = tuple(
        one
        for one in mine
        if one.kind == Source.PDF
        and replaced.isdisjoint({one.sha256, *one.blanks})
        and not _is_same_page(set(one.blanks), shows)
    )
    told = checking.given.answers if checking.given is not None else ()
    other = list_other_texts(told, said, form)
    fresh = frozenset() if other else frozenset(map(_key, told))
    is_new = len(left) < len(mine)
    if not is_new or is_known:
        other = list_other_texts(checking.context.answers, said, form)
    said = _without_pens(checking, said, fresh) if fresh else said
    stay = frozenset(mark for one in left for mark in one.prints)
    if not is_known:
        checking = take_up_again(checking, stay | {given.mark})
    if not is_new and not other:
        return checking, said, ()
    checking = mark_earlier(checking, live - stay, given.sheet, for_good=is_known)
    still = shows.union(*(one.blanks for one in left))
    lost = tuple(
        one
        for one in checking.context.answers
        if _key(one)[:2] == given.sheet
        and one.blank not in {*still, ENCLOSED}
        and _key(one) not in fresh
    )
    others = tuple(one for one in checking.files if _sheet_of(one) != given.sheet)
    after = forget_answers(replace(checking, files=(*others, *left)), lost)
    after = put_envelope(after) if fresh else after
    return after, said, _say(form, lost, other)


def _list_replaced(
    checking: Checking, said: tuple[Answer, ...], form: FormTemplate
) -> frozenset[str]:
    """Give the blanks, and the hashes of PDFs, that show another text: those are no page beside."""
    pairs = list_other_texts(checking.context.answers, said, form, Source.PDF)
    return frozenset(one for blank, before, _ in pairs for one in (blank.id, before.seen_in))


def put_envelope(checking: Checking) -> Checking:
    """Say again what was given in this run of how all papers were signed."""
    if checking.given is None:
        return checking
    given, context = checking.given.envelope, checking.context
    envelope = replace(
        context.envelope,
        no_corrections=context.envelope.no_corrections
        if given.no_corrections is None
        else given.no_corrections,
        signature_kind=given.signature_kind or context.envelope.signature_kind,
    )
    return replace(checking, context=replace(context, envelope=envelope))


def forget_answers(checking: Checking, lost: tuple[Answer, ...]) -> Checking:
    """Take answers out of a check, and with them what was said of how all papers were signed."""
    if not lost:
        return checking
    gone = {_key(one) for one in lost}
    context = checking.context
    kept = tuple(one for one in context.answers if _key(one) not in gone)
    envelope = replace(context.envelope, no_corrections=None, signature_kind="")
    return replace(checking, context=replace(context, answers=kept, envelope=envelope))


def _sheet_of(seen: SeenFile) -> _Sheet:
    return seen.document, seen.sheet


def _key(answer: Answer) -> tuple[str, int, str]:
    return answer.document, answer.sheet, answer.blank


def _is_same_page(one: set[str], other: set[str]) -> bool:
    shared, least = len(one & other), min(len(one), len(other))
    return 2 * shared > least and (shared >= _FEW or one == other)


def _without_pens(
    checking: Checking, said: tuple[Answer, ...], fresh: frozenset[tuple[str, int, str]]
) -> tuple[Answer, ...]:
    """Leave out fields that are empty for the pen where somebody has said or seen the ink since.

    Where *fresh* names answers only those count.
    """
    inked = {
        _key(one)
        for one in checking.context.answers
        if one.status is Status.FILLED
        and one.source is not Source.PDF
        and (not fresh or _key(one) in fresh)
    }
    return tuple(one for one in said if one.status is Status.FILLED or _key(one) not in inked)


def _say(form: FormTemplate, lost: tuple[Answer, ...], other: tuple[Pair, ...]) -> tuple[str, ...]:
    names = {one.blank for one in lost}
    labels = ", ".join(f"`{blank.label}`" for blank in form.blanks if blank.id in names)
    if not labels:
        return ()
    if other:
        why = f"`{form.title}` {say_other(other[0])}: another print than the one you spoke of"
        return (f"{why}. What was said of {labels} is asked again.",)
    is_word = all(one.source is Source.PERSON for one in lost)
    what = "what you said of" if is_word else "what you said or a file showed of"
    first = f"You gave a new print of `{form.title}`; {what} {labels} was of the earlier one."
    return (f"{first} Asked again.",)
