"""What is known of the states, as a user asks for it."""

import json
from collections.abc import Callable

Run = Callable[[list[str]], tuple[int, str, str]]
DAY = ["--on", "2027-01-11"]


def test_state_by_name_and_by_code_is_the_same(run: Run) -> None:
    assert run(["coverage", "nebraska", *DAY]) == run(["coverage", "NE", *DAY])


def test_state_without_rules_says_so_plainly(run: Run) -> None:
    out = " ".join(run(["coverage", "AK", *DAY])[1].split())

    assert out.startswith(
        "Alaska, AK: what mailby knows, as of Mon 11 Jan 2027 mailby has no rule of this state. "
        "The federal rules apply there all the same; "
    )


def test_unknown_state(run: Run) -> None:
    hint = "write a code such as NE, or US for federal rules"
    message = f"no state is called 'XX'\n  hint: {hint}\n"
    assert run(["coverage", "XX"]) == (4, "", message)


def test_list_names_states_with_rules_gaps_and_nothing(run: Run) -> None:
    out = " ".join(run(["coverage", *DAY])[1].split())

    assert "Nebraska, NE: 3 papers, " in out
    assert "No rule yet, only what to ask: " in out
    assert "Nothing at all: " in out


def test_json_has_the_same_rows(run: Run) -> None:
    found = json.loads(run(["coverage", "NE", "--format", "json", *DAY])[1])
    (state,) = found["states"]

    assert (found["as_of"], state["state"], state["has_rules"]) == ("2027-01-11", "NE", True)
    assert "ne.aerial-business" in [row["id"] for row in state["papers"]]
