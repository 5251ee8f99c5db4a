"""The parts forms are put together from: boxes, tables, check boxes, stamps, rows of lines."""

from dataclasses import dataclass

from pad import BALLOT, Pad

Part = tuple[str, str, float]  # label, kind, width
GREY, PALE = 0.82, 0.92


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle by its lower left corner and its size."""

    x: float
    y: float
    wide: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """The columns of a table; ``kinds`` may hold "" for a column printed in every row."""

    widths: tuple[float, ...]
    heads: tuple[str, ...]
    kinds: tuple[str, ...]
    row: float = 20.0
    head: float = 18.0
    size: float = 8.0
    upright: bool = True
    shade: bool = True


def frame(pad: Pad, area: Area, shade: float = 1.0, *, stroke: bool = True) -> None:
    """Draw a box, filled with a grey unless ``shade`` is 1."""
    pad.canvas.saveState()
    pad.canvas.setFillGray(shade)
    pad.canvas.rect(
        area.x, area.y, area.wide, area.high, stroke=int(stroke), fill=int(shade < 1 or not stroke)
    )
    pad.canvas.restoreState()
    for y in (area.y, area.y + area.high):
        pad.prints.append((area.x, y, area.x + area.wide, y))


def boxed(
    pad: Pad, kind: str, label: str, area: Area, *, size: float = 7.0, place: str = "top"
) -> None:
    """Draw a box with its label inside: "top", "left", "foot", or none of them."""
    frame(pad, area)
    left, low, high = area.x, area.y, area.y + area.high
    if place == "top":
        pad.say(area.x + 3, high - size - 1, label, size)
        high -= 1.25 * size + 1
    elif place == "foot":
        pad.say(area.x + 3, low + 2.5, label, size)
        low += 2.5 + size
    elif place == "left":
        left = pad.say(area.x + 4, area.y + area.high / 2 - size / 3, label, size) + 2
    pad.note(kind, label, (left, low, area.x + area.wide, high))


def boxes(pad: Pad, spot: tuple[float, float], high: float, parts: list[Part], **how: str) -> float:
    """Draw boxes side by side from the upper left ``spot``; return their lower edge."""
    x, top = spot
    for label, kind, wide in parts:
        boxed(pad, kind, label, Area(x, top - high, wide, high), place=how.get("place", "top"))
        x += wide
    return top - high


def bar(pad: Pad, area: Area, words: str, *, dark: bool = False) -> None:
    """Draw a band with a heading in it."""
    frame(pad, area, 0.25 if dark else GREY)
    size = min(10.0, area.high - 4)
    if dark:
        pad.canvas.setFillGray(1)
    pad.say(area.x + 5, area.y + (area.high - size * 0.7) / 2, words, size, bold=True)
    pad.canvas.setFillGray(0)


def asks(
    pad: Pad, spot: tuple[float, float], parts: list[Part], style: str = "rule", space: float = 8
) -> None:
    """Print labels, each with a line to its right as wide as its part says."""
    x, y = spot
    for label, kind, wide in parts:
        end = pad.say(x, y, label) + 3
        pad.line(kind, label, (end, end + wide), y - 1.5 if style == "rule" else y, style)
        x = end + wide + space


def upto(
    pad: Pad, spot: tuple[float, float], right: float, ask: tuple[str, str], style: str = "rule"
) -> None:
    """Print a label with a line up to ``right``."""
    x, y = spot
    label, kind = ask
    end = pad.say(x, y, label) + 3
    pad.line(kind, label, (end, right), y - 1.5 if style == "rule" else y, style)


def under(
    pad: Pad, spot: tuple[float, float], parts: list[Part], *, size: float = 7, space: float = 14
) -> None:
    """Draw lines side by side with small labels below them."""
    x, y = spot
    for label, kind, wide in parts:
        pad.line(kind, label, (x, x + wide), y)
        pad.say(x, y - size - 1.5, label, size)
        x += wide + space


def tick(
    pad: Pad, spot: tuple[float, float], label: str, *, how: str = "square", size: float = 8
) -> float:
    """Draw a check box with its label to the right; return where the label ends."""
    x, y = spot
    if how == "square":
        pad.canvas.rect(x, y - 1, size, size)
        pad.note("check", label, (x, y - 1, x + size, y - 1 + size))
        end = x + size
    elif how == "circle":
        pad.canvas.circle(x + size / 2, y - 1 + size / 2, size / 2)
        pad.note("check", label, (x, y - 1, x + size, y - 1 + size))
        end = x + size
    elif how == "ballot":
        big = size + 4
        pad.canvas.setFont("DejaVuSans", big)
        pad.canvas.drawString(x, y, "\u2610")
        left, low, right, high = (edge * big for edge in BALLOT)
        pad.note("check", label, (x + left, y + low, x + right, y + high))
        end = x + right
    elif how == "blank":
        pad.line("check", label, (x, x + 3 * size), y - 1.5)
        end = x + 3 * size
    else:
        end = pad.say(x, y, how)
        body = pad.look.body
        pad.note("check", label, (x, y - 0.2 * body, end, y + 0.75 * body))
    pad.prints.append((x, y - 1, end, y + size))
    return pad.say(end + 4, y, label) if label else end


def ticks(
    pad: Pad,
    spot: tuple[float, float],
    labels: list[str],
    *,
    how: str = "square",
    space: float = 14,
) -> float:
    """Draw check boxes side by side; return where the last label ends."""
    x, y = spot
    for label in labels:
        x = tick(pad, (x, y), label, how=how) + space
    return x - space


def table(pad: Pad, spot: tuple[float, float], plan: Table, rows: list[str] | int) -> float:
    """Draw a table; ``rows`` are the words of its first column or a count. Return its foot."""
    x, top = spot
    names = rows if isinstance(rows, list) else [""] * rows
    wide = sum(plan.widths)
    foot = top - plan.head - plan.row * len(names)
    frame(pad, Area(x, top - plan.head, wide, plan.head), PALE if plan.shade else 1)
    at = x
    for width, head in zip(plan.widths, plan.heads, strict=True):
        for number, words in enumerate(reversed(head.split("|"))):
            base = top - plan.head + 4 + number * (plan.size + 1)
            pad.say(at + width / 2, base, words, plan.size, bold=True, at="c")
        at += width
    for number, name in enumerate(names):
        low = top - plan.head - plan.row * (number + 1)
        pad.rule(x, low, x + wide)
        at = x
        for width, head, kind in zip(plan.widths, plan.heads, plan.kinds, strict=True):
            label = " ".join([head.replace("|", " "), name]).strip()
            if kind:
                pad.note(kind, label, (at, low, at + width, low + plan.row))
            elif name:
                pad.say(at + 4, low + plan.row / 2 - 3, name, plan.size)
            at += width
    if plan.upright:
        at = x
        for width in (*plan.widths, 0):
            pad.canvas.line(at, foot, at, top)
            at += width
    return foot


def comb(pad: Pad, kind: str, label: str, area: Area, count: int) -> None:
    """Draw a row of boxes for one letter each, one blank altogether."""
    each = area.wide / count
    for number in range(count):
        pad.canvas.rect(area.x + number * each, area.y, each, area.high)
    pad.note(kind, label, (area.x, area.y, area.x + area.wide, area.y + area.high))
    pad.prints.append((area.x, area.y, area.x + area.wide, area.y + area.high))


def stamp(pad: Pad, area: Area, words: str, *, box: bool = True) -> None:
    """Draw the place of a notary's stamp; without a box it is about 120 x 70 round its words."""
    across, up = area.x + area.wide / 2, area.y + area.high / 2
    if box:
        frame(pad, area)
        pad.say(across, area.y + area.high - 10, words, 7, at="c")
        pad.note("notary-stamp", words, (area.x, area.y, area.x + area.wide, area.y + area.high))
    else:
        pad.say(across, up - 3, words, 8, at="c")
        pad.note("notary-stamp", words, (across - 60, up - 35, across + 60, up + 35))


