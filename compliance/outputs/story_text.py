"""The story of one packet in words."""

from collections.abc import Iterator

from compliance.base.dates import say_date, say_days
from compliance.engine.story import Chapter, Story, Turn
from compliance.outputs.words import CAUTION, wrap


def render_story(story: Story, title: str, packet: str) -> str:
    """Render what happened to a packet, oldest first, and what its returns cost."""
    lines = [wrap(f"{title} ({packet})"), ""]
    for chapter in story.chapters:
        day = say_date(chapter.entry.happened_on)
        first, *rest = _tell(chapter)
        lines.append(wrap(f"{day:<16} {first}", indent=2, hang=19))
        lines.extend(wrap(line, indent=19) for line in rest)
    lines.extend(["", wrap(_sum_up(story)), "", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def _tell(chapter: Chapter) -> Iterator[str]:
    entry, waited = chapter.entry, chapter.waited
    if chapter.turn in {Turn.SENT, Turn.SENT_AGAIN}:
        yield from _tell_sending(chapter)
    elif chapter.turn is Turn.REACHED:
        yield f"at the office{_after(waited)}"
    elif chapter.turn is Turn.CAME_BACK:
        yield f"came back{_after(waited)}: {entry.reason}"
        if entry.blanks:
            yield f"at fault: {', '.join(entry.blanks)}"
        if entry.still_good:
            yield f"not done again: {', '.join(entry.still_good)}"
    elif chapter.turn is Turn.HEARD:
        yield f"the office said{_after(waited)}: {entry.reason}"
        if entry.expects is not None:
            yield f"it expects to answer by {say_date(entry.expects)}"
    elif chapter.turn is Turn.GRANTED:
        number = f", no. {entry.paper_number}" if entry.paper_number else ""
        yield f"granted{number}{_after(waited)}"
    else:
        step = f" {entry.step}" if entry.step else ""
        yield f"{entry.kind}{step}"


def _tell_sending(chapter: Chapter) -> Iterator[str]:
    entry, waited = chapter.entry, chapter.waited
    how = f" by {entry.service}" if entry.service is not None else ""
    if chapter.turn is Turn.SENT:
        yield f"sent off{how}{_with(entry.tracking)}"
    else:
        lost = f"; {say_days(chapter.lost)} lost" if chapter.lost is not None else ""
        home = f", {say_days(waited)} after it came back" if waited is not None else ""
        yield f"sent again{how}{_with(entry.tracking)}{home}{lost}"
    if entry.reason:
        yield f"without a ready check: {entry.reason}"


def _with(tracking: str) -> str:
    return f", {tracking}" if tracking else ""


def _after(waited: int | None) -> str:
    return f", {say_days(waited)} after it was sent" if waited is not None else ""


def _sum_up(story: Story) -> str:
    if not story.returns:
        return "It never came back."
    times = "once" if story.returns == 1 else f"{story.returns} times"
    so_far = "" if story.chapters[-1].turn is Turn.GRANTED else " so far"
    return f"It came back {times}; that cost {say_days(story.lost)}{so_far}."
