"""The user's own packs of rules: add, list, drop."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import PurePath

from sqlmodel import Session

from compliance.app.pack_entries import (
    Orphaned,
    find_orphaned,
    list_own_papers,
    refuse_lost,
    refuse_unread,
)
from compliance.app.resources import read_rules_files, read_user_text
from compliance.app.tables import add_packs, load_shipped_table, load_templates
from compliance.base.dates import say_date
from compliance.base.ids import NAME_FORM, is_name
from compliance.base.problems import DataProblemsError, NotFoundError, Problem, RefusedError
from compliance.base.reading import suggest
from compliance.facts.packs import KeptPack
from compliance.rules.checks import check_table
from compliance.rules.model import DutyRow, PaperRow, Row, RulesTable
from compliance.rules.overrides import apply_overrides
from compliance.rules.packs import LeftOut, find_left_out, merge_pack, name_part, say_in_place
from compliance.rules.parse import parse_table
from compliance.rules.parse_parts import FAMILY
from compliance.store.packs import delete_pack, load_packs, save_pack
from compliance.store.records import load_overrides

# A form that only a replaced paper used is no fault of the pack.
_UNUSED_FORM = "R43"
_TWICE = "R31"
_FOREVER = (
    "write what changed as a later edition of the paper beside the old one, with `applies_from` "
    "after the days that are logged; or take what was logged wrong back, mailby log withdraw "
    "{entry}, add the file, and log it anew"
)
_SAME_ID = "give it another id, or write `replaces:` with the id and `because:` with the reason"


@dataclass(frozen=True, slots=True, kw_only=True)
class PackStand:
    """A pack with its rows and what is wrong with it now, which a newer mailby may bring about.

    ``before`` is the pack whose place it took when it was added, None when there was none;
    ``orphaned`` are the log entries of papers that only that one had.
    """

    pack: KeptPack
    rows: tuple[Row, ...]
    problems: tuple[Problem, ...]
    left_out: tuple[LeftOut, ...] = ()
    before: KeptPack | None = None
    orphaned: tuple[Orphaned, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Dropped:
    """A pack that is gone; ``replaced`` tells that rows of the table's own count again."""

    name: str
    replaced: bool
    orphaned: tuple[Orphaned, ...] = ()


def add_pack(
    session: Session,
    path: str,
    name: str | None,
    as_of: date,
    *,
    without_duties: bool = False,
    keep_entries: bool = False,
) -> PackStand:
    """Check a file of rules together with the shipped table and keep it as a pack.

    *name* is None for the name of the file; a pack of that name is replaced. A paper that takes
    the place of another must keep or write each of its duties and documents, but *without_duties*.
    Log entries of papers that only the pack replaced has stay, but only when *keep_entries* says
    that this is known.

    Raises:
        NotFoundError: There is no such file.
        RefusedError: The name is no name, the file has no rule, the log has entries of papers that
            would be gone, or an exported log would not be read in again.
        DataProblemsError: Something is wrong with the file, or does not fit the table or values of
            the user's own; nothing was kept.
    """
    name = PurePath(path).stem.lower() if name is None else name
    if not is_name(name):
        raise RefusedError(
            f"{name!r} is no name for a pack; names are {NAME_FORM}",
            hint="give it another with --as NAME",
        )
    text = read_user_text(path)
    known = load_packs(session)
    others = tuple(pack for pack in known if pack.name != name)
    table = add_packs(load_shipped_table(), others)
    rows, merged, left_out, problems = check_pack(table, text, path, name)
    if not problems:
        problems = apply_overrides(merged, load_overrides(session))[1]
    if not problems and not without_duties:
        problems = tuple(_say_left_out(rows, left_out))
    if problems:
        raise DataProblemsError(problems)
    if not rows:
        raise RefusedError(f"{path} holds no rule", hint="mailby rules list shows what rules are")
    pack = KeptPack(
        name=name,
        file=PurePath(path).name,
        content=text,
        sha256=hashlib.sha256(text.encode()).hexdigest(),
        added_on=as_of,
    )
    before = next((one for one in known if one.name == name), None)
    orphaned = _check_log(session, known, merged, pack, path=path, keep_entries=keep_entries)
    save_pack(session, pack)
    return PackStand(
        pack=pack, rows=rows, problems=(), left_out=left_out, before=before, orphaned=orphaned
    )


def _check_log(
    session: Session,
    known: tuple[KeptPack, ...],
    merged: RulesTable,
    pack: KeptPack,
    *,
    path: str,
    keep_entries: bool,
) -> tuple[Orphaned, ...]:
    """Give the log entries that no paper is left for; refuse them unless they are to be kept.

    Raises:
        RefusedError: There are such entries, or an exported log would not be read in again.
    """
    before = next((one for one in known if one.name == pack.name), None)
    gone = list_own_papers(_read_rows(before)) - {row.id for row in merged.papers}
    if not keep_entries:
        refuse_lost(
            session,
            gone,
            f"which the pack `{pack.name}` has and this file has not; with this file in its place",
            f"mailby rules add {path} --as {pack.name} --keep-entries takes it all the same; with "
            "such a paper added again what was logged counts again",
        )
    old = add_packs(load_shipped_table(), known)
    refuse_unread(session, old, merged, "the rules with this file", _FOREVER)
    return find_orphaned(session, gone)


def _read_rows(pack: KeptPack | None) -> tuple[Row, ...]:
    if pack is None:
        return ()
    return parse_table({pack.file: pack.content}, read_rules_files(()))[0].rows


