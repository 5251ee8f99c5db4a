"""What is asked: only what cannot be known, one plain thing at a time, document by document."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from compliance.base.problems import Problem, SourceRef
from compliance.engine.check import compute_check
from compliance.engine.check_model import CheckContext
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.engine.question_model import Question, QuestionKind
from compliance.engine.questions import compute_asked, compute_questions
from compliance.engine.replies import apply_reply
from compliance.facts.answers import ENCLOSED, Answer, EnvelopeAnswers, Source, Status
from compliance.facts.model import EntityType, Operation
from compliance.forms.model import FormTemplate
from compliance.rules.model import RulesTable

DAY = date(2027, 1, 11)
REGISTRATION = "faa.registration-n:tg46"
Start = Callable[[str], CheckContext]


@pytest.fixture
def start(demo_plan: Plan, templates: dict[str, FormTemplate]) -> Start:
    """A packet of the demo about which nothing was said yet."""

    def make(name: str) -> CheckContext:
        return begin(demo_plan, name, templates)

    return make


def begin(plan: Plan, name: str, templates: dict[str, FormTemplate]) -> CheckContext:
    paper = plan.find_paper(name)
    assert paper is not None
    return CheckContext(
        operation=plan.operation,
        paper=paper,
        templates=templates,
        answers=(),
        envelope=EnvelopeAnswers(),
        as_of=DAY,
        mail_on=DAY,
        others=plan.papers,
    )


def answer(context: CheckContext, blank: str, reply: str, document: str = "") -> CheckContext:
    question = ask(context, blank, document)
    after = apply_reply(context, question, reply)
    assert isinstance(after, CheckContext)
    return after


def ask(context: CheckContext, blank: str, document: str = "") -> Question:
    return next(
        one
        for one in compute_questions(context)
        if one.blank == blank and document in {"", one.document}
    )


def names(context: CheckContext, document: str) -> list[str]:
    return [one.blank for one in compute_questions(context) if one.document == document]


def say(text: str, question: Question) -> str:
    """Reply as somebody whose papers are right."""
    if question.kind is QuestionKind.YES_NO:
        return "yes"
    dates = {"notary-expiry": "2029-01-31"}
    if question.kind is QuestionKind.DATE:
        return dates.get(question.blank, text)
    return question.default or {"notary-state": "NE"}.get(question.blank, "Ida Quillfeather")


@pytest.mark.parametrize("at", range(15))
def test_questions_answered_one_by_one_make_every_demo_packet_ready(
    demo_plan: Plan, templates: dict[str, FormTemplate], at: int
) -> None:
    """Nobody is asked the same thing twice, and after the last question all is known."""
    context = begin(demo_plan, demo_plan.papers[at].id, templates)
    asked: list[tuple[str, int, str]] = []
    while questions := compute_questions(context):
        first = questions[0]
        asked.append((first.document, first.sheet, first.blank))
        reply = say(DAY.isoformat(), first)
        if first.blank == "notary_name" or first.blank.endswith("printed-name"):
            reply = "Hale Quillfeather" if first.blank == "notary_name" else "Odile Ferrant"
        after = apply_reply(context, first, "yes" if first.expected else reply)
        assert isinstance(after, CheckContext)
        context = after

    assert len(asked) == len(set(asked))
    assert compute_check(context).ready


def test_demo_has_as_many_packets_as_are_asked_about(demo_plan: Plan) -> None:
    assert len(demo_plan.papers) == 15


def test_questions_begin_with_what_it_came_back_for(start: Start) -> None:
    first, second = compute_questions(start(REGISTRATION))[:2]

    assert first == Question(
        blank="earlier_reasons_mended",
        text=(
            "It came back on Wed 6 Jan 2027: notary block: commission expiry left empty. "
            "Is that mended?"
        ),
        kind=QuestionKind.YES_NO,
        expected="notary block: commission expiry left empty",
    )
    assert (second.document, second.blank, second.kind) == (
        "application",
        ENCLOSED,
        QuestionKind.CHOICE,
    )


def test_questions_go_through_the_documents_and_then_the_envelope(start: Start) -> None:
    questions = compute_questions(start(REGISTRATION))
    documents = list(dict.fromkeys(one.document for one in questions))

    assert documents == ["", "application", "affidavit", "bill-of-sale", "llc-statement", "fee"]
    assert [one.blank for one in questions if not one.document] == [
        "earlier_reasons_mended",
        "owners_chain",
        "fee_method",
        "address_on_envelope",
    ]


def test_questions_about_a_fact_ask_whether_it_says_exactly_that(start: Start) -> None:
    context = start(REGISTRATION)
    question = ask(context, "owner-name")

    assert question.text == (
        "`Owner's full legal name`: does it say exactly `Sandbur Flats Aerial LLC`?"
    )
    assert question.expected == "Sandbur Flats Aerial LLC"
    assert answer(context, "owner-name", "yes").answers == (
        Answer(
            document="application",
            blank="owner-name",
            status=Status.FILLED,
            says="Sandbur Flats Aerial LLC",
        ),
    )


def test_questions_keep_the_notary_block_together(start: Start) -> None:
    asked = names(start(REGISTRATION), "affidavit")

    assert asked[-7:] == [
        "notary-state",
        "notary-county",
        "notary-act",
        "notary-signer",
        "notary-date",
        "notary-expiry",
        "notary-signature",
    ]
    assert ask(start(REGISTRATION), "notary-signature").also == ("notary-title", "notary-stamp")


def test_questions_unclear_notary_parts_are_asked_one_by_one(start: Start) -> None:
    context = answer(start(REGISTRATION), "notary-signature", "unclear")

    assert names(context, "affidavit")[-4:] == [
        "notary-signature",
        "notary-title",
        "notary-stamp",
        "notary-expiry",
    ]


def test_questions_no_to_the_whole_block_asks_for_its_parts(start: Start) -> None:
    """That not all of them are there does not say that none is."""
    context = answer(start(REGISTRATION), "notary-signature", "no")

    assert {one.status for one in context.answers if one.blank.startswith("notary-")} == {
        Status.UNCLEAR
    }
    assert {"notary-signature", "notary-title", "notary-stamp"} <= set(names(context, "affidavit"))


def test_questions_leave_out_what_is_answered(start: Start) -> None:
    context = answer(start(REGISTRATION), "model", "yes")

    assert "model" in names(start(REGISTRATION), "application")
    assert "model" not in names(context, "application")


def test_questions_ask_again_what_was_unclear(start: Start) -> None:
    context = answer(start(REGISTRATION), "model", "unclear")

    assert "model" in names(context, "application")


def test_questions_skip_the_blanks_of_a_paper_that_is_not_there(start: Start) -> None:
    context = answer(start(REGISTRATION), ENCLOSED, "no", "affidavit")

    assert names(context, "affidavit") == []


def test_questions_ask_the_text_of_what_a_photo_saw_filled(start: Start) -> None:
    """A picture shows that something stands there, not what the facts want it to be."""
    seen = Answer(document="application", blank="serial", status=Status.FILLED, source=Source.PHOTO)
    signed = replace(seen, blank="signature")
    context = replace(start(REGISTRATION), answers=(seen, signed))

    assert "serial" in names(context, "application")
    assert "signature" not in names(context, "application")


def test_questions_ask_for_an_agents_power_of_attorney(start: Start) -> None:
    context = start(REGISTRATION)
    agent = answer(context, "signer-title", "Attorney-in-fact", "application")

    assert "power_enclosed" not in names(context, "")
    assert "power_enclosed" in names(agent, "")
    assert "power_enclosed" not in names(answer(agent, "power_enclosed", "yes"), "")


def test_questions_follow_the_chain_of_owners(start: Start) -> None:
    """A dealer in between makes two bills of sale, with the dealer as buyer and as seller."""
    chain = "Tallgrass Rotorworks; Burrell Implement LLC; Sandbur Flats Aerial LLC"
    context = answer(start(REGISTRATION), "owners_chain", chain)
    expected = [
        (one.sheet, one.blank, one.expected)
        for one in compute_questions(context)
        if one.blank in {"seller-name", "buyer-name"}
    ]

    assert expected == [
        (1, "seller-name", "Tallgrass Rotorworks"),
        (1, "buyer-name", "Burrell Implement LLC"),
        (2, "seller-name", "Burrell Implement LLC"),
        (2, "buyer-name", "Sandbur Flats Aerial LLC"),
    ]


def test_questions_do_not_ask_what_the_facts_settle(
    start: Start, demo_operation: Operation, table: RulesTable, templates: dict[str, FormTemplate]
) -> None:
    """Nobody but partners is asked for partners' signatures, nobody but an entity for titles."""
    partners = replace(demo_operation, entity=EntityType.PARTNERSHIP, managed_by=None)
    alone = replace(demo_operation, entity=EntityType.INDIVIDUAL, managed_by=None)
    asked = {
        operation.entity: set(
            names(
                begin(compute_plan(operation, table, (), DAY), REGISTRATION, templates),
                "application",
            )
        )
        for operation in (partners, alone)
    }
    company = set(names(start(REGISTRATION), "application"))

    assert "co-owner-signature" not in company
    assert "signer-title" in company
    assert asked[EntityType.PARTNERSHIP] - company == {"co-owner-signature"}
    assert company - asked[EntityType.INDIVIDUAL] == {"signer-title"}


