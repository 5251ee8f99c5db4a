"""Every reason is numbered, every source named, nothing wider than a screen."""

from compliance.app.planning import Planned, explain
from compliance.engine.explain import is_on_its_way
from compliance.engine.explain_words import Explanation, Reason
from compliance.outputs.why_text import render_why_text
from compliance.outputs.words import CAUTION, wrap


def squeeze(text: str) -> str:
    return " ".join(text.split())


def test_render_why_text_whole() -> None:
    explanation = Explanation(
        answer="It is needed.",
        sections=(
            ("Because", (Reason(text="job.for_hire is yes"),)),
            ("The row", (Reason(text="one", source="x.one: 1 CFR 2"), Reason(text="two"))),
        ),
    )

    assert render_why_text(explanation) == (
        "It is needed.\n"
        "\n"
        "Because:\n"
        "  - job.for_hire is yes\n"
        "\n"
        "The row:\n"
        "  1. one\n"
        "     [x.one: 1 CFR 2]\n"
        "  2. two\n"
        "\n"
        f"{wrap(CAUTION)}\n"
    )


def test_render_why_text_keeps_every_reason_and_source(demo_planned: Planned) -> None:
    explanations = [
        one
        for paper in demo_planned.plan.papers
        for name in (paper.id, *(step.id for step in paper.steps))
        for one in explain(demo_planned, name)
    ]

    for explanation in explanations:
        text = render_why_text(explanation)
        reasons = [reason for _, section in explanation.sections for reason in section]
        wanted = [part for reason in reasons for part in (reason.text, reason.source)]

        assert [one for one in wanted if squeeze(one) not in squeeze(text)] == []
        assert [line for line in text.splitlines() if len(line) > 80 and " " in line.strip()] == []


def test_render_why_text_every_date_line_has_a_source(demo_planned: Planned) -> None:
    """The chain to the last day cites a row for every step on it."""
    for paper in demo_planned.plan.papers:
        for step in paper.steps:
            for explanation in explain(demo_planned, step.id):
                chain = explanation.sections[0][1]
                bare = [
                    one.text for one in chain if not one.source and " in hand by " not in one.text
                ]

                assert bare == []


def test_explain_gives_the_chain_to_the_safe_day_of_what_is_still_to_do(
    demo_planned: Planned,
) -> None:
    heading = "What sets the safe day (slow times, this packet comes back once)"
    for paper in demo_planned.plan.papers:
        for step in paper.steps:
            # Named in full, so that a step of the round before the return is found too.
            name = step.id if step.turn > 1 else f"{step.id}~1"
            (explanation,) = explain(demo_planned, name)
            sections = dict(explanation.sections)

            is_open = step.done_on is None and not is_on_its_way(demo_planned.plan, step)
            assert (heading in sections) == (is_open and step.safe is not None), name
            if heading in sections:
                assert sections[heading][0].step_id == step.id
