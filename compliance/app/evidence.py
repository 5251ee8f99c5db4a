"""Filled PDFs and pictures of filled papers as answers of a check."""

import hashlib
import json
from dataclasses import dataclass, replace
from datetime import date
from io import BytesIO
from pathlib import Path

from PIL import Image
from sqlmodel import Session

from compliance.app.checking import Checking, SeenFile, merge_answers
from compliance.app.learned import KnownForm, load_known, read_kept, wanted_blanks
from compliance.app.resources import read_binary, write_files
from compliance.base.problems import NotFoundError, OutputError, RefusedError
from compliance.base.reading import suggest
from compliance.engine.check_sheets import name_of, open_case
from compliance.facts.answers import Answer, Source, Status
from compliance.forms.model import BlankKind, FormTemplate
from compliance.scan.acroform import read_fields
from compliance.scan.acroform_findings import compute_findings
from compliance.scan.acroform_match import FieldMatch, propose_mapping
from compliance.scan.blank import BlankPage
from compliance.scan.codes import code_rects
from compliance.scan.model import PageFinding, RegionFinding, Seen
from compliance.scan.pdf_model import FieldsRead, PdfKind, SealState
from compliance.scan.photo import look_at_pictures
from compliance.scan.render import open_pdf, render_page
from compliance.store.checks import LearnedForm, load_learned, save_learned

