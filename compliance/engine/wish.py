"""What to try on a plan, as it was asked for."""

from dataclasses import dataclass
from datetime import date

from compliance.base.problems import RefusedError


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What to try, as it was asked for; pairs are (left of the equals sign, right of it)."""

    first_spray: date | None = None
    mail: tuple[tuple[str, str], ...] = ()
    office: tuple[tuple[str, str], ...] = ()
    returned: tuple[str, ...] = ()
    drop_aircraft: tuple[str, ...] = ()
    drop_pilot: tuple[str, ...] = ()
    swap_aircraft: tuple[tuple[str, str], ...] = ()
    swap_pilot: tuple[tuple[str, str], ...] = ()
    trips: tuple[date, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Tell whether nothing was asked for."""
        return self == Wish()


def refuse_two(wish: Wish) -> None:
    """Refuse two different things for one name: the later one would take the place of the first.

    Raises:
        RefusedError: Such a name, with both.
    """
    for option, pairs in (
        ("--mail", wish.mail),
        ("--office", wish.office),
        ("--swap-aircraft", wish.swap_aircraft),
        ("--swap-pilot", wish.swap_pilot),
    ):
        known: dict[str, str] = {}
        for name, value in pairs:
            other = known.setdefault(name, value)
            if other != value:
                raise RefusedError(
                    f"{option} says two things of {name}: {other} and {value}",
                    hint="give one of them, and the other in a run of its own",
                )
