"""Propose which field of a PDF belongs to which blank of a form.

An agency's fields are seldom named as its form reads ("Text12"), so three texts are compared with
the words of each blank: the field's name, its tooltip and the words printed beside it. It is a
proposal for a person to confirm, with a score and the reason.

Source: the weights are common practice, no source; measured in
``tests/scan/test_acroform_match.py``.
"""

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from compliance.scan.acroform_pens import cannot_hold, is_at_odds
from compliance.scan.pdf_model import Field, FieldKind

LEAST_SCORE = 0.45
_NOTED_SCORE = 0.6
_FAR_SCORE = 0.25
_DOUBTFUL_SCORE = 0.5
# Two blanks that fit a field this nearly as well are both named to the person.
CLOSE_SCORE = 0.08
_SEVERAL = ("check", "address", "date", "amount", "text")

_SPELLINGS = {
    "addr": "address",
    "acft": "aircraft",
    "cert": "certificate",
    "co": "company",
    "dob": "birth date",
    "email": "e mail",
    "exp": "expiry",
    "expires": "expiry",
    "expiration": "expiry",
    "lic": "license",
    "licence": "license",
    "make": "maker",
    "manufacturer": "maker",
    "mfr": "maker",
    "mfg": "maker",
    "nbr": "number",
    "no": "number",
    "num": "number",
    "applicant": "owner applicant",
    "phone": "telephone",
    "purchaser": "buyer",
    "reg": "registration",
    "ser": "serial",
    "sig": "signature",
    "sign": "signature",
    "signed": "signature",
    "signing": "signature",
    "signer": "signature",
    "sn": "serial number",
    "tel": "telephone",
    "typed": "printed",
    "print": "printed",
    "zip": "address",
    "city": "address",
    "street": "address",
    "nnumber": "n number",
    "day": "date",
    "dated": "date",
}
_NOISE = frozenset(
    {
        "a",
        "an",
        "and",
        "as",
        "at",
        "be",
        "box",
        "by",
        "check",
        "checkbox",
        "each",
        "field",
        "fill",
        "for",
        "form",
        "if",
        "in",
        "is",
        "it",
        "its",
        "of",
        "on",
        "one",
        "or",
        "page",
        "row",
        "s",
        "subform",
        "text",
        "textbox",
        "textfield",
        "the",
        "this",
        "to",
        "topmost",
        "undefined",
        "which",
        "with",
        "your",
    }
)
_SOURCES = (
    ("Its tooltip reads", 1.0),
    ("The words beside it read", 1.0),
    ("Its name reads", 0.95),
)

