"""The verdict before mailing as text, and the list of all cross-checks."""

from collections.abc import Iterator

from compliance.base.dates import say_date
from compliance.engine.check_model import CheckFinding, CheckResult, Place, Severity
from compliance.engine.check_sheets import Crosscheck
from compliance.outputs.words import CAUTION, wrap

NEVER_GENUINE = (
    "This check tells what is there and what agrees. Present never means genuine: whether a "
    "signature is real, whether somebody stood in front of the notary and what an examiner decides "
    "is not something a program can see."
)
_PLACES = {
    Place.HOME: "AT HOME",
    Place.NOTARY: "AT THE NOTARY",
    Place.SELLER: "WITH THE SELLER",
    Place.MAKER: "WITH THE MAKER",
    Place.INSURER: "WITH THE INSURER",
    Place.OFFICE: "WITH AN OFFICE",
    Place.BANK: "AT THE BANK",
}
_MARKS = {Severity.STOP: "!", Severity.OPEN: "?", Severity.NOTE: "-"}


def render_check_text(result: CheckResult) -> str:
    """Render the verdict of a check.

    Shape: the verdict first; then what stands in the way, one heading for each place where it is
    mended, the place and the finding of the likeliest return first; then what is worth a look.
    """
    lines = [wrap(f"{result.packet}: {result.title}, {result.holder}", hang=2)]
    lines.append(f"checked on {say_date(result.as_of)} for mailing on {say_date(result.mail_on)}")
    lines.extend(["", wrap(_say_verdict(result))])
    blocking = [one for one in result.findings if one.severity is not Severity.NOTE]
    for place in dict.fromkeys(one.where for one in blocking):
        lines.extend(["", _PLACES[place]])
        for finding in blocking:
            if finding.where is place:
                lines.extend(_say(finding))
    notes = [one for one in result.findings if one.severity is Severity.NOTE]
    if notes:
        lines.extend(["", "WORTH A LOOK"])
        for finding in notes:
            lines.extend(_say(finding))
    if blocking:
        lines.extend(["", wrap(_say_again(result.packet))])
    lines.extend(["", wrap(NEVER_GENUINE), "", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def _say_again(packet: str) -> str:
    return (
        f"When something is mended: mailby check {packet} asks again about what you said or a"
        " picture showed; what a PDF shows is mended in the PDF, which is given anew with"
        " --file, and a new picture with --scan."
    )


def _say_verdict(result: CheckResult) -> str:
    if not result.ready:
        stops, unknown = result.count(Severity.STOP), result.count(Severity.OPEN)
        parts = []
        if stops:
            thing = "thing" if stops == 1 else "things"
            parts.append(f"{stops} {thing} that would bring it back (marked !)")
        if unknown:
            parts.append(f"{unknown} not known yet (marked ?)")
        return f"NOT READY: {' and '.join(parts)}. The likeliest reason of a return comes first."
    if not result.encloses:
        return "NOTHING TO MAIL: no document of this packet goes to an office."
    return "READY TO MAIL: nothing was found that would bring it back."


def _say(finding: CheckFinding) -> Iterator[str]:
    yield wrap(f"{_MARKS[finding.severity]} {finding.sentence}", indent=2, hang=4)
    if finding.todo:
        yield wrap(f"do: {finding.todo}", indent=4, hang=8)
    if finding.citation != "none" and finding.severity is not Severity.OPEN:
        yield wrap(f"[{finding.check}: {finding.citation}]", indent=4, hang=5)


def render_crosschecks(checks: tuple[Crosscheck, ...]) -> str:
    """Render the list of cross-checks: what each compares, an example, its source."""
    lines = ["What is compared before mailing, the likeliest reason of a return first."]
    for check in checks:
        lines.extend(["", wrap(f"{check.rank}. {check.title} ({check.id})", hang=4)])
        lines.append(wrap(f"Example: {check.example}", indent=4, hang=4))
        source = "" if check.citation == "none" else f"{check.citation}; "
        lines.append(wrap(f"[{source}{check.words}]", indent=4, hang=5))
    lines.extend(["", wrap(NEVER_GENUINE), "", wrap(CAUTION)])
    return "\n".join(lines) + "\n"
