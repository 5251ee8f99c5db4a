"""What is said of an empty place in a picture: whose it is, or that it may be left."""

import pytest

from compliance.app.sightings import Sighting, say_seen
from compliance.app.tables import load_templates
from compliance.scan.decide import NOTHING_FILLED_IN
from compliance.scan.model import Region, RegionFinding, Seen

AFFIDAVIT = load_templates()["faa-ua-affidavit"]


@pytest.mark.parametrize(
    ("blank", "why"),
    [
        ("model", NOTHING_FILLED_IN),
        ("n-number", "Nothing seen here. It may be left."),
        ("notary-signer", "Nothing seen here. Have the notary fill it in before you mail it."),
        ("", NOTHING_FILLED_IN),
    ],
)
def test_say_seen_of_an_empty_place_says_who_fills_it_in(blank: str, why: str) -> None:
    """The kind of a place alone does not tell whose it is; its blank does."""
    region = Region(id="line-1", label="by", kind="text", page=0, left=1, bottom=1, right=9, top=9)
    finding = RegionFinding(region=region, seen=Seen.MISSING, why=NOTHING_FILLED_IN, score=0.0)
    sighting = Sighting(finding=finding, picture="p.jpg")

    said = tuple(say_seen((sighting,), AFFIDAVIT, (), {"line-1": blank}))

    assert said == (f"by: missing; {why}",)
