"""Steps and documents of a paper: text to rows, or problems."""

from collections.abc import Mapping as Lookup
from dataclasses import replace

from compliance.base.reading import Reader
from compliance.base.sources import Mapping, Node, Scalar
from compliance.facts.basis import Inherited
from compliance.facts.log import EventKind
from compliance.rules.model import (
    CalendarName,
    ComesBack,
    DocumentRow,
    Freshness,
    LeadDays,
    NotaryAct,
    StepKind,
    StepRow,
    StepUse,
)
from compliance.rules.parse_parts import (
    FAMILY,
    MAX_LEAD_DAYS,
    MAX_PACKETS,
    parse_common,
    parse_lead,
    row_name,
)

STEP_EVENTS = (
    EventKind.DONE,
    EventKind.SIGNED,
    EventKind.NOTARIZED,
    EventKind.CHECKED,
    EventKind.PAID,
    EventKind.MAILED,
    EventKind.RECEIVED,
    EventKind.RETURNED,
    EventKind.GRANTED,
)

_TWICE = "give one of them another name, or both `applies_from` or `applies_until` of their own"


def parse_steps(
    paper: Reader, paper_id: str, patterns: Lookup[str, tuple[Node, ...]], inherited: Inherited
) -> tuple[StepRow, ...]:
    """Read the steps of one paper: those of its pattern, with its own put in or in their place.

    A step of the paper with the name of a pattern's step replaces it. Other steps of the paper
    follow the pattern's, unless ``after`` of others names them. Without ``after`` a step follows
    the one written before it. A step may stand several times, each time with days in force of its
    own: those are its editions.
    """
    pattern = paper.text("pattern", required=False)
    own: dict[str, list[Node]] = {}
    for node in paper.items("steps"):
        name = _name_of(node)
        if name in own and not (_has_days(node) and _has_days(own[name][-1])):
            first = own[name][0].place.line
            sentence = f"the step `{name}` of {paper_id} stands twice; first on line {first}"
            paper.note("18", node.place, sentence, _TWICE)
        own.setdefault(name, []).append(node)
    nodes: list[Node] = []
    if pattern and pattern not in patterns:
        hint = f"known: {', '.join(patterns)}" if patterns else "no file has patterns"
        paper.note("14", paper.place_of("pattern"), f"there is no pattern {pattern!r}", hint)
    dropped = _dropped(paper, patterns.get(pattern, ()))
    for node in patterns.get(pattern, ()):
        name = _name_of(node)
        if name not in dropped:
            nodes.extend(own.pop(name, [node]))
    nodes.extend(node for same in own.values() for node in same)
    steps: list[StepRow] = []
    before = earlier = ""
    for node in nodes:
        # A pattern's step has a source of its own; the edition of the paper is not its edition.
        is_own = node.place.file == paper.place.file
        taken = inherited if is_own else replace(inherited, edition="")
        # Another edition of a step follows what the first one follows, not that one.
        is_same = bool(steps) and _name_of(node) == steps[-1].name
        step = _parse_step(node, paper, paper_id, earlier if is_same else before, taken)
        steps.append(step)
        if step.use is not StepUse.AFTER_RETURN and not is_same:
            earlier, before = before, step.name
    return tuple(steps)


def _dropped(paper: Reader, pattern: tuple[Node, ...]) -> set[str]:
    """Read the names of the pattern's steps that a paper does without."""
    dropped = paper.words("without_steps")
    known = {_name_of(node) for node in pattern}
    for name in dropped:
        if name not in known:
            sentence = f"`without_steps` of {paper.what} names `{name}`, no step of its pattern"
            paper.note("19", paper.place_of("without_steps"), sentence)
    return set(dropped)


def _has_days(node: Node) -> bool:
    """Tell whether a step says from or until when it applies."""
    return isinstance(node, Mapping) and not {"applies_from", "applies_until"}.isdisjoint(
        node.entries
    )


def _name_of(node: Node) -> str:
    if isinstance(node, Mapping) and "name" in node.entries:
        value = node.entries["name"][1]
        if isinstance(value, Scalar):
            return value.text.strip()
    return f"line {node.place.line}"


