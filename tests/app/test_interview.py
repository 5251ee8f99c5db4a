"""The whole talk: a script of typed lines against the demo's facts file, stopped and resumed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.app.interview import StoppedError
from compliance.app.interview_known import make_answers, make_settled
from compliance.app.resources import read_folder, shipped_folder
from compliance.app.setup import Setup, hold_interview, keep_operation, keep_state, load_setup
from compliance.app.tables import load_shipped_table
from compliance.base.problems import NotFoundError
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
    Material,
    Operation,
    Pilot,
)
from compliance.facts.parse import parse_operation
from compliance.facts.places import DayHours, Place, PlaceKind, Span
from compliance.facts.products import ByAir, Product
from compliance.facts.write import render_operation
from compliance.store.repository import load_operation, load_operation_ids
from compliance.store.session import open_session
from compliance.store.talk import load_answers

TABLE = load_shipped_table()
ODILE = Holder(kind=HolderKind.PILOT, ref="odile")

# The shortest talk that visits every kind of question: one line a question, "" is Enter alone.
SHORT: tuple[tuple[str, str], ...] = (
    ("business.legal_name", "Odile Ferrant"),
    ("business.entity", ""),
    ("business.home_state", "ne"),
    ("business.time_zone.NE", ""),
    ("mail.to.1", "1 Invented Road"),
    ("mail.to.2", "Burrell Crossing, NE 00000"),
    ("mail.to.3", ""),
    ("mail.elsewhere", ""),
    ("contact.name", ""),
    ("contact.phone", "402-555-0143"),
    ("contact.email", ""),
    ("aircraft.1.maker", "Tallgrass Rotorworks"),
    ("aircraft.1.model", "TG-18"),
    ("aircraft.1.serial", "18-00204"),
    ("aircraft.1.remote_id_serial", ""),
    ("aircraft.1.takeoff_weight_lb", "49 lbs"),
    ("aircraft.1.acquired", "2"),
    ("aircraft.1.registration_number", ""),
    ("aircraft.1.n_number_wanted", ""),
    ("aircraft.2", ""),
    ("pilots.1.name", ""),
    ("pilots.2", ""),
    ("jobs.1", ""),
    ("jobs.1.id", "Own Quarter"),
    ("jobs.1.first_day", "7/12/2027"),
    ("jobs.1.last_day", "Aug 7, 2027"),
    ("jobs.1.state", ""),
    ("jobs.1.for_hire", "n"),
    ("jobs.1.material", ""),
    ("jobs.1.restricted_use", "n"),
    ("jobs.1.controlled_airspace", ""),
    ("jobs.1.outside_blanket_area", ""),
    ("jobs.1.congested_area", ""),
    ("jobs.1.note", ""),
    ("jobs.2", ""),
    ("jobs.hours", ""),
    ("products.1", ""),
    ("papers", "faa.pilot-recency:odile"),
    ("papers.faa.pilot-recency:odile.number", ""),
    ("papers.faa.pilot-recency:odile.issued_on", "9 Feb 2026"),
    ("papers.faa.pilot-recency:odile.valid_through", ""),
    ("closures.1", "y"),
    ("closures.1.who", ""),
    ("closures.1.first_day", "2027-03-08"),
    ("closures.1.last_day", ""),
    ("closures.1.why", "calving"),
    ("closures.2", ""),
    ("days.notary_days", "tue and thu"),
    ("days.post_office_days", ""),
    ("days.mail_service", "priority"),
    ("places.1", ""),
    ("menu", ""),
)
LINES = tuple(line for _, line in SHORT)
KEYS = tuple(key for key, _ in SHORT)

EXPECTED = Operation(
    id="odile-ferrant",
    legal_name="Odile Ferrant",
    entity=EntityType.INDIVIDUAL,
    managed_by=None,
    mailing_address=Address(lines=("1 Invented Road", "Burrell Crossing, NE 00000")),
    physical_address=None,
    contact_name="Odile Ferrant",
    contact_phone="402-555-0143",
    contact_email="",
    home_state="NE",
    mail_service=MailService.PRIORITY,
    aircraft=(
        Aircraft(
            id="tg18",
            maker="Tallgrass Rotorworks",
            model="TG-18",
            serial="18-00204",
            takeoff_weight_lb=Decimal(49),
            acquired=Acquired.USED_US,
        ),
    ),
    pilots=(Pilot(id="odile", name="Odile Ferrant"),),
    jobs=(
        Job(
            id="own-quarter",
            first_day=date(2027, 7, 12),
            last_day=date(2027, 8, 7),
            state="NE",
            for_hire=False,
            restricted_use=False,
            material=Material.PESTICIDE,
            aircraft=("tg18",),
            pilots=("odile",),
        ),
    ),
    papers=(
        # 14 CFR 107.65: 24 calendar months, to the end of the month.
        HeldPaper(
            paper="faa.pilot-recency",
            holder=ODILE,
            issued_on=date(2026, 2, 9),
            valid_through=date(2028, 2, 29),
        ),
    ),
    closures=(
        Closure(who="field", first_day=date(2027, 3, 8), last_day=date(2027, 3, 8), why="calving"),
    ),
    notary_days=("tue", "thu"),
    post_office_days=("mon", "tue", "wed", "thu", "fri", "sat"),
    time_zone="America/Chicago",
)


@dataclass
class Person:
    """Somebody who types the lines given and then is gone; all that was shown is kept."""

    lines: Sequence[str]
    shown: list[str] = field(default_factory=list)
    state: Mapping[str, str] = field(default_factory=dict)
    typed: int = 0

    def ask(self, prompt: str) -> str:
        self.shown.append(prompt)
        if self.typed == len(self.lines):
            raise EOFError
        self.typed += 1
        return self.lines[self.typed - 1]

    def tell(self, text: str) -> None:
        self.shown.append(text)

    def keep(self, state: Mapping[str, str]) -> None:
        self.state = dict(state)

    @property
    def text(self) -> str:
        return "\n".join(self.shown)


def begin(
    state: Mapping[str, str] | None = None,
    operation: Operation | None = None,
    taken: frozenset[str] = frozenset(),
) -> Setup:
    return Setup(
        interview="setup",
        state=state or {},
        table=TABLE,
        taken=taken,
        operation=operation,
        log=(),
        waiting=(),
    )


def talk(person: Person, setup: Setup | None = None) -> Operation:
    return hold_interview(setup or begin(), person.ask, person.tell, person.keep)


def leave(person: Person, setup: Setup | None = None) -> None:
    with pytest.raises(EOFError):
        talk(person, setup)


def lines_with(key: str, *typed: str) -> tuple[str, ...]:
    """The short talk with other lines at one question."""
    at = KEYS.index(key)
    return (*LINES[:at], *typed, *LINES[at + 1 :])


# Labels of no real product; the form of the number is that of 40 CFR 156.10(e), from memory.
PRODUCTS = (
    Product(
        id="amine",
        name="Invented 2,4-X Amine",
        registration="99999-1",
        by_air=ByAir.YES,
        restricted_use=True,
        re_entry_hours=48,
        active_ingredient="invented acid",
        maker="Tallgrass Rotorworks",
    ),
    Product(id="water", name="Invented Water"),
    Product(id="barred", name="Invented Ground Oil", by_air=ByAir.NO, re_entry_hours=0),
)


def demo() -> Operation:
    text = read_folder(shipped_folder("demo_data"))["sandbur_flats.yaml"]
    operation, problems = parse_operation(text, "sandbur_flats.yaml")
    assert operation is not None, problems
    return operation


def rich() -> Operation:
    """The demo with every value away from its default somewhere."""
    operation = demo()
    odile, job = operation.papers[3], operation.jobs[0]
    return replace(
        operation,
        mailing_address=Address(lines=("c/o the elevator", "P.O. Box 0", "Burrell Crossing, NE")),
        contact_email="",
        mail_service=MailService.COURIER,
        aircraft=(*operation.aircraft[:1], replace(operation.aircraft[1], n_number_wanted=True)),
        jobs=(
            replace(
                job,
                controlled_airspace=True,
                outside_blanket_area=True,
                congested_area=True,
                aircraft=("tg18", "tg46"),
                material=Material.FERTILIZER,
                restricted_use=False,
                note='two lines:\nback, stop and ? in "quotes" 🚜',
                time_zone="America/Denver",
                first_flight="06:30",
                products=("water",),
            ),
            replace(operation.jobs[1], products=("amine", "water"), time_zone="America/Denver"),
            *operation.jobs[2:],
        ),
        time_zone="",
        products=PRODUCTS,
        papers=(
            *operation.papers,
            replace(odile, issued_on=date(2028, 1, 10), valid_through=date(2030, 1, 31)),
            HeldPaper(paper="mn.aviation-license", holder=Holder(kind=HolderKind.OPERATION)),
        ),
        closures=(
            *operation.closures,
            Closure(who="vehicle", first_day=date(2027, 2, 1), last_day=date(2027, 2, 2)),
        ),
        places=(
            Place(
                kind=PlaceKind.NOTARY,
                name="Invented Bank",
                town="Burrell Crossing",
                days=operation.notary_days,
                hours=(DayHours(day="thu", spans=(Span(opens=480, closes=690),)),),
                phone="402-555-0150",
            ),
            Place(
                kind=PlaceKind.TEST_CENTER,
                name="Invented College",
                days=("wed",),
                hours=(
                    DayHours(
                        day="wed",
                        spans=(Span(opens=480, closes=690), Span(opens=750, closes=960)),
                    ),
                ),
            ),
            Place(kind=PlaceKind.OFFICE, name="Town hall"),
        ),
    )


def test_interview_short_makes_the_operation_expected() -> None:
    person = Person(LINES)

    operation = talk(person)

    assert operation == EXPECTED
    assert person.typed == len(LINES)


def test_interview_typed_by_hand_makes_the_demo_operation() -> None:
    lines = """\
