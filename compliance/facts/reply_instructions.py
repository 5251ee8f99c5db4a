"""Instructions to somebody that stand where a text belongs, told from names that begin like one.

The lists are common practice, no source. Capital letters decide: `see Hal` is an instruction,
`See Vang` may be a person, and `See Title Company` is a name. What only may be an instruction is
asked about where a file shows it, and taken where a person types it.
"""

import re

_FIRMS = frozenset(
    {"llc", "inc", "corp", "ltd", "lp", "llp", "pllc", "lllp", "plc"}
    | {"corporation", "incorporated", "limited"}
)
"""What ends the name of a firm however it is written."""
_NAMED = frozenset(
    {"co", "company", "farm", "farms", "ranch", "ranches", "aviation", "aerial", "aero", "ag"}
    | {"agronomy", "flying", "air", "acres", "spraying", "applicators", "services", "partners"}
    | {"partnership", "sons", "brothers", "bros", "trust", "cooperative", "co-op", "dairy", "seed"}
    | {"seeds", "grain", "cattle", "holdings", "group", "industries", "enterprises", "associates"}
    | {"orchard", "orchards", "vineyards", "nursery", "feedlot", "rotorworks"}
    | {"road", "rd", "street", "st", "avenue", "ave", "lane", "ln", "drive", "dr", "court", "ct"}
    | {"trail", "highway", "hwy", "boulevard", "blvd", "circle", "terrace", "creek", "valley"}
    | {"lake", "hill", "hills", "hollow", "crossing", "springs", "ridge", "flats", "draw", "river"}
    | {"canyon", "mesa", "butte", "falls", "grove"}
)
"""What ends the name of a firm or a place whose words all begin with a capital letter."""
_SMALL = frozenset({"of", "and", "for", "with", "in", "at", "on"})
_NO_PART = frozenset({"the", "my", "our", "your", "a", "an", "it", "is", "are", "that", "this"})
_PAPER = frozenset({"attached", "attachment", "enclosed", "enclosure", "above", "below"})
_LEAST_WORDS = 2
_MARKS = ".,;:()\"'"

_VERBS = frozenset({"see", "call", "ask", "check", "use", "phone", "contact", "text", "email"})
_MAY_BE_NAMED = frozenset({"see", "call", "check", "use", "same"})
_MOST_WORDS = 3
_WHO = (
    r"owner|seller|buyer|applicant|signer|notary|clerk|office|agency|bank|insurer|maker|dealer|"
    r"lawyer|attorney|agent|pilot|operator|me|us|him|her|them"
)
_WHAT = (
    r"over|reverse|inside|here|there|it|bills? of sale|deed|contract|papers?|documents?|"
    r"registration|affidavit|statement|signatures?|stamp|label|name ?plate|data ?plate|machine|"
    r"aircraft|drone"
)
_OF_SAME = (
    r"here|there|thing|one|too|again|address|owner|name|person|company|county|state|seller|buyer|"
    r"applicant|signer|date|day|title|number|phone|telephone|street|place|model|maker|serial|"
    r"aircraft|machine|drone|pilot|farm|text"
)
_DONE = r"signed|notari[sz]ed|sworn|stamped|sealed|done|located|registered|signing|takes place"
_LATER = r"later|later on|tomorrow|shortly|afterwards?|next week|after (the )?signing"
# Whole texts in small letters without commas; the words alone tell, whatever their capitals.
_WORDED = (
    re.compile(rf"(please )?see (the |my |our |your )?({_WHAT}|{_WHO})( .*)?"),
    re.compile(
        rf"(please )?(call|phone|contact|text|email) ((the |my |our |your )?({_WHO})|\S*\d)( .*)?"
    ),
    re.compile(
        r"(please )?use (the )?(same|old|new|other|above|below|it|that|this|mine|ours)( .*)?"
    ),
    re.compile(rf"(the )?same ({_OF_SAME})( .*)?"),
    re.compile(rf"as per .*|per (the |my |our )?({_WHO})( .*)?"),
    re.compile(r"as (signed|stated|listed|usual|discussed|agreed)"),
    re.compile(
        r"as ((on|in|at|for|from|per) )?(the |my |our )?(application|affidavit|bill of sale|form|"
        r"statement|registration|certificate|title|deed|contract|invoice|owner|applicant|signer|"
        r"other (form|page|paper|sheet)|first (form|page|sheet))( .*)?"
    ),
    re.compile(r"(please )?look (on|at|in|under|there|here|up|over|below|above)( .*)?"),
    re.compile(
        rf"(the )?(\w+ ){{0,3}}(where|when) (it |this |he |she |they |i |we |(the )?\w+ )?"
        rf"(is |was |are |were |will be )?({_DONE})( .*)?"
    ),
    re.compile(
        rf"(i |we |he |she |they )?(will|shall|i'll|we'll|to) \w+( \w+){{0,4}} ({_LATER})|"
        rf"(add|fill|send|give|do|complete|provide|enter|write|sign|come|follow)"
        rf"(s|ed|ing|en)?( \w+){{0,3}} ({_LATER})"
    ),
)
# The verb in small letters: `Will Add` may be somebody.
_TO_DO = re.compile(
    r"([\w'.\-]+ ){0,3}([Ww]ill|[Tt]o|shall|must|should|has to|needs to|[Ww]e'll|I'll) "
    r"(provide|fill|add|sign|complete|send|give|supply|write|enter|tell|advise|confirm|follow|"
    r"insert|type|bring|get|check|do|see to|take care of|handle|finish|fix|mend)( \S+){0,2}"
)
# In small letters only: capitals make names of them.
_SMALL_ONLY = re.compile(r"(the )?same .+|per .+|\w+( \w+){0,2} (later|soon)")


