"""What is known state by state, as JSON: a public interface, kept stable."""

import json
from collections.abc import Sequence
from datetime import date
from typing import Any

from compliance.engine.coverage import FEDERAL, Coverage
from compliance.facts.states import STATES
from compliance.outputs.coverage_text import NO_RULE
from compliance.outputs.words import CAUTION
from compliance.rules.model import Row


def render_coverage_json(coverage: tuple[Coverage, ...], as_of: date) -> str:
    """Render what is known as JSON with ISO dates and a closing line feed.

    Shape: ``state`` is ``US`` for what holds everywhere; ``sure`` counts rows by confidence.
    """
    document = {
        "as_of": as_of.isoformat(),
        "states": [_state(one) for one in coverage],
        "cautions": [CAUTION],
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def _state(one: Coverage) -> dict[str, Any]:
    return {
        "state": one.state or "US",
        "name": STATES[one.state] if one.state != FEDERAL else "every state",
        "has_rules": one.has_rules,
        "says": "" if one.has_rules else NO_RULE,
        "papers": _rows(one.papers),
        "records": _rows(one.records),
        "duties": _rows(one.duties),
        "insurance": _rows(one.insurance),
        "gaps": [{**_row(gap), "about": str(gap.about), "ask": gap.what} for gap in one.gaps],
        "sure": {str(name): number for name, number in one.sure},
        "reviewed_first": one.reviewed[0].isoformat() if one.reviewed else None,
        "reviewed_last": one.reviewed[1].isoformat() if one.reviewed else None,
    }


def _rows(rows: Sequence[Row]) -> list[dict[str, Any]]:
    return [_row(row) for row in rows]


def _row(row: Row) -> dict[str, Any]:
    return {
        "id": row.id,
        "title": row.title,
        "citation": row.basis.citation,
        "edition": row.basis.edition,
        "confidence": str(row.basis.confidence),
        "reviewed": row.basis.reviewed_on.isoformat(),
    }
