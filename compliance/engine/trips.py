"""The fewest days on which a set of errands can be done, found by an exact search."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from compliance.engine.moves import CycleFoundError, Move
from compliance.engine.trips_search import DaySet, Part, Search, assign, find_quickly
from compliance.engine.trips_sweep import Sweep

# Sets of chosen days looked at in one part before the search gives up: a few seconds of work.
MOST_LOOKS = 60_000
# In parts with more errands than this no long search is made; see `compute_fewest_trips`.
MOST_EXACT = 25


@dataclass(frozen=True, slots=True, kw_only=True)
class NotSameDay:
    """What moves the later of two errands to the next day when the earlier one is on such a day."""

    days: frozenset[int]

    def forward(self, day: int) -> int:
        """Find the first day for the later errand."""
        return day + 1 if day in self.days else day


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """An errand that comes before another: what lies between them, and at least how long.

    ``moves`` are gone through in order from the day of the earlier errand, then ``gap_days``
    calendar days are added; nothing between and a gap of 0 allow both on one trip.

    Raises:
        ValueError: *gap_days* is negative.
    """

    before: str
    moves: tuple[Move | NotSameDay, ...] = ()
    gap_days: int = 0

    def __post_init__(self) -> None:
        if self.gap_days < 0:
            raise ValueError(f"a gap cannot be shorter than 0 days, got {self.gap_days}")

    def forward(self, day: int) -> int:
        """Find the first day for the later errand when the earlier one is done on *day*."""
        for move in self.moves:
            day = move.forward(day)
        return day + self.gap_days


@dataclass(frozen=True, slots=True, kw_only=True)
class Errand:
    """Something to be done in one place on one day.

    Units: days are ordinals, *first* and *last* both inclusive. ``days`` are the days on which its
    place is open and somebody can go, sorted; those outside the window do not count. ``enough`` are
    the calendar days before its last day that are room enough, None when the earlier the better.
    ``soon`` tells that its last day is only the end of a wish to go early, so that no room is kept
    before it.
    """

    id: str
    first: int
    last: int
    days: tuple[int, ...]
    after: tuple[Link, ...] = ()
    enough: int | None = None
    soon: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Fewest:
    """The trip days found, sorted, and the day of each errand by its id.

    ``proved`` tells that no smaller number of days will do. ``room`` is the least number of
    calendar days between an errand's day and its last one, errands done on their first possible day
    and those to go soon left out; None when all are. ``first`` and ``last`` are the first and last
    day of each errand once what comes before it and what waits for it are counted; the errand with
    the earliest last day forces its trip.
    """

    days: tuple[int, ...]
    on: Mapping[str, int]
    first: Mapping[str, int]
    last: Mapping[str, int]
    proved: bool
    room: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Impossible:
    """No days will do: *errand* has no day left between its first and its last."""

    errand: str


def order_errands(errands: Iterable[Errand]) -> tuple[Errand, ...]:
    """Put errands in an order in which each comes after those it waits for.

    Shape: as given where there is a choice; links to errands that are not among them are dropped.

    Raises:
        CycleFoundError: Errands wait for one another.
    """
    left = list(errands)
    names = {errand.id for errand in left}
    done: set[str] = set()
    ordered: list[Errand] = []
    while left:
        ready = next((one for one in left if {li.before for li in one.after} & names <= done), None)
        if ready is None:
            raise CycleFoundError(tuple(errand.id for errand in left))
        left.remove(ready)
        done.add(ready.id)
        after = tuple(link for link in ready.after if link.before in names)
        ordered.append(replace(ready, after=after))
    return tuple(ordered)


def compute_first_days(errands: Iterable[Errand]) -> dict[str, int | None]:
    """Give the first day each errand can be done, whatever its last day; None when there is none.

    Shape: errands behind one without a day have none either.
    """
    found: dict[str, int | None] = {}
    for errand in order_errands(errands):
        floor: int | None = errand.first
        for link in errand.after:
            before = found[link.before]
            floor = None if before is None or floor is None else max(floor, link.forward(before))
        days = (day for day in errand.days if floor is not None and day >= floor)
        found[errand.id] = next(days, None)
    return found


def compute_fewest_trips(
    errands: Iterable[Errand], *, most_looks: int = MOST_LOOKS
) -> Fewest | Impossible:
    """Find the fewest days on which all errands can be done, and among those the safest.

    Windows are tightened by what comes before and after; parts that cannot touch each other are
    solved apart. Each part is searched with a growing number of days, beginning with the number of
    windows that lie apart; so the first answer has the fewest. Of all answers with that many days
    one is kept that leaves the most room before the last days. A part not settled by a tenth of
    *most_looks* is swept day by day, with as many looks; one that is too wide for that, its windows
    being long, is searched with all of them if it has at most 25 errands. What is not settled then
    gets an answer that is good but not proved to have the fewest.

    Raises:
        CycleFoundError: Errands wait for one another.
    """
    tight = _tighten(order_errands(errands))
    if isinstance(tight, Impossible):
        return tight
    on: dict[str, int] = {}
    proved, rooms = True, []
    for group in _split(tight):
        days, is_proved, room = _solve(group, most_looks)
        on |= days
        proved = proved and is_proved
        if room is not None:
            rooms.append(room)
    return Fewest(
        days=tuple(sorted(set(on.values()))),
        on=on,
        first={errand.id: errand.first for errand in tight},
        last={errand.id: errand.last for errand in tight},
        proved=proved,
        room=min(rooms, default=None),
    )


def _tighten(ordered: Sequence[Errand]) -> tuple[Errand, ...] | Impossible:
    """Move first days behind what comes before and last days before what comes after."""
    first = compute_first_days(ordered)
    last: dict[str, int] = {errand.id: errand.last for errand in ordered}
    kept: dict[str, Errand] = {}
    for errand in reversed(ordered):
        start = first[errand.id]
        days = tuple(
            day for day in errand.days if start is not None and start <= day <= last[errand.id]
        )
        if not days:
            return Impossible(errand=_find_root(ordered, errand.id, first))
        kept[errand.id] = replace(errand, first=days[0], last=days[-1], days=days)
        for link in errand.after:
            # Not Move.backward: closed days make the link's own last day earlier than that.
            before = next(one for one in ordered if one.id == link.before)
            fits = [day for day in before.days if link.forward(day) <= days[-1]]
            last[link.before] = min(last[link.before], fits[-1] if fits else before.first - 1)
    return tuple(kept[errand.id] for errand in ordered)


def _find_root(ordered: Sequence[Errand], failing: str, first: dict[str, int | None]) -> str:
    """Name the errand to blame: the first one whose own last day cannot be met."""
    for errand in ordered:
        start = first[errand.id]
        if start is None or start > errand.last:
            return errand.id
    return failing


def _split(errands: tuple[Errand, ...]) -> Iterator[tuple[Errand, ...]]:
    """Split tightened errands where all windows before end and no wait reaches across."""
    by_first = sorted(errands, key=lambda errand: errand.first)
    group: list[str] = []
    end = 0
    for errand in by_first:
        if group and errand.first > end and not _reaches(group, by_first, errand):
            yield tuple(one for one in errands if one.id in group)
            group = []
        group.append(errand.id)
        end = max(end, errand.last)
    if group:
        yield tuple(one for one in errands if one.id in group)


def _reaches(group: list[str], by_first: list[Errand], at: Errand) -> bool:
    """Tell whether a wait from the group may move *at* or an errand that begins after it."""
    by_id = {errand.id: errand for errand in by_first}
    later = by_first[by_first.index(at) :]
    return any(
        link.before in group and link.forward(by_id[link.before].last) > errand.first
        for errand in later
        for link in errand.after
    )


def pack_errands(errands: Sequence[Errand]) -> Part:
    """Pack errands for the search.

    Shape: each stands after those it waits for, and its days are those within its window.
    """
    days = tuple(sorted({day for errand in errands for day in errand.days}))
    place = {day: at for at, day in enumerate(days)}
    ids = tuple(errand.id for errand in errands)
    inside = {errand.id: at for at, errand in enumerate(errands)}
    links = []
    for errand in errands:
        own = [
            (inside[link.before], _reach(link, days, errands[inside[link.before]]))
            for link in errand.after
            if link.before in inside
        ]
        links.append(tuple(own))
    opens = tuple(sum(1 << place[day] for day in errand.days) for errand in errands)
    return Part(ids=ids, days=days, opens=opens, links=tuple(links))


def _reach(link: Link, days: tuple[int, ...], before: Errand) -> tuple[int, ...]:
    """Give, for the place of each day, the place of the first day far enough behind it."""
    reach = []
    for day in days:
        if not before.first <= day <= before.last:
            reach.append(len(days))
            continue
        needed = link.forward(day)
        reach.append(next((at for at, one in enumerate(days) if one >= needed), len(days)))
    return tuple(reach)


def _solve(errands: tuple[Errand, ...], most_looks: int) -> tuple[dict[str, int], bool, int | None]:
    """Solve one part: the day of each errand, whether the number is proved, the room left."""
    part = pack_errands(errands)
    quick = find_quickly(part)
    found, proved = _search(part, quick, most_looks // 10)
    if not proved:
        swept = Sweep(part, most_looks).find_fewer(quick.bit_count())
        found, proved = swept.days, swept.is_whole
    if not proved and len(errands) <= MOST_EXACT:
        found, proved = _search(part, quick, most_looks)
    chosen, room = _make_safest(
        errands, quick if found is None else found, most_looks // 10 if proved else 0
    )
    return chosen, proved, room


def _search(part: Part, quick: DaySet, most_looks: int) -> tuple[DaySet | None, bool]:
    """Search with more and more days, fewer than *quick* has; tell whether it came to an end."""
    search = Search(part, most_looks)
    found: DaySet | None = None
    count = search.count_apart()
    while found is None and count < quick.bit_count() and search.left >= 0:
        found = search.find(count)
        count += 1
    return found, search.left >= 0


def _make_safest(
    errands: tuple[Errand, ...], found: DaySet, most_looks: int
) -> tuple[dict[str, int], int | None]:
    """Keep the number of days and look for the most room before the last days.

    Every errand gives up the same number of days at the end of its window, but not more than are
    room enough for it, none when it is to go soon, and never its first possible day; the largest
    such number for which as many trips will do is found by halving. Then trips are moved earlier as
    long as that is good for an errand for which earlier is better.
    """
    part, count = pack_errands(errands), found.bit_count()
    best, best_part = found, part
    low, high = 0, max(errand.last - errand.first for errand in errands)
    while low < high:
        room = (low + high + 1) // 2
        nearer = _shorten(errands, room)
        search = Search(nearer, most_looks)
        answer = search.find(count)
        if answer is None and search.left < 0 < most_looks:
            answer = Sweep(nearer, most_looks).find_fewer(count + 1).days
        if answer is None:
            high = room - 1
        else:
            low, best, best_part = room, answer, nearer
    on = _name_days(best_part, _pull_forward(errands, best_part, best))
    rooms = [
        errand.last - on[errand.id]
        for errand in errands
        if on[errand.id] > errand.first and not errand.soon
    ]
    return on, min(rooms, default=None)


def _pull_forward(errands: tuple[Errand, ...], part: Part, chosen: DaySet) -> DaySet:
    """Move trips to earlier days where an errand is on them for which earlier is better."""
    eager = [at for at, errand in enumerate(errands) if errand.enough is None]
    for day in [at for at in range(len(part.days)) if chosen >> at & 1]:
        on = assign(part, chosen)[0]
        if all(on[at] != day for at in eager):
            continue
        rest = chosen & ~(1 << day)
        for earlier in range(day):
            moved = rest | 1 << earlier
            if moved.bit_count() == chosen.bit_count() and assign(part, moved)[2] < 0:
                chosen = moved
                break
    return chosen


def _shorten(errands: tuple[Errand, ...], room: int) -> Part:
    shorter = []
    for errand in errands:
        own = room if errand.enough is None else min(room, errand.enough)
        own = 0 if errand.soon else own
        last = max(errand.last - own, errand.first)
        days = tuple(day for day in errand.days if day <= last)
        shorter.append(replace(errand, last=days[-1], days=days))
    return pack_errands(shorter)


def _name_days(part: Part, chosen: DaySet) -> dict[str, int]:
    """Give each errand its day; a chosen day that none has first is not used."""
    at, _, _ = assign(part, chosen)
    return {name: part.days[place] for name, place in zip(part.ids, at, strict=True)}
