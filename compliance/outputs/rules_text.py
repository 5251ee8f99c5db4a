"""Rows of the rules table as text."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from compliance.base.dates import say_date, say_days
from compliance.engine.concerns import say_replaced
from compliance.engine.explain_words import say_lead
from compliance.facts.basis import WORDS_OF_CONFIDENCE
from compliance.facts.conditions import AllOf, AnyOf, Condition, say_test
from compliance.facts.own_terms import OwnTerm
from compliance.facts.record_elements import ELEMENTS
from compliance.outputs.duty_words import say_rule
from compliance.outputs.words import CAUTION, wrap
from compliance.rules.model import (
    DocumentRow,
    DueUnit,
    DutyRow,
    Fee,
    GapRow,
    KeptFrom,
    OfficeRow,
    PaperRow,
    RecordRow,
    Row,
    RulesTable,
    ServiceRow,
    StepRow,
)
from compliance.rules.validity_model import Mark, Renewal, Validity, ValidityKind

_KINDS = (
    ("OFFICES", "offices"),
    ("MAIL SERVICES", "services"),
    ("PAPERS", "papers"),
    ("STEPS", "steps"),
    ("DOCUMENTS", "documents"),
    ("DUTIES", "duties"),
    ("NO RULE KNOWN", "gaps"),
    ("RECORDS OF APPLICATIONS", "records"),
)

_HEAD = 13
"""The words before a value take so much room."""
_REPLACED = frozenset({"due", "not before", "day of year", "what"})


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldTerm:
    """What a paper says about a duty, and whose it is, empty when there is but one.

    ``when`` says on which days, and by which of several papers; empty when nobody wrote it down.
    """

    whose: str
    term: OwnTerm
    when: str = ""


def render_rows(table: RulesTable, word: str) -> str:
    """Render ids and titles of the rows whose id or title holds a word; without one, the papers."""
    lines: list[str] = []
    for heading, name in _KINDS:
        rows = [
            row
            for row in getattr(table, name)
            if (word.lower() in f"{row.id} {row.title}".lower() if word else name == "papers")
        ]
        if rows:
            lines.extend(["", heading] if lines else [heading])
            lines.extend(
                wrap(f"{row.id}  {row.title}{_say_days(row)}{_say_pack(row)}", indent=2, hang=6)
                for row in rows
            )
    if not lines:
        return f"no row holds {word!r}\n"
    if not word:
        lines.extend(["", "`mailby rules list WORD` finds steps, documents, duties and offices."])
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def say_in_force(row: Row) -> str:
    """Say on which days an edition of a row is in force, the last one included; empty for all."""
    begins = f"from {say_date(row.applies_from)}" if row.applies_from is not None else ""
    ends = f"through {say_date(row.applies_until)}" if row.applies_until is not None else ""
    return " ".join(filter(None, (begins, ends)))


def _say_days(row: Row) -> str:
    days = say_in_force(row)
    return f" ({days})" if days else ""


def _say_pack(row: Row) -> str:
    return f" (your own rule, pack {row.pack})" if row.pack else ""


def render_row(row: Row, held: Sequence[HeldTerm] = ()) -> str:
    """Render one row whole; of a duty what the *held* papers say first, as that counts."""
    own = [one for one in held if isinstance(row, DutyRow) and one.term.duty == row.id]
    lines = [wrap(f"{row.id}: {row.title}")]
    lines.extend(wrap(line, indent=2, hang=4) for line in _own_terms(row, own))
    if row.pack:
        lines.append(wrap(f"! your own rule{say_replaced(row)}, pack {row.pack}", indent=2, hang=4))
    lines.extend(wrap(_mark_replaced(line, own), indent=2, hang=15) for line in _fields(row))
    lines.extend(
        wrap(
            f"! your own value: {override.field} = {override.value} ({override.reason}, set "
            f"{say_date(override.set_on)})",
            indent=2,
            hang=4,
        )
        for override in row.overrides
    )
    basis = row.basis
    lines.append(wrap(f"source       {basis.citation}", indent=2, hang=15))
    lines.append(wrap(f"edition      {basis.edition}", indent=2, hang=15))
    lines.append(wrap(f"confidence   {WORDS_OF_CONFIDENCE[basis.confidence]}", indent=2, hang=15))
    lines.append(wrap(f"reviewed     {say_date(basis.reviewed_on)}", indent=2, hang=15))
    if basis.note:
        lines.append(wrap(f"note         {basis.note}", indent=2, hang=15))
    lines.extend(["", wrap(CAUTION)])
    return "\n".join(lines) + "\n"


def _own_terms(row: Row, own: Sequence[HeldTerm]) -> Iterator[str]:
    """Say what counts in place of a duty's time limit, by whose document."""
    for one in own:
        term, whose = one.term, f" for {one.whose}" if one.whose else ""
        if isinstance(row, DutyRow) and term.applies:
            counted = replace(row, count=term.count, unit=DueUnit(term.unit), opens=term.opens)
            said = f"what counts{whose}: {say_rule(counted)}"
        else:
            said = f"not asked for{whose}"
        yield f"! {said}, by your own document: {term.document}{one.when}"


