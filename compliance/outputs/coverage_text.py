"""What is known state by state, as text."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.coverage import FEDERAL, Coverage
from compliance.facts.basis import WORDS_OF_CONFIDENCE
from compliance.facts.states import STATES
from compliance.outputs.words import CAUTION, wrap
from compliance.rules.model import GapRow, Row

_EVERYWHERE = "every state (federal rules and common practice)"
NO_RULE = (
    "mailby has no rule of this state. The federal rules apply there all the same; which state "
    "licenses, records, notices and insurance are asked for is not known here. Ask the state's "
    "agriculture and aviation offices before you plan a job."
)


def render_coverage_list(coverage: tuple[Coverage, ...], as_of: date) -> str:
    """Render one paragraph for each state with rows, then those with gaps alone or nothing."""
    known = [one for one in coverage if one.has_rules]
    asked = [one for one in coverage if not one.has_rules and one.gaps]
    empty = [one for one in coverage if not one.has_rules and not one.gaps]
    lines = [wrap(f"What mailby knows, state by state, as of {say_date(as_of)}"), ""]
    for one in known:
        lines.append(wrap(f"{_head(one)}: {_say_counts(one)}", hang=4))
        lines.append(wrap(f"how sure: {_say_sure(one)}; {_say_reviewed(one)}", indent=4))
    if asked:
        names = ", ".join(
            f"{STATES[one.state]} ({_count(len(one.gaps), 'question')})" for one in asked
        )
        lines.extend(["", wrap(f"No rule yet, only what to ask: {names}.")])
    if empty:
        names = ", ".join(STATES[one.state] for one in empty)
        lines.extend(["", wrap(f"Nothing at all: {names}.")])
    if asked or empty:
        rest = NO_RULE.replace("of this state", "of these states").replace("the state's", "their")
        lines.extend(["", wrap(rest)])
    lines.extend(["", "`mailby coverage STATE` says it in full, such as NE.", "", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def render_coverage(one: Coverage, as_of: date) -> str:
    """Render all that is known of one state, what is not, how sure it is and as of when."""
    lines = [wrap(f"{_head(one)}: what mailby knows, as of {say_date(as_of)}")]
    if not one.has_rules:
        lines.extend(["", wrap(NO_RULE)])
    else:
        lines.extend([wrap(f"how sure: {_say_sure(one)}"), wrap(_say_reviewed(one))])
    if one.has_rules and one.state != FEDERAL:
        lines.extend(["", "Federal rules apply too: `mailby coverage US` lists them."])
    sections = (
        ("PAPERS", one.papers),
        ("RECORDS OF APPLICATIONS", one.records),
        ("DUTIES AROUND FLYING", one.duties),
        ("INSURANCE AND BONDS", one.insurance),
    )
    for heading, rows in sections:
        if not one.has_rules:
            break
        lines.extend(["", heading])
        lines.extend(line for row in rows for line in _row(row))
        if not rows:
            lines.append("  none known here")
    if one.gaps:
        lines.extend(["", "NOT KNOWN: mailby has no rule for this, ask the agency"])
    for gap in one.gaps:
        lines.append(wrap(f"- {gap.about}: {gap.what}", indent=2, hang=4))
        lines.append(wrap(f"looked in: {gap.basis.citation}", indent=4, hang=6))
    if one.has_rules and not one.gaps:
        lines.extend(["", "No open question is noted. That is no promise that there is none."])
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def _row(row: Row) -> Iterator[str]:
    if isinstance(row, GapRow):
        yield wrap(f"- not known, ask the agency: {row.what}", indent=2, hang=4)
        return
    basis = row.basis
    yield wrap(f"- {row.title} ({row.id})", indent=2, hang=4)
    sure = WORDS_OF_CONFIDENCE[basis.confidence]
    edition = f"edition {basis.edition}; reviewed {say_date(basis.reviewed_on)}"
    parts = dict.fromkeys((basis.citation, sure, edition))
    yield wrap("; ".join(parts), indent=4, hang=6)


def _head(one: Coverage) -> str:
    return _EVERYWHERE.capitalize() if one.state == FEDERAL else f"{STATES[one.state]}, {one.state}"


def _say_counts(one: Coverage) -> str:
    parts = (
        _count(len(one.papers), "paper"),
        _count(len(one.records), "record rule"),
        _count(len(one.duties), "duty", "duties"),
        f"{len(one.insurance) or 'none'} about insurance",
        _count(len(one.gaps), "open question"),
    )
    return ", ".join(parts)


def _count(number: int, one: str, several: str = "") -> str:
    return f"{number or 'no'} {one if number == 1 else several or f'{one}s'}"


def _say_sure(one: Coverage) -> str:
    total = sum(number for _, number in one.sure)
    parts = (f"{WORDS_OF_CONFIDENCE[name]} {number}" for name, number in one.sure)
    return f"of {_count(total, 'row')}: {', '.join(parts)}"


def _say_reviewed(one: Coverage) -> str:
    if one.reviewed is None:
        return "never reviewed"
    first, last = one.reviewed
    until = f" to {say_date(last)}" if last != first else ""
    return f"reviewed {say_date(first)}{until}"
