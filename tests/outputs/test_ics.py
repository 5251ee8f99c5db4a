"""The calendar file: golden files, stable bytes, and every decision about what is written.

Checked against RFC 5545 (sections beside the checks), RFC 7986 and RFC 9074. The golden files were
written by this program once and then read through by hand against those texts.
"""

import os
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar import Calendar

from compliance.engine.ledger import (
    Alarm,
    Entry,
    EntryState,
    LedgerLine,
    LineAlarm,
    clean_line,
    clean_text,
    compute_revision,
)
from compliance.outputs.ics import render_calendar
from compliance.outputs.ics_lint import check_ics

GOLDEN = Path(__file__).parents[1] / "golden"
NAMESPACE = UUID("5b0c1a52-5a0e-4d0e-9d0a-0a6a1f3c7e11")
CALENDAR_UID = UUID("0f6dd8e0-2f6b-4d0e-8b8e-5a1b8f0c2d33")
NAME = "Sandbur Flats Aerial LLC paperwork"
JANUARY = datetime(2027, 1, 11, 14, 5, 9, tzinfo=UTC)
FEBRUARY = datetime(2027, 2, 3, 13, 0, 0, tzinfo=UTC)
ALARMS = (Alarm(id="evening", days_before=1, hour=18), Alarm(id="week", days_before=7, hour=8))

SIGN = Entry(
    key=("step", "sandbur", "registration", "tg-46", "2027", "sign"),
    on=date(2027, 1, 25),
    title="Sign the registration form for the TG-46",
    text="Odile Ferrant signs in ink; her title is printed beside it: member.",
    alarms=ALARMS,
    related_to=("step", "sandbur", "registration", "tg-46", "2027", "mail"),
)
MAIL = Entry(
    key=("step", "sandbur", "registration", "tg-46", "2027", "mail"),
    on=date(2027, 2, 1),
    title="Mail by today: registration packet, TG-46",
    text="In the envelope:\n- form, signed\n- bill of sale\n- fee, 5 dollars\n"
    "Room is left for the office to send it back once.",
    alarms=ALARMS,
)
RENEW = Entry(
    key=("renewal", "sandbur", "insurance", "sandbur", "2027", "renew"),
    on=date(2027, 6, 30),
    title="Last day in force: liability insurance",
    alarms=ALARMS,
)
FIRST_SPRAY = Entry(
    key=("job", "sandbur", "pasture", "sandbur", "2027", "start"),
    on=date(2027, 5, 24),
    title="First spray day: musk thistle, Burrell Crossing \u2014 \U0001f33e",
    text="C:\\papers\\2027 holds the copies.",
)


def revise(
    *entries: Entry, ledger: tuple[LedgerLine, ...] = (), now: datetime = JANUARY
) -> tuple[LedgerLine, ...]:
    return compute_revision(entries, ledger, namespace=NAMESPACE, now=now)


def render(lines: tuple[LedgerLine, ...], name: str = NAME) -> bytes:
    return render_calendar(lines, name=name, calendar_uid=CALENDAR_UID)


def january() -> tuple[LedgerLine, ...]:
    return revise(SIGN, MAIL, RENEW, FIRST_SPRAY)


def february() -> tuple[LedgerLine, ...]:
    """Signed; the mailing moved; the insurance question went away; one new entry."""
    return revise(
        replace(SIGN, state=EntryState.DONE),
        replace(MAIL, on=date(2027, 2, 8)),
        FIRST_SPRAY,
        replace(RENEW, key=("renewal", "sandbur", "insurance", "sandbur", "2028", "renew")),
        ledger=january(),
        now=FEBRUARY,
    )


def unfolded(data: bytes) -> list[str]:
    return data.decode().replace("\r\n ", "").split("\r\n")


@pytest.mark.parametrize(
    ("lines", "file"),
    [(january(), "calendar_january.ics"), (february(), "calendar_february.ics")],
    ids=["january", "february"],
)
def test_calendar_matches_the_golden_file(lines: tuple[LedgerLine, ...], file: str) -> None:
    data = render(lines)

    assert data == (GOLDEN / file).read_bytes()
    assert check_ics(data) == ()


def test_calendar_without_change_is_the_same_bytes_later() -> None:
    later = revise(SIGN, MAIL, RENEW, FIRST_SPRAY, ledger=january(), now=FEBRUARY)

    assert render(later) == render(january())


def test_calendar_does_not_depend_on_the_order_of_lines() -> None:
    assert render(february()[::-1]) == render(february())


