"""A packet filed before its rule changes, as a user sees it on days before and after the change.

The days of the mail are 39 CFR part 121 as the table has it (5 postal days; no Sundays), the rest
is counted by hand. What a packet is judged by is held against a rule that never changed.
"""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.kit_packs import TOWNSHIP

Run = Callable[[list[str]], tuple[int, str, str]]
CHANGE = "2027-04-01"
ON = ["--on", "2027-01-11"]
PACK = TOWNSHIP.replace("    documents:", "    steps:\nSTEPS\n    documents:")
STEP = """\
      - {name: review, title: Review, kind: wait, days: {fast: FAST, usual: USUAL, slow: SLOW},
         event: granted, return_path: [return-mail, mend, mail, transit, review], cite: ordinance,
         confidence: readWHEN}"""


def make_step(usual: int, when: str = "") -> str:
    """Write a review of some usual days, half of them when fast and twice when slow."""
    text = STEP.replace("USUAL", str(usual)).replace("WHEN", when)
    return text.replace("FAST", str(usual // 2)).replace("SLOW", str(usual * 2))


def file_packet(run: Run, steps: str, mailed: str, tmp_path: Path) -> None:
    """Load the farm and the permit's rules, and log that it was mailed on a day."""
    name = tmp_path / "permit.yaml"
    name.write_text(PACK.replace("STEPS", steps), encoding="utf-8")
    assert run(["load", "sandbur_flats.yaml"])[0] == 0
    assert run(["rules", "add", str(name), "--on", "2027-01-11"])[0] == 0
    for step in ("signed", "checked", "mailed"):
        why = ["--anyway", "told"] if step == "mailed" else []
        told = ["log", step, "bc.permit", "--on", mailed, "--today", "2027-06-01", *why]
        assert run(told)[0] == 0


def show_packet(run: Run, steps: str, mailed: str, today: str, tmp_path: Path) -> str:
    """Give what the plan says of the permit, mailed on a day, on one line."""
    file_packet(run, steps, mailed, tmp_path)
    out = run(["plan", "--on", today])[1]
    block = out.partition("\n  Township spraying permit\n")[2].partition("\n\n")[0]
    # What is said of the change itself comes after the days.
    return " ".join(block.partition("waits on")[0].split())


@pytest.mark.parametrize(
    ("before", "after", "mailed", "today", "counts", "ready"),
    [
        # There on 20 March, over on 30 March, before the change: the old edition alone.
        (10, 30, "2027-03-15", "2027-04-03", 10, "Mon 5 Apr 2027"),
        # There on 30 March, not over by the change: the longer, whichever came first.
        (10, 30, "2027-03-24", "2027-03-28", 30, "Wed 5 May 2027"),
        (30, 10, "2027-03-15", "2027-04-03", 30, "Sat 24 Apr 2027"),
        (30, 10, "2027-03-24", "2027-03-28", 30, "Wed 5 May 2027"),
    ],
)
def test_packet_filed_before_a_change_is_judged_by_the_edition_of_its_wait(
    *,
    before: int,
    after: int,
    mailed: str,
    today: str,
    counts: int,
    ready: str,
    loaded: Run,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Ready day, day to ask and odds: all as if the rule had never changed."""
    two = "\n".join(
        [
            make_step(before, ", applies_until: 2027-03-31"),
            make_step(after, f", applies_from: {CHANGE}"),
        ]
    )

    changing = show_packet(loaded, two, mailed, today, tmp_path)
    monkeypatch.setenv("MAILBY_DB", str(tmp_path / "other.sqlite"))
    steady = show_packet(loaded, make_step(counts), mailed, today, tmp_path)

    assert f"ready {ready} at usual pace" in changing
    assert ("ask on" in changing, "likely even odds by" in changing) == (True, True)
    assert changing == steady


SEVERAL = "\n".join(
    [
        make_step(10, ", applies_until: 2027-03-31"),
        make_step(12, f", applies_from: {CHANGE}, applies_until: 2027-04-10"),
        make_step(90, ", applies_from: 2027-04-11"),
    ]
)


def test_reasons_of_a_packet_on_its_way_have_no_last_day_to_send_it(
    loaded: Run, tmp_path: Path
) -> None:
    """There on 25 March, 12 days by the edition of 1 April: over on 6 April, home on the 12th.

    With the first job on 24 May it would have to come home from 18 May on, which no edition of
    12 days is for; nobody can choose that day any more.
    """
    file_packet(loaded, SEVERAL, "2027-03-19", tmp_path)

    whole = " ".join(loaded(["why", "bc.permit", "--on", "2027-04-02"])[1].split())
    wait = " ".join(loaded(["why", "bc.permit/review", "--on", "2027-04-02"])[1].split())
    sent = " ".join(loaded(["why", "bc.permit/mail", "--on", "2027-04-02"])[1].split())

    assert (
        "Sent off: 1. Mail the packet at the counter and keep the proof: done on Fri 19 Mar 2027 ["
    ) in whole
    assert "2. Township spraying permit in hand by Mon 24 May 2027, the first day of" in whole
    assert "after `Review`, 12 calendar days, over on Tue 6 Apr 2027" in whole
    assert [text for text in (whole, wait, sent) if "at the latest" in text] == []
    assert [text for text in (whole, wait, sent) if "Last day to" in text] == []
    assert wait.startswith(
        "Review: must be over by Tue 18 May 2027; at usual pace over on Tue 6 Apr 2027. What sets "
        "the last day (usual times, no spare return): 1. Review: must be over by Tue 18 May 2027; "
        "it takes 12 calendar days ["
    )
    assert "safe" not in wait
    assert "What sets" not in sent


def test_plan_and_reasons_tell_one_story_until_and_after_the_usual_days(
    loaded: Run, tmp_path: Path
) -> None:
    """There on 27 March, 12 days by the edition of 1 April: over on 8 April, home on the 14th.

    Ten days, by the edition of March, would have been over on 6 April; both in the mail and at the
    office the packet counts with the same edition, and so it does when its usual days are over.
    """
    file_packet(loaded, SEVERAL, "2027-03-22", tmp_path)
    step = (
        "Review: must be over by Tue 18 May 2027; at usual pace over on Thu 8 Apr 2027. What sets "
        "the last day (usual times, no spare return): 1. Review: must be over by Tue 18 May 2027; "
        "it takes 12 calendar days ["
    )

    for day in ("03-22", "03-26", "03-28", "04-02", "04-07", "04-09", "04-12", "04-14", "04-15"):
        plan = loaded(["plan", "--on", f"2027-{day}"])[1]
        block = plan.partition("\n  Township spraying permit\n")[2].partition("\n\n")[0]
        said = " ".join(loaded(["why", "bc.permit/review", "--on", f"2027-{day}"])[1].split())

        assert said.startswith(step), day
        late = "OVERDUE      since Wed 14 Apr 2027" in block
        assert ("ready        Wed 14 Apr 2027" in block, late) == (day != "04-15", day == "04-15")
        assert "more cautious of the two is planned with" in " ".join(block.split())


def test_offices_say_that_the_rule_changed_in_the_times_seen(loaded: Run, tmp_path: Path) -> None:
    """One line, and none before the first change comes or where the rule never changed."""
    file_packet(loaded, SEVERAL, "2027-03-22", tmp_path)

    def say(day: str) -> str:
        code, out, _ = loaded(["offices", "--on", day])
        assert (code, "bc.permit.review: Review" in out) == (0, True)
        return " ".join(out.split())

    assert "changed packets" not in say("2027-03-30")
    assert (
        "the rule usually 12 calendar days; fast 6, slow 24 changed packets seen came under earlier"
        " editions of the rule too (usually 10 calendar days through Wed 31 Mar 2027); what is "
        "believed starts from today's seen 0 decided"
    ) in say("2027-04-03")
    told = json.loads(loaded(["offices", "--on", "2027-04-12", "--format", "json"])[1])
    assert told["offices"][-1]["kinds"][0]["earlier_editions"] == [
        {"applies_from": None, "applies_until": "2027-03-31", "usual": 10},
        {"applies_from": "2027-04-01", "applies_until": "2027-04-10", "usual": 12},
    ]
    code, out, _ = loaded(["offices", "--all", *ON])
    assert (code, "changed packets" in " ".join(out.split())) == (0, False)
