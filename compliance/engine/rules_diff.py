"""Two rules tables side by side, and the two plans that come of them."""

from collections.abc import Iterator
from dataclasses import dataclass, fields
from datetime import date, timedelta

from compliance.base.dates import say_date
from compliance.engine.duties_model import DutyState, say_owner
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.engine.record_keep import Kept
from compliance.engine.record_page import RecordPage
from compliance.facts.basis import Basis
from compliance.rules.model import DutyEvent, DutyKind, PaperRow, Row, RulesTable
from compliance.rules.packs import OF_ROWS, list_parts_on

# Where a row stands and who keeps it says nothing about the rule.
_NOT_COMPARED = ("place", "overrides", "pack", "replaces", "because", "keeps")

_KEPT, _GOOD = "kept through", "good through"
_FREE, _ASK_FIRST = "may go without asking after", "only after asking the agency"
_FLOWN = frozenset({DutyEvent.FLIGHT, DutyEvent.RE_ENTRY_ENDS})


@dataclass(frozen=True, slots=True, kw_only=True)
class RowChange:
    """A row that is added, gone or changed; ``fields`` are names with the old and the new value.

    ``how`` is one of ``added``, ``gone``, ``changed``. ``first`` is the first day of an edition,
    None of a row that always held; ``last`` its last, inclusive, None of one without an end; those
    of a changed row are the new ones. A changed row has fields; so has an edition that is added
    after another one, ``after`` the one in force before, which its fields are compared with. Of
    such an edition of a paper they also name the steps, documents and duties that go and come on
    its first day.
    """

    kind: str
    id: str
    title: str
    how: str
    fields: tuple[tuple[str, object, object], ...] = ()
    first: date | None = None
    last: date | None = None
    after: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DateChange:
    """A day of the plan that differs; None where there is none. ``what`` is in plain words.

    Of a last day, inclusive, through which something is kept or good, ``group`` names the many
    things it is one of, and ``things`` says what is said of several; both are empty of all other
    days. ``without`` is what is said of such a thing where there is no day, empty for that nobody
    asks for it.
    """

    about: str
    what: str
    old: date | None
    new: date | None
    group: str = ""
    things: str = ""
    without: str = ""


def compare_tables(old: RulesTable, new: RulesTable) -> tuple[RowChange, ...]:
    """Compare two tables row by row, kind by kind: those gone, changed and added.

    Two editions of a row are two rows; an edition is known by its id and its first day.
    """
    found: list[RowChange] = []
    for kind in OF_ROWS:
        before = {(row.id, row.applies_from): row for row in getattr(old, kind)}
        after = {(row.id, row.applies_from): row for row in getattr(new, kind)}
        for key in dict.fromkeys((*before, *after)):
            change = _compare(kind, before.get(key), after.get(key), new)
            if change is not None:
                found.append(change)
    return tuple(found)


def _compare(kind: str, old: Row | None, new: Row | None, table: RulesTable) -> RowChange | None:
    row = new if new is not None else old
    if row is None:
        return None
    if old is None or new is None:
        how = "added" if old is None else "gone"
        earlier = _find_earlier(new, getattr(table, kind)) if new is not None else None
        differ = () if earlier is None else tuple(_differ_but_days(earlier, row))
        if earlier is not None and isinstance(row, PaperRow):
            differ = (*differ, *_find_moved(table, row))
        return RowChange(
            kind=kind,
            id=row.id,
            title=row.title,
            how=how,
            fields=differ,
            first=row.applies_from,
            last=row.applies_until,
            after=earlier is not None,
        )
    differ = tuple(_differ(old, new))
    if not differ:
        return None
    return RowChange(
        kind=kind,
        id=row.id,
        title=row.title,
        how="changed",
        fields=differ,
        first=row.applies_from,
        last=row.applies_until,
    )


def _find_moved(table: RulesTable, paper: PaperRow) -> Iterator[tuple[str, object, object]]:
    """Name the steps, documents and duties that go or come on an edition's first day."""
    first = paper.applies_from
    if first is None or first == date.min:
        return
    before = list_parts_on(table, paper.id, first - timedelta(days=1))
    after = list_parts_on(table, paper.id, first)
    for kind, old, new in zip(("steps", "documents", "duties"), before, after, strict=True):
        gone = tuple(row.title for row in old if row.id not in {one.id for one in new})
        come = tuple(row.title for row in new if row.id not in {one.id for one in old})
        if gone:
            yield f"{kind}_no_longer_asked_for", gone, ()
        if come:
            yield f"{kind}_asked_for_from_then_on", (), come


def _differ_but_days(old: Row, new: Row) -> Iterator[tuple[str, object, object]]:
    days = ("applies_from", "applies_until")
    return (one for one in _differ(old, new) if one[0] not in days)


def _find_earlier(row: Row, rows: tuple[Row, ...]) -> Row | None:
    """Find the edition of a row that is in force before it."""
    begins = row.applies_from or date.min
    earlier = [one for one in rows if one.id == row.id and (one.applies_from or date.min) < begins]
    return max(earlier, key=lambda one: one.applies_from or date.min, default=None)