# Kind of blank -> kinds of field that can hold it, with how well they do; others cannot.
_TICKS = {FieldKind.CHECK: 1.0, FieldKind.RADIO: 1.0, FieldKind.CHOICE: 0.8, FieldKind.TEXT: 0.4}
_WORDS = {FieldKind.TEXT: 1.0, FieldKind.CHOICE: 0.95}
_PENS = {FieldKind.SIGNATURE: 1.0, FieldKind.TEXT: 0.8}
_HOLDERS: dict[str, Mapping[FieldKind, float]] = {
    "check": _TICKS,
    "signature": _PENS,
    "notary-signature": _PENS,
    "notary-stamp": {FieldKind.SIGNATURE: 0.6},
    # A kind of owner or of act is as often a row of tick boxes.
    "notary-act": {**_WORDS, FieldKind.CHECK: 0.8, FieldKind.RADIO: 0.8},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankWanted:
    """A blank of the form that is looked for; ``kind`` is a kind of blank as in ``forms.model``.

    Shape: given in the order in which they stand on the form; ``note`` may hold the words of a
    blank's tick boxes.
    """

    id: str
    label: str
    kind: str
    must: bool = True
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldMatch:
    """A field that seems to hold a blank; ``score`` is 0 to 1, ``why`` says what agreed.

    ``doubt`` says in a clause why a person should look twice, empty when nothing speaks against it.
    """

    field: str
    blank: str
    score: float
    why: str
    doubt: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pair:
    field: int
    blank: int
    score: float
    source: str


def propose_mapping(
    fields: Sequence[Field], blanks: Sequence[BlankWanted]
) -> tuple[FieldMatch, ...]:
    """Propose for each field the blank it holds; what fits nothing is left out.

    Shape: in the order of the fields. A field has one blank; a blank may have several fields when
    it is a row of tick boxes or is split up, such as an address.
    """
    shown = [field for field in fields if not field.is_hidden and field.places]
    weights = _token_weights(blanks)
    pairs = [
        pair
        for number, field in enumerate(shown)
        for at, blank in enumerate(blanks)
        if (pair := _pair(number, field, at, blank, weights)).score >= LEAST_SCORE
    ]
    best: dict[int, float] = {}
    for pair in pairs:
        best[pair.field] = max(best.get(pair.field, 0.0), pair.score)
    # What plainly belongs to one blank is not given to another because the first is taken.
    pairs = [pair for pair in pairs if pair.score >= best[pair.field] - _FAR_SCORE]
    taken = _assign(pairs, len(shown), len(blanks))
    taken |= _assign_more(pairs, taken, blanks)
    return tuple(
        _match(taken[number], pairs, shown, blanks)
        for number in range(len(shown))
        if number in taken
    )


def _match(
    pair: _Pair, pairs: Iterable[_Pair], fields: Sequence[Field], blanks: Sequence[BlankWanted]
) -> FieldMatch:
    why = f"{pair.source} like “{blanks[pair.blank].label}”."
    rivals = [
        blanks[other.blank].label
        for other in pairs
        if other.field == pair.field
        and other.blank != pair.blank
        and other.score >= pair.score - CLOSE_SCORE
    ]
    doubt = ""
    if rivals:
        why += f" It would also fit “{rivals[0]}”."
        doubt = f"it may also be `{rivals[0]}`"
    elif is_at_odds(fields[pair.field]):
        doubt = f"its own name in the PDF, `{fields[pair.field].name}`, says something else"
    elif pair.score < _DOUBTFUL_SCORE:
        doubt = "its words agree only in part"
    return FieldMatch(
        field=fields[pair.field].name,
        blank=blanks[pair.blank].id,
        score=round(pair.score, 2),
        why=why,
        doubt=doubt,
    )


def _assign(pairs: Sequence[_Pair], fields: int, blanks: int) -> dict[int, _Pair]:
    """Give every blank at most one field, the best pairs first.

    Of pairs that fit alike, as the two dates of a form do, those go first whose places in the
    order of the form agree.
    """

    def rank(pair: _Pair) -> tuple[float, float, int]:
        apart = abs(pair.field / max(1, fields) - pair.blank / max(1, blanks))
        return (-round(pair.score, 1), round(apart, 3), pair.field)

    taken: dict[int, _Pair] = {}
    filled: set[int] = set()
    for pair in sorted(pairs, key=rank):
        if pair.field not in taken and pair.blank not in filled:
            taken[pair.field] = pair
            filled.add(pair.blank)
    return taken


def _assign_more(
    pairs: Sequence[_Pair], taken: Mapping[int, _Pair], blanks: Sequence[BlankWanted]
) -> dict[int, _Pair]:
    more: dict[int, _Pair] = {}
    for pair in sorted(pairs, key=lambda pair: -pair.score):
        is_free = pair.field not in taken and pair.field not in more
        if is_free and blanks[pair.blank].kind in _SEVERAL:
            more[pair.field] = pair
    return more


def _pair(
    number: int, field: Field, at: int, blank: BlankWanted, weights: Mapping[str, float]
) -> _Pair:
    holds = _HOLDERS.get(blank.kind, _WORDS).get(field.kind, 0.0)
    if cannot_hold(field, blank.label, blank.kind):
        holds = 0.0
    wanted = _words_wanted(blank)
    texts = (field.tooltip, field.label_nearby, _last_part(field.name))
    scores = []
    for (source, weight), text in zip(_SOURCES, texts, strict=True):
        words = split_words(_without_asides(text))
        score = weight * _likeness(words, wanted, weights)
        # The boxes of a row carry the answers; the note on the blank often names them.
        if blank.kind == "check" and words and words <= split_words(blank.note):
            score = max(score, _NOTED_SCORE)
        scores.append((score, source))
    best, source = max(scores, key=lambda item: item[0])
    agreeing = sum(score >= LEAST_SCORE for score, _ in scores)
    score = min(1.0, best + 0.05 * max(0, agreeing - 1)) * holds
    return _Pair(field=number, blank=at, score=score, source=source)


def _words_wanted(blank: BlankWanted) -> set[str]:
    words = split_words(blank.label)
    if blank.kind.endswith("signature"):
        words.add("signature")
    if blank.kind.endswith("date"):
        words.add("date")
    return words


def _without_asides(text: str) -> str:
    """Leave out what stands in brackets, which explains a label and often names another blank."""
    short = re.sub(r"\([^()]*\)", " ", re.sub(r"\([^()]*\)", " ", text)).split("(")[0]
    return short if short.strip() else text


def _last_part(name: str) -> str:
    """Give the part of a field's name that tells something: the last, without its count."""
    return re.sub(r"\[\d+\]", "", name.rsplit(".", 1)[-1])


def split_words(text: str) -> set[str]:
    """Give the telling words of a text, each in one spelling.

    Source: the spellings are those met on US forms (common practice, no source).
    """
    parted = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
    words: set[str] = set()
    for word in re.findall(r"[a-z]+", parted.lower()):
        single = word if word in _SPELLINGS else _singular(word)
        words.update(_SPELLINGS.get(single, single).split())
    return words - _NOISE


def _singular(word: str) -> str:
    is_plural = len(word) > 3 and word.endswith("s") and not word.endswith("ss")  # noqa: PLR2004
    return word[:-1] if is_plural and word != "address" else word


def _token_weights(blanks: Sequence[BlankWanted]) -> dict[str, float]:
    """Weigh a word by how few blanks have it: "name" says less than "serial"."""
    found = [split_words(blank.label) for blank in blanks]
    words = {word for own in found for word in own}
    return {word: math.log(1 + len(found) / sum(word in own for own in found)) for word in words}


def _likeness(one: set[str], two: set[str], weights: Mapping[str, float]) -> float:
    """Give how alike two sets of words are, 0 to 1.

    Shape: the mean of what share of the blank's words the field has and what both share.
    """
    if not one or not two:
        return 0.0
    # A word of no blank tells little about which blank it is.
    usual = 0.5 * (sum(weights.values()) / len(weights) if weights else 1.0)

    def weigh(words: Iterable[str]) -> float:
        return sum(weights.get(word, usual) for word in words)

    shared = weigh(one & two)
    held = shared / weigh(two)
    told = shared / weigh(one)
    return math.sqrt(max(held, told) * (held + told) / 2)
