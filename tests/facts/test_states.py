"""State codes against the list of an independent package."""

import holidays

from compliance.facts.states import STATES

# Territories and minor islands of ISO 3166-2:US; the product covers the states and the District.
TERRITORIES = {"AS", "GU", "MP", "PR", "UM", "VI"}


def test_states_agree_with_iso_subdivisions() -> None:
    aliases = holidays.country_holidays("US").subdivisions_aliases
    expected = {code: name for name, code in aliases.items() if code not in TERRITORIES}

    assert expected == STATES
