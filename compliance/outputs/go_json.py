"""Go or no-go as JSON: a public interface, kept stable."""

import json
from datetime import date
from typing import Any

from compliance.engine.duties_model import DueDuty
from compliance.engine.in_force import JobStanding, PaperStanding
from compliance.facts.model import Job, Operation
from compliance.outputs.duties_json import compute_duty_document
from compliance.outputs.go_text import is_notice_missing, list_carried
from compliance.outputs.words import list_job_cautions


def render_go_json(
    operation: Operation,
    on: date,
    jobs: tuple[tuple[JobStanding, tuple[DueDuty, ...]], ...],
    next_job: Job | None,
) -> str:
    """Render the answers for one day as JSON with ISO dates and a closing line feed."""
    document = {
        "on": on.isoformat(),
        "operation": {"id": operation.id, "legal_name": operation.legal_name},
        "jobs": [_job(standing, duties) for standing, duties in jobs],
        "next_job": next_job.id if next_job is not None else None,
        "cautions": list(list_job_cautions([standing.job for standing, _ in jobs])),
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def _job(standing: JobStanding, duties: tuple[DueDuty, ...]) -> dict[str, Any]:
    return {
        "job": standing.job.id,
        "state": standing.job.state,
        "first_day": standing.job.first_day.isoformat(),
        "last_day": standing.job.last_day.isoformat(),
        "answer": str(standing.answer),
        "notice_missing": is_notice_missing(standing, duties),
        "labels_unread": list(standing.labels_unread),
        "state_known": standing.state_known,
        "unknown": list(standing.unknown),
        "ends_on": standing.ends_on.isoformat() if standing.ends_on is not None else None,
        "papers": [_paper(paper) for paper in standing.papers],
        "pairings": [
            {"aircraft": pair.aircraft, "pilot": pair.pilot, "answer": str(pair.answer)}
            for pair in standing.pairings
        ],
        "carry": list(list_carried(standing, duties)),
        "duties": [compute_duty_document(duty) for duty in duties],
    }


def _paper(paper: PaperStanding) -> dict[str, Any]:
    held = paper.held
    return {
        "packet": paper.id,
        "title": paper.paper.title,
        "pack": paper.paper.pack or None,
        "holder": {"kind": str(paper.holder.kind), "id": paper.holder.ref},
        "standing": str(paper.standing),
        "grounds": paper.grounds,
        "number": held.number if held is not None else "",
        "issued_on": held.issued_on.isoformat() if held and held.issued_on else None,
        "through": paper.through.isoformat() if paper.through is not None else None,
        "held_through": paper.held_through.isoformat() if paper.held_through is not None else None,
        "followed_by": _follower(paper),
        "next_from": paper.next_from.isoformat() if paper.next_from is not None else None,
        "renewal_missed": paper.renewal_missed.isoformat() if paper.renewal_missed else None,
        "filed_on": paper.filed_on.isoformat() if paper.filed_on is not None else None,
        "last_logged": _logged(paper),
        "file_by": paper.file_by.isoformat() if paper.file_by is not None else None,
        "citation": paper.paper.basis.citation,
        "confidence": str(paper.paper.basis.confidence),
    }


def _follower(paper: PaperStanding) -> dict[str, str | None] | None:
    after = paper.follower
    if after is None:
        return None
    return {
        "number": after.number,
        "issued_on": after.issued_on.isoformat() if after.issued_on is not None else None,
    }


def _logged(paper: PaperStanding) -> dict[str, str] | None:
    last = paper.last_logged
    if last is None:
        return None
    return {"kind": str(last.kind), "on": last.happened_on.isoformat(), "reason": last.reason}
