"""Commands: rules list, show, check, add, packs, drop, diff, set, unset."""

from typing import Annotated, Any

import typer
from typer.core import TyperCommand

from compliance.base.problems import DataProblemsError
from compliance.cli.options import AsFormat, Db, Format, On, Which, as_of, say, session_of

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
    from compliance.app.own_terms import list_held_terms
    from compliance.app.tables import find_rows, load_table
    from compliance.outputs.rules_text import render_row

    with session_of(db) as session:
        rows = find_rows(load_table(session), row)
        held = list_held_terms(session)
    say("\n".join(render_row(one, held) for one in rows))


@app.command("check")
def check(on: On = None) -> None:
    """Check the whole table and all form templates."""
    from compliance.app.tables import check_rules
    from compliance.outputs.rules_text import render_check

    table, templates, problems = check_rules()
    if problems:
        raise DataProblemsError(problems)
    say(render_check(table, templates, as_of(on)))


@app.command("add")
def add(
    file: Annotated[str, typer.Argument(metavar="FILE", help="YAML file of rules.")],
    name: Annotated[
        str | None,
        typer.Option("--as", metavar="NAME", help="Name of the pack, if not the file's."),
    ] = None,
    without_duties: Annotated[
        bool,
        typer.Option(
            "--without-duties",
            help="Take it though duties or documents of the papers it replaces go with them.",
        ),
    ] = False,
    keep_entries: Annotated[
        bool,
        typer.Option(
            "--keep-entries",
            help="Take it though the log has entries of papers that only the pack it replaces has.",
        ),
    ] = False,
    on: On = None,
    db: Db = None,
) -> None:
    """Add rules of your own, or of your adviser, from a file written as the table's own are."""
    from compliance.app.pack_entries import say_orphaned
    from compliance.app.packs import add_pack
    from compliance.outputs.packs_text import render_added

    with session_of(db) as session:
        added = add_pack(
            session,
            file,
            name,
            as_of(on),
            without_duties=without_duties,
            keep_entries=keep_entries,
        )
    orphaned = say_orphaned(added.orphaned)
    say(
        render_added(added.pack, added.rows, added.left_out, before=added.before, orphaned=orphaned)
    )


@app.command("packs")
def packs(db: Db = None) -> None:
    """List the packs of your own, what they replace, and whether they still fit."""
    from compliance.app.packs import list_packs
    from compliance.outputs.packs_text import render_packs

    with session_of(db) as session:
        stands = list_packs(session)
    say(render_packs(tuple((one.pack, one.rows, one.left_out, one.problems) for one in stands)))


@app.command("drop")
def drop(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of the pack.")],
    keep_entries: Annotated[
        bool,
        typer.Option(
            "--keep-entries",
            help="Take it out though the log has entries of its papers; they stay in the log.",
        ),
    ] = False,
    db: Db = None,
) -> None:
    """Take a pack of your own out; the rows it replaced count again."""
    from compliance.app.pack_entries import say_orphaned
    from compliance.app.packs import drop_pack
    from compliance.outputs.packs_text import render_dropped

    with session_of(db) as session:
        gone = drop_pack(session, name, keep_entries=keep_entries)
    say(render_dropped(gone.name, say_orphaned(gone.orphaned), replaced=gone.replaced))


@app.command("diff")
def diff(
    old: Annotated[str, typer.Argument(metavar="[OLD]", help="File or folder of rules.")],
    new: Annotated[str, typer.Argument(metavar="NEW", help="File or folder of rules.")] = "",
    shipped: Annotated[
        bool, typer.Option("--shipped", help="Compare the shipped table with NEW; leave out OLD.")
    ] = False,
    output: AsFormat = Format.TEXT,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Say which rules differ and which of your days that changes; nothing is kept.

    A file with the name of one of the table's own, such as ne.yaml, stands in its place; any other
    is taken as a pack of your own, and two such files as two states of one pack.
    """
    from compliance.app.rules_diff import compare_rules
    from compliance.base.problems import RefusedError
    from compliance.outputs.rules_diff_text import render_diff_json, render_diff_text

    if shipped == bool(new):
        raise RefusedError(
            "two things are to be compared",
            hint="mailby rules diff OLD NEW, or mailby rules diff --shipped NEW",
        )
    with session_of(db) as session:
        found = compare_rules(
            session, None if shipped else old, old if shipped else new, operation, as_of(on)
        )
    render = render_diff_json if output is Format.JSON else render_diff_text
    say(render(found.rows, found.dates, found.operation))


class _TakesDash(TyperCommand):
    """A command whose last argument may begin with a dash, as a number below zero does."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:  # noqa: ANN401 - typer hides it
        """Put what has one dash and is no option behind all options, unless it is the value of one.

        With two dashes it is an option misspelt, which is to be named as such.
        """
        known = {name for one in self.params for name in one.opts} | set(ctx.help_option_names)
        behind = args.index("--") if "--" in args else len(args)
        values = [
            at
            for at, one in enumerate(args[:behind])
            if one.startswith("-")
            and not one.startswith("--")
            and one != "-"
            and one not in known
            and not (at and args[at - 1].startswith("--"))
        ]
        if values:
            kept = [one for at, one in enumerate(args[:behind]) if at not in values]
            args = [*kept, "--", *(args[at] for at in values), *args[behind + 1 :]]
        return super().parse_args(ctx, args)


@app.command("set", cls=_TakesDash)
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
