"""The passes against networks whose dates other people have printed.

Day 0 of every print is our DAY_0. Expected times with fractions are held in sixths of a day, which
is exact for (optimistic + 4 x likely + pessimistic) / 6.
"""

import json
from datetime import date
from math import sqrt
from pathlib import Path
from statistics import NormalDist

import pytest

from compliance.base.calendars import build_every_day
from compliance.engine.schedule import Schedule, ScheduleRow, Task, Wait, compute_schedule

EVERY = build_every_day("every day", date(2020, 1, 1), date(2025, 12, 31))
DAY_0 = date(2021, 1, 1).toordinal()

Estimate = tuple[int, int, int]


def schedule(durations: dict[str, int], after: dict[str, str]) -> Schedule:
    return compute_schedule(
        [
            Task(id=name, move=Wait(calendar=EVERY, days=days), after=tuple(after[name].split()))
            for name, days in durations.items()
        ],
        start=DAY_0,
    )


def from_arrows(arrows: dict[str, tuple[int, int]]) -> dict[str, str]:
    """Turn activity-on-arrow into predecessors: the arrows that end where this one begins."""
    return {
        name: " ".join(other for other, (_, end) in arrows.items() if end == begin)
        for name, (begin, _) in arrows.items()
    }


def times(row: ScheduleRow) -> tuple[int, int, int, int, int, int]:
    """ES, EF, LS, LF, total and free float, counted from DAY_0."""
    days = (row.earliest_start, row.earliest_finish, row.latest_start, row.latest_finish)
    es, ef, ls, lf = (day - DAY_0 for day in days)
    return es, ef, ls, lf, row.slack_days, row.free_slack_days


def critical(plan: Schedule) -> str:
    return " ".join(row.id for row in plan.rows if row.critical)


def sixths(estimates: dict[str, Estimate]) -> dict[str, int]:
    return {name: low + 4 * likely + high for name, (low, likely, high) in estimates.items()}


def path_variance(estimates: dict[str, Estimate], path: tuple[str, ...]) -> float:
    return sum(((estimates[name][2] - estimates[name][0]) / 6) ** 2 for name in path)


# --- W1: Vanhoucke 2009, p. 18, as held in the tests of the R package `criticalpath`.
W1_DAYS = {"1": 0, "2": 4, "3": 9, "4": 1, "5": 4, "6": 5, "7": 1, "8": 7, "9": 8, "10": 3, "11": 3,
           "12": 0}  # fmt: skip
W1_AFTER = {"1": "", "2": "1", "3": "1", "4": "1", "5": "2", "6": "4", "7": "6", "8": "7", "9": "5",
            "10": "3", "11": "7", "12": "8 9 10 11"}  # fmt: skip
W1_PRINTED = {
    "1": (0, 0, 0, 0, 0),
    "2": (0, 4, 0, 4, 0),
    "3": (0, 9, 4, 13, 4),
    "4": (0, 1, 2, 3, 2),
    "5": (4, 8, 4, 8, 0),
    "6": (1, 6, 3, 8, 2),
    "7": (6, 7, 8, 9, 2),
    "8": (7, 14, 9, 16, 2),
    "9": (8, 16, 8, 16, 0),
    "10": (9, 12, 13, 16, 4),
    "11": (7, 10, 13, 16, 6),
    "12": (16, 16, 16, 16, 0),
}


def test_vanhoucke_2009_twelve_activities() -> None:
    plan = schedule(W1_DAYS, W1_AFTER)

    assert {row.id: times(row)[:5] for row in plan.rows} == W1_PRINTED
    assert plan.finish - DAY_0 == 16
    assert plan.critical_path == ("1", "2", "5", "9", "12")
    assert critical(plan) == "1 2 5 9 12"


