"""The checker of calendar files: one planted fault at a time, each must be named with its line.

The sound file below was written by hand from RFC 5545 3.6.1 and 3.6.6, RFC 7986 and RFC 9074, not
by our own writer. Lengths of time are the examples of RFC 5545 3.3.6 and 3.8.6.3.
"""

import pytest

from compliance.outputs.ics_lint import check_ics

LINES = (
    "BEGIN:VCALENDAR",
    "VERSION:2.0",
    "PRODID:-//mailby//deadline calendar//EN",
    "NAME:Sandbur Flats Aerial LLC paperwork",
    "X-WR-CALNAME:Sandbur Flats Aerial LLC paperwork",
    "UID:0f6dd8e0-2f6b-4d0e-8b8e-5a1b8f0c2d33",
    "REFRESH-INTERVAL;VALUE=DURATION:PT12H",
    "BEGIN:VEVENT",
    "UID:e25403cf-800b-5d40-8cc2-db7e4772841f",
    "DTSTAMP:20270111T140509Z",
    "LAST-MODIFIED:20270111T140509Z",
    "SEQUENCE:0",
    "STATUS:CONFIRMED",
    "DTSTART;VALUE=DATE:20270201",
    "DTEND;VALUE=DATE:20270202",
    "SUMMARY:Mail\\, by today: packet\\; \\\\ TG-46",
    "DESCRIPTION:form\\, signed\\nbill of sale and a text that is long enough to b",
    " e folded \U0001f33e",
    "TRANSP:TRANSPARENT",
    "X-MICROSOFT-CDO-BUSYSTATUS:FREE",
    "BEGIN:VALARM",
    "UID:3fa611ad-b917-58ed-b1ce-04eede0034d2",
    "ACTION:DISPLAY",
    "DESCRIPTION:Mail by today",
    "TRIGGER:-PT6H",
    "END:VALARM",
    "END:VEVENT",
    "END:VCALENDAR",
    "",
)
GOOD = "\r\n".join(LINES).encode()
EVENT = "\r\n".join(LINES[7:27]) + "\r\n"
ALARM = "\r\n".join(LINES[20:26]) + "\r\n"
LONGEST_UID = "a" * 70 + "\r\n " + "b" * 70 + "\r\n " + "c" * 70 + "\r\n " + "d" * 44
BAD_UID = "line 9: UID is not 1 to 254 letters, digits and hyphens"
BAD_SEQUENCE = "line 12: SEQUENCE is not a whole number from 0 to 2147483647"
BAD_STATUS = "line 13: STATUS is none of TENTATIVE, CONFIRMED, CANCELLED"
BAD_SUMMARY = "line 16: SUMMARY has a comma, semicolon or backslash that is not escaped"
NOT_A_DAY = "is a day without VALUE=DATE, or VALUE=DATE without a day"
HALF_REPEAT = "line 21: VALARM has one of REPEAT and DURATION without the other"


def with_fault(old: str, new: str) -> bytes:
    assert old in GOOD.decode()  # a fault that is not planted proves nothing

    return GOOD.replace(old.encode(), new.encode(), 1)


def test_check_of_a_sound_file_finds_nothing() -> None:
    assert check_ics(GOOD) == ()


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("UID:e25403cf-800b-5d40-8cc2-db7e4772841f", f"UID:{LONGEST_UID}"),
        ("SEQUENCE:0", "SEQUENCE:2147483647"),
        ("DTEND;VALUE=DATE:20270202", "DURATION:P1D"),
        (
            "DTSTART;VALUE=DATE:20270201\r\nDTEND;VALUE=DATE:20270202",
            "DTSTART:20270201T140000Z\r\nDTEND:20270201T150000Z",
        ),
        ("SUMMARY:", 'SUMMARY;LANGUAGE=en;ALTREP="a,b;c:d":'),
        ("TRIGGER:-PT6H", "TRIGGER:PT0S"),
        ("TRIGGER:-PT6H", "TRIGGER;RELATED=START:-PT6H\r\nREPEAT:2\r\nDURATION:PT15M"),
        (ALARM, ""),
        ("TRANSP:", "CATEGORIES:papers\r\nCATEGORIES:mail\r\nTRANSP:"),
        ("BEGIN:VEVENT", "begin:vevent"),
        ("SUMMARY:Mail", f"SUMMARY:{'x' * 33}Mail"),
    ],
    ids=[
        "longest uid",
        "largest sequence",
        "duration",
        "moments",
        "parameters",
        "at midnight",
        "repeat",
        "no alarm",
        "categories",
        "lower case",
        "75 octets",
    ],
)
def test_check_of_other_sound_forms_finds_nothing(old: str, new: str) -> None:
    assert check_ics(with_fault(old, new)) == ()


