"""Sentences of people who left a place empty, will see to it, or found a wrong text there.

The patterns are common practice, no source. Whole texts only; what ends like a firm's or a place's
name is a text (``reply_instructions.is_named``), and after a name that is on no list the verb
decides by its small letter: `Wren forgot` is talk, `Will Forgot` may be somebody.
"""

import re

from compliance.facts.reply_instructions import is_named

_WHO = (
    r"(i|we|he|she|they|it|you|(the |my |our )?(notary|seller|buyer|owner|maker|insurer|clerk|"
    r"office|agency|bank|pilot|signer|applicant|agent|lawyer|dealer|member|manager)|somebody|"
    r"someone|nobody)"
)
_FIRST = r"((no|nope|oops|sorry|well|oh) )*"
_THAT = r"(it|this|that|one|them)"
_DROPPED = (
    rf"(left ({_THAT} )?(out|off|undone|open)|forgotten|forgot( about)?( {_THAT}| all of it)?|"
    rf"forgot to( \S+){{1,4}}|omitted( {_THAT})?|overlooked( {_THAT})?|missed {_THAT}|"
    rf"skipped( {_THAT})?)"
)
_AFTER = r"( (again|too|completely|sorry|there|here|by (mistake|accident)))*"
_LEFT = re.compile(
    rf"{_FIRST}({_WHO} )?((was|is|has|have|had|been|must have|just|simply|still|got) )*"
    rf"{_DROPPED}{_AFTER}"
)
_LEFT_BY_SOMEBODY = re.compile(rf"([\w'.\-]+ ){{1,2}}{_DROPPED}{_AFTER}")

_HAS_NOT = (
    r"(haven't|havent|hasn't|hasnt|have not|has not|hadn't|didn't|didnt|did not|wasn't|wasnt|"
    r"was not|weren't|won't|wont)"
)
_LOOK = r"(looked|look|checked|check|seen|see|read|know|known|understand|opened|noticed|notice)"
_UNSEEN = re.compile(rf"{_FIRST}({_WHO} )?{_HAS_NOT} (really |yet )?{_LOOK}( \S+){{0,4}}")
_UNDONE = re.compile(rf"{_FIRST}({_WHO} )?{_HAS_NOT}( \S+){{0,4}}")

_WEEKDAY = r"(mon|tues|wednes|thurs|fri|satur|sun)day"
_PART = r"(morning|noon|afternoon|evening|night)"
_SPAN = r"(minutes?|hours?|days?|weeks?|months?)"
_WHEN = re.compile(
    rf"{_FIRST}((maybe|only|perhaps|first thing|early|late|later|not|by|until|"
    rf"till|before|from) )*"
    rf"(tomorrow|tonight|soon|(later|late) today|"
    rf"(on|next|this|coming|by|until|till|before) ({_WEEKDAY}|{_PART}|weekend|week|month|year|"
    rf"time)|in the {_PART}|"
    rf"in (a|an|one|two|three|four|a few|a couple of|some|\d+) {_SPAN}|"
    rf"(some|another) (other )?(day|time))"
    rf"( ({_PART}|first thing|maybe|then|or so|please))*"
)

_FOUND = (
    r"name|one|person|date|day|number|address|title|text|spelling|word|letter|county|state|amount|"
    r"year|model|serial|maker|owner|signer|thing"
)
_SPELT = r"(spelled|spelt|written|typed|printed)"
_BADLY = r"(wrong|wrongly|badly|incorrectly|differently|not right)"
_SLIP = re.compile(
    rf"{_FIRST}((it|this|that|there|((the|my|our|his|her) )?({_FOUND}))('s| is| was| has)? )?"
    rf"((a|an|the|all|slightly|in) )*"
    rf"(mis-?spel(t|led)|miswritten|mistyped|misprinted|typos?|typing error|spelling (mistake|"
    rf"error)|mistake|error|wrong ({_FOUND})|{_SPELT} {_BADLY}|{_BADLY} {_SPELT}|"
    rf"(one |a |two |some )?letters? ((is|are) )?(wrong|missing|off|too many|too few))"
    rf"( (there|here|in it|on it|by .*))?"
)
_PLAIN = str.maketrans({"\u2019": "'", "\u2018": "'", ",": " ", "!": " ", ";": " ", ":": " "})


def is_left(text: str) -> bool:
    """Tell whether a whole text says that a place was left empty.

    Example:
        >>> [is_left(one) for one in ("no, forgot it", "Wren forgot", "Will Forgot", "left out")]
        [True, True, False, True]
    """
    words = _bare(text)
    is_told = _LEFT.fullmatch(words.casefold()) or _LEFT_BY_SOMEBODY.fullmatch(words)
    return bool(is_told) and not is_named(text)


def is_unseen(text: str) -> bool:
    """Tell whether a whole text says that nobody has looked.

    Example:
        >>> [is_unseen(one) for one in ("haven't looked", "haven't signed")]
        [True, False]
    """
    return _is(_UNSEEN, text)


def is_undone(text: str) -> bool:
    """Tell whether a whole text says that something was not done; not having looked is another.

    Example:
        >>> [is_undone(one) for one in ("haven't", "haven't looked", "the notary didn't sign")]
        [True, False, True]
    """
    return _is(_UNDONE, text) and not is_unseen(text)


def is_put_off(text: str) -> bool:
    """Tell whether a whole text only says when it will be seen to.

    Example:
        >>> [is_put_off(one) for one in ("tomorrow", "later today", "Tomorrow Farms LLC")]
        [True, True, False]
    """
    return _is(_WHEN, text)


def is_slip(text: str) -> bool:
    """Tell whether a whole text says that the wrong text stands there, and not which.

    Example:
        >>> [is_slip(one) for one in ("misspelt", "the wrong name", "Wrong Creek Road 5")]
        [True, True, False]
    """
    return _is(_SLIP, text)


def _is(pattern: re.Pattern[str], text: str) -> bool:
    return pattern.fullmatch(_bare(text).casefold()) is not None and not is_named(text)


def _bare(text: str) -> str:
    return " ".join(text.translate(_PLAIN).split()).rstrip(". ")