def _mark_replaced(line: str, own: Sequence[HeldTerm]) -> str:
    """Mark a line of a duty in place of which a document of the holder's own counts."""
    if not own or line[:_HEAD].strip() not in _REPLACED:
        return line
    whose = ", ".join(dict.fromkeys(one.whose for one in own if one.whose))
    where = f" for {whose}" if whose else ""
    return f"{line[:_HEAD]}(replaced{where} by your own document) {line[_HEAD:]}"


def _fields(row: Row) -> Iterator[str]:
    condition = say_condition(row.when)
    if condition:
        yield f"when         {condition}"
    if row.applies_from is not None:
        yield f"applies from {say_date(row.applies_from)}"
    if row.applies_until is not None:
        yield f"applies to   {say_date(row.applies_until)}"
    yield from _own_fields(row)


def _own_fields(row: Row) -> Iterator[str]:
    """Give what only rows of this kind have."""
    match row:
        case PaperRow():
            yield from _paper(row)
        case StepRow():
            yield from _step(row)
        case DocumentRow():
            yield from _document(row)
        case DutyRow():
            yield from _duty(row)
        case OfficeRow():
            yield from _office(row)
        case ServiceRow():
            yield from _service(row)
        case GapRow():
            yield f"no rule      for {row.about} in {row.state}"
            yield f"ask          {row.what}"
        case RecordRow():
            yield from _record(row)


def _record(row: RecordRow) -> Iterator[str]:
    yield f"asked by     {row.state or 'the federal government'}"
    words = ", ".join(ELEMENTS[name].words for name in row.elements)
    yield f"must hold    {words or 'its list of items is not known here; see the note'}"
    limit = "no time limit known here" if row.within is None else say_within(row)
    yield f"written      {limit}"
    start = "the day the restricted-entry interval ends"
    start = start if row.kept_from is KeptFrom.RE_ENTRY_ENDS else "the day of the application"
    kept = f"{row.keep_months} months from {start}" if row.keep_months else "not known here"
    yield f"kept         {kept}"


def say_within(row: RecordRow) -> str:
    """Say by when a record must be written."""
    if row.within == 0:
        return "on the day of the application"
    return f"within {row.within} {row.within_unit} after the application"


def _document(row: DocumentRow) -> Iterator[str]:
    yield f"form         {row.template}"
    yield f"envelope     {row.originals} originals, {row.copies} copies"
    if row.signer:
        yield f"signed by    {row.signer}"
    yield f"notary       {row.notary}"
    if row.may_leave_out:
        yield "may be left  yes; the notes say when"
    if row.instead:
        yield f"may be left  when {row.instead} is sent"
    for note in row.notes:
        yield f"note         {note}"


def _duty(row: DutyRow) -> Iterator[str]:
    side = "before" if row.before else "after"
    yield f"due          {row.count} {row.unit} {side} {row.trigger}; counts: {row.counts_on}"
    if row.opens:
        yield f"not before   {row.opens} {row.unit} {side} {row.trigger}"
    if row.year_day:
        year = "the year that follows" if row.next_year else "the same year"
        yield f"day of year  {row.year_day} of {year}"
    ended = ", on the day it ends" if row.from_end else ""
    yield f"clock starts {', '.join(row.events)}{ended}"
    yield f"kind of work {row.kind}"
    if row.what:
        yield f"what         {row.what}"
    for thing in row.carry:
        yield f"have along   {thing}"


def _office(row: OfficeRow) -> Iterator[str]:
    yield f"mail to      {', '.join(row.mail_to) or 'not known'}"
    yield f"courier to   {', '.join(row.courier_to) or 'not known'}"
    if row.online:
        yield f"online       {row.online}"
    yield f"counts       the day {row.counts_on}"


def _service(row: ServiceRow) -> Iterator[str]:
    yield f"days         {row.days.fast} / {row.days.usual} / {row.days.slow} on {row.calendar}"
    yield f"P.O. box     {'yes' if row.reaches_po_box else 'no'}"
    if row.proof:
        yield f"proof        {row.proof}"


