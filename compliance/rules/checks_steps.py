"""Checks of steps: names, order, returns, events, days."""

from collections.abc import Iterator
from itertools import combinations

from compliance.base.problems import Problem
from compliance.base.reading import suggest
from compliance.facts.log import EventKind
from compliance.rules.checks_parts import can_share_packet, find_circles, problem_at
from compliance.rules.model import RulesTable, StepKind, StepRow, StepUse


def _by_paper(table: RulesTable) -> Iterator[tuple[str, tuple[StepRow, ...]]]:
    """Give the steps paper by paper, in table order."""
    for paper in dict.fromkeys(step.paper for step in table.steps):
        yield paper, tuple(step for step in table.steps if step.paper == paper)


def check_step_names(table: RulesTable) -> Iterator[Problem]:
    """Every step named in ``after``, ``fresh`` or ``return_path`` is one of the paper (R34)."""
    for paper, steps in _by_paper(table):
        known = tuple(dict.fromkeys(step.name for step in steps))
        for step in steps:
            fresh = (step.fresh.after,) if step.fresh is not None else ()
            for key, names in (
                ("after", step.after),
                ("fresh", fresh),
                ("return_path", step.return_path),
            ):
                for name in dict.fromkeys(names):
                    if name not in known:
                        sentence = f"`{key}` of step `{step.id}` names `{name}`, "
                        sentence += f"which is no step of paper `{paper}`"
                        hint = suggest(name, known) or f"known here: {', '.join(known)}"
                        yield problem_at(step.place, "34", sentence, hint)


def check_return_paths(table: RulesTable) -> Iterator[Problem]:
    """A return path names each step once and ends with its own; a packet has one (R35, R36)."""
    for paper, steps in _by_paper(table):
        returnable = [step for step in steps if step.return_path]
        for step in returnable:
            path = step.return_path
            if path[-1] != step.name:
                sentence = f"`return_path` of step `{step.id}` ends with `{path[-1]}`"
                hint = f"the office looks at the packet again at the end: write `{step.name}` last"
                yield problem_at(step.place, "35", sentence, hint)
            for name in dict.fromkeys(path):
                if path.count(name) > 1:
                    sentence = f"`return_path` of step `{step.id}` names `{name}` twice"
                    yield problem_at(step.place, "35", sentence, "keep one of them")
        for one, other in combinations(returnable, 2):
            # Two editions of one step that share days are R31 already.
            if one.name != other.name and can_share_packet(one, other):
                sentence = f"steps `{one.name}` and `{other.name}` of paper `{paper}` both have "
                sentence += "a `return_path`"
                hint = "a packet can come back from one step only; remove one path"
                yield problem_at(other.place, "36", sentence, hint)


def check_comes_back(table: RulesTable) -> Iterator[Problem]:
    """Only a step that sends packets back says how often it does (R72)."""
    for step in table.steps:
        if step.comes_back is not None and not step.return_path:
            sentence = f"step `{step.id}` says how often it sends packets back, but not where to"
            hint = "add a `return_path`, or remove `comes_back`"
            yield problem_at(step.place, "72", sentence, hint)


def check_step_circles(table: RulesTable) -> Iterator[Problem]:
    """No step waits, round some corner, for itself (R37)."""
    for paper, steps in _by_paper(table):
        waits_for: dict[str, tuple[str, ...]] = {}
        for step in steps:
            if step.use is not StepUse.AFTER_RETURN:
                waits_for[step.name] = (*waits_for.get(step.name, ()), *step.after)
        for circle in find_circles(waits_for):
            place = next(step.place for step in steps if step.name == circle[0])
            sentence = f"steps of paper `{paper}` wait for one another: {' -> '.join(circle)}"
            yield problem_at(place, "37", sentence, "take one of the names out of its `after`")


def check_notices(table: RulesTable) -> Iterator[Problem]:
    """Nothing comes after a legal notice period: it runs until the paper is needed (R47)."""
    for _, steps in _by_paper(table):
        notices = {step.name for step in steps if step.kind is StepKind.NOTICE}
        for step in steps:
            for name in dict.fromkeys(step.after):
                if name in notices:
                    sentence = f"step `{step.id}` comes after `{name}`, which is a notice period"
                    hint = f"name in `after` what comes before `{name}`, or write `{name}` last"
                    yield problem_at(step.place, "47", sentence, hint)
            for name in dict.fromkeys(step.return_path):
                if name in notices:
                    sentence = f"`return_path` of step `{step.id}` runs through the notice period "
                    hint = "a notice counts from the first filing; take it out of the path"
                    yield problem_at(step.place, "47", f"{sentence}`{name}`", hint)


