"""The user's own packs of rules as text."""

from collections.abc import Iterator

from compliance.base.dates import say_date
from compliance.base.problems import Problem
from compliance.engine.concerns import say_replaced
from compliance.facts.packs import KeptPack
from compliance.outputs.words import CAUTION, wrap
from compliance.rules.model import DocumentRow, DutyRow, Row

_NOTE = (
    "These are your own rules: nobody but you and whoever wrote them has checked them against the "
    "law. Every plan that uses one says so."
)
_HASH_SHOWN = 12


def render_added(
    pack: KeptPack, rows: tuple[Row, ...], left_out: tuple[DutyRow | DocumentRow, ...] = ()
) -> str:
    """Render what a pack that was just added brings, and what goes with what it replaces."""
    lines = [*_pack(pack, rows), *_left_out(left_out)]
    lines.extend(["", wrap(_NOTE), f"Take it out with: mailby rules drop {pack.name}"])
    return "\n".join(lines) + "\n"


def render_packs(
    stands: tuple[
        tuple[KeptPack, tuple[Row, ...], tuple[DutyRow | DocumentRow, ...], tuple[Problem, ...]],
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
            days = f", {_say_days(row)}," if row.id in twice else ""
            yield wrap(f"{row.id}{days}{say_replaced(row)}", indent=2, hang=4)


def _say_days(row: Row) -> str:
    """Say on which days an edition of a row is in force."""
    begins = f"from {say_date(row.applies_from)}" if row.applies_from is not None else ""
    ends = f"until {say_date(row.applies_until)}" if row.applies_until is not None else ""
    return " ".join(filter(None, (begins, ends)))


def _left_out(left_out: tuple[DutyRow | DocumentRow, ...]) -> Iterator[str]:
    """Name the duties and documents that go with the papers a pack replaces."""
    for row in left_out:
        kind = "duty" if isinstance(row, DutyRow) else "document"
        text = f"! the table's {kind} {row.id} does not count any more: {row.title} "
        yield wrap(f"{text}({row.basis.citation})", indent=2, hang=4)
