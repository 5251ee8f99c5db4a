"""What each day about an office is called and how the days differ: the same words everywhere."""

from datetime import date

from compliance.base.dates import say_date, say_days
from compliance.engine.ask_model import AskDay, AskWhy
from compliance.facts.log import LogEntry

_WHY = {
    AskWhy.UNUSUAL: "nine in ten have an answer by then, yes or sent back",
    AskWhy.NEEDED: "the paper is needed then",
    AskWhy.BEFORE_NEEDED: "the paper is needed before the next working day",
    AskWhy.USUAL: "by usual days it is there by then, and the paper is needed",
    AskWhy.SPREAD: "half the usual spread after what they said",
    AskWhy.NAMED: "the day they named",
    AskWhy.AFTER_NAMED: "the first working day after the one they named",
    AskWhy.TOO_LATE: "the paper was needed before they were asked, so ask at once",
}

_WITHIN = (
    "nine in ten within: the office's own days, from the day a packet is there to its answer, yes "
    "or sent back"
)
_UNUSUAL = (
    "unusual from: the working day by which nine in ten are answered and usual mail has brought "
    "the answer; reckoned from the day the answering step begins by usual days, and without this "
    "packet, so that its own slowness does not move the day"
)
_ASK = (
    "ask on, in `mailby plan`: the day silence is unusual, or sooner when the paper is needed "
    "sooner, but not before it ought to be there by usual days; always a working day; once you "
    "logged what they said, the day they named, else half the usual spread later (the spread: the "
    "days between half and nine in ten being answered), but not after the day the paper is needed"
)
WHAT_DAYS_MEAN = (_WITHIN, _UNUSUAL, _ASK)
WHY_PLAN_DIFFERS = (
    "The days for a chance in `mailby plan` differ because they also count letters on the way and "
    "packets that come back: the day to mail by is earlier, the day the paper is likely in hand is "
    "later."
)


def say_ask(ask: AskDay, as_of: date) -> str:
    """Say the day to ask and why that day, or that it is past."""
    if ask.on < as_of and ask.open_on is not None and ask.open_on > as_of:
        day = say_date(ask.open_on)
        return f"ask on       {day}, when they open; the day to ask was {say_date(ask.on)}"
    if ask.on < as_of:
        return f"ask now      the day to ask was {say_date(ask.on)}"
    return f"ask on       {say_date(ask.on)} if nothing has come ({say_ask_why(ask)})"


def say_ask_why(ask: AskDay) -> str:
    """Say why that day and no other, in the words the plan has for it."""
    return _WHY[ask.why]


def say_moved(ask: AskDay) -> str:
    """Say when to ask again after the office was heard, by how much that moved, and why."""
    text = f"ask again on {say_date(ask.on)}, {say_ask_why(ask)}"
    if ask.before is None or ask.before == ask.on:
        return f"{text}; the day stays"
    days = (ask.on - ask.before).days
    how = f"{say_days(days)} later" if days > 0 else f"{say_days(-days)} sooner"
    return f"{text}; that is {how} than {say_date(ask.before)}"


def say_heard(heard: LogEntry) -> str:
    """Say what an office said and the day it named."""
    named = f"; they expect {say_date(heard.expects)}" if heard.expects is not None else ""
    return f"on {say_date(heard.happened_on)}: {heard.reason}{named}"