def test_vanhoucke_2014_seventeen_activities() -> None:
    # W2: Vanhoucke 2014, p. 6, as printed in the README of the R package `criticalpath`.
    days = [1, 2, 2, 4, 3, 3, 3, 2, 1, 1, 2, 1, 1, 1, 1, 2, 1]
    after = dict.fromkeys(map(str, range(1, 18)), "")
    after |= {"2": "1", "3": "1"} | dict.fromkeys("456", "2")
    after |= dict.fromkeys(("7", "8", "9", "10"), "3")
    after |= {"11": "4 5 6", "12": "7", "13": "8", "14": "9", "15": "10"}
    after |= dict.fromkeys(("16", "17"), "11 12 13 14 15")

    plan = schedule({str(at + 1): one for at, one in enumerate(days)}, after)

    assert plan.finish - DAY_0 == 11
    assert plan.critical_path == ("1", "2", "4", "11", "16")


def test_critpath_six_activities() -> None:
    # W3: example `cpmexample1` in the vignettes of the R package `critpath`.
    arrows = {"A": (1, 2), "B": (1, 3), "C": (1, 4), "D": (2, 4), "E": (3, 4), "F": (4, 5)}
    printed = {
        "A": (0, 3, 1, 4, 1, 0),
        "B": (0, 2, 2, 4, 2, 0),
        "C": (0, 5, 0, 5, 0, 0),
        "D": (3, 4, 4, 5, 1, 1),
        "E": (2, 3, 4, 5, 2, 2),
        "F": (5, 8, 5, 8, 0, 0),
    }

    plan = schedule({"A": 3, "B": 2, "C": 5, "D": 1, "E": 1, "F": 3}, from_arrows(arrows))

    assert {row.id: times(row) for row in plan.rows} == printed
    assert plan.critical_path == ("C", "F")


# --- W4: example `pertexample1` in the vignettes of the R package `critpath`.
W4_ARROWS = {"A": (1, 2), "B": (2, 3), "C": (3, 4), "D": (3, 5), "E": (3, 6), "F": (4, 7),
             "G": (5, 7), "H": (6, 7), "I": (7, 8)}  # fmt: skip
W4_ESTIMATES = {"A": (3, 5, 7), "B": (5, 7, 9), "C": (5, 5, 8), "D": (1, 6, 8), "E": (6, 8, 10),
                "F": (2, 6, 7), "G": (5, 6, 7), "H": (3, 5, 7), "I": (4, 6, 8)}  # fmt: skip
W4_PRINTED = {
    "A": (0.0, 5.0, 0.0, 5.0, 0.0, 0.0),
    "B": (5.0, 12.0, 5.0, 12.0, 0.0, 0.0),
    "C": (12.0, 17.5, 14.0, 19.5, 2.0, 0.0),
    "D": (12.0, 17.5, 13.5, 19.0, 1.5, 0.0),
    "E": (12.0, 20.0, 12.0, 20.0, 0.0, 0.0),
    "F": (17.5, 23.0, 19.5, 25.0, 2.0, 2.0),
    "G": (17.5, 23.5, 19.0, 25.0, 1.5, 1.5),
    "H": (20.0, 25.0, 20.0, 25.0, 0.0, 0.0),
    "I": (25.0, 31.0, 25.0, 31.0, 0.0, 0.0),
}


def test_critpath_nine_uncertain_activities() -> None:
    plan = schedule(sixths(W4_ESTIMATES), from_arrows(W4_ARROWS))
    finish = NormalDist(
        (plan.finish - DAY_0) / 6, sqrt(path_variance(W4_ESTIMATES, plan.critical_path))
    )

    assert {row.id: tuple(n / 6 for n in times(row)) for row in plan.rows} == W4_PRINTED
    assert plan.critical_path == ("A", "B", "E", "H", "I")
    assert finish.stdev == pytest.approx(1.490712, abs=1e-6)
    assert finish.cdf(30) == pytest.approx(0.2511675, abs=1e-7)
    assert finish.inv_cdf(0.3) == pytest.approx(30.21827, abs=1e-5)
    assert finish.inv_cdf(0.6) == pytest.approx(31.37767, abs=1e-5)


# --- W7: an exercise answered on two study sites (weak as authority, re-derived by two programs).
W7_ESTIMATES = {"A": (5, 5, 7), "B": (1, 2, 5), "C": (5, 5, 5), "D": (4, 8, 13), "E": (1, 10, 17),
                "F": (1, 5, 7), "G": (2, 6, 9), "H": (4, 4, 6), "I": (2, 7, 10), "J": (2, 4, 7),
                "K": (6, 10, 13), "L": (2, 6, 6), "M": (2, 2, 3), "N": (7, 7, 12)}  # fmt: skip