def office(pad: Pad, area: Area, asks_for: tuple[str, ...]) -> None:
    """Draw a space for the office alone."""
    frame(pad, area, PALE)
    pad.say(area.x + 4, area.y + area.high - 10, "FOR OFFICE USE ONLY", 7, bold=True)
    step = area.wide / len(asks_for)
    for number, words in enumerate(asks_for):
        x = area.x + 4 + number * step
        end = pad.say(x, area.y + 6, words, 7) + 2
        pad.rule(end, area.y + 5, x + step - 10)
    pad.note("ignore", "office", (area.x, area.y, area.x + area.wide, area.y + area.high))


def blank_field(pad: Pad, kind: str, label: str, area: Area, *, border: float = 0.5) -> None:
    """Lay a text field of the electronic form."""
    pad.fields += 1
    pad.canvas.acroForm.textfield(
        name=f"f{pad.page}_{pad.fields}",
        tooltip=label,
        x=area.x,
        y=area.y,
        width=area.wide,
        height=area.high,
        borderWidth=border,
        fontSize=min(10, area.high - 4),
        forceBorder=border > 0,
    )
    pad.note(kind, label, (area.x, area.y, area.x + area.wide, area.y + area.high))


def check_field(pad: Pad, label: str, spot: tuple[float, float], size: float = 11) -> float:
    """Lay a check box of the electronic form, its label to the right."""
    x, y = spot
    pad.fields += 1
    pad.canvas.acroForm.checkbox(
        name=f"c{pad.page}_{pad.fields}", tooltip=label, x=x, y=y - 2, size=size, borderWidth=0.7
    )
    pad.note("check", label, (x, y - 2, x + size, y - 2 + size))
    return pad.say(x + size + 4, y, label)
