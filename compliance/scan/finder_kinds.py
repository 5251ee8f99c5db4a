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


_SEAL = _any(r"\bseals?\b", r"\bstamp\b", r"\(l\.?\s?s\.?\)", r"^l\. ?s\.?$")
_CHOICE = _any(
    r"^(yes|no|n/a)$",
    r"^(yes|no|n/a),(?!.*\b(describe|explain|specify|list|give|name|state|where|when|what|"
    r"at|by|on)\b)",
)
_UNIT_BEFORE = re.compile(
    r"^(acres|pounds|lbs?|gallons|hours|miles|feet|dollars|days) "
    r"(?=(of|in(?! (all|total)\b)|to|from|for|at|per|an?)\b)"
)
_LISTED = re.compile(r" *\([^()]*,[^()]*\)")
_COUNTER = re.compile(r"^\(?(\d{1,2}[a-z]?[.)]|[a-z][.)]|\d{1,2}(\.\d{1,2})+[.)]?)\s+")
_ROLE = re.compile(
    r"(an? |the |for the )?(authorized |first |second |chief )?(affiant|applicant|owner|co-owner|"
    r"seller|buyer|witness|declarant|principal|surety|attorney-in-fact|member|manager|partner|"
    r"president|secretary|agent|representative|grantor|lessor|lessee|deponent|officer|pilot|"
    r"operator|insurer|dealer|grower|farmer|landowner|neighbor|customer|contractor|client|employer|"
    r"employee|tenant|landlord|licensee|registrant|trustee|signer|candidate|instructor|inspector|"
    r"supervisor|company|authorized signatory)( \d)?( of (the |an? )?\w+)?$"
)
_MAY_BE_FIRM = _any(
    r"\b(applicant|owner|seller|buyer|grantor|lessor|lessee|operator|insurer|dealer|grower|farmer|"
    r"landowner|customer|contractor|client|employer|tenant|landlord|licensee|registrant|company)$"
)
_SWEARS = re.compile(
    r"(an? |the |first |second )?(affiant|witness|declarant|deponent|principal|surety|signer|"
    r"attorney-in-fact|authorized (agent|representative|officer|signatory|signer))( \d)?$"
)
_SIGNED_WHEN = _any(
    r"\b(date|day)\W+(\w+\W+){0,3}?(sign|of signature)",
    r"\bsigned (and|,) \w+ (this|on)$",
    r"signature date",
    r"\bsign(ed)?\W+(this|on|the)\b",
)
_PRINTED = _any(
    r"\b(print|printed|typed?)\b.*\bnames?\b",
    r"\bnames?\b.*\b(print|printed|typed?|capitals|block letters)\b",
    r"\bnames? of (the )?(signer|person|affiant|officer|official|witness|representative)\b"
    r"(?! or (an? |the )?(company|firm|business|organization))",
    r"^(please )?print(ed)?$",
    r", (in )?print$",
)
_SIGNATURE = _any(
    r"^x$",
    r"\bsignatures?\b",
    r"\bsign(s|ed)?( here)?\b(?! on\b| at$)",
    r"\bto sign$",
    r"/s/",
    r"^(by|(signed|executed) by)$",
)
_TITLE = _any(
    r"^(its|as( the| an?)?)$|\bas its$",
    r"\btitles?\b(?! (number|no\b|of (the )?(form|vehicle|document|course)))",
    r"\brank\b",
    r"\boffice (held|of)$",
    r"\bposition\b",
    r"(?<!tank )(?<!battery )(?<!load )(?<!hopper )(?<!payload )\bcapacity\b(?!, ?\w{1,4}$)",
)
_WHEN = _any(
    r"\bdated?\b",
    r"\bd\.?o\.?b\b",
    r"(?<!of the )(?<!time of )\bday( of\b|$)",
    r"\bon or about$",
    r"\b(first|last|start|end)(ing)? day\b",
    r"\bmonth\b",
    r"\byear\b(?! (built|made|of manufacture))",
    r"mm\s?/",
    r"\bm/d/y",
    r"\bexpir\w+",
    r"\beffective\b",
    r"\b(in force|in effect|valid|good|policy period|term)\b.*\b(from|until|through|thru|to)$",
    r"\bsince\b",
    r"\b(first|last|next) (training|inspection|flight|review|service|overhaul)$",
    r"^(issued|finished|completed)$",
    r"\b(issued|finished|completed|needed|due) (on|by)$",
    r"\w{2}(ed|nt|ught|ken|ld|ne) on$",
    r"^(mm|dd|yy|yyyy)$",
    r"\b(this|on)$",
    r"\b(until|thru)$|^through$",
    r"\b(begins?|starts?|ends?|not) (not )?(before|after|by)$",
    r"(^|, ?)20$",
)
_AMOUNT = _any(
    r"\$",
    r"\bamounts?\b(?!,? \(?in words)(?! \(words)",
    r"\b(fees?|dollars?|price|cost|premium|payment|rent|deposit|usd|balance)\b",
    r"\btotal (due|paid|amount|price|cost)\b",
    r"^(sub-?|grand )?total$",
    r"\bvalue\b",
    r"\blimits? of liability\b",
    r"^(paid|sum|limits?)$",
    r"\bsum (in|of)\b",
)
_ADDRESS = _any(
    r"(?<!mail )(?<!internet )\baddress\b",
    r"\b(street|city|town|zip|postal|residing|residence|located)\b",
    r"^state$",
    r"^(place|location)\b",
    r"\bhome (office|base)\b",
    r"(?<!call us)(?<!call me)(?<!valued)(?<!rate)(?<!speed)(?<!call)(?<!phone)( |^)at$",
    r"\bp\.? ?o\.? box\b|\bpostcode\b",
)
_NUMBER = _any(
    r"\b(numbers?|numbered|nos?|serial|(tele)?phone|tel|fax|cell|mobile|how many|count|quantity)\b",
    r"\bqty\b|#|%|\b(percent|share|mph|knots|temperature|rate|altitude|latitude|longitude)\b",
    r"\b(weights?|weigh(s|ing)?|capacity|scores?|acres?|acreage|hours|lbs?|pounds|feet|miles|gallons|volume|speed|copies|age)\b",
    r"\b(n-number|registration mark|ein|ssn|tin|identification|account)\b",
    r"\bcall( us| me)?( first)?( at)?$",
    r"\byear (built|made|of manufacture)\b",
    r"\b(tax|license|pilot|certificate) id\b",
    r", ?(h|hrs?|min|ft|lbs?|gal|ac|mph|kg|ah|mah|v|w|wh)$",
    r"\b(mass|kg|kilograms|met(er|re)s|lit(er|re)s|hectares|km|kilomet(er|re)s|distance)\b",
    r"^(registration|licen[cs]e|certificate)$",
    r"^page$|^(loads|flights|landings|cycles|sheets|pages|units)\b",
    r"\b(height|depth|width|length|section|township|parcel)\b",
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
    (
        _any(
            r"^\W*(pounds|lbs?|acres|hours|feet|miles|percent|gallons|ounces|mph|%)",
            r"^\W*(days|weeks|months|years|persons|people|times|pages|sheets|copies)\b",
        ),
        "number",
    ),
    (
        _any(
            r"^\W*(being|having been) (first |duly )*sworn",
            r"^\W*(holds the office|whose signature|known to me|residing)\b",
        ),
        "printed-name",
    ),
)
_ALONE = (
    r"pilots?|persons?|contact|landowner|neighbor|driver|instructor|teacher|supervisor|inspector|"
    r"student|candidate|observer|trainer"
)
_PERSONS = (
    rf"({_ALONE}|agent|member|signer|notary|officer|official|witness|representative|employee|"
    r"secretary|president|manager|affiant|declarant|customer)"
)
_FIRMS = _any(
    r"\b(company|companies|business|firm|organization|entity|corporation|legal|trade|trading|farm|"
    r"operation|employer|insurer|insured|insurance|bank|product|aircraft|model|school|course|maker|"
    r"manufacturer|field|road|airport|office|carrier|agency|association|program|policy|brand|"
    r"dealer|file|user|license|holder|buyer|owners?|applicant|operator|county|state)\b"
)
_PERSON_NAME = _any(
    r"^((your|full|his|her|this) )*names?\b(?! (and|or)\b)",
    r"\b(last|first|middle|family|given|maiden) names?\b",
    rf"\b{_PERSONS}('s|s')? (full )?names?\b",
)
_PERSON = _any(
    rf"^((chief|lead|contact) )?({_ALONE})( (person|in \w+|who \w+|\d{{1,2}}))?$",
    r"\b(i|we|appoints?|designates?)$",
    r"\w{2}(ed|pt|en)( \w{2,4})? by$",
)
_PEOPLE = re.compile(
    r"(full )?(names of )?(all )?(the )?(other )?(persons|people|members|managers|officers|"
    r"directors|partners|trustees|pilots|observers|instructors|students|trainees|employees|"
    r"witnesses|neighbou?rs|landowners|drivers|helpers|applicators|signers)"
    r"( (of|in|at|on|to|within|under|from|by|present|named|trained|employed|hurt)\b.*)?$"
)
LONG_LABEL, NEAR_WORDS, SHORT_LABEL = 5, 4, 4
"""Counts of words: from where a label is a sentence, how many then count, what is a label."""
_LEADS = {"to", "from", "with", "and", "for", "between", "of", "that", "than"}
_SPAN = (re.compile(r"\bfrom$"), re.compile(r"\W*(through|until|thru)\b"))
_HOLDS = _any(r"\b(am|is|as|being|be) (the|an?|its)$", r"^am$")
_NOT_BY = _any(r"\b(made|built|manufactured|owned|insured|issued|covered|followed) by$")

