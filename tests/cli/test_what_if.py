"""what-if as a user types it: side by side, nothing kept unless asked for."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from compliance.app.demo import LOG

Run = Callable[[list[str]], tuple[int, str, str]]
ON = ["--on", "2027-01-11"]
DATA = Path(__file__).parents[1] / "data"


@pytest.fixture
def logged(loaded: Run, demo_files: dict[str, str], isolated: Path) -> Run:
    """The command with the demo's facts and log."""
    (isolated / LOG).write_text(demo_files[LOG], encoding="utf-8")
    assert loaded(["log", "import", LOG, "--today", "2027-01-11"])[0] == 0
    return loaded


def row(out: str, label: str, within: str) -> list[str]:
    """The two columns of a line below the line that begins a job or a packet."""
    lines = out[out.index(f"  {within}") :].splitlines()
    line = next(one for one in lines if one.strip().startswith(label))
    return [line[38:60].strip(), line[60:].strip()]


def test_faster_mail_and_slow_office_side_by_side(logged: Run) -> None:
    before = logged(["export"]), logged(["plan", *ON])
    code, out, err = logged(
        ["what-if", *ON, "--mail", "all=express", "--office", "faa.registry=slow"]
    )

    assert (code, err) == (0, "")
    assert "  - every packet goes by express\n" in out
    assert "Nothing of it is kept.\n" in out
    assert row(out, "mail by, last", "ne.aerial-business") == [
        "Wed 21 Apr 2027",
        "Sat 24 Apr 2027",
    ]
    assert row(out, "mail no. 2 by, last", "faa.registration-n:tg46") == [
        "Tue 30 Mar 2027",
        "Wed 3 Mar 2027",
    ]
    assert max(map(len, out.splitlines())) <= 80
    assert out.endswith("ask a licensed professional when in doubt.\n")
    assert (logged(["export"]), logged(["plan", *ON])) == before


def test_no_day_left_says_what_chance_is_left(logged: Run) -> None:
    """In May even express leaves Part 137 no chance, in the words of the plan."""
    out = logged(["what-if", "--on", "2027-05-20", "--first-spray", "2027-05-25"])[1]

    columns = row(out, "file by, 90 %", "faa.ag-operator")
    assert columns == ["no day (under 1 %)", "no day (under 1 %)"]
    assert max(map(len, out.splitlines())) <= 80


def test_day_for_a_chance_may_be_sooner_than_the_trip(logged: Run) -> None:
    """A first spray in July moves the trip into March; the day for nine in ten is in February."""
    change = ["--first-spray", "2027-07-19"]
    out = logged(["what-if", *ON, *change, "--keep"])[1]
    plan = " ".join(logged(["plan", *ON])[1].split())
    odile = plan[plan.index("CHANCES") :].partition("South Dakota commercial applicator")[2]

    name, label = "sd.commercial-applicator:odile", "mail by, 90 % if back once"
    assert row(out, label, name) == ["Thu 21 Jan 2027", "Wed 24 Feb 2027 *"]
    assert "\n  With a star: sooner than the trip to town lets it go; go sooner for that\n" in out
    assert odile.startswith(
        " license, Odile Ferrant for 90 %: mail by Sat 17 Apr 2027 for 90 % even if it comes back "
        "once: mail by Wed 24 Feb 2027; that is sooner than its trip to town, Sat 6 Mar 2027 (88 "
        "%), so go sooner for this chance mailed on the safe day"
    )


def test_return_tried_counts_beside_one_more(logged: Run) -> None:
    """The row of one return is that of the plan; with the return tried it is of one more."""
    name = "ne.commercial-applicator:wren"
    out = logged(["what-if", *ON, "--returned", name])[1]

    assert row(out, "mail by, 90 % if back once", name) == ["no day (87 %)", "-"]
    assert row(out, "mail by, 90 %", name) == ["Tue 23 Feb 2027", "no day (84 %)"]
    assert row(out, "mail by, 90 % if back again", name) == ["-", "no day (63 %)"]


