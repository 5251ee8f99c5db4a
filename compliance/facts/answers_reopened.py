"""Lines of an answers file that take an earlier answer back and give no other."""

from collections.abc import Iterator

from compliance.base.sources import Mapping, Node, Scalar, Sequence, parse_yaml
from compliance.facts.answers import ENCLOSED
from compliance.facts.reply_words import Meaning, read_meaning

_Key = tuple[str, int, str]
_TEXTS = ("notary_name", "fee_payee", "fee_method", "address_on_envelope")
"""Texts of the envelope, of which a no says only that the earlier one is not right."""
_TAKEN_BACK = frozenset(
    {Meaning.NO, Meaning.NOT_YET, Meaning.NOTHING, Meaning.STRUCK, Meaning.UNSURE}
)


def find_reopened(text: str, file: str) -> frozenset[_Key]:
    """Find what a well-formed answers file puts off by a word such as ``tomorrow``.

    A line without a value takes nothing back.

    Shape: (document, sheet, blank), with an empty document and sheet 1 for the envelope.
    """
    root, _ = parse_yaml(text, file)
    return frozenset(_walk(root)) if isinstance(root, Mapping) else frozenset()


def _walk(root: Mapping) -> Iterator[_Key]:
    for name, node in _list_entries(_find(root, "documents")):
        sheets = node.items if isinstance(node, Sequence) else (node,)
        for number, sheet in enumerate(sheets, 1):
            if _read(_find(sheet, ENCLOSED)) is Meaning.LATER:
                yield name, number, ENCLOSED
            for blank, below in _list_entries(_find(sheet, "blanks")):
                if _read(below) is Meaning.LATER:
                    yield name, number, blank
    for name, node in _list_entries(_find(root, "envelope")):
        meaning = _read(node)
        if meaning is Meaning.LATER or (name in _TEXTS and meaning in _TAKEN_BACK):
            yield "", 1, name


def _find(node: Node | None, key: str) -> Node | None:
    return dict(_list_entries(node)).get(key)


def _list_entries(node: Node | None) -> Iterator[tuple[str, Node]]:
    if isinstance(node, Mapping):
        yield from ((name, below) for name, (_, below) in node.entries.items())


def _read(node: Node | None) -> Meaning | None:
    text = node.text.strip() if isinstance(node, Scalar) else ""
    return read_meaning(text) if text else None
