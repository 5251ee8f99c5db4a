"""Checks of record rows: what they ask for can be known from a record alone."""

from collections.abc import Iterator

from compliance.base.problems import Problem
from compliance.base.reading import suggest
from compliance.facts.conditions import Condition, Test
from compliance.rules.checks_parts import problem_at
from compliance.rules.model import DueUnit, RulesTable

RECORD_FACTS = ("job.state", "job.for_hire", "job.restricted_use", "job.material")


def check_record_rows(table: RulesTable) -> Iterator[Problem]:
    """A record row asks only what a record knows, and says something (R82, R83, R84)."""
    for row in table.records:
        tests = tuple(_find_tests(row.when))
        for test in tests:
            if test.fact not in RECORD_FACTS:
                sentence = f"the condition of record row `{row.id}` names `{test.fact}`, "
                sentence += "which a record does not hold"
                hint = suggest(test.fact, RECORD_FACTS) or f"allowed: {', '.join(RECORD_FACTS)}"
                yield problem_at(row.place, "82", sentence, hint)
        states = [value for test in tests if test.fact == "job.state" for value in test.values]
        if states != [row.state] * bool(row.state):
            sentence = f"record row `{row.id}` has `state: {row.state or 'federal'}`, "
            sentence += "but its condition says otherwise"
            hint = "write `job.state` with the same code, and none in a federal row"
            yield problem_at(row.place, "83", sentence, hint)
        if not row.elements and row.keep_months is None and row.within is None:
            sentence = f"record row `{row.id}` asks for nothing"
            hint = "give it elements, `within` or `keep_months`; or write a gap in its place"
            yield problem_at(row.place, "84", sentence, hint)
        if row.within_unit is DueUnit.HOURS and not row.within:
            sentence = f"record row `{row.id}` is to be written within 0 hours"
            yield problem_at(row.place, "84", sentence, "write `0 days` for the same day")


def _find_tests(condition: Condition) -> Iterator[Test]:
    if isinstance(condition, Test):
        yield condition
    else:
        for part in condition.parts:
            yield from _find_tests(part)
