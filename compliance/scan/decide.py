"""From measured ink to present, missing or cannot tell."""

import json
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

import numpy as np
from numpy.typing import NDArray

from compliance.scan.ink import Ink
from compliance.scan.model import Seen

PRESENT_FROM: Final = 0.95
"""Calling a missing item present costs 20, asking costs 1."""
MISSING_TO: Final = 0.25
"""Calling a filled item missing costs 3, asking costs 1."""

_MOST_OUTSIDE = 0.03
_LEAST_LIGHT = 40.0
_MOST_TINT = 0.2
_MOST_CROSSING = 1.0
_MOST_RELIEF = 1.4
_FAINT = 0.22
_LEAST_STAIN = 6.0

_LINE_ACROSS = (
    "A straight line runs through here and on beyond both sides, such as a fold or the edge of a "
    "shadow. It does not count, and nothing else is seen. Look at the paper."
)

_GROUPS: Final = {
    "signature": "signature",
    "notary-signature": "signature",
    "date": "date",
    "notary-date": "date",
    "notary-expiry": "date",
    "check": "box",
    "notary-stamp": "stamp",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What is thought of one region, the reason in a sentence, and the chance that it is filled.

    ``is_hidden``: the picture does not show the region, or not well enough.
    """

    seen: Seen
    why: str
    score: float
    is_hidden: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """A logistic model: features are centred, scaled, weighted and summed."""

    middle: tuple[float, ...]
    spread: tuple[float, ...]
    weights: tuple[float, ...]
    bias: float


def find_group(kind: str) -> str:
    """Give the model that a kind of blank is judged by: writing is ``text`` unless it is more."""
    return _GROUPS.get(kind, "text")


def compute_features(ink: Ink) -> NDArray[np.float64]:
    """Compute the features of the logistic model from what was measured."""
    return np.array(
        [
            np.log1p(ink.area),
            ink.cover,
            np.log1p(ink.extent),
            np.log1p(ink.count),
            np.log1p(ink.diagonal),
            ink.contrast,
            np.log1p(1000 * ink.part),
        ]
    )


def compute_score(ink: Ink, kind: str) -> float:
    """Estimate the chance, 0 to 1, that a region of a kind is filled."""
    model = load_weights()[find_group(kind)]
    value = (compute_features(ink) - model.middle) / model.spread
    return float(1 / (1 + np.exp(-np.clip(value @ model.weights + model.bias, -30, 30))))


@cache
def load_weights() -> dict[str, Weights]:
    """Read the weights that ship with the package, one model a group of kinds."""
    text = files("compliance.scan").joinpath("model_weights.json").read_text("utf-8")
    return {
        name: Weights(
            middle=tuple(held["middle"]),
            spread=tuple(held["spread"]),
            weights=tuple(held["weights"]),
            bias=held["bias"],
        )
        for name, held in json.loads(text)["models"].items()
    }


def judge(ink: Ink, kind: str, *, two_level: bool, covered: bool) -> Verdict:
    """Judge one region: what spoils the view comes first, then the ink.

    ``two_level``: the picture holds only black and white dots. ``covered``: the print round the
    region was not found again.
    """
    score = compute_score(ink, kind)
    spoiled = _find_spoiler(ink, covered=covered)
    if spoiled:
        return Verdict(seen=Seen.CANNOT_TELL, why=spoiled, score=score, is_hidden=True)
    if score >= PRESENT_FROM:
        return _judge_present(ink, kind, score)
    if score > MISSING_TO:
        return Verdict(seen=Seen.CANNOT_TELL, why=_ask_about(ink, kind), score=score)
    if ink.with_line and compute_score(ink.with_line, kind) > MISSING_TO:
        return Verdict(seen=Seen.CANNOT_TELL, why=_LINE_ACROSS, score=score)
    return _judge_missing(ink, kind, score, two_level=two_level)


def _find_spoiler(ink: Ink, *, covered: bool) -> str:
    if ink.outside > _MOST_OUTSIDE:
        return (
            "Part of this place is outside the picture. Take it again with the whole page in view."
        )
    if ink.light < _LEAST_LIGHT:
        return "The picture is too dark here. Take it again in daylight, without a shadow."
    if covered or ink.tint > _MOST_TINT:
        return (
            "Something lies over this place, or the page is bent there. Look at the paper, or take "
            "it again flat and uncovered."
        )
    return ""


def _judge_present(ink: Ink, kind: str, score: float) -> Verdict:
    if ink.crossing > _MOST_CROSSING * ink.area and find_group(kind) != "box":
        why = (
            "There are marks here, but most of them belong to something larger that runs across, "
            "such as a ring, a stamp or a neighbor's writing. Look at the paper."
        )
        return Verdict(seen=Seen.CANNOT_TELL, why=why, score=score)
    return Verdict(seen=Seen.PRESENT, why="There is ink of the right size.", score=score)


def _judge_missing(ink: Ink, kind: str, score: float, *, two_level: bool) -> Verdict:
    if find_group(kind) == "stamp" and ink.relief > _MOST_RELIEF:
        why = (
            "No inked stamp here, but the paper is not smooth: it may be a raised seal. Is the "
            "embossing legible when shaded with a pencil? Shade it and take the picture again."
        )
        return Verdict(seen=Seen.CANNOT_TELL, why=why, score=score)
    if ink.stain > _LEAST_STAIN:
        why = "There is a brown mark here, such as a coffee stain or brown ink. Look at the paper."
        return Verdict(seen=Seen.CANNOT_TELL, why=why, score=score)
    if two_level:
        why = (
            "Nothing seen, but this scan holds only black and white, which drops pencil and pale "
            "ink. Look at the paper, or scan it again in grey or color."
        )
        return Verdict(seen=Seen.CANNOT_TELL, why=why, score=score)
    return Verdict(seen=Seen.MISSING, why=_say_missing(kind), score=score)


NOTHING_FILLED_IN = "Nothing seen here. Fill it in, and take the picture again before you mail it."
"""Said of an empty place of which only its kind is known, not whose it is."""


def _say_missing(kind: str) -> str:
    if kind == "notary-stamp":
        return (
            "No stamp seen here. Have the notary stamp it. If it has a raised seal, shade the seal "
            "with a pencil and take the picture again."
        )
    if kind == "check":
        return "No mark seen here. Mark the box that applies, and take the picture again."
    if kind == "signature":
        return "No signature seen here. Sign, and take the picture again before you mail it."
    if kind.startswith("notary-"):
        return "Nothing seen here. Have the notary fill it in before you mail it."
    return NOTHING_FILLED_IN


def _ask_about(ink: Ink, kind: str) -> str:
    if find_group(kind) == "stamp":
        return (
            "There is something, but too little to call it a stamp. Is every word of it legible? "
            "If it is a raised seal, shade it with a pencil and take the picture again."
        )
    if ink.contrast and ink.contrast < _FAINT:
        return (
            "There may be faint writing here. Look at the paper; go over it in black or blue ink."
        )
    return "There is a small mark here. Look at the paper: is it filled in?"