Sandbur Flats Aerial LLC|llc||Nebraska||P.O. Box 0|Burrell Crossing, NE 00000||1 Invented Road
Burrell Crossing, NE 00000||Odile Ferrant|402-555-0143|office@sandburflats.example
Tallgrass Rotorworks|TG-46|46-00017|INVENTED-TG46-00017|118|new||yes
Tallgrass Rotorworks|TG-18|18-00204|INVENTED-TG18-00204|49||FA-INVENTED-18||no
|y|Wren Castellow|n
y|pasture NE|5/24/2027|6/12/2027||y||y|all|all||||leafy spurge and musk thistle in pastures \
south of Burrell Crossing
y|pasture-sd|June 14 2027|July 3 2027|South Dakota||y|1|y|1|1,2||||pastures across the state line
y|own quarter|2027-07-12|2027-08-07|NE|n|1|n|tg18|wren||||our own quarter section, as the weather \
lets us
y|cover crop|23 Aug 2027|30 Sep 2027|NE|y|seed|1 2|odile, wren||||rye and turnip seed over \
standing corn|n|n|n
faa.registration-small:tg18, faa.remote-pilot:odile faa.remote-pilot:wren;faa.pilot-recency:odile,\
faa.pilot-recency:wren, ins.liability:operation and ne.commercial-applicator:odile
|2025-06-10|
INVENTED-0001|2023-02-21|open|INVENTED-0002|2025-07-18|
|2026-02-09||-|2025-07-18|
INVENTED-POLICY-7|11/1/2026|10/31/2027
INVENTED-NE-31|2025-03-03|2028-04-15
y|field|2027-03-08|2027-03-14|calving, nobody can leave
y|1|2027-04-26|2027-05-01|planting corn
y|notary|2027-02-09|2027-02-11|the notary is away
y|2|2027-04-06||the notary is away|n
tue thu|mon-sat|1
y|1|Burrell Grain Bank|Burrell Crossing||9:00-11:30, 13:00-15:30|402-555-0150
y|2|Main Street counter|Burrell Crossing||mon 8:30-16:00; tue 8:30-16:00; wed 8:30-16:00; \
thu 8:30-16:00; fri 8:30-16:00; sat 9:00-11:00|402-555-0151|n
keep"""
    person = Person(lines.replace("\n", "|").split("|"))

    operation = talk(person)

    # South Dakota is on two clocks too; the demo leaves that job to the clock at home.
    jobs = tuple(
        replace(job, time_zone="America/Chicago") if job.state == "SD" else job
        for job in demo().jobs
    )
    assert operation == replace(demo(), id="sandbur-flats-aerial", jobs=jobs)
    assert person.typed == len(person.lines)


def test_interview_places_give_their_days_and_hours() -> None:
    """The days of a notary's place take the place of the days given before; hours may differ."""
    typed = (
        "y|1|Invented Bank|Burrell Crossing|tue thu|tue 9:00-12:00; thu 13:00-16:30|402-555-0150"
    )
    typed += "|y|post-office|Counter||||-|n"
    lines = [*LINES[:-2], *typed.split("|"), ""]

    operation = talk(Person(lines))

    assert operation == replace(
        EXPECTED,
        notary_days=("tue", "thu"),
        places=(
            Place(
                kind=PlaceKind.NOTARY,
                name="Invented Bank",
                town="Burrell Crossing",
                days=("tue", "thu"),
                hours=(
                    DayHours(day="tue", spans=(Span(opens=540, closes=720),)),
                    DayHours(day="thu", spans=(Span(opens=780, closes=990),)),
                ),
                phone="402-555-0150",
            ),
            Place(
                kind=PlaceKind.POST_OFFICE,
                name="Counter",
                days=("mon", "tue", "wed", "thu", "fri", "sat"),
            ),
        ),
    )
    known = make_answers(operation)
    assert (known["places.1.hours"], known["places.2.days"]) == (
        "tue 9:00-12:00; thu 13:00-16:30",
        "mon,tue,wed,thu,fri,sat",
    )


