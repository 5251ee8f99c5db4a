"""Pictures looked at for an earlier mailing of a packet: what they may still tell."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from compliance.app.seen import SeenPicture
from compliance.facts.log import LogEntry
from compliance.store.checks import StoredCheck
from compliance.store.kept_json import parse_kept


def list_mailed(
    checks: Iterable[StoredCheck],
    returns: tuple[LogEntry, ...],
    now: tuple[SeenPicture, ...],
    *,
    turn: int,
) -> Iterator[SeenPicture]:
    """Give the pictures kept of earlier mailings that are not among those of this one.

    They are pictures of an earlier print until the same print is given for this mailing; of a
    document with a blank at fault they stay so, for its paper is written on or made anew. So do all
    of before the last grant. ``returns`` are those since then, ``turn`` is the present mailing.

    Raises:
        ValueError, TypeError: What was kept is damaged.
    """
    found: dict[tuple[str, int, str], SeenPicture] = {}
    first = turn - len(returns)
    for check in checks:
        since = returns[max(0, check.turn - first) :]
        faulty = {blank.partition("/")[0] for entry in since for blank in entry.blanks}
        for one in parse_kept(SeenPicture, check.pictures):
            if not one.sha256:
                continue
            spoiled = one.document in faulty or (one.is_earlier and not one.prints)
            spoiled = spoiled or check.turn < first
            prints = () if spoiled else one.prints
            found[(one.document, one.sheet, one.sha256)] = replace(
                one, is_earlier=True, prints=prints, turn=check.turn
            )
    known = {(one.document, one.sheet, one.sha256) for one in now}
    yield from (one for key, one in found.items() if key not in known)
