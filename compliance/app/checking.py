"""The check before mailing: gather what is known, take answers and files, give the verdict."""

import hashlib
import json
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path

from sqlmodel import Session

from compliance.app.editions import list_newer, render_editions, say_newer
from compliance.app.kept_answers import read_kept_answers
from compliance.app.later_checks import Kept, find_turn, leave_later
from compliance.app.mailed_pictures import list_mailed
from compliance.app.own_facts import compute_own_facts
from compliance.app.planning import Planned, find_paper
from compliance.app.resources import read_user_text, write_file
from compliance.app.seen import SeenFile, SeenPicture
from compliance.app.tables import load_templates
from compliance.base.dates import list_readings, say_date
from compliance.base.problems import DataProblemsError, NotFoundError, Problem, RefusedError
from compliance.engine.check import compute_check
from compliance.engine.check_facts import list_known_texts
from compliance.engine.check_model import CheckContext, CheckResult, Key
from compliance.engine.check_sheets import name_of, open_case
from compliance.engine.crosschecks_documents import find_unmended
from compliance.engine.declaration import DECLARATION, DECLARATION_FORM, add_declaration
from compliance.engine.open_lines import list_open_lines
from compliance.engine.plan_model import PaperPlan
from compliance.engine.questions import compute_asked
from compliance.engine.returned import find_office_returns
from compliance.facts.answers import Answer, EnvelopeAnswers, Source, Status, keep_empty_picture
from compliance.facts.answers_mended import Reasons
from compliance.facts.answers_parse import PacketAnswers, find_day, parse_answers
from compliance.facts.answers_reopened import find_reopened
from compliance.facts.answers_write import render_answers
from compliance.facts.write import render_operation
from compliance.store.checks import (
    StoredCheck,
    delete_later_checks,
    has_check,
    load_check,
    load_other_checks,
    save_check,
)
from compliance.store.kept_json import parse_kept
from compliance.store.refusals import refuse_unreadable

