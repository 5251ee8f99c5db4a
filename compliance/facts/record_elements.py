"""What the record of an application may hold: one closed list of elements, each with its words.

The rules of the states name elements of this list, so that one record serves all of them.
"""

from dataclasses import dataclass
from enum import StrEnum


class ElementKind(StrEnum):
    """How the text of an element is read."""

    TEXT = "text"
    DAY = "day"
    TIME = "time of day"
    NUMBER = "number"
    HOURS = "hours"
    AMOUNT = "number and unit"
    REGISTRATION = "registration number"
    EITHER = "one of two others"


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """One element: its name, plain words for it, and how it is read.

    ``of_product``: it belongs to each product and not to the whole record. ``either`` names the
    elements of which one is enough. ``most`` is the largest number, ``least`` the smallest.
    """

    name: str
    words: str
    kind: ElementKind = ElementKind.TEXT
    of_product: bool = False
    either: tuple[str, ...] = ()
    least: int = 0
    most: int = 0

    @property
    def key(self) -> str:
        """Give its name as a key of a file or a column of a table."""
        return self.name.replace("-", "_")


def _text(name: str, words: str) -> Element:
    return Element(name=name, words=words)


def _product(name: str, words: str, kind: ElementKind = ElementKind.TEXT) -> Element:
    return Element(name=name, words=words, kind=kind, of_product=True)


def _number(name: str, words: str, least: int, most: int) -> Element:
    return Element(name=name, words=words, kind=ElementKind.NUMBER, least=least, most=most)


def _either(name: str, words: str, *either: str) -> Element:
    return Element(name=name, words=words, kind=ElementKind.EITHER, either=either)


# The limits of numbers are our own: far outside what a small spray aircraft does, so that a slipped
# point or a wrong unit is caught.
_ELEMENTS = (
    Element(name="day", words="day of the application", kind=ElementKind.DAY),
    Element(name="start", words="time it began", kind=ElementKind.TIME),
    Element(name="end", words="time it ended", kind=ElementKind.TIME),
    _either("time", "time of day", "start", "end"),
    _text("customer", "customer's name"),
    _text("customer-address", "customer's address"),
    _text("owner", "owner of the land"),
    _text("place", "place of the application"),
    _text("site", "site treated"),
    _text("crop", "crop"),
    _either("crop-or-site", "crop, commodity or site", "crop", "site"),
    _text("crop-stage", "stage of the crop"),
    _text("target", "target pest"),
    _number("area", "area treated in acres", 0, 100_000),
    _number("wind-speed", "wind speed in miles an hour", 0, 100),
    _text("wind-direction", "wind direction"),
    _number("temperature", "temperature in degrees Fahrenheit", -40, 140),
    _text("method", "method of application"),
    _number("height", "height above the crop in feet", 0, 400),
    _text("equipment", "equipment used"),
    _text("aircraft-number", "registration number of the aircraft"),
    _text("mixing-place", "place of mixing and loading"),
    _text("tank-total", "total of the tank mix"),
    _text("dilution", "dilution"),
    _text("adjuvants", "adjuvants"),
    Element(
        name="re-entry",
        words="restricted-entry interval in hours",
        kind=ElementKind.HOURS,
        most=10_000,
    ),
    _text("applicator", "applicator's name"),
    _text("certificate", "applicator's certificate or license number"),
    _text("helper", "uncertified helper's name"),
    _text("business", "name of the business"),
    _text("business-license", "license number of the business"),
    _text("business-address", "address of the business"),
    _text("pilot-name", "pilot's name"),
    _text("pilot-address", "pilot's address"),
    _text("pilot-certificate", "pilot's certificate number"),
    Element(
        name="pilot-shown",
        words="day the pilot showed knowledge and skill",
        kind=ElementKind.DAY,
    ),
    _text("recommender", "who recommended the application"),
    _text("safety-contact", "contact for worker protection"),
    _text("incidents", "incidents"),
    _text("disposal", "disposal of what was left"),
    _text("notes", "notes"),
    _product("product", "product name"),
    _product("registration", "EPA registration number", ElementKind.REGISTRATION),
    _product("active-ingredient", "common name of the active ingredient"),
    _product("maker", "maker of the product"),
    _product("supplier", "supplier of the product"),
    _product("amount", "total amount of the product", ElementKind.AMOUNT),
    _product("rate", "rate"),
    _product("concentration", "concentration"),
)

ELEMENTS: dict[str, Element] = {element.name: element for element in _ELEMENTS}
RECORD_KEYS: dict[str, Element] = {
    element.key: element
    for element in _ELEMENTS
    if not element.of_product and element.kind is not ElementKind.EITHER
}
PRODUCT_KEYS: dict[str, Element] = {
    element.key: element for element in _ELEMENTS if element.of_product
}
