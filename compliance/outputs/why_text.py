"""An explanation as text."""

from collections.abc import Sequence

from compliance.engine.explain_words import Explanation
from compliance.outputs.words import CAUTION, wrap, wrap_reviews


def render_why_text(explanation: Explanation, reviews: Sequence[str] = ()) -> str:
    """Render an explanation: the answer, then each heading with its numbered reasons.

    *reviews* name rules past their review day; they stand before the caution.
    """
    lines = [wrap(explanation.answer)]
    for heading, reasons in explanation.sections:
        lines.extend(["", wrap(f"{heading}:")])
        for number, reason in enumerate(reasons, 1):
            mark = f"{number}." if len(reasons) > 1 else "-"
            lines.append(wrap(f"{mark} {reason.text}", indent=2, hang=5))
            if reason.source:
                lines.append(wrap(f"[{reason.source}]", indent=5, hang=6))
    if reviews:
        lines.extend(["", *wrap_reviews(reviews)])
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"