def test_what_waits_for_an_overdue_paper_has_no_firm_day_on_either_side(logged: Run) -> None:
    """The exemption is overdue since 6 February; when it comes back, its day is reckoned anew."""
    both = logged(["what-if", "--on", "2027-05-20", "--mail", "all=express"])[1]
    back = logged(["what-if", "--on", "2027-03-20", "--returned", "faa.exemption"])[1]
    limit = (
        "can go only once this is here, which is overdue: Exemption for spraying with unmanned "
        "aircraft"
    )

    for name, label in (
        ("faa.ag-operator", "ready at usual pace"),
        ("ne.aerial-business", "ready at usual pace"),
        ("pasture-ne", "first lawful day"),
        ("own-quarter", "first lawful day"),
    ):
        assert row(both, label, name) == ["not known", "not known"]
        assert "" not in row(both, "if what is overdue came today", name)
        assert row(back, label, name)[0] == "not known"
        assert row(back, "if what is overdue came today", name)[1] == "-"
    assert row(back, "overdue since", "faa.exemption") == ["Sat 6 Feb 2027", "-"]
    assert row(back, "ready at usual pace", "faa.exemption") == ["not known", "Sat 14 Aug 2027"]
    assert f"faa.ag-operator, Agricultural aircraft operator certificate (Part 137) {limit}" in (
        " ".join(both.split())
    )
    assert f"(Part 137) as it is: {limit} needed by" in " ".join(back.split())
    assert "as it is: lawful only once this is here, which is overdue: " in " ".join(back.split())
    assert "as if that came today.\n" in both
    assert max(map(len, (*both.splitlines(), *back.splitlines()))) <= 80


def test_json_of_what_if_marks_what_waits_for_an_overdue_paper(logged: Run) -> None:
    """Jobs, packets, steps and chances of both plans carry the mark of the plan's own JSON."""
    out = logged(
        ["what-if", "--on", "2027-03-20", "--returned", "faa.exemption", "--format", "json"]
    )[1]
    found = json.loads(out)

    for side, mark in (("as_it_is", ["faa.exemption"]), ("what_if", [])):
        plan = found[side]
        marks = {one["packet"]: one["only_if_overdue_come"] for one in plan["papers"]}
        drawn = {one["packet"]: one["only_if_overdue_come"] for one in plan["chances"]["packets"]}
        assert marks["ne.aerial-business"] == drawn["ne.aerial-business"] == mark
        assert all(marks[name] == one for name, one in drawn.items())
        assert [job["only_if_overdue_come"] for job in plan["jobs"]] == [mark] * 4
        steps = [step for paper in plan["papers"] for step in paper["steps"]]
        assert any(step["trip_to_town"] for step in steps)
        assert not [step for step in steps if step["only_if_overdue_come"] and step["trip_to_town"]]


def test_quicker_mail_never_lowers_a_chance(logged: Run) -> None:
    """The same draws are used for both plans."""
    out = logged(["what-if", *ON, "--mail", "all=express"])[1]

    for job in ("pasture-ne", "pasture-sd", "own-quarter", "cover-crop"):
        old, new = row(out, "chance on its first day", job)
        assert int(old.removesuffix(" %")) <= int(new.removesuffix(" %"))


def test_change_is_kept_when_asked(logged: Run) -> None:
    code, out, err = logged(
        ["what-if", *ON, "--swap-pilot", "own-quarter=odile", "--drop-pilot", "wren", "--keep"]
    )
    exported = logged(["export"])[1]

    assert (code, err) == (0, "")
    assert "Kept: this is the plan from now on.\n" in out
    assert "    no longer needed\n" in out
    assert exported.count("pilots: [odile]") == 4
    assert "Wren Castellow" in exported


def test_what_cannot_be_kept_is_refused_whole(logged: Run) -> None:
    before = logged(["export"])
    found = logged(
        ["what-if", *ON, "--first-spray", "2027-06-01", "--trip", "2027-03-09", "--keep"]
    )

    assert found == (
        3,
        "",
        (
            "this cannot be kept: an extra day in town: change the closure in your facts and load "
            "them\n"
            "  hint: leave out --keep, or the part that cannot be kept; nothing was changed\n"
        ),
    )
    assert logged(["export"]) == before


