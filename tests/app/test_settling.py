"""A newer picture in which a place is empty never leaves an earlier picture's ink standing.

The tables are the rule as it is told in the README; no source outside.
"""

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.app.checking import merge_answers
from compliance.app.known_forms import KnownPlace
from compliance.app.picture_answers import PictureAnswer, answer_blank
from compliance.app.settling import settle_with_earlier
from compliance.app.sightings import Sighting, merge_repeats, say_seen
from compliance.app.tables import load_templates
from compliance.facts.answers import Answer, Source, Status
from compliance.forms.model import BlankKind
from compliance.scan.model import PageFinding, Region, RegionFinding, Seen

TEMPLATE = load_templates()["faa-8050-1"]
OWNERS = ("individual", "llc", "partnership")
SEEN = {"+": Seen.PRESENT, "-": Seen.MISSING, "?": Seen.CANNOT_TELL, "h": Seen.CANNOT_TELL}
SHEET = ("application", 1)
# Blank, and the places of each: kind, label, part of, way.
SHAPES = {
    "text": ("printed-name", (("text", "Name", "", ""),)),
    "day": ("signed-on", (("date", "Date", "", ""),)),
    "signature": ("signature", (("signature", "Signature", "", ""),)),
    "may be left": ("n-number", (("text", "N-number", "", ""),)),
    "lone box": ("evidence", (("check", "Legal evidence", "", ""),)),
    "parts": (
        "mailing-address",
        (("text", "Street", "mailing-address", ""), ("text", "Town", "mailing-address", "")),
    ),
    "ways": (
        "telephone",
        (("text", "In a line", "telephone", "line"), ("text", "In cells", "telephone", "cells")),
    ),
    "choice": (
        "registration-type",
        tuple(("check", one, "registration-type", one) for one in OWNERS),
    ),
}


def look(shape: str, signs: str, picture: str) -> PageFinding:
    """One picture; each sign is a place: ink, empty, not sure, or hidden."""
    _, places = SHAPES[shape]
    findings = [
        RegionFinding(
            region=Region(
                id=f"place-{at}",
                label=label,
                kind=kind,
                page=0,
                left=0,
                bottom=0,
                right=9,
                top=9,
                part_of=part_of,
                way=way,
            ),
            seen=SEEN[sign],
            why="",
            score=1.0 if sign == "+" else 0.0,
            is_hidden=sign == "h",
        )
        for at, ((kind, label, part_of, way), sign) in enumerate(zip(places, signs, strict=True))
    ]
    return PageFinding(picture=picture, page=0, how="codes", why="", findings=tuple(findings))


def answer(shape: str, *pages: PageFinding) -> tuple[PictureAnswer, tuple[Sighting, ...]]:
    sightings = merge_repeats(pages)
    files = tuple((page.picture, page.picture.encode()) for page in pages)
    return answer_blank(TEMPLATE, SHAPES[shape][0], sightings, files, SHEET), sightings


def settle(shape: str, *looks: str) -> tuple[Answer, list[str]]:
    """Look at one picture after the other; give what is held at the end and the last lines."""
    held: tuple[Answer, ...] = ()
    lines: list[str] = []
    names: dict[str, str] = {}
    for at, signs in enumerate(looks):
        shown, sightings = answer(shape, look(shape, signs, f"{at}.jpg"))
        said, beside = settle_with_earlier(held, (shown,), names)
        held = merge_answers(held, said)
        names[shown.answer.seen_in] = f"{at}.jpg"
        places = {one.finding.region.id: SHAPES[shape][0] for one in sightings}
        lines = list(say_seen(sightings, TEMPLATE, beside, places))
    return held[0], lines


def full(shape: str) -> str:
    return "-+-" if shape == "choice" else "+" * len(SHAPES[shape][1])


def empty(shape: str) -> str:
    return "-" * len(SHAPES[shape][1])


@pytest.mark.parametrize("shape", SHAPES)
def test_ink_and_then_none_is_asked(shape: str) -> None:
    """Both pictures are named; nothing of the earlier one stands."""
    held, lines = settle(shape, full(shape), empty(shape))
    label = next(one.label for one in TEMPLATE.blanks if one.id == SHAPES[shape][0])

    assert held.status is Status.UNCLEAR
    assert lines[-1] == (
        f"{label}: the pictures differ: there is ink here in 0.jpg and none in 1.jpg; look at the "
        "paper"
    )


@pytest.mark.parametrize("shape", SHAPES)
def test_none_and_then_ink_was_filled_in_since(shape: str) -> None:
    """The newest picture shows it, and nothing is asked."""
    held, lines = settle(shape, empty(shape), full(shape))

    assert (held.status, lines) == (Status.FILLED, [])


@pytest.mark.parametrize(("shape", "turn"), list(product(SHAPES, (1, -1))))
def test_both_in_one_command_are_asked(shape: str, turn: int) -> None:
    """Whichever is named first."""
    pages = [look(shape, full(shape), "a.jpg"), look(shape, empty(shape), "b.jpg")][::turn]
    shown, _ = answer(shape, *pages)

    assert shown.answer.status is Status.UNCLEAR
    assert shown.is_hidden is False