_STATE = _any(r"\bstate of\b", r"^state$", r"\bcommonwealth of\b")
_COUNTY = _any(r"\b(county|parish|borough)\b")
_EXPIRY = _any(
    r"\bexpir\w+",
    r"\b(commission|appointment|term)\b.*\b(ends?|good|valid|through|until)\b",
)
_ACT = _any(r"before me\b", r"\b(subscribed|acknowledged|sworn|affirmed)\b")
_APPEARED = _any(r"\bappeared\b")
_SIGNER = _any(
    r"\b(applicant|owner|seller|buyer|affiant|member|manager|declarant|purchaser|pilot|operator|"
    r"principal|signer|witness|officer of|insurer|agent)('s|s'|s)?\b"
)
_AS = re.compile(r"^as( the| an?)?$")
_BEFORE_NOTARY = _any(r"\W+(before|in front of|in the presence of) (the |a )?notary( public)?")
_OF_NOTARY = {"date", "signature", "title"}
_SOMEBODY = _any(r"\bnames?\b", r"(^|\W)by\s*:?$")

NOTARY_WORDS = _any(
    r"notary|notarial|notarized|subscribed and sworn|sworn to|before me\b|acknowledged",
    r"(commission|appointment) (expires|expiration|ends|good|valid)|\bss\.?\b|\bjurat\b",
    r"\baffirmed\b|\bstate of\b|\bcounty of\b",
)
"""Words that stand in a notarial certificate."""
NOTARY_STRONG = _any(
    r"notary|notarial|notarized|subscribed and sworn|before me\b",
    r"(commission|appointment) (expires|expiration|ends|good|valid)|\bss\b",
)
"""Those of them that stand nowhere else."""
_ACTS = _any(r"^\W*(acknowledged|signed and sworn|sworn|subscribed|attested|affirmed|witnessed)\b")
ACT_WORDS = _any(r"before me\b|subscribed|acknowledged|sworn|affirmed|notary|commission")
OFFICE_WORDS = _any(
    r"(office|agency|department|official|staff|state|county|bureau|registry) use\b( only)?",
    r"do not write (in|below|above)",
    r"for official use",
)
"""Words over a space that the office alone fills in."""