FAULTS = [
    # RFC 5545 3.1: lines
    ("SEQUENCE:0\r\n", "SEQUENCE:0\n", "line 12: the line ends with LF alone, not CR LF"),
    ("END:VCALENDAR\r\n", "END:VCALENDAR", "line 28: the file does not end with CR LF"),
    ("SUMMARY:Mail", f"SUMMARY:{'x' * 34}Mail", "line 16: the line has 76 octets; 75 are allowed"),
    ("today: packet", "today\x07 packet", "line 16: the line has a control character"),
    ("today: packet", "today\x00 packet", "line 16: the line has a control character"),
    ("today: packet", "today\x85 packet", "line 16: the line has a control character"),
    ("today: packet", "today\r packet", "line 16: the line has a control character"),
    ("TRANSP:", "TRANSP ", "line 19: the line is not NAME:VALUE"),
    ("SEQUENCE:0\r\n", "SEQUENCE:0\r\n\r\n", "line 13: the line is not NAME:VALUE"),
    ("BEGIN:VCALENDAR", "\ufeffBEGIN:VCALENDAR", "line 1: the line is not NAME:VALUE"),
    # 3.4 and 3.6: blocks
    ("END:VALARM\r\n", "", "line 26: END:VEVENT does not close VALARM"),
    ("END:VEVENT\r\n", "", "line 27: END:VCALENDAR does not close VEVENT"),
    ("END:VCALENDAR\r\n", "", "line 1: VCALENDAR is not closed"),
    ("BEGIN:VCALENDAR\r\n", "", "line 1: the file is not one VCALENDAR"),
    ("END:VCALENDAR\r\n", "END:VCALENDAR\r\nX-A:b\r\n", "line 29: X-A stands outside the calendar"),
    (EVENT, EVENT.replace("VEVENT", "VTODO"), "line 8: VTODO does not belong here"),
    (EVENT, "", "line 1: the calendar has no entry"),
    # 3.6, 3.6.1, 3.7: what must be there, and once
    ("VERSION:2.0\r\n", "", "line 1: VCALENDAR has no VERSION"),
    ("VERSION:2.0", "VERSION:1.0", "line 2: VERSION is not 2.0"),
    ("PRODID:-//mailby//deadline calendar//EN\r\n", "", "line 1: VCALENDAR has no PRODID"),
    ("DTSTAMP:20270111T140509Z\r\n", "", "line 8: VEVENT has no DTSTAMP"),
    ("UID:e25403cf-800b-5d40-8cc2-db7e4772841f\r\n", "", "line 8: VEVENT has no UID"),
    ("DTSTART;VALUE=DATE:20270201\r\n", "", "line 8: VEVENT has no DTSTART"),
    ("SEQUENCE:0", "SEQUENCE:0\r\nSEQUENCE:0", "line 13: SEQUENCE is there twice"),
    ("TRANSP:", "SUMMARY:b\r\nTRANSP:", "line 19: SUMMARY is there twice"),
    ("TRANSP:", "LOCATION:\r\nTRANSP:", "line 19: LOCATION is empty"),
    # RFC 7986 5.3: ids
    ("UID:e254", "UID:e254@sandbur.example", BAD_UID),
    ("UID:e25403cf-800b-5d40-8cc2-db7e4772841f", f"UID:{LONGEST_UID}e", BAD_UID),
    (
        "UID:3fa611ad-b917-58ed-b1ce-04eede0034d2",
        "UID:e25403cf-800b-5d40-8cc2-db7e4772841f",
        "line 22: UID is used twice",
    ),
    (EVENT, EVENT + EVENT.replace(ALARM, ""), "line 29: UID is used twice"),
    # 3.8.7.1 to 3.8.7.4: stamps and counters
    (
        "LAST-MODIFIED:20270111T140509Z",
        "LAST-MODIFIED:20270111T140509",
        "line 11: LAST-MODIFIED is not a moment in UTC",
    ),
    (
        "LAST-MODIFIED:20270111T140509Z",
        "CREATED:20270111T240509Z",
        "line 11: CREATED is not a moment in UTC",
    ),
    (
        "LAST-MODIFIED:20270111T140509Z",
        "LAST-MODIFIED:20270111T140510Z",
        "line 10: DTSTAMP is not the same as LAST-MODIFIED",
    ),
    ("SEQUENCE:0", "SEQUENCE:-1", BAD_SEQUENCE),
    ("SEQUENCE:0", "SEQUENCE:2147483648", BAD_SEQUENCE),
    ("SEQUENCE:0", "SEQUENCE:1.5", BAD_SEQUENCE),
    # 3.3.4, 3.6.1, 3.8.2.2, 3.8.2.4: days
    (
        "DTSTART;VALUE=DATE:20270201",
        "DTSTART;VALUE=DATE:2027-02-01",
        "line 14: DTSTART is not a real day or moment",
    ),
    ("DTSTART;VALUE=DATE:", "DTSTART:", f"line 14: DTSTART {NOT_A_DAY}"),
    ("DTEND;VALUE=DATE:", "DTEND:", f"line 15: DTEND {NOT_A_DAY}"),
    (
        "DTSTART;VALUE=DATE:20270201",
        "DTSTART;VALUE=DATE:20270229",
        "line 14: DTSTART is not a real day or moment",
    ),
    (
        "DTSTART;VALUE=DATE:20270201",
        "DTSTART:20270201T000000",
        "line 15: DTSTART and DTEND are not of one kind",
    ),
    (
        "DTEND;VALUE=DATE:20270202",
        "DTEND;VALUE=DATE:20270201",
        "line 15: DTEND is not after DTSTART",
    ),
    (
        "DTEND;VALUE=DATE:20270202",
        "DTEND;VALUE=DATE:20270131",
        "line 15: DTEND is not after DTSTART",
    ),
    ("DTEND;VALUE=DATE:20270202\r\n", "", "line 8: VEVENT has neither DTEND nor DURATION"),
    ("TRANSP:", "DURATION:P1D\r\nTRANSP:", "line 15: VEVENT has both DTEND and DURATION"),
    # 3.2.19
    (
        "DTSTART;VALUE=DATE:",
        "DTSTART;TZID=America/Chicago;VALUE=DATE:",
        "line 14: DTSTART has a TZID, but no time zone is written",
    ),
    # 3.8.1.11
    ("STATUS:CONFIRMED", "STATUS:CANCELED", BAD_STATUS),
    # Our own decision: nothing rings for what is off
    ("STATUS:CONFIRMED", "STATUS:CANCELLED", "line 13: a cancelled VEVENT has an alarm"),
    # 3.3.11: text
    ("Mail\\, by", "Mail, by", BAD_SUMMARY),
    ("packet\\;", "packet;", BAD_SUMMARY),
    ("\\\\ TG", "\\ TG", BAD_SUMMARY),
    ("today: packet", "today\\: packet", BAD_SUMMARY),
    ("NAME:Sandbur", "NAME:Sandbur\\, ", "line 4: NAME has a comma, semicolon or backslash"),
    (
        "X-WR-CALNAME:Sandbur",
        "X-WR-CALNAME:Sandbur;",
        "line 5: X-WR-CALNAME has a comma, semicolon or backslash",
    ),
    # 3.6.6, 3.8.6: alarms; RFC 9074 4: their ids
    ("DESCRIPTION:Mail by today\r\n", "", "line 21: VALARM has no DESCRIPTION"),
    ("TRIGGER:-PT6H\r\n", "", "line 21: VALARM has no TRIGGER"),
    ("ACTION:DISPLAY\r\n", "", "line 21: VALARM has no ACTION"),
    ("ACTION:DISPLAY", "ACTION:AUDIO", "line 23: ACTION is not DISPLAY"),
    ("UID:3fa611ad-b917-58ed-b1ce-04eede0034d2\r\n", "", "line 21: VALARM has no UID"),
    ("TRIGGER:-PT6H", "TRIGGER:-PT6H\r\nREPEAT:2", HALF_REPEAT),
    ("TRIGGER:-PT6H", "TRIGGER:-PT6H\r\nDURATION:PT5M", HALF_REPEAT),
    ("TRIGGER:-PT6H", "TRIGGER:PT8H", "line 25: TRIGGER PT8H rings after the day has begun"),
    ("TRIGGER:-PT6H", "TRIGGER:+PT8H", "line 25: TRIGGER +PT8H rings after the day has begun"),
    ("TRIGGER:-PT6H", "TRIGGER:-P1W", "line 25: TRIGGER -P1W counts in weeks; write days"),
    # RFC 7986 5.7
    (
        "REFRESH-INTERVAL;VALUE=DURATION:",
        "REFRESH-INTERVAL:",
        "line 7: REFRESH-INTERVAL has no VALUE=DURATION",
    ),
    # RFC 5546 3.2.1: PUBLISH asks for an ORGANIZER; we write none of these
    ("VERSION:2.0", "VERSION:2.0\r\nMETHOD:PUBLISH", "line 3: METHOD is not to be written"),
    ("TRANSP:", "RRULE:FREQ=YEARLY\r\nTRANSP:", "line 19: RRULE is not to be written"),
    (
        "TRANSP:",
        "ORGANIZER:mailto:odile@sandbur.example\r\nTRANSP:",
        "line 19: ORGANIZER is not to be written",
    ),
]


