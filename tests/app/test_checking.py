"""The check before mailing: what is kept, what takes the place of what, when mailing is refused."""

import json
from collections.abc import Iterator
from dataclasses import asdict, replace
from datetime import date
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlmodel import Session

from compliance.app.checking import (
    Checking,
    keep_checking,
    merge_answers,
    open_checking,
    take_answers,
    write_answers,
)
from compliance.app.planning import Planned, make_plan
from compliance.app.seen import SeenFile, SeenPicture
from compliance.app.verdicts import load_results, refuse_unready
from compliance.base.problems import DataProblemsError, NotFoundError, RefusedError
from compliance.engine.check import compute_check
from compliance.engine.check_model import CheckContext
from compliance.engine.question_model import Question, QuestionKind
from compliance.engine.questions import compute_questions
from compliance.engine.replies import apply_reply
from compliance.facts.answers import ENCLOSED, Answer, EnvelopeAnswers, Source, Status
from compliance.facts.answers_parse import AskedDocument
from compliance.facts.answers_salvage import salvage_answers
from compliance.facts.model import Operation
from compliance.store.checks import StoredCheck, load_check, save_check
from compliance.store.repository import save_operation
from compliance.store.session import open_session
from tests.kit_answers import PACKET, WHOLE

DAY = date(2027, 1, 11)
SIGNED = Answer(document="affidavit", blank="signature", status=Status.FILLED)
PHOTO = replace(SIGNED, source=Source.PHOTO, seen_in="f" * 64)


@pytest.fixture
def session(demo_operation: Operation) -> Iterator[Session]:
    with open_session(":memory:") as opened:
        save_operation(opened, demo_operation, namespace="n")
        yield opened


@pytest.fixture(scope="module")
def planned(demo_operation: Operation) -> Planned:
    """The plan of the demo with nothing logged, made once."""
    with open_session(":memory:") as opened:
        save_operation(opened, demo_operation, namespace="n")
        return make_plan(opened, None, DAY)


@pytest.fixture
def whole(tmp_path: Path) -> str:
    return write(tmp_path, WHOLE)


def write(folder: Path, text: str) -> str:
    path = folder / "answers.yaml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def check(session: Session, planned: Planned, path: str) -> Checking:
    """A check with the answers of a file, kept."""
    checking = take_answers(open_checking(session, planned, PACKET), path)
    keep_checking(session, checking)
    return checking


def test_open_checking_new_knows_nothing(session: Session, planned: Planned) -> None:
    checking = open_checking(session, planned, PACKET)

    assert (checking.packet, checking.turn, checking.files) == (PACKET, 1, ())
    assert checking.context.answers == ()
    assert checking.context.envelope == EnvelopeAnswers()
    assert checking.context.as_of == DAY


def test_open_checking_goes_on_with_what_was_kept(
    session: Session, planned: Planned, whole: str
) -> None:
    first = check(session, planned, whole)

    assert open_checking(session, planned, PACKET) == first
    assert len(first.context.answers) == 18


def test_open_checking_knows_the_pictures_of_an_earlier_print_again(
    session: Session, planned: Planned, whole: str
) -> None:
    """They are kept though nothing rests on them."""
    picture = SeenPicture(
        sha256="f" * 64,
        document="application",
        sheet=1,
        seen_on="2027-01-11",
        prints=("mark",),
        is_earlier=True,
    )
    keep_checking(session, replace(check(session, planned, whole), pictures=(picture,)))

    assert open_checking(session, planned, PACKET).pictures == (picture,)


def test_open_checking_of_a_paper_in_hand_is_refused(session: Session, planned: Planned) -> None:
    with pytest.raises(RefusedError, match=r"ins\.liability is in hand; there is no packet"):
        open_checking(session, planned, "ins.liability")


def test_open_checking_of_an_unknown_packet(session: Session, planned: Planned) -> None:
    with pytest.raises(NotFoundError, match=r"no paper is called 'faa\.nothing'"):
        open_checking(session, planned, "faa.nothing")


def keep_text(session: Session, planned: Planned, answers: str) -> None:
    """Keep answers as an older program may have kept them, with a file nobody asks for now."""
    seen = SeenFile(
        path="/gone.pdf", sha256="0", document="form-of-last-year", sheet=1, kind="pdf", kept=""
    )
    stored = StoredCheck(
        packet=PACKET,
        turn=1,
        answers=answers,
        files=json.dumps([asdict(seen)]),
        ready=False,
        fingerprint="",
        checked_on=DAY,
    )
    save_check(session, planned.plan.operation.id, stored)