def names_people(text: str) -> bool:
    """Tell whether a heading is of several persons, whose names are listed under it.

    >>> names_people("5. Members of the company"), names_people("Products of the company")
    (True, False)
    """
    return _PEOPLE.match(_plain(text)) is not None


def is_role(text: str) -> bool:
    """Tell whether small print under a line only says who signs there, such as "Affiant"."""
    return _ROLE.match(_plain(text)) is not None


def may_be_firm(text: str) -> bool:
    """Tell whether who is named may be a firm, whose name is as likely asked for."""
    return _MAY_BE_FIRM.search(_plain(text)) is not None


def is_sworn_role(text: str) -> bool:
    """Tell whether the words name somebody who does nothing on a form but sign it."""
    return _SWEARS.match(_plain(text)) is not None


def _plain(text: str) -> str:
    """Give words in small letters without a counter before them."""
    return _COUNTER.sub("", text.lower().strip(" :*()[].,"))


def names_act(text: str) -> bool:
    """Tell whether words beside a check box name a notarial act."""
    return _ACTS.search(text.lower()) is not None


def asks_for_seal(text: str) -> bool:
    """Tell whether the words stand where a stamp goes."""
    return _SEAL.search(text.lower()) is not None


def names_seal_only(text: str) -> bool:
    """Tell whether words do nothing but name a stamp, as "(Seal)" or "Notary stamp"."""
    return asks_for_seal(text) and len(text.split()) < SHORT_LABEL and ":" not in text