@pytest.mark.parametrize(("old", "new", "finding"), FAULTS)
def test_check_names_the_planted_fault_and_its_line(old: str, new: str, finding: str) -> None:
    assert finding in check_ics(with_fault(old, new))


@pytest.mark.parametrize(
    ("old", "new", "findings"),
    [
        ("STATUS:CONFIRMED", "STATUS:CANCELED", (BAD_STATUS,)),
        ("SEQUENCE:0\r\n", "SEQUENCE:0\n", ("line 12: the line ends with LF alone, not CR LF",)),
        (
            "TRIGGER:-PT6H",
            "TRIGGER:-P1WT15H",
            ("line 25: TRIGGER -P1WT15H is not a legal length of time",),
        ),
        ("VERSION:2.0", "VERSION:2.0\r\nMETHOD:PUBLISH", ("line 3: METHOD is not to be written",)),
        (EVENT, "", ("line 1: the calendar has no entry",)),
        (
            "END:VALARM\r\n",
            "",
            (
                "line 1: VCALENDAR is not closed",
                "line 21: VALARM is not closed",
                "line 26: END:VEVENT does not close VALARM",
                "line 27: END:VCALENDAR does not close VALARM",
                "line 8: VEVENT is not closed",
            ),
        ),
    ],
)
def test_check_names_nothing_else(old: str, new: str, findings: tuple[str, ...]) -> None:
    assert sorted(check_ics(with_fault(old, new))) == sorted(findings)


