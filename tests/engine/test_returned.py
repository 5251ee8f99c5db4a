"""A packet that came back: the blanks at fault, what stays good, what else came back from there.

The packet is the demo's registration: an application to sign, an affidavit to notarize. What a
fault asks for again follows from the rows and forms; that a changed page wants a new signature and
a changed sworn page a new act is common practice, no source.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from compliance.base.problems import Problem, SourceRef
from compliance.engine.check import compute_check
from compliance.engine.check_model import CheckContext
from compliance.engine.logbook import check_log_entry, find_keepable
from compliance.engine.packets import Packet
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.engine.questions import compute_questions
from compliance.engine.replies import apply_reply
from compliance.engine.returned import (
    compute_still_good,
    find_doubts,
    find_office_returns,
    find_twins,
    list_blanks,
    resolve_blanks,
    resolve_steps,
)
from compliance.facts.answers import EnvelopeAnswers
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind, Operation
from compliance.forms.model import FormTemplate
from compliance.rules.model import RulesTable

HERE = SourceRef(file="")
DAY = date(2027, 1, 11)
NAME = "faa.registration-n:tg46"
Templates = dict[str, FormTemplate]
Come = Callable[..., Plan]


@pytest.fixture(name="paper")
def find_registration(demo_plan: Plan) -> PaperPlan:
    paper = demo_plan.find_paper(NAME)
    assert paper is not None
    return paper


@pytest.fixture(name="packet")
def find_packet(paper: PaperPlan) -> Packet:
    return paper.packet


@pytest.fixture(name="come_back")
def make_return(
    demo_operation: Operation, demo_log: tuple[LogEntry, ...], table: RulesTable
) -> Come:
    """The demo's plan with other blanks at fault and other steps still good at its return."""

    def make(blanks: tuple[str, ...], still_good: tuple[str, ...] = ()) -> Plan:
        log = (*demo_log[:-1], replace(demo_log[-1], blanks=blanks, still_good=still_good))
        return compute_plan(demo_operation, table, log, DAY)

    return make


def say(problems: tuple[Problem, ...]) -> list[str]:
    return [str(problem) for problem in problems]


def test_blank_is_found_by_itself_or_with_its_document(
    packet: Packet, templates: Templates
) -> None:
    """Each is kept once, as document/blank; a document that was missing is one too."""
    words = ("notary-expiry", "application/serial", "affidavit/notary-expiry", "fee/enclosed")

    assert resolve_blanks(packet, templates, words, HERE) == (
        ("affidavit/notary-expiry", "application/serial", "fee/enclosed"),
        (),
    )


def test_blank_of_several_documents_needs_its_document(
    packet: Packet, templates: Templates
) -> None:
    """Every one of them is named."""
    found, problems = resolve_blanks(packet, templates, ("serial",), HERE)

    assert found == ()
    assert say(problems) == [
        (
            "L39 several documents of faa.registration-n:tg46 have a blank `serial`\n"
            "  hint: name one "
            "of: application/serial, affidavit/serial, bill-of-sale/serial"
        )
    ]


@pytest.mark.parametrize(
    ("word", "hint"),
    [
        ("application/seral", "did you mean `application/serial`?"),
        ("notary-expires", "did you mean `notary-expiry`?"),
    ],
)
def test_unknown_blank_suggests_a_near_one(
    packet: Packet, templates: Templates, word: str, hint: str
) -> None:
    """A slip of the finger is put right by the user, not guessed."""
    assert say(resolve_blanks(packet, templates, (word,), HERE)[1]) == [
        f"L39 no document of faa.registration-n:tg46 has a blank `{word}`\n  hint: {hint}"
    ]


def test_unknown_blank_that_is_near_nothing_names_the_documents(
    packet: Packet, templates: Templates
) -> None:
    """With their forms, so that `mailby forms show` can list the blanks."""
    (problem,) = resolve_blanks(packet, templates, ("zzzz",), HERE)[1]

    assert problem.hint.startswith(
        "mailby forms show FORM lists the blanks; its documents: application (faa-8050-1), "
    )


def test_every_blank_can_be_named_by_what_is_listed(packet: Packet, templates: Templates) -> None:
    """What is listed resolves to itself."""
    known = list_blanks(packet, templates)

    assert resolve_blanks(packet, templates, known, HERE) == (known, ())
    assert len(known) > 40


