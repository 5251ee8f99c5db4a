"""Tie check boxes to a template's blanks: one box that states something, or the boxes of a choice.

The boxes of a choice are tied all or not at all: with one left out, a mark in it would be missed,
and with one too many a right page would show two marks. So what stands over or under a choice and
none of whose words are the choice's is parted from it when it is a statement of its own, and leaves
the choice untied when it may be one of its boxes.
"""

from collections.abc import Sequence

from compliance.app.tie_words import compute_told, is_general, list_words, split_all
from compliance.engine.choices import find_boxes
from compliance.forms.model import Blank, BlankKind
from compliance.scan.model import Region

APART, BESIDE = 28.0, 220.0
"""Boxes of one choice stand at most so far one under the other or side by side, in points."""
MOST_KNOWN, HALF = 0.75, 0.5
"""A box is known by this share of its words; so many of a choice must be."""
STATED = 5
"""A label of so many telling words states something; a box of a choice says less."""
_ANSWERS = frozenset({"yes", "none"})


def tie_boxes(regions: Sequence[Region], blanks: Sequence[Blank]) -> dict[str, str]:
    """Tie the groups of boxes that fit one blank and no other."""
    boxes = [region for region in regions if region.kind == BlankKind.CHECK]
    wanted = [blank for blank in blanks if blank.kind is BlankKind.CHECK]
    groups = _part_lists(_part_statements(_group(boxes), wanted), wanted)
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


def _part_statements(groups: list[list[Region]], wanted: Sequence[Blank]) -> list[list[Region]]:
    """Part the rows over and under a choice that state something of their own."""
    done: list[list[Region]] = []
    for group in groups:
        best = max(wanted, key=lambda blank: _count_known(group, blank), default=None)
        rows = _split_rows(group)
        if best is not None and _count_known(group, best) > 1:
            others = [blank for blank in wanted if blank is not best]
            while len(rows) > 1 and _is_stated(rows[-1], best, others):
                done.append(rows.pop())
            while len(rows) > 1 and _is_stated(rows[0], best, others):
                done.append(rows.pop(0))
        done.append([box for row in rows for box in row])
    return done


def _split_rows(group: Sequence[Region]) -> list[list[Region]]:
    rows: list[list[Region]] = []
    for box in group:
        if rows and abs(rows[-1][-1].bottom - box.bottom) < 4:  # noqa: PLR2004 - points
            rows[-1].append(box)
        else:
            rows.append([box])
    return rows


def _is_stated(row: Sequence[Region], blank: Blank, others: Sequence[Blank]) -> bool:
    """Tell whether a row is one box that states something the choice does not hold."""
    if len(row) > 1 or _is_known(row[0], blank):
        return False
    is_long = len(split_all(row[0].label)) >= STATED
    return is_long or any(_score(row, other) > 0 for other in others)


def _count_known(group: Sequence[Region], blank: Blank) -> int:
    return sum(_is_known(box, blank) for box in group)


def _is_whole(group: Sequence[Region], blank: Blank) -> bool:
    """Tell whether the first and the last row of a group hold a box of the choice."""
    rows = _split_rows(group)
    return all(_count_known(row, blank) for row in (rows[0], rows[-1]))


def _is_known(box: Region, blank: Blank) -> bool:
    """Tell whether the words beside a box are those of a blank, or of one box of its choice."""
    said = split_all(box.label)
    if compute_told(said, list_words(blank).all) >= MOST_KNOWN:
        return True
    named = [one for one in find_boxes(blank, box.label) if one in blank.one_of]
    return len(named) == 1 and len(said) < STATED


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
    known = _count_known(group, blank)
    if blank.one_of and not _is_whole(group, blank):
        return 0.0
    return known / len(group) if known > 1 and known > HALF * len(group) else 0.0
