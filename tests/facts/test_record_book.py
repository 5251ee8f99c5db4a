"""What is wrong with a file of records is said with its place, all at once."""

from datetime import date

from compliance.facts.record_book import parse_book

GOOD = """\
mailby_records: 1
operation: home-farm
records:
- number: 1
  version: 1
  written_on: 2027-06-16
  job: pasture
  state: NE
  for_hire: yes
  material: pesticide
  day: 2027-06-15
  said:
    place: Section 9
thrown_away:
- {number: 2, day: 2024-06-15, thrown_away_on: 2027-06-20}
"""
TODAY = date(2027, 7, 1)


def faults(text: str) -> list[str]:
    book, problems = parse_book(text, "r.yaml", TODAY)
    assert book is None
    return [f"{one.place.line} {one.code} {one.sentence}" for one in problems]


def test_good_file_has_no_fault() -> None:
    book, problems = parse_book(GOOD, "r.yaml", TODAY)

    assert problems == ()
    assert book is not None
    assert [one.said for one in book.versions] == [(("place", "Section 9"),)]
    assert [one.number for one in book.gone] == [2]


def test_every_fault_is_named_with_its_line() -> None:
    text = (
        GOOD.replace("version: 1\n  w", "version: 2\n  w")
        .replace("state: NE", "state: XX")
        .replace("place: Section 9", "plac: Section 9")
        .replace("number: 2", "number: 1")
        .replace("day: 2027-06-15", "day: 2027-06-15\n  zone: Mars\n  flights: [x]\n  start: late")
    )

    assert [one.split(" of ")[0] for one in faults(text)] == [
        "5 W40 version 2",
        "8 W05 `state`",
        "12 W22 `zone`",
        "13 W04 `flights`",
        "14 W22 record entry 1: the time it began is 'late', which is no time",
        "16 W02 `said`",
        "18 W40 record 1 is both kept and thrown away",
    ]


def test_file_of_something_else_is_refused() -> None:
    assert faults("mailby_records: 2\noperation: x\n") == [
        "1 W07 `mailby_records` of the file is 2; it must be 1 to 1"
    ]
    assert "1 W03 the file lacks `mailby_records`" in faults("aircraft: []\n")
