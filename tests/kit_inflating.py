"""Streams that inflate to gigabytes, made without running the gigabytes through a compressor."""

import zlib
from functools import cache

_BLOCK = b" " * 2**20


@cache
def pack_blanks(megabytes: int) -> bytes:
    """Give a whole zlib stream that inflates to that many MiB of blanks.

    A full flush leaves nothing of one block for the next to lean on, so one packed block may stand
    as often as one likes. Source: RFC 1950 section 2.2 for head and check value, and the manual of
    zlib for Z_FULL_FLUSH.
    """
    packer = zlib.compressobj(9, wbits=-zlib.MAX_WBITS)
    packed = packer.compress(_BLOCK) + packer.flush(zlib.Z_FULL_FLUSH)
    check = 1
    for _ in range(megabytes):
        check = zlib.adler32(_BLOCK, check)
    return b"\x78\xda" + packed * megabytes + packer.flush() + check.to_bytes(4, "big")
