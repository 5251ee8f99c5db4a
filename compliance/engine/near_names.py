"""A person's name on a paper beside the one of the facts: the same, another way, a slip, another.

Common practice, no source. The distance is that of Damerau and Levenshtein in its restricted form
(one letter more, less, other, or two neighbours changed over); how near is near is our own choice.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from enum import StrEnum
from functools import lru_cache

from compliance.engine.check_words import say_difference, split_words, squash


class Likeness(StrEnum):
    """How a name stands to a person's.

    ``same``: letter for letter. ``way``: the same person written another way (initials, middle
    names, capitals, marks, last name first, or what may be another person of that family).
    ``slip``: a letter or a whole word is wrong. ``other``: somebody else.
    """

    SAME = "same"
    WAY = "way"
    SLIP = "slip"
    OTHER = "other"


_SUFFIXES = frozenset({"jr", "sr", "ii", "iii", "iv"})
_PARTS = re.compile(r"\s*(?:[;|&\n(]|\band\b)\s*", re.IGNORECASE)
_SHORT, _LONG = 3, 6
"""Words of at most 3 letters may be other names after one change (Dan, Don); 6 may have two."""
_MOST = 2
_PAIR = 2


@lru_cache(maxsize=4_000)
def compare_name(name: str, person: str) -> Likeness:
    """Tell how a printed name stands to a person's name.

    Example:
        >>> [str(compare_name(one, "Odile Ferrant")) for one in ("Odil Ferrant", "Corin Ferrant")]
        ['slip', 'other']
        >>> [str(compare_name(one, "Odile Ferrant")) for one in ("Odile M. Ferrant", "Odile")]
        ['way', 'slip']
    """
    name, person = name.strip(), person.strip()
    if not name or not person:
        return Likeness.OTHER
    if name == person:
        return Likeness.SAME
    if squash(_plain(name)) == squash(_plain(person)):
        return Likeness.WAY
    head, comma, tail = name.partition(",")
    if comma and len(_words(head)) >= _PAIR:
        likeness = compare_name(head, person)
        return Likeness.WAY if likeness is Likeness.SAME else likeness
    return _compare_words(_words(f"{tail} {head}" if comma else name), _words(person))


def _compare_words(name: tuple[str, ...], person: tuple[str, ...]) -> Likeness:
    """Compare word by word; what differs in suffixes and order only is another way."""
    if sorted(name) == sorted(person):
        return Likeness.WAY
    name, person = _bare(name), _bare(person)
    if len(person) < _PAIR or not name:
        return Likeness.OTHER
    if len(name) == 1:
        # Of a name of several words only one is there.
        return Likeness.SLIP if name[0] in {person[0], person[-1]} else Likeness.OTHER
    if len(name) != len(person):
        name, person = (name[0], name[-1]), (person[0], person[-1])
    pairs = zip(name, person, strict=True)
    return _join(_compare_word(one, other, at) for at, (one, other) in enumerate(pairs))


def _join(words: Iterable[tuple[int, bool]]) -> Likeness:
    """Join the words: (letters wrong, whether it may be another name); too many make another."""
    told = list(words)
    wrong = sum(count for count, _ in told)
    if wrong > _MOST:
        return Likeness.OTHER
    return Likeness.SLIP if wrong and not any(doubt for _, doubt in told) else Likeness.WAY


def _compare_word(one: str, other: str, at: int) -> tuple[int, bool]:
    if one == other or (1 in {len(one), len(other)} and one[0] == other[0]):
        return 0, False
    if 1 in {len(one), len(other)}:
        return _MOST + 1, False
    away = measure_distance(one, other)
    longest = max(len(one), len(other))
    if away > (_MOST if longest >= _LONG and one[0] == other[0] else 1):
        return _MOST + 1, False
    is_short = longest <= _SHORT and len(one) == len(other)
    return away, is_short or (at == 0 and _is_pair(one, other))


def _is_pair(one: str, other: str) -> bool:
    """Tell whether two first names differ as a man's and a woman's: Eric, Erica; Mario, Maria."""
    short, long = sorted((one, other), key=len)
    if len(short) == len(long):
        return short[:-1] == long[:-1] and {short[-1], long[-1]} == {"o", "a"}
    return long == f"{short}a"


def measure_distance(one: str, other: str) -> int:
    """Count the letters to add, drop, change, or change over with a neighbour.

    Example:
        >>> measure_distance("odile", "odlie"), measure_distance("ferrant", "ferent")
        (1, 2)
    """
    before: list[int] = []
    row = list(range(len(other) + 1))
    for at, letter in enumerate(one, 1):
        last, before, row = before, row, [at]
        for to, against in enumerate(other, 1):
            cost = letter != against
            least = min(before[to] + 1, row[to - 1] + 1, before[to - 1] + cost)
            is_swap = at > 1 and to > 1 and letter == other[to - 2] and one[at - 2] == against
            row.append(min(least, last[to - 2] + 1) if is_swap else least)
    return row[-1]


def is_one_person(one: str, other: str) -> bool:
    """Tell whether two names are surely one person's: first and last words are the same.

    Narrower than `compare_name`, for papers that several people sign: who is Jr., or Eric beside
    Erica, is somebody else.

    Example:
        >>> is_one_person("Odile Ferrant", "Odile M. Ferrant")
        True
        >>> is_one_person("Odile Ferrant", "Odile Ferrant Jr."), is_one_person("", "")
        (False, False)
    """
    first, second = _words(one), _words(other)
    return bool(first and second) and (first[0], first[-1]) == (second[0], second[-1])


def find_person(name: str, people: Iterable[str]) -> tuple[str, Likeness]:
    """Find whom of several a name means; ``other`` and an empty text when it is nobody of them.

    One of them letter for letter goes first, then another way of writing one, then a slip.

    Example:
        >>> find_person("Wren Castelow", ("Odile Ferrant", "Wren Castellow"))
        ('Wren Castellow', <Likeness.SLIP: 'slip'>)
    """
    found = {likeness: one for one in people if (likeness := compare_name(name, one))}
    for likeness in (Likeness.SAME, Likeness.WAY, Likeness.SLIP):
        if likeness in found:
            return found[likeness], likeness
    return "", Likeness.OTHER


def say_slip(name: str, person: str) -> str:
    """Say in a few words what is wrong in a name that is nearly a person's.

    Example:
        >>> say_slip("Odil Ferrant", "Odile Ferrant"), say_slip("Odlie Ferrant", "Odile Ferrant")
        ('a letter is missing', 'two letters have changed places')
    """
    one, other = squash(name), squash(person)
    is_alike = len(split_words(name)) == len(split_words(person))
    if is_alike and measure_distance(one, other) == 1:
        if len(one) != len(other):
            return "a letter is missing" if len(one) < len(other) else "a letter too many"
        is_swap = sorted(one) == sorted(other)
        return "two letters have changed places" if is_swap else "a letter is wrong"
    return say_difference(person, name)


def find_slips(text: str, people: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Give what stands for a person in a text with several names and other words, and the person.

    Only as many words in a row as the person's name has are compared, and nobody who also stands
    there letter for letter.

    Example:
        >>> list(find_slips("Odil Ferrant, 402-555-0143", ("Odile Ferrant", "Wren Castellow")))
        [('Odil Ferrant', 'Odile Ferrant')]
    """
    known = tuple(people)
    pieces = [piece.split() for piece in _PARTS.split(text.replace(",", " ; "))]
    for person in known:
        length = len(person.split())
        runs = [
            " ".join(words[at : at + length]).strip(" .:-")
            for words in pieces
            for at in range(len(words) - length + 1)
        ]
        if length < _PAIR or person in text:
            continue
        for run in runs:
            if find_person(run, known) == (person, Likeness.SLIP):
                yield run, person
                break


def _plain(text: str) -> str:
    parted = unicodedata.normalize("NFKD", text)
    return "".join(one for one in parted if not unicodedata.combining(one))


def _words(text: str) -> tuple[str, ...]:
    return split_words(_plain(text).replace("'", ""))


def _bare(words: tuple[str, ...]) -> tuple[str, ...]:
    """Leave out suffixes, and initials where two words are left."""
    kept = tuple(word for word in words if word not in _SUFFIXES)
    long = tuple(word for word in kept if len(word) > 1)
    return long if len(long) >= _PAIR else kept