@pytest.mark.slow
@pytest.mark.parametrize(
    ("hash_seed", "zone", "flags"), [("0", "UTC", []), ("42", "Asia/Tokyo", ["-O"])]
)
def test_calendar_is_the_same_bytes_in_another_process(
    hash_seed: str, zone: str, flags: list[str]
) -> None:
    program = (
        "import runpy, sys; made = runpy.run_path(sys.argv[1]);"
        "sys.stdout.buffer.write(made['render'](made['february']()))"
    )
    environment = os.environ | {"PYTHONHASHSEED": hash_seed, "TZ": zone, "LC_ALL": "C"}

    done = subprocess.run(
        [sys.executable, *flags, "-c", program, __file__],
        env=environment,
        capture_output=True,
        check=True,
    )

    assert done.stdout == (GOLDEN / "calendar_february.ics").read_bytes()


def test_calendar_head_has_no_method_and_no_clock() -> None:
    head = unfolded(render(january()))[:7]

    # RFC 5545 3.6 and 3.7, RFC 7986 5.1 and 5.3; without METHOD, see 3.8.7.2.
    assert head == [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//mailby//deadline calendar//EN",
        "NAME:Sandbur Flats Aerial LLC paperwork",
        "X-WR-CALNAME:Sandbur Flats Aerial LLC paperwork",
        "UID:0f6dd8e0-2f6b-4d0e-8b8e-5a1b8f0c2d33",
        "BEGIN:VEVENT",
    ]


def test_calendar_of_one_entry_has_just_these_lines() -> None:
    (line,) = revise(replace(MAIL, alarms=ALARMS[:1], text="", related_to=SIGN.key))

    event = unfolded(render((line,)))[6:-2]

    # RFC 5545 3.6.1: the end is exclusive. 3.8.2.7: TRANSPARENT does not mark the day busy.
    # 3.8.6.3: counted from 00:00 of the day, so 18:00 the evening before is six hours before.
    assert sorted(event[:12]) == [
        "BEGIN:VEVENT",
        "DTEND;VALUE=DATE:20270202",
        "DTSTAMP:20270111T140509Z",
        "DTSTART;VALUE=DATE:20270201",
        "LAST-MODIFIED:20270111T140509Z",
        f"RELATED-TO:{january()[0].uid}",
        "SEQUENCE:0",
        "STATUS:CONFIRMED",
        "SUMMARY:Mail by today: registration packet\\, TG-46",
        "TRANSP:TRANSPARENT",
        f"UID:{line.uid}",
        "X-MICROSOFT-CDO-BUSYSTATUS:FREE",
    ]
    assert event[12:] == [
        "BEGIN:VALARM",
        "ACTION:DISPLAY",
        "DESCRIPTION:Mail by today: registration packet\\, TG-46",
        "TRIGGER:-PT6H",
        f"UID:{line.alarms[0].uid}",
        "END:VALARM",
        "END:VEVENT",
    ]


def test_calendar_of_a_moved_date_keeps_the_uid_and_raises_the_sequence() -> None:
    before, after = (
        Calendar.from_ical(render(revise(MAIL))).events[0],
        Calendar.from_ical(
            render(revise(replace(MAIL, on=date(2027, 2, 8)), ledger=revise(MAIL), now=FEBRUARY))
        ).events[0],
    )

    assert after["UID"] == before["UID"]
    assert (before["SEQUENCE"], after["SEQUENCE"]) == (0, 1)
    assert (after.start, after.end) == (date(2027, 2, 8), date(2027, 2, 9))
    assert after.stamp == after.last_modified == FEBRUARY


def test_calendar_of_a_cancelled_entry_has_no_alarm() -> None:
    gone = revise(ledger=revise(MAIL), now=FEBRUARY)
    by_hand = tuple(replace(line, alarms=revise(MAIL)[0].alarms) for line in gone)

    lines = unfolded(render(gone))

    assert "STATUS:CANCELLED" in lines
    assert "SUMMARY:Off this calendar: Mail by today: registration packet\\, TG-46" in lines
    assert "SEQUENCE:1" in lines
    assert "BEGIN:VALARM" not in lines
    assert render(by_hand) == render(gone)


@pytest.mark.parametrize(
    ("days_before", "hour", "trigger"),
    [
        (1, 18, "-PT6H"),
        (7, 8, "-P6DT16H"),
        (7, 0, "-P7D"),  # RFC 5545 3.3.6 knows weeks too, but not mixed; we write days always
        (14, 0, "-P14D"),
        (1, 0, "-P1D"),
        (2, 23, "-P1DT1H"),
        (30, 8, "-P29DT16H"),
    ],
)
def test_calendar_alarms_count_days_and_hours(days_before: int, hour: int, trigger: str) -> None:
    alarm = Alarm(id="a", days_before=days_before, hour=hour)

    data = render(revise(replace(MAIL, alarms=(alarm,))))

    assert [line for line in unfolded(data) if line.startswith("TRIGGER")] == [f"TRIGGER:{trigger}"]
    assert check_ics(data) == ()


