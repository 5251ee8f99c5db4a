"""The user's own packs of rules as text."""

from collections.abc import Iterator

from compliance.base.dates import say_date
from compliance.base.problems import Problem
from compliance.engine.concerns import say_replaced
from compliance.facts.packs import KeptPack
from compliance.outputs.words import CAUTION, wrap
from compliance.rules.model import Row

_NOTE = (
    "These are your own rules: nobody but you and whoever wrote them has checked them against the "
    "law. Every plan that uses one says so."
)
_HASH_SHOWN = 12


def render_added(pack: KeptPack, rows: tuple[Row, ...]) -> str:
    """Render what a pack that was just added brings."""
    lines = list(_pack(pack, rows))
    lines.extend(["", wrap(_NOTE), f"Take it out with: mailby rules drop {pack.name}"])
    return "\n".join(lines) + "\n"


def render_packs(
    stands: tuple[tuple[KeptPack, tuple[Row, ...], tuple[Problem, ...]], ...],
) -> str:
    """Render every pack with what it replaces and what does not fit any more."""
    if not stands:
        return "no pack of your own was added; mailby rules add FILE adds one\n"
    lines: list[str] = []
    for pack, rows, problems in stands:
        lines.extend([*_pack(pack, rows), ""])
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
    for row in rows:
        if row.replaces:
            yield wrap(f"{row.id}{say_replaced(row)}", indent=2, hang=4)
