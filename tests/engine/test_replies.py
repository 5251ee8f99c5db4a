"""Plausible replies of people to every kind of question: the meaning taken, or asked again.

What people type is common practice, no source: the list was written down before the code.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from compliance.base.problems import Problem
from compliance.engine.check_model import CheckContext
from compliance.engine.plan_model import Plan
from compliance.engine.question_model import Question, QuestionKind
from compliance.engine.replies import apply_reply
from compliance.facts.answers import ENCLOSED, EnvelopeAnswers, Status
from compliance.facts.reply_words import Meaning, read_meaning, unquote
from compliance.forms.model import FormTemplate

Start = Callable[[str], CheckContext]
DAY = date(2027, 1, 11)
PACKET = "faa.registration-n:tg46"
ONLINE_PACKET = "faa.registration-small:tg18"
F, E, S, U, AGAIN = Status.FILLED, Status.EMPTY, Status.STRUCK, Status.UNCLEAR, None
EXPECTED = "Sandbur Flats Aerial LLC"

# Reply -> what it means when asked: is it there? - does it say exactly that? - what stands there? -
# which date? - are all of these there?
REPLIES: dict[str, tuple[Status | None, ...]] = {
    "yes": (F, F, AGAIN, AGAIN, F),
    "YES": (F, F, AGAIN, AGAIN, F),
    "Yes.": (F, F, AGAIN, AGAIN, F),
    "y": (F, F, AGAIN, AGAIN, F),
    "yeah": (F, F, AGAIN, AGAIN, F),
    "yep!": (F, F, AGAIN, AGAIN, F),
    "ok": (F, F, AGAIN, AGAIN, F),
    "sure": (F, F, AGAIN, AGAIN, F),
    "of course": (F, F, AGAIN, AGAIN, F),
    "correct": (F, F, AGAIN, AGAIN, F),
    "that's right": (F, F, AGAIN, AGAIN, F),
    "yes, it is": (F, F, AGAIN, AGAIN, F),
    "yes it does": (F, F, AGAIN, AGAIN, F),
    "exactly": (F, F, AGAIN, AGAIN, F),
    "the same": (F, F, AGAIN, AGAIN, F),
    "it matches": (F, F, AGAIN, AGAIN, F),
    "all of them": (F, F, AGAIN, AGAIN, F),
    "done": (F, AGAIN, AGAIN, AGAIN, F),
    "filled": (F, AGAIN, AGAIN, AGAIN, F),
    "filled in": (F, AGAIN, AGAIN, AGAIN, F),
    "it is there": (F, AGAIN, AGAIN, AGAIN, F),
    "it\u2019s there": (F, AGAIN, AGAIN, AGAIN, F),
    "signed": (F, AGAIN, AGAIN, AGAIN, F),
    "yes, signed and dated": (F, AGAIN, AGAIN, AGAIN, F),
    "complete": (F, AGAIN, AGAIN, AGAIN, F),
    "no": (E, AGAIN, AGAIN, AGAIN, U),
    "N": (E, AGAIN, AGAIN, AGAIN, U),
    "nope": (E, AGAIN, AGAIN, AGAIN, U),
    "it isn't": (E, AGAIN, AGAIN, AGAIN, U),
    "wrong": (E, AGAIN, AGAIN, AGAIN, U),
    "not yet": (E, E, E, E, U),
    "no, not yet": (E, E, E, E, U),
    "not signed": (E, E, E, E, U),
    "still to do": (E, E, E, E, U),
    "empty": (E, E, E, E, E),
    "blank": (E, E, E, E, E),
    "nothing there": (E, E, E, E, E),
    "missing": (E, E, E, E, E),
    "none": (E, E, E, E, E),
    "no signature": (E, E, E, E, E),
    "n/a": (S, S, S, S, S),
    "does not apply": (S, S, S, S, S),
    "struck": (S, S, S, S, S),
    "crossed out": (S, S, S, S, S),
    "?": (U, U, U, U, U),
    "unclear": (U, U, U, U, U),
    "maybe": (U, U, U, U, U),
    "maybe not": (U, U, U, U, U),
    "perhaps": (U, U, U, U, U),
    "don't know": (U, U, U, U, U),
    "I don\u2019t know": (U, U, U, U, U),
    "no idea": (U, U, U, U, U),
    "not sure": (U, U, U, U, U),
    "can't tell": (U, U, U, U, U),
    "illegible": (U, U, U, U, U),
    "I think so": (U, U, U, U, U),
    "should be": (U, U, U, U, U),
    "almost": (AGAIN, AGAIN, AGAIN, AGAIN, U),
    "one is missing": (AGAIN, AGAIN, AGAIN, AGAIN, U),
    "yes and no": (AGAIN, AGAIN, AGAIN, AGAIN, U),
    "yes but the date is wrong": (AGAIN, AGAIN, AGAIN, AGAIN, AGAIN),
    "it says something like Sandbur": (AGAIN, AGAIN, AGAIN, AGAIN, AGAIN),
    "later": (AGAIN, AGAIN, AGAIN, AGAIN, AGAIN),
    "skip": (AGAIN, AGAIN, AGAIN, AGAIN, AGAIN),
    "stop": (AGAIN, AGAIN, AGAIN, AGAIN, AGAIN),
    "help": (AGAIN, AGAIN, AGAIN, AGAIN, AGAIN),
    "Sandbur Flats Aerial": (AGAIN, F, F, AGAIN, AGAIN),
    "No. 5 Invented Road": (AGAIN, F, F, AGAIN, AGAIN),
    '"No Till Farms LLC"': (AGAIN, F, F, AGAIN, AGAIN),
    "Noble Farms": (AGAIN, F, F, AGAIN, AGAIN),
    "2027-01-12": (AGAIN, F, F, F, AGAIN),
}
ASKED = Question(kind=QuestionKind.YES_NO, document="application", blank="owner-name", text="?")
QUESTIONS = (
    ASKED,
    replace(ASKED, expected=EXPECTED),
    replace(ASKED, kind=QuestionKind.TEXT),
    replace(ASKED, kind=QuestionKind.DATE),
    replace(ASKED, also=("signature",), no_means=Status.UNCLEAR),
)


@pytest.fixture
def start(demo_plan: Plan, templates: dict[str, FormTemplate]) -> Start:
    """A packet of the demo about which nothing was said yet."""

    def make(name: str) -> CheckContext:
        paper = demo_plan.find_paper(name)
        assert paper is not None
        return CheckContext(
            operation=demo_plan.operation,
            paper=paper,
            templates=templates,
            answers=(),
            envelope=EnvelopeAnswers(),
            as_of=DAY,
            mail_on=DAY,
            others=demo_plan.papers,
        )

    return make


def test_replies_are_at_least_sixty() -> None:
    """The list is wide enough to mean something."""
    assert len(REPLIES) >= 60


@pytest.mark.parametrize("reply", REPLIES)
def test_apply_reply_takes_what_people_mean_or_asks_again(start: Start, reply: str) -> None:
    """Each reply to each kind of question about a blank; asking again is one clear sentence."""
    context = start(PACKET)
    taken: list[Status | None] = []
    for question in QUESTIONS:
        after = apply_reply(context, question, reply)
        if isinstance(after, Problem):
            assert after.code == "A31"
            assert after.hint.startswith("type ")
            assert "\n" not in f"{after.sentence}{after.hint}"
            taken.append(AGAIN)
        else:
            (first, *others) = after.answers
            assert {one.status for one in others} <= {first.status}
            taken.append(first.status)

    assert tuple(taken) == REPLIES[reply]


def say(start: Start, question: Question, reply: str) -> str:
    after = apply_reply(start(PACKET), question, reply)
    assert isinstance(after, CheckContext)
    return after.answers[0].says


def test_apply_reply_takes_the_text_without_its_quotation_marks(start: Start) -> None:
    """Quotation marks say that it is text, whatever it looks like."""
    assert say(start, QUESTIONS[1], '"No Till Farms LLC"') == "No Till Farms LLC"
    assert say(start, QUESTIONS[2], "“maybe”") == "maybe"
    assert say(start, QUESTIONS[1], "yes") == EXPECTED
    assert say(start, QUESTIONS[1], EXPECTED) == EXPECTED


@pytest.mark.parametrize("word", ["managers", "OK", "other"])
def test_apply_reply_typing_what_must_stand_there_is_right(start: Start, word: str) -> None:
    """The very text that was asked about is never talk."""
    question = replace(QUESTIONS[1], expected=word)

    assert say(start, question, word) == word


def test_apply_reply_no_to_a_block_that_may_be_struck_asks_again(start: Start) -> None:
    """No may mean that the form prints no block, or that it is empty; these are not the same."""
    question = replace(QUESTIONS[0], also=("signature",), no_means=None)
    after = apply_reply(start(PACKET), question, "no")

    assert isinstance(after, Problem)
    assert (after.sentence, after.hint) == (
        "'no' does not say enough",
        "type yes or no, or empty, struck or unclear",
    )


@pytest.mark.parametrize(
    ("reply", "expected"),
    [
        ("original", (F, "original")),
        ("the original", (F, "original")),
        ("Copy", (F, "copy")),
        ("photocopy", (F, "copy")),
        ("no", (E, "")),
        ("not yet", (E, "")),
        ("missing", (E, "")),
        ("don't know", (U, "")),
        ("maybe", (U, "")),
        ("left out", (S, "")),
        ("n/a", (S, "")),
    ],
)
def test_apply_reply_about_the_envelope_of_a_paper(
    start: Start, reply: str, expected: tuple[Status, str]
) -> None:
    """Whether a paper is in the envelope, and as what."""
    choices = ("original", "copy", "no", "left-out")
    question = Question(
        kind=QuestionKind.CHOICE,
        text="?",
        document="application",
        blank=ENCLOSED,
        choices=choices,
        default="original",
    )
    after = apply_reply(start(PACKET), question, reply)

    assert isinstance(after, CheckContext)
    assert (after.answers[0].status, after.answers[0].says) == expected


@pytest.mark.parametrize("reply", ["yes", "done", "it is there"])
def test_apply_reply_yes_tells_no_original_from_a_copy(start: Start, reply: str) -> None:
    """What is filed online has neither; in an envelope the difference brings it back."""
    question = Question(
        kind=QuestionKind.CHOICE,
        text="?",
        document="application",
        blank=ENCLOSED,
        choices=("original", "copy", "no"),
    )
    mailed = apply_reply(start(PACKET), question, reply)
    online = apply_reply(start(ONLINE_PACKET), question, reply)

    assert isinstance(mailed, Problem)
    assert (mailed.sentence, mailed.hint) == (
        f"{reply!r} does not say whether it is the original or a copy",
        "type one of: original, copy, no",
    )
    assert isinstance(online, CheckContext)
    assert online.answers[0].status is F


ENVELOPE: dict[str, dict[str, object]] = {
    "earlier_reasons_mended": {
        "yes": ("it was open",),
        "done": ("it was open",),
        "fixed": ("it was open",),
        "no": (),
        "not yet": (),
        "maybe": AGAIN,
        "I think so": AGAIN,
        "skip": AGAIN,
    },
    "no_corrections": {
        "yes": True,
        "yep": True,
        "no": False,
        "done": AGAIN,
        "not yet": AGAIN,
        "don't know": AGAIN,
        "none": AGAIN,
    },
    "power_enclosed": {
        "yes": True,
        "attached": True,
        "no": False,
        "not yet": False,
        "missing": False,
        "not sure": AGAIN,
    },
    "notary_name": {
        "Ida Quillfeather": "Ida Quillfeather",
        '"Done"': "Done",
        "yes": AGAIN,
        "don't know": AGAIN,
        "not yet": AGAIN,
        "none": AGAIN,
        "later": AGAIN,
    },
    "notary_state": {
        "ne": "NE",
        "Nebraska": "NE",
        "Oklahoma": "OK",
        "ok": AGAIN,
        "yes": AGAIN,
        "same": AGAIN,
        "don't know": AGAIN,
    },
    "signature_kind": {
        "ink": "ink",
        "in ink": "ink",
        "by hand": "ink",
        "digital": "digital",
        "electronic": AGAIN,
        "yes": AGAIN,
        "?": AGAIN,
    },
    "fee_amount_usd": {"$5": "5.00", "5 dollars": "5.00", "yes": AGAIN, "paid": AGAIN},
    "fee_method": {
        "check": "check",
        "money order": "money order",
        "yes": AGAIN,
        "done": AGAIN,
        "don't know": AGAIN,
    },
    "address_on_envelope": {
        "online": "online",
        "1 Invented Street, Anytown, SD 00000": "1 Invented Street, Anytown, SD 00000",
        "yes": AGAIN,
        "not yet": AGAIN,
        "no idea": AGAIN,
    },
    "owners_chain": {
        "Tallgrass Rotorworks; Sandbur Flats Aerial LLC": (
            "Tallgrass Rotorworks",
            "Sandbur Flats Aerial LLC",
        ),
        "Tallgrass Rotorworks; don't know": AGAIN,
        "yes": AGAIN,
    },
    "id_expires": {"2030-01-02": date(2030, 1, 2), "yes": AGAIN, "never": AGAIN},
}


@pytest.mark.parametrize(
    ("blank", "reply"), [(blank, reply) for blank, said in ENVELOPE.items() for reply in said]
)
def test_apply_reply_about_the_signing_and_the_envelope(
    start: Start, blank: str, reply: str
) -> None:
    """Talk never becomes a name, an address or a way to pay."""
    question = Question(
        kind=QuestionKind.TEXT,
        text="?",
        blank=blank,
        expected="it was open" if blank == "earlier_reasons_mended" else "",
        default="NE" if blank == "notary_state" else "",
        choices=("ink", "digital", "picture") if blank == "signature_kind" else (),
    )
    after = apply_reply(start(PACKET), question, reply)
    expected = ENVELOPE[blank][reply]

    if isinstance(after, Problem):
        assert expected is AGAIN
        assert after.sentence.startswith((f"{reply!r} ", "'don't know' ", '"don\'t know" ', "a ch"))
        assert "type " in after.hint
    else:
        assert getattr(after.envelope, blank) == expected


@pytest.mark.parametrize("marks", ['""', "“”", "''", "``"])
def test_unquote_takes_one_pair_of_marks_away(marks: str) -> None:
    """Straight and curved marks are alike; a mark inside a text stays."""
    opened, closed = marks[0], marks[1]

    assert unquote(f" {opened}yes{closed} ") == "yes"
    assert read_meaning(f"{opened}yes{closed}") is Meaning.TEXT
    assert unquote('6" line') == '6" line'