def test_calendar_with_an_alarm_on_the_day_is_refused() -> None:
    (line,) = revise(MAIL)
    late = replace(line, alarms=(LineAlarm(uid="late", days_before=0, hour=8),))

    with pytest.raises(ValueError, match="an alarm must ring before its day"):
        render((late,))


@pytest.mark.parametrize(
    ("on", "start", "end"),
    [
        (date(2028, 2, 29), "20280229", "20280301"),
        (date(2027, 2, 28), "20270228", "20270301"),
        (date(2027, 12, 31), "20271231", "20280101"),
    ],
)
def test_calendar_end_is_the_next_day_at_month_and_year_ends(
    on: date, start: str, end: str
) -> None:
    lines = unfolded(render(revise(replace(MAIL, on=on))))

    assert f"DTSTART;VALUE=DATE:{start}" in lines
    assert f"DTEND;VALUE=DATE:{end}" in lines


@pytest.mark.parametrize("length", range(60, 82))
@pytest.mark.parametrize("sign", ["x", "\u00e9", "\U0001f33e"])
def test_calendar_folds_at_75_octets_and_cuts_no_character(length: int, sign: str) -> None:
    # RFC 5545 3.1. "SUMMARY:" is 8 octets, so the run passes 75 and 76 octets on its way.
    title = "a" * length + sign * 20

    data = render(revise(replace(MAIL, title=title, alarms=())))

    assert check_ics(data) == ()
    assert f"SUMMARY:{title}" in unfolded(data)


@pytest.mark.parametrize(
    ("length", "octets"),
    [(66, [74]), (67, [74, 2]), (68, [74, 3]), (139, [74, 74]), (140, [74, 75])],
)
def test_calendar_lines_fold_where_they_always_did(length: int, octets: list[int]) -> None:
    data = render(revise(replace(MAIL, title="a" * length, alarms=())))

    # The standard only sets the upper bound of 75. That the library stays a little below is its
    # own choice; a release that changes it would rewrite every file, so it is held here.
    summary = data[data.index(b"SUMMARY") : data.index(b"\r\nDTSTART")]
    assert [len(line) for line in summary.split(b"\r\n")] == octets


def test_calendar_text_is_escaped_as_the_standard_says() -> None:
    entry = replace(MAIL, title="a,b;c\\d:e", text="one\r\ntwo\n\nthree, four; five\\n: six")

    lines = unfolded(render(revise(replace(entry, alarms=()))))

    # RFC 5545 3.3.11: backslash, semicolon, comma and line end, never the colon.
    assert "SUMMARY:a\\,b\\;c\\\\d:e" in lines
    assert "DESCRIPTION:one\\ntwo\\n\\nthree\\, four\\; five\\\\n: six" in lines


def test_calendar_text_with_control_characters_cannot_add_lines() -> None:
    nasty = "a\x00b\x07c\r\nMETHOD:CANCEL\x85d\x7f"
    (line,) = revise(MAIL)
    # Past the ledger's own cleaning, as a line out of an old store might be.
    raw = replace(line, title=nasty, text=nasty)

    data = render((raw,), name=nasty)

    assert check_ics(data) == ()
    assert unfolded(data)[3:5] == ["NAME:abc METHOD:CANCEL d", "X-WR-CALNAME:abc METHOD:CANCEL d"]
    assert "SUMMARY:abc METHOD:CANCEL d" in unfolded(data)
    assert "DESCRIPTION:abc\\nMETHOD:CANCEL\\nd" in unfolded(data)


def test_calendar_name_has_no_marks_that_readers_disagree_on() -> None:
    data = render(january(), name="Sandbur Flats Aerial, LLC; 2027\\28")

    assert unfolded(data)[3] == "NAME:Sandbur Flats Aerial LLC 2027 28"


@pytest.mark.parametrize("name", ["", " ,;\\ ", "\x07"])
def test_calendar_without_a_name_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match="a calendar needs a name"):
        render(january(), name=name)


def test_calendar_without_an_entry_is_refused() -> None:
    # RFC 5545 3.6: a calendar has at least one component.
    with pytest.raises(ValueError, match="a calendar file needs at least one entry"):
        render(())


@settings(max_examples=60, deadline=None)
@given(
    title=st.text().filter(clean_line), text=st.text(), on=st.dates(max_value=date(9999, 12, 30))
)
def test_calendar_of_any_text_is_sound_and_reads_back(title: str, text: str, on: date) -> None:
    data = render(revise(Entry(key=("any",), on=on, title=title, text=text)))

    (event,) = Calendar.from_ical(data).events
    assert check_ics(data) == ()
    assert str(event["SUMMARY"]) == clean_line(title)
    assert str(event.get("DESCRIPTION", "")) == clean_text(text)
    assert (event.start, event.end) == (on, on + timedelta(days=1))
