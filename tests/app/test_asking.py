"""The questions as a person meets them: answered, put off, helped with, stopped."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import pytest

from compliance.app.asking import WIDTH, ask_questions
from compliance.app.checking import Checking
from compliance.app.demo import DEMO_DAY
from compliance.engine.check import compute_check
from compliance.engine.plan_model import Plan
from compliance.engine.questions import compute_questions
from compliance.engine.replies import say_replies
from compliance.facts.answers import EnvelopeAnswers, Source, Status
from compliance.facts.answers_parse import PacketAnswers
from compliance.forms.model import FormTemplate
from tests.engine.test_crosschecks import answer_all
from tests.kit_checking import make_checking

PACKET = "sd.commercial-applicator:odile"
SIGNATURE = "Signature"
# What a person reads off the two papers and the envelope, in the order of the questions.
REPLIES = (
    "",  # the original is in the envelope
    "yes",
    "yes",
    "yes",
    "yes",
    "yes",
    "yes",
    "yes",
    "Odile Ferrant",
    "2027-01-11",
    "original",
    "South Dakota Department of Agriculture and Natural Resources",
    "yes",
    "yes",
    "2027-01-11",
    "yes",
    "",  # paid by check
    "1 Invented Street, Anytown, SD 00000",
)


@dataclass
class Desk:
    """A person at the keyboard: what they will type, what they saw, what was kept meanwhile."""

    lines: Iterator[str]
    said: list[str] = field(default_factory=list)
    prompts: list[str] = field(default_factory=list)
    kept: list[Checking] = field(default_factory=list)

    def read(self, prompt: str) -> str | None:
        self.prompts.append(prompt)
        return next(self.lines, None)

    def sit(self, checking: Checking) -> Checking:
        return ask_questions(checking, self.read, self.said.append, self.kept.append)


@pytest.fixture(scope="module")
def blank_check(demo_plan: Plan, templates: Mapping[str, FormTemplate]) -> Checking:
    """A check in which nobody has said anything yet."""
    return make_checking(demo_plan, templates, PACKET, DEMO_DAY)


def sit(checking: Checking, *lines: str) -> tuple[Checking, Desk]:
    desk = Desk(lines=iter(lines))
    return desk.sit(checking), desk


def statuses(checking: Checking) -> dict[str, Status]:
    return {
        f"{one.document}.{one.blank}": one.status
        for one in checking.context.answers
        if one.document == "application"
    }


def test_ask_questions_counts_them_once_and_names_the_document(blank_check: Checking) -> None:
    count = len(compute_questions(blank_check.context))
    _, desk = sit(blank_check, "", "later", "stop")

    assert desk.said[0] == f"{count} questions. Type stop to go on another day, ? for help."
    assert sum("questions. Type stop" in line for line in desk.said) == 1
    assert desk.said[1] == "\nCommercial applicator license application"
    assert [line for line in desk.said if line.startswith("\n")] == [desk.said[1]]
    assert desk.prompts[0] == "  original or copy or no [original]: "


def test_ask_questions_one_left_is_one_question(blank_check: Checking) -> None:
    almost, _ = sit(blank_check, *REPLIES[:-1])
    _, desk = sit(almost, "stop")

    assert desk.said == [
        "1 question. Type stop to go on another day, ? for help.",
        "- Which address stands on the envelope? Take it from the agency's form.",
    ]


def test_ask_questions_until_nothing_is_open_makes_it_ready(blank_check: Checking) -> None:
    done, _ = sit(blank_check, *REPLIES)

    assert compute_questions(done.context) == ()
    assert compute_check(done.context).ready
    assert not compute_check(blank_check.context).ready


@pytest.mark.parametrize("end", [("stop",), (" STOP ",), ()])
def test_ask_questions_stopped_keeps_every_answer(
    blank_check: Checking, end: tuple[str, ...]
) -> None:
    left, desk = sit(blank_check, *REPLIES[:4], *end)

    assert statuses(left) == {
        "application.enclosed": Status.FILLED,
        "application.pilot-name": Status.FILLED,
        "application.home-address": Status.FILLED,
        "application.business": Status.FILLED,
    }
    assert desk.kept[-1] == left
    assert [len(one.context.answers) for one in desk.kept] == [1, 2, 3, 4]


def test_ask_questions_goes_on_where_it_stopped(blank_check: Checking) -> None:
    left, _ = sit(blank_check, *REPLIES[:4], "stop")
    gone_on, desk = sit(left, *REPLIES[4:])
    at_once, _ = sit(blank_check, *REPLIES)

    assert gone_on == at_once
    assert "business" in desk.said[2]


def test_ask_questions_later_passes_one_over_and_asks_it_next_time(blank_check: Checking) -> None:
    left, desk = sit(blank_check, "", "later", "no", "stop")
    _, again = sit(left, "stop")

    assert statuses(left) == {
        "application.enclosed": Status.FILLED,
        "application.home-address": Status.EMPTY,
    }
    assert sum("full name" in line for line in desk.said) == 1
    assert "full name" in again.said[2]


def test_ask_questions_parts_of_a_block_are_asked_in_the_same_sitting(
    demo_plan: Plan, templates: Mapping[str, FormTemplate]
) -> None:
    """After a no to all parts of the notary's certificate each of them is asked, the first too."""
    checking = make_checking(demo_plan, templates, "faa.registration-n:tg46", DEMO_DAY)
    questions = compute_questions(checking.context)
    at = next(at for at, one in enumerate(questions) if one.also)
    _, desk = sit(checking, *["later"] * at, "no", *["later"] * 3, "stop")
    asked = [" ".join(line.split()) for line in desk.said if line.startswith("- ")]
    titles = [line for line in asked if "is `" in line.casefold() or "stands under" in line]

    assert any("are all of these there" in line for line in asked)
    block = questions[at]
    certificate = checking.context.templates["faa-ua-affidavit"]
    for name in (block.blank, *block.also):
        blank = certificate.find_blank(name)
        assert blank is not None
        assert any(f"`{blank.label}`" in line for line in titles)