@pytest.mark.parametrize("typed", ["16:30-9:00", "9-17", "fri 9:00-12:00", "9:00-25:00", "morning"])
def test_interview_hours_that_make_no_sense_are_asked_again(typed: str) -> None:
    lines = [*LINES[:-2], "y", "", "Invented Bank", "", "tue thu", typed, "", "", "", ""]
    person = Person(lines)

    operation = talk(person)

    assert operation is not None
    assert [place.hours for place in operation.places] == [()]
    assert f"  ! {typed!r} are no hours of its days" in person.shown


def test_interview_stopped_at_each_question_goes_on_to_the_same_operation() -> None:
    for at in range(len(LINES)):
        first = Person(LINES[:at])
        leave(first)
        second = Person(LINES[at:])

        operation = talk(second, begin(first.state))

        assert operation == EXPECTED, KEYS[at]
        assert second.typed == len(second.lines), KEYS[at]


def test_interview_resumed_says_how_many_answers_are_kept() -> None:
    first = Person(LINES[:4])
    leave(first)
    second = Person(())
    leave(second, begin(first.state))

    assert second.shown[0] == (
        "Going on where you stopped: 4 answers are kept. mailby setup --restart begins\nanew."
    )
    assert second.shown[2:4] == [
        "\nADDRESSES",
        "\nWhere does mail reach you? First line of the address:",
    ]


