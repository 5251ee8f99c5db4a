"""Flights past midnight and their records of two days, and days of careful practice."""

import shlex
from collections.abc import Callable
from pathlib import Path

from pypdf import PdfReader

from tests.cli.kit_farm import RECORD

Run = Callable[[list[str]], tuple[int, str, str]]
BARE = RECORD.replace('start: "06:10"\nend: "07:45"\n', "").replace("day: 2027-06-15\n", "")
CLOCK = 'day: {}\nstart: "{}"\nend: "{}"\n'
CREW = "--aircraft tg46 --pilot odile --product thistle-out --anyway test"
NE = f'log flew pasture-ne --from "2027-06-11 23:10" --to "2027-06-12 00:40" {CREW}'
SD = f'log flew pasture-sd --from "2027-06-15 22:10" --to "2027-06-16 00:40" {CREW}'


def one_line(text: str) -> str:
    return " ".join(text.split())


def cut(text: str, first: str, last: str) -> str:
    """Give what stands from one heading to before another, on one line."""
    return one_line(text[text.index(first) : text.index(last)])


def write(
    farm: Run, job: str, day: str, clock: tuple[str, str, str], *more: str
) -> tuple[int, str, str]:
    """Write a record of some hours on a day."""
    Path("r.yaml").write_text(BARE + CLOCK.format(*clock), encoding="utf-8")
    return farm(["record", job, "--from", "r.yaml", "--on", day, *more])


def bind(farm: Run, day: str) -> str:
    assert farm(["binder", "-o", "b.pdf", "--on", day])[0] == 0
    return one_line("\n".join(page.extract_text() for page in PdfReader("b.pdf").pages))


def test_half_of_a_flight_without_a_record_stays_open(farm: Run) -> None:
    """Our own rule (common practice, no source): work of two days has a record for each."""
    farm([*shlex.split(NE), "--today", "2027-06-12"])
    write(farm, "pasture-ne", "2027-06-12", ("2027-06-11", "23:10", "23:59"), "--flight", "1")
    half = farm(["duties", "--all", "--job", "pasture-ne", "--on", "2027-06-12"])[1]
    bound = bind(farm, "2027-06-12")
    go = one_line(farm(["go", "--job", "pasture-ne", "--on", "2027-06-12"])[1])
    write(farm, "pasture-ne", "2027-06-13", ("2027-06-12", "00:00", "00:40"), "--flight", "1")
    whole = farm(["duties", "--all", "--job", "pasture-ne", "--on", "2027-06-13"])[1]

    bare = "no record of Sat 12 Jun 2027 00:00 to 00:40 CDT; record 1 tells of the rest"
    assert cut(half, "FLIGHTS WITHOUT", "KEPT, OR") == (
        "FLIGHTS WITHOUT A RECORD 1. flew Fri 11 Jun 2027 23:10 to Sat 12 Jun 2027 00:40 CDT, "
        "pasture-ne, tg46, odile, thistle-out, re-entry after 48 hours, because: test: "
        f"{bare}; its record is due by Mon 14 Jun 2027 00:40 CDT, in 2 days "
        "mailby record pasture-ne --flight 1"
    )
    assert (
        "by Mon 14 Jun 2027 00:40 CDT, in 2 days: Write the record of a restricted-use job for the "
        f"flight of Fri 11 Jun 2027 23:10 to 00:40 CDT, pasture-ne {bare} Write it while you still "
        "know it. One record for each place and each date. 25 NAC 2; from memory, not read write "
        "it: mailby record pasture-ne --flight 1; when it is written elsewhere: mailby log did "
        "ne.commercial-applicator.record:odile/flight-1"
    ) in one_line(half)
    assert f"pasture-ne; {bare} (25 NAC 2" in go
    assert "DONE" not in half
    assert f"No record of flight 1, Fri 11 Jun 2027 {bare}; its record is due by Mon" in bound
    assert "FLIGHTS WITHOUT" not in whole
    flight = "for the flight of Fri 11 Jun 2027 23:10 to 00:40 CDT, pasture-ne; records 1 and 2"
    assert cut(whole, "DONE", "ONLY IF") == (
        f"DONE Sun 13 Jun 2027: Write the record of a restricted-use job, {flight} "
        f"Sun 13 Jun 2027: Write the federal record of a restricted-use application, {flight}"
    )