@pytest.mark.parametrize("word", ["skip", "Later.", "not now"])
def test_ask_questions_other_words_for_later(blank_check: Checking, word: str) -> None:
    """Passing over a question needs no special word."""
    left, desk = sit(blank_check, *[word] * 200)

    assert left == blank_check
    assert len(desk.prompts) < 200


@pytest.mark.parametrize("word", ["help", "what?", "huh"])
def test_ask_questions_other_words_for_help(blank_check: Checking, word: str) -> None:
    """Asking for help needs no special sign, and is never taken for what stands on the paper."""
    left, desk = sit(blank_check, word, "stop")

    assert left == blank_check
    assert desk.said[-1] == desk.said[-3]


def test_ask_questions_all_put_off_ends(blank_check: Checking) -> None:
    left, desk = sit(blank_check, *["later"] * 200)

    assert left == blank_check
    assert len(desk.prompts) < 200
    assert desk.kept == []


def test_ask_questions_help_is_shown_and_the_question_asked_again(blank_check: Checking) -> None:
    questions = compute_questions(blank_check.context)
    helped = next(at for at, one in enumerate(questions) if one.help)
    bare = next(at for at, one in enumerate(questions) if not one.help)

    for at, words in ((helped, questions[helped].help), (bare, "")):
        _, desk = sit(blank_check, *["later"] * at, "?", "stop")

        known = f"{words} {say_replies(questions[at])}".strip()
        assert " ".join(desk.said[-2].split()) == known
        assert desk.said[-1] == desk.said[-3]


@pytest.mark.parametrize(
    ("before", "bad", "good", "sentence"),
    [
        (
            (),
            "almost",
            "original",
            "  'almost' is none of the replies; type one of: original, copy",
        ),
        (REPLIES[:1], "", "yes", "  nothing was typed; type yes, or what stands there instead"),
        (REPLIES[:1], "no", "yes", "  'no' does not say enough; type yes, or what stands there"),
        (REPLIES[:9], "1/12/27", "2027-01-11", "  '1/12/27' is no date; type a date as year-"),
        (REPLIES[:9], "2027-02-30", "2027-01-11", "  '2027-02-30' is no date; "),
    ],
)
def test_ask_questions_bad_reply_says_why_and_asks_again(
    blank_check: Checking, before: tuple[str, ...], bad: str, good: str, sentence: str
) -> None:
    left, desk = sit(blank_check, *before, bad, good, "stop")
    plain, _ = sit(blank_check, *before, good, "stop")

    assert left == plain
    assert sum(line.startswith(sentence) for line in desk.said) == 1


def test_ask_questions_reason_of_a_return_comes_first(
    demo_plan: Plan, templates: Mapping[str, FormTemplate]
) -> None:
    checking = make_checking(demo_plan, templates, "faa.registration-n:tg46", DEMO_DAY)
    mended, desk = sit(checking, "yes", "stop")

    assert desk.said[1:3] == [
        (
            "- It came back on Wed 6 Jan 2027: notary block: commission expiry left empty.\n"
            "  Is that mended?"
        ),
        "\nAC Form 8050-1, Aircraft Registration Application",
    ]
    assert mended.context.envelope.earlier_reasons_mended == (
        "notary block: commission expiry left empty",
    )