def test_interview_stop_raises_and_keeps_the_answers_before() -> None:
    person = Person(("Odile Ferrant", "STOP"))

    with pytest.raises(StoppedError):
        talk(person)

    assert person.state == {"business.legal_name": "Odile Ferrant"}


def test_interview_back_at_each_question_offers_the_answer_before_again() -> None:
    for at in range(1, len(LINES)):
        # Enter takes the answer offered; then the open question is answered as planned.
        person = Person((*LINES[:at], "back", "", *LINES[at:]))

        operation = talk(person)

        assert operation == EXPECTED, KEYS[at]
        assert person.typed == len(person.lines), KEYS[at]


def test_interview_back_to_the_first_question_takes_other_answers() -> None:
    person = Person(("Wren Castellow", "llc", "back", "back", "Odile Ferrant", "1", *LINES[2:]))

    operation = talk(person)

    assert operation == EXPECTED


def test_interview_back_before_the_first_question_says_so() -> None:
    person = Person(("back", *LINES))

    operation = talk(person)

    assert operation == EXPECTED
    assert "This is the first question; there is none before it." in person.shown


def test_interview_answer_changed_drops_the_questions_that_hang_on_it() -> None:
    at = KEYS.index("mail.to.2")
    box = (*LINES[: at - 1], "P.O. Box 0", "back", "1 Invented Road", *LINES[at:])
    person = Person(box)

    operation = talk(person)

    assert operation == EXPECTED