def test_correction_that_leaves_half_a_flight_bare_says_its_hours(farm: Run) -> None:
    """Both records tell of the evening after it, and none of the morning."""
    farm([*shlex.split(SD), "--today", "2027-06-16"])
    write(farm, "pasture-sd", "2027-06-16", ("2027-06-15", "22:10", "23:59"), "--flight", "1")
    write(farm, "pasture-sd", "2027-06-16", ("2027-06-16", "00:00", "00:40"), "--flight", "1")
    why = ("--correct", "2", "--because", "it was the evening before")
    out = write(farm, "pasture-sd", "2027-06-17", ("2027-06-15", "23:20", "23:55"), *why)[1]
    again = farm(["duties", "--job", "pasture-sd", "--on", "2027-06-17"])[1]

    assert (
        "! flight 1 of Tue 15 Jun 2027, pasture-sd, has no record of Wed 16 Jun 2027 00:00 to "
        "00:40 CDT now: mailby record pasture-sd --flight 1 writes it; if nothing was flown then: "
        "mailby log withdraw-event 1, and log it as it was EVERYTHING"
    ) in one_line(out)
    assert cut(again, "FLIGHTS WITHOUT", "KEPT, OR") == (
        "FLIGHTS WITHOUT A RECORD 1. flew Tue 15 Jun 2027 22:10 to Wed 16 Jun 2027 00:40 CDT, "
        "pasture-sd, tg46, odile, thistle-out, re-entry after 48 hours, because: test: no record "
        "of Wed 16 Jun 2027 00:00 to 00:40 CDT; record 1 tells of the rest; careful practice: by "
        "Wed 16 Jun 2027, no time was found in the rule mailby record pasture-sd --flight 1"
    )


def test_hours_to_write_a_record_end_at_one_moment_everywhere(farm: Run) -> None:
    """The row counts 48 hours from the end of the application (25 NAC 2, from memory)."""
    by = "by Mon 14 Jun 2027 00:40 CDT"
    flew = farm([*shlex.split(NE), "--today", "2027-06-12"])[1]
    first = ("2027-06-11", "23:10", "23:59")
    write(farm, "pasture-ne", "2027-06-14", first, "--flight", "1")
    shown = farm(["records", "show", "1"])[1]
    listed = farm(["records"])[1]
    bound = bind(farm, "2027-06-14")
    late = ("2027-06-12", "00:00", "00:40")
    out = write(farm, "pasture-ne", "2027-06-15", late, "--flight", "1")[1]
    listed_late = farm(["records"])[1]
    done = farm(["duties", "--all", "--job", "pasture-ne", "--on", "2027-06-15"])[1]

    assert f"{by}, in 2 days: Write the record of a restricted-use job 25 NAC" in one_line(flew)
    assert "LATE" not in shown
    assert "!" not in listed
    assert f"within 48 hours, {by}: " in bound
    assert (
        "first written on that day, in time if before 00:40; the hour of its writing is not kept"
    ) in bound
    assert f"Nebraska asks for it within 48 hours, {by}: " in one_line(out)
    assert "first written LATE" in one_line(out)
    assert f"! written Tue 15 Jun 2027, due {by} " in one_line(listed_late)
    assert (
        "Tue 15 Jun 2027: Write the record of a restricted-use job, for the flight of Fri 11 Jun "
        f"2027 23:10 to 00:40 CDT, pasture-ne; records 1 and 2, done late, due {by} "
    ) in one_line(done)


