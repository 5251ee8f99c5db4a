"""The signs of marks: their shapes differ, so that they are told apart without colour."""

from compliance.outputs.timeline_axis import Axis
from compliance.outputs.timeline_ink import BLACK, WHITE, Dot, Ink, Shape, Stroke
from compliance.outputs.timeline_joins import HALF_BOX, Joint
from compliance.outputs.timeline_model import Sign

_HALF_HEIGHT = 3.4


def draw_joint(joint: Joint, axis: Axis) -> tuple[Ink, ...]:
    """Draw one mark by its sign; marks of several days as a box with a line for each day."""
    if joint.is_one_day:
        first = min(joint.marks, key=lambda one: one.order)
        return _draw_sign(first.sign, axis.at(first.on))
    days = sorted({axis.at(mark.on) for mark in joint.marks})
    left, right = days[0] - HALF_BOX, days[-1] + HALF_BOX
    corners = (
        (left, -_HALF_HEIGHT),
        (right, -_HALF_HEIGHT),
        (right, _HALF_HEIGHT),
        (left, _HALF_HEIGHT),
    )
    return (
        Shape(corners=corners, fill=WHITE, width=0.9),
        *(Stroke(x1=x, y1=-2.0, x2=x, y2=2.0, width=1.3, color=BLACK) for x in days),
    )


def _draw_sign(sign: Sign, x: float) -> tuple[Ink, ...]:
    drawn: dict[Sign, Ink] = {
        Sign.DONE: Dot(x=x, y=0.0, radius=2.7, fill=BLACK),
        Sign.READY: Dot(x=x, y=0.0, radius=2.7, fill=WHITE, width=1.1),
        Sign.BACK: _box(x, 2.7, BLACK),
        Sign.TOWN: _box(x, 2.7, WHITE),
        Sign.ASK: _lozenge(x, 3.4),
        Sign.SAFE: _wedge(x, WHITE),
        Sign.LAST: _wedge(x, BLACK),
        Sign.NEEDED: _bar(x, 2.2),
        Sign.ENDS: _bar(x, 1.0),
    }
    return (drawn[sign],) if sign in drawn else ()


def _lozenge(x: float, half: float) -> Shape:
    corners = ((x, -half), (x + half, 0.0), (x, half), (x - half, 0.0))
    return Shape(corners=corners, fill=WHITE, width=0.9)


def _box(x: float, half: float, fill: str) -> Shape:
    corners = ((x - half, -half), (x + half, -half), (x + half, half), (x - half, half))
    return Shape(corners=corners, fill=fill, width=0.9)


def _wedge(x: float, fill: str) -> Shape:
    """Draw a wedge that points down at its day."""
    return Shape(corners=((x - 3.2, -3.4), (x + 3.2, -3.4), (x, 3.2)), fill=fill, width=0.9)


def _bar(x: float, width: float) -> Stroke:
    return Stroke(x1=x, y1=-4.0, x2=x, y2=4.0, width=width)