W7_AFTER = {"A": "", "B": "", "C": "A", "D": "A", "E": "B C", "F": "D", "G": "D", "H": "E F",
            "I": "G H", "J": "I", "K": "I", "L": "J", "M": "K", "N": "L M"}  # fmt: skip
W7_PRINTED = {
    "A": (0, 5.33, 0, 5.33, 0),
    "B": (0, 2.33, 8, 10.33, 8),
    "C": (5.33, 10.33, 5.33, 10.33, 0),
    "D": (5.33, 13.50, 7.17, 15.33, 1.83),
    "E": (10.33, 20, 10.33, 20, 0),
    "F": (13.50, 18.17, 15.33, 20, 1.83),
    "G": (13.50, 19.33, 18.50, 24.33, 5),
    "H": (20, 24.33, 20, 24.33, 0),
    "I": (24.33, 31, 24.33, 31, 0),
    "J": (31, 35.17, 33.50, 37.67, 2.50),
    "K": (31, 40.83, 31, 40.83, 0),
    "L": (35.17, 40.50, 37.67, 43, 2.50),
    "M": (40.83, 43, 40.83, 43, 0),
    "N": (43, 50.83, 43, 50.83, 0),
}


def test_fourteen_uncertain_activities() -> None:
    plan = schedule(sixths(W7_ESTIMATES), W7_AFTER)
    variance = path_variance(W7_ESTIMATES, plan.critical_path)
    mean = (plan.finish - DAY_0) / 6

    for row in plan.rows:
        # The print has two decimals.
        found = [n / 6 for n in times(row)[:5]]
        assert found == pytest.approx(W7_PRINTED[row.id], abs=0.005), row.id
    assert "-".join(plan.critical_path) == "A-C-E-H-I-K-M-N"
    assert mean == pytest.approx(50.83, abs=0.005)
    assert variance == pytest.approx(11.194, abs=0.0005)
    # Printed 0.8944 with z rounded to 1.25.
    assert NormalDist().cdf(round((55 - mean) / sqrt(variance), 2)) == pytest.approx(
        0.8944, abs=5e-5
    )


def test_twelve_uncertain_activities() -> None:
    # W8: test suite of OperationsResearchModels.jl (MIT): mean 22.5, standard deviation 0.8660254.
    estimates = {"A": (3, 7, 9), "B": (2, 2, 2), "C": (3, 4, 5), "D": (3, 4, 4), "E": (4, 4, 5),
                 "F": (1, 3, 4), "G": (2, 3, 3), "H": (3, 3, 3), "I": (3, 4, 5), "J": (4, 5, 6),
                 "K": (1, 4, 4), "L": (3, 4, 5)}  # fmt: skip
    after = {"A": "", "B": "", "C": "", "D": "A B", "E": "B C", "F": "A B E", "G": "D E",
             "H": "E F", "I": "G H", "J": "G H", "K": "H I J", "L": "G H I"}  # fmt: skip

    plan = schedule(sixths(estimates), after)

    assert (plan.finish - DAY_0) / 6 == 22.5
    assert sqrt(path_variance(estimates, plan.critical_path)) == pytest.approx(0.8660254, abs=1e-7)
    assert plan.critical_path == ("C", "E", "F", "H", "J", "K")


@pytest.mark.parametrize("unseen", range(1, 6))
def test_navy_manual_partial_figure(unseen: int) -> None:
    # W10: NAVEDTRA 14233 (US Navy, public domain), fig. 2-13, numbers from its text. The length of
    # 1050 is not in the text, and 1060 is one day longer since 1050 has a total float of 1; the
    # printed numbers hold whatever the length is. A lag of 3 days follows 1070.
    days = {"1010": 3, "1020": 7, "1040": 8, "1050": unseen, "1060": unseen + 1, "1070": 2,
            "lag": 3}  # fmt: skip
    after = {"1010": "", "1020": "1010", "1040": "1010", "1050": "1020 1040", "1060": "1040",
             "1070": "1050 1060", "lag": "1070"}  # fmt: skip

    plan = schedule(days, after)
    found = {row.id: times(row) for row in plan.rows}

    assert plan.critical_path == ("1010", "1040", "1060", "1070", "lag")
    assert found["1020"] == (3, 10, 5, 12, 2, 1)
    assert found["1040"][3] == 11
    assert (found["1050"][0], found["1050"][2], found["1050"][4]) == (11, 12, 1)
    assert found["lag"][0] == found["1070"][1]
    assert found["lag"][1] == found["1070"][1] + 3


