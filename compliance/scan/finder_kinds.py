"""What kind of thing a blank asks for, from the words printed beside it.

The words are those of US forms in general, common practice, no single source; the order in which
they are tried decides where several fit. The notarial ones follow the usual certificate: venue,
jurat or acknowledgment, signature, title, stamp, last day of the commission.
"""

import re
from collections.abc import Iterable


def _any(*words: str) -> re.Pattern[str]:
    """Make a pattern that finds any of the words; they are patterns themselves."""
    return re.compile("|".join(words))


_SEAL = _any(r"\bseals?\b", r"\bstamp\b", r"\(l\.?\s?s\.?\)")
_CHOICE = _any(r"^(yes|no|n/a)(,|$)")
_ROLE = re.compile(
    r"(an? |the )?(authorized |first |second )?(affiant|applicant|owner|co-owner|seller|buyer|"
    r"witness|declarant|principal|surety|attorney-in-fact|member|manager|partner|president|"
    r"secretary|agent|representative|grantor|lessor|lessee|deponent|officer|pilot|operator|"
    r"insurer|dealer|grower|farmer|landowner|customer|contractor|client|employer|"
    r"employee|tenant|landlord|licensee|registrant|trustee|signer|authorized signatory)( \d)?$"
)
_SIGNED_WHEN = _any(
    r"\b(date|day)\W+(\w+\W+){0,3}?(sign|of signature)",
    r"signature date",
    r"\bsign(ed)?\W+(this|on|the)\b",
)
_PRINTED = _any(
    r"\b(print|printed|typed?)\b.*\bnames?\b",
    r"\bnames?\b.*\b(print|printed|typed?)\b",
    r"\bnames? of (the )?(signer|person|affiant|officer|official|witness|representative)",
)
_SIGNATURE = _any(
    r"^x$", r"\bsignatures?\b", r"\bsign(ed)?( here)?\b(?! on\b)", r"/s/", r"(^|\W)by\s*:?$"
)
_TITLE = _any(
    r"^its$",
    r"\btitles?\b(?! (number|no\b|of the (form|vehicle)))",
    r"\brank\b",
    r"\boffice held\b",
    r"\bposition\b",
    r"\bcapacity\b",
)
_WHEN = _any(
    r"\bdated?\b",
    r"\bd\.?o\.?b\b",
    r"\bday of\b",
    r"\bmonth\b",
    r"\byear\b",
    r"mm\s?/",
    r"\bm/d/y",
    r"\bexpir\w+",
    r"\beffective\b",
    r"\b(this|on)$",
    r"(^|, ?)20$",
)
_AMOUNT = _any(
    r"\$",
    r"\b(amounts?|fees?|dollars?|price|cost|premium|payment)\b",
    r"\btotal (due|paid)\b",
    r"\blimits? of liability\b",
)
_ADDRESS = _any(
    r"(?<!mail )\baddress\b",
    r"\b(street|city|town|zip|postal)\b",
    r"^state$",
    r"\bp\.? ?o\.? box\b",
)
_NUMBER = _any(
    r"\b(numbers?|nos?|serial|(tele)?phone|tel|fax|cell|mobile|how many|count|quantity|qty)\b",
    r"#|%|\b(percent|share|mph|knots|temperature|rate|altitude|latitude|longitude|volume)\b",
    r"\b(weights?|acres?|hours|lbs?|pounds|feet|miles|gallons)\b",
    r"\b(n-number|registration mark|ein|ssn|tin|identification)\b",
    r"\b(tax|license|pilot|certificate) id\b",
    r"^page$",
)
_PLAIN = ((_WHEN, "date"), (_AMOUNT, "amount"), (_ADDRESS, "address"), (_NUMBER, "number"))
_FIRST = (
    (_CHOICE, "check"),
    (_SIGNED_WHEN, "date"),
    (_PRINTED, "printed-name"),
    (_SIGNATURE, "signature"),
    (_TITLE, "title"),
)
_TAILS = (
    (_any(r"^\W*(day of|, ?20|20\b|th\b|st day)"), "date"),
    (_any(r"^\W*(dollars|usd)\b"), "amount"),
    (_any(r"^\W*(pounds|lbs?|acres|hours|feet|miles|percent|gallons|%)"), "number"),
)