def test_steps_that_may_be_left_are_signing_and_the_notary(packet: Packet) -> None:
    """By name or by the word of the log; mending, checking and mailing are always done."""
    assert [row.name for row in find_keepable(packet)] == ["sign", "notarize"]
    assert resolve_steps(packet, ("notarized", "sign", "signed"), HERE) == (
        ("notarize", "sign"),
        (),
    )
    assert say(resolve_steps(packet, ("mail", "notarised"), HERE)[1]) == [
        (
            "L40 faa.registration-n:tg46 has no step `mail` that can be left as it is after a "
            "return\n"
            "  hint: it knows: sign, notarize, signed, notarized"
        ),
        (
            "L40 faa.registration-n:tg46 has no step `notarised` that can be left as it is after a "
            "return\n  hint: did you mean `notarized`?"
        ),
    ]


@pytest.mark.parametrize(
    ("blanks", "still_good"),
    [
        ((), ()),  # nobody knows where the fault is
        (("affidavit/notary-expiry",), ("sign",)),
        (("affidavit/serial",), ("sign",)),  # what was sworn to must not be changed afterwards
        (("application/serial",), ("notarize",)),
        (("application/enclosed",), ("notarize",)),
        (("application/serial", "affidavit/notary-stamp"), ()),
        (("fee/amount",), ("sign", "notarize")),
    ],
)
def test_what_need_not_be_done_again(
    packet: Packet, templates: Templates, blanks: tuple[str, ...], still_good: tuple[str, ...]
) -> None:
    """A page that came back whole keeps its signature and its act."""
    names = {name.partition("/")[0] for name in list_blanks(packet, templates)}
    assert {name.partition("/")[0] for name in blanks} <= names

    assert compute_still_good(packet, templates, blanks) == still_good


def test_step_left_against_the_fault_is_doubted(packet: Packet, templates: Templates) -> None:
    """The person decides; the doubt is said."""
    title = next(row.title for row in packet.steps if row.name == "notarize")
    why = "is left as it is because you say so;"

    assert find_doubts(packet, templates, ("affidavit/serial",), ("notarize",)) == (
        f"`{title}` {why} a page that was at fault there may need it again",
    )
    assert find_doubts(packet, templates, (), ("notarize",)) == (
        f"`{title}` {why} no blank is named, so any page there may need it again",
    )
    assert find_doubts(packet, templates, ("application/serial",), ("notarize",)) == ()


def test_page_left_as_it_is_may_say_the_same_wrong_thing(
    packet: Packet, templates: Templates
) -> None:
    """The serial number stands on the affidavit too; the stamp's day stands nowhere else."""
    said = find_twins(packet, templates, ("application/serial",), ("notarize",))

    assert said == (
        (
            "Affidavit of ownership for an unmanned aircraft says the same under `Serial number`; "
            "look whether it is right there. If not, it has to be made and notarized anew."
        ),
    )
    assert find_twins(packet, templates, ("application/serial",), ()) == ()
    assert find_twins(packet, templates, ("affidavit/notary-expiry",), ("sign",)) == ()


def test_step_still_good_is_not_planned_again(come_back: Come) -> None:
    """And the paper is ready sooner or as soon."""
    whole = come_back(())
    kept = come_back(("application/serial",), ("notarize",))
    all_steps, fewer = whole.find_paper(NAME), kept.find_paper(NAME)
    assert all_steps is not None
    assert fewer is not None

    second = [step.row.name for step in fewer.steps if step.turn == 2]
    assert "notarize" in [step.row.name for step in all_steps.steps if step.turn == 2]
    assert "notarize" not in second
    assert {"mend", "sign", "check", "mail"} <= set(second)
    assert fewer.earliest_ready <= all_steps.earliest_ready
    assert fewer.mail_last == all_steps.mail_last


