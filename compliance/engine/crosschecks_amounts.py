"""Cross-check of a check's amount: the words say what the figures say."""

from collections.abc import Iterator

from compliance.engine.check_model import CheckFinding
from compliance.engine.check_sheets import Case, Crosscheck
from compliance.engine.check_words import parse_amount
from compliance.engine.number_words import read_dollars
from compliance.facts.basis import Confidence

AMOUNT_IN_WORDS = "amount-words"


def check_amount_words(case: Case) -> Iterator[CheckFinding]:
    """Compare the amount in words with the amount in figures."""
    for sheet in case.sheets:
        blank = sheet.template.find_blank(AMOUNT_IN_WORDS)
        if blank is None or not sheet.is_filled(blank.id):
            continue
        words, figures = sheet.says(blank.id), parse_amount(sheet.says("amount"))
        if not words:
            sentence = f"`{blank.label}` is filled, but nobody has said what it says."
            yield sheet.open(blank, sentence, "Which words stand there?")
            continue
        read = read_dollars(words) or parse_amount(words)
        if read is None:
            sentence = f"`{blank.label}` says `{words}`, which could not be read as an amount."
            yield sheet.open(blank, sentence, "Does it say the same as the figures? Look again.")
        elif figures is not None and read != figures:
            sentence = f"`{blank.label}` says `{words}`, the figures say ${figures:.2f}."
            todo = "Write a new check; where the two differ the words count."
            yield sheet.stop(blank, sentence, todo)


AMOUNT_WORDS = Crosscheck(
    id="amount-words",
    title="The amount in words is the amount in figures",
    citation="UCC 3-114 (from memory)",
    confidence=Confidence.MEMORY,
    example="The figures say $5.00, the words `fifty dollars`.",
    run=check_amount_words,
)