def is_instruction(text: str) -> bool:
    """Tell whether a whole text plainly tells somebody to look, ask or wait.

    Example:
        >>> [is_instruction(one) for one in ("see Hal", "See Vang", "county where signed")]
        [True, False, True]
    """
    words = " ".join(text.replace(",", " ").split()).rstrip(". ")
    if any(one.fullmatch(words.casefold()) for one in _WORDED):
        return True
    if _TO_DO.fullmatch(words):
        return True
    first, _, rest = words.partition(" ")
    if first[:1].isupper() or not rest:
        return False
    is_told = len(rest.split()) < _MOST_WORDS or is_named(rest)
    return (first in _VERBS and is_told) or _SMALL_ONLY.fullmatch(words) is not None


def may_instruct(text: str) -> bool:
    """Tell whether a text may be an instruction written with a capital letter, or a name.

    Example:
        >>> [may_instruct(one) for one in ("See Vang", "See Title Company", "Odile Ferrant")]
        [True, False, False]
    """
    words = text.split()
    is_short = _LEAST_WORDS <= len(words) <= _MOST_WORDS
    return is_short and words[0].casefold() in _MAY_BE_NAMED and not is_named(text)


def is_named(text: str) -> bool:
    """Tell whether a text ends like the name of a firm or place, and is written like one.

    Example:
        >>> [is_named(one) for one in ("Ask Aviation LLC", "ask the LLC", "See Road 5")]
        [True, False, True]
    """
    words = text.split()
    while len(words) > 1 and words[-1].strip(_MARKS).isdigit():
        words.pop()
    bare = [word.strip(_MARKS).replace(".", "").casefold() for word in words]
    if len(bare) < _LEAST_WORDS or words[0][-1] in ",;:!" or _PAPER.intersection(bare):
        return False
    first, middle = words[0], words[1:-1]
    if first.casefold() in {"same", "no", "not", "yes"} and not middle:
        return False
    if bare[-1] in _FIRMS:
        # `see Burrell Aerial LLC` speaks of a firm; `see burrell aerial llc` may be its name.
        speaks = first[0].islower() and any(word[0].isupper() for word in middle)
        return not speaks and not _NO_PART.intersection(words)
    is_name = all(not word[0].islower() or word in _SMALL for word in words)
    return bare[-1] in _NAMED and is_name