@pytest.mark.parametrize("shape", SHAPES)
def test_a_place_out_of_sight_leaves_the_earlier_and_says_so(shape: str) -> None:
    """A thumb over the ink proves nothing; that is said in place of "cannot tell"."""
    hidden = full(shape).replace("+", "h")
    held, lines = settle(shape, full(shape), hidden)

    assert held.status is Status.FILLED
    assert [line.partition(": ")[2] for line in lines] == [
        "not to be seen in 1.jpg; what 0.jpg shows there counts"
    ]


@pytest.mark.parametrize(
    ("shape", "looks"),
    [
        ("parts", ("++", "h-")),
        ("parts", ("++", "+-")),
        ("parts", ("++", "h?")),
        ("ways", ("+-", "-h")),
        ("choice", ("-+-", "h--")),
        ("choice", ("-+-", "+h-")),
        ("choice", ("-+-", "+-?")),
        ("choice", ("-+-", "-?-")),
    ],
)
def test_what_is_empty_or_not_sure_beside_a_hidden_place_is_asked(
    shape: str, looks: tuple[str, str]
) -> None:
    """A hidden part hides only itself; another box ticked is another answer."""
    assert settle(shape, *looks)[0].status is Status.UNCLEAR


def test_another_box_is_told_with_both_pictures() -> None:
    """One box was ticked, now it is empty and another one is ticked beside one that is not sure."""
    line = settle("choice", "-+-", "+-?")[1][-1]

    assert line.partition(": ")[2] == (
        "the pictures differ: “llc” is ticked in 0.jpg, but not plainly that alone in 1.jpg; look "
        "at the paper"
    )


@pytest.mark.parametrize(
    ("signs", "status"),
    [("+-?", Status.UNCLEAR), ("-+?", Status.FILLED), ("---", Status.EMPTY)],
)
def test_a_word_for_a_box_that_is_empty_is_taken_back(signs: str, status: Status) -> None:
    """A person said LLC; a picture that shows the LLC's box empty does not leave that."""
    told = Answer(
        document=SHEET[0],
        blank="registration-type",
        status=Status.FILLED,
        says="LLC",
        source=Source.PERSON,
    )
    shown, _ = answer("choice", look("choice", signs, "new.jpg"))
    said, _ = settle_with_earlier((told,), (shown,), {})

    assert merge_answers((told,), said)[0].status is status


def test_a_picture_of_another_page_leaves_it_alone() -> None:
    """It shows no place of the blank, so it gives no answer about it."""
    shown, _ = answer("lone box", look("lone box", "+", "first.jpg"))

    assert settle_with_earlier((shown.answer,), (), {}) == ((), ())


def test_ink_on_one_page_does_not_fill_in_what_is_empty_on_another() -> None:
    """The second was seen empty, then the first alone is shown."""
    page = look("parts", "+-", "both.jpg")
    places = [KnownPlace(region=one.region, blank="mailing-address") for one in page.findings]
    of_one = [merge_repeats((replace(page, findings=(one,)),)) for one in page.findings]
    first, second = (
        answer_blank(TEMPLATE, "mailing-address", one, (("both.jpg", b""),), SHEET, places)
        for one in of_one
    )
    said, beside = settle_with_earlier((second.answer,), (first,), {})

    assert (second.answer.status, first.answer.status) == (Status.EMPTY, Status.FILLED)
    assert (said, [one.sentence for one in beside]) == (
        (),
        [
            (
                "stands on other pages too, and an earlier picture did not show it plainly filled "
                "in; look at all its pages in one command"
            )
        ],
    )
    assert settle_with_earlier((), (first,), {})[0] == (first.answer,)


@given(st.sampled_from(sorted(SHAPES)), st.data())
def test_whatever_is_said_to_be_missing_or_unsure_is_open(shape: str, data: st.DataObject) -> None:
    """After any row of pictures, and what is filled in was shown so by a picture."""
    signs = st.text("+-?h", min_size=len(empty(shape)), max_size=len(empty(shape)))
    looks = data.draw(st.lists(signs, min_size=1, max_size=4))
    held, lines = settle(shape, *looks)

    if any(": missing; " in line or ": cannot tell; " in line for line in lines):
        assert held.status is not Status.FILLED
    if looks[-1] == empty(shape):
        assert held.status is not Status.FILLED
    if held.status is Status.FILLED:
        assert any("+" in one for one in looks)
    assert replace(held, says="").source is Source.PHOTO


def test_shapes_are_kinds_of_the_form() -> None:
    """The table speaks of blanks the form has, each as the kind it is there."""
    kinds = {name: TEMPLATE.find_blank(blank) for name, (blank, _) in SHAPES.items()}

    assert all(kinds.values())
    assert kinds["lone box"] is not None
    assert kinds["lone box"].kind is BlankKind.CHECK