def test_check_finds_all_faults_of_a_file_in_the_order_of_its_lines() -> None:
    data = GOOD.replace(b"STATUS:CONFIRMED", b"STATUS:DONE").replace(b"SEQUENCE:0", b"SEQUENCE:x")

    assert check_ics(data) == (
        BAD_SEQUENCE,
        BAD_STATUS,
    )


def test_check_finds_a_character_cut_by_a_fold() -> None:
    wheat = "\U0001f33e".encode()  # four octets
    data = GOOD.replace(wheat, wheat[:2] + b"\r\n " + wheat[2:])

    assert check_ics(data) == (
        "line 18: the line is not whole UTF-8 characters",
        "line 19: the line is not whole UTF-8 characters",
    )


def test_check_of_an_empty_file_finds_it_is_no_calendar() -> None:
    assert check_ics(b"") == (
        "line 1: the file does not end with CR LF",
        "line 1: the file is not one VCALENDAR",
    )


def test_check_of_two_calendars_in_one_file_finds_it() -> None:
    assert "line 1: the file is not one VCALENDAR" in check_ics(GOOD + GOOD)


# RFC 5545 3.3.6 gives P15DT5H0M20S and P7W, 3.8.6.3 gives -PT15M, and 3.3.6's grammar the rest.
@pytest.mark.parametrize("length", ["-P15DT5H0M20S", "-PT15M", "-P6DT16H", "-P7D", "-PT1H30M"])
def test_check_of_a_legal_length_of_time_finds_nothing(length: str) -> None:
    assert check_ics(with_fault("TRIGGER:-PT6H", f"TRIGGER:{length}")) == ()


@pytest.mark.parametrize(
    "length",
    [
        "-P1WT15H",
        "-P1W2D",
        "-P1H",
        "-P1DT",
        "-P",
        "-PT",
        "P-1D",
        "-PT1H30S",
        "-P1Y",
        "-P1M",
        "-1D",
        "-pt6h",
        "-PT6.5H",
        "-PT\u0666H",
        "20270131T180000Z",
    ],
)
def test_check_finds_an_illegal_length_of_time(length: str) -> None:
    found = check_ics(with_fault("TRIGGER:-PT6H", f"TRIGGER:{length}"))

    assert found == (f"line 25: TRIGGER {length} is not a legal length of time",)