def test_questions_online_packet_has_no_envelope(start: Start) -> None:
    asked = compute_questions(start("faa.registration-small:tg18"))

    assert [one.blank for one in asked if not one.document] == ["fee_amount_usd", "fee_method"]
    assert asked[0].text == "Is it ready to send? The office asks for the original."


def test_questions_petition_filed_online(start: Start) -> None:
    context = answer(start("faa.exemption"), "address_on_envelope", "online")

    assert context.envelope.address_on_envelope == "online"
    assert "address_on_envelope" not in names(context, "")


REFUSED = (
    ("application", "model", "no", "'no' does not say enough", "type yes, or what stands there"),
    ("application", "model", "", "nothing was typed", "type yes, or what stands there instead"),
    ("application", "signature", "almost", "'almost' does not say enough", "type yes or no, or"),
    ("application", "signed-on", "12 Jan", "'12 Jan' is no date", "type a date as year-month-day"),
    (
        "application",
        "signed-on",
        "3/5/2027",
        "'3/5/2027' is no date",
        "type a date as year-month-day: 2027-03-05 if March is meant, 2027-05-03 if May is",
    ),
    ("application", "printed-name", "yes", "'yes' does not say enough", "type what stands there"),
    ("application", ENCLOSED, "almost", "'almost' is none of the replies", "type one of: original"),
    ("", "earlier_reasons_mended", "hm", "'hm' is neither yes nor no", "type yes or no"),
    ("", "owners_chain", "just me", "a chain has at least the maker and you", "semicolon"),
    ("", "address_on_envelope", "no", "'no' does not say which address", "type the address"),
)


