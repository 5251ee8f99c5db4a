"""A pack of rules of the user's own, as it is kept."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPack:
    """A pack by its name: the file it came from, its text, the text's hash and the day."""

    name: str
    file: str
    content: str
    sha256: str
    added_on: date
