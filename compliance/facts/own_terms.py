"""What the holder's own grant or authorization says instead of the rules table."""

from dataclasses import dataclass

UNITS = ("days", "business-days", "hours", "months", "day-of-next-month")
MAX_COUNT = 4_000


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnTerm:
    """One time limit of a duty as the holder's own document sets it.

    ``applies``: no means that the document does not ask for the duty at all; then there are no
    numbers. ``count`` and ``unit`` as in the rules table; ``opens``: not earlier than so many units
    before, 0 when any earlier time will do. ``document`` says where it stands.
    """

    duty: str
    document: str
    applies: bool = True
    count: int = 0
    unit: str = ""
    opens: int = 0

    def __str__(self) -> str:
        if not self.applies:
            return f"{self.duty} not asked for ({self.document})"
        window = f", not before {self.opens}" if self.opens else ""
        return f"{self.duty} {self.count} {self.unit}{window} ({self.document})"
