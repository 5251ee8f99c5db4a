"""How far a packet has come, from its log; the steps are invented."""

from collections.abc import Callable
from datetime import date

import pytest

from compliance.engine.progress import (
    Progress,
    compute_progress,
    find_logged_step,
    find_returnable,
    round_of,
)
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind
from compliance.rules.model import RulesTable, StepRow

MakeTable = Callable[[str], RulesTable]

PAPER = """\
  - id: own.license
    title: License
    holder: operation
    why: w
    office: own.office
    validity: {kind: open-ended}
    @own
    steps:
      - {name: prepare, title: Prepare, kind: act, done_at: farm, @own}
      - {name: pay, title: Pay, kind: act, done_at: online, event: paid, @own}
      - {name: mail, title: Mail, kind: act, done_at: post office, event: mailed, @own}
      - {name: transit, title: On the way, kind: wait, mail: out, event: received, @own}
      - {name: review, title: Review, kind: wait, days: 10, event: granted,
          return_path: [send-back, again, mail, transit, review], @own}
      - {name: send-back, title: Sent back, kind: wait, mail: back, use: after-return,
          event: returned, @own}
      - {name: again, title: Mend, kind: act, done_at: farm, use: after-return, event: mailed, @own}
""".replace("    @own\n", "    cite: own\n    edition: none\n    confidence: memory\n")

JANUARY = [date(2027, 1, day) for day in range(1, 32)]


@pytest.fixture(name="steps")
def read_steps(make_table: MakeTable) -> tuple[StepRow, ...]:
    return make_table(PAPER).steps


def make_entries(*happened: tuple[str, int] | tuple[str, int, str]) -> tuple[LogEntry, ...]:
    """Log (kind, day of January) or (kind, day, step)."""
    return tuple(
        LogEntry(
            number=number,
            kind=EventKind(one[0]),
            paper="own.license",
            holder=Holder(kind=HolderKind.OPERATION),
            happened_on=JANUARY[one[1] - 1],
            step=one[2] if len(one) == 3 else "",
        )
        for number, one in enumerate(happened, 1)
    )


def test_nothing_logged(steps: tuple[StepRow, ...]) -> None:
    progress = compute_progress(steps, ())

    assert progress == Progress(done={})
    assert progress.round == 1


def test_entries_tick_steps_by_event_or_by_name(steps: tuple[StepRow, ...]) -> None:
    entries = make_entries(("done", 4, "prepare"), ("paid", 5), ("mailed", 6), ("received", 8))

    progress = compute_progress(steps, entries)

    assert progress == Progress(
        done={
            ("prepare", 1): JANUARY[3],
            ("pay", 1): JANUARY[4],
            ("mail", 1): JANUARY[5],
            ("transit", 1): JANUARY[7],
        },
        is_at_office=True,
    )


def test_return_ends_the_review_and_opens_the_next_round(steps: tuple[StepRow, ...]) -> None:
    entries = make_entries(("mailed", 6), ("returned", 20))

    progress = compute_progress(steps, entries)

    assert progress == Progress(
        done={("mail", 1): JANUARY[5], ("review", 1): JANUARY[19], ("send-back", 2): JANUARY[19]},
        returns=(entries[1],),
        is_at_office=False,
        came_back=True,
    )
    assert progress.round == 2


def test_second_return_opens_the_third_round(steps: tuple[StepRow, ...]) -> None:
    entries = make_entries(
        ("mailed", 2), ("returned", 12), ("mailed", 14), ("returned", 25), ("mailed", 26)
    )

    progress = compute_progress(steps, entries)

    assert progress == Progress(
        done={
            ("mail", 1): JANUARY[1],
            ("review", 1): JANUARY[11],
            ("send-back", 2): JANUARY[11],
            ("mail", 2): JANUARY[13],
            ("review", 2): JANUARY[24],
            ("send-back", 3): JANUARY[24],
            ("mail", 3): JANUARY[25],
        },
        returns=(entries[1], entries[3]),
        is_at_office=True,
    )
    assert progress.round == 3


def test_step_off_the_return_path_stays_in_round_one(steps: tuple[StepRow, ...]) -> None:
    entries = make_entries(("mailed", 2), ("returned", 12), ("paid", 13), ("done", 14, "again"))

    progress = compute_progress(steps, entries)

    assert progress.done[("pay", 1)] == JANUARY[12]
    assert progress.done[("again", 2)] == JANUARY[13]
    assert not progress.came_back
    assert not progress.is_at_office


def test_entries_of_unknown_steps_are_passed_over(steps: tuple[StepRow, ...]) -> None:
    entries = make_entries(("signed", 2), ("done", 3, "sing"), ("done", 4))

    assert compute_progress(steps, entries) == Progress(done={})


def test_return_of_what_no_office_reviews_only_counts(make_table: MakeTable) -> None:
    plain = tuple(step for step in make_table(PAPER).steps if step.name in {"pay", "mail"})
    entries = make_entries(("mailed", 2), ("returned", 12))

    progress = compute_progress(plain, entries)

    assert progress == Progress(
        done={("mail", 1): JANUARY[1]}, returns=(entries[1],), came_back=True
    )


def test_find_returnable(steps: tuple[StepRow, ...]) -> None:
    found = find_returnable(steps)

    assert found is not None
    assert found.name == "review"
    assert find_returnable(steps[:3]) is None


def test_logged_step_prefers_the_first_round(steps: tuple[StepRow, ...]) -> None:
    """Both `mail` and `again` are ticked by mailing; `again` belongs only to later rounds."""
    names = [
        find_logged_step(given, EventKind.MAILED, "") for given in (steps, steps[5:], steps[:2])
    ]

    assert [found.name if found else None for found in names] == ["mail", "again", None]


def test_round_of_a_step(steps: tuple[StepRow, ...]) -> None:
    by_name = {step.name: step for step in steps}
    review = by_name["review"]

    rounds = [round_of(by_name[name], review, 3) for name in ("prepare", "pay", "mail", "review")]

    assert rounds == [1, 1, 3, 3]
    assert round_of(by_name["mail"], None, 3) == 1