def test_interview_question_mark_shows_the_longer_help() -> None:
    person = Person(lines_with("aircraft.1.takeoff_weight_lb", "?", "49"))

    operation = talk(person)

    assert operation == EXPECTED
    assert (
        "  The weight decides how it is registered: from 55 lb on by mail with an\n"
        "  N-number, below that usually online."
    ) in person.shown


@pytest.mark.parametrize(
    ("key", "typed", "said"),
    [
        ("business.legal_name", "", "  ! an answer is needed here\n    type stop to save and stop"),
        (
            "business.legal_name",
            "x" * 10_000,
            "  ! the answer has 10,000 characters; at most 2,000\n    shorten it",
        ),
        (
            "business.legal_name",
            "Odile\x07",
            (
                "  ! a control character (U+0007) stands here\n"
                "    delete it; it is invisible in most editors"
            ),
        ),
        ("business.entity", "5", "  ! '5' is none of the choices\n    type a number, 1 to 4"),
        ("business.entity", "lcc", "  ! 'lcc' is none of the choices\n    did you mean `llc`?"),
        (
            "business.home_state",
            "Nebrasca",
            "  ! 'Nebrasca' is no state\n    did you mean `Nebraska`?",
        ),
        (
            "business.home_state",
            "🚜",
            "  ! '🚜' is no state\n    type two letters, such as NE or SD",
        ),
        ("mail.to.1", "x" * 81, "  ! the line has 81 characters; at most 80 fit"),
        ("mail.elsewhere", "maybe", "  ! 'maybe' is neither yes nor no\n    type yes or no"),
        (
            "contact.phone",
            "402",
            "  ! '402' is no telephone number\n    type at least 7 digits, such as 402-555-0143",
        ),
        (
            "contact.email",
            "odile",
            "  ! 'odile' is no e-mail address\n    type it as name@place.example, or - for none",
        ),
        (
            "aircraft.1.takeoff_weight_lb",
            "11800",
            (
                "  ! `take-off weight` of the aircraft is 11800; it must be over 0 and at most\n"
                "    1,320"
            ),
        ),
        (
            "jobs.1.id",
            "operation",
            (
                "  ! `name` of the job is 'operation', which stands for the operation itself\n"
                "    choose another word"
            ),
        ),
        (
            "jobs.1.first_day",
            "13/5/2027",
            (
                "  ! '13/5/2027' is no day of the calendar\n"
                "    write it as 2027-05-24, 5/24/2027 or May 24 2027, within 2000-2079"
            ),
        ),
        (
            "jobs.1.last_day",
            "2027-07-11",
            (
                "  ! Sun 11 Jul 2027 is before the first day, Mon 12 Jul 2027\n"
                "    correct the day, or type back for the first day"
            ),
        ),
        (
            "jobs.1.last_day",
            "2029-07-11",
            (
                "  ! from Mon 12 Jul 2027 to Wed 11 Jul 2029 is over 366 days\n"
                "    correct the year, or enter one for each year"
            ),
        ),
        ("papers", "99", "  ! '99' is none of the choices\n"),
        (
            "papers.faa.pilot-recency:odile.valid_through",
            "2026-02-08",
            (
                "  ! Sun 8 Feb 2026 is before the day of issue, Mon 9 Feb 2026\n"
                "    correct the day, or type back for the day of issue"
            ),
        ),
        ("days.notary_days", "th", "  ! 'th' is no day of the week\n    such as tue, thu"),
        ("menu", "0", "  ! '0' is none of the choices\n    type a number, 1 to 14"),
    ],
)
def test_interview_bad_answer_is_explained_and_asked_again(key: str, typed: str, said: str) -> None:
    good = LINES[KEYS.index(key)]
    person = Person(lines_with(key, typed, good))

    operation = talk(person)

    assert operation == EXPECTED
    assert said in person.text


