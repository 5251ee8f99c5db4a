"""The check before mailing: run every cross-check and give the verdict."""

from compliance.engine.check_model import (
    BlankState,
    CheckContext,
    CheckFinding,
    CheckResult,
    Severity,
)
from compliance.engine.check_sheets import Case, open_case
from compliance.engine.crosschecks import CROSSCHECKS

_ORDER = {Severity.STOP: 1, Severity.OPEN: 2, Severity.NOTE: 3}


def compute_check(context: CheckContext) -> CheckResult:
    """Compute whether a packet may be mailed, and everything that stands in the way.

    It tells what is there, never that a signature or a stamp is genuine.
    """
    case = open_case(context)
    found = [finding for check in CROSSCHECKS for finding in check.find(case)]
    packet = context.paper.packet
    places = {
        enclosure.row.id.rpartition(".")[2]: at for at, enclosure in enumerate(case.enclosures)
    }

    def order(finding: CheckFinding) -> tuple[int, int, int, int]:
        # What came back once is asked before anything else, even before what is known to be wrong.
        urgency = 0 if finding.rank == 1 else _ORDER[finding.severity]
        return urgency, finding.rank, places.get(finding.document, len(places)), finding.sheet

    return CheckResult(
        packet=packet.id,
        title=packet.paper.title,
        holder=context.operation.say_holder(packet.holder),
        as_of=context.as_of,
        mail_on=context.mail_on,
        ready=not any(finding.severity is not Severity.NOTE for finding in found),
        encloses=any(not enclosure.is_kept for enclosure in case.enclosures),
        findings=tuple(sorted(found, key=order)),
        blanks=list_blanks(case),
    )


def list_blanks(case: Case) -> tuple[BlankState, ...]:
    """Give every blank of every sheet with how it stands."""
    return tuple(
        BlankState(
            document=sheet.document,
            sheet=sheet.number,
            blank=blank,
            status=sheet.status(blank.id),
            says=sheet.says(blank.id),
            on=sheet.on(blank.id),
            source=sheet.answers[blank.id].source if blank.id in sheet.answers else None,
        )
        for enclosure in case.enclosures
        for sheet in enclosure.sheets
        for blank in sheet.template.blanks
    )
