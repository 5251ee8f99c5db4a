"""The entries of a list, asked for one by one until there is no other."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from compliance.app.interview import Section, Talk, put
from compliance.app.interview_parts import read_yes_no


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One entry of a list: the key of its questions, and its place in the facts file from 0."""

    key: str
    part: str
    place: int

    @property
    def number(self) -> str:
        """Give the number in the key of its questions; of items taken out it stays behind."""
        return self.key.rpartition(".")[2]

    def path(self, field: str) -> tuple[str | int, ...]:
        """Give where one of its fields stands in the facts file."""
        return (self.part, self.place, field)


def list_items(
    talk: Talk, part: str, describe: Callable[[str], str], *, first_default: str = ""
) -> Iterator[Item]:
    """Give entry after entry until there is no other.

    Without a *first_default* the first entry of a new list is taken for granted. An entry that is
    known already is asked for by name, and left out when the answer is no.
    """
    number, place = 1, 0
    while True:
        key = f"{part}.{number}"
        known = talk.knows(f"{key}.")
        if number == 1 and not known and not first_default:
            talk.settled[key] = "yes"
        if key in talk.settled:
            has = True
        else:
            kind = "again" if known else "first" if number == 1 and first_default else "more"
            default = "yes" if known else first_default if number == 1 else "no"
            has = _ask_item(talk, key, f"{part}.{kind}", describe(key) if known else "", default)
        if has:
            yield Item(key=key, part=part, place=place)
            place += 1
        elif not known:
            return
        number += 1


def _ask_item(talk: Talk, key: str, words: str, what: str, default: str) -> bool:
    return put(talk, key, read_yes_no, words=words, what=what, default=default or "no") == "yes"


def leave_out_empty(section: Section) -> Section:
    """Leave out what is empty."""
    return {key: value for key, value in section.items() if value != ""}