@pytest.mark.parametrize("typed", ["\x00", "\x1b[A", "\ud800", "x" * 10_000, "x\x85" * 1_001])
def test_interview_unreadable_answer_at_each_question_changes_nothing(typed: str) -> None:
    person = Person([line for good in LINES for line in (typed, good)])

    operation = talk(person)

    assert operation == EXPECTED


def test_interview_says_a_day_and_a_choice_back() -> None:
    person = Person(LINES)

    talk(person)

    for said in ("  = Mon 12 Jul 2027", "  = bought used in the United States", "  = Nebraska"):
        assert said in person.shown


def test_interview_second_aircraft_of_a_model_is_asked_for_its_short_name() -> None:
    at = KEYS.index("aircraft.2")
    person = Person((*LINES[:at], "y", "Tallgrass Rotorworks", "TG-18", "tg18", ""))
    leave(person)

    assert "  ! 'tg18' is taken already" in person.shown
    assert person.shown.count("[tg18-2] > ") == 2
    assert person.state["aircraft.2.id"] == "tg18-2"


def test_interview_name_without_letters_is_asked_for_a_short_name() -> None:
    person = Person(lines_with("aircraft.1.model", "无人机", ""))

    operation = talk(person)

    assert operation.aircraft[0].id == "aircraft-1"
    assert operation.aircraft[0].model == "无人机"


def test_interview_short_name_of_another_operation_is_not_taken() -> None:
    person = Person((LINES[0], "", *LINES[1:]))

    operation = talk(person, begin(taken=frozenset({"odile-ferrant"})))

    assert operation == replace(EXPECTED, id="odile-ferrant-2")


def test_interview_without_jobs_offers_no_papers() -> None:
    at, after = KEYS.index("jobs.1"), KEYS.index("closures.1")
    person = Person((*LINES[:at], "n", *LINES[after:]))

    operation = talk(person)

    assert operation == replace(EXPECTED, jobs=(), papers=())


def test_interview_equal_serials_are_said_and_asked_again() -> None:
    second, crew = KEYS.index("aircraft.2"), KEYS.index("jobs.1.controlled_airspace")
    papers = KEYS.index("papers")
    machine = ("y", "Tallgrass Rotorworks", "TG-19", "18-00204", "", "49", "", "", "", "n")
    person = Person(
        (
            *LINES[:second],
            *machine,
            *LINES[second + 1 : crew],
            "1",  # which aircraft may do the job
            *LINES[crew:papers],
            "18-00205",
            *LINES[papers:],
        )
    )

    operation = talk(person)

    assert [machine.serial for machine in operation.aircraft] == ["18-00204", "18-00205"]
    assert person.typed == len(person.lines)
    assert person.text.count("  ! aircraft `tg19` has the serial number of aircraft `tg18`") == 1
    assert "    read both plates again; no two machines share one" in person.shown


def test_interview_paper_entered_twice_is_asked_again() -> None:
    twice = replace(EXPECTED.papers[0], number="INVENTED-2", valid_through=date(2028, 2, 28))
    first = replace(EXPECTED.papers[0], number="INVENTED-1")
    setup = begin(operation=replace(EXPECTED, papers=(first, twice)))
    lines = ["papers", *[""] * 4, "INVENTED-1", *[""] * 2, "INVENTED-2", "keep"]
    person = Person(lines)

    operation = talk(person, setup)

    assert operation == setup.operation
    assert person.typed == len(lines)
    assert "Something does not fit together yet:" in person.text


