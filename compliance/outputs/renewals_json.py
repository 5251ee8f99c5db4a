"""The years ahead as JSON: a public interface, kept stable."""

import json
from datetime import date
from typing import Any

from compliance.engine.packets import packet_id
from compliance.engine.renewal_duties import AskedFiling
from compliance.engine.renewals import PaperEnd, YearsAhead
from compliance.facts.model import Operation
from compliance.outputs.words import CAUTION


def render_renewals_json(operation: Operation, ahead: YearsAhead) -> str:
    """Render the ends of papers as JSON with ISO dates and a closing line feed."""
    document = {
        "as_of": ahead.as_of.isoformat(),
        "through": ahead.through.isoformat(),
        "operation": {"id": operation.id, "legal_name": operation.legal_name},
        "jobs_assumed_every_year": list(ahead.repeated),
        "ends": [_end(end, ahead) for end in ahead.ends],
        "end_unknown": [packet_id(paper.id, holder) for paper, holder in ahead.unknown],
        "caution": CAUTION,
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def _end(end: PaperEnd, ahead: YearsAhead) -> dict[str, Any]:
    sending, ended = end.sending, ahead.is_over(end)
    lapse = end.find_lapse(ahead.as_of)
    return {
        "packet": end.id,
        "title": end.paper.title,
        "holder": {"kind": str(end.holder.kind), "id": end.holder.ref},
        "number": end.number,
        "term": end.term,
        "in_hand": end.term == 0 and not ended,
        "ended": ended,
        "issued_on": _day(end.issued_on),
        "ends_on": end.ends_on.isoformat(),
        "length_guessed": end.guessed,
        "opens_on": _day(end.opens_on),
        "renew_by": _day(end.renew_by),
        "file_by": _day(end.file_by),
        "renew_by_missed": _day(sending.missed) if sending is not None else None,
        "late_fee_from": _day(end.late_fee_from),
        "reexam_from": _day(end.reexam_from),
        "send_by_last": _day(sending.last) if sending is not None else None,
        "send_by_safe": _day(sending.safe) if sending is not None else None,
        "lapse_if_sent": (
            {"from": lapse[0].isoformat(), "through": lapse[1].isoformat()} if lapse else None
        ),
        "duties_to_file": [_asked(one) for one in end.asked],
        "in_hand_by": _day(sending.in_force_by) if sending is not None else None,
        "for_job": sending.job if sending is not None else None,
        "under_way": sending is not None and sending.under_way,
        "citation": end.paper.basis.citation,
        "confidence": str(end.paper.basis.confidence),
    }


def _asked(one: AskedFiling) -> dict[str, str]:
    own = one.term.document if one.term is not None else ""
    return {
        "duty": one.row.id,
        "title": one.row.title,
        "by": one.due_on.isoformat(),
        "own_document": own,
        "citation": one.row.basis.citation,
        "confidence": str(one.row.basis.confidence),
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day is not None else None
