"""Products an operation sprays, as far as a person has read their labels. Labels are not judged."""

from dataclasses import dataclass
from enum import StrEnum


class ByAir(StrEnum):
    """What a person who read the label says of application by air."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """One product; ``re_entry_hours`` is the restricted-entry interval, None when nobody said."""

    id: str
    name: str
    registration: str = ""
    active_ingredient: str = ""
    maker: str = ""
    by_air: ByAir = ByAir.UNKNOWN
    restricted_use: bool = False
    re_entry_hours: int | None = None


LABEL_BARS = "the label does not allow it to be applied by air"
LABEL_UNREAD = "nobody has said whether its label allows it to be applied by air"
NOT_TO_BE_FLOWN = "it was not to be flown; ask the state's pesticide office what to do"
READ_THE_LABEL = (
    "read the label's directions for application by air, then write `by_air: yes` or `by_air: no`"
)