def test_open_checking_answers_that_fit_no_more_are_dropped_by_name(
    session: Session, planned: Planned
) -> None:
    """One answer that no longer fits takes no other with it."""
    text = f"""\
packet: {PACKET}
documents:
  form-of-last-year: {{enclosed: original, blanks: {{name: Odile Ferrant}}}}
  application:
    enclosed: twice
    blanks:
      pilot-name: Odile Ferrant
      shoe-size: {{status: filled, says: "8", source: photo, seen_in: abc}}
      signed-on: 2027-02-30
      signature: {{status: maybe}}
  fee-check:
    - {{enclosed: original, blanks: {{payee: "12345"}}}}
    - {{enclosed: copy, blanks: {{colour: green}}}}
envelope:
  fee_amount_usd: many
  signature_kind: ink
  moon: full
"""
    keep_text(session, planned, text)

    checking = open_checking(session, planned, PACKET)

    title = "Commercial applicator license application"
    assert checking.dropped == (
        (
            f"{PACKET}: an answer kept is dropped, because the packet has no such paper any more: "
            "whether it is enclosed on form-of-last-year, said: original"
        ),
        (
            f"{PACKET}: an answer kept is dropped, because the packet has no such paper any more: "
            "`name` on form-of-last-year, said: Odile Ferrant"
        ),
        (
            f"{PACKET}: an answer kept no longer fits and is asked again: whether it is enclosed "
            f"on {title}, said: twice"
        ),
        (
            f"{PACKET}: an answer kept is dropped, because the form has no such blank any more: "
            f"`shoe-size` on {title}, said: 8"
        ),
        (
            f"{PACKET}: an answer kept no longer fits and is asked again: `Date of signing` on "
            f"{title}, said: 2027-02-30"
        ),
        (
            f"{PACKET}: an answer kept no longer fits and is asked again: `Signature` on {title}, "
            "said: maybe"
        ),
        (
            f"{PACKET}: an answer kept is dropped, because the form has no such blank any more: "
            "`colour` on Check or money order for the fee (sheet 2), said: green"
        ),
        (
            f"{PACKET}: an answer kept no longer fits and is asked again: `fee_amount_usd` of the "
            "envelope, said: many"
        ),
        (
            f"{PACKET}: an answer kept is dropped, because nothing of that name is asked any more: "
            "`moon` of the envelope, said: full"
        ),
    )
    said = [(one.document, one.sheet, one.blank, one.says) for one in checking.context.answers]
    assert said == [
        ("application", 1, "pilot-name", "Odile Ferrant"),
        ("fee-check", 1, ENCLOSED, "original"),
        ("fee-check", 1, "payee", "12345"),
        ("fee-check", 2, ENCLOSED, "copy"),
    ]
    assert checking.context.envelope == EnvelopeAnswers(signature_kind="ink")
    assert checking.files == ()
    keep_checking(session, checking)
    assert open_checking(session, planned, PACKET).dropped == ()


@pytest.mark.parametrize("text", ["", "{", "packet", "\x00", "- a"])
def test_open_checking_answers_that_are_no_yaml_are_asked_anew(
    session: Session, planned: Planned, text: str
) -> None:
    keep_text(session, planned, text)

    checking = open_checking(session, planned, PACKET)

    assert checking.dropped == (
        f"{PACKET}: the answers kept can no longer be read; everything is asked again",
    )
    assert checking.context.answers == ()


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60), st.integers(0, len(WHOLE)), st.integers(0, 80))
def test_salvage_takes_any_kept_text(piece: str, at: int, without: int) -> None:
    """Whatever became of the text, what comes back is in the form of today's questions."""
    asked = (AskedDocument(name="application", blanks=("signature",), dates=frozenset()),)

    said, lost = salvage_answers(WHOLE[:at] + piece + WHOLE[at + without :], PACKET, asked)

    assert {(one.document, one.blank) for one in said.answers} <= {
        ("application", ENCLOSED),
        ("application", "signature"),
    }
    assert all(one.blank or not one.value for one in lost)


