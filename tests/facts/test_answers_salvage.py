"""Answers kept that cannot be read any more: what can be read of them stays."""

from compliance.facts.answers import Answer, EnvelopeAnswers, Source, Status
from compliance.facts.answers_parse import AskedDocument, PacketAnswers, parse_answers
from compliance.facts.answers_salvage import salvage_answers
from compliance.facts.answers_write import render_answers

ASKED = (AskedDocument(name="a", blanks=("title", "serial"), dates=frozenset()),)
TEXT = """\
packet: p
documents:
  a:
    blanks:
      title: {title}
      serial: "46-00018"
"""


def test_salvage_answers_reads_round_signs_that_do_not_print() -> None:
    """Written out or as an escape; no answer is lost."""
    for title in ('"Mem\x0bber"', '"Mem\\x0bber"', '"Member\\u202e"', '"Mem\x00ber"'):
        said, lost = salvage_answers(TEXT.format(title=title), "p", ASKED)

        assert [one.says.replace(" ", "") for one in said.answers] == ["Member", "46-00018"]
        assert lost == ()


def test_salvage_answers_leaves_out_a_line_that_is_no_yaml() -> None:
    """The answers on the other lines stay."""
    said, _ = salvage_answers(TEXT.format(title='"Member" "'), "p", ASKED)

    assert [one.says for one in said.answers] == ["46-00018"]


def test_render_answers_writes_nothing_that_cannot_be_read() -> None:
    """Wherever the sign came from."""
    answer = Answer(
        document="a", blank="title", status=Status.FILLED, says="Mem\x0bber", source=Source.PDF
    )
    whole = PacketAnswers(packet="p", answers=(answer,), envelope=EnvelopeAnswers())

    said, problems = parse_answers(render_answers(whole, ASKED), "p", "p", ASKED)

    assert (problems, [one.says for one in said.answers] if said else None) == ((), ["Mem ber"])
