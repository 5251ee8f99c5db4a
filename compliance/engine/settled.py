"""Tasks that must have happened, though nobody logged them."""

from dataclasses import replace

from compliance.engine.moves import Task, Wait


def settle_unseen(tasks: list[Task], today: int, in_hand: str) -> tuple[list[Task], frozenset[str]]:
    """Take waits that nobody sees the end of as over once their usual time has passed.

    Shape: the tasks in their order, and the ids of those taken as over. *in_hand* is the last part
    of the id of the task that a packet ends with.

    Raises:
        OutOfRangeError: A day leaves the calendars.
    """
    by_id = {task.id: task for task in tasks}
    followers: dict[str, list[Task]] = {task.id: [] for task in tasks}
    for task in tasks:
        for before in task.after:
            followers[before].append(task)
    assumed: set[str] = set()
    for task in tasks:
        behind = followers[task.id]
        is_unseen = isinstance(task.move, Wait) and bool(behind)
        is_unseen = is_unseen and all(isinstance(one.move, Wait) for one in behind)
        if task.done_on is not None or not task.after or not is_unseen:
            continue
        if any(one.id.endswith(f"/{in_hand}") for one in behind):
            continue
        days = [by_id[before].done_on for before in task.after]
        over = (
            task.move.forward(max(day for day in days if day is not None)) if all(days) else today
        )
        if over < today:
            by_id[task.id] = replace(task, done_on=over)
            assumed.add(task.id)
    return [by_id[task.id] for task in tasks], frozenset(assumed)


def settle_done(tasks: list[Task]) -> list[Task]:
    """Mark what a later log entry shows must have happened, on the day of that entry.

    Somebody who logs only the mailing has prepared and signed too; the plan must not ask for it.
    Only within a packet: an application filed early does not show that another paper was granted.
    """
    by_id = {task.id: task for task in tasks}
    shown: dict[str, int] = {}
    waiting = [(task.id, task.done_on) for task in tasks if task.done_on is not None]
    while waiting:
        name, day = waiting.pop()
        for before in by_id[name].after:
            own = before.partition("/")[0] == name.partition("/")[0]
            if own and by_id[before].done_on is None and day < shown.get(before, day + 1):
                shown[before] = day
                waiting.append((before, day))
    return [replace(task, done_on=shown[task.id]) if task.id in shown else task for task in tasks]