def test_keep_checking_complete_papers_are_ready(
    session: Session, planned: Planned, whole: str
) -> None:
    checking = take_answers(open_checking(session, planned, PACKET), whole)
    result = keep_checking(session, checking)
    stored = load_check(session, "sandbur-flats", PACKET, 1)

    assert result.ready
    assert stored is not None
    assert (stored.ready, stored.checked_on, stored.files) == (True, DAY, "[]")


def test_keep_checking_fingerprint_changes_with_answers_and_facts(
    session: Session, planned: Planned, whole: str
) -> None:
    checking = take_answers(open_checking(session, planned, PACKET), whole)
    context = checking.context
    moved = replace(context.operation, contact_phone="402-555-0199")
    fewer = replace(context, answers=context.answers[:-1])
    prints = []
    for one in (context, context, fewer, replace(context, operation=moved)):
        keep_checking(session, replace(checking, context=one))
        stored = load_check(session, "sandbur-flats", PACKET, 1)
        assert stored is not None
        prints.append(stored.fingerprint)

    assert prints[0] == prints[1]
    assert len(set(prints)) == 3


def test_take_answers_a_second_file_adds_and_replaces(
    session: Session, planned: Planned, whole: str, tmp_path: Path
) -> None:
    first = check(session, planned, whole)
    text = (
        f"packet: {PACKET}\ndocuments:\n  application:\n    blanks: {{signature: empty}}\n"
        "envelope:\n  no_corrections: no\n"
    )
    second = take_answers(first, write(tmp_path, text))
    signature = replace(SIGNED, document="application", status=Status.EMPTY)

    assert second.context.answers == tuple(
        signature if (one.document, one.blank) == ("application", "signature") else one
        for one in first.context.answers
    )
    assert second.context.envelope == replace(first.context.envelope, no_corrections=False)


def test_take_answers_with_faults_names_all_of_them(
    session: Session, planned: Planned, tmp_path: Path
) -> None:
    text = WHOLE.replace("signed-on: 2027-01-11", "signed-on: 2027-13-11").replace("memo:", "mem:")
    path = write(tmp_path, text)

    with pytest.raises(DataProblemsError) as caught:
        take_answers(open_checking(session, planned, PACKET), path)

    assert [str(problem).split(" ")[:2] for problem in caught.value.problems] == [
        [f"{path}:15:18:", "A06"],
        [f"{path}:24:7:", "A13"],
    ]


def test_write_answers_taken_again_gives_the_same_check(
    session: Session, planned: Planned, whole: str, tmp_path: Path
) -> None:
    blank = open_checking(session, planned, PACKET)
    first = take_answers(blank, whole)
    path = write_answers(first, str(tmp_path / "again.yaml"))

    assert take_answers(blank, str(path)) == first


def test_write_answers_keeps_who_said_so(
    session: Session, planned: Planned, tmp_path: Path
) -> None:
    blank = open_checking(session, planned, PACKET)
    seen = replace(PHOTO, document="application", status=Status.UNCLEAR)
    first = replace(blank, context=replace(blank.context, answers=(seen,)))

    assert take_answers(blank, str(write_answers(first, str(tmp_path / "a.yaml")))) == first


@pytest.mark.parametrize("source", [Source.PHOTO, Source.PDF])
@pytest.mark.parametrize("status", [Status.EMPTY, Status.UNCLEAR])
@pytest.mark.parametrize("said", [{"says": "Odile Ferrant"}, {"on": DAY}, {}])
def test_merge_answers_a_blank_seen_empty_takes_a_word_back(
    source: Source, status: Status, said: dict[str, str]
) -> None:
    person = replace(SIGNED, **said)  # type: ignore[arg-type]
    seen = replace(PHOTO, source=source, status=status)

    assert merge_answers((person,), (seen,)) == (seen,)


@pytest.mark.parametrize("said", [{"says": "Odile Ferrant"}, {"on": DAY}])
def test_merge_answers_a_blank_seen_filled_leaves_what_was_read(said: dict[str, str]) -> None:
    person = replace(SIGNED, **said)  # type: ignore[arg-type]

    assert merge_answers((person,), (PHOTO,)) == (person,)


@pytest.mark.parametrize(
    ("says", "agrees"),
    [("2027-01-11", True), ("1/11/2027", True), ("1/13/2027", False), ("soon", False)],
)
def test_merge_answers_a_date_in_a_file_counts_where_it_is_another(
    says: str, *, agrees: bool
) -> None:
    """A person's day stays only where the file's can mean it."""
    person = replace(SIGNED, on=date(2027, 1, 11))
    file = replace(PHOTO, source=Source.PDF, says=says)

    assert merge_answers((person,), (file,)) == ((person,) if agrees else (file,))


