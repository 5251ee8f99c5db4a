"""What people type when they mean yes, no, nothing there, I do not know, later, or to be done.

The lists are common practice, no source. A reply that is on no list is taken as the text that
stands on the paper, where a text is asked for; so whatever is plainly talk must be on a list, or
somebody's "maybe" becomes a name. Text in quotation marks is always text.
"""

import re
from enum import StrEnum
from functools import lru_cache

from compliance.facts.reply_instructions import is_instruction, is_named
from compliance.facts.reply_left import is_left, is_put_off, is_slip, is_undone, is_unseen


class Meaning(StrEnum):
    """What a typed reply means, before the question is looked at.

    ``there``: something stands there, not what. ``half``: partly so. ``other``: begins like yes or
    no and says more. ``waiting``: keeps the place of a text that is still to come, such as ``TBD``,
    a line to write on, or ``see attached``. ``text``: none of these.
    """

    YES = "yes"
    NO = "no"
    THERE = "there"
    SAME = "same"
    NOT_YET = "not-yet"
    NOTHING = "nothing"
    STRUCK = "struck"
    UNSURE = "unsure"
    HALF = "half"
    OTHER = "other"
    WAITING = "waiting"
    LATER = "later"
    STOP = "stop"
    HELP = "help"
    TEXT = "text"


