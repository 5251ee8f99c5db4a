"""A check of one packet of the demo about which nothing was said."""

from collections.abc import Mapping
from datetime import date

from compliance.app.checking import Checking
from compliance.engine.check_model import CheckContext
from compliance.engine.plan_model import Plan
from compliance.facts.answers import EnvelopeAnswers
from compliance.forms.model import FormTemplate


def make_checking(
    plan: Plan, templates: Mapping[str, FormTemplate], packet: str, day: date
) -> Checking:
    """Begin the check of a packet on *day*, the day it is to be mailed too."""
    paper = plan.find_paper(packet)
    assert paper is not None
    context = CheckContext(
        operation=plan.operation,
        paper=paper,
        templates=templates,
        answers=(),
        envelope=EnvelopeAnswers(),
        as_of=day,
        mail_on=day,
        others=plan.papers,
    )
    return Checking(operation_id=plan.operation.id, turn=1, context=context, files=())
