"""The verdict of a kept check, worked out anew: it holds for the files and answers it saw."""

from contextlib import suppress
from dataclasses import replace
from datetime import date

from sqlmodel import Session

from compliance.app.changed_files import drop_changed, find_changed
from compliance.app.checking import open_checking
from compliance.app.editions import list_newer, say_newer
from compliance.app.file_notes import note_files
from compliance.app.later_checks import find_turn
from compliance.app.planning import Planned, find_paper
from compliance.base.dates import say_date
from compliance.base.problems import RefusedError
from compliance.engine.check import compute_check
from compliance.engine.check_model import CheckResult, Severity
from compliance.engine.crosschecks_documents import PICTURES
from compliance.engine.edition_choice import sent_on
from compliance.facts.log import EventKind
from compliance.store.checks import load_check
from compliance.store.refusals import refuse_unreadable


def load_results(
    session: Session, planned: Planned, names: tuple[str, ...]
) -> dict[str, CheckResult]:
    """Give the verdicts on packets that were checked before, worked out anew.

    What a file showed that has changed since counts as not known; a packet of which a file cannot
    be read any more has no verdict.
    """
    plan = planned.plan
    found: dict[str, CheckResult] = {}
    for name in names:
        paper = find_paper(plan, name)
        turn = find_turn(planned.log, paper)
        if paper.packet.planned and load_check(session, plan.operation.id, paper.id, turn):
            checking = open_checking(session, planned, name)
            with suppress(RefusedError):
                left, _ = drop_changed(checking)
                found[paper.id] = note_files(session, compute_check(left.context), left)
    return found


def refuse_unready(
    session: Session, planned: Planned, name: str, mailed_on: date
) -> tuple[str, ...]:
    """Refuse to log a mailing of a packet whose papers are not ready.

    Shape: where a word stands against what the last picture showed, a sentence each.

    A packet under way without a step to check is let pass. The verdict is worked out again from
    what was kept, with the day of mailing, and every file is looked at for a change.

    Raises:
        RefusedError: The paper is in hand and nothing is planned for it; or it was not checked, a
            file has changed since or cannot be read, another edition of a form was learned since,
            or something is missing.
    """
    paper = find_paper(planned.plan, name)
    if not paper.packet.planned:
        end = paper.packet.valid_through
        through = f" through {say_date(end)}" if end else ""
        raise RefusedError(
            f"{paper.id} is in hand{through}; nothing is to be mailed",
            hint='log it with --anyway "why" if you mailed it all the same',
        )
    if not any(step.row.event is EventKind.CHECKED for step in paper.steps):
        return ()
    how = f'mailby check {paper.id}; or log it with --anyway "why"'
    turn = find_turn(planned.log, paper)
    stored = load_check(session, planned.plan.operation.id, paper.id, turn)
    if stored is None:
        raise RefusedError(f"the papers of {paper.id} have not been checked", hint=how)
    with refuse_unreadable("the files of a check"):
        newer = list_newer(session, paper, stored)
    for title in newer:
        raise RefusedError(say_newer(title), hint=how)
    checking = open_checking(session, planned, name)
    for seen in find_changed(checking.files):
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
    doubts = (one for one in result.findings if one.check == PICTURES.id)
    return tuple(f"{one.sentence} {one.todo}" for one in doubts)