_WORDS: dict[Meaning, str] = {
    Meaning.YES: (
        "yes|y|yeah|yea|yep|yup|ya|aye|ok|okay|sure|sure is|of course|certainly|definitely|"
        "affirmative|absolutely|it is|it does|it has|they are|they do|i did|we did|true|correct|"
        "right|that is right|that's right|thats right|that is correct|all of them|all there|"
        "they are all there|all|positive"
    ),
    Meaning.NO: (
        "no|n|nope|nah|no way|negative|false|wrong|incorrect|different|it is not|it isn't|"
        "it isnt|it's not|its not|it does not|it doesn't|it doesnt|they are not|they aren't|"
        "it says something else|something else|other|another|not right|not correct|not the same|"
        "not exactly|not that|not really"
    ),
    Meaning.THERE: (
        "done|all done|it's done|its done|is there|it is there|it's there|its there|there|present|"
        "filled|filled in|filled out|it is filled|it is filled in|it's filled in|complete|"
        "completed|finished|signed|it is signed|it's signed|is signed|i signed|i signed it|"
        "signed and dated|dated|stamped|sealed|checked|ticked|marked|written|entered|in place|"
        "fixed|mended|corrected|got it|have it|attached|enclosed"
    ),
    Meaning.SAME: (
        "same|the same|exactly|exactly that|just that|just so|that's it|thats it|matches|"
        "it matches|match|identical|as it should|as above|same as above|as shown|ditto|idem|ibid"
    ),
    Meaning.NOT_YET: (
        "not yet|not done|not done yet|not filled|not filled in|not filled out|not signed|"
        "unsigned|not dated|undated|not stamped|not there|it is not there|it's not there|"
        "isn't there|not there yet|still to do|to do|todo|not complete|incomplete|unfinished|"
        "not mended|not fixed|not enclosed|don't have it|dont have it|do not have it"
    ),
    Meaning.NOTHING: (
        "empty|it is empty|it's empty|its empty|is empty|blank|it is blank|it's blank|left blank|"
        "left empty|nothing|nothing there|nothing yet|none|none yet|no date|no name|no text|"
        "no title|no signature|missing|it is missing|it's missing|is missing|void"
    ),
    Meaning.STRUCK: (
        "struck|struck out|struck through|crossed out|n/a|na|n.a|not applicable|does not apply|"
        "doesn't apply|doesnt apply|not needed|not required"
    ),
    Meaning.UNSURE: (
        "unclear|?|??|???|maybe|may be|perhaps|possibly|probably|probably not|maybe not|"
        "perhaps not|not sure|unsure|i'm not sure|im not sure|uncertain|not certain|don't know|"
        "dont know|do not know|i don't know|i dont know|i do not know|dunno|idk|no idea|no clue|"
        "cannot tell|can't tell|cant tell|can not tell|hard to tell|hard to say|can't read|"
        "cant read|cannot read|can't read it|cannot read it|illegible|unreadable|smudged|blurred|"
        "i think|i think so|think so|i guess|i guess so|guess so|i hope so|hope so|should be|"
        "it should be|it should|who knows|unknown|hm|hmm|er|um|i don't think so|i dont think so|"
        "don't think so|i suppose|i suppose so|not that i know|don't remember|dont remember|"
        "i don't remember|can't remember|i forgot|forgot|not known|not known yet|not yet known"
    ),
    Meaning.HALF: (
        "almost|nearly|not quite|kind of|kinda|sort of|partly|partially|half|half of it|some|"
        "some of it|some of them|most|mostly|most of it|most of them|more or less|close|"
        "close enough|not all|not all of them|not everything|one is missing|one missing|"
        "two are missing|all but one|yes and no|both|depends|it depends|either"
    ),
    Meaning.WAITING: (
        "tbd|t.b.d|tba|t.b.a|tbc|tbf|to come|coming|to follow|follows|will follow|pending|"
        "in progress|in process|on order|applied for|awaiting|waiting|open|draft|placeholder|"
        "dummy|sample|example|lorem ipsum|asdf|leave blank|leave empty|leave open|keep blank|"
        "office use|office use only|for office use|for office use only|for notary use|"
        "for notary use only|notary use only|unk|n.n|none given|not given|county name|mm/dd/yyyy|"
        "dd/mm/yyyy|yyyy-mm-dd|click here to enter text|click or tap here to enter text|"
        "pending approval|pending notary|\u2026|\u25a1"
    ),
    Meaning.LATER: "later|skip|skip it|not now|ask later|ask me later|next|next question",
    Meaning.STOP: "stop|quit|exit|stop it|enough",
    Meaning.HELP: "help|h|what|what?|huh|huh?|why|why?|how|how?|explain|help me|i don't understand",
}
_OTHERS = frozenset(
    {"wrong", "incorrect", "different", "it says something else", "something else", "other"}
    | {"another", "not right", "not correct", "not the same", "not exactly", "not that"}
)
"""Those words of no that say that something stands there."""
_SAID = (
    (is_left, Meaning.NOTHING),
    (is_unseen, Meaning.UNSURE),
    (is_undone, Meaning.NOT_YET),
    (is_put_off, Meaning.LATER),
    (is_slip, Meaning.OTHER),
)
_BY_WORD = {word: meaning for meaning, words in _WORDS.items() for word in words.split("|")}
# First words of an answer rather than of a name; a digit makes it an address: No. 5 Mill Road.
_BEGINS = frozenset(
    {"yes", "yeah", "yep", "yup", "no", "nope", "nah", "maybe", "perhaps", "probably", "not"}
    | {"ok", "okay", "sure", "it", "it's", "its", "i", "i'm", "they", "there's", "don't", "dont"}
    | {"cannot", "can't", "cant", "almost", "nearly"}
)
_HEADS = {"yes": Meaning.YES, "yeah": Meaning.YES, "yep": Meaning.YES, "no": Meaning.NO}
# Nothing but a line, dots, brackets or crosses to be written over.
_LINE = re.compile(r"[\s_.\-\u2013\u2014\[\]()<>{}/x*=~#]+", re.IGNORECASE)
# Whole texts only: `Pending Creek` and `Attachment Road` are names.
_WAITING = (
    re.compile(
        r"(is |still |yet |it is |it's )?(to|will|shall|must|should|can|has to) be "
        r"(\w+ )?(filled|completed|determined|decided|announced|advised|assigned|added|confirmed|"
        r"done|entered|given|inserted|issued|named|provided|signed|stamped|supplied|told|typed|"
        r"written|printed|agreed|arranged|settled|chosen)( .*)?"
    ),
    re.compile(
        r"(please )?(see|refer to|as per|as in|as on|on) (the |my |our |an )?"
        r"(attached|attachment|enclosed|enclosure|above|below|overleaf|reverse|back|other side|"
        r"other page|next page|extra sheet|separate sheet|letter|cover letter)( .*)?"
    ),
    # An instruction to somebody, or where the text is to be looked up.
    re.compile(
        r"(please )?(ask|consult|check with|confirm with|verify with|get (it |this )?from|"
        r"look (it |this |that )?up|find out)( .*)?"
    ),
    re.compile(
        r"(please )?(see|refer to|look at|cf\.?|as per|as in|as on|on|in|from) (the |your )?"
        r"(next |last |previous |other |first |second )?(pages?|pg\.?|sheet)( .*)?|"
        r"(pages?|pg\.?|p\.) ?[0-9]+( .*)?"
    ),
    re.compile(
        r"(please )?(see|refer to|look at|cf\.?) (the |my |our |an |a |your )?"
        r"(p\.? ?[0-9]+|line|item|box|field|section|paragraph|exhibit|appendix|annex|schedule|"
        r"application|invoice|receipt|list|notes?|file|form|folder|photo|picture|plate|e-?mail|"
        r"text|message|web ?site|pdf|scan|copy|certificate|title|policy|plan|map|\w+'s \w+)( .*)?"
    ),
    re.compile(r"same (as|for|like) .*|unchanged|no changes?|as before|(as )?on file|as last .*"),
    re.compile(
        r"(please )?(fill|fill me|fill it|fill this|fill that) (in|out)( .*)?|"
        r"(please )?(enter|insert|type|print|write)( (in|it|your|the|a|name|date|county|state|"
        r"title|text|value|number|here|later|this|model|serial|owner|address))+|"
        r"(your|the|my) (name|title|county|address|number|text|date|company)( here)?|"
        r"(name|title|county|address|number|text|date) (here|goes here)"
    ),
    re.compile(
        r"(tbd|tba|tbc) ?[-:(\u2013].*|((the|by|by the) )?"
        r"(notary|seller|maker|insurer|clerk|office|agency|bank) "
        r"(will|fills|writes|does|has to|must|to fill|to write|to add|to do|to complete|to sign)"
        r"( .*)?|"
        r"(the|by|by the) (notary|seller|maker|insurer|clerk|office|agency|bank)"
    ),
    re.compile(
        r"(filled|completed|written|entered|added|left)( \w+)* (by|for) the "
        r"(notary|seller|maker|insurer|clerk|office|agency|bank)"
    ),
)
# So does what no name of a firm ends in, however it is written.
_ALWAYS_WAITING = (
    re.compile(r"[(\[<{][^()\[\]<>{}0-9]*[)\]>}]"),
    re.compile(
        r"(.*\W)?(tbd|tba|tbc)\W*|(tbd|tba|tbc) (by|from|until|later|soon|when|after|with)( .*)?|"
        r"awaiting (the |a |my |our )?\w+"
    ),
)
# Straight or curved, as phones and word processors type them.
_QUOTED = re.compile("([\"'\u201c\u2018`])(.+)([\"'\u201d\u2019`])")
_PLAIN = str.maketrans({"\u2019": "'", "\u2018": "'", ",": " ", "!": " ", ";": " ", "_": " "})


