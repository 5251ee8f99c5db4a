"""When answers may come, against numpy's business days and the days of the rows."""

from dataclasses import replace
from datetime import date

import holidays
import numpy as np

from compliance.app.planned import Planned
from compliance.engine.chance_model import Chances
from compliance.engine.plan import compute_plan
from compliance.engine.plan_model import Plan
from compliance.outputs.timeline_model import Spread
from compliance.outputs.timeline_waits import compute_spreads

# The general-purpose packages: numpy.busday_offset counts, python-holidays knows federal holidays.
FEDERAL = list(holidays.country_holidays("US", years=[2026, 2027, 2028]))


def business_days_after(day: date, count: int) -> date:
    start = np.datetime64(day)
    before = np.busday_offset(start, 0, roll="backward", holidays=FEDERAL)
    found: date = np.busday_offset(before, count, holidays=FEDERAL).astype(date)
    return found


def test_spread_counts_the_rows_days_from_the_day_the_office_has_it(demo_plan: Plan) -> None:
    """Nebraska's review takes 7, 15 or 30 business days from the day the packet is there."""
    plan = replace(demo_plan, chances=None)
    paper = plan.find_paper("ne.commercial-applicator:wren")
    assert paper is not None
    transit, review = paper.find_step("transit"), paper.find_step("review")
    assert transit is not None
    assert review is not None
    lead = review.row.days
    assert lead is not None

    assert compute_spreads(plan)[review.id] == Spread(
        soonest=business_days_after(transit.earliest, lead.fast),
        likely=business_days_after(transit.earliest, lead.usual),
        slow=business_days_after(transit.earliest, lead.slow),
    )


def test_spread_never_begins_before_today(demo_plan: Plan) -> None:
    """An answer that could have come already may still come today at the soonest."""
    plan = replace(demo_plan, chances=None)
    spreads = compute_spreads(plan)

    assert spreads["faa.exemption/review"].soonest == plan.as_of
    assert all(plan.as_of <= one.soonest <= one.likely <= one.slow for one in spreads.values())


def test_spread_leaves_out_mail_and_fixed_periods(demo_plan: Plan) -> None:
    """Mail in transit is no office; a notice period always takes the same days."""
    spreads = compute_spreads(replace(demo_plan, chances=None))

    assert "faa.exemption/lead" not in spreads
    assert not [name for name in spreads if "transit" in name or name.endswith("return-mail~2")]


def test_spread_takes_the_days_of_the_chances(demo_plan: Plan) -> None:
    """When they were drawn, the 10, 50 and 90 percent days stand in place of the row's."""
    days = (date(2027, 2, 1), date(2027, 3, 1), date(2027, 6, 1))
    chances = Chances(
        draws=1,
        seed=1,
        wanted=0.9,
        jobs=(),
        packets=(),
        matters=(),
        spread={"faa.exemption/review": days},
    )
    spreads = compute_spreads(replace(demo_plan, chances=chances))

    assert spreads["faa.exemption/review"] == Spread(soonest=days[0], likely=days[1], slow=days[2])


def test_spread_of_what_waits_for_an_overdue_paper_is_not_reckoned(demo_planned: Planned) -> None:
    """On 10 February the exemption is overdue: without chances nobody knows what hangs on it."""
    operation = demo_planned.plan.operation
    plan = compute_plan(operation, demo_planned.table, demo_planned.log, date(2027, 2, 10))
    packets = {name.partition("/")[0] for name in compute_spreads(plan)}

    assert "ne.commercial-applicator:wren" in packets
    assert not packets & {"faa.ag-operator", "ne.aerial-business", "faa.airspace-authorization"}