def test_done_on_its_last_day_says_that_the_hour_is_not_kept(farm: Run) -> None:
    """A record knows the day of its writing only, the rule counts hours."""
    farm([*shlex.split(NE), "--today", "2027-06-12"])
    for clock in (("2027-06-11", "23:10", "23:59"), ("2027-06-12", "00:00", "00:40")):
        write(farm, "pasture-ne", "2027-06-14", clock, "--flight", "1")
    done = farm(["duties", "--all", "--job", "pasture-ne", "--on", "2027-06-14"])[1]

    assert (
        "pasture-ne; records 1 and 2, due by Mon 14 Jun 2027 00:40 CDT, the hour of its writing is "
        "not kept "
    ) in one_line(done)


def test_careful_day_is_nowhere_overdue_and_not_before_the_landing(farm: Run) -> None:
    """Source: ARSD 12:56:07:01 and :03 state no time; the row calls the day common practice."""
    careful = "careful practice: by Wed 16 Jun 2027, no time was found in the rule"
    flew = farm([*shlex.split(SD), "--today", "2027-06-18"])[1]
    duties = farm(["duties", "--job", "pasture-sd", "--on", "2027-06-18"])[1]
    today = farm(["today", "--on", "2027-06-18"])[1]
    go = farm(["go", "--job", "pasture-sd", "--on", "2027-06-18"])[1]
    write(farm, "pasture-sd", "2027-06-18", ("2027-06-15", "22:10", "23:59"), "--flight", "1")
    write(farm, "pasture-sd", "2027-06-18", ("2027-06-16", "00:00", "00:40"), "--flight", "1")
    done = farm(["duties", "--all", "--job", "pasture-sd", "--on", "2027-06-18"])[1]
    listed = farm(["records"])[1]

    assert (
        f"{careful}: Write the record of a job for hire for the flight of Tue 15 Jun 2027 22:10 to "
        "00:40 CDT, pasture-sd Twelve items: customer, place, pest, area, date and time, "
        "applicator, product with common name and maker, wind direction and speed, temperature, "
        "amount, concentration, crop. ARSD 12:56:07:01, 12:56:07:03; common practice, no source "
        "write it: mailby record pasture-sd --flight 1; when it is written elsewhere: mailby log "
        "did sd.commercial-applicator.record:odile/flight-1"
    ) in one_line(duties)
    assert f"{careful}: Write the record of a job for hire ARSD" in one_line(flew)
    for text in (today, go):
        assert f"{careful}: Write the record of a job for hire, for the flight" in one_line(text)
    for text in (flew, duties, today, go):
        assert "OVERDUE since Tue 15 Jun 2027:" not in one_line(text)
        assert "OVERDUE since Wed 16 Jun 2027:" not in one_line(text)
    assert (
        "Write the record of a job for hire, for the flight of Tue 15 Jun 2027 22:10 to 00:40 CDT, "
        "pasture-sd; records 1 and 2, with care by Wed 16 Jun 2027 "
    ) in one_line(done)
    assert one_line(listed).count("written Fri 18 Jun 2027, with care by Wed 16 Jun 2027") == 2


def test_calendar_says_careful_practice_on_the_day_and_not_overdue(farm: Run) -> None:
    """A careful day that has passed stands on the day of the calendar, as what is overdue does."""
    farm([*shlex.split(SD), "--today", "2027-06-18"])
    farm(["calendar", "-o", "c.ics", "--on", "2027-06-18"])
    text = Path("c.ics").read_text(encoding="utf-8").replace("\n ", "").replace("\\,", ",")
    (entry,) = [
        one for one in text.split("BEGIN:VEVENT") if "SUMMARY:Write the record of a job for" in one
    ]

    assert "DTSTART;VALUE=DATE:20270618\n" in entry
    assert (
        "DESCRIPTION:Careful practice: by Wed 16 Jun 2027, no time was found in the rule, for the "
        "flight of Tue 15 Jun 2027 22:10 to 00:40 CDT, pasture-sd\\n"
    ) in entry
    assert "OVERDUE" not in entry
