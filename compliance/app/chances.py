"""The chances of a plan, with what the database knows of the offices."""

from dataclasses import replace

from compliance.app.offices import load_seen
from compliance.base.problems import RefusedError
from compliance.engine.chances import WANTED, compute_chances
from compliance.engine.plan_model import Plan
from compliance.rules.model import RulesTable
from compliance.store.reading import Readable

LEAST_WANTED, MOST_WANTED = 0.5, 0.99


def add_chances(session: Readable, plan: Plan, table: RulesTable, wanted: float = WANTED) -> Plan:
    """Add the chances to a plan, with mail-by days for a wanted chance.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    seen = load_seen(session, table, plan.as_of).seen
    return replace(plan, chances=compute_chances(plan, table, seen=seen, wanted=wanted))


def parse_chance(text: str) -> float:
    """Read a wanted chance such as ``0.95`` or ``95 %``.

    Raises:
        RefusedError: It is no number from 0.5 to 0.99.
    """
    number = text.strip()
    share = number.endswith("%")
    try:
        chance = float(number.removesuffix("%")) / (100 if share else 1)
    except ValueError:
        chance = -1.0
    # Not a number compares false with everything, so it is refused here too.
    if not LEAST_WANTED <= chance <= MOST_WANTED:
        raise RefusedError(
            f"a chance to plan for is a number from {LEAST_WANTED} to {MOST_WANTED}, not {text!r}",
            hint="0.9 stands for nine seasons in ten; nothing is certain enough for more than 0.99",
        )
    return chance
