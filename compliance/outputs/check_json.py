"""The verdict before mailing as JSON: a public interface, kept stable."""

import json
from datetime import date
from typing import Any

from compliance.engine.check_model import BlankState, CheckFinding, CheckResult
from compliance.outputs.check_text import NEVER_GENUINE
from compliance.outputs.words import CAUTION


def render_check_json(result: CheckResult) -> str:
    """Render the verdict as JSON with ISO dates and a closing line feed."""
    return json.dumps(compute_check_document(result), indent=2, ensure_ascii=False) + "\n"


def compute_check_document(result: CheckResult) -> dict[str, Any]:
    """Give the verdict as plain lists and dictionaries.

    Shape: see ``tests/data/check.schema.json``. Findings are the likeliest reason of a return
    first; dates are ISO texts or null.
    """
    return {
        "packet": result.packet,
        "title": result.title,
        "holder": result.holder,
        "as_of": result.as_of.isoformat(),
        "mail_on": result.mail_on.isoformat(),
        "ready": result.ready,
        "encloses": result.encloses,
        "findings": [_finding(finding) for finding in result.findings],
        "blanks": [_blank(state) for state in result.blanks],
        "cautions": [NEVER_GENUINE, CAUTION],
    }


def _finding(finding: CheckFinding) -> dict[str, Any]:
    return {
        "check": finding.check,
        "rank": finding.rank,
        "severity": str(finding.severity),
        "document": finding.document or None,
        "sheet": finding.sheet if finding.document else None,
        "blank": finding.blank or None,
        "sentence": finding.sentence,
        "todo": finding.todo,
        "where": str(finding.where),
        "citation": finding.citation,
    }


def _blank(state: BlankState) -> dict[str, Any]:
    return {
        "document": state.document,
        "sheet": state.sheet,
        "blank": state.blank.id,
        "label": state.blank.label,
        "kind": str(state.blank.kind),
        "filled_by": str(state.blank.filled_by),
        "must": state.blank.must,
        "status": None if state.status is None else str(state.status),
        "says": state.says or None,
        "on": _iso(state.on),
        "source": None if state.source is None else str(state.source),
    }


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
