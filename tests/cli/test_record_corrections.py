"""Corrections that move a record's day or job, or are dated back, on the demo's invented farm."""

from collections.abc import Callable
from pathlib import Path

from pypdf import PdfReader

from tests.cli.kit_farm import RECORD

Run = Callable[[list[str]], tuple[int, str, str]]
FLY = ["log", "flew", "pasture-sd", "--from", "2027-06-15 06:10", "--to", "07:45"]
WITH = ["--aircraft", "tg46", "--pilot", "odile", "--product", "thistle-out", "--anyway", "a test"]
EARLY = RECORD.replace("2027-06-15", "2027-06-14")


def one_line(text: str) -> str:
    return " ".join(text.split())


def write(farm: Run, text: str, day: str, *more: str, job: str = "pasture-sd") -> tuple[int, str]:
    """Write a record on a day; give the exit code, and what was said."""
    Path("r.yaml").write_text(text, encoding="utf-8")
    code, out, err = farm(["record", job, "--from", "r.yaml", "--on", day, *more])
    return code, out + err


def correct(why: str, *more: str) -> tuple[str, ...]:
    return ("--correct", "1", "--because", why, *more)


def cut(text: str, first: str, last: str) -> str:
    """Give what stands from one heading to before another."""
    return one_line(text[text.index(first) : text.index(last)])


def test_work_after_its_record_was_written_is_asked_about(farm: Run) -> None:
    """Written on 14 June of work of 14 June; the correction says 15 June, and nothing is kept."""
    write(farm, EARLY, "2027-06-14")

    said = (
        "record 1 was first written on Mon 14 Jun 2027; a record cannot be written before its "
        "work, and this correction says Tue 15 Jun 2027\n"
        "  hint: for other work write a record of its own: mailby record pasture-sd; if it is the "
        'same work and that is its day, add --anyway "why"\n'
    )
    assert write(farm, RECORD, "2027-06-16", *correct("wrong day")) == (3, said)
    assert "Tue 15 Jun" not in farm(["records", "--on", "2027-06-16"])[1]


def test_work_after_its_record_is_nowhere_called_in_time(farm: Run) -> None:
    """The list, the record, the duties and the binder say it; done is the day of the correction."""
    farm([*FLY, *WITH, "--today", "2027-06-16"])
    write(farm, EARLY, "2027-06-14")
    out = write(farm, RECORD, "2027-06-16", *correct("wrong day", "--anyway", "it was a draft"))[1]
    late = write(
        farm, RECORD.replace("7\n", "8\n", 1), "2027-06-17", *correct("wind"), "--flight", "1"
    )
    farm(["binder", "-o", "b.pdf", "--on", "2027-06-16"])
    listed = farm(["records", "--on", "2027-06-16"])[1]
    shown = farm(["records", "show", "1"])[1]
    done = farm(["duties", "--all", "--on", "2027-06-16"])[1]
    bound = one_line("\n".join(page.extract_text() for page in PdfReader("b.pdf").pages))

    assert (
        "! it was first written on Mon 14 Jun 2027, before its work as corrected; that does not "
        "make it in time; kept all the same" in one_line(out)
    )
    assert late[0] == 0  # its day stays, so nobody is asked again
    assert cut(shown, "WRITTEN BEFORE", "KEEP IT") == (
        "WRITTEN BEFORE ITS WORK no time to write it was found in the rule of South Dakota; with "
        "care it is written on the day of the application, by Tue 15 Jun 2027: ARSD 12:56:07:01, "
        "12:56:07:03 (2024-11-12 and 2024-03-25; common practice, no source); first written Mon "
        "14 Jun 2027, before its work as corrected, which does not make it in time; for the day "
        "of work it was first written with it was in time, by Mon 14 Jun 2027; a record of that "
        "day's work stands since Wed 16 Jun 2027, after that day The federal government asks for "
        "it within 14 days, by Tue 29 Jun 2027: 7 CFR 110.3; 60 FR 8118 (Extension stewardship "
        "page, undated; read only in somebody else's summary); first written Mon 14 Jun 2027, "
        "before its work as corrected, which does not make it in time; for the day of work it was "
        "first written with it was in time, by Mon 28 Jun 2027"
    )
    assert (
        "! first written Mon 14 Jun 2027, before its work as corrected, Tue 15 Jun 2027: not in "
        "time by that Before each job" in one_line(listed)
    )
    assert (
        "Wed 16 Jun 2027: Write the record of a job for hire, for the flight of Tue 15 Jun 2027 "
        "06:10 to 07:45 CDT, pasture-sd; record 1, with care by Tue 15 Jun 2027; first written "
        "Mon 14 Jun 2027, before its work as corrected" in one_line(done)
    )
    assert "before its work as corrected, which does not make it in time" in bound
    assert "first written in time" not in bound