def test_ask_questions_not_mended_is_not_asked_twice_in_one_sitting(
    demo_plan: Plan, templates: Mapping[str, FormTemplate]
) -> None:
    checking = make_checking(demo_plan, templates, "faa.registration-n:tg46", DEMO_DAY)
    left, desk = sit(checking, "no", "stop")
    _, again = sit(left, "stop")

    assert sum("It came back" in line for line in desk.said) == 1
    assert "It came back" in again.said[1]


def test_ask_questions_lines_fit_the_screen(
    demo_plan: Plan, templates: Mapping[str, FormTemplate]
) -> None:
    for paper in demo_plan.papers:
        checking = make_checking(demo_plan, templates, paper.id, DEMO_DAY)
        _, desk = sit(checking, *["later"] * 200)
        lines = [line for text in desk.said for line in text.splitlines()]
        # A title stands on a line of its own, whatever its length.
        asked = [line for line in lines if line.startswith(("- ", "  "))]

        assert max((len(line) for line in asked), default=0) <= WIDTH


def test_ask_questions_passes_over_what_it_cannot_take(blank_check: Checking) -> None:
    """Whatever is piped in, one question is not asked for ever; it stays open."""
    asked, desk = sit(blank_check, "", *["yes but no"] * 5, "stop")

    assert desk.said.count("  passed over for now; it stays open") == 1
    assert len(desk.prompts) == 7
    assert "application.pilot-name" not in statuses(asked)


def test_ask_questions_asks_again_what_would_bring_it_back(blank_check: Checking) -> None:
    """A no of an earlier day is asked about on every later one, until it is mended."""
    left, _ = sit(blank_check, "", "yes", "yes", "yes", "yes", "yes", "yes", "not yet", "stop")
    again, desk = sit(left, "", "stop")
    mended, _ = sit(left, "yes", "stop")
    _, third = sit(mended, "stop")

    assert desk.said[2] == f"- Is it signed (`{SIGNATURE}`)? Last time you said: not there."
    assert desk.prompts[0] == "  yes or no [as before]: "
    assert again == left
    assert desk.kept == []
    assert statuses(left)["application.signature"] is Status.EMPTY
    assert statuses(mended)["application.signature"] is Status.FILLED
    assert not any("Last time" in line for line in third.said)


def test_ask_questions_a_no_is_not_asked_twice_in_one_sitting(blank_check: Checking) -> None:
    left, desk = sit(blank_check, "no", *["later"] * 50)
    _, again = sit(left, "no", *["later"] * 50)

    for one in (desk, again):
        assert sum("Is it in the envelope?" in line for line in one.said) == 2  # two documents
    assert again.said[2] == (
        "- Is it in the envelope? The office asks for the original. Last time you said:\n  no."
    )


def test_ask_questions_a_wrong_text_is_asked_again(blank_check: Checking) -> None:
    """Another name on the paper is mended by a new print, whose signature is asked anew."""
    left, _ = sit(blank_check, "", "Odile Ferant", *REPLIES[2:])
    mended, desk = sit(left, "yes", "yes", "2027-01-11")
    said = [" ".join(line.split()) for line in desk.said]

    assert said[2].endswith(
        "does it say exactly `Odile Ferrant`? Last time you said: `Odile Ferant`."
    )
    assert sum("another print. What was said or seen of `" in line for line in said) == 1
    assert compute_check(mended.context).ready
    assert not compute_check(left.context).ready


def test_ask_questions_what_answers_of_this_run_say_is_not_asked_again(
    blank_check: Checking,
) -> None:
    left, _ = sit(blank_check, "", *["yes"] * 6, "not yet", "stop")
    (signed,) = (one for one in left.context.answers if one.blank == "signature")
    given = PacketAnswers(packet=PACKET, answers=(signed,), envelope=EnvelopeAnswers())
    _, desk = sit(replace(left, given=given), *["later"] * 50)

    assert desk.said != []
    assert not any("Last time" in line for line in desk.said)


@pytest.mark.parametrize(
    ("source", "said"),
    [
        (Source.PHOTO, "A picture showed nothing there."),
        (Source.PDF, "The PDF shows nothing there."),
    ],
)
def test_ask_questions_what_a_file_showed_empty_is_asked(
    blank_check: Checking, source: Source, said: str
) -> None:
    """Who signed after the picture says so; the verdict keeps that the picture showed nothing."""
    done, _ = sit(blank_check, *REPLIES)
    answers = tuple(
        replace(one, status=Status.EMPTY, source=source, seen_in="a1")
        if one.blank == "signature" and one.document == "application"
        else one
        for one in done.context.answers
    )
    shown = replace(done, context=replace(done.context, answers=answers))
    signed, desk = sit(shown, "yes")
    result = compute_check(signed.context)

    assert " ".join(desk.said[2].split()) == f"- Is it signed (`{SIGNATURE}`)? {said}"
    assert len(desk.prompts) == 1
    assert not compute_check(shown.context).ready
    assert result.ready
    noted = (
        "Commercial applicator license application: `Signature` is filled, you say; the"
        " picture showed nothing there."
    )
    assert [one.sentence for one in result.findings if one.check == "pictures"] == (
        [noted] if source is Source.PHOTO else []
    )