@pytest.mark.parametrize("status", [Status.EMPTY, Status.UNCLEAR, Status.STRUCK, Status.FILLED])
def test_merge_answers_seen_filled_replaces_a_word_without_text(status: Status) -> None:
    assert merge_answers((replace(SIGNED, status=status),), (PHOTO,)) == (PHOTO,)


@pytest.mark.parametrize("status", list(Status))
def test_merge_answers_a_person_always_replaces(status: Status) -> None:
    person = replace(SIGNED, status=status)

    assert merge_answers((PHOTO,), (person,)) == (person,)
    assert merge_answers((replace(SIGNED, says="x"),), (person,)) == (person,)


def test_merge_answers_a_newer_photo_replaces_an_older_one() -> None:
    older = replace(PHOTO, status=Status.EMPTY, seen_in="0" * 64)

    assert merge_answers((older,), (PHOTO,)) == (PHOTO,)


@pytest.mark.parametrize("other", [{"sheet": 2}, {"document": "application"}, {"blank": "model"}])
def test_merge_answers_leaves_other_blanks_alone(other: dict[str, str]) -> None:
    person = replace(SIGNED, **other)  # type: ignore[arg-type]

    assert merge_answers((person,), (PHOTO,)) == (person, PHOTO)


def test_load_results_gives_the_packets_that_were_checked(
    session: Session, planned: Planned, whole: str
) -> None:
    names = tuple(paper.id for paper in planned.plan.papers)
    before = load_results(session, planned, names)
    check(session, planned, whole)
    after = load_results(session, planned, names)

    assert before == {}
    assert {name: result.ready for name, result in after.items()} == {PACKET: True}


def test_refuse_unready_without_a_check(session: Session, planned: Planned) -> None:
    with pytest.raises(RefusedError) as caught:
        refuse_unready(session, planned, PACKET, DAY)

    assert caught.value.message == f"the papers of {PACKET} have not been checked"
    assert caught.value.hint == f'mailby check {PACKET}; or log it with --anyway "why"'


@pytest.mark.parametrize(
    ("wrong", "more"),
    [
        ((), ""),
        (("exams: general", "exams: empty #"), " (1 more)"),
        (("categories: filled", "categories: unclear"), " (1 more)"),
    ],
)
def test_refuse_unready_names_what_is_missing_and_how_much_more(
    session: Session, planned: Planned, tmp_path: Path, wrong: tuple[str, str], more: str
) -> None:
    text = WHOLE.replace("signature: filled", "signature: empty", 1)
    if wrong:
        text = text.replace(*wrong)
    check(session, planned, write(tmp_path, text))

    with pytest.raises(RefusedError) as caught:
        refuse_unready(session, planned, PACKET, DAY)

    assert caught.value.message == (
        f"the papers of {PACKET} are not ready to mail: Commercial applicator license application:"
        f" `Signature` is empty.{more}"
    )


def test_refuse_unready_lets_ready_papers_go(
    session: Session, planned: Planned, whole: str
) -> None:
    check(session, planned, whole)

    refuse_unready(session, planned, PACKET, DAY)


def test_refuse_unready_judges_by_the_day_of_mailing(
    session: Session, planned: Planned, whole: str
) -> None:
    """A check for the fee dated the day after it is mailed comes back: common practice."""
    check(session, planned, whole)

    with pytest.raises(RefusedError, match="are not ready to mail"):
        refuse_unready(session, planned, PACKET, date(2027, 1, 10))


def see(checking: Checking, path: Path) -> Checking:
    """The check with a file that was looked at."""
    digest = sha256(path.read_bytes()).hexdigest()
    seen = SeenFile(
        path=str(path), sha256=digest, document="application", sheet=1, kind="photo", kept=""
    )
    return replace(checking, files=(seen,))


