"""The check before mailing: gather what is known, take answers and files, give the verdict."""

import hashlib
import json
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path

from sqlmodel import Session

from compliance.app.kept_answers import read_kept_answers
from compliance.app.own_facts import compute_own_facts
from compliance.app.planning import Planned, find_paper
from compliance.app.resources import read_user_text, write_file
from compliance.app.tables import load_templates
from compliance.base.problems import DataProblemsError, Problem, RefusedError
from compliance.engine.check import compute_check
from compliance.engine.check_model import CheckContext, CheckResult, Severity
from compliance.engine.check_sheets import name_of
from compliance.engine.declaration import DECLARATION, DECLARATION_FORM, add_declaration
from compliance.engine.edition_choice import sent_on
from compliance.engine.open_lines import list_open_lines
from compliance.engine.questions import compute_asked
from compliance.engine.returned import find_office_returns
from compliance.facts.answers import Answer, EnvelopeAnswers, Source, Status
from compliance.facts.answers_parse import PacketAnswers, parse_answers
from compliance.facts.answers_write import render_answers
from compliance.facts.log import EventKind
from compliance.facts.write import render_operation
from compliance.store.checks import StoredCheck, load_check, save_check
from compliance.store.kept_json import parse_kept
from compliance.store.refusals import refuse_unreadable

_EMPTY_FILE = "S004"
_HOW_TO_ANSWER = """\
# Write behind the colon what stands on the paper. Without a text: yes or filled, no or not yet,
# struck, unclear. What has no value is still open. A text that is one of these words itself is
# written as {status: filled, says: "..."}.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenFile:
    """A file a check looked at: where it was, its hash, which document it showed, the copy kept.

    ``blanks`` are those of the sheet for which the file was the last one that told anything.
    ``form`` is the code of the edition that pictures were lined up with, empty for a filled PDF.
    """

    path: str
    sha256: str
    document: str
    sheet: int
    kind: str
    kept: str
    blanks: tuple[str, ...] = ()
    form: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Checking:
    """One check under way; ``turn`` is the number of the mailing, from 1.

    ``own_facts`` marks what each of our own papers would say today: (document, mark). ``dropped``
    says which kept answers no longer fit the forms.
    """

    operation_id: str
    turn: int
    context: CheckContext
    files: tuple[SeenFile, ...]
    own_facts: tuple[tuple[str, str], ...] = ()
    dropped: tuple[str, ...] = ()

    @property
    def packet(self) -> str:
        """Give the packet's id."""
        return self.context.paper.id


def open_checking(session: Session, planned: Planned, name: str) -> Checking:
    """Open the check of a packet with the answers and files kept so far.

    Raises:
        NotFoundError: No such packet.
        RefusedError: The paper is in hand already.
        StoreError: What was kept of the files is damaged.
    """
    plan = planned.plan
    bare = find_paper(plan, name)
    if not bare.packet.planned:
        raise RefusedError(f"{bare.id} is in hand; there is no packet to check")
    paper = add_declaration(bare)
    templates = {**load_templates(), DECLARATION: DECLARATION_FORM}
    turn = paper.packet.progress.round
    sending = paper.find_step(paper.mail_step)
    mail_on = max(plan.as_of, sending.earliest if sending is not None else plan.as_of)
    said = PacketAnswers(packet=paper.id, answers=(), envelope=EnvelopeAnswers())
    files: tuple[SeenFile, ...] = ()
    dropped: tuple[str, ...] = ()
    stored = load_check(session, plan.operation.id, paper.id, turn)
    if stored is not None:
        said, dropped = read_kept_answers(stored.answers, paper, templates)
        with refuse_unreadable("the files of a check"):
            files = parse_kept(SeenFile, stored.files)
        known = {name_of(row) for row in paper.packet.documents}
        files = tuple(one for one in files if one.document in known)
    return Checking(
        operation_id=plan.operation.id,
        turn=turn,
        files=files,
        own_facts=tuple(compute_own_facts(plan, bare, templates).items()),
        dropped=dropped,
        context=CheckContext(
            operation=plan.operation,
            paper=paper,
            templates=templates,
            answers=said.answers,
            envelope=said.envelope,
            as_of=plan.as_of,
            mail_on=mail_on,
            others=plan.papers,
            office_returns=find_office_returns(planned.table, planned.log, paper),
        ),
    )


def take_answers(checking: Checking, path: str) -> Checking:
    """Take the answers of a file; they replace those about the same blanks.

    Raises:
        NotFoundError: There is no such file.
        DataProblemsError: The file has faults; nothing was taken.
    """
    context = checking.context
    asked = compute_asked(context.paper, context.templates)
    said, problems = parse_answers(read_user_text(path), path, checking.packet, asked)
    if said is None or problems:
        raise DataProblemsError(tuple(_point_to_start(one) for one in problems))
    envelope = replace(
        context.envelope,
        **{
            name: value
            for name in EnvelopeAnswers.__slots__
            if (value := getattr(said.envelope, name)) not in (None, "", ())
        },
    )
    answers = merge_answers(context.answers, said.answers)
    return replace(checking, context=replace(context, answers=answers, envelope=envelope))