def test_ask_questions_a_text_of_the_pdf_is_mended_in_the_pdf(blank_check: Checking) -> None:
    """Nobody talks a wrong name out of a file that shows it."""
    done, _ = sit(blank_check, *REPLIES)
    answers = tuple(
        replace(one, says="Odile Ferant", source=Source.PDF, seen_in="a1")
        if one.blank == "pilot-name"
        else one
        for one in done.context.answers
    )
    shown = replace(done, context=replace(done.context, answers=answers))
    _, desk = sit(shown, "yes")

    assert not compute_check(shown.context).ready
    assert desk.said == []


def test_ask_questions_two_mended_texts_open_the_ink_once(blank_check: Checking) -> None:
    left, _ = sit(blank_check, "", "Odile Ferant", "yes", "Sandbur LLC", *REPLIES[4:])
    _, desk = sit(left, "yes", "yes", "yes", "2027-01-11", "stop")

    asked = [" ".join(line.split()) for line in desk.said if line.startswith("- ")]
    assert [one.partition(":")[0].partition("?")[0] for one in asked] == [
        "- `Applicant's full name, as on the photo ID`",
        "- `Name of the business you work for`",
        f"- Is it signed (`{SIGNATURE}`)",
        "- Which date stands under `Date of signing`",
    ]


def test_ask_questions_no_change_any_more_is_a_fresh_form(
    demo_plan: Plan, templates: Mapping[str, FormTemplate]
) -> None:
    """Nobody takes words that were crossed out off a signed and notarized page."""
    checking = make_checking(demo_plan, templates, "faa.registration-n:tg46", DEMO_DAY)
    context = answer_all(checking.context)
    seen = replace(context, envelope=replace(context.envelope, no_corrections=False))
    left = replace(checking, context=seen)
    mended, desk = sit(left, "yes", *["later"] * 60)
    said = [" ".join(line.split()) for line in desk.said]

    assert not compute_check(mended.context).ready
    assert said[1] == (
        "- Are all papers free of correction fluid, crossed-out and written-over words? Last time"
        " you said: no."
    )
    assert said[2] == (
        "`AC Form 8050-1, Aircraft Registration Application`: without a change it is a fresh form."
        " What was said or seen of `Signer's signature`, `Date of signing` is asked again."
    )
    ink = ("signature", "notary-signature", "notary-date", "signed-on", "owner-signature")
    clean = ("application", "bill-of-sale", "affidavit")
    left_of = [one for one in mended.context.answers if one.document in clean]
    assert not [one for one in left_of if one.blank in ink]
    assert mended.context.envelope.no_corrections is True
    assert any("Is it signed" in line for line in said)


def test_ask_questions_of_pictures_that_differ_says_so(blank_check: Checking) -> None:
    """The newer picture shows nothing: a yes counts, and the verdict keeps what it showed."""
    done, _ = sit(blank_check, *REPLIES)
    answers = tuple(
        replace(one, status=Status.UNCLEAR, source=Source.PHOTO, seen_in="a1", picture_empty=True)
        if one.blank == "signature" and one.document == "application"
        else one
        for one in done.context.answers
    )
    shown = replace(done, context=replace(done.context, answers=answers))
    as_before, desk = sit(shown, "")
    signed, _ = sit(shown, "yes")

    assert as_before == shown
    assert " ".join(desk.said[2].split()) == (
        f"- Is it signed (`{SIGNATURE}`)? The last picture showed nothing there, an earlier one"
        " did."
    )
    assert [one.check for one in compute_check(signed.context).findings] == ["pictures"]


def test_ask_questions_small_letters_are_no_name(blank_check: Checking) -> None:
    """Talk about a name is not kept as one, whatever the words; quotation marks say it is."""
    at = ["", *["yes"] * 7]
    left, desk = sit(blank_check, *at, "wren has it", "stop")
    quoted, _ = sit(blank_check, *at, '"wren has it"', "stop")

    assert "application.printed-name" not in statuses(left)
    assert any(line.startswith("  'wren has it' has no capital letter; ") for line in desk.said)
    assert statuses(quoted)["application.printed-name"] is Status.FILLED
