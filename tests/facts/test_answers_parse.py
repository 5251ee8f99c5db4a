"""Answers files: every form of answer, the way back to text, and one bad file for each code."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.facts.answers import ENCLOSED, Answer, EnvelopeAnswers, Source, Status
from compliance.facts.answers_parse import (
    ENCLOSED_WORDS,
    AskedDocument,
    PacketAnswers,
    parse_answers,
)
from compliance.facts.answers_write import render_answers

PACKET = "faa.registration-n:tg46"
ASKED = (
    AskedDocument(
        name="application",
        blanks=("owner-name", "mailing-address", "model", "serial", "signature", "signed-on"),
        dates=frozenset({"signed-on"}),
        marks=frozenset({"signature"}),
    ),
    AskedDocument(
        name="affidavit",
        blanks=("signature", "signed-on", "notary-date", "birth-date"),
        dates=frozenset({"signed-on", "notary-date", "birth-date"}),
    ),
    AskedDocument(
        name="bill-of-sale", blanks=("seller-name", "sold-on"), dates=frozenset({"sold-on"})
    ),
)
FOLDER = Path(__file__).parents[1] / "data" / "bad_answers"
BAD = sorted(FOLDER.glob("*.yaml"))
CODES = {"A01", "A02", "A03", "A04", "A05", "A06", "A08", *(f"A{n}" for n in range(11, 18)), "A25"}

EVERYTHING = """\
packet: faa.registration-n:tg46
documents:
  application:
    enclosed: original
    blanks:
      owner-name: "Sandbur Flats Aerial LLC"
      mailing-address: [P.O. Box 0, "Burrell Crossing, NE 00000"]
      signature: filled
      signed-on: 2027-01-12
      model: struck
      serial: {status: filled, says: empty, source: photo, seen_in: abc}
  affidavit: {enclosed: left-out, blanks: {birth-date: 1961-02-03, signed-on: in spring}}
  bill-of-sale:
    - {enclosed: copy, blanks: {seller-name: Tallgrass Rotorworks}}
    - {enclosed: no, blanks: {sold-on: unclear}}
envelope:
  notary_name: Ida Quillfeather
  notary_state: NE
  id_expires: 2030-06-01
  owners_chain: [Tallgrass Rotorworks, Sandbur Flats Aerial LLC]
  fee_amount_usd: $5.00
  fee_payee: Federal Aviation Administration
  fee_method: check
  address_on_envelope: [P.O. Box 25504, "Oklahoma City, OK 73125-0504"]
  insured_from: 2026-11-01
  insured_through: 2027-10-31
  insured_aircraft: [N-INVENTED, 46-00017]
  earlier_reasons_mended: "notary block: commission expiry left empty"
  no_corrections: yes
  signature_kind: ink
  power_enclosed: no
