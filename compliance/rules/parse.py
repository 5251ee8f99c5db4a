"""Rules text to rows, or problems: one file an authority, every value with its line."""

from collections.abc import Mapping as Files
from dataclasses import dataclass, field, replace
from datetime import date

from compliance.base.problems import Problem
from compliance.base.reading import Reader
from compliance.base.sources import Node, parse_yaml
from compliance.facts.basis import Inherited
from compliance.facts.model import HolderKind
from compliance.facts.states import STATES
from compliance.rules.model import (
    CalendarName,
    CountsOn,
    DocumentRow,
    DutyRow,
    GapAbout,
    GapRow,
    LeadDays,
    OfficeRow,
    PaperRow,
    RecordRow,
    RulesTable,
    ServiceRow,
    StepRow,
)
from compliance.rules.parse_duties import parse_duty
from compliance.rules.parse_parts import (
    FAMILY,
    parse_common,
    parse_fee,
    parse_lead,
    parse_renewal,
    parse_validity,
    row_id,
)
from compliance.rules.parse_records import parse_record_row
from compliance.rules.parse_steps import parse_document, parse_steps


@dataclass(slots=True)
class _Found:
    """Rows found so far, over all files."""

    offices: list[OfficeRow] = field(default_factory=list)
    services: list[ServiceRow] = field(default_factory=list)
    papers: list[PaperRow] = field(default_factory=list)
    steps: list[StepRow] = field(default_factory=list)
    documents: list[DocumentRow] = field(default_factory=list)
    duties: list[DutyRow] = field(default_factory=list)
    gaps: list[GapRow] = field(default_factory=list)
    records: list[RecordRow] = field(default_factory=list)
    states: list[str] = field(default_factory=list)
    authorities: list[tuple[str, str]] = field(default_factory=list)


def parse_table(
    files: Files[str, str], beside: Files[str, str] | None = None
) -> tuple[RulesTable, tuple[Problem, ...]]:
    """Read a rules table from file name -> YAML text.

    *beside* are sound files of which only the patterns are used.

    Shape: rows in order of file name and then of line; problems of all files, sorted. With problems
    the table holds whatever could be read and must not be used for dates.
    """
    problems: list[Problem] = []
    readers: list[Reader] = []
    patterns: dict[str, tuple[Node, ...]] = {}
    for file in sorted(beside or ()):
        root = parse_yaml((beside or {})[file], file)[0]
        if root is not None:
            patterns.update(_parse_patterns(Reader(root, "a rules file", FAMILY, []), patterns))
    for file in sorted(files):
        root, faults = parse_yaml(files[file], file)
        problems.extend(faults)
        if root is None:
            continue
        reader = Reader(root, "a rules file", FAMILY, problems)
        readers.append(reader)
        patterns.update(_parse_patterns(reader, patterns))
    found = _Found()
    for reader in readers:
        _parse_file(reader, patterns, found)
    if beside:
        # A fault in how a paper uses a pattern is mended at the paper, not in a shipped file.
        places = {paper.id: paper.place for paper in found.papers}
        found.steps = [
            replace(step, place=places[step.paper]) if step.place.file in beside else step
            for step in found.steps
        ]
    table = RulesTable(
        **{name: tuple(getattr(found, name)) for name in _Found.__slots__},
    )
    return table, tuple(sorted(problems))


def _parse_patterns(
    reader: Reader, known: Files[str, tuple[Node, ...]]
) -> dict[str, tuple[Node, ...]]:
    found: dict[str, tuple[Node, ...]] = {}
    for node in reader.items("patterns"):
        part = Reader(node, "a pattern", FAMILY, reader.problems)
        name = part.text("name")
        if name in found or name in known:
            part.note("17", part.place_of("name"), f"the pattern {name!r} stands twice")
        found[name] = part.items("steps", required=True)
        part.finish()
    return found


