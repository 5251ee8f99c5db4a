"""Filled PDFs and pictures of filled papers as answers of a check."""

import hashlib
from dataclasses import dataclass, replace
from pathlib import Path

from sqlmodel import Session

from compliance.app.checking import Checking, merge_answers
from compliance.app.choosing import (
    Wanted,
    refuse_unknown,
    say_stale,
    want_form,
)
from compliance.app.earlier_pictures import leave_out_earlier, note_pictures, refuse_two_papers
from compliance.app.field_answers import answer_field, say_print, say_without_answer
from compliance.app.filled_fields import (
    keep_ties,
    mark_fields,
    say_seals,
    say_without_field,
    tie_fields,
)
from compliance.app.form_guess import list_doubtful, refuse_other_form, say_proposal
from compliance.app.known_forms import KnownForm
from compliance.app.looking import look_best, named, open_all, refuse_picture, without_fields
from compliance.app.new_print import Print, leave_earlier, list_prints, mark_print
from compliance.app.picture_answers import answer_blank, is_of, list_printed
from compliance.app.resources import read_binary
from compliance.app.seen import SeenFile, SeenPicture
from compliance.app.settling import settle_with_earlier
from compliance.app.sightings import (
    Sighting,
    keep_counting,
    leave_printed,
    merge_repeats,
    say_seen,
)
from compliance.app.untied import say_without_place
from compliance.app.wanted import wanted_blanks
from compliance.base.problems import NotFoundError, RefusedError
from compliance.base.reading import suggest
from compliance.engine.check_sheets import name_of, open_case
from compliance.engine.declaration import DECLARATION
from compliance.facts.answers import Answer, Source
from compliance.forms.model import FormTemplate
from compliance.scan.acroform import read_fields
from compliance.scan.acroform_findings import BlankFinding, compute_findings
from compliance.scan.acroform_match import FieldMatch
from compliance.scan.model import PageFinding
from compliance.scan.pdf_model import FieldsRead, PdfKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What looking at files gave: the check with its new answers, and what to tell the person.

    ``unconfirmed`` is the proposed tie of form fields to blanks when nobody has confirmed it yet;
    nothing was taken then, and ``lines`` name the tie blank by blank.
    """

    checking: Checking
    lines: tuple[str, ...]
    pages: tuple[PageFinding, ...] = ()
    unconfirmed: tuple[FieldMatch, ...] = ()


def list_documents(checking: Checking) -> dict[str, FormTemplate]:
    """Give the documents of the packet that have a form, by their short names."""
    context = checking.context
    return {
        row.id.rpartition(".")[2]: context.templates[row.template]
        for row in context.paper.packet.documents
        if row.template in context.templates
    }


def choose_document(checking: Checking, wanted: str) -> tuple[str, FormTemplate]:
    """Give a document of the packet by its short name; without a wish the only one there is.

    Raises:
        NotFoundError: There is no such document, or several and none was named.
    """
    known = list_documents(checking)
    if not wanted and len(known) == 1:
        wanted = next(iter(known))
    if wanted not in known:
        problem = (
            f"no document of {checking.packet} is called {wanted!r}"
            if wanted
            else (f"{checking.packet} has {len(known)} documents")
        )
        hint = suggest(wanted, known) or f"name one with --document: {', '.join(known)}"
        raise NotFoundError(problem, hint=hint)
    return wanted, known[wanted]


def _check_sheet(checking: Checking, document: str, sheet: int) -> None:
    """Refuse a sheet that would leave a gap: nobody could answer for those between.

    Raises:
        RefusedError: There are fewer sheets.
    """
    counts = [
        len(one.sheets)
        for one in open_case(checking.context).enclosures
        if name_of(one.row) == document
    ]
    count = max(counts, default=0)
    if sheet > count + 1:
        raise RefusedError(
            f"{document} has {count} {'sheet' if count == 1 else 'sheets'} so far, not {sheet}",
            hint=f"the next one is --sheet {count + 1}",
        )


def take_pdf(
    session: Session,
    checking: Checking,
    path: str,
    document: str,
    sheet: int,
    *,
    confirm: bool,
    draw: bool = False,
) -> Looked:
    """Take a filled PDF: its fields when it has some, else its pages as pictures.

    With *draw* its pages come back with every field framed and what it holds.

    The tie of fields to blanks is proposed once for an edition of the form and must be confirmed;
    it is kept for the next time.

    Raises:
        NotFoundError: There is no such file or document.
        RefusedError: The file cannot be used, or seems to be another form; the sentence says why.
    """
    name, template = choose_document(checking, document)
    _check_sheet(checking, name, sheet)
    data = read_binary(path)
    refuse_picture(path, data, checking.packet)
    read = _read_pdf(path, data)
    if read.kind is not PdfKind.FILLABLE:
        with without_fields(path, read.why, checking.packet):
            looked = take_pictures(session, checking, ((path, data),), name, sheet)
        return replace(looked, lines=(f"{path}: {read.why}", *looked.lines))
    matches, is_known = tie_fields(session, read, template)
    doubtful: tuple[str, ...] = ()
    if not is_known:
        doubtful = list_doubtful(read, matches, template)
        all_forms = checking.context.templates
        refuse_other_form(read, path, name, list_documents(checking), all_forms)
        if not confirm:
            shown = say_proposal(read, matches, template)
            return Looked(checking=checking, lines=shown, unconfirmed=matches)
        keep_ties(session, read, template, matches, checking.context.as_of)
    findings = compute_findings(read, matches, wanted_blanks(template))
    taken, again = _take_fields(checking, read, findings, (path, data), (name, sheet))
    without = say_without_answer(taken.context.answers, findings, (name, sheet))
    printed = say_print(read, findings)
    lines = [*again, *doubtful, *printed, *say_seals(read), *without]
    if not draw:
        return Looked(checking=taken, lines=tuple(lines))
    with named(path):
        pages = mark_fields(data, path, findings)
    return Looked(checking=taken, lines=(*lines, *say_without_field(findings)), pages=pages)


def _take_fields(
    checking: Checking,
    read: FieldsRead,
    findings: tuple[BlankFinding, ...],
    file: tuple[str, bytes],
    sheet: tuple[str, int],
) -> tuple[Checking, tuple[str, ...]]:
    """Take what the fields of a PDF say; give what of an earlier print is asked again too.

    A blank without a field was not looked at: what was said of it before stays, unless that was of
    another print.
    """
    _, template = choose_document(checking, sheet[0])
    found = [finding for finding in findings if finding.fields]
    said = tuple(answer_field(read, one, sheet, file[1], template) for one in found)
    digest = hashlib.sha256(file[1]).hexdigest()
    given = Print(sheet=sheet, digest=digest, mark=mark_print(read))
    left, said, again = leave_earlier(checking, given, said, template)
    return _with(left, said, (file,), *sheet, prints=(given.mark,)), again


def _read_pdf(path: str, data: bytes) -> FieldsRead:
    """Read the fields of a PDF.

    Raises:
        RefusedError: It cannot be used.
    """
    with named(path):
        read = read_fields(data)
    if read.kind in {PdfKind.ENCRYPTED, PdfKind.DAMAGED, PdfKind.EMPTY, PdfKind.XFA_ONLY}:
        raise RefusedError(f"{path}: {read.why}")
    return read


def take_pictures(
    session: Session,
    checking: Checking,
    files: tuple[tuple[str, bytes], ...],
    document: str,
    sheet: int,
) -> Looked:
    """Take photos or scans of a filled paper, lined up with the learned blank of its form.

    Raises:
        NotFoundError: There is no such document.
        RefusedError: The blank of the form was never shown, or no picture could be used.
    """
    name, template = choose_document(checking, document)
    _check_sheet(checking, name, sheet)
    files, earlier = leave_out_earlier(checking, tuple(dict(files).items()), (name, sheet))
    if not files:
        return Looked(checking=checking, lines=earlier)
    wanted = want_form(template, checking.packet, list_documents(checking))
    form, pages, refused = _line_up(session, checking, wanted, files)
    for file in files:
        count = sum(is_of(page.picture, file[0]) for page in pages)
        refuse_two_papers(checking, file, (name, sheet), pages=count)
    blanks = {place.region.id: place.blank for place in form.places}
    sightings = merge_repeats(pages)
    seen: dict[str, list[Sighting]] = {}
    for one in sightings:
        if blanks.get(one.finding.region.id):
            seen.setdefault(blanks[one.finding.region.id], []).append(one)
    whose = (name, sheet)
    shows = (
        *(
            answer_blank(template, blank, found, files, whose, form.places)
            for blank, found in seen.items()
        ),
        *list_printed(form, pages, files, whose),
    )
    names = {one.sha256: Path(one.path).name for one in checking.files}
    said, beside = settle_with_earlier(checking.context.answers, shows, names)
    lines = (
        *earlier,
        *refused,
        *say_stale(form, dict(checking.own_facts).get(name, ""), checking.packet),
        *say_seen(sightings, template, beside, blanks),
        *say_without_place(checking.context.answers, form, template, whose),
    )
    looked_at = {page.picture for page in pages if page.page is not None}
    used = tuple(
        (path, data) for path, data in files if any(is_of(picture, path) for picture in looked_at)
    )
    if not said:
        return Looked(checking=checking, lines=(*lines, _say_nothing_to_fill(name)), pages=pages)
    taken = _with(checking, said, used, name, sheet, form=form.code)
    return Looked(checking=taken, lines=lines, pages=pages)


def _line_up(
    session: Session, checking: Checking, wanted: Wanted, files: tuple[tuple[str, bytes], ...]
) -> tuple[KnownForm, tuple[PageFinding, ...], list[str]]:
    """Line pictures up with the form they show, and say why some could not be used.

    Raises:
        RefusedError: The form is not known, or no picture could be used.
    """
    refuse_unknown(session, wanted)
    pictures, refused = open_all(files)
    if not pictures:
        raise RefusedError("; ".join(refused))
    form, pages = look_best(session, checking, wanted, pictures)
    refused += [_say_refused(page) for page in pages if page.page is None]
    if not any(page.page is not None for page in pages):
        raise RefusedError("; ".join(refused))
    return form, pages, refused


def _say_nothing_to_fill(document: str) -> str:
    """Say that a page has no place to write, and of the declaration which page has."""
    plain = "nothing on this page is to be filled in"
    return f"{plain}; the sheet to sign is the next one" if document == DECLARATION else plain


def _say_refused(page: PageFinding) -> str:
    """Say why a picture could not be used, its name first."""
    return page.why if page.why.startswith(page.picture) else f"{page.picture}: {page.why}"


def _with(
    checking: Checking,
    said: tuple[Answer, ...],
    files: tuple[tuple[str, bytes], ...],
    document: str,
    sheet: int,
    *,
    form: str = "",
    prints: tuple[str, ...] = (),
) -> Checking:
    """Put answers and files into a check; files on which nothing rests make room.

    Without *prints* they are pictures, of whatever prints the sheet had so far.
    """
    kind = Source.PDF if prints else Source.PHOTO
    seen = tuple(
        SeenFile(
            path=str(Path(path).resolve()),
            sha256=digest,
            document=document,
            sheet=sheet,
            kind=str(kind),
            kept="",
            blanks=tuple(one.blank for one in said if one.seen_in == digest),
            form=form,
            prints=prints or list_prints(checking.files, (document, sheet)),
            seen_on=checking.context.as_of.isoformat(),
        )
        for path, data in files
        for digest in (hashlib.sha256(data).hexdigest(),)
    )
    template = choose_document(checking, document)[1]
    taken, stay = leave_printed(checking.context.answers, said, template)
    answers = merge_answers(checking.context.answers, taken)
    context = replace(checking.context, answers=answers)
    after = replace(checking, context=context, files=keep_counting(checking.files, seen, stay))
    if prints:
        return after
    return note_pictures(after, (_to_picture(one, checking.turn) for one in seen))


def _to_picture(seen: SeenFile, turn: int) -> SeenPicture:
    return SeenPicture(
        sha256=seen.sha256,
        document=seen.document,
        sheet=seen.sheet,
        seen_on=seen.seen_on,
        prints=seen.prints,
        turn=turn,
    )
