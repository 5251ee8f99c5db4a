"""Several places of one answer: the cells of a row, or boxes and lines of which one is enough."""

from collections.abc import Iterable, Sequence

from compliance.scan.model import RegionFinding, Seen

_BOX = "check"
_ORDER = (Seen.MISSING, Seen.CANNOT_TELL, Seen.PRESENT)


def find_decisive(findings: Iterable[RegionFinding]) -> RegionFinding:
    """Give the finding that decides about an answer with several places.

    Shape: all places of one way belong together, and the worst of them counts; of several ways the
    best counts. Places without a way are one way. Of equals the way with most places filled in,
    which is the one that was begun; then the first.
    """
    ways: dict[str, list[RegionFinding]] = {}
    for finding in findings:
        ways.setdefault(finding.region.way, []).append(finding)
    best = max(ways.values(), key=_judge)
    return min(best, key=_rank)


def _judge(way: list[RegionFinding]) -> tuple[int, int]:
    return min(map(_rank, way)), sum(finding.seen is Seen.PRESENT for finding in way)


def list_decisive(findings: Sequence[RegionFinding]) -> tuple[RegionFinding, ...]:
    """List the findings that count: of an answer with several ways those of the best way."""
    best = _find_best(findings)
    return tuple(
        finding
        for finding in findings
        if finding.region.part_of not in best
        or finding.region.way == best[finding.region.part_of].region.way
    )


def drop_spare(findings: Sequence[RegionFinding]) -> tuple[RegionFinding, ...]:
    """Leave out the empty places that need no look: lines and rows to spare, boxes of no use.

    Shape: of boxes none of which is marked all are left, as any of them may be the one.
    """
    best = _find_best(findings)
    return tuple(finding for finding in findings if _is_of_use(finding, best))


def _is_of_use(finding: RegionFinding, best: dict[str, RegionFinding]) -> bool:
    decisive = best.get(finding.region.part_of)
    if decisive is None or finding.seen is Seen.PRESENT:
        return True
    if finding.region.way == decisive.region.way:
        return True
    return finding.region.kind == _BOX and decisive.seen is not Seen.PRESENT


def _find_best(findings: Sequence[RegionFinding]) -> dict[str, RegionFinding]:
    """Give the finding that decides for each answer with several places."""
    groups: dict[str, list[RegionFinding]] = {}
    for finding in findings:
        if finding.region.part_of:
            groups.setdefault(finding.region.part_of, []).append(finding)
    return {name: find_decisive(group) for name, group in groups.items()}


def _rank(finding: RegionFinding) -> int:
    return _ORDER.index(finding.seen)