def test_return_of_a_packet_at_an_office(logged: Run) -> None:
    code, out, err = logged(["what-if", *ON, "--returned", "faa.exemption"])

    assert (code, err) == (0, "")
    assert row(out, "sent off", "faa.exemption") == ["Mon 14 Sep 2026", "-"]
    assert row(out, "first lawful day", "pasture-ne") == ["Mon 24 May 2027", "Mon 23 Aug 2027"]


def test_trip_on_a_closed_day_comes_sooner(logged: Run) -> None:
    """Nobody can leave from 8 to 14 March but for the trip on Tuesday the 9th."""
    out = logged(["what-if", "--on", "2027-03-08", "--trip", "2027-03-09"])[1]
    old, new = row(out, "ready at usual pace", "faa.registration-n:tg46")

    assert old != new


def test_fees_that_are_known_and_no_postage(logged: Run) -> None:
    """Without Wren her two licenses are left out, 90 and 35 dollars as their rows say."""
    out = logged(["what-if", *ON, "--swap-pilot", "own-quarter=odile", "--drop-pilot", "wren"])[1]

    section = out[out.index("COSTS\n") :].splitlines()[:3]
    assert section == [
        "COSTS",
        "  filing fees that are known          $265.00               $140.00",
        "  Postage is left out; mailby does not know it.",
    ]
    assert out.lower().count("postage") == 1


def test_json_says_the_same_for_programs(logged: Run) -> None:
    """Checked by the package jsonschema; both plans have the shape of the plan's own JSON."""
    code, out, err = logged(["what-if", *ON, "--mail", "all=express", "--format", "json"])
    document = json.loads(out)
    plan = json.loads(logged(["plan", *ON, "--format", "json"])[1])

    assert (code, err) == (0, "")
    schema, inner = (
        json.loads((DATA / name).read_text(encoding="utf-8"))
        for name in ("what_if.schema.json", "plan.schema.json")
    )
    registry = Registry().with_resource("plan.schema.json", DRAFT202012.create_resource(inner))
    Draft202012Validator(schema, registry=registry).validate(document)
    assert document["changes"] == ["every packet goes by express"]
    assert document["kept"] is False
    assert document["as_it_is"]["chances"] == plan["chances"]
    assert document["as_it_is"]["jobs"] == plan["jobs"]
    assert document["what_if"]["chances"] != plan["chances"]


def test_json_refuses_what_text_refuses(logged: Run) -> None:
    code, out, err = logged(["what-if", *ON, "--format", "json"])

    assert (code, out) == (3, "")
    assert json.loads(err)["error"] == "nothing to try was given"


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            [],
            (
                "nothing to try was given\n"
                "  hint: such as --first-spray 2027-06-01, --mail all=express, "
                "--office faa.registry=slow\n"
            ),
        ),
        (
            ["--mail", "express"],
            (
                "--mail takes two names with an equals sign between them, not 'express'\n"
                "  hint: mailby what-if --help shows the names\n"
            ),
        ),
        (
            ["--drop-aircraft", "tg18"],
            (
                "own-quarter would have no aircraft left without tg18\n"
                "  hint: give it another one first: --swap-aircraft own-quarter=ID\n"
            ),
        ),
        (
            ["--chance", "2", "--trip", "2027-03-09"],
            (
                "a chance to plan for is a number from 0.5 to 0.99, not '2'\n"
                "  hint: 0.9 stands for nine seasons in ten; nothing is certain enough for more "
                "than 0.99\n"
            ),
        ),
    ],
)
def test_what_makes_no_sense_is_refused(logged: Run, arguments: list[str], message: str) -> None:
    assert logged(["what-if", *ON, *arguments]) == (3, "", message)


def test_no_such_day_is_a_usage_error(logged: Run) -> None:
    code, out, err = logged(["what-if", *ON, "--trip", "2027-02-30"])

    assert (code, out) == (2, "")
    assert "'2027-02-30' is no day from 2000 to 2079" in " ".join(err.split())