def test_taylor_critical_path_statistics() -> None:
    # W11: Taylor, critical path 1-3-5-7: mean 24, variance 5, P(T <= 28) printed .9633.
    estimates = {"1": (5, 8, 17), "3": (3, 5, 7), "5": (4, 6, 8), "7": (3, 4, 5)}

    plan = schedule(sixths(estimates), {"1": "", "3": "1", "5": "3", "7": "5"})
    variance = path_variance(estimates, plan.critical_path)

    assert (plan.finish - DAY_0) / 6 == 24
    assert variance == pytest.approx(5)
    assert NormalDist(24, sqrt(variance)).cdf(28) == pytest.approx(0.9633, abs=1e-3)


# --- Hendrickson's nine activities: a copy on a document site prints the right table and T = 30,
# but boxes for B, D, E and G that contradict it.
H_DAYS = {"A": 4, "B": 3, "C": 8, "D": 7, "E": 9, "F": 12, "G": 2, "H": 5, "I": 6}
H_AFTER = {"A": "", "B": "", "C": "A", "D": "A", "E": "B C", "F": "B C", "G": "D E", "H": "D E",
           "I": "F G"}  # fmt: skip


def broken_orders(latest: dict[str, tuple[int, int]]) -> list[str]:
    """Name each pair whose later activity must start before the earlier one must finish."""
    return [
        f"{first}-{then}"
        for then, names in H_AFTER.items()
        for first in names.split()
        if latest[first][1] > latest[then][0]
    ]


def test_hendrickson_nine_activities() -> None:
    plan = schedule(H_DAYS, H_AFTER)
    found = {row.id: times(row) for row in plan.rows}

    assert plan.finish - DAY_0 == 30
    assert plan.critical_path == ("A", "C", "F", "I")
    # Re-derived, since the print is wrong: ES, EF, LS, LF, total float.
    assert found["B"][:5] == (0, 3, 9, 12, 9)
    assert found["D"][:5] == (4, 11, 15, 22, 11)
    assert found["E"][:5] == (12, 21, 13, 22, 1)
    assert found["G"][:5] == (21, 23, 22, 24, 1)


def test_hendrickson_wrong_print_is_noticed() -> None:
    plan = schedule(H_DAYS, H_AFTER)
    right = {row.id: times(row)[2:4] for row in plan.rows}
    # The print lets G finish at 30 though I, which waits for it, must start at 24.
    wrong = right | {"G": (28, 30)}

    assert broken_orders(right) == []
    assert broken_orders(wrong) == ["G-I"]


def test_psplib_critical_path_lengths() -> None:
    # Source: Project Scheduling Problem Library, R. Kolisch and A. Sprecher, 1996; the length is
    # the value it prints as MPM-Time.
    path = Path(__file__).parents[1] / "data" / "psplib_critical_paths.json"
    instances = json.loads(path.read_text(encoding="utf-8"))["instances"]
    found, printed = {}, {}

    for one in instances:
        after: dict[str, list[str]] = {str(job + 1): [] for job in range(len(one["durations"]))}
        for job, later in one["successors"].items():
            for then in later:
                after[str(then)].append(job)
        days = {str(job + 1): length for job, length in enumerate(one["durations"])}
        plan = schedule(days, {job: " ".join(names) for job, names in after.items()})
        found[one["instance"]] = plan.finish - DAY_0
        printed[one["instance"]] = one["critical_path_length"]
        lengths = sum(days[job] for job in plan.critical_path)
        assert lengths == one["critical_path_length"], one["instance"]

    assert len(printed) == 32
    assert found == printed
