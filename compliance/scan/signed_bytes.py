"""Whether the bytes that a certificate signature covers are still the bytes that were signed.

A signature in a PDF names the ranges of the file it covers and holds a signed message in the gap
between them. That message carries a digest of the ranges; working the digest out again shows
whether a byte was changed since. This says nothing about who signed: neither the signature over
the digest nor the certificate is checked, and :data:`NOT_JUDGED` says so to the user.

Source: ISO 32000-1 section 12.8.1 (byte ranges) and 12.8.3.3 (kinds of message); RFC 5652
sections 5.1 to 5.4 (the message); ITU-T X.690 (its encoding).
"""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass

NOT_JUDGED = "Whose signature it is, and its certificate, were not judged."
_MAX_DEPTH = 12
_MAX_PARTS = 2000

_SIGNED_DATA = "1.2.840.113549.1.7.2"
_MESSAGE_DIGEST = "1.2.840.113549.1.9.4"
# RFC 5754 and RFC 8702; the two oldest are broken for signing but are still found in old files.
_DIGESTS = {
    "1.2.840.113549.2.5": "md5",
    "1.3.14.3.2.26": "sha1",
    "2.16.840.1.101.3.4.2.4": "sha224",
    "2.16.840.1.101.3.4.2.1": "sha256",
    "2.16.840.1.101.3.4.2.2": "sha384",
    "2.16.840.1.101.3.4.2.3": "sha512",
    "2.16.840.1.101.3.4.2.8": "sha3_256",
    "2.16.840.1.101.3.4.2.9": "sha3_384",
    "2.16.840.1.101.3.4.2.10": "sha3_512",
}
_OLD_SHA1 = "/adbe.pkcs7.sha1"
_UNDERSTOOD = ("/adbe.pkcs7.detached", "/ETSI.CAdES.detached", _OLD_SHA1)

_SEQUENCE, _SET, _OID, _OCTETS, _CONTEXT_0 = 0x30, 0x31, 0x06, 0x04, 0xA0
_OCTETS_IN_PARTS = 0x24
_LONG_TAG = 0x1F


class MessageError(ValueError):
    """The signed message is not encoded as it must be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One value of the encoding: its tag, and where its content and itself end."""

    tag: int
    start: int
    end: int
    after: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BytesCheck:
    """What the signed bytes say.

    ``is_intact``: True when they give the digest that was signed, False when they do not or the
    ranges leave a hole, None when it cannot be worked out. ``covers_file``: nothing follows the
    ranges; ``added_bytes`` is the number of bytes that do.
    """

    is_intact: bool | None
    covers_file: bool
    added_bytes: int
    why: str


def compute_bytes_check(
    data: bytes, contents: bytes, byte_range: tuple[int, ...], kind: str
) -> BytesCheck:
    """Work out the digest of the signed ranges and compare it with the signed message.

    Shape: ``contents`` is the message as the signature field holds it, ``byte_range`` the four
    numbers of the field, ``kind`` its ``SubFilter`` with the slash.
    """
    fault = _range_fault(data, contents, byte_range)
    if fault:
        return BytesCheck(is_intact=False, covers_file=False, added_bytes=0, why=fault)
    first, second, end = byte_range[1], byte_range[2], byte_range[2] + byte_range[3]
    signed = data[:first] + data[second:end]
    added = len(data) - end
    if kind not in _UNDERSTOOD:
        intact, why = None, "Its kind of signature is not one that can be checked here."
    else:
        try:
            intact = _is_digest_right(signed, contents, kind)
        except (MessageError, IndexError):
            intact, why = None, "Its signed message cannot be read."
        else:
            why = (
                "The signed part of the file is unchanged."
                if intact
                else "The signed part of the file was changed after it was signed."
            )
            if intact is None:
                why = "Its digest is of a kind that cannot be checked here."
    if added:
        many = "1 byte was" if added == 1 else f"{added} bytes were"
        why += f" {many} added to the file after this signature."
    return BytesCheck(is_intact=intact, covers_file=added == 0, added_bytes=added, why=why)


def _range_fault(data: bytes, contents: bytes, byte_range: tuple[int, ...]) -> str:
    """Check that the ranges leave out the message in its brackets and nothing else."""
    if len(byte_range) != 4 or any(number < 0 for number in byte_range):  # noqa: PLR2004
        return "The signature does not say which bytes it covers."
    start, length, second, rest = byte_range
    if start != 0 or second < length or second + rest > len(data):
        return "The signature covers bytes that are not those of this file."
    gap = data[length:second]
    if gap[:1] != b"<" or gap[-1:] != b">":
        return "The signature leaves out more of the file than its own message."
    try:
        held = bytes.fromhex(gap[1:-1].decode("ascii"))
    except (UnicodeDecodeError, ValueError):
        return "The signature leaves out more of the file than its own message."
    if held.rstrip(b"\0") != contents.rstrip(b"\0"):
        return "The signature covers the place of another message, not its own."
    return ""