def _say_left_out(rows: tuple[Row, ...], left_out: tuple[LeftOut, ...]) -> Iterator[Problem]:
    """Name each duty and document that would go with a paper that is replaced (R97)."""
    for one in left_out:
        part = one.row
        editions = [row for row in rows if isinstance(row, PaperRow) and row.id == part.paper]
        kind = "duty" if isinstance(part, DutyRow) else "document"
        sentence = (
            f"`{part.paper}` takes the place of the table's paper, and its {kind} "
            f"`{name_part(part)}` would go with it"
        )
        if one.back_on is not None:
            sentence += f", until your own counts on {say_date(one.back_on)}"
        yield Problem(
            place=editions[0].place,
            code=f"{FAMILY}97",
            sentence=f"{sentence}: {part.title} ({part.basis.citation})",
            hint=_say_keeping(editions, one, left_out),
        )


def _say_keeping(editions: list[PaperRow], one: LeftOut, left_out: tuple[LeftOut, ...]) -> str:
    """Say how what would go is kept; what the pack writes itself cannot be kept beside it."""
    taken = "--without-duties takes the file as it is"
    if one.back_on is not None:
        return f"write it in the edition before that day too; {taken}"
    kept = (name for paper in editions for name in paper.keeps)
    lost = (
        name_part(other.row)
        for other in left_out
        if other.row.paper == one.row.paper and other.back_on is None
    )
    names = ", ".join(dict.fromkeys((*kept, *lost)))
    where = "at the paper"
    if len(editions) > 1:
        where = "at one edition of the paper, which counts for all its editions,"
    return (
        f"write `keeps: [{names}]` {where} to keep what still holds, or your own under "
        f"`duties:` and `documents:`; {taken}"
    )


def check_pack(
    table: RulesTable, text: str, file: str, name: str
) -> tuple[tuple[Row, ...], RulesTable, tuple[LeftOut, ...], tuple[Problem, ...]]:
    """Read a pack and check it together with the table it goes into.

    Shape: the pack's rows, the table with them, what goes with the papers it replaces, every
    problem sorted by place.
    """
    pack, problems = parse_table({file: text}, read_rules_files(()))
    if problems:
        return pack.rows, table, (), problems
    merged, problems = merge_pack(table, pack, name)
    if not problems:
        found = check_table(merged, frozenset(load_templates()))
        wanted = [problem for problem in found if problem.code != _UNUSED_FORM]
        problems = tuple(_say_clashes(wanted, merged, name))
    return pack.rows, merged, find_left_out(table, pack), problems


def _say_clashes(found: list[Problem], merged: RulesTable, name: str) -> Iterator[Problem]:
    """Say of each row that stands in the table or in another pack already what can be done.

    A row of the pack alone stands twice in it; nothing outside of it would help.
    """
    owners: dict[str, str] = {}
    for row in merged.rows:
        if row.pack != name:
            owners.setdefault(row.id, row.pack)
    ids = {problem: problem.sentence.split("`")[1] for problem in found if problem.code == _TWICE}
    packs = sorted({owners[one] for one in ids.values() if owners.get(one)})
    for problem in found:
        pack = owners.get(ids.get(problem, ""))
        if pack is None:
            yield problem
        elif pack:
            hint = f"{say_in_place(*packs)}; if both are to stand, give the row here another id"
            yield replace(problem, hint=hint)
        else:
            yield replace(problem, hint=_SAME_ID)


def list_packs(session: Session) -> tuple[PackStand, ...]:
    """List the packs by name, each checked anew with those before it."""
    stands = []
    table = load_shipped_table()
    for pack in load_packs(session):
        rows, merged, left_out, problems = check_pack(table, pack.content, pack.file, pack.name)
        stands.append(PackStand(pack=pack, rows=rows, problems=problems, left_out=left_out))
        table = table if problems else merged
    return tuple(stands)


def drop_pack(session: Session, name: str, *, keep_entries: bool = False) -> Dropped:
    """Forget a pack; the shipped rows it replaced count again.

    Log entries of its papers stay, but only when *keep_entries* says that this is known.

    Raises:
        NotFoundError: There is no such pack.
        RefusedError: A value of the user's own, or another pack, rests on a row of it; or the log
            has entries that would have no paper, or would not be read in again.
    """
    packs = load_packs(session)
    known = [pack.name for pack in packs]
    if name not in known:
        listed = f"there are: {', '.join(known)}" if known else "none was added"
        raise NotFoundError(f"no pack is called {name!r}", hint=suggest(name, known) or listed)
    table = load_shipped_table()
    for pack in packs:
        if pack.name == name:
            continue
        _, merged, _, problems = check_pack(table, pack.content, pack.file, pack.name)
        if problems:
            raise RefusedError(
                f"the pack {pack.name} does not stand without it: {problems[0].sentence}",
                hint=f"drop {pack.name} first, or add it anew without that",
            )
        table = merged
    own = load_overrides(session)
    problems = apply_overrides(table, own)[1]
    if problems:
        raise RefusedError(
            f"a value of your own rests on it: {problems[0].sentence}",
            hint="go back to the row's own value first: mailby rules unset ROW FIELD",
        )
    rows = _read_rows(next(pack for pack in packs if pack.name == name))
    lost = list_own_papers(rows) - {row.id for row in table.papers}
    if not keep_entries:
        anyway = f"mailby rules drop {name} --keep-entries drops it all the same; with its file "
        anyway += "added again what was logged counts again"
        refuse_lost(session, lost, f"which only the pack `{name}` knows; without it", anyway)
        old = add_packs(load_shipped_table(), packs)
        refuse_unread(session, old, table, f"the rules without the pack `{name}`", anyway)
    delete_pack(session, name)
    replaced = any(row.replaces for row in rows)
    return Dropped(name=name, replaced=replaced, orphaned=find_orphaned(session, lost))
