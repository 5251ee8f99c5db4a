"""Command: what-if."""

from datetime import date
from typing import Annotated

import typer

from compliance.base.problems import RefusedError
from compliance.cli.clock import new_namespace
from compliance.cli.options import (
    AsFormat,
    Chance,
    Db,
    Format,
    On,
    Which,
    as_of,
    day_option,
    parse_day,
    say,
    session_of,
)

FirstSpray = Annotated[date | None, day_option("--first-spray", "Begin on another day.")]
Mail = Annotated[
    list[str],
    typer.Option(
        "--mail",
        metavar="PACKET=SERVICE",
        help="Send a packet another way (first-class, priority, express, courier); all=express "
        "sends every packet so.",
    ),
]
Office = Annotated[
    list[str],
    typer.Option(
        "--office",
        metavar="NAME=PACE",
        help="An office or a step at one is slow, fast, or takes so many days.",
    ),
]
Returned = Annotated[
    list[str],
    typer.Option(
        "--returned",
        metavar="PACKET",
        help="A packet at an office comes back today; one not sent yet goes on the plan's first "
        "day and comes back once.",
    ),
]
DropAircraft = Annotated[
    list[str], typer.Option("--drop-aircraft", metavar="ID", help="No job has this aircraft.")
]
DropPilot = Annotated[
    list[str], typer.Option("--drop-pilot", metavar="ID", help="No job has this pilot.")
]
SwapAircraft = Annotated[
    list[str],
    typer.Option("--swap-aircraft", metavar="JOB=ID", help="A job has this aircraft and no other."),
]
SwapPilot = Annotated[
    list[str],
    typer.Option("--swap-pilot", metavar="JOB=ID", help="A job has this pilot and no other."),
]
Trip = Annotated[
    list[str],
    typer.Option(
        "--trip",
        metavar="DATE",
        help="Somebody goes to town on a day on which your facts keep everybody at home.",
    ),
]
Keep = Annotated[
    bool,
    typer.Option(
        "--keep",
        help="Keep the change: first spray, aircraft, pilots, mail service of all packets.",
    ),
]


# typer copies the empty lists, so nobody else's options end up in them.
def what_if(
    first_spray: FirstSpray = None,
    mail: Mail = [],  # noqa: B006
    office: Office = [],  # noqa: B006
    returned: Returned = [],  # noqa: B006
    drop_aircraft: DropAircraft = [],  # noqa: B006
    drop_pilot: DropPilot = [],  # noqa: B006
    swap_aircraft: SwapAircraft = [],  # noqa: B006
    swap_pilot: SwapPilot = [],  # noqa: B006
    trip: Trip = [],  # noqa: B006
    keep: Keep = False,
    chance: Chance = "0.9",
    output: AsFormat = Format.TEXT,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Show the plan beside the plan with a change; several at once are tried together."""
    from compliance.app.chances import parse_chance
    from compliance.app.what_if import try_changes
    from compliance.engine.wish import Wish

    wish = Wish(
        first_spray=first_spray,
        mail=_pairs("--mail", mail),
        office=_pairs("--office", office),
        returned=tuple(returned),
        drop_aircraft=tuple(drop_aircraft),
        drop_pilot=tuple(drop_pilot),
        swap_aircraft=_pairs("--swap-aircraft", swap_aircraft),
        swap_pilot=_pairs("--swap-pilot", swap_pilot),
        trips=tuple(parse_day(one) for one in trip),
    )
    wanted = parse_chance(chance)
    with session_of(db) as session:
        tried = try_changes(
            session,
            operation,
            as_of(on),
            wish,
            chance=wanted,
            keep_as=new_namespace() if keep else None,
        )
    if output is Format.JSON:
        from compliance.outputs.what_if_json import render_what_if_json as render
    else:
        from compliance.outputs.what_if_text import render_what_if as render
    say(render(tried.before, tried.after, tried.words, kept=tried.kept, remarks=tried.remarks))


def _pairs(option: str, texts: list[str]) -> tuple[tuple[str, str], ...]:
    """Take texts such as ``all=express`` apart.

    Raises:
        RefusedError: A text has no equals sign, or nothing on one side of it.
    """
    pairs = []
    for text in texts:
        left, sign, right = text.rpartition("=")
        if not (sign and left and right):
            raise RefusedError(
                f"{option} takes two names with an equals sign between them, not {text!r}",
                hint="mailby what-if --help shows the names",
            )
        pairs.append((left.strip(), right.strip()))
    return tuple(pairs)