def test_correction_is_not_dated_before_what_it_corrects(farm: Run) -> None:
    write(farm, RECORD, "2027-06-15")
    assert write(farm, RECORD, "2027-06-18", *correct("wind"))[0] == 0

    said = (
        "version 2 of record 1 was written on Fri 18 Jun 2027; a correction cannot be dated "
        "before it, on Thu 17 Jun 2027\n"
        "  hint: give --on 2027-06-18 or a later day, or leave --on out for today\n"
    )
    assert write(farm, RECORD, "2027-06-17", *correct("back")) == (3, said)
    assert write(farm, RECORD, "2027-06-18", *correct("same day"))[0] == 0


MOVED = (
    "record 1 is of pasture-sd, SD, not of pasture-ne\n"
    "  hint: to correct it: mailby record pasture-sd --correct 1; if the work was of pasture-ne "
    'after all, add --anyway "why"\n'
)


def test_record_of_another_job_is_asked_about(farm: Run) -> None:
    """From a file and before the first question; with a reason it is kept and said."""
    write(farm, RECORD, "2027-06-15")
    talk = ["record", "pasture-ne", *correct("other job"), "--on", "2027-06-16"]

    assert write(farm, RECORD, "2027-06-16", *correct("other job"), job="pasture-ne") == (3, MOVED)
    assert farm(talk) == (3, "", MOVED)
    assert "pasture-ne" not in farm(["records", "--on", "2027-06-16"])[1]

    more = correct("other job", "--anyway", "wrong field")
    out = write(farm, RECORD, "2027-06-16", *more, job="pasture-ne")[1]
    shown = one_line(farm(["records", "show", "1"])[1])
    farm(["binder", "-o", "b.pdf", "--on", "2027-06-16"])
    bound = one_line("\n".join(page.extract_text() for page in PdfReader("b.pdf").pages))

    assert "! it is moved from pasture-sd (SD) to pasture-ne (NE); kept all the same" in one_line(
        out
    )
    assert (
        "VERSIONS 1, written Tue 15 Jun 2027 job and state: pasture-sd, SD 2, corrected Wed 16 Jun "
        "2027: other job (kept anyway: wrong field), moved from pasture-sd (SD) to pasture-ne (NE) "
        "Before each job" in shown
    )
    assert "moved from pasture-sd (SD) to pasture-ne (NE); the earlier ones are kept" in bound


def test_reason_of_a_label_in_the_file_moves_no_record(farm: Run) -> None:
    """Only a reason typed beside the correction answers for the move."""
    write(farm, RECORD, "2027-06-15")

    text = RECORD + "anyway: the county asked for it\n"
    assert write(farm, text, "2027-06-16", *correct("other job"), job="pasture-ne") == (3, MOVED)


def test_flight_that_a_correction_leaves_bare_is_named(farm: Run) -> None:
    """Once its record is moved to another day, and not when another record tells of it."""
    farm([*FLY, *WITH, "--today", "2027-06-16"])
    write(farm, RECORD, "2027-06-17")
    moved = RECORD.replace("2027-06-15", "2027-06-16")
    out = write(farm, moved, "2027-06-17", *correct("wrong day"))[1]

    said = (
        "! flight 1 of Tue 15 Jun 2027, pasture-sd, has no record now: mailby record pasture-sd "
        "--flight 1 writes it; if that flight did not happen: mailby log withdraw-event 1"
    )
    assert said in one_line(out)

    write(farm, RECORD, "2027-06-17", *correct("it was right"))
    write(farm, RECORD.replace("Section 9", "Section 10"), "2027-06-17")
    assert "has no record now" not in write(farm, moved, "2027-06-17", *correct("wrong"))[1]