@pytest.mark.parametrize(
    ("document", "blank", "reply", "sentence", "hint"),
    REFUSED,
    ids=[f"{blank}-{at}" for at, (_, blank, *_rest) in enumerate(REFUSED)],
)
def test_apply_reply_refuses_with_a_plain_sentence(
    start: Start, document: str, blank: str, reply: str, sentence: str, hint: str
) -> None:
    context = start(REGISTRATION)
    refused = apply_reply(context, ask(context, blank, document), reply)

    assert isinstance(refused, Problem)
    assert (refused.place, refused.code, refused.sentence) == (
        SourceRef(file=""),
        "A31",
        sentence,
    )
    assert hint in refused.hint


@pytest.mark.parametrize(
    ("blank", "kind", "reply", "sentence"),
    [
        ("notary_state", QuestionKind.TEXT, "Ruritania", "'Ruritania' is no state"),
        ("fee_amount_usd", QuestionKind.TEXT, "five", "'five' is no amount of dollars"),
        ("signature_kind", QuestionKind.CHOICE, "chalk", "'chalk' is none of the replies"),
        ("id_expires", QuestionKind.DATE, "May", "'May' is no date"),
    ],
)
def test_apply_reply_refuses_about_the_signing(
    start: Start, blank: str, kind: QuestionKind, reply: str, sentence: str
) -> None:
    refused = apply_reply(start(REGISTRATION), Question(text="", kind=kind, blank=blank), reply)

    assert isinstance(refused, Problem)
    assert refused.sentence == sentence