def check_after_return(table: RulesTable) -> Iterator[Problem]:
    """Steps after a return stand in a path, and only a path puts them in order (R48, R57)."""
    for _, steps in _by_paper(table):
        on_path = {name for step in steps for name in step.return_path}
        later = {step.name for step in steps if step.use is StepUse.AFTER_RETURN}
        for step in steps:
            if step.name in later:
                if step.name not in on_path:
                    sentence = f"step `{step.id}` is for packets sent back, "
                    sentence += "but no `return_path` names it"
                    hint = "put it in the `return_path` of the step at the office"
                    yield problem_at(step.place, "48", sentence, hint)
                if step.after:
                    sentence = f"step `{step.id}` is for packets sent back, so `after` says nothing"
                    hint = "remove `after`; `return_path` gives the order"
                    yield problem_at(step.place, "57", sentence, hint)
                continue
            for name in dict.fromkeys(step.after):
                if name in later:
                    sentence = f"step `{step.id}` comes after `{name}`, "
                    sentence += "which is done only when a packet was sent back"
                    hint = "name a step that every packet has"
                    yield problem_at(step.place, "57", sentence, hint)


def check_fresh_again(table: RulesTable) -> Iterator[Problem]:
    """What must be fresh on a return path is made fresh on that path, before it (R67)."""
    for _, steps in _by_paper(table):
        for returnable in steps:
            path = returnable.return_path
            for step in steps:
                if step.fresh is None or step.name not in path:
                    continue
                if step.fresh.after not in path[: path.index(step.name)]:
                    sentence = f"step `{step.id}` must be fresh after `{step.fresh.after}`, which "
                    sentence += f"is not done again on the `return_path` of `{returnable.id}`"
                    hint = f"add `{step.fresh.after}` to that path before `{step.name}`, or move "
                    hint += "`fresh` to a step that is not on it"
                    yield problem_at(step.place, "67", sentence, hint)


def check_freshness(table: RulesTable) -> Iterator[Problem]:
    """What a step must be fresh after comes before it (R58)."""
    for _, steps in _by_paper(table):
        after: dict[str, tuple[str, ...]] = {}
        for step in steps:
            after[step.name] = (*after.get(step.name, ()), *step.after)
        for step in steps:
            if step.fresh is None or step.fresh.after not in after:
                continue
            earlier: set[str] = set()
            waiting = list(step.after)
            while waiting:
                name = waiting.pop()
                if name not in earlier:
                    earlier.add(name)
                    waiting.extend(after.get(name, ()))
            if step.fresh.after not in earlier:
                sentence = f"step `{step.id}` must be fresh after `{step.fresh.after}`, "
                sentence += "which does not come before it"
                hint = "name an earlier step, or add it to `after`"
                yield problem_at(step.place, "58", sentence, hint)


def check_events(table: RulesTable) -> Iterator[Problem]:
    """A word of the log ticks one step of a first mailing; ``done`` needs a name anyway (R49)."""
    for _, steps in _by_paper(table):
        for one, other in combinations(steps, 2):
            ticks = one.event is other.event and one.event is not EventKind.DONE
            if ticks and one.name != other.name and can_share_packet(one, other):
                sentence = f"`{other.event}` in the log ticks two steps, "
                sentence += f"`{one.id}` and `{other.id}`"
                hint = "give one of them another `event`, or none"
                yield problem_at(other.place, "49", sentence, hint)


def check_step_days(table: RulesTable) -> Iterator[Problem]:
    """An act has a place, a wait has days; only waits travel by mail (R51, R52, R53)."""
    for step in table.steps:
        is_act = step.kind is StepKind.ACT
        if is_act and not step.done_at:
            sentence = f"step `{step.id}` is something to do, but says not where"
            yield problem_at(step.place, "51", sentence, "add a line `done_at: farm`")
        if step.done_at and not is_act:
            sentence = f"step `{step.id}` is a {step.kind}, so it is done nowhere"
            yield problem_at(step.place, "51", sentence, "remove `done_at`, or write `kind: act`")
        if step.mail and step.kind is not StepKind.WAIT:
            sentence = f"step `{step.id}` travels by mail, but its kind is {step.kind}"
            yield problem_at(step.place, "52", sentence, "write `kind: wait`, or remove `mail`")
        if not is_act and not step.mail and step.days is None:
            sentence = f"step `{step.id}` is a {step.kind} without days"
            yield problem_at(step.place, "53", sentence, "add a line `days: ...`")
