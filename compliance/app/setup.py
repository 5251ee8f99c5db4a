"""The interview from its beginning, or from where it was left, to an operation that is kept."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from compliance.app.facts_file import parse_facts
from compliance.app.interview import (
    Ask,
    BackError,
    StoppedError,
    Talk,
    choose,
)
from compliance.app.interview_known import make_answers, make_settled
from compliance.app.interview_parts import FILE, Option
from compliance.app.interview_script import ask_facts
from compliance.app.interview_words import INTRODUCTION, PARTS
from compliance.app.mail_services import hold_mailings
from compliance.app.operations import choose_operation
from compliance.app.tables import load_table
from compliance.app.unasked import take_over_unasked
from compliance.base.problems import DataProblemsError, Problem
from compliance.base.sources import find_place, parse_yaml
from compliance.facts.compare import Change, compare_operations
from compliance.facts.log import LogEntry
from compliance.facts.model import Operation
from compliance.outputs.show_text import render_facts
from compliance.outputs.words import wrap
from compliance.rules.model import RulesTable
from compliance.store.records import load_log
from compliance.store.repository import load_operation, load_operation_ids, save_operation
from compliance.store.talk import load_answers, save_answers

KEEP, LATER, ALL = "keep", "later", "everything"
_PART_OPTIONS: tuple[Option, ...] = tuple((key, title.lower()) for key, title in PARTS.items())
_MENU: tuple[Option, ...] = (
    (KEEP, "yes, keep it"),
    *_PART_OPTIONS,
    (ALL, "all questions from the beginning"),
    (LATER, "stop here and decide later"),
)

Keep = Callable[[Mapping[str, str]], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """What an interview begins with: its name, the answers so far, the table and what is taken.

    ``operation`` is the one that is being changed, None for a new one; ``waiting`` are known
    operations, each with a change that was left unfinished.
    """

    interview: str
    state: Mapping[str, str]
    table: RulesTable
    taken: frozenset[str]
    operation: Operation | None
    log: tuple[LogEntry, ...]
    waiting: tuple[str, ...]

    @property
    def command(self) -> str:
        """The command that takes the interview up again."""
        return "mailby setup" + (f" --operation {self.operation.id}" if self.operation else "")


def load_setup(session: Session, wanted: str | None, *, restart: bool) -> Setup:
    """Load what an interview begins with; *wanted* names an operation to change.

    Raises:
        NotFoundError: No such operation.
    """
    operation = choose_operation(session, wanted) if wanted is not None else None
    known = load_operation_ids(session)
    interview = _interview_of(operation.id if operation else "")
    if restart:
        save_answers(session, interview, {})
    return Setup(
        interview=interview,
        state=load_answers(session, interview),
        table=load_table(session),
        taken=frozenset(known) - {operation.id if operation else ""},
        operation=operation,
        log=load_log(session, operation.id) if operation else (),
        waiting=tuple(name for name in known if load_answers(session, _interview_of(name))),
    )


def _interview_of(operation_id: str) -> str:
    return f"setup {operation_id}".strip()


def hold_interview(setup: Setup, ask: Ask, tell: Callable[[str], None], keep: Keep) -> Operation:
    """Ask until everything is known and the person wants it kept.

    *keep* gets all that must be kept to go on later, after each answer; see :func:`keep_state`.

    Raises:
        StoppedError: The person chose to stop.
        EOFError: Nobody is there to answer any more.
    """
    talk = Talk(ask=ask, tell=tell, keep=keep)
    talk.load_state(setup.state)
    _greet(talk, setup)
    while True:
        try:
            operation = _run_once(talk, setup)
        except BackError:
            talk.step_back()
            continue
        if operation is not None:
            return operation


def _greet(talk: Talk, setup: Setup) -> None:
    tell = talk.tell
    if setup.state:
        count = len(talk.answers)
        answers = "1 answer is" if count == 1 else f"{count} answers are"
        tell(
            wrap(
                f"Going on where you stopped: {answers} kept. "
                f"{setup.command} --restart begins anew."
            )
        )
    elif setup.operation is not None:
        talk.answers |= make_answers(setup.operation)
        talk.settled |= make_settled(setup.operation)
        tell(wrap(f"Changing {setup.operation.legal_name} ({setup.operation.id})."))
    elif setup.taken:
        names = ", ".join(sorted(setup.taken)[:5])
        tell(
            wrap(
                f"This asks for a new operation. Known already: {names}; to change one, use "
                "mailby setup --operation ID."
            )
        )
    if setup.operation is None:
        for name in setup.waiting:
            tell(wrap(f"A change of {name} waits: mailby setup --operation {name} goes on."))
    tell(wrap(INTRODUCTION))


def _run_once(talk: Talk, setup: Setup) -> Operation | None:
    """Run the script once; None means that something is to be asked again."""
    try:
        ask_facts(talk, setup.table, setup.taken)
        operation = parse_facts(talk.draft, FILE, setup.table)
        operation = take_over_unasked(setup.operation, operation)
    except DataProblemsError as error:
        _ask_again(talk, error)
        return None
    talk.tell("\n" + render_facts(operation, setup.log))
    choice = choose(talk, "menu", _MENU, default=KEEP, lasting=False)
    if choice == LATER:
        raise StoppedError
    if choice == KEEP:
        return operation
    for part in PARTS if choice == ALL else (choice,):
        talk.reopen(part)
    return None


def _ask_again(talk: Talk, error: DataProblemsError) -> None:
    """Say what does not fit together, and have the question concerned asked again."""
    talk.tell("\nSomething does not fit together yet:")
    for problem in error.problems:
        talk.tell(wrap(f"! {problem.sentence}", indent=2, hang=4))
        if problem.hint:
            talk.tell(wrap(problem.hint, indent=4))
    talk.reopen(_find_question(talk, error.problems[0]))


def _find_question(talk: Talk, problem: Problem) -> str:
    """Find the question whose answer stands where the problem is, or next below it."""
    root, _ = parse_yaml(talk.draft, FILE)
    lines = [
        (find_place(root, *path).line, place, key)
        for place, (key, path) in enumerate(talk.paths.items())
        if root is not None and path and talk.answers.get(key)
    ]
    below = [line for line in lines if line[0] >= problem.place.line]
    return min(below, default=(0, 0, talk.asked[-1]))[2]


def keep_state(session: Session, setup: Setup, state: Mapping[str, str]) -> None:
    """Keep the answers of an interview in place of those before."""
    save_answers(session, setup.interview, state)


def keep_operation(
    session: Session, setup: Setup, operation: Operation, *, namespace: str, today: date
) -> tuple[Change, ...]:
    """Keep the operation as told *today*, forget the answers, and tell what changed."""
    old = load_operation(session, operation.id)
    hold_mailings(session, old, operation, setup.table)
    save_operation(session, operation, namespace=namespace, told_on=today)
    save_answers(session, setup.interview, {})
    return compare_operations(old, operation)