@pytest.mark.parametrize(
    ("blank", "reply", "expected"),
    [
        ("notary_state", "state of Iowa", EnvelopeAnswers(notary_state="IA")),
        ("fee_amount_usd", "$5", EnvelopeAnswers(fee_amount_usd="5.00")),
        ("signature_kind", "Ink", EnvelopeAnswers(signature_kind="ink")),
        ("id_expires", "2030-01-02", EnvelopeAnswers(id_expires=date(2030, 1, 2))),
        ("no_corrections", "no", EnvelopeAnswers(no_corrections=False)),
        ("power_enclosed", "yes", EnvelopeAnswers(power_enclosed=True)),
        ("notary_name", "Ida Quillfeather", EnvelopeAnswers(notary_name="Ida Quillfeather")),
        ("fee_method", "check", EnvelopeAnswers(fee_method="check")),
        ("earlier_reasons_mended", "no", EnvelopeAnswers()),
    ],
)
def test_apply_reply_about_the_signing(
    start: Start, blank: str, reply: str, expected: EnvelopeAnswers
) -> None:
    question = Question(text="", kind=QuestionKind.TEXT, blank=blank, choices=("ink", "digital"))
    after = apply_reply(start(REGISTRATION), question, reply)

    assert isinstance(after, CheckContext)
    assert after.envelope == expected


def test_apply_reply_unknown_envelope_answer_is_a_mistake_of_ours(start: Start) -> None:
    question = Question(text="", kind=QuestionKind.TEXT, blank="weather")

    with pytest.raises(ValueError, match="no envelope answer is called 'weather'"):
        apply_reply(start(REGISTRATION), question, "fine")


def test_apply_reply_takes_the_place_of_the_earlier_reply(start: Start) -> None:
    context = start(REGISTRATION)
    question = ask(context, "model")
    first = apply_reply(context, question, "TG-18")
    assert isinstance(first, CheckContext)
    second = apply_reply(first, question, "empty")
    assert isinstance(second, CheckContext)

    assert [(one.status, one.says) for one in first.answers] == [(Status.FILLED, "TG-18")]
    assert [(one.status, one.says) for one in second.answers] == [(Status.EMPTY, "")]


def test_apply_reply_keeps_other_words_as_what_stands_there(start: Start) -> None:
    """A text that is not what was expected is kept, and the check then says what is wrong."""
    context = answer(start(REGISTRATION), "model", "TG-18")

    assert [(one.status, one.says) for one in context.answers] == [(Status.FILLED, "TG-18")]
    assert [one.check for one in compute_check(context).findings if one.blank == "model"] == [
        "machine"
    ]


def test_compute_asked_names_documents_blanks_and_dates(start: Start) -> None:
    context = start(REGISTRATION)
    asked = compute_asked(context.paper, context.templates)
    affidavit = next(one for one in asked if one.name == "affidavit")

    assert [one.name for one in asked] == [
        "application",
        "affidavit",
        "bill-of-sale",
        "llc-statement",
        "fee",
    ]
    assert affidavit.dates == {"signed-on", "notary-date", "notary-expiry"}
    assert set(affidavit.blanks) > affidavit.dates