FIELDS = "fields"
SCAN_DPI = 150
# A blank in several places is only there when all of them are.
_WORST = (Seen.PRESENT, Seen.CANNOT_TELL, Seen.MISSING)
_STATUS = {
    Seen.PRESENT: Status.FILLED,
    Seen.MISSING: Status.EMPTY,
    Seen.CANNOT_TELL: Status.UNCLEAR,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What looking at files gave: the check with its new answers, and what to tell the person.

    ``unconfirmed`` is the proposed tie of form fields to blanks when nobody has confirmed it yet;
    nothing was taken then.
    """

    checking: Checking
    lines: tuple[str, ...]
    pages: tuple[PageFinding, ...] = ()
    unconfirmed: tuple[FieldMatch, ...] = ()


def choose_document(checking: Checking, wanted: str) -> tuple[str, FormTemplate]:
    """Give a document of the packet by its short name; without a wish the only one there is.

    Raises:
        NotFoundError: There is no such document, or several and none was named.
    """
    context = checking.context
    known = {
        row.id.rpartition(".")[2]: context.templates[row.template]
        for row in context.paper.packet.documents
        if row.template in context.templates
    }
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
    session: Session, checking: Checking, path: str, document: str, sheet: int, *, confirm: bool
) -> Looked:
    """Take a filled PDF: its fields when it has some, else its pages as pictures.

    The tie of fields to blanks is proposed once for an edition of the form and must be confirmed;
    it is kept for the next time.

    Raises:
        NotFoundError: There is no such file or document.
        RefusedError: The file cannot be used; the sentence says why.
    """
    name, template = choose_document(checking, document)
    _check_sheet(checking, name, sheet)
    data = read_binary(path)
    read = read_fields(data)
    if read.kind in {PdfKind.ENCRYPTED, PdfKind.DAMAGED, PdfKind.EMPTY, PdfKind.XFA_ONLY}:
        raise RefusedError(f"{path}: {read.why}")
    if read.kind is not PdfKind.FILLABLE:
        looked = take_pictures(session, checking, ((path, data),), name, sheet)
        return replace(looked, lines=(f"{path}: {read.why}", *looked.lines))
    matches, is_known = _tie_fields(session, read, template)
    if not is_known and not confirm:
        return Looked(checking=checking, lines=(), unconfirmed=matches)
    if not is_known:
        _keep_ties(session, read, template, matches, checking.context.as_of)
    digest = hashlib.sha256(data).hexdigest()
    findings = compute_findings(read, matches, wanted_blanks(template))
    said = [
        Answer(
            document=name,
            blank=finding.blank.id,
            status=_STATUS[finding.seen],
            says=_value(read, finding.fields) if finding.seen is Seen.PRESENT else "",
            sheet=sheet,
            source=Source.PDF,
            seen_in=digest,
        )
        for finding in findings
    ]
    taken = _with(checking, tuple(said), ((path, data),), name, sheet)
    return Looked(checking=taken, lines=tuple(_say_seals(read)))


def _tie_fields(
    session: Session, read: FieldsRead, template: FormTemplate
) -> tuple[tuple[FieldMatch, ...], bool]:
    """Give the tie of fields to blanks, and whether a person has confirmed it."""
    edition = _edition(read)
    for known in load_learned(session, template.id, FIELDS):
        if known.edition == edition:
            ties = json.loads(known.content)
            return tuple(FieldMatch(**tie) for tie in ties), True
    return propose_mapping(read.fields, wanted_blanks(template)), False


def _keep_ties(
    session: Session,
    read: FieldsRead,
    template: FormTemplate,
    matches: tuple[FieldMatch, ...],
    on: date,
) -> None:
    ties = [
        {"field": one.field, "blank": one.blank, "score": one.score, "why": one.why}
        for one in matches
    ]
    save_learned(
        session,
        LearnedForm(
            template=template.id,
            kind=FIELDS,
            edition=_edition(read),
            learned_on=on,
            content=json.dumps(ties, ensure_ascii=False),
            blank_file="",
        ),
    )


def _edition(read: FieldsRead) -> str:
    """Tell editions of a form apart by the names of its fields."""
    names = "\0".join(sorted(field.name for field in read.fields))
    return hashlib.sha256(names.encode()).hexdigest()[:16]


def _value(read: FieldsRead, names: tuple[str, ...]) -> str:
    values = [
        field.value.strip()
        for field in read.fields
        if field.name in names and field.seal is None and field.value.strip()
    ]
    return values[0] if len(values) == 1 else ""


def _say_seals(read: FieldsRead) -> list[str]:
    lines = []
    for field in read.fields:
        seal = field.seal
        if seal is None or seal.state is SealState.UNSIGNED:
            continue
        if seal.state is SealState.DRAWN:
            lines.append(f"{field.name}: drawn with a pen tool; ask whether ink is wanted")
            continue
        whole = {True: "the signed bytes are intact", False: "the signed bytes were CHANGED"}
        text = whole.get(seal.is_intact, "whether the bytes are intact could not be told")  # type: ignore[arg-type]
        lines.append(
            f"{field.name}: a digital signature is present; {text}; the certificate was not judged"
        )
    return lines


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
    known = load_known(session, template.id)
    if not known:
        raise RefusedError(
            f"the blank of {template.title} is needed to read a picture of it",
            hint=f"mailby forms learn BLANK.pdf --form {template.id}",
        )
    pictures = tuple(picture for path, data in files for picture in _to_pictures(path, data))
    best = _look(known[0], pictures)
    for form in known[1:]:
        if _count_lined_up(best) == len(pictures):
            break
        best = max(best, _look(form, pictures), key=_count_lined_up)
    form, pages = best
    blanks = {place.region.id: place.blank for place in form.places}
    digest = hashlib.sha256(b"".join(data for _, data in files)).hexdigest()
    seen: dict[str, list[Seen]] = {}
    for page in pages:
        for finding in page.findings:
            if blanks.get(finding.region.id):
                seen.setdefault(blanks[finding.region.id], []).append(_soften(finding))
    said = tuple(
        Answer(
            document=name,
            blank=blank,
            status=_STATUS[max(found, key=_WORST.index)],
            sheet=sheet,
            source=Source.PHOTO,
            seen_in=digest,
        )
        for blank, found in seen.items()
    )
    lines = [f"{page.picture}: {page.why}" for page in pages if page.page is None]
    lines.extend(
        f"{finding.region.label or finding.region.id}: {finding.seen}; {finding.why}"
        for page in pages
        for finding in page.findings
        if finding.seen is not Seen.PRESENT
    )
    if not any(page.page is not None for page in pages):
        raise RefusedError("no page could be lined up with the blank: " + "; ".join(lines))
    taken = _with(checking, said, files, name, sheet)
    return Looked(checking=taken, lines=tuple(lines), pages=pages)


def _soften(finding: RegionFinding) -> Seen:
    """Give what a place shows; an empty check box alone proves nothing, another may be ticked."""
    is_open = finding.region.kind == BlankKind.CHECK and finding.seen is Seen.MISSING
    return Seen.CANNOT_TELL if is_open else finding.seen


def _count_lined_up(looked: tuple[KnownForm, tuple[PageFinding, ...]]) -> int:
    return sum(page.page is not None for page in looked[1])


def _look(
    form: KnownForm, pictures: tuple[tuple[str, bytes], ...]
) -> tuple[KnownForm, tuple[PageFinding, ...]]:
    blank = read_kept(form)
    sizes = open_pdf(blank).pages
    pages = tuple(
        BlankPage(
            page=number,
            grey=render_page(blank, number, SCAN_DPI),
            dpi=SCAN_DPI,
            width=size.width,
            height=size.height,
            codes=code_rects(size.width, size.height) if form.has_codes else (),
        )
        for number, size in enumerate(sizes)
    )
    regions = tuple(place.region for place in form.places if place.blank)
    return form, look_at_pictures(pictures, pages, regions, form_code=form.code)


def _to_pictures(path: str, data: bytes) -> list[tuple[str, bytes]]:
    """Give a file's pictures: a PDF's pages drawn, any other file as it is."""
    if not data.startswith(b"%PDF"):
        return [(path, data)]
    found = []
    for number in range(len(open_pdf(data).pages)):
        stream = BytesIO()
        image = Image.fromarray(render_page(data, number, SCAN_DPI, colour=True))
        image.save(stream, "PNG")
        found.append((f"{path}, page {number + 1}", stream.getvalue()))
    return found


def _with(
    checking: Checking,
    said: tuple[Answer, ...],
    files: tuple[tuple[str, bytes], ...],
    document: str,
    sheet: int,
) -> Checking:
    """Put answers and files into a check; earlier files of the same sheet make room."""
    kind = said[0].source if said else Source.PHOTO
    seen = tuple(
        SeenFile(
            path=str(Path(path).resolve()),
            sha256=hashlib.sha256(data).hexdigest(),
            document=document,
            sheet=sheet,
            kind=str(kind),
            kept="",
        )
        for path, data in files
    )
    others = tuple(
        one
        for one in checking.files
        if (one.document, one.sheet, one.kind) != (document, sheet, str(kind))
    )
    answers = merge_answers(checking.context.answers, said)
    context = replace(checking.context, answers=answers)
    return replace(checking, context=context, files=(*others, *seen))


def keep_copies(checking: Checking, folder: Path) -> Checking:
    """Keep a copy of every file of a check, readable by the owner alone.

    Raises:
        OutputError: A copy cannot be written.
    """
    files = []
    # Closed before anything is in it: these papers show addresses and signatures.
    try:
        folder.mkdir(parents=True, exist_ok=True)
        folder.chmod(0o700)
    except OSError as error:
        raise OutputError(f"{folder} cannot be made: {error.strerror}") from None
    for seen in checking.files:
        path = Path(seen.path)
        if seen.kept or not path.is_file():
            files.append(seen)
            continue
        data = path.read_bytes()
        name = (
            f"{checking.packet.replace(':', '_')}_{checking.turn}_{seen.sha256[:16]}{path.suffix}"
        )
        kept = write_files(folder, {name: data})[0]
        kept.chmod(0o600)
        files.append(replace(seen, kept=str(kept)))
    return replace(checking, files=tuple(files))


def list_pictures(pages: tuple[PageFinding, ...], stem: str) -> dict[str, bytes]:
    """Give the marked pages and the crops of what is not plainly present: file name -> PNG."""
    found: dict[str, bytes] = {}
    for number, page in enumerate(pages, 1):
        if page.marked:
            found[f"{stem}_page{number}.png"] = page.marked
        for finding in page.findings:
            if finding.crop:
                found[f"{stem}_page{number}_{finding.region.id}.png"] = finding.crop
    return found
