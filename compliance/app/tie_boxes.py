"""Tie check boxes to a template's blanks: one box that states something, or the boxes of a choice.

The boxes of a choice are tied all or not at all: with one left out, a mark in it would be missed.
"""

from collections.abc import Sequence

from compliance.app.tie_words import compute_told, is_general, list_words, split_all
from compliance.forms.model import Blank, BlankKind
from compliance.scan.model import Region

APART, BESIDE = 28.0, 220.0
"""Boxes of one choice stand at most so far one under the other or side by side, in points."""
MOST_KNOWN, HALF = 0.75, 0.5
"""A box is known by this share of its words; so many of a choice must be."""
_ANSWERS = frozenset({"yes", "none"})


def tie_boxes(regions: Sequence[Region], blanks: Sequence[Blank]) -> dict[str, str]:
    """Tie the groups of boxes that fit one blank and no other."""
    boxes = [region for region in regions if region.kind == BlankKind.CHECK]
    wanted = [blank for blank in blanks if blank.kind is BlankKind.CHECK]
    groups = _part_lists(_group(boxes), wanted)
    fits = {
        (at, blank.id): score
        for at, group in enumerate(groups)
        for blank in wanted
        if (score := _score(group, blank)) > 0
    }
    found: dict[str, str] = {}
    for at, group in enumerate(groups):
        mine = sorted((-score, name) for (place, name), score in fits.items() if place == at)
        if not mine or (len(mine) > 1 and mine[0][0] == mine[1][0]):
            continue
        rivals = [
            score for (place, name), score in fits.items() if name == mine[0][1] and place != at
        ]
        if max(rivals, default=0.0) < -mine[0][0]:
            found |= {region.id: mine[0][1] for region in group}
    return found


def _group(boxes: Sequence[Region]) -> list[list[Region]]:
    """Put boxes side by side or one under the other together; equal words part the rows."""
    rows: list[list[Region]] = []
    for box in sorted(boxes, key=lambda box: (box.page, -round(box.bottom), box.left)):
        last = rows[-1][-1] if rows else None
        if (
            last is not None
            and last.page == box.page
            and abs(last.bottom - box.bottom) < 4  # noqa: PLR2004 - points
            and 0 < box.left - last.right < BESIDE
        ):
            rows[-1].append(box)
        else:
            rows.append([box])
    groups: list[list[Region]] = []
    for row in rows:
        for group in groups:
            if _follows(group[-1], row[0]) and not _labels(group) & _labels(row):
                group.extend(row)
                break
        else:
            groups.append(list(row))
    return groups


def _follows(last: Region, box: Region) -> bool:
    return last.page == box.page and 0 < last.bottom - box.bottom < APART


def _labels(group: Sequence[Region]) -> set[str]:
    return {region.label.lower() for region in group}


def _part_lists(groups: list[list[Region]], wanted: Sequence[Blank]) -> list[list[Region]]:
    """Part a group whose boxes each state something of their own."""
    done: list[list[Region]] = []
    for group in groups:
        best = max((_score(group, blank) for blank in wanted), default=0.0)
        alone = [[region] for region in group]
        stated = sum(any(_score(one, blank) > 0 for blank in wanted) for one in alone)
        done += alone if best == 0 and stated == len(group) > 1 else [group]
    return done


def _score(group: Sequence[Region], blank: Blank) -> float:
    """Give how well boxes fit a blank, 0 when they do not."""
    words = list_words(blank)
    said = [split_all(region.label) for region in group]
    if any(one & _ANSWERS or not one for one in said):
        return 0.0
    if len(group) == 1:
        shared = said[0] & words.all
        enough = len(shared) > 1 or said[0] >= words.head
        told, held = compute_told(said[0], words.all), compute_told(words.head, said[0])
        plain = enough and not is_general(shared) and max(told, held) >= MOST_KNOWN
        return told + held if plain and min(told, held) >= HALF else 0.0
    known = sum(compute_told(one, words.all) >= MOST_KNOWN for one in said)
    return known / len(group) if known > 1 and known > HALF * len(group) else 0.0