@pytest.mark.parametrize("known", [EXPECTED, demo(), rich()], ids=["short", "demo", "rich"])
def test_known_operation_kept_as_it_is_stays_equal(known: Operation) -> None:
    operation, _ = parse_operation(render_operation(known), "rich.yaml")
    person = Person(("keep",))

    result = talk(person, begin(operation=known))

    assert operation == known
    assert result == known


@pytest.mark.parametrize("known", [EXPECTED, demo(), rich()], ids=["short", "demo", "rich"])
def test_known_operation_asked_anew_with_enter_alone_stays_equal(known: Operation) -> None:
    person = Person(("everything", *[""] * 400))

    result = talk(person, begin(operation=known))

    assert result == known
    assert 30 < person.typed < 300


def test_known_operation_asks_only_the_part_chosen() -> None:
    person = Person(("contact", "Wren Castellow", "", "-", "keep"))

    result = talk(person, begin(operation=demo()))

    assert result == replace(demo(), contact_name="Wren Castellow", contact_email="")


def test_known_operation_loses_an_aircraft_that_is_gone() -> None:
    known = replace(EXPECTED, papers=())
    second = replace(known.aircraft[0], id="tg46", model="TG-46", serial="46-00017")
    both = replace(
        known,
        aircraft=(known.aircraft[0], second),
        jobs=(replace(known.jobs[0], aircraft=("tg18", "tg46")),),
    )
    person = Person(("aircraft", "n", *[""] * 30))

    result = talk(person, begin(operation=both))

    assert result == replace(
        known, aircraft=(second,), jobs=(replace(known.jobs[0], aircraft=("tg46",)),)
    )
    assert "\nAircraft TG-18 18-00204: do you still have it?" in person.shown


def test_known_operation_new_model_keeps_its_short_name() -> None:
    person = Person(("aircraft", "", "", "TG-18B", *[""] * 30))

    result = talk(person, begin(operation=EXPECTED))

    assert result == replace(EXPECTED, aircraft=(replace(EXPECTED.aircraft[0], model="TG-18B"),))


def test_known_operation_job_moved_offers_the_papers_of_the_new_state() -> None:
    person = Person(("jobs", "", "", "", "", "sd", *[""] * 30))

    result = talk(person, begin(operation=EXPECTED))

    moved = replace(EXPECTED.jobs[0], state="SD", time_zone="America/Chicago")
    assert result == replace(EXPECTED, jobs=(moved,))
    assert "South Dakota private applicator certification, Odile Ferrant" in person.text


def test_known_operation_change_stopped_goes_on_with_the_same_short_names() -> None:
    known = replace(EXPECTED, aircraft=(replace(EXPECTED.aircraft[0], id="old-one"),))
    known = replace(known, jobs=(replace(known.jobs[0], aircraft=("old-one",)),))
    first = Person(("aircraft", "", "", "TG-18B"))
    leave(first, begin(operation=known))
    second = Person([""] * 30)

    result = talk(second, begin(first.state, operation=known))

    assert result == replace(known, aircraft=(replace(known.aircraft[0], model="TG-18B"),))


def test_interview_kept_answer_that_does_not_fit_any_more_is_asked_again() -> None:
    first = Person(LINES)
    talk(first)
    state = dict(first.state) | {"jobs.1.state": "ZZ", "papers": "xx.gone:odile"}
    second = Person(("ne", "faa.pilot-recency:odile", "keep"))

    operation = talk(second, begin(state))

    assert operation == EXPECTED
    assert second.typed == 3


def test_interview_address_of_six_lines_is_complete() -> None:
    six = ("c/o the elevator", "2nd floor", "Unit 4", "1 Invented Road", "Burrell Crossing", "NE")
    at = KEYS.index("mail.to.1")
    person = Person((*LINES[:at], *six, *LINES[at + 3 :]))

    operation = talk(person)

    assert operation == replace(EXPECTED, mailing_address=Address(lines=six))