"""
READ = PacketAnswers(
    packet=PACKET,
    answers=(
        Answer(document="application", blank=ENCLOSED, status=Status.FILLED, says="original"),
        Answer(
            document="application",
            blank="owner-name",
            status=Status.FILLED,
            says="Sandbur Flats Aerial LLC",
        ),
        Answer(
            document="application",
            blank="mailing-address",
            status=Status.FILLED,
            says="P.O. Box 0, Burrell Crossing, NE 00000",
        ),
        Answer(document="application", blank="signature", status=Status.FILLED),
        Answer(
            document="application",
            blank="signed-on",
            status=Status.FILLED,
            on=date(2027, 1, 12),
        ),
        Answer(document="application", blank="model", status=Status.STRUCK),
        Answer(
            document="application",
            blank="serial",
            status=Status.FILLED,
            says="empty",
            source=Source.PHOTO,
            seen_in="abc",
        ),
        Answer(document="affidavit", blank=ENCLOSED, status=Status.STRUCK),
        Answer(document="affidavit", blank="birth-date", status=Status.FILLED, on=date(1961, 2, 3)),
        Answer(document="affidavit", blank="signed-on", status=Status.FILLED, says="in spring"),
        Answer(document="bill-of-sale", blank=ENCLOSED, status=Status.FILLED, says="copy"),
        Answer(
            document="bill-of-sale",
            blank="seller-name",
            status=Status.FILLED,
            says="Tallgrass Rotorworks",
        ),
        Answer(document="bill-of-sale", blank=ENCLOSED, status=Status.EMPTY, sheet=2),
        Answer(document="bill-of-sale", blank="sold-on", status=Status.UNCLEAR, sheet=2),
    ),
    envelope=EnvelopeAnswers(
        notary_name="Ida Quillfeather",
        notary_state="NE",
        id_expires=date(2030, 6, 1),
        owners_chain=("Tallgrass Rotorworks", "Sandbur Flats Aerial LLC"),
        fee_amount_usd="5.00",
        fee_payee="Federal Aviation Administration",
        fee_method="check",
        address_on_envelope="P.O. Box 25504, Oklahoma City, OK 73125-0504",
        insured_from=date(2026, 11, 1),
        insured_through=date(2027, 10, 31),
        insured_aircraft=("N-INVENTED", "46-00017"),
        earlier_reasons_mended=("notary block: commission expiry left empty",),
        no_corrections=True,
        signature_kind="ink",
        power_enclosed=False,
    ),
)


def test_parse_answers_reads_every_form() -> None:
    assert parse_answers(EVERYTHING, "a.yaml", PACKET, ASKED) == (READ, ())


def test_parse_answers_packet_alone_says_nothing() -> None:
    said, problems = parse_answers(f"packet: {PACKET}\n", "a.yaml", PACKET, ASKED)

    assert problems == ()
    assert said == PacketAnswers(packet=PACKET, answers=(), envelope=EnvelopeAnswers())


def test_parse_answers_without_text() -> None:
    said, problems = parse_answers("", "a.yaml", PACKET, ASKED)

    assert said is None
    assert [problem.code for problem in problems] == ["S004"]


def test_render_answers_gives_back_everything() -> None:
    text = render_answers(READ, ASKED)

    assert parse_answers(text, "a.yaml", PACKET, ASKED) == (READ, ())
    assert render_answers(READ, ASKED) == text


def test_render_answers_is_what_a_person_would_write() -> None:
    said = replace(READ, answers=READ.answers[:5], envelope=EnvelopeAnswers(no_corrections=False))

    assert render_answers(said, ASKED) == (
        'packet: "faa.registration-n:tg46"\n'
        "documents:\n"
        "  application:\n"
        "    enclosed: original\n"
        "    blanks:\n"
        "      owner-name: Sandbur Flats Aerial LLC\n"
        "      mailing-address: P.O. Box 0, Burrell Crossing, NE 00000\n"
        "      signature: filled\n"
        "      signed-on: 2027-01-12\n"
        "envelope:\n"
        "  no_corrections: no\n"
    )


WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cs", "Cc", "Zl", "Zp")), max_size=12
).map(lambda text: " ".join(text.split()))
PICKED = st.sampled_from(["", "empty", "filled", "2027-01-12", "no", "~", "null", "a: b", "- x"])
DAYS = st.none() | st.dates(min_value=date(1900, 1, 1))


@st.composite
def packet_answers(draw: st.DrawFn) -> PacketAnswers:
    found: list[Answer] = []
    for asked in ASKED:
        sheets = draw(st.integers(min_value=0, max_value=3))
        for sheet in range(1, sheets + 1):
            status, says = draw(st.sampled_from(list(ENCLOSED_WORDS.values())))
            enclosed = Answer(document=asked.name, blank=ENCLOSED, status=status, sheet=sheet)
            found.append(replace(enclosed, says=says))
            for blank in asked.blanks:
                if draw(st.booleans()):
                    says = draw(WORDS | PICKED)
                    found.append(
                        Answer(
                            document=asked.name,
                            blank=blank,
                            status=draw(st.sampled_from(Status)),
                            says="" if says in {"~", "null"} else says,
                            on=draw(DAYS),
                            sheet=sheet,
                            source=draw(st.sampled_from(Source)),
                        )
                    )
    names = st.lists(WORDS.filter(bool), max_size=3).map(tuple)
    envelope = EnvelopeAnswers(
        notary_state=draw(st.sampled_from(["", "NE", "ND"])),
        owners_chain=draw(names),
        earlier_reasons_mended=draw(names),
        no_corrections=draw(st.none() | st.booleans()),
    )
    return PacketAnswers(packet=PACKET, answers=tuple(found), envelope=envelope)


@settings(deadline=None, derandomize=True, database=None, max_examples=80)
@given(packet_answers())
def test_render_answers_reads_back_the_same(said: PacketAnswers) -> None:
    assert parse_answers(render_answers(said, ASKED), "a.yaml", PACKET, ASKED) == (said, ())


def test_bad_answers_has_a_file_for_each_code() -> None:
    # A07 needs a number in a range, and answers hold none; A31 belongs to typed replies.
    assert {path.stem.upper() for path in BAD} == CODES


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_bad_answers_give_the_expected_lines(path: Path) -> None:
    said, problems = parse_answers(path.read_text(encoding="utf-8"), path.name, PACKET, ASKED)

    assert said is None
    assert [line for problem in problems for line in str(problem).splitlines()] == (
        path.with_suffix(".expected").read_text(encoding="utf-8").splitlines()
    )
    assert path.stem.upper() in {problem.code for problem in problems}
    assert list(problems) == sorted(problems)


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_bad_answers_are_explained_in_their_first_line(path: Path) -> None:
    assert path.read_text(encoding="utf-8").startswith(f"# {path.stem.upper()}: ")


def test_parse_answers_documents_must_be_a_set() -> None:
    text = f"packet: {PACKET}\ndocuments: all of them\n"
    said, problems = parse_answers(text, "a.yaml", PACKET, ASKED)

    assert said is None
    assert [str(problem) for problem in problems] == [
        "a.yaml:2:12: A01 `documents` must be a set of `key: value` lines"
    ]
