"""Answers with several places: boxes, lines and rows of which one is enough, cells that are not."""

from dataclasses import replace

import pytest

from compliance.scan.model import Region, RegionFinding, Seen
from compliance.scan.ways import drop_spare, find_decisive, list_decisive

STATES = {"+": Seen.PRESENT, "-": Seen.MISSING, "?": Seen.CANNOT_TELL}


def make(text: str, part_of: str = "answer") -> list[RegionFinding]:
    """Findings from ways written as words, a sign for each of its places: `+- ??`."""
    return [
        RegionFinding(
            region=Region(
                id=f"{part_of}-{way}-{place}",
                label="",
                kind="text",
                page=0,
                left=0,
                bottom=0,
                right=1,
                top=1,
                part_of=part_of,
                way=str(way),
            ),
            seen=STATES[sign],
            why="",
            score=0.5,
        )
        for way, signs in enumerate(text.split())
        for place, sign in enumerate(signs)
    ]


@pytest.mark.parametrize(
    ("ways", "seen"),
    [
        ("- - -", Seen.MISSING),  # no box is ticked
        ("- + -", Seen.PRESENT),  # one is
        ("- ? -", Seen.CANNOT_TELL),
        ("? +", Seen.PRESENT),
        ("++-", Seen.MISSING),  # a row that lacks a cell
        ("+?+ ---", Seen.CANNOT_TELL),
        ("--- +++", Seen.PRESENT),  # the second row is whole
        ("++- -++", Seen.MISSING),  # two rows, neither of them whole
    ],
)
def test_find_decisive_best_way_of_worst_places(ways: str, seen: Seen) -> None:
    assert find_decisive(make(ways)).seen is seen


def test_list_decisive_names_the_places_of_the_best_way_only() -> None:
    """Of two rows that are not whole it is the one that was begun."""
    findings = [*make("--- +-+"), *make("-", part_of="")]

    assert [one.region.id for one in list_decisive(findings)] == [
        "answer-1-0",
        "answer-1-1",
        "answer-1-2",
        "-0-0",
    ]


@pytest.mark.parametrize(
    ("ways", "left"),
    [
        ("- + -", ["1-0"]),
        ("- - -", ["0-0"]),  # one line is enough
        ("? + +", ["1-0", "2-0"]),
        ("+++ --- ---", ["0-0", "0-1", "0-2"]),
        ("--- ++-", ["1-0", "1-1", "1-2"]),  # the row that was begun
    ],
)
def test_drop_spare_leaves_out_what_may_stay_empty(ways: str, left: list[str]) -> None:
    found = drop_spare(make(ways))

    assert [one.region.id for one in found] == [f"answer-{place}" for place in left]


def test_drop_spare_leaves_all_boxes_when_none_is_marked() -> None:
    boxes = [replace(one, region=replace(one.region, kind="check")) for one in make("- - -")]
    marked = [replace(boxes[0], seen=Seen.PRESENT), *boxes[1:]]

    assert drop_spare(boxes) == tuple(boxes)
    assert drop_spare(marked) == (marked[0],)
