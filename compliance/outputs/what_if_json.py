"""A plan as it is beside the plan with a change, as JSON: a public interface, kept stable."""

import json
from typing import Any

from compliance.engine.plan_model import Plan
from compliance.outputs.plan_json import compute_plan_document
from compliance.outputs.what_if_text import compute_known_fees
from compliance.outputs.words import list_cautions


def render_what_if_json(
    before: Plan,
    after: Plan,
    words: tuple[str, ...],
    *,
    kept: bool,
    remarks: tuple[str, ...] = (),
) -> str:
    """Render what was tried and both plans, with ISO dates and a closing line feed.

    Shape: see ``tests/data/what_if.schema.json``. ``as_it_is`` and ``what_if`` have the shape of
    the plan's own JSON; fees are US dollars as text, those that are known, postage left out.
    """
    document: dict[str, Any] = {
        "changes": list(words),
        "kept": kept,
        "known_filing_fees_usd": {
            "as_it_is": f"{compute_known_fees(before):.2f}",
            "what_if": f"{compute_known_fees(after):.2f}",
        },
        "as_it_is": compute_plan_document(before),
        "what_if": compute_plan_document(after),
        "remarks": list(remarks),
        "cautions": list(list_cautions(after)),
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"
