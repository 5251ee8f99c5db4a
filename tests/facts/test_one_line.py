"""Texts of one line hold no tab and no sign that cannot be seen; a table could not be read back."""

import pytest

from compliance.facts.events_parse import parse_events
from compliance.facts.model import Operation
from compliance.facts.parse import parse_operation


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("note", "`note` of event 1 holds a tab that cannot be kept (U+0009)"),
        ("product", "`product` of event 1 holds a tab that cannot be kept (U+0009)"),
    ],
)
def test_text_of_a_flight_holds_no_tab(key: str, said: str, demo_operation: Operation) -> None:
    job = demo_operation.jobs[0].id
    text = (
        f"log: []\nevents:\n  - {{kind: flew, job: {job}, from: 2027-05-24 06:10, to: '07:40',\n"
        f'     {key}: "a\\tb"}}\n'
    )

    events, problems = parse_events(text, "log.yaml", demo_operation)

    assert events == ()
    assert [str(problem) for problem in problems] == [
        f"log.yaml:4:{len(key) + 8}: E25 {said}\n  hint: type it anew, on one line"
    ]


def test_name_in_the_facts_holds_no_tab(demo_files: dict[str, str]) -> None:
    """The name of the business goes into every record."""
    text = demo_files["sandbur_flats.yaml"]
    line = next(one for one in text.splitlines() if "legal_name:" in one)
    broken = text.replace(line, f'{line.partition(":")[0]}: "Sandbur\\tFlats LLC"')

    operation, problems = parse_operation(broken, "f.yaml")

    assert operation is None
    assert [(one.code, one.sentence) for one in problems] == [
        ("F25", "`legal_name` of the operation holds a tab that cannot be kept (U+0009)")
    ]
