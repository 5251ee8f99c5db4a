"""What an answers file says of the reasons for which papers came back before."""

from collections.abc import Iterator
from dataclasses import dataclass

from compliance.base.reading import Reader
from compliance.facts.answers import Status
from compliance.facts.answers_short import is_open, is_text, read_status

_KEY = "earlier_reasons_mended"
_MOST_NAMED = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Reasons:
    """Why papers came back: the reasons nobody has called mended, and those somebody has."""

    open: tuple[str, ...]
    settled: tuple[str, ...] = ()


def parse_mended(reader: Reader, reasons: Reasons | None) -> tuple[str, ...]:
    """Read which reasons are mended: each written as it was logged, or yes when there is one.

    Shape: what was settled before stays when "yes" is said. "No" and "not yet" leave a reason open.
    Without *reasons* every text is taken as it stands.
    """
    said = reader.words(_KEY)
    if reasons is None:
        return said
    known = {_bare(one): one for one in (*reasons.settled, *reasons.open)}
    found = dict.fromkeys(one for text in said for one in _read(reader, text, known, reasons))
    return tuple(found)


def _read(reader: Reader, text: str, known: dict[str, str], reasons: Reasons) -> Iterator[str]:
    if _bare(text) in known:
        yield known[_bare(text)]
    elif read_status(text) is Status.FILLED and len(reasons.open) <= 1:
        yield from (*reasons.settled, *reasons.open)
    elif read_status(text) is Status.FILLED:
        _refuse(reader, text, f"but papers came back for {len(reasons.open)} reasons", reasons)
    elif is_text(text):
        _refuse(reader, text, "for which nothing came back", reasons)
    elif not is_open(text) and read_status(text) is None:
        _refuse(reader, text, "which does not say enough", reasons)


def _refuse(reader: Reader, text: str, why: str, reasons: Reasons) -> None:
    named = "; ".join(f'- "{one}"' for one in reasons.open[:_MOST_NAMED])
    hint = f"write each that is mended in a line of its own: {named}" if named else "leave it out"
    sentence = f"`{_KEY}` of {reader.what} says {text!r}, {why}"
    reader.note("18", reader.place_of(_KEY), sentence, hint)


def _bare(text: str) -> str:
    return " ".join(text.split())
