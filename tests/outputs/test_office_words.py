"""The days about an office in words; days are invented, differences counted by hand."""

from datetime import date

import pytest

from compliance.engine.ask_model import AskDay, AskWhy
from compliance.outputs.office_words import say_ask, say_moved

TODAY, MARCH, APRIL = date(2027, 1, 11), date(2027, 3, 10), date(2027, 4, 6)


@pytest.mark.parametrize(
    ("ask", "as_of", "words"),
    [
        (
            AskDay(on=MARCH, why=AskWhy.UNUSUAL),
            TODAY,
            (
                "ask on       Wed 10 Mar 2027 if nothing has come (nine in ten have an answer by "
                "then, yes or sent back)"
            ),
        ),
        (
            AskDay(on=MARCH, why=AskWhy.USUAL),
            MARCH,
            (
                "ask on       Wed 10 Mar 2027 if nothing has come (by usual days it is there by "
                "then, and the paper is needed)"
            ),
        ),
        (
            AskDay(on=MARCH, why=AskWhy.BEFORE_NEEDED),
            MARCH,
            (
                "ask on       Wed 10 Mar 2027 if nothing has come (the paper is needed before the "
                "next working day)"
            ),
        ),
        (
            AskDay(on=MARCH, why=AskWhy.NEEDED),
            APRIL,
            "ask now      the day to ask was Wed 10 Mar 2027",
        ),
        (
            AskDay(on=MARCH, why=AskWhy.NEEDED, open_on=APRIL),
            date(2027, 4, 4),
            "ask on       Tue 6 Apr 2027, when they open; the day to ask was Wed 10 Mar 2027",
        ),
    ],
    ids=["ahead", "usual", "weekend", "past", "closed today"],
)
def test_day_to_ask_says_why_that_day(ask: AskDay, as_of: date, words: str) -> None:
    assert say_ask(ask, as_of) == words


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (
            AskDay(on=APRIL, why=AskWhy.SPREAD, before=MARCH),
            (
                "ask again on Tue 6 Apr 2027, half the usual spread after what they said; that is "
                "27 days later than Wed 10 Mar 2027"
            ),
        ),
        (
            AskDay(on=MARCH, why=AskWhy.NAMED, before=APRIL),
            (
                "ask again on Wed 10 Mar 2027, the day they named; that is 27 days sooner than Tue "
                "6 Apr 2027"
            ),
        ),
        (
            AskDay(on=MARCH, why=AskWhy.AFTER_NAMED, before=APRIL),
            (
                "ask again on Wed 10 Mar 2027, the first working day after the one they named; "
                "that is 27 days sooner than Tue 6 Apr 2027"
            ),
        ),
        (
            AskDay(on=MARCH, why=AskWhy.NEEDED, before=MARCH),
            "ask again on Wed 10 Mar 2027, the paper is needed then; the day stays",
        ),
    ],
    ids=["later", "sooner", "after named", "stays"],
)
def test_asking_again_says_by_how_much_it_moved(ask: AskDay, words: str) -> None:
    assert say_moved(ask) == words
