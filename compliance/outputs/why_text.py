"""An explanation as text."""

from compliance.engine.explain import Explanation
from compliance.outputs.words import CAUTION, wrap


def render_why_text(explanation: Explanation) -> str:
    """Render an explanation: the answer, then each heading with its numbered reasons."""
    lines = [wrap(explanation.answer)]
    for heading, reasons in explanation.sections:
        lines.extend(["", wrap(f"{heading}:")])
        for number, reason in enumerate(reasons, 1):
            mark = f"{number}." if len(reasons) > 1 else "-"
            lines.append(wrap(f"{mark} {reason.text}", indent=2, hang=5))
            if reason.source:
                lines.append(wrap(f"[{reason.source}]", indent=5, hang=6))
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"
