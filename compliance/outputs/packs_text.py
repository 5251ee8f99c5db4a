"""The user's own packs of rules as text."""

from collections.abc import Iterator

from compliance.base.dates import say_date
from compliance.base.problems import Problem
from compliance.engine.concerns import say_replaced
from compliance.facts.packs import KeptPack
from compliance.outputs.rules_text import say_in_force
from compliance.outputs.words import CAUTION, wrap
from compliance.rules.model import DocumentRow, DutyRow, PaperRow, Row
from compliance.rules.packs import LeftOut, Part, find_moved, name_part

_NOTE = (
    "These are your own rules: nobody but you and whoever wrote them has checked them against the "
    "law. Every plan that uses one says so."
)
_STAY = "what is in the log stays there, and counts again with a pack that has such a paper"
_HASH_SHOWN = 12


def render_added(
    pack: KeptPack,
    rows: tuple[Row, ...],
    left_out: tuple[LeftOut, ...] = (),
    *,
    before: KeptPack | None = None,
    orphaned: str = "",
) -> str:
    """Render what a pack that was just added brings, and what goes with what it replaces.

    *before* is the pack of the same name whose place it took; *orphaned* names the log entries of
    papers that only that one had.
    """
    lines = [*_pack(pack, rows), *_before(pack, before), *_left_out(left_out)]
    if orphaned:
        text = f"! {orphaned}, which this file does not have; {_STAY}"
        lines.append(wrap(text, indent=2, hang=4))
    lines.extend(["", wrap(_NOTE), f"Take it out with: mailby rules drop {pack.name}"])
    return "\n".join(lines) + "\n"


def render_dropped(name: str, orphaned: str, *, replaced: bool) -> str:
    """Render that a pack is gone, and what that means for the table and for the log."""
    then = "its rules do not count any more"
    if replaced:
        then = "what it replaced is the table's own again"
    lines = [wrap(f"the pack `{name}` is gone; {then}")]
    if orphaned:
        lines.append(wrap(f"! {orphaned}; {_STAY}", hang=2))
    return "\n".join(lines) + "\n"


def _before(pack: KeptPack, before: KeptPack | None) -> Iterator[str]:
    """Tell whether a pack that was added again has changed."""
    if before is None:
        return
    day = say_date(before.added_on)
    if before.sha256 == pack.sha256:
        yield wrap(f"its content is the same as that added on {day}", indent=2, hang=4)
        return
    old = f"{before.file}, content {before.sha256[:_HASH_SHOWN]}"
    yield wrap(f"it takes the place of that added on {day} ({old})", indent=2, hang=4)


def render_packs(
    stands: tuple[
        tuple[KeptPack, tuple[Row, ...], tuple[LeftOut, ...], tuple[Problem, ...]],
        ...,
    ],
) -> str:
    """Render every pack with what it replaces and what does not fit any more."""
    if not stands:
        return "no pack of your own was added; mailby rules add FILE adds one\n"
    lines: list[str] = []
    for pack, rows, left_out, problems in stands:
        lines.extend([*_pack(pack, rows), *_left_out(left_out), ""])
        for problem in problems:
            lines.append(wrap(f"! does not fit any more: {problem.sentence}", indent=2, hang=4))
            if problem.hint:
                lines.append(wrap(problem.hint, indent=4))
        if problems:
            lines.append("")
    lines.extend([wrap(_NOTE), "", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def _pack(pack: KeptPack, rows: tuple[Row, ...]) -> Iterator[str]:
    count = "1 rule" if len(rows) == 1 else f"{len(rows)} rules"
    yield wrap(
        f"pack {pack.name}: {count} from {pack.file}, added {say_date(pack.added_on)}, "
        f"content {pack.sha256[:_HASH_SHOWN]}"
    )
    twice = {row.id for row in rows if sum(other.id == row.id for other in rows) > 1}
    for row in rows:
        if row.replaces:
            days = f", {say_in_force(row)}," if row.id in twice else ""
            yield wrap(f"{row.id}{days}{say_replaced(row)}", indent=2, hang=4)
    yield from _kept(rows, twice)
    yield from _moved(rows)


def _kept(rows: tuple[Row, ...], twice: set[str]) -> Iterator[str]:
    """Name what stays of the papers a pack replaces; what one edition keeps, all keep."""
    kept: dict[str, tuple[str, ...]] = {}
    for row in rows:
        if isinstance(row, PaperRow) and row.keeps:
            kept[row.id] = (*kept.get(row.id, ()), *row.keeps)
    for name, parts in kept.items():
        which = "all its editions" if name in twice else "it"
        stay = ", ".join(dict.fromkeys(parts))
        yield wrap(f"kept of the table's {name}, with {which}: {stay}", indent=2, hang=4)


def _left_out(left_out: tuple[LeftOut, ...]) -> Iterator[str]:
    """Name the duties and documents that go with the papers a pack replaces."""
    for one in left_out:
        row = one.row
        kind = "duty" if isinstance(row, DutyRow) else "document"
        text = f"! the table's {kind} {row.id} does not count any more"
        if one.back_on is not None:
            text += f", your own not before {say_date(one.back_on)}"
        yield wrap(f"{text}: {row.title} ({row.basis.citation})", indent=2, hang=4)


def _moved(rows: tuple[Row, ...]) -> Iterator[str]:
    """Name what a later edition in the pack itself does not ask for any more, or asks for anew."""
    for one in find_moved(rows):
        for parts, asks in ((one.gone, "no longer asks for"), (one.come, "also asks for")):
            if parts:
                said = "; ".join(f"{_kind(row)} {name_part(row)}, {row.title}" for row in parts)
                edition = f"from {say_date(one.first)} on the edition of {one.paper} {asks}"
                yield wrap(f"! {edition}: {said}", indent=2, hang=4)


def _kind(row: Part) -> str:
    if isinstance(row, DutyRow):
        return "duty"
    return "document" if isinstance(row, DocumentRow) else "step"