def test_mailing_again_needs_no_notary_when_the_act_is_still_good(come_back: Come) -> None:
    """Else it does (L33)."""
    entry = LogEntry(
        number=9,
        kind=EventKind.MAILED,
        paper="faa.registration-n",
        holder=Holder(kind=HolderKind.AIRCRAFT, ref="tg46"),
        happened_on=DAY,
    )
    kept = come_back(("application/serial",), ("notarize",)).find_paper(NAME)
    whole = come_back(()).find_paper(NAME)
    assert kept is not None
    assert whole is not None

    assert check_log_entry(kept.packet, (), entry, DAY, HERE) == ()
    assert [one.code for one in check_log_entry(whole.packet, (), entry, DAY, HERE)] == ["L33"]


def test_log_entry_that_keeps_what_cannot_be_kept(packet: Packet) -> None:
    """A log file is held to the same rule as the command."""
    entry = LogEntry(
        number=9,
        kind=EventKind.RETURNED,
        paper="faa.registration-n",
        holder=Holder(kind=HolderKind.AIRCRAFT, ref="tg46"),
        happened_on=DAY,
        reason="no stamp",
        still_good=("mail",),
    )

    assert "L40 faa.registration-n:tg46 has no step `mail` that can be left as it is" in " ".join(
        say(check_log_entry(packet, (), entry, DAY, HERE))
    )


def test_other_returns_of_the_office_are_found(
    table: RulesTable, demo_log: tuple[LogEntry, ...], demo_plan: Plan, paper: PaperPlan
) -> None:
    """Those of other packets and of years before; not what this packet is being mended for."""
    other = replace(
        demo_log[-1], number=7, holder=Holder(kind=HolderKind.AIRCRAFT, ref="tg18"), reason="late"
    )
    elsewhere = next(one for one in demo_plan.papers if one.packet.paper.office != "faa.registry")

    assert find_office_returns(table, (*demo_log, other), paper) == (other,)
    assert find_office_returns(table, (*demo_log, other), elsewhere) == ()


def begin(plan: Plan, templates: Templates, returns: tuple[LogEntry, ...] = ()) -> CheckContext:
    paper = plan.find_paper(NAME)
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
        office_returns=returns,
    )


def test_reason_and_blanks_at_fault_are_asked_first(come_back: Come, templates: Templates) -> None:
    """Also a blank that need not be filled in, and a part of the certificate by itself."""
    plan = come_back(("affidavit/notary-stamp", "application/co-owner-signature"))

    asked = compute_questions(begin(plan, templates))

    assert asked[0].text == (
        "It came back on Wed 6 Jan 2027: notary block: commission expiry left empty. Is that "
        "mended?"
    )
    assert asked[0].help == (
        "At fault: `Notary's stamp, readable and not over print` on Affidavit of ownership for an "
        "unmanned aircraft; `Signatures of all co-owners or general partners, with printed names "
        "and titles` on AC Form 8050-1, Aircraft Registration Application."
    )
    assert [(one.document, one.blank) for one in asked[1:3]] == [
        ("application", "co-owner-signature"),
        ("affidavit", "notary-stamp"),
    ]
    plain = compute_questions(begin(come_back(()), templates))
    assert ("application", "co-owner-signature") not in {(one.document, one.blank) for one in plain}


def test_reason_of_another_packet_of_the_office_is_asked_too(
    demo_plan: Plan, demo_log: tuple[LogEntry, ...], templates: Templates
) -> None:
    """It is open until somebody has looked; the same reason is asked once."""
    other = replace(demo_log[-1], number=7, paper="faa.other", reason="fee too low")
    same = replace(demo_log[-1], number=8, paper="faa.other")
    context = begin(demo_plan, templates, (other, same))

    asked = [one for one in compute_questions(context) if one.blank == "earlier_reasons_mended"]

    assert [one.text for one in asked] == [
        (
            "It came back on Wed 6 Jan 2027: notary block: commission expiry left empty. Is that "
            "mended?"
        ),
        (
            "faa.other, at the same office, came back on Wed 6 Jan 2027: fee too low. Is that in "
            "order here?"
        ),
    ]
    after = apply_reply(context, asked[1], "yes")
    assert isinstance(after, CheckContext)
    sentences = [one.sentence for one in compute_check(after).findings]
    assert not any("fee too low" in sentence for sentence in sentences)
    before = [one.sentence for one in compute_check(context).findings]
    assert "faa.other, at the same office, came back on Wed 6 Jan 2027: fee too low." in before