def _differ(old: Row, new: Row) -> Iterator[tuple[str, object, object]]:
    for field in fields(old):
        one, two = getattr(old, field.name), getattr(new, field.name)
        if field.name in _NOT_COMPARED or one == two:
            continue
        if isinstance(one, Basis) and isinstance(two, Basis):
            for part in fields(one):
                left, right = getattr(one, part.name), getattr(two, part.name)
                if left != right:
                    yield part.name, left, right
        else:
            yield field.name, one, two


def compare_plans(old: Plan, new: Plan) -> tuple[DateChange, ...]:
    """Compare the days of two plans of one operation: jobs, packets, duties; only what differs.

    Of what is kept or good through a day those that still run are compared; what a day is over for
    is no more there than what nobody asks for.
    """
    found = [*_jobs(old, new), *_packets(old, new), *_duties(old, new), *_resting(old, new)]
    return tuple(change for change in found if change.old != change.new)


def compare_kept(
    old: tuple[RecordPage, ...], new: tuple[RecordPage, ...]
) -> tuple[DateChange, ...]:
    """Compare through which day each record of applications is kept, by two sets of rules.

    Shape: the same records on both sides; those whose last day, inclusive, differs, by job, then
    in the order given. Where only one side lets a record go without asking the agency first, that
    day is another change, None on the other side.
    """
    before = {page.record.number: page.kept for page in old}
    found = [
        change
        for page in new
        for change in _records(page, before.get(page.record.number), page.kept)
    ]
    changed = (change for change in found if change.old != change.new)
    return tuple(sorted(changed, key=lambda change: change.group))


def _records(page: RecordPage, old: Kept | None, new: Kept) -> Iterator[DateChange]:
    about = f"record {page.record.number}"
    what = f"{about} of {say_date(page.record.on)}"
    group = f"records of {page.record.job}"
    yield DateChange(
        about=about,
        what=f"{what}, {_KEPT}",
        old=old.through if old is not None else None,
        new=new.through,
        group=group,
        things=f"records, {_KEPT}",
    )
    if old is not None and old.state_known != new.state_known:
        yield DateChange(
            about=about,
            what=f"{what}, {_FREE}",
            old=old.through if old.state_known else None,
            new=new.through if new.state_known else None,
            group=group,
            things=f"records, {_FREE}",
            without=_ASK_FIRST,
        )


def _jobs(old: Plan, new: Plan) -> Iterator[DateChange]:
    before = {job.job.id: job.first_lawful_day for job in old.jobs}
    after = {job.job.id: job.first_lawful_day for job in new.jobs}
    for name in dict.fromkeys((*before, *after)):
        yield DateChange(
            about=name, what="first lawful day", old=before.get(name), new=after.get(name)
        )


def _packets(old: Plan, new: Plan) -> Iterator[DateChange]:
    before = {paper.id: _days(paper) for paper in old.papers}
    after = {paper.id: _days(paper) for paper in new.papers}
    for name in dict.fromkeys((*before, *after)):
        one, two = before.get(name, {}), after.get(name, {})
        for what in dict.fromkeys((*one, *two)):
            yield DateChange(about=name, what=what, old=one.get(what), new=two.get(what))


def _days(paper: PaperPlan) -> dict[str, date | None]:
    verb = "mail" if paper.is_mailed else "file"
    return {
        f"{verb} by, safe": paper.mail_safe,
        f"{verb} by, last": paper.mail_last,
        "ready, earliest": paper.earliest_ready,
        "needed by": paper.in_hand_by,
        "in force through": paper.packet.valid_through,
    }


def _duties(old: Plan, new: Plan) -> Iterator[DateChange]:
    before = {duty.id: (duty.row.title, duty.due_on) for duty in old.duties.due if duty.is_live}
    after = {duty.id: (duty.row.title, duty.due_on) for duty in new.duties.due if duty.is_live}
    for name in dict.fromkeys((*before, *after)):
        title, _ = after.get(name) or before[name]
        yield DateChange(
            about=name,
            what=f"due: {title}",
            old=before[name][1] if name in before else None,
            new=after[name][1] if name in after else None,
        )


def _resting(old: Plan, new: Plan) -> Iterator[DateChange]:
    """Compare what is kept or good through a day; nobody has to do anything on it."""
    before, after = (
        {duty.id: duty for duty in plan.duties.due if duty.state is DutyState.RUNNING}
        for plan in (old, new)
    )
    for name in dict.fromkeys((*before, *after)):
        one, two = before.get(name), after.get(name)
        duty = two or before[name]
        kept = _KEPT if duty.row.kind is DutyKind.KEEP_RECORD else _GOOD
        yield DateChange(
            about=name,
            what=f"{duty.about}, {kept}",
            old=one.due_on if one is not None else None,
            new=two.due_on if two is not None else None,
            group=f"{say_owner(duty.row.id, duty.holder)}: {duty.row.title}",
            things=f"{'flights' if set(duty.row.events) <= _FLOWN else 'times'}, {kept}",
        )