def test_known_operation_without_aircraft_has_no_jobs_to_ask() -> None:
    person = Person(("aircraft", "n", *[""] * 9))

    result = talk(person, begin(operation=EXPECTED))

    assert result == replace(EXPECTED, aircraft=(), jobs=())


WORDS_TYPED = st.sampled_from(
    sorted(
        {*LINES, "y", "n", "all", "1", "2", "3", "-", "?", "back", "everything", "aircraft", "jobs"}
    )
)


@settings(max_examples=60, deadline=None)
@given(st.lists(WORDS_TYPED | st.text(max_size=12), min_size=20, max_size=150))
def test_interview_any_lines_give_an_operation_of_the_facts_file_or_an_end(
    lines: list[str],
) -> None:
    person = Person(lines)

    try:
        operation = talk(person, begin(operation=EXPECTED))
    except (EOFError, StoppedError):
        assert person.typed >= 1
    else:
        assert parse_operation(render_operation(operation), "again.yaml") == (operation, ())


def test_interview_later_at_the_end_stops() -> None:
    person = Person((*LINES[:-1], "later"))

    with pytest.raises(StoppedError):
        talk(person)

    assert len(person.state) >= len(LINES) - 1


def test_answers_of_an_operation_have_the_keys_of_the_talk() -> None:
    person = Person(LINES[:-1])
    leave(person)
    answers = make_answers(EXPECTED)

    assert {key: answers[key] for key in KEYS[:-1] if not key.endswith("email")} == {
        key: person.state[key] for key in KEYS[:-1] if not key.endswith("email")
    }
    assert make_settled(EXPECTED) == {
        "business.id": "odile-ferrant",
        "aircraft.1.id": "tg18",
        "pilots.1.id": "odile",
    }


def test_kept_operation_replaces_the_answers(tmp_path: Path) -> None:
    db = str(tmp_path / "sandbur.db")
    with open_session(db) as session:
        setup = load_setup(session, None, restart=False)
        keep_state(session, setup, {"business.legal_name": "Odile Ferrant"})
    with open_session(db) as session:
        setup = load_setup(session, None, restart=False)
        changes = keep_operation(
            session, setup, EXPECTED, namespace="sandbur", today=date(2027, 1, 11)
        )

    with open_session(db) as session:
        assert setup.state == {"business.legal_name": "Odile Ferrant"}
        assert str(changes[0]) == "added operation: Odile Ferrant"
        assert load_operation(session, "odile-ferrant") == EXPECTED
        assert load_answers(session, "setup") == {}
        again = load_setup(session, "odile-ferrant", restart=False)
        assert (again.operation, again.taken) == (EXPECTED, frozenset())
        assert again.command == "mailby setup --operation odile-ferrant"


def test_setup_restart_forgets_the_answers(tmp_path: Path) -> None:
    db = str(tmp_path / "sandbur.db")
    with open_session(db) as session:
        keep_state(session, load_setup(session, None, restart=False), {"jobs.1": "yes"})
    with open_session(db) as session:
        setup = load_setup(session, None, restart=True)

    assert setup.state == {}


def test_setup_names_a_change_that_waits(tmp_path: Path) -> None:
    db = str(tmp_path / "sandbur.db")
    with open_session(db) as session:
        new = load_setup(session, None, restart=False)
        keep_operation(session, new, EXPECTED, namespace="sandbur", today=date(2027, 1, 11))
        change = load_setup(session, "odile-ferrant", restart=False)
        keep_state(session, change, {"jobs.1": "yes"})
        setup = load_setup(session, None, restart=False)
        ids = load_operation_ids(session)
    person = Person(())
    leave(person, setup)

    assert ids == ("odile-ferrant",) == setup.waiting
    assert "A change of odile-ferrant waits: mailby setup --operation odile-ferrant goes on." in (
        person.text.replace("\n", " ")
    )


def test_setup_unknown_operation_is_refused(tmp_path: Path) -> None:
    with (
        open_session(str(tmp_path / "sandbur.db")) as session,
        pytest.raises(NotFoundError, match="no operation is known yet"),
    ):
        load_setup(session, "nobody", restart=False)
