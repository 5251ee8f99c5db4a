"""The telling words of a place and of a blank, each in one spelling, and how well they agree.

The spellings are those met on US forms (common practice, no source).
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from compliance.forms.model import Blank, FilledBy

_PHRASES = (
    (re.compile(r"\bn-?number\b|\bregistration number n\b"), "federal registration number"),
    (re.compile(r"\b(maker|manufacturer)'?s serial\b"), "serial"),
    (re.compile(r"\btake[ -]?off\b"), "takeoff"),
    (re.compile(r"\be-?mail\b"), "email"),
    (re.compile(r"\bdoing business as\b|\bdba\b"), "trade name"),
    (re.compile(r"\bp\. ?o\. ?box\b"), "box"),
    (re.compile(r"\bu\.? ?s\.?(?= )"), "federal"),
    (re.compile(r"\bregistered owner\b"), "owner"),
    (re.compile(r"\bnamed insured\b"), "insured"),
    (re.compile(r"#"), " number "),
)
_SPELLINGS = {
    "addr": "address",
    "acft": "aircraft",
    "birthdate": "birth date",
    "born": "birth",
    "cert": "certificate",
    "certification": "certificate",
    "citizenship": "citizen",
    "corporate": "corporation",
    "company": "business",
    "firm": "business",
    "dated": "date",
    "dob": "birth date",
    "effective": "first",
    "beginning": "first",
    "begins": "first",
    "start": "first",
    "starting": "first",
    "end": "last",
    "ending": "last",
    "ends": "last",
    "employed": "employer",
    "expiration": "expires",
    "expire": "expires",
    "expiry": "expires",
    "faa": "federal",
    "highest": "maximum",
    "max": "maximum",
    "insurer": "insurance",
    "issue": "issued",
    "lic": "license",
    "licence": "license",
    "mail": "mailing",
    "make": "maker",
    "manufacturer": "maker",
    "manufacture": "maker",
    "mfr": "maker",
    "motor": "engine",
    "no": "number",
    "nos": "number",
    "num": "number",
    "nr": "number",
    "organization": "organized",
    "formed": "organized",
    "payee": "pay order",
    "phone": "telephone",
    "tel": "telephone",
    "print": "print",
    "printed": "print",
    "typed": "print",
    "type": "kind",
    "purchaser": "buyer",
    "reg": "registration",
    "registered": "registration",
    "register": "registration",
    "residence": "home",
    "residential": "home",
    "sale": "sold",
    "sign": "sign",
    "signature": "sign",
    "signed": "sign",
    "signer": "sign",
    "signing": "sign",
    "signs": "sign",
    "physical": "street",
    "ser": "serial",
    "sn": "serial number",
    "trained": "training",
    "until": "through",
}
_UNTOLD = (
    "a an and any are as at be been before beside both box but by check day each every"
    " field fill for from full has have i if in is it its legal may me mine my not of on"
    " one only or our please same that the their them then there these they this those to"
    " typed under was we were what when where which who whose will with you your"
)
_NOISE = frozenset(_UNTOLD.split())
# These say what sort of thing is asked for and not which; alone they tie nothing.
_GENERAL = frozenset({"number", "address", "date", "aircraft", "certificate", "person", "name"})
_LOW = {
    "number": 0.3,
    "address": 0.4,
    "date": 0.3,
    "day": 0.3,
    "aircraft": 0.3,
    "person": 0.3,
    "name": 0.3,
    "takeoff": 0.3,
    "street": 0.4,
    "location": 0.3,
    "designation": 0.3,
    "full": 0.3,
}
_IMPLIED = {
    FilledBy.OWNER: frozenset({"owner", "applicant", "business"}),
    FilledBy.PILOT: frozenset({"pilot", "applicant"}),
}
_ASIDE = re.compile(r"\([^()]*\)|\([^()]*$")
_CLAUSE = re.compile(
    r", (as|when|which|where|with|such|in|not|the same|if|or)\b.*|: .*|, at most .*"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankWords:
    """The words of a blank: those that name it, and all that are said about it."""

    head: frozenset[str]
    all: frozenset[str]
    id: frozenset[str]


def split_label(text: str) -> frozenset[str]:
    """Give the telling words of a text in one spelling; what stands in brackets counts for nothing.

    >>> sorted(split_label("Aircraft manufacturer, serial no. (on the plate)"))
    ['aircraft', 'maker', 'number', 'serial']
    """
    short = _ASIDE.sub(" ", text)
    return split_all(short) or split_all(text)


def split_all(text: str) -> frozenset[str]:
    """Give the telling words of a text in one spelling, brackets too."""
    low = text.lower().replace("\u2019", "'")
    for pattern, said in _PHRASES:
        low = pattern.sub(said, low)
    words: set[str] = set()
    for word in re.findall(r"[a-z]+(?:'s)?", low):
        bare = word.removesuffix("'s")
        single = bare if bare in _SPELLINGS else _singular(bare)
        words.update(_SPELLINGS.get(single, single).split())
    return frozenset(word for word in words if word not in _NOISE and len(word) > 1)


def _singular(word: str) -> str:
    is_plural = len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us"))  # noqa: PLR2004
    return word[:-1] if is_plural and word not in {"address", "expires"} else word


def list_words(blank: Blank) -> BlankWords:
    """Give the words of a blank."""
    head = _CLAUSE.sub("", blank.label)
    own = split_all(blank.id.replace("-", " ").replace("n number", "n-number"))
    named = split_label(head) | own
    more = split_all(f"{blank.label} {blank.note}")
    ends = {"expires"} if "through" in named else set()
    return BlankWords(head=named, all=named | more | ends, id=own)


def weigh(words: Iterable[str]) -> float:
    """Add up how much words tell."""
    return sum(_LOW.get(word, 1.0) for word in words)


def is_general(words: Iterable[str]) -> bool:
    """Tell whether words name only a sort of thing, such as "Date" or "Address"."""
    return all(word in _GENERAL for word in words)


def compute_told(
    one: Iterable[str], two: frozenset[str], filled_by: FilledBy | None = None
) -> float:
    """Compute the share of the first words that the second have, by what they tell; 0 to 1.

    That a blank is of whoever fills it in goes without saying, so those words count little.
    """
    first = frozenset(one)
    implied = (first & _IMPLIED.get(filled_by, frozenset()) if filled_by else frozenset()) - two
    whole = weigh(first - implied) + 0.3 * len(implied)
    return weigh(first & two) / whole if first else 0.0


def differ_in_words(region: str, blank: BlankWords) -> bool:
    """Tell whether one asks for an amount in words and the other for its figures."""
    return ("word" in split_all(region)) != ("word" in blank.head)
