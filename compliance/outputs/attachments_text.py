"""Attached copies and a written binder as text."""

from collections.abc import Iterator

from compliance.base.dates import say_date
from compliance.facts.attachments import Attachment
from compliance.facts.model import Operation
from compliance.outputs.binder_model import Copy
from compliance.outputs.words import CAUTION, wrap

_KB = 1_000
_MB = 1_000_000


def render_attached(attachment: Attachment, kept: str, *, is_new: bool) -> str:
    """Render what became of a file that was to be attached."""
    title = f"{attachment.title} ({_say_file(attachment)})"
    if not is_new:
        return wrap(
            f"this file is attached to {attachment.packet} already, as copy {attachment.number}: "
            f"{title}"
        )
    lines = [
        wrap(f"attached to {attachment.packet} as copy {attachment.number}: {title}", hang=2),
        wrap(f"kept as {kept}, for your eyes only", indent=2, hang=4),
    ]
    if attachment.kept_out:
        lines.append(
            wrap(
                f"! a binder lists it but cannot show its pages: {attachment.kept_out}",
                indent=2,
                hang=4,
            )
        )
    return "\n".join(lines) + "\n"


def _say_file(attachment: Attachment) -> str:
    pages = ""
    if attachment.pages:
        pages = ", 1 page" if attachment.pages == 1 else f", {attachment.pages} pages"
    return f"{attachment.kind}{pages}, {_say_size(attachment.size)}"


def _say_size(size: int) -> str:
    return f"{size / _MB:.1f} MB" if size >= _MB else f"{max(1, round(size / _KB))} kB"


def render_attachments(
    operation: Operation, found: tuple[Attachment, ...], folder: str, *, every: bool
) -> str:
    """Render the list of copies, by paper and number; with *every* those detached too."""
    shown = [one for one in found if every or one.detached_on is None]
    gone = sum(1 for one in found if one.detached_on is not None)
    lines = [wrap(f"{operation.legal_name}: copies attached")]
    if not shown:
        lines.append("  none; mailby attach PAPER FILE keeps one")
    for packet in sorted({one.packet for one in shown}):
        lines.append(f"  {packet}")
        for one in shown:
            if one.packet == packet:
                lines.extend(_list_copy(one))
    if gone and not every:
        lines.append(f"  {gone} detached; `mailby attachments --all` lists them too")
    if shown:
        lines.append(wrap(f"kept in {folder}; mailby deletes none of them", indent=2, hang=4))
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def _list_copy(one: Attachment) -> Iterator[str]:
    name = f", from {one.file_name}" if one.what else ""
    day = say_date(one.attached_on)
    yield wrap(
        f"{one.number}. {one.title}{name} ({_say_file(one)}), attached {day}", indent=4, hang=7
    )
    yield wrap(f"sha256 {one.sha256}", indent=7)
    if one.kept_out:
        yield wrap(f"! not shown in a binder: {one.kept_out}", indent=7, hang=9)
    if one.detached_on is not None:
        why = f": {one.why_detached}" if one.why_detached else ""
        yield wrap(f"detached {say_date(one.detached_on)}{why}", indent=7, hang=9)


def render_detached(attachment: Attachment, kept: str) -> str:
    """Render that a copy no longer counts, and where its file stays."""
    lines = [
        wrap(
            f"copy {attachment.number} of {attachment.packet}, {attachment.title}, is no longer "
            f"part of a binder"
        ),
        wrap(
            f"its file stays as {kept}: mailby deletes no copy, because an inspector may ask for "
            f"it years later",
            indent=2,
            hang=4,
        ),
    ]
    return "\n".join(lines) + "\n"


def render_binder_written(
    path: str, pages: int, shown: tuple[Copy, ...], kept_out: tuple[Copy, ...], left_out: int
) -> str:
    """Render what a written binder holds and what it could not show."""
    inside = sum(len(copy.pages) for copy in shown)
    copies = "1 copy" if len(shown) == 1 else f"{len(shown)} copies"
    lines = [f"wrote {path}: {pages} pages, {inside} of them from {copies}"]
    lines.extend(
        wrap(
            f"! copy {copy.number}, {copy.title}, is listed but not shown: {copy.kept_out}",
            indent=2,
            hang=4,
        )
        for copy in kept_out
    )
    if left_out:
        lines.append(f"  {left_out} attached to papers this binder leaves out")
    lines.append("Look through it before you hand it over: it shows names and numbers.")
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"