def test_longer_time_of_an_earlier_version_is_explained(farm: Run) -> None:
    """The day of work is put a day back; the time counted from the later day still counts.

    Source: ARSD 12:56:07:03, 36 months.
    """
    write(farm, RECORD, "2027-06-15")
    out = write(farm, EARLY, "2027-06-16", *correct("wrong day"))[1]

    assert cut(out, "KEEP IT", "Before each job") == (
        "KEEP IT through Sat 15 Jun 2030: South Dakota record of an application for hire, ARSD "
        "12:56:07:01, 12:56:07:03, 12:56:07:04 (2024-11-12 and 2024-03-25); this is the time of "
        "version 1, which says Tue 15 Jun 2027, pasture-sd, SD; version 2 alone would be kept "
        "through Fri 14 Jun 2030, and the longest time of all versions counts"
    )


def test_list_counts_lateness_by_both_days_of_work(farm: Run) -> None:
    """Written 16 days after 14 June, by a correction 15 after 15 June: late by either.

    Source: 7 CFR 110.3, 14 days: through 28 and 29 June. Moved to 29 June it is in time by that.
    """
    write(farm, EARLY, "2027-06-30")
    write(farm, RECORD, "2027-06-30", *correct("wrong day"))
    both = one_line(farm(["records", "--on", "2027-06-30"])[1])
    write(farm, RECORD.replace("06-15", "06-29"), "2027-06-30", *correct("wrong again"))
    then = one_line(farm(["records", "--on", "2027-06-30"])[1])

    assert (
        "(version 2) ! written Wed 30 Jun 2027, due by Tue 29 Jun 2027 for the day of work as "
        "corrected ! written Wed 30 Jun 2027, due by Mon 28 Jun 2027 for the day of work it was "
        "first written with ! written Wed 30 Jun 2027, with care by Tue 15 Jun 2027 for the day of "
        "work as corrected ! written Wed 30 Jun 2027, with care by Mon 14 Jun 2027 for the day of "
        "work it was first written with Before each job" in both
    )
    assert (
        "(version 3) ! written Wed 30 Jun 2027, due by Mon 28 Jun 2027 for the day of work it was "
        "first written with ! written Wed 30 Jun 2027, with care by Tue 29 Jun 2027 for the day of "
        "work as corrected ! written" in then
    )


def test_pages_say_when_a_record_was_corrected(farm: Run) -> None:
    write(farm, RECORD, "2027-06-15")
    write(farm, RECORD.replace("71", "72"), "2027-06-16", *correct("warmer"))
    write(farm, RECORD.replace("71", "73"), "2027-06-17", *correct("warmer yet"))
    farm(["records", "--export", "r.pdf", "--on", "2027-06-17"])

    text = one_line("\n".join(page.extract_text() for page in PdfReader("r.pdf").pages))
    assert (
        "First written Tue 15 Jun 2027; version 2, corrected Wed 16 Jun 2027: warmer; version 3, "
        "corrected Thu 17 Jun 2027: warmer yet Kept through" in text
    )


def test_time_without_a_rule_is_one_account(farm: Run) -> None:
    """Source: ARSD 12:56:07:01 and :03 state no time; the row calls the day common practice."""
    farm([*FLY, *WITH, "--today", "2027-06-16"])
    due = one_line(farm(["duties", "--on", "2027-06-17"])[1])
    write(farm, RECORD, "2027-06-17")
    farm(["binder", "-o", "b.pdf", "--on", "2027-06-17"])
    bound = one_line("\n".join(page.extract_text() for page in PdfReader("b.pdf").pages))
    listed = one_line(farm(["records", "--on", "2027-06-17"])[1])

    assert (
        "careful practice: by Tue 15 Jun 2027, no time was found in the rule: Write the record of "
        "a job for hire for the flight of Tue 15 Jun 2027 06:10 to 07:45 CDT, pasture-sd" in due
    )
    assert "! written Thu 17 Jun 2027, with care by Tue 15 Jun 2027 Before each job" in listed
    assert (
        "no time to write it was found in the rule of South Dakota; with care it is written on the "
        "day of the application, by Tue 15 Jun 2027: ARSD" in bound
    )
    assert "common practice, no source); first written after that day" in bound