@lru_cache(maxsize=4_000)
def read_meaning(reply: str) -> Meaning:
    """Tell what a typed reply means; ``text`` when it is what stands on a paper.

    Example:
        >>> [read_meaning(one).value for one in ("Yep!", "yes, it is signed", "yes but no date")]
        ['yes', 'there', 'other']
        >>> [read_meaning(one).value for one in ("Maybe not.", "Noble Farms", '"Maybe"')]
        ['unsure', 'text', 'text']
        >>> [read_meaning(one).value for one in ("T.B.D.", "____", "(county)", "Pending Creek")]
        ['waiting', 'waiting', 'waiting', 'text']
    """
    if _QUOTED.fullmatch(reply.strip()):
        return Meaning.TEXT
    words = reply.casefold().translate(_PLAIN).split()
    text = " ".join(words).rstrip(". ")
    found = _BY_WORD.get(text) or _read_said(reply)
    found = found or (Meaning.WAITING if is_waiting(reply) else None)
    if found is not None or not text:
        return found or Meaning.TEXT
    first, _, rest = text.partition(" ")
    head, tail = _HEADS.get(first), _BY_WORD.get(rest)
    if head is not None and tail is not None:
        return _join(head, tail)
    is_name = is_named(reply) or any(letter.isdigit() for letter in text)
    return Meaning.OTHER if first in _BEGINS and not is_name else Meaning.TEXT


def _read_said(reply: str) -> Meaning | None:
    """Read a sentence about the place itself; None when it is none."""
    return next((meaning for tells, meaning in _SAID if tells(reply)), None)


def says_other(text: str) -> bool:
    """Tell whether a reply says that another text stands there, and not which.

    Example:
        >>> [says_other(one) for one in ("wrong", "Misspelt.", "no", "Wrong Creek Farms")]
        [True, True, False, False]
    """
    words = " ".join(text.casefold().translate(_PLAIN).split()).rstrip(". ")
    return words in _OTHERS or is_slip(text)


def is_line(text: str) -> bool:
    """Tell whether a text is only a line, dots, brackets or crosses to be written over."""
    return bool(text.strip()) and _LINE.fullmatch(text) is not None


@lru_cache(maxsize=4_000)
def is_waiting(text: str) -> bool:
    """Tell whether a whole text only keeps the place of one that is still to come."""
    words = " ".join(text.casefold().translate(_PLAIN).split()).rstrip(". ")
    if _BY_WORD.get(words) is Meaning.WAITING:
        return True
    # A line to write on, or a question, makes no text of the words beside it.
    has_line = "___" in text or text.rstrip().endswith("?")
    if has_line or is_line(text) or any(one.fullmatch(words) for one in _ALWAYS_WAITING):
        return True
    is_said = any(one.fullmatch(words) for one in _WAITING) or is_instruction(text)
    return is_said and not is_named(text)


def _join(head: Meaning, tail: Meaning) -> Meaning:
    """Join yes or no with what follows it; where the two do not go together the reply says more."""
    agree = {
        Meaning.YES: {Meaning.YES, Meaning.THERE, Meaning.SAME},
        Meaning.NO: {Meaning.NO, Meaning.NOT_YET, Meaning.NOTHING},
    }
    if tail not in agree[head]:
        return Meaning.OTHER
    return tail if tail is not Meaning.SAME else Meaning.YES


def unquote(reply: str) -> str:
    """Give a text without the quotation marks round it."""
    found = _QUOTED.fullmatch(reply.strip())
    return found[2].strip() if found and found[2].strip() else reply.strip()
