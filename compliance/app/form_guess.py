"""Say which form a filled PDF seems to be, and how its fields would be tied to the blanks."""

from collections.abc import Mapping

from compliance.app.wanted import wanted_blanks
from compliance.base.problems import RefusedError
from compliance.forms.model import FormTemplate
from compliance.scan.acroform_match import FieldMatch
from compliance.scan.form_fit import compute_fit
from compliance.scan.pdf_model import Field, FieldKind, FieldsRead

_FAR_BETTER = 0.2
_LIKELY = 0.5
_MOST_NAMED = 8
_DOUBTFUL = "LOOK TWICE:"
_ANOTHER_WAY = "answer the questions, or show its pages with --scan"


def refuse_other_form(
    read: FieldsRead,
    path: str,
    document: str,
    named: Mapping[str, FormTemplate],
    templates: Mapping[str, FormTemplate],
) -> None:
    """Refuse a PDF that seems to be another form than the document it was given for.

    Shape: ``named`` are the documents of the packet by their short names, ``templates`` all forms.

    Raises:
        RefusedError: Most blanks that have to be filled in have no field, or another form fits far
            better.
    """
    wanted = named[document]
    fits = {
        name: compute_fit(read, wanted_blanks(template), template.title)
        for name, template in templates.items()
    }
    own = compute_fit(read, wanted_blanks(wanted), wanted.title)
    best = max(fits, key=lambda name: fits[name].score, default=wanted.id)
    better = best in fits and fits[best].score > own.score + _FAR_BETTER
    if not own.is_thin and not better:
        return
    thin = (
        f"{path}: this does not look like `{wanted.title}`: {own.held} of its {own.wanted} blanks"
        " that have to be filled in seem to have a field"
    )
    if not better or fits[best].score < _LIKELY:
        raise RefusedError(
            thin, hint=f"give the right file; if this is the right one, {_ANOTHER_WAY}"
        )
    also = next((name for name, one in named.items() if one.id == best), "")
    do = f"check it with --document {also}" if also else "give the right file"
    guess = f"looks more like `{templates[best].title}`"
    raise RefusedError(
        f"{thin}. It {guess}"
        if own.is_thin
        else f"{path}: this {guess} than like `{wanted.title}`",
        hint=f"{do}; if it is `{wanted.title}` after all, {_ANOTHER_WAY}",
    )


def say_proposal(
    read: FieldsRead, matches: tuple[FieldMatch, ...], template: FormTemplate
) -> tuple[str, ...]:
    """Say one line for each blank which field it would have, then what is left on both sides.

    Shape: a blank whose field is in doubt begins with "LOOK TWICE:" and ends with the reason.
    """
    fields = {field.name: field for field in read.fields}
    lines = []
    for blank in template.blanks:
        mine = [one for one in matches if one.blank == blank.id]
        if mine:
            said = ", ".join(_say_field(fields[one.field]) for one in mine)
            doubts = "; ".join(dict.fromkeys(one.doubt for one in mine if one.doubt))
            line = f"{blank.label}: {said}"
            lines.append(f"{_DOUBTFUL} {line} ({doubts})" if doubts else line)
    tied = {one.blank for one in matches}
    without = [blank.label for blank in template.blanks if blank.id not in tied]
    if without:
        lines.append(f"no field in the PDF for: {_join(without)}")
    used = {one.field for one in matches}
    spare = [
        _say_field(field)
        for field in read.fields
        if field.name not in used
        and not field.is_hidden
        and field.places
        and field.kind is not FieldKind.BUTTON
    ]
    if spare:
        lines.append(f"fields of the PDF that are not used: {_join(spare)}")
    return tuple(lines)


def list_doubtful(
    read: FieldsRead, matches: tuple[FieldMatch, ...], template: FormTemplate
) -> tuple[str, ...]:
    """Give those lines of the proposal that a person should look at twice."""
    lines = say_proposal(read, matches, template)
    return tuple(line for line in lines if line.startswith(_DOUBTFUL))


def _join(names: list[str]) -> str:
    """List names one after another; of very many, how many more there are."""
    shown = "; ".join(names[:_MOST_NAMED])
    more = len(names) - _MOST_NAMED
    return f"{shown}; and {more} more" if more > 0 else shown


def _say_field(field: Field) -> str:
    """Name a field as a person sees it: by its words on the page, else by its own name."""
    words = " ".join((field.label_nearby or field.tooltip).split())
    return f"the field at `{words}`" if words else f"the field named `{field.name}`"
