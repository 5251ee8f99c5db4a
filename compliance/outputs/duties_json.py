"""Duties as JSON: a public interface, kept stable."""

import json
from datetime import timedelta
from typing import Any

from compliance.engine.duties_model import DueDuty, Span, UndatedDuty, UnwrittenFlight
from compliance.engine.plan_model import Plan
from compliance.facts.own_terms import OwnTerm
from compliance.outputs.words import list_cautions
from compliance.rules.model import DutyRow


def render_duties_json(plan: Plan, *, job: str, days: int, everything: bool) -> str:
    """Render duties as JSON with ISO dates and moments and a closing line feed.

    Shape: what `render_duties_text` shows, ungrouped; moments carry the offset of their zone.
    """
    end = plan.as_of + timedelta(days=days)
    book = plan.duties
    due = [
        one
        for one in ((*book.older, *book.due) if everything else book.due)
        if job in {"", one.job} and (everything or (one.is_live and one.due_on <= end))
    ]
    undated = [one for one in plan.duties.undated if everything and (not job or job in one.jobs)]
    document = {
        "as_of": plan.as_of.isoformat(),
        "operation": {"id": plan.operation.id, "legal_name": plan.operation.legal_name},
        "warnings": list(plan.reviews),
        "duties": [{**compute_duty_document(one), **_held(one)} for one in due],
        "flights_without_record": [
            _unwritten(one) for one in plan.duties.unwritten if job in {"", one.flight.job}
        ],
        "if_it_happens": [_undated(one) for one in undated],
        "older_left_out": 0 if everything else sum(one.is_live for one in book.older),
        "cautions": list(list_cautions(plan)),
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def compute_duty_document(duty: DueDuty) -> dict[str, Any]:
    """Give one due duty as plain values."""
    return {
        "id": duty.id,
        **_row(duty.row, duty.term),
        "holder": {"kind": str(duty.holder.kind), "id": duty.holder.ref},
        "for": duty.about,
        "job": duty.job or None,
        "event_on": duty.event_on.isoformat(),
        "opens": _first(duty.opens_at, duty.opens_on),
        "due_on": duty.due_on.isoformat(),
        "due_at": duty.due_at.isoformat() if duty.due_at is not None else None,
        "hour_unknown": duty.any_hour,
        "hour_fault": duty.hour_fault or None,
        "start_from": duty.start_from.isoformat() if duty.start_from is not None else None,
        "record": duty.record,
        "records": list(duty.records),
        "lacks": list(duty.lacks),
        "hours_without_record": _spans(duty.bare),
        "careful_practice": duty.is_careful,
        "pack": duty.row.pack or None,
        "state": str(duty.state),
        "done_on": _first(duty.done_on),
    }


def _row(row: DutyRow, term: OwnTerm | None) -> dict[str, Any]:
    return {
        "duty": row.id,
        "title": row.title,
        "kind": str(row.kind),
        "what": row.what,
        "what_replaced": term is not None and bool(row.what),
        "count": row.count,
        "unit": str(row.unit),
        "citation": row.basis.citation,
        "confidence": str(row.basis.confidence),
        "own_document": term.document if term is not None else None,
    }


def _held(duty: DueDuty | UndatedDuty) -> dict[str, Any]:
    return {
        "needed_by_a_job": duty.needed,
        "less_strict": list(duty.beside),
        "not_before_by": duty.not_before or None,
        "no_moment_suits": list(duty.apart),
    }


def _unwritten(one: UnwrittenFlight) -> dict[str, Any]:
    return {
        "flight": one.flight.number,
        "job": one.flight.job,
        "on": one.flight.on.isoformat(),
        "due_on": one.due_on.isoformat() if one.due_on is not None else None,
        "due_at": one.due_at.isoformat() if one.due_at is not None else None,
        "careful_practice": one.careful,
        "records": list(one.records),
        "hours_without_record": _spans(one.bare),
    }


def _spans(spans: tuple[Span, ...]) -> list[dict[str, str]]:
    return [{"from": begun.isoformat(), "to": ended.isoformat()} for begun, ended in spans]


def _undated(duty: UndatedDuty) -> dict[str, Any]:
    return {
        **_row(duty.row, duty.term),
        **_held(duty),
        "holder": {"kind": str(duty.holder.kind), "id": duty.holder.ref},
        "events": [str(event) for event in duty.row.events],
        "direction": "before" if duty.row.before else "after",
        "trigger": duty.row.trigger,
    }


def _first(*days: Any) -> str | None:  # noqa: ANN401 - dates and moments both have isoformat
    return next((day.isoformat() for day in days if day is not None), None)
