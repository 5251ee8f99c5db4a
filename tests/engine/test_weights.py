"""Weights on papers against the pounds of the facts.

One pound is 0.45359237 kg exactly: 24 FR 5348 (1959), NIST Special Publication 811, appendix B
(from memory). 118 lb are then 53.52389966 kg, worked out by hand.
"""

from decimal import Decimal

import pytest

from compliance.engine.weights import KG_IN_A_POUND, Weight, read_weights


def test_a_pound_in_kilograms_is_exact() -> None:
    """The factor of 1959, and what it makes of 118 lb."""
    assert Decimal(118) * KG_IN_A_POUND == Decimal("53.52389966")
    assert Weight(number=Decimal("53.52389966"), unit="kg").pounds == 118


@pytest.mark.parametrize(
    "text",
    [
        "118",
        "118 lb",
        "118lbs.",
        "118.0 pounds",
        "118#",
        "53.5 kg",
        "53.52 KG",
        "53.524 kilograms",
        "118 lb (53.5 kg)",
        "118 lb, 53.5 kg",
        "118 lb with full tank",
        "118 lb max.",
        "max 118",
        "MTOW: 118 lb",
        "118 lb max take-off weight",
        "maximum takeoff weight 118 lb with full tanks and batteries",
        "118 lb and 53.5 kg",
        "118 lb gross (53.5 kg)",
        "118 lb GTOW",
        "118 lb with everything attached",
    ],
)
def test_weights_of_118_pounds(text: str) -> None:
    """Pounds are equal, kilograms equal as far as they are written."""
    weights = read_weights(text)

    assert weights
    assert all(one.is_of(Decimal(118)) for one in weights)


@pytest.mark.parametrize(
    "text", ["118 kg", "54 kg", "53.53 kg", "53.4 kg", "118.1 lb", "1,180 lb", "118 lb (118 kg)"]
)
def test_weights_of_something_else(text: str) -> None:
    """Another unit, another number, or whole kilograms that hide a pound."""
    weights = read_weights(text)

    assert weights
    assert not all(one.is_of(Decimal(118)) for one in weights)


@pytest.mark.parametrize("text", ["", "heavy", "118 stone", "118 lb 4 oz", "53,5 kg"])
def test_weights_that_cannot_be_made_out(text: str) -> None:
    """Nothing is guessed from an unknown unit or a comma in place of a point."""
    assert read_weights(text) == ()


@pytest.mark.parametrize(
    "text",
    [
        "118 lb empty",
        "118 lb without batteries",
        "less than 118 lb",
        "about 118",
        "~118 lb",
        "<118 lb",
        "118 lb or less",
        "up to 118 lb",
        "118 lb payload",
        "90 to 118 lb",
        "118 lb net",
        "118+ lb",
    ],
)
def test_weights_beside_other_words_cannot_be_told(text: str) -> None:
    """A weight that is empty, about or less than a number is another one: common practice."""
    assert read_weights(text) == ()


def test_the_words_of_the_label_may_stand_beside() -> None:
    """Those of the blank's own label, but none that make another weight; common practice."""
    label = "Heaviest when loaded for work, not empty, in pounds"

    assert read_weights("118 pounds when loaded for work", label)[0].is_of(Decimal(118))
    assert read_weights("118 pounds when loaded for work") == ()
    assert read_weights("118 pounds empty", label) == ()
    assert read_weights("118 lb without everything attached", "with everything attached") == ()


def test_read_weights_of_a_gross_take_off_weight_with_periods() -> None:
    """As the short words are written with and without them."""
    assert [str(one.number) for one in read_weights("118 lb. G.T.O.W.")] == ["118"]