def _parse_step(
    node: Node, paper: Reader, paper_id: str, before: str, inherited: Inherited
) -> StepRow:
    reader = Reader(node, f"step of {paper_id}", FAMILY, paper.problems)
    name = row_name(reader)
    reader.what = f"step `{paper_id}.{name}`"
    common = parse_common(reader, f"{paper_id}.{name}", inherited)
    kind = StepKind(reader.choice("kind", tuple(StepKind)))
    use = StepUse(reader.choice("use", tuple(StepUse), default=StepUse.BOTH))
    after = reader.words("after")
    if not reader.has("after") and before and use is not StepUse.AFTER_RETURN:
        after = (before,)
    mail = reader.choice("mail", ("out", "back"), default="")
    calendar = reader.choice("calendar", tuple(CalendarName), default=CalendarName.EVERY_DAY)
    step = StepRow(
        **common.fields(),
        paper=paper_id,
        name=name,
        kind=kind,
        use=use,
        calendar=CalendarName(calendar),
        done_at=reader.text("done_at", required=kind is StepKind.ACT),
        event=EventKind(reader.choice("event", STEP_EVENTS, default=EventKind.DONE)),
        after=after,
        needs=reader.words("needs"),
        days=_days_of(reader, kind, mail),
        mail=mail,
        fresh=_parse_fresh(reader),
        return_path=reader.words("return_path"),
        comes_back=parse_comes_back(reader),
    )
    reader.finish()
    return step


def _days_of(reader: Reader, kind: StepKind, mail: str) -> LeadDays | None:
    wants = kind is not StepKind.ACT and not mail
    if not wants and reader.has("days"):
        sentence = f"{reader.what} has `days`, but "
        sentence += "its days come from the mail service" if mail else "an act takes one day"
        reader.note("15", reader.place_of("days"), sentence, "remove `days`")
    return parse_lead(reader, required=wants)


def _parse_fresh(reader: Reader) -> Freshness | None:
    part = reader.part("fresh", f"`fresh` of {reader.what}")
    if part is None:
        return None
    fresh = Freshness(after=part.text("after"), days=part.whole("days", low=0, high=MAX_LEAD_DAYS))
    part.finish()
    return fresh


def parse_comes_back(reader: Reader) -> ComesBack | None:
    """Read ``{times: 1, of: 8, cite: ...}``: how often an office sends such a packet back (R71)."""
    part = reader.part("comes_back", f"`comes_back` of {reader.what}")
    if part is None:
        return None
    found = ComesBack(
        times=part.whole("times", low=1, high=MAX_PACKETS, default=1),
        of=part.whole("of", low=2, high=MAX_PACKETS, default=2),
        cite=part.text("cite"),
    )
    part.finish()
    if part.has("times") and part.has("of") and found.times >= found.of:
        sentence = f"`comes_back` of {reader.what} says {found}"
        hint = "`of` counts all packets, `times` those sent back: fewer than all, at least 1"
        reader.note("71", reader.place_of("comes_back"), sentence, hint)
    return found


def parse_document(node: Node, paper: Reader, paper_id: str, inherited: Inherited) -> DocumentRow:
    """Read one document of a paper."""
    reader = Reader(node, f"document of {paper_id}", FAMILY, paper.problems)
    name = row_name(reader)
    reader.what = f"document `{paper_id}.{name}`"
    common = parse_common(reader, f"{paper_id}.{name}", inherited)
    row = DocumentRow(
        **common.fields(),
        paper=paper_id,
        use=StepUse(reader.choice("use", tuple(StepUse), default=StepUse.BOTH)),
        template=reader.text("template"),
        originals=reader.whole("originals", low=0, high=20),
        copies=reader.whole("copies", low=0, high=20, default=0),
        keep_copy=reader.flag("keep_copy", default=True),
        signer=reader.text("signer", required=False),
        notary=NotaryAct(reader.choice("notary", tuple(NotaryAct), default=NotaryAct.NONE)),
        notes=reader.words("notes"),
        may_leave_out=reader.flag("may_leave_out", default=False),
        instead=reader.text("instead", required=False),
    )
    reader.finish()
    return row
