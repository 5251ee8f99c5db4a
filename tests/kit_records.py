"""A plain application record; a test changes with `replace` what it is about."""

from datetime import date

from compliance.facts.model import Material
from compliance.facts.records import Application

PLAIN = Application(
    number=1,
    written_on=date(2027, 6, 15),
    job="pasture",
    state="NE",
    for_hire=True,
    material=Material.PESTICIDE,
    on=date(2027, 6, 15),
    start="06:10",
    end="07:45",
    zone="America/Chicago",
    aircraft="tg46",
    pilot="odile",
)
