"""Commands: forms list, show, learn, print: the blanks of forms, found and printed with codes."""

from typing import Annotated

import typer

from compliance.cli.check import need_scan
from compliance.cli.options import Db, On, as_of, kept_folder, output_path, say, session_of

app = typer.Typer(
    help="Look at what a form asks for, show mailby its blank once, print it with corner codes.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Form = Annotated[str, typer.Argument(metavar="FORM", help="Id of a form, such as faa-8050-1.")]


@app.command("list")
def list_forms(
    word: Annotated[
        str, typer.Argument(metavar="[WORD]", help="Only forms whose id or title holds this.")
    ] = "",
) -> None:
    """List the forms."""
    from compliance.app.tables import load_templates
    from compliance.outputs.forms_text import render_forms

    say(render_forms(tuple(load_templates().values()), word))


@app.command("show")
def show_form(form: Form) -> None:
    """Show what a form asks for."""
    from compliance.app.forms import find_template
    from compliance.outputs.forms_text import render_form

    say(render_form(find_template(form)))


@app.command("learn")
def learn(
    blank: Annotated[
        str, typer.Argument(metavar="PDF", help="The agency's own form, empty, as PDF.")
    ],
    form: Annotated[
        str,
        typer.Option(
            "--form",
            metavar="FORM",
            help="Which form it is, such as faa-8050-1; mailby forms list shows them.",
        ),
    ],
    places: Annotated[
        str | None,
        typer.Option(
            "--places",
            metavar="FILE",
            help="A file of --write-places that you mended; its places are taken as they stand.",
        ),
    ] = None,
    write_places: Annotated[
        str | None,
        typer.Option(
            "--write-places",
            metavar="FILE",
            help="Write what was found where into this file, so that you can mend it.",
        ),
    ] = None,
    pictures: Annotated[
        str | None,
        typer.Option(
            "--pictures",
            metavar="DIR",
            help="Draw each page with a frame round every place found, into this folder.",
        ),
    ] = None,
    anyway: Annotated[
        bool,
        typer.Option(
            "--anyway", help="Keep it although it seems to be filled in, or to be another form."
        ),
    ] = False,
    on: On = None,
    db: Db = None,
) -> None:
    """Show mailby an empty form, so that it can read photos of it.

    It finds where on the page to write, tick and sign. Do it once, and once more when the agency
    brings out a new edition. Then photos are read with mailby check PACKET --scan PHOTO.
    """
    need_scan()
    from compliance.app import learned
    from compliance.app.forms import find_template
    from compliance.app.learn_guard import learn_empty_form
    from compliance.app.looking import named
    from compliance.app.resources import read_binary, write_file, write_files
    from compliance.outputs.forms_text import render_learned

    template = find_template(form)
    known = learned.read_places(places, template) if places is not None else None
    data = read_binary(blank)
    with session_of(db) as session, named(blank):
        found, doubts = learn_empty_form(
            session, template, data, known, kept_folder(db, "forms"), as_of(on), anyway=anyway
        )
    for doubt in doubts:
        say(doubt)
    say(
        render_learned(
            template,
            tuple((one.region.id, one.region.label, one.blank) for one in found.places),
            has_codes=found.has_codes,
        )
    )
    if write_places is not None:
        path = write_file(output_path(write_places), learned.render_places(found).encode())
        say(f"wrote {path}")
    if pictures is not None:
        for path in write_files(output_path(pictures), learned.draw_places(found)):
            say(f"wrote {path}")


@app.command("print")
def print_form(
    form: Form,
    output: Annotated[str, typer.Option("-o", "--output", metavar="FILE", help="PDF to write.")],
    db: Db = None,
) -> None:
    """Write a learned form with a small code in each corner, to be filled in and photographed."""
    need_scan()
    from compliance.app.forms import find_template
    from compliance.app.learned import read_blank
    from compliance.app.resources import write_file

    template = find_template(form)
    with session_of(db) as session:
        data = read_blank(session, template)
    say(f"wrote {write_file(output_path(output), data)}")
    say("Print it at full size. Ask the agency first whether it minds marks in the margins.")
