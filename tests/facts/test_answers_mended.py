"""What an answers file says of reasons for which papers came back; our own wording, no source."""

import pytest

from compliance.facts.answers_mended import Reasons
from compliance.facts.answers_parse import parse_answers

PACKET = "faa.registration-n:tg46"
ONE, TWO = "commission expiry left empty", "fee: 4.00 in place of 5.00"


def parse(value: str, reasons: Reasons | None) -> tuple[tuple[str, ...] | None, list[str]]:
    text = f"packet: {PACKET}\nenvelope:\n  earlier_reasons_mended: {value}\n"
    said, problems = parse_answers(text, "a.yaml", PACKET, (), reasons)
    mended = said.envelope.earlier_reasons_mended if said is not None else None
    return mended, [str(one) for one in problems]


@pytest.mark.parametrize(
    ("value", "reasons", "wanted"),
    [
        ("yes", Reasons(open=(ONE,)), (ONE,)),
        ("yes", Reasons(open=(ONE,), settled=(TWO,)), (TWO, ONE)),
        ("yes", Reasons(open=(), settled=(TWO,)), (TWO,)),
        (f'"{ONE}"', Reasons(open=(ONE, TWO)), (ONE,)),
        (f'["{TWO}", "commission  expiry left empty"]', Reasons(open=(ONE, TWO)), (TWO, ONE)),
        ("no", Reasons(open=(ONE,)), ()),
        ("later", Reasons(open=(ONE,)), ()),
        ("yes", None, ("yes",)),
    ],
)
def test_reasons_called_mended(
    value: str, reasons: Reasons | None, wanted: tuple[str, ...]
) -> None:
    """Yes counts for one reason; of several each is written out."""
    assert parse(value, reasons) == (wanted, [])


@pytest.mark.parametrize(
    ("value", "reasons", "message"),
    [
        (
            "yes",
            Reasons(open=(ONE, TWO)),
            (
                "'yes', but papers came back for 2 reasons\n  hint: write each that is mended in a "
                f'line of its own: - "{ONE}"; - "{TWO}"'
            ),
        ),
        (
            "the stamp was faint",
            Reasons(open=(ONE,)),
            (
                "'the stamp was faint', for which nothing came back\n  hint: write each that is "
                f'mended in a line of its own: - "{ONE}"'
            ),
        ),
        (
            "the stamp was faint",
            Reasons(open=()),
            "'the stamp was faint', for which nothing came back\n  hint: leave it out",
        ),
    ],
)
def test_what_is_no_reason_says_what_it_wants(value: str, reasons: Reasons, message: str) -> None:
    """Nothing is taken, and the reasons are named as they are to be written."""
    place = "a.yaml:3:27: A18 `earlier_reasons_mended` of the envelope says "
    assert parse(value, reasons) == (None, [place + message])