_STATE = _any(r"\bstate of\b", r"^state$", r"\bcommonwealth of\b")
_COUNTY = _any(r"\b(county|parish|borough)\b")
_EXPIRY = _any(r"\bexpir\w+")
_ACT = _any(r"before me\b", r"\b(subscribed|acknowledged|sworn|affirmed)\b")
_APPEARED = _any(r"\bappeared\b")
_SIGNER = _any(
    r"\b(applicant|owner|seller|buyer|affiant|member|manager|declarant|purchaser|pilot|operator|"
    r"principal|signer|witness|officer of|insurer|agent)('s|s'|s)?\b"
)
_OF_NOTARY = {"date", "signature", "title"}
_SOMEBODY = _any(r"\bnames?\b", r"(^|\W)by\s*:?$")

NOTARY_WORDS = _any(
    r"notary|notarial|notarized|subscribed and sworn|sworn to|before me\b|acknowledged",
    r"commission (expires|expiration)|\bss\.?\b|\bjurat\b|\baffirmed\b|\bstate of\b|\bcounty of\b",
)
"""Words that stand in a notarial certificate."""
NOTARY_STRONG = _any(
    r"notary|notarial|notarized|subscribed and sworn|before me\b",
    r"commission (expires|expiration)|\bss\b",
)
"""Those of them that stand nowhere else."""
ACT_WORDS = _any(r"before me\b|subscribed|acknowledged|sworn|affirmed|notary|commission")
OFFICE_WORDS = _any(
    r"(office|agency|department|official|staff|state|county|bureau|registry) use\b( only)?",
    r"do not write (in|below|above)",
    r"for official use",
)
"""Words over a space that the office alone fills in."""


def is_role(text: str) -> bool:
    """Tell whether small print under a line only says who signs there, such as "Affiant"."""
    return _ROLE.match(text.lower().strip(" :*().,")) is not None


def asks_for_seal(text: str) -> bool:
    """Tell whether the words stand where a stamp goes."""
    return _SEAL.search(text.lower()) is not None


def find_kind(label: str, after: str = "") -> str:
    """Give the kind of a blank outside of a notarial certificate; ``text`` when no word fits.

    >>> find_kind("Signature of owner"), find_kind("Date signed"), find_kind("this", "day of")
    ('signature', 'date', 'date')
    """
    text = label.lower().strip(" :*()")
    kind = _try_in_order(_FIRST, text)
    if kind:
        return kind
    hits = [(found.start(), kind) for pattern, kind in _PLAIN if (found := pattern.search(text))]
    if hits:
        return min(hits)[1]
    kind = _try_in_order(_TAILS, after.lower())
    if not kind and after and not text and len(after.split()) <= 4:  # noqa: PLR2004 - a label
        return find_kind(after)
    return kind or "text"


def _try_in_order(steps: Iterable[tuple[re.Pattern[str], str]], text: str) -> str:
    return next((kind for pattern, kind in steps if pattern.search(text)), "")


def _find_last(pattern: re.Pattern[str], text: str) -> int:
    """Give where the last match begins, -1 without one: the words next to the blank decide."""
    return max((found.start() for found in pattern.finditer(text)), default=-1)


def find_notary_kind(label: str, after: str = "", *, below_act: bool = True) -> str:
    """Give the kind of a blank inside a notarial certificate.

    ``below_act`` is False above the words of the act, where the signer still signs.

    >>> find_notary_kind("County of"), find_notary_kind("Notary Public")
    ('notary-county', 'notary-signature')
    """
    text = label.lower().strip(" :*()")
    tail = after.lower().strip(" ,(")
    plain = find_kind(label, after)
    state, county = _find_last(_STATE, text), _find_last(_COUNTY, text)
    of_signer = bool(_SIGNER.search(text)) and "notary" not in text
    steps = (
        (bool(_EXPIRY.search(text)), "notary-expiry"),
        (asks_for_seal(text) and plain != "signature", "notary-stamp"),
        (state > county, "notary-state"),
        (county >= 0 or bool(_COUNTY.match(tail)), "notary-county"),
        (bool(_APPEARED.search(text)), "printed-name"),
        (bool(_ACT.search(text)) and not _SOMEBODY.search(text), "notary-date"),
        (not text and bool(_ACT.match(tail)), "notary-date"),
        (of_signer, plain),
        (plain == "printed-name" or bool(_SOMEBODY.search(text)), "printed-name"),
        (tail.startswith("name"), "printed-name"),
        (plain in _OF_NOTARY and (below_act or "notary" in text), f"notary-{plain}"),
        ("notary" in text and plain == "text", "notary-signature"),
    )
    return next((kind for fits, kind in steps if fits), plain)