def find_kind(label: str, after: str = "") -> str:
    """Give the kind of a blank outside of a notarial certificate; ``text`` when no word fits.

    >>> find_kind("Signature of owner"), find_kind("Date signed"), find_kind("this", "day of")
    ('signature', 'date', 'date')
    """
    text = _trim(label)
    words = text.split()
    if text == ", of":
        return "address"
    sentence = len(words) > LONG_LABEL and not text.startswith("name of ")
    if sentence and not label.rstrip().endswith((":", "?", ")")):
        # In a sentence the words next to the blank say what it is for.
        near = find_kind(" ".join(words[-NEAR_WORDS:]), after)
        if near != "text" or words[-1] in _LEADS:
            return near
    # Words that end with a colon or begin with a capital are the label of the next blank.
    is_label = after.rstrip().endswith(":") or after[:1].isupper()
    tail = _try_in_order(_TAILS, "" if is_label else after.lower())
    kind = _try_in_order(_FIRST, text) or (tail if text == "at" else "") or _find_nearest(text)
    if not kind and _SPAN[0].search(text) and _SPAN[1].match(after.lower()):
        kind = "date"
    if not kind and _HOLDS.search(text) and after.lower().startswith("of"):
        kind = "title"
    kind = kind or tail
    if not kind and not text and len(after.split()) <= SHORT_LABEL:
        kind = find_kind(after) if after else ""
    return kind or ("printed-name" if _names_person(text) else "text")


def _trim(label: str) -> str:
    """Give a label in small letters without its counter, a list in brackets, a unit before it."""
    text = _COUNTER.sub("", label.lower().strip(" :*"))
    if text == ", of":
        return text
    return _UNIT_BEFORE.sub("", (_LISTED.sub("", text) or text).strip(" :*(),"))


def _find_nearest(text: str) -> str:
    """Give the kind of the word that comes first in a label, empty without one."""
    hits = [(found.start(), kind) for pattern, kind in _PLAIN if (found := pattern.search(text))]
    named = _PERSON_NAME.match(text)
    if named is not None and not _FIRMS.search(text):
        hits.append((named.start(), "printed-name"))
    return min(hits)[1] if hits else ""


def _names_person(text: str) -> bool:
    """Tell whether the words ask for the name of a person, not of a firm, a thing or a place."""
    if _PERSON.search(text):
        return _NOT_BY.search(text) is None
    return _PERSON_NAME.search(text) is not None and _FIRMS.search(text) is None


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
    text = _BEFORE_NOTARY.sub("", label.lower().strip(" :*()"))
    tail = after.lower().strip(" ,(")
    plain = find_kind(text, after)
    state, county = _find_last(_STATE, text), _find_last(_COUNTY, text)
    of_signer = bool(_SIGNER.search(text)) and "notary" not in text
    steps = (
        (_AS.match(text) is not None, "title"),
        (bool(_EXPIRY.search(text)), "notary-expiry"),
        (asks_for_seal(text) and plain != "signature", "notary-stamp"),
        (state > county, "notary-state"),
        (county >= 0 or bool(_COUNTY.match(tail)), "notary-county"),
        (bool(_APPEARED.search(text)), "printed-name"),
        (text.endswith(" at"), "address"),
        (bool(_ACT.search(text)) and not _SOMEBODY.search(text), "notary-date"),
        (not text and bool(_ACT.match(tail)), "notary-date"),
        (of_signer, plain),
        (plain == "printed-name" or bool(_SOMEBODY.search(text)), "printed-name"),
        (tail.startswith("name"), "printed-name"),
        (plain in _OF_NOTARY and (below_act or "notary" in text), f"notary-{plain}"),
        ("notary" in text and plain == "text", "notary-signature"),
    )
    return next((kind for fits, kind in steps if fits), plain)