def _is_digest_right(signed: bytes, contents: bytes, kind: str) -> bool | None:
    whole = _only(contents, read_part(contents, 0), _SEQUENCE)
    if _oid(contents, whole[0]) != _SIGNED_DATA:
        raise MessageError("not signed data")
    message = _only(contents, _only(contents, whole[1], _CONTEXT_0)[0], _SEQUENCE)
    # SignedData: version, digest algorithms, content, [0] certificates, [1] lists, signers.
    signers = _only(contents, message[-1], _SET)
    if len(signers) != 1:
        raise MessageError("a PDF signature has one signer")
    signer = _only(contents, signers[0], _SEQUENCE)
    # SignerInfo: version, who, digest algorithm, [0] signed attributes, ...
    name = _DIGESTS.get(_oid(contents, _only(contents, signer[2], _SEQUENCE)[0]), "")
    if name not in hashlib.algorithms_available or signer[3].tag != _CONTEXT_0:
        return None
    stated = _stated_digest(contents, signer[3])
    if kind == _OLD_SHA1:
        inner = _inner_content(contents, message[2])
        if inner != hashlib.sha1(signed, usedforsecurity=False).digest():
            return False
        signed = inner
    return hashlib.new(name, signed, usedforsecurity=False).digest() == stated


def _stated_digest(contents: bytes, attributes: Part) -> bytes:
    found = []
    for attribute in read_parts(contents, attributes):
        what, values = _only(contents, attribute, _SEQUENCE)[:2]
        if _oid(contents, what) == _MESSAGE_DIGEST:
            found += [_octets(contents, value) for value in _only(contents, values, _SET)]
    if len(found) != 1:
        raise MessageError("exactly one digest must be stated")
    return found[0]


def _inner_content(contents: bytes, part: Part) -> bytes:
    content = _only(contents, part, _SEQUENCE)
    if len(content) < 2:  # noqa: PLR2004 - kind and value
        raise MessageError("no content inside")
    return _octets(contents, _only(contents, content[1], _CONTEXT_0)[0])


def _octets(data: bytes, part: Part) -> bytes:
    if part.tag == _OCTETS:
        return data[part.start : part.end]
    if part.tag == _OCTETS_IN_PARTS:
        return b"".join(data[own.start : own.end] for own in read_parts(data, part))
    raise MessageError("not a string of bytes")


def _only(data: bytes, part: Part, tag: int) -> tuple[Part, ...]:
    if part.tag != tag:
        raise MessageError("unexpected value")
    return tuple(read_parts(data, part))


def _oid(data: bytes, part: Part) -> str:
    if part.tag != _OID or part.start == part.end:
        raise MessageError("not a name")
    numbers: list[int] = []
    value = 0
    for byte in data[part.start : part.end]:
        value = value << 7 | byte & 0x7F
        if not byte & 0x80:
            numbers.append(value)
            value = 0
    if not numbers:
        raise MessageError("a name without an end")
    head = min(numbers[0] // 40, 2)
    return ".".join(map(str, (head, numbers[0] - 40 * head, *numbers[1:])))


def read_part(data: bytes, at: int, depth: int = 0) -> Part:
    """Read the value at a place, also one whose length is only known by its end mark.

    Source: ITU-T X.690 section 8.1.

    Raises:
        MessageError: It is not encoded so, or nests too deeply.
        IndexError: The data ends before the value does.
    """
    tag = data[at]
    if tag & _LONG_TAG == _LONG_TAG or depth > _MAX_DEPTH:
        raise MessageError("too deep, or a long tag")
    size = data[at + 1]
    start = at + 2
    if size == 0x80:  # noqa: PLR2004 - the length follows as an end mark
        return _read_open(data, tag, start, depth)
    if size > 0x80:  # noqa: PLR2004 - the length has more than one byte
        count = size & 0x7F
        size = int.from_bytes(data[start : start + count], "big")
        start += count
    if start + size > len(data):
        raise MessageError("a value longer than the data")
    return Part(tag=tag, start=start, end=start + size, after=start + size)


def _read_open(data: bytes, tag: int, start: int, depth: int) -> Part:
    at = start
    for _ in range(_MAX_PARTS):
        if data[at : at + 2] == b"\0\0":
            return Part(tag=tag, start=start, end=at, after=at + 2)
        at = read_part(data, at, depth + 1).after
    raise MessageError("too many values")


def read_parts(data: bytes, part: Part) -> Iterator[Part]:
    """Read the values inside a value, one after the other.

    Raises:
        MessageError: They do not end where the value ends.
        IndexError: The data ends before they do.
    """
    at = part.start
    for _ in range(_MAX_PARTS):
        if at >= part.end:
            break
        inner = read_part(data, at)
        at = inner.after
        yield inner
    if at != part.end:
        raise MessageError("values run over the end")
