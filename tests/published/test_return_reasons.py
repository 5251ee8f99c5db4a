"""Why offices send packets back, as published, and the cross-check that catches each reason.

Each row names where the reason is published and how sure that is: ``read`` means that the text of
the rule was read, ``second-hand`` that a summary or reproduction was. One reason of the recorders'
list is not caught, and cannot be: outdated wording. The forms are the agencies', and whether an
edition is still taken stands on their pages only.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

import pytest

from compliance.engine.check import compute_check
from compliance.engine.check_model import CheckContext
from compliance.engine.crosschecks import find_crosscheck
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.engine.question_model import Question, QuestionKind
from compliance.engine.questions import compute_questions
from compliance.engine.replies import apply_reply
from compliance.facts.answers import ENCLOSED, Answer, EnvelopeAnswers, Status
from compliance.facts.model import Acquired, EntityType, HeldPaper, Holder, HolderKind
from compliance.forms.model import FormTemplate
from compliance.rules.model import RulesTable

DAY = date(2027, 1, 11)
RULE = "14 CFR 47.31(b), CFR of 2024-01-01, read"
PAGE = "FAA page on registering unmanned aircraft, in reproductions, second-hand"
NOTES = "practitioner notes of 2014 to 2022, second-hand"
RECORDERS = "list of defects of a county recorders' association, 2012, second-hand"
GUIDANCE = "guidance page for notaries, second-hand"
EMPTY, FILLED = Status.EMPTY, Status.FILLED

Change = tuple[str, str, Status, str]


@dataclass(frozen=True)
class Reason:
    """A published reason, what is wrong on the papers, and the cross-check that must say so.

    ``wrong`` are answers (document, blank, status, what it says) put over right ones; ``told`` is
    what is said of the signing and the envelope instead.
    """

    reason: str
    source: str
    check: str
    wrong: tuple[Change, ...] = ()
    told: Mapping[str, Any] = field(default_factory=dict)
    entity: EntityType = EntityType.LLC
    acquired: Acquired = Acquired.NEW


DEALER = ("Burrell Implement LLC", "Sandbur Flats Aerial LLC")
NO_NOTARY = tuple(
    ("affidavit", f"notary-{part}", EMPTY, "")
    for part in (
        "state",
        "county",
        "act",
        "signer",
        "date",
        "signature",
        "title",
        "stamp",
        "expiry",
    )
)
TITLE = ("application", "signer-title")

REASONS = (
    # The three grounds of the rule itself.
    Reason(
        "a form is not completed",
        RULE,
        "blanks",
        (("application", "registration-type", EMPTY, ""),),
    ),
    Reason(
        "name and signature are not the same throughout",
        RULE,
        "names",
        (("application", "owner-name", FILLED, "Sandbur Flats Aerial L.L.C."),),
    ),
    Reason(
        "no legible printed name with the signature",
        RULE,
        "printed-name",
        (("application", "printed-name", EMPTY, ""),),
    ),
    # What else sends a registration packet back.
    Reason(
        "the name differs on the affidavit",
        "14 CFR 47.31(b)(2), read",
        "names",
        (("affidavit", "owner-name", FILLED, "Sandbur Flats Aerial"),),
    ),
    Reason(
        "the name differs on the LLC statement",
        NOTES,
        "names",
        (("llc-statement", "owner-name", FILLED, "Sandbur Flats LLC"),),
    ),
    Reason(
        "the name differs on the bill of sale",
        NOTES,
        "bills-of-sale",
        (("bill-of-sale", "buyer-name", FILLED, "Odile Ferrant"),),
    ),
    Reason(
        "the bill of sale's printed name is missing",
        "14 CFR 47.31(b)(3), read",
        "printed-name",
        (("bill-of-sale", "printed-name", EMPTY, ""),),
    ),
    Reason(
        "a corporation's title is missing",
        "14 CFR 47.13(d), eCFR copy of 2026-06-20, read",
        "capacity",
        ((*TITLE, EMPTY, ""),),
        entity=EntityType.CORPORATION,
    ),
    Reason(
        "an LLC's title does not fit how it is managed",
        NOTES,
        "capacity",
        ((*TITLE, FILLED, "President"),),
    ),
    Reason(
        "a corporation's signer shows no authority",
        "14 CFR 47.13(d), eCFR copy of 2026-06-20, read",
        "authority",
        ((*TITLE, FILLED, "Bookkeeper"), ("signer-authority", ENCLOSED, Status.STRUCK, "")),
        entity=EntityType.CORPORATION,
    ),
    Reason(
        "a co-owner or partner did not sign",
        "14 CFR 47.13(b), eCFR copy of 2026-06-20, read",
        "co-owners",
        (("application", "co-owner-signature", EMPTY, ""),),
        entity=EntityType.PARTNERSHIP,
    ),
    Reason(
        "an agent signed without showing authority",
        "14 CFR 47.13(c), partly read",
        "agent",
        ((*TITLE, FILLED, "Attorney-in-fact"),),
        {"power_enclosed": False},
    ),
    Reason(
        "the LLC statement is missing",
        PAGE,
        "enclosed",
        (("llc-statement", ENCLOSED, EMPTY, ""),),
    ),
    Reason(
        "the LLC statement is undated",
        NOTES,
        "blanks",
        (("llc-statement", "signed-on", EMPTY, ""),),
    ),
    Reason(
        "the LLC statement does not fit who signed",
        NOTES,
        "company",
        (("llc-statement", "members", FILLED, "Wren Castellow, individual, US citizen"),),
    ),
    Reason("the affidavit is not notarized", PAGE, "certificate", NO_NOTARY),
    Reason(
        "the serial number is not the Remote ID one",
        PAGE,
        "machine",
        (("application", "serial", FILLED, "46-00017"),),
    ),
    Reason(
        "the chain of owners has a gap at its start",
        f"{PAGE}; 14 CFR 47.35(a)(2)",
        "owners",
        told={"owners_chain": DEALER},
    ),
    Reason(
        "a bill of sale of the chain is missing",
        f"{PAGE}; 14 CFR 47.35(a)(2)",
        "enclosed",
        (("bill-of-sale", ENCLOSED, EMPTY, ""),),
        {"owners_chain": ("Tallgrass Rotorworks", *DEALER)},
    ),
    Reason(
        "an import without proof on the foreign register",
        "14 CFR 47.37(a)(3), (b), CFR of 2024-01-01, read",
        "enclosed",
        (("foreign-proof", ENCLOSED, EMPTY, ""),),
        acquired=Acquired.IMPORTED,
    ),
    Reason(
        "a foreign registry's statement without its official",
        "14 CFR 47.37(a)(3), (b), CFR of 2024-01-01, read",
        "foreign-register",
        (("foreign-proof", "owner-statement", EMPTY, ""),),
        acquired=Acquired.IMPORTED,
    ),
    Reason(
        "no fee",
        "14 CFR 47.17(b), 47.31(a)(3), read",
        "enclosed",
        (("fee", ENCLOSED, EMPTY, ""),),
    ),
    Reason(
        "the wrong fee",
        "14 CFR 47.17(b), 47.31(a)(3), read",
        "fee",
        (("fee", "amount", FILLED, "$10.00"),),
    ),
    Reason(
        "a P.O. box without a place",
        "14 CFR 47.45, copy of 2025-05-01, read",
        "street-address",
        (("application", "physical-address", EMPTY, ""),),
    ),
    Reason(
        "a signature that cannot be verified",
        "81 FR 23348, summaries, second-hand",
        "signature-kind",
        told={"signature_kind": "picture"},
    ),
    Reason(
        "alterations or white-out",
        "index of an FAA manual, read; effect from memory",
        "corrections",
        told={"no_corrections": False},
    ),
    # What recorders and notaries name for notarized papers.
    Reason(
        "the stamp is missing",
        RECORDERS,
        "certificate",
        (("affidavit", "notary-stamp", EMPTY, ""),),
    ),
    Reason(
        "the stamp cannot be read",
        RECORDERS,
        "certificate",
        (("affidavit", "notary-stamp", Status.UNCLEAR, ""),),
    ),
    Reason(
        "stamped again over a bad impression",
        GUIDANCE,
        "certificate",
        (("affidavit", "notary-stamp", Status.UNCLEAR, ""),),
    ),
    Reason(
        "the notary's title is missing",
        RECORDERS,
        "certificate",
        (("affidavit", "notary-title", EMPTY, ""),),
    ),
    Reason(
        "the venue is blank", RECORDERS, "certificate", (("affidavit", "notary-county", EMPTY, ""),)
    ),
    Reason(
        "the venue is wrong, or left as preprinted",
        f"{RECORDERS}; {GUIDANCE}",
        "venue",
        (("affidavit", "notary-state", FILLED, "Iowa"),),
        {"notary_state": "NE"},
    ),
    Reason(
        "blanks are left in the certificate",
        GUIDANCE,
        "certificate",
        (("affidavit", "notary-county", FILLED, "__________"),),
    ),
    Reason(
        "the certificate names somebody else",
        RECORDERS,
        "named-signer",
        (("affidavit", "notary-signer", FILLED, "Odile M. Ferrant"),),
    ),
    Reason(
        "the commission expiry is missing",
        f"{RECORDERS}; the demo's own return",
        "certificate",
        (("affidavit", "notary-expiry", EMPTY, ""),),
    ),
    Reason(
        "the wrong kind of certificate is attached",
        RECORDERS,
        "act",
        (("affidavit", "notary-act", FILLED, "acknowledged before me"),),
    ),
    Reason(
        "names stand on the wrong lines",
        RECORDERS,
        "notary-party",
        (("affidavit", "printed-name", FILLED, "Ida Quillfeather"),),
    ),
    Reason("correction fluid", RECORDERS, "corrections", told={"no_corrections": False}),
    Reason(
        "a copy in place of the original",
        RECORDERS,
        "original",
        (("affidavit", ENCLOSED, FILLED, "copy"),),
    ),
    # The demo's own history, as logged.
    Reason(
        "what it came back for is not mended",
        "the demo's log",
        "earlier-return",
        told={"earlier_reasons_mended": ()},
    ),
)


def reply_to(question: Question) -> str:
    """Reply as somebody whose papers are right."""
    if question.blank.startswith("official-") or question.blank == "ended-on":
        return "struck"
    if question.kind is QuestionKind.YES_NO:
        return "yes"
    if question.kind is QuestionKind.DATE:
        return "2029-01-31" if question.blank == "notary-expiry" else DAY.isoformat()
    own = {"notary-state": "Nebraska", "notary_name": "Ida Quillfeather"}
    if (question.document, question.blank) == ("bill-of-sale", "printed-name"):
        return "Corin Vale"  # the seller's person, not the buyer's
    return own.get(question.blank) or question.default or "Odile Ferrant"


@pytest.fixture(scope="module")
def right_papers(
    demo_plan: Plan, table: RulesTable, templates: dict[str, FormTemplate]
) -> Callable[[Reason], CheckContext]:
    """The registration packet of a kind of owner, with everything as it must be."""
    made: dict[tuple[EntityType, Acquired], CheckContext] = {}

    def make(reason: Reason) -> CheckContext:
        key = reason.entity, reason.acquired
        if key not in made:
            made[key] = build(demo_plan, table, templates, reason)
        return made[key]

    return make


def build(
    demo_plan: Plan, table: RulesTable, templates: dict[str, FormTemplate], reason: Reason
) -> CheckContext:
    demo = demo_plan.operation
    is_llc = reason.entity is EntityType.LLC
    operation = replace(
        demo,
        entity=reason.entity,
        managed_by=demo.managed_by if is_llc else None,
        aircraft=tuple(replace(one, acquired=reason.acquired) for one in demo.aircraft),
    )
    same = operation == demo
    plan = demo_plan if same else compute_plan(operation, table, (), DAY)
    paper = plan.find_paper("faa.registration-n:tg46")
    assert paper is not None
    context = CheckContext(
        operation=operation,
        paper=paper,
        templates=templates,
        answers=(),
        envelope=EnvelopeAnswers(),
        as_of=DAY,
        mail_on=DAY,
    )
    titles = {EntityType.CORPORATION: "President", EntityType.PARTNERSHIP: "General Partner"}
    while questions := compute_questions(context):
        reply = reply_to(questions[0])
        if questions[0].blank == "signer-title":
            reply = titles.get(reason.entity, "Member")
        after = apply_reply(context, questions[0], reply)
        assert isinstance(after, CheckContext)
        context = after
    return context


@pytest.mark.parametrize("reason", REASONS, ids=lambda reason: reason.reason.replace(" ", "-"))
def test_return_reason_is_caught(
    reason: Reason, right_papers: Callable[[Reason], CheckContext]
) -> None:
    right = right_papers(reason)
    wrong = tuple(
        Answer(document=document, blank=blank, status=status, says=says)
        for document, blank, status, says in reason.wrong
    )
    changed = replace(
        right,
        answers=(*right.answers, *wrong),
        envelope=replace(right.envelope, **reason.told),
    )
    result = compute_check(changed)

    assert compute_check(right).ready
    assert not result.ready
    assert reason.check in {one.check for one in result.findings if str(one.severity) != "note"}


def test_return_reason_names_crosschecks_that_exist_and_sources() -> None:
    assert [one.reason for one in REASONS if find_crosscheck(one.check) is None] == []
    assert [one.reason for one in REASONS if not one.source] == []


@pytest.mark.parametrize(
    ("mail_on", "caught"), [(date(2027, 1, 11), True), (date(2027, 8, 2), False)]
)
def test_return_reason_renewal_outside_its_six_months(
    demo_plan: Plan,
    table: RulesTable,
    templates: dict[str, FormTemplate],
    mail_on: date,
    *,
    caught: bool,
) -> None:
    """14 CFR 47.40(b), as amended 2023-01-23, read; that early ones came back: FAA FAQ of 2012."""
    held = HeldPaper(
        paper="faa.registration-n",
        holder=Holder(kind=HolderKind.AIRCRAFT, ref="tg46"),
        valid_through=date(2027, 8, 31),
    )
    demo = demo_plan.operation
    operation = replace(demo, papers=(*demo.papers, held))
    paper = compute_plan(operation, table, (), DAY).find_paper("faa.registration-n:tg46")
    assert paper is not None
    context = CheckContext(
        operation=operation,
        paper=paper,
        templates=templates,
        answers=(),
        envelope=EnvelopeAnswers(),
        as_of=DAY,
        mail_on=mail_on,
    )
    found = {one.check for one in compute_check(context).findings if str(one.severity) == "stop"}

    assert found == ({"renewal-window"} if caught else set())
