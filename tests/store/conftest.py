"""The invented operation all store tests share, and a database file of their own."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from sqlmodel import Session

from compliance.facts.model import (
    Acquired,
    Address,
    Aircraft,
    Closure,
    EntityType,
    HeldPaper,
    Holder,
    HolderKind,
    Job,
    MailService,
    ManagedBy,
    Material,
    Operation,
    Pilot,
)
from compliance.facts.places import DayHours, Place, PlaceKind, Span
from compliance.store.session import open_session


@pytest.fixture
def db(tmp_path: Path) -> Path:
    """A database file that is not there yet."""
    return tmp_path / "sandbur.db"


@pytest.fixture(scope="module")
def drafts(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Session]:
    """A session on an empty database for many examples; each rolls back what was there before."""
    with open_session(str(tmp_path_factory.mktemp("drafts") / "drafts.db")) as session:
        session.commit()
        yield session
        session.rollback()


@pytest.fixture(scope="session")
def operation() -> Operation:
    """An operation with every field away from its default, and awkward texts."""
    return Operation(
        id="sandbur",
        legal_name="Sandbur Flats Aerial LLC",
        entity=EntityType.LLC,
        managed_by=ManagedBy.MEMBERS,
        mailing_address=Address(lines=("P.O. Box 12, c/o “Ferrant”", "Burrell Crossing NE 00000")),
        physical_address=Address(lines=("4 Windbreak Road; north gate", "Burrell Crossing, NE")),
        contact_name="Odile Ferrant",
        contact_phone="402-555-0143",
        contact_email="odile@sandbur.example",
        home_state="NE",
        mail_service=MailService.PRIORITY,
        aircraft=(_machine("tg-46", "118.0", Acquired.NEW), _machine("tg-18", "49.125001")),
        pilots=(Pilot(id="wren", name="Wren Castellow"), Pilot(id="odile", name="Odile Ferrant")),
        jobs=(
            Job(
                id="pasture",
                first_day=date(2027, 5, 24),
                last_day=date(2027, 9, 30),
                state="SD",
                for_hire=True,
                restricted_use=True,
                material=Material.PESTICIDE,
                aircraft=("tg-46", "tg-18"),
                pilots=("wren", "odile"),
                controlled_airspace=True,
                outside_blanket_area=True,
                congested_area=True,
                note="gate code 5'5\"; DROP TABLE job; --\nsecond line, \t% _ \\ \x00 \U0001f69c",
            ),
            Job(
                id="cover",
                first_day=date(2027, 8, 1),
                last_day=date(2027, 8, 1),
                state="NE",
                for_hire=False,
                restricted_use=False,
                material=Material.SEED,
                aircraft=("tg-18",),
                pilots=("odile",),
            ),
        ),
        papers=(
            HeldPaper(
                paper="ne.licence",
                holder=Holder(kind=HolderKind.PILOT, ref="wren"),
                number="NE-0000-Ł",
                issued_on=date(2026, 7, 1),
                valid_through=date(2027, 6, 30),
            ),
            HeldPaper(paper="faa.registration", holder=Holder(kind=HolderKind.OPERATION)),
        ),
        closures=(
            Closure(
                who="field", first_day=date(2027, 7, 5), last_day=date(2027, 7, 16), why="wheat"
            ),
            Closure(who="notary", first_day=date(2027, 2, 1), last_day=date(2027, 2, 1)),
        ),
        notary_days=("tue", "thu"),
        post_office_days=(),
        places=(
            Place(
                kind=PlaceKind.TEST_CENTER,
                name="Invented College, room 5'5\"",
                town="Burrell Crossing",
                days=("thu", "tue"),
                hours=(
                    DayHours(day="tue", spans=(Span(opens=0, closes=720),)),
                    DayHours(
                        day="thu",
                        spans=(Span(opens=480, closes=690), Span(opens=750, closes=1440)),
                    ),
                ),
                phone="402-555-0150",
            ),
            Place(kind=PlaceKind.OFFICE, name="Town hall"),
        ),
    )


def _machine(name: str, weight: str, acquired: Acquired = Acquired.OWN_BUILD) -> Aircraft:
    return Aircraft(
        id=name,
        maker="Tallgrass Rotorworks",
        model=name.upper(),
        serial=f"{name}-0001 e\u0301",  # a letter and a combining accent, to be kept as two
        takeoff_weight_lb=Decimal(weight),
        acquired=acquired,
        remote_id_serial=f"0000{name}",
        registration_number="N00000",
        n_number_wanted=True,
    )
