"""Conditions on facts: how a row says when it holds, and what was found when it was asked."""

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from compliance.base.problems import Problem, SourceRef
from compliance.base.reading import suggest
from compliance.base.sources import Mapping, Node, Scalar, Sequence
from compliance.facts.catalog import FACTS, Fact, FactType, FactValue, Subject, say_value


@dataclass(frozen=True, slots=True)
class Test:
    """One fact compared with values: ``is``, ``not``, ``at least`` or ``under``."""

    fact: str
    comparison: str
    values: tuple[FactValue, ...]


@dataclass(frozen=True, slots=True)
class AllOf:
    """Holds when every part holds; without parts it always holds."""

    parts: "tuple[Condition, ...]"


@dataclass(frozen=True, slots=True)
class AnyOf:
    """Holds when at least one part holds."""

    parts: "tuple[Condition, ...]"


Condition = Test | AllOf | AnyOf
ALWAYS = AllOf(())


@dataclass(frozen=True, slots=True)
class Finding:
    """What one test found: its words, the value met, and whether it held."""

    fact: str
    wanted: str
    found: str
    holds: bool

    def __str__(self) -> str:
        joined = "and" if self.holds else "but"
        return f"{FACTS[self.fact].words}: {self.found}, {joined} the rule asks for {self.wanted}"


def evaluate_condition(condition: Condition, subject: Subject) -> tuple[bool, tuple[Finding, ...]]:
    """Ask a condition about one subject.

    Shape: whether it holds, and the findings that decided it, in the order of the row. For a
    failed ``all`` only the parts that failed; for a failed ``any`` every part; for one that holds
    the shortest sufficient reason.
    """
    if isinstance(condition, Test):
        finding = _ask(condition, subject)
        return finding.holds, (finding,)
    answers = [evaluate_condition(part, subject) for part in condition.parts]
    if isinstance(condition, AllOf):
        holds = all(answer for answer, _ in answers)
        return holds, tuple(
            finding for answer, found in answers if answer == holds for finding in found
        )
    held = [found for answer, found in answers if answer]
    if held:
        return True, min(held, key=len)
    return False, tuple(finding for _, found in answers for finding in found)


def _ask(test: Test, subject: Subject) -> Finding:
    fact = FACTS[test.fact]
    value = fact.read(subject)
    return Finding(test.fact, say_test(test), say_value(value, fact.unit), _compare(test, value))


def _compare(test: Test, value: FactValue) -> bool:
    if test.comparison == "is":
        return value in test.values
    if test.comparison == "not":
        return value not in test.values
    bound = test.values[0]
    if not isinstance(value, Decimal) or not isinstance(bound, Decimal):
        raise TypeError(f"{test.fact} cannot be compared by size")
    return value >= bound if test.comparison == "at least" else value < bound


def say_test(test: Test) -> str:
    """Write what a test asks for."""
    unit = FACTS[test.fact].unit
    words = " or ".join(say_value(value, unit) for value in test.values)
    return words if test.comparison == "is" else f"{test.comparison} {words}"


def parse_condition(node: Node | None, family: str, problems: list[Problem]) -> Condition:
    """Read a condition from a row.

    A list means that all of it must hold. Each member is ``fact: value``, ``fact: a, b`` (one of
    them), ``fact: not a``, ``fact: at least N``, ``fact: under N``, or ``any: [ ... ]``.
    Faults are noted under the family's codes 21 (unknown fact) and 22 (value that does not fit).
    """
    if node is None:
        return ALWAYS
    if isinstance(node, Sequence):
        return AllOf(tuple(parse_condition(item, family, problems) for item in node.items))
    if isinstance(node, Mapping):
        parts = tuple(
            _parse_member(key, place, value, family, problems)
            for key, (place, value) in node.entries.items()
        )
        return parts[0] if len(parts) == 1 else AllOf(parts)
    sentence = f"a condition is `fact: value`; got {node.text!r}"
    problems.append(Problem(place=node.place, code=f"{family}22", sentence=sentence))
    return ALWAYS


def _parse_member(
    key: str, place: SourceRef, value: Node, family: str, problems: list[Problem]
) -> Condition:
    if key == "any":
        inner = parse_condition(value, family, problems)
        return AnyOf(inner.parts if isinstance(inner, AllOf) else (inner,))
    fact = FACTS.get(key)
    if fact is None:
        hint = suggest(key, FACTS) or f"known facts: {', '.join(FACTS)}"
        sentence = f"the condition names the unknown fact `{key}`"
        problems.append(Problem(place=place, code=f"{family}21", sentence=sentence, hint=hint))
        return ALWAYS
    text = value.text.strip() if isinstance(value, Scalar) else ""
    test = parse_test(fact, text)
    if test is None:
        allowed = ", ".join(fact.choices) or ("yes, no" if fact.type is FactType.FLAG else "")
        hint = f"allowed: {allowed}" if allowed else "write `at least N` or `under N`"
        sentence = f"`{key}` cannot be compared with {text!r}"
        problems.append(
            Problem(place=value.place, code=f"{family}22", sentence=sentence, hint=hint)
        )
        return ALWAYS
    return test


def parse_test(fact: Fact, text: str) -> Test | None:
    """Read the comparison of one fact, or None when the text does not fit the fact's type."""
    comparison = "is"
    for word in ("at least", "under", "not"):
        if text.startswith(f"{word} "):
            comparison, text = word, text[len(word) + 1 :].strip()
            break
    is_size = comparison in {"at least", "under"}
    if is_size != (fact.type is FactType.NUMBER):
        return None
    values: list[FactValue] = []
    for word in text.split(","):
        value = _parse_value(fact, word.strip())
        if value is None:
            return None
        values.append(value)
    return Test(fact.name, comparison, tuple(values))


def _parse_value(fact: Fact, word: str) -> FactValue | None:
    if fact.type is FactType.FLAG:
        return {"yes": True, "no": False}.get(word)
    if fact.type is FactType.CHOICE:
        return word if word in fact.choices else None
    try:
        number = Decimal(word)
    except InvalidOperation:
        return None
    return number if number.is_finite() else None