def _parse_file(reader: Reader, patterns: Files[str, tuple[Node, ...]], found: _Found) -> None:
    found.authorities.append((reader.place.file, reader.text("authority")))
    for code in reader.words("states"):
        if code in STATES:
            found.states.append(code)
        else:
            reader.note("16", reader.place_of("states"), f"{code!r} is no state code")
    # A date that cannot be read is noted once here, not again on every row of the file.
    inherited = Inherited(reviewed_on=reader.date("reviewed", required=True) or date.min)
    for node in reader.items("offices"):
        found.offices.append(_parse_office(node, reader, inherited))
    for node in reader.items("services"):
        found.services.append(_parse_service(node, reader, inherited))
    for node in reader.items("papers"):
        _parse_paper(node, reader, patterns, inherited, found)
    for node in reader.items("duties"):
        found.duties.append(parse_duty(node, reader, "", inherited))
    for node in reader.items("gaps"):
        found.gaps.append(_parse_gap(node, reader, inherited))
    for node in reader.items("records"):
        found.records.append(parse_record_row(node, reader, inherited))
    reader.finish()


def _parse_office(node: Node, parent: Reader, inherited: Inherited) -> OfficeRow:
    reader = Reader(node, "an office", FAMILY, parent.problems)
    common = parse_common(reader, row_id(reader), inherited)
    row = OfficeRow(
        **common.fields(),
        mail_to=reader.words("mail_to"),
        courier_to=reader.words("courier_to"),
        online=reader.text("online", required=False),
        counts_on=CountsOn(reader.choice("counts_on", tuple(CountsOn), default=CountsOn.RECEIVED)),
    )
    reader.finish()
    return row


def _parse_gap(node: Node, parent: Reader, inherited: Inherited) -> GapRow:
    reader = Reader(node, "a gap", FAMILY, parent.problems)
    common = parse_common(reader, row_id(reader), inherited)
    state = reader.text("state")
    if state and state not in STATES:
        reader.note("16", reader.place_of("state"), f"{state!r} is no state code")
    row = GapRow(
        **common.fields(),
        state=state,
        about=GapAbout(reader.choice("about", tuple(GapAbout))),
        what=reader.text("what"),
    )
    reader.finish()
    return row


def _parse_service(node: Node, parent: Reader, inherited: Inherited) -> ServiceRow:
    reader = Reader(node, "a mail service", FAMILY, parent.problems)
    common = parse_common(reader, row_id(reader), inherited)
    row = ServiceRow(
        **common.fields(),
        days=parse_lead(reader, required=True) or LeadDays(fast=0, usual=0, slow=0),
        calendar=CalendarName(reader.choice("calendar", tuple(CalendarName))),
        reaches_po_box=reader.flag("reaches_po_box"),
        proof=reader.text("proof", required=False),
    )
    reader.finish()
    return row


def _parse_paper(
    node: Node,
    parent: Reader,
    patterns: Files[str, tuple[Node, ...]],
    inherited: Inherited,
    found: _Found,
) -> None:
    reader = Reader(node, "a paper", FAMILY, parent.problems)
    paper_id = row_id(reader)
    reader.what = f"paper `{paper_id}`"
    common = parse_common(reader, paper_id, inherited)
    row = PaperRow(
        **common.fields(),
        holder=HolderKind(reader.choice("holder", tuple(HolderKind))),
        why=reader.text("why"),
        office=reader.text("office"),
        validity=parse_validity(reader),
        renewal=parse_renewal(reader),
        fee=parse_fee(reader, "fee"),
        renewal_fee=parse_fee(reader, "renewal_fee"),
        notes=reader.words("notes"),
        cautions=reader.words("cautions"),
        carry=reader.words("carry"),
        keeps=reader.words("keeps"),
    )
    own = Inherited(
        edition=row.basis.edition,
        reviewed_on=row.basis.reviewed_on,
        applies_from=row.applies_from,
        applies_until=row.applies_until,
    )
    found.papers.append(row)
    found.steps.extend(parse_steps(reader, paper_id, patterns, own))
    for document in reader.items("documents"):
        found.documents.append(parse_document(document, reader, paper_id, own))
    for duty in reader.items("duties"):
        found.duties.append(parse_duty(duty, reader, paper_id, own))
    reader.finish()