def _paper(row: PaperRow) -> Iterator[str]:
    yield f"why          {row.why}"
    yield f"held by      {row.holder}"
    yield f"office       {row.office}"
    yield f"in force     {say_validity(row.validity)}"
    if row.renewal is not None:
        yield f"renewal      {say_renewal(row.renewal)}"
    for name, fee in (("fee", row.fee), ("renewal fee", row.renewal_fee)):
        if fee is not None:
            yield f"{name:<12} {_fee(fee)}"
    for note in row.notes:
        yield f"note         {note}"
    for caution in row.cautions:
        yield f"caution      {caution}"
    for thing in row.carry:
        yield f"have along   {thing}"


def _step(row: StepRow) -> Iterator[str]:
    yield f"kind         {row.kind}, {row.use}"
    if row.days is not None:
        lead = row.days
        usual = say_lead(lead.usual, row.calendar)
        yield f"takes        usually {usual}; fast {lead.fast}, slow {lead.slow}"
    elif row.mail:
        yield f"takes        the days of the mail service, {row.mail}"
    if row.done_at:
        yield f"where        {row.done_at}, on {row.calendar} days"
    if row.after:
        yield f"after        {', '.join(row.after)}"
    if row.needs:
        yield f"needs        {', '.join(row.needs)}"
    if row.return_path:
        yield f"if sent back {' -> '.join(row.return_path)}"
    if row.comes_back is not None:
        seen = row.comes_back
        source = f"; {seen.cite}" if seen.cite else ""
        yield f"comes back   {seen.times} of {seen.of} packets{source}"
    if row.fresh is not None:
        yield f"fresh        at most {row.fresh.days} days after {row.fresh.after}"


def say_condition(condition: Condition) -> str:
    """Write a condition in one line."""
    if isinstance(condition, AllOf):
        return " and ".join(filter(None, map(say_condition, condition.parts)))
    if isinstance(condition, AnyOf):
        return f"({' or '.join(map(say_condition, condition.parts))})"
    return f"{condition.fact} is {say_test(condition)}"


def say_validity(validity: Validity) -> str:
    """Write how the last day in force is counted."""
    if validity.kind is ValidityKind.MONTHS:
        return f"{validity.months} months from the day of issue"
    if validity.kind is ValidityKind.MONTHS_TO_MONTH_END:
        return f"to the end of the month {validity.months} months after issue"
    if validity.kind is ValidityKind.FIXED_DAY:
        which = f"of the year of issue plus {validity.years}"
        if not validity.after_issue_year:
            which = (
                "next after issue" if validity.years == 1 else f"no. {validity.years} from issue"
            )
        names = "".join(
            f"through {part.month_day} for names from a digit or A to {part.through}, else "
            for part in validity.by_name
        )
        return f"{names}through {validity.month_day} {which}"
    if validity.kind is ValidityKind.FROM_DOCUMENT:
        return "as printed on the paper"
    return "until surrendered, suspended or revoked"


def say_renewal(renewal: Renewal) -> str:
    """Write when a paper may and must be renewed."""
    parts = []
    if renewal.opens_months:
        end = "month it ends in" if renewal.opens_before_month else "last day"
        parts.append(f"opens {renewal.opens_months} months before the {end}")
    for words, mark in (
        ("renew by", renewal.renew_by),
        ("late fee from", renewal.late_fee_from),
        ("examination again from", renewal.reexam_from),
    ):
        if mark is not None:
            parts.append(f"{words} {_mark(mark)}")
    carries = "keeps" if renewal.carries_over else "does not keep"
    parts.append(f"a renewal filed in time {carries} the old one alive")
    return "; ".join(parts)


def _mark(mark: Mark) -> str:
    if mark.month_day:
        return mark.month_day
    if mark.days == 0:
        return "the last day in force"
    side = "before" if mark.days < 0 else "after"
    return f"{say_days(abs(mark.days))} {side} the last day in force"


def _fee(fee: Fee) -> str:
    per = f" per {fee.per}" if fee.per else ""
    return f"${fee.amount_usd:.2f}{per}, {fee.method}, to {fee.payee}"


def render_check(table: RulesTable, templates: int, as_of: date) -> str:
    """Render the result of a check without problems: counts, states, what to review."""
    counts = Counter(str(row.basis.confidence) for row in table.rows)
    kinds = ", ".join(f"{len(getattr(table, name))} {name}" for _, name in _KINDS)
    old = [row for row in table.rows if row.basis.review_due < as_of]
    lines = [
        wrap(f"the rules table is sound: {kinds}, {templates} form templates"),
        wrap(f"states with rows: {', '.join(table.states)}"),
        wrap("confidence: " + ", ".join(f"{name} {count}" for name, count in counts.items())),
        wrap(f"rows due to be looked over again: {len(old)}"),
    ]
    lines.extend(
        wrap(f"review: {row.id}, {say_date(row.basis.reviewed_on)}", indent=2, hang=4)
        for row in old
    )
    return "\n".join(lines) + "\n"