def _point_to_start(problem: Problem) -> Problem:
    """Of an empty file say how a file of answers is begun, not one of facts."""
    hint = "make one to fill in: mailby check with --write-answers FILE"
    return replace(problem, hint=hint) if problem.code == _EMPTY_FILE else problem


def merge_answers(old: tuple[Answer, ...], new: tuple[Answer, ...]) -> tuple[Answer, ...]:
    """Put new answers in place of old ones about the same blanks.

    A file that shows less than a person said takes that word back, so that it is asked again. A
    file that shows a blank filled in leaves what a person read there.
    """
    kept = {(one.document, one.sheet, one.blank): one for one in old}
    for answer in new:
        key = (answer.document, answer.sheet, answer.blank)
        before = kept.get(key)
        is_read = (
            before is not None and before.source is Source.PERSON and bool(before.says or before.on)
        )
        # A text that the file itself gives is compared with the facts, not with a memory of it.
        if before is not None and before.says and answer.says not in {"", before.says}:
            is_read = False
        if answer.source is Source.PERSON or not is_read or answer.status is not Status.FILLED:
            kept[key] = answer
    return tuple(kept.values())


def keep_checking(session: Session, checking: Checking) -> CheckResult:
    """Keep the answers and files of a check and give its verdict."""
    result = compute_check(checking.context)
    answers, files = _render(checking)
    save_check(
        session,
        checking.operation_id,
        StoredCheck(
            packet=checking.packet,
            turn=checking.turn,
            answers=answers,
            files=files,
            ready=result.ready,
            fingerprint=_fingerprint(checking),
            checked_on=checking.context.as_of,
        ),
    )
    return result


def write_answers(checking: Checking, path: str) -> Path:
    """Write the answers of a check as a file that can be edited and taken again.

    Whatever nobody has answered stands there without a value, with what belongs there.

    Raises:
        OutputError: The file cannot be written.
    """
    context = checking.context
    said = PacketAnswers(packet=checking.packet, answers=context.answers, envelope=context.envelope)
    asked = compute_asked(context.paper, context.templates)
    text = render_answers(said, asked, list_open_lines(context))
    return write_file(Path(path), f"{_HOW_TO_ANSWER}{text}".encode())


def _render(checking: Checking) -> tuple[str, str]:
    context = checking.context
    said = PacketAnswers(packet=checking.packet, answers=context.answers, envelope=context.envelope)
    asked = compute_asked(context.paper, context.templates)
    files = json.dumps([asdict(one) for one in checking.files], ensure_ascii=False)
    return render_answers(said, asked), files


def _fingerprint(checking: Checking) -> str:
    """Hash everything a verdict rests on: facts, answers, files, and the documents asked for."""
    rows = "\n".join(row.id for row in checking.context.paper.packet.documents)
    parts = (render_operation(checking.context.operation), *_render(checking), rows)
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


def load_results(
    session: Session, planned: Planned, names: tuple[str, ...]
) -> dict[str, CheckResult]:
    """Give the verdicts on packets that were checked before, worked out anew."""
    plan = planned.plan
    found: dict[str, CheckResult] = {}
    for name in names:
        paper = find_paper(plan, name)
        turn = paper.packet.progress.round
        if paper.packet.planned and load_check(session, plan.operation.id, paper.id, turn):
            found[paper.id] = compute_check(open_checking(session, planned, name).context)
    return found


def refuse_unready(session: Session, planned: Planned, name: str, mailed_on: date) -> None:
    """Refuse to log a mailing of a packet whose papers are not ready.

    A packet without a step to check is let pass. The verdict is worked out again from what was
    kept, with the day of mailing, and every file is looked at for a change.

    Raises:
        RefusedError: It was not checked, a file has changed since, or something is missing.
    """
    paper = find_paper(planned.plan, name)
    if not any(step.row.event is EventKind.CHECKED for step in paper.steps):
        return
    how = f'mailby check {paper.id}; or log it with --anyway "why"'
    turn = paper.packet.progress.round
    if load_check(session, planned.plan.operation.id, paper.id, turn) is None:
        raise RefusedError(f"the papers of {paper.id} have not been checked", hint=how)
    checking = open_checking(session, planned, name)
    for seen in checking.files:
        path = Path(seen.path)
        if path.is_file() and _hash(path.read_bytes()) != seen.sha256:
            raise RefusedError(f"{seen.path} has changed since it was checked", hint=how)
    # What goes along and what it costs is that of the day of mailing.
    sent = replace(paper, packet=sent_on(paper.packet, mailed_on))
    result = compute_check(replace(checking.context, paper=sent, mail_on=mailed_on))
    if not result.ready:
        first = next(one for one in result.findings if one.severity is not Severity.NOTE)
        more = result.count(Severity.STOP) + result.count(Severity.OPEN) - 1
        rest = f" ({more} more)" if more else ""
        raise RefusedError(
            f"the papers of {paper.id} are not ready to mail: {first.sentence}{rest}", hint=how
        )


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