def test_refuse_unready_when_a_file_has_changed_since(
    session: Session, planned: Planned, whole: str, tmp_path: Path
) -> None:
    photo = tmp_path / "application.jpg"
    photo.write_bytes(b"as it was")
    keep_checking(session, see(check(session, planned, whole), photo))
    refuse_unready(session, planned, PACKET, DAY)
    photo.write_bytes(b"as it is now")

    with pytest.raises(RefusedError) as caught:
        refuse_unready(session, planned, PACKET, DAY)

    assert caught.value.message == f"{photo} has changed since it was checked"
    photo.unlink()  # what is gone cannot have been mailed instead; the copy is kept
    refuse_unready(session, planned, PACKET, DAY)


def test_load_results_of_a_changed_file_is_not_ready(
    session: Session, planned: Planned, whole: str, tmp_path: Path
) -> None:
    """A verdict holds for the file it saw; what the file showed is open again."""
    photo = tmp_path / "application.jpg"
    photo.write_bytes(b"as it was")
    checking = see(check(session, planned, whole), photo)
    shown = replace(checking.files[0], blanks=("signature",))
    keep_checking(session, replace(checking, files=(shown,)))
    before = load_results(session, planned, (PACKET,))[PACKET]
    photo.write_bytes(b"as it is now")

    after = load_results(session, planned, (PACKET,))[PACKET]

    assert (before.ready, after.ready) == (True, False)
    assert [one.blank for one in after.findings if one.severity.value == "open"] == ["signature"]


def test_refuse_unready_when_the_facts_have_changed_since(
    session: Session, planned: Planned, whole: str, demo_operation: Operation
) -> None:
    check(session, planned, whole)
    renamed = replace(demo_operation, legal_name="Sandbur Flats Seeding LLC")
    save_operation(session, renamed, namespace="n")

    with pytest.raises(RefusedError, match="`Name of the business you work for`"):
        refuse_unready(session, make_plan(session, None, DAY), PACKET, DAY)


def test_refuse_unready_packet_without_a_check_step_may_go(
    session: Session, planned: Planned
) -> None:
    """The training is taken online and nothing is sent, so nothing has to be checked."""
    refuse_unready(session, planned, "faa.pilot-recency:wren", DAY)


@pytest.mark.parametrize(
    "name",
    [
        "Consult Ag LLC",
        "Page 2 Farms LLC",
        "Ask Aviation LLC",
        "Check With Chuck LLC",
        "Same For Less Inc",
        "No Limits Aviation",
        "See Title Company",
        "Consult Ag",
        "Maybe Later",
    ],
)
def test_the_name_in_the_facts_is_a_text_whatever_it_begins_with(
    session: Session, planned: Planned, tmp_path: Path, name: str
) -> None:
    """From a file of answers, from a PDF and typed; invented names."""
    begun = open_checking(session, planned, PACKET)
    operation = replace(begun.context.operation, legal_name=name)
    begun = replace(begun, context=replace(begun.context, operation=operation))
    path = write(tmp_path, WHOLE.replace("Sandbur Flats Aerial LLC", name))

    taken = take_answers(begun, path)
    business = next(one for one in taken.context.answers if one.blank == "business")
    shown = merge_answers(
        begun.context.answers, (replace(business, source=Source.PDF, seen_in="f" * 64),)
    )
    question = Question(
        document="application", blank="business", text="", kind=QuestionKind.TEXT, about=""
    )
    typed = apply_reply(begun.context, question, name)

    assert (business.status, business.says) == (Status.FILLED, name)
    assert isinstance(typed, CheckContext)
    assert [one.says for one in typed.answers] == [name]
    for context in (taken.context, replace(begun.context, answers=shown), typed):
        assert "real-text" not in {one.check for one in compute_check(context).findings}


@pytest.mark.parametrize(("source", "asked"), [(Source.PDF, True), (Source.PERSON, False)])
def test_what_may_be_an_instruction_is_asked_until_a_person_says_it(
    session: Session, planned: Planned, source: Source, asked: bool
) -> None:
    """`See Vang` in a PDF may be a name; whoever types it has looked."""
    begun = open_checking(session, planned, PACKET)
    said = Answer(
        document="application",
        blank="printed-name",
        status=Status.FILLED,
        says="See Vang",
        source=source,
    )
    context = replace(begun.context, answers=(said,))
    label = "Printed name of the signer"
    found = [one for one in compute_check(context).findings if one.check == "real-text"]
    questions = {one.blank for one in compute_questions(context)}

    assert [one.sentence.partition(": ")[2] for one in found] == (
        [f"`{label}` says `See Vang`: a name, or where to look?"] if asked else []
    )
    assert ("printed-name" in questions) is asked
