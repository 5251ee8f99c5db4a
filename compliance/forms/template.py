"""Template text to forms, or problems: one file a form."""

from collections.abc import Mapping as Files

from compliance.base.ids import NAME_FORM, is_dotted_id, is_name
from compliance.base.problems import Problem
from compliance.base.reading import Reader, suggest
from compliance.base.sources import Node, parse_yaml
from compliance.facts.basis import Basis, Inherited, parse_basis
from compliance.forms.checks import FAMILY, check_template
from compliance.forms.model import (
    EQUALS,
    Blank,
    BlankKind,
    BlankLimit,
    FilledBy,
    FormTemplate,
    Supplier,
)

MOST_STALE_DAYS = 3_650
MOST_MONTHS = 120


def parse_template(text: str, file: str) -> tuple[FormTemplate | None, tuple[Problem, ...]]:
    """Read one template.

    Shape: the form and no problems, or None and all problems, sorted by place.
    """
    root, faults = parse_yaml(text, file)
    problems = list(faults)
    if root is None:
        return None, tuple(sorted(problems))
    reader = Reader(root, "the template", FAMILY, problems)
    if not reader.usable:
        return None, tuple(sorted(problems))
    template = _parse_form(reader, file)
    problems.extend(check_template(template))
    return (None if problems else template), tuple(sorted(problems))


def parse_templates(files: Files[str, str]) -> tuple[tuple[FormTemplate, ...], tuple[Problem, ...]]:
    """Read templates from file name -> YAML text.

    Shape: the forms in order of file name, those with problems left out; problems of all files,
    sorted. An id cannot stand twice, because it is the file's name.
    """
    found: list[FormTemplate] = []
    problems: list[Problem] = []
    for file in sorted(files):
        template, faults = parse_template(files[file], file)
        problems.extend(faults)
        if template is not None:
            found.append(template)
    return tuple(found), tuple(sorted(problems))


def _parse_form(reader: Reader, file: str) -> FormTemplate:
    stale = reader.whole("goes_stale_days", low=1, high=MOST_STALE_DAYS, default=MOST_STALE_DAYS)
    basis = parse_basis(reader, Inherited())
    nodes = reader.items("blanks", required=True)
    template = FormTemplate(
        id=_parse_id(reader, file),
        title=reader.text("title"),
        form=reader.text("form"),
        supplied_by=Supplier(reader.choice("supplied_by", tuple(Supplier))),
        get_it=reader.text("get_it"),
        summary=reader.text("summary"),
        goes_stale_days=stale if reader.has("goes_stale_days") else None,
        blanks=tuple(_parse_blank(node, reader, basis) for node in nodes),
        basis=basis,
        place=reader.place,
    )
    reader.finish()
    return template


def _parse_id(reader: Reader, file: str) -> str:
    name = _parse_name(reader)
    stem = file.replace("\\", "/").rsplit("/", 1)[-1].removesuffix(".yaml")
    if is_name(name) and name != stem:
        sentence = f"`id` of the template is {name!r}, but the file is named {stem!r}"
        reader.note("12", reader.place_of("id"), sentence, "give both the same name")
    return name


def _parse_name(reader: Reader) -> str:
    name = reader.text("id")
    if name and not is_name(name):
        sentence = f"`id` of {reader.what} is {name!r}"
        reader.note("11", reader.place_of("id"), sentence, f"write {NAME_FORM}")
    return name


def _parse_blank(node: Node, parent: Reader, basis: Basis) -> Blank:
    reader = Reader(node, "a blank", FAMILY, parent.problems)
    name = _parse_name(reader)
    reader.what = f"blank `{name}`" if name else reader.what
    blank = Blank(
        id=name,
        label=reader.text("label"),
        kind=BlankKind(reader.choice("kind", tuple(BlankKind))),
        filled_by=FilledBy(reader.choice("filled_by", tuple(FilledBy))),
        must=reader.flag("must", default=True),
        equals=_parse_equals(reader),
        note=reader.text("note", required=False),
        limit=_parse_limit(reader, basis),
        one_of=reader.words("one_of"),
        place=reader.place,
    )
    reader.finish()
    return blank


def _parse_limit(parent: Reader, basis: Basis) -> BlankLimit | None:
    """Read ``{at_most_months: 12, cite: ..., confidence: ...}`` or ``{street_only: yes, ...}``."""
    reader = parent.part("limit", f"`limit` of {parent.what}")
    if reader is None:
        return None
    months = reader.whole("at_most_months", low=1, high=MOST_MONTHS, default=MOST_MONTHS)
    limit = BlankLimit(
        street_only=reader.flag("street_only", default=False),
        at_most_months=months if reader.has("at_most_months") else None,
        basis=parse_basis(reader, Inherited(edition=basis.edition, reviewed_on=basis.reviewed_on)),
    )
    reader.finish()
    return limit


def _parse_equals(reader: Reader) -> str:
    fact = reader.text("equals", required=False)
    paper = fact.removeprefix("paper.").removesuffix(".number")
    is_paper_number = fact == f"paper.{paper}.number" and is_dotted_id(paper)
    if fact and fact not in EQUALS and not is_paper_number:
        sentence = f"`equals` of {reader.what} names {fact!r}, which no blank can be held against"
        near = suggest(fact, EQUALS)
        hint = near or f"known: {', '.join(EQUALS)}, paper.<paper id>.number"
        reader.note("14", reader.place_of("equals"), sentence, hint)
    return fact