_EMPTY_FILE = "S004"
_HOW_TO_ANSWER = """\
# Write behind the colon what stands on the paper. Without a text: yes or filled, no or not yet,
# struck, unclear. What has no value is still open. A text that is one of these words itself is
# written as {status: filled, says: "..."}.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Checking:
    """One check under way; ``turn`` is the number of the mailing, from 1.

    ``own_facts`` marks what each of our own papers would say today: (document, mark). ``dropped``
    says which kept answers no longer fit the forms. ``given`` is what a file of answers says that
    was taken in this run.
    """

    operation_id: str
    turn: int
    context: CheckContext
    files: tuple[SeenFile, ...]
    own_facts: tuple[tuple[str, str], ...] = ()
    dropped: tuple[str, ...] = ()
    pictures: tuple[SeenPicture, ...] = ()
    given: PacketAnswers | None = field(default=None, compare=False)

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
    bare = _find_needed(session, planned, name)
    if not bare.packet.planned:
        raise RefusedError(f"{bare.id} is in hand; there is no packet to check")
    paper = add_declaration(bare)
    templates = {**load_templates(), DECLARATION: DECLARATION_FORM}
    turn = find_turn(planned.log, paper)
    sending = paper.find_step(paper.mail_step)
    mail_on = max(plan.as_of, sending.earliest if sending is not None else plan.as_of)
    said = PacketAnswers(packet=paper.id, answers=(), envelope=EnvelopeAnswers())
    files: tuple[SeenFile, ...] = ()
    dropped: tuple[str, ...] = ()
    pictures: tuple[SeenPicture, ...] = ()
    stored = load_check(session, plan.operation.id, paper.id, turn)
    if stored is not None:
        said, dropped = read_kept_answers(stored.answers, paper, templates)
        with refuse_unreadable("the files of a check"):
            newer = list_newer(session, paper, stored)
            files = parse_kept(SeenFile, stored.files)
            pictures = parse_kept(SeenPicture, stored.pictures)
        dropped = (*dropped, *(f"{paper.id}: {say_newer(title)}" for title in newer))
        known = {name_of(row) for row in paper.packet.documents}
        files = tuple(one for one in files if one.document in known)
    with refuse_unreadable("the files of a check"):
        earlier, later = load_other_checks(session, plan.operation.id, paper.id, turn)
        returns = paper.packet.progress.returns
        pictures = (*pictures, *list_mailed(earlier, returns, pictures, turn=turn))
        kept = Kept(said=said, files=files, pictures=pictures)
        kept = leave_later(kept, later, paper, templates)
    return Checking(
        operation_id=plan.operation.id,
        turn=turn,
        files=kept.files,
        own_facts=tuple(compute_own_facts(plan, bare, templates).items()),
        dropped=(*dropped, *kept.lines),
        pictures=kept.pictures,
        context=CheckContext(
            operation=plan.operation,
            paper=paper,
            templates=templates,
            answers=kept.said.answers,
            envelope=kept.said.envelope,
            as_of=plan.as_of,
            mail_on=mail_on,
            others=plan.papers,
            office_returns=find_office_returns(planned.table, planned.log, paper),
        ),
    )


def _find_needed(session: Session, planned: Planned, name: str) -> PaperPlan:
    """Find a needed paper; of one that was checked and is needed no more say so.

    Raises:
        NotFoundError: It is not needed, has several holders, or does not exist.
    """
    plan = planned.plan
    try:
        return find_paper(plan, name)
    except NotFoundError as error:
        if not has_check(session, plan.operation.id, name):
            raise
        sentence = f"{name} is not needed for a job on or after {say_date(plan.as_of)}"
        hint = "what was answered about it is kept; name an earlier day with --on, or load new jobs"
        raise NotFoundError(sentence, hint=hint) from error


def take_answers(checking: Checking, path: str) -> Checking:
    """Take the answers of a file; they replace those about the same blanks.

    Raises:
        NotFoundError: There is no such file.
        DataProblemsError: The file has faults; nothing was taken.
    """
    context = checking.context
    known = list_known_texts(context)
    asked = tuple(
        replace(one, known=known) for one in compute_asked(context.paper, context.templates)
    )
    text = read_user_text(path)
    said, problems = parse_answers(text, path, checking.packet, asked, _list_reasons(context))
    if said is None or problems:
        raise DataProblemsError(tuple(_point_to_start(one) for one in problems))
    context = _take_back(context, find_reopened(text, path))
    envelope = replace(
        context.envelope,
        **{
            name: value
            for name in EnvelopeAnswers.__slots__
            if (value := getattr(said.envelope, name)) not in (None, "", ())
        },
    )
    answers = merge_answers(context.answers, said.answers)
    context = replace(context, answers=answers, envelope=envelope)
    return replace(checking, context=context, given=said)


def _take_back(context: CheckContext, reopened: frozenset[Key]) -> CheckContext:
    """Leave out answers that a file puts off; of the envelope they are as if never given."""
    kept = tuple(
        one for one in context.answers if (one.document, one.sheet, one.blank) not in reopened
    )
    bare = EnvelopeAnswers()
    gone = {name: getattr(bare, name) for document, _, name in reopened if not document}
    return replace(context, answers=kept, envelope=replace(context.envelope, **gone))


def _list_reasons(context: CheckContext) -> Reasons:
    waiting = tuple(entry.reason for entry, _ in find_unmended(open_case(context)))
    return Reasons(open=waiting, settled=context.envelope.earlier_reasons_mended)


def _point_to_start(problem: Problem) -> Problem:
    """Of an empty file say how a file of answers is begun, not one of facts."""
    hint = "make one to fill in: mailby check with --write-answers FILE"
    return replace(problem, hint=hint) if problem.code == _EMPTY_FILE else problem


def merge_answers(old: tuple[Answer, ...], new: tuple[Answer, ...]) -> tuple[Answer, ...]:
    """Put new answers in place of old ones about the same blanks.

    A file that shows less than a person said, or another text or date, takes that word back. A file
    that shows a blank filled in leaves what a person read there; that the file showed it too is
    kept with the file, in ``SeenFile.blanks``.
    """
    kept = {(one.document, one.sheet, one.blank): one for one in old}
    for answer in new:
        key = (answer.document, answer.sheet, answer.blank)
        before = kept.get(key)
        is_read = before is not None and _is_read(before) and _agrees(before, answer)
        if answer.source is Source.PERSON or not is_read or answer.status is not Status.FILLED:
            kept[key] = keep_empty_picture(before, answer)
        elif before is not None:
            kept[key] = replace(before, picture_empty=False)
    return tuple(kept.values())


def _is_read(before: Answer) -> bool:
    return before.source is Source.PERSON and bool(before.says or before.on)


def _agrees(before: Answer, answer: Answer) -> bool:
    """Tell whether a text the file gives is what a person said; it counts, not a memory of it."""
    if not answer.says or before.says == answer.says:
        return True
    day = find_day(answer.says.strip())
    return before.on in ((day,) if day else list_readings(answer.says)) and not before.says


def keep_checking(session: Session, checking: Checking) -> CheckResult:
    """Keep the answers and files of a check and give its verdict.

    Checks of later mailings, which the log has no more, are forgotten; their pictures are kept with
    this one.
    """
    result = compute_check(checking.context)
    delete_later_checks(session, checking.operation_id, checking.packet, checking.turn)
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
            pictures=json.dumps([asdict(one) for one in checking.pictures]),
            editions=render_editions(session, checking.context.paper),
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
    # Whoever gives the file again says so anew; what a picture showed is no answer of theirs.
    answers = tuple(replace(one, picture_empty=False) for one in context.answers)
    said = PacketAnswers(packet=checking.packet, answers=answers, envelope=context.envelope)
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
