"""Commands: rules list, show, check, set, unset."""

from typing import Annotated

import typer

from compliance.base.problems import DataProblemsError
from compliance.cli.options import Db, On, as_of, say, session_of

app = typer.Typer(
    help="Look into the rules table, check it, or put your own value in place of one of its own.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Row = Annotated[str, typer.Argument(metavar="ID", help="Id of a row, such as faa.exemption.")]
Field = Annotated[
    str, typer.Argument(metavar="FIELD", help="Value to set, such as days.usual or fee.amount_usd.")
]


@app.command("list")
def list_rows(
    word: Annotated[
        str, typer.Argument(metavar="[WORD]", help="Only rows whose id or title holds this.")
    ] = "",
    db: Db = None,
) -> None:
    """List the rows: papers with their steps, documents and duties, offices, mail services."""
    from compliance.app.tables import load_table
    from compliance.outputs.rules_text import render_rows

    with session_of(db) as session:
        say(render_rows(load_table(session), word))


@app.command("show")
def show_row(row: Row, db: Db = None) -> None:
    """Show a row whole: what it says, where it comes from, how sure it is."""
    from compliance.app.tables import find_rows, load_table
    from compliance.outputs.rules_text import render_row

    with session_of(db) as session:
        rows = find_rows(load_table(session), row)
    say("\n".join(render_row(one) for one in rows))


@app.command("check")
def check(on: On = None) -> None:
    """Check the whole table and all form templates."""
    from compliance.app.tables import check_rules
    from compliance.outputs.rules_text import render_check

    table, templates, problems = check_rules()
    if problems:
        raise DataProblemsError(problems)
    say(render_check(table, templates, as_of(on)))


@app.command("set")
def set_value(
    row: Row,
    field: Field,
    value: Annotated[str, typer.Argument(metavar="VALUE", help="Your value.")],
    because: Annotated[
        str, typer.Option("--because", metavar="TEXT", help="Why; shown wherever it is used.")
    ],
    on: On = None,
    db: Db = None,
) -> None:
    """Put your own time, fee or address in place of a row's, with the reason."""
    from compliance.app.tables import set_override
    from compliance.base.problems import RefusedError
    from compliance.facts.overrides import Override

    if not because.strip():
        raise RefusedError("a value of your own needs its reason", hint='--because "..."')
    override = Override(row=row, field=field, value=value, reason=because.strip(), set_on=as_of(on))
    with session_of(db) as session:
        set_override(session, override)
    say(f"{row} {field} is now {value}; go back with: mailby rules unset {row} {field}")


@app.command("unset")
def unset_value(row: Row, field: Field, db: Db = None) -> None:
    """Go back to the row's own value."""
    from compliance.app.tables import forget_override

    with session_of(db) as session:
        forget_override(session, row, field)
    say(f"{row} {field} is the table's own value again")
