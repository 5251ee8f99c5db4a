"""Whether a renewal was filed in time to keep the old paper alive until its office decides."""

from collections.abc import Sequence
from datetime import date

from compliance.engine.validity import compute_mark
from compliance.facts.log import EventKind, LogEntry
from compliance.rules.model import CountsOn, OfficeRow, PaperRow


def find_timely_filing(
    paper: PaperRow, office: OfficeRow | None, own: Sequence[LogEntry], through: date
) -> date | None:
    """Find the day a renewal was filed that keeps a paper alive until its office decides.

    Only where the row says that a timely filing does so, for the filing after the last grant that
    has not come back. An office that counts receipt asks for the logged receipt, one that counts
    sending or filing online for the logged sending; the last day is the row's renew-by day, or the
    last day in force, inclusive.
    """
    limit = find_filing_limit(paper, through)
    if limit is None:
        return None
    return find_filing(office, own, limit)


def find_filing(office: OfficeRow | None, own: Sequence[LogEntry], limit: date) -> date | None:
    """Find the day of the present round's filing that has not come back, by a last day inclusive.

    Shape: as the office counts it, received or sent; None without one.
    """
    since = list_since_grant(own)
    back = [at for at, entry in enumerate(since, 1) if entry.kind is EventKind.RETURNED]
    since = since[max(back, default=0) :]
    counts = office.counts_on if office is not None else CountsOn.RECEIVED
    wanted = EventKind.RECEIVED if counts is CountsOn.RECEIVED else EventKind.MAILED
    days = [entry.happened_on for entry in since if entry.kind is wanted]
    return next((day for day in days if day <= limit), None)


def find_filing_limit(paper: PaperRow, through: date) -> date | None:
    """Find the last day on which a renewal keeps a paper alive, None where none does; inclusive."""
    renewal = paper.renewal
    if renewal is None or not renewal.carries_over:
        return None
    return through if renewal.renew_by is None else compute_mark(renewal.renew_by, through)


def list_since_grant(own: Sequence[LogEntry]) -> Sequence[LogEntry]:
    """Give what happened after the last grant: a renewal starts from a clean sheet."""
    # By the days, not the numbers: somebody may write down the mailing after the grant it led to.
    grants = [at for at, entry in enumerate(own, 1) if entry.kind is EventKind.GRANTED]
    return own[max(grants, default=0) :]
