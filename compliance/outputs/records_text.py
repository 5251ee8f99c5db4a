"""Records of applications as text: what was kept, the list, one record whole, what may go."""

from collections.abc import Iterator, Sequence
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.record_page import RecordPage
from compliance.facts.record_clean import Cleaned
from compliance.facts.record_elements import ELEMENTS, ElementKind
from compliance.facts.records import Application
from compliance.facts.states import STATES
from compliance.outputs.records_words import (
    LABEL_CAUTION,
    RECORD_CAUTION,
    say_against_label,
    say_cleaned,
    say_elements,
    say_flights,
    say_kept_page,
    say_lacking,
    say_missed,
    say_missed_briefly,
    say_products,
    say_source,
    say_twins,
    say_when,
    say_why,
    say_write_by,
    say_written,
)
from compliance.outputs.words import CHEMICAL_CAUTION, wrap

_MOST_NAMED = 10
_NAMED_EACH = 2


def render_written(
    page: RecordPage,
    filled: Sequence[str],
    remarks: Sequence[str],
    logged: int | None = None,
    still: Sequence[str] = (),
) -> str:
    """Render a record that was kept: what was filled in, what is missing, late and unusual.

    *logged* is the number of the flight that was logged with it; *still* says what is to be done.
    """
    record = page.record
    again = f", version {record.version}" if record.version > 1 else ""
    head = f"record {record.number}{again} is kept: {say_when(record)}, {record.job}, "
    lines = [wrap(f"{head}{record.state}; {say_products(record)}", hang=2)]
    if filled:
        known = ", ".join(f"{ELEMENTS[name].words} {record.find(name)}" for name in filled)
        lines.append(wrap(f"filled in from what is known, check it: {known}", indent=2, hang=4))
    lines.append(wrap(_say_flights(record, logged), indent=2, hang=4))
    lines.extend(wrap(f"! {remark}; kept all the same", indent=2, hang=4) for remark in remarks)
    lines.extend(wrap(f"! {one}", indent=2, hang=4) for one in still)
    lines.extend(_judge(page))
    if page.lacking:
        lines.append(
            wrap(
                f"Next: mailby record {record.job} --correct {record.number} "
                '--because "what was missing" --from FILE',
                hang=6,
            )
        )
    lines.extend(_cautions())
    return "\n".join(lines) + "\n"


def _say_flights(record: Application, logged: int | None) -> str:
    """Say which flights it belongs to, or how to log its flight."""
    if logged is not None:
        return f"its flight is logged as flight {logged}; mailby duties says what begins with it"
    if record.flights:
        return f"it belongs to {say_flights(record)} in the log"
    times = f'--from "{record.on} {record.start}" --to {record.end}'
    who = f"--aircraft {record.aircraft} --pilot {record.pilot}"
    if not record.start or not record.end:
        return f"no flight of it is in the log; mailby log flew {record.job} logs one"
    return f"no flight of it is in the log; mailby log flew {record.job} {times} {who}"


def _judge(page: RecordPage) -> Iterator[str]:
    if page.lacking:
        yield "\nSTILL MISSING"
        for one in page.lacking:
            yield wrap(say_lacking(one, keys=True), indent=2, hang=4)
    elif page.rules:
        yield "\nEVERYTHING THAT IS ASKED FOR HERE IS THERE"
    yield from _judge_time(page)
    unknown = list(_say_unknown(page))
    if unknown:
        yield "\nNOT KNOWN HERE"
        yield from (wrap(line, indent=2, hang=4) for line in unknown)
    yield "\nKEEP IT"
    yield wrap(say_kept_page(page), indent=2, hang=4)


def _judge_time(page: RecordPage) -> Iterator[str]:
    """Say which times to write it were not kept, by the work as it stands or as first written."""
    for head, lines in (
        ("LATE", map(say_missed, page.late)),
        ("WRITTEN BEFORE ITS WORK", map(say_write_by, page.early)),
        ("NO TIME IN THE RULE", map(say_write_by, page.careless)),
    ):
        said = tuple(lines)
        if said:
            yield f"\n{head}"
            yield from (wrap(line, indent=2, hang=4) for line in said)


def _say_unknown(page: RecordPage) -> Iterator[str]:
    """Say what the state may ask for that no text was found about."""
    state = page.record.state
    own = [row for row in page.rules if row.state == state]
    if not page.versions[0].written_known:
        day = say_date(page.versions[0].written_on)
        yield (
            f"the day it was first written: it was read in on {day} from a table that does not "
            "say; whether it was written in time is not known"
        )
    for gap in page.gaps:
        yield f"{STATES[state]}: ask the agency {gap.what} ({gap.basis.citation})"
    if own and not any(row.elements for row in own):
        sources = "; ".join(say_source(row) for row in own)
        yield f"{STATES[state]}'s own list of items was not read; ask the agency: {sources}"
    if not own and not page.gaps:
        yield f"no record rule of {STATES[state]} for such work; ask the agency what it wants"


def _cautions() -> list[str]:
    return ["", wrap(CHEMICAL_CAUTION), wrap(LABEL_CAUTION), wrap(RECORD_CAUTION)]


def render_list(name: str, pages: Sequence[RecordPage], as_of: date) -> str:
    """Render the records wanted, one paragraph each.

    What many records lack alike is named in the first of them.
    """
    lines = [wrap(f"{name}: {_count(len(pages))} of applications, as of {say_date(as_of)}"), ""]
    told: dict[tuple[str, ...], int] = {}
    for page in pages:
        record = page.record
        again = f" (version {record.version})" if record.version > 1 else ""
        area = f", {record.find('area')} acres" if record.find("area") else ""
        text = f"{record.number}. {say_when(record)}, {record.job}, {record.state}, "
        lines.append(wrap(f"{text}{say_products(record)}{area}{again}", indent=2, hang=6))
        lines.extend(wrap(f"! {line}", indent=6, hang=8) for line in say_against_label(record))
        if page.missing:
            first = told.setdefault(page.missing, record.number)
            words = say_elements(page.missing, keys=True)
            if first != record.number and len(page.missing) > _NAMED_EACH:
                words = f"the same {len(page.missing)} things as in record {first}"
            lines.append(wrap(f"! missing: {words}", indent=6, hang=8))
        lines.extend(wrap(f"! {line}", indent=6, hang=8) for line in say_missed_briefly(page))
    if not pages:
        lines.append("  none; mailby record JOB writes one")
    lines.extend(_cautions())
    return "\n".join(lines) + "\n"


def render_record(page: RecordPage, as_of: date, remarks: Sequence[str] = ()) -> str:
    """Render one record whole, with its earlier versions, and whether its time is over on a day.

    *remarks* are what is unusual about its day.
    """
    record = page.record
    lines = [
        wrap(f"record {record.number}, version {record.version}: {say_when(record)}"),
        *(wrap(line, indent=2, hang=40) for line in _list_values(record)),
        *(wrap(f"! {one}", indent=2, hang=4) for one in (*say_against_label(record), *remarks)),
        *_judge(page),
    ]
    if page.kept.through is not None:
        over = page.kept.through < as_of
        ended = "its time is over" if page.kept.state_known else "that time is over; ask first"
        text = ended if over else f"still to be kept on {say_date(as_of)}"
        lines.append(wrap(text, indent=2))
    if len(page.versions) > 1:
        lines.append("\nVERSIONS")
    before = page.versions[0]
    for old in page.versions if len(page.versions) > 1 else ():
        lines.append(
            wrap(f"{old.version}, {say_written(old)}{say_why(before, old)}", indent=2, hang=4)
        )
        before = old
        if old is not record:
            lines.extend(wrap(line, indent=4, hang=40) for line in _list_changes(old, record))
    lines.extend(_cautions())
    return "\n".join(lines) + "\n"


def _list_values(record: Application) -> Iterator[str]:
    hire = "for hire" if record.for_hire else "own land"
    product = ", restricted-use product" if record.restricted_use else ""
    yield f"{'job':<36}  {record.job}, {record.state}, {hire}, {record.material}{product}"
    yield f"{'aircraft and pilot':<36}  {record.aircraft}, {record.pilot}"
    if record.flights:
        yield f"{'in the log':<36}  {say_flights(record)}"
    for name, element in ELEMENTS.items():
        if element.of_product or element.kind is ElementKind.EITHER or not record.find(name):
            continue
        yield f"{element.words:<36}  {record.find(name)}"
    for number, used in enumerate(record.products, 1):
        restricted = " (restricted-use)" if used.restricted_use else ""
        yield f"{f'product {number}':<36}  {used.name}{restricted}"
        for name, text in used.said:
            yield f"{ELEMENTS[name].words:<36}  {text}"


def _list_changes(old: Application, new: Application) -> Iterator[str]:
    """Say what an earlier version said otherwise."""
    for words, was, now in (
        ("job and state", f"{old.job}, {old.state}", f"{new.job}, {new.state}"),
        ("aircraft and pilot", f"{old.aircraft}, {old.pilot}", f"{new.aircraft}, {new.pilot}"),
    ):
        if was != now:
            yield f"{words}: {was}"
    for name, element in ELEMENTS.items():
        if element.kind is not ElementKind.EITHER and old.find(name) != new.find(name):
            yield f"{element.words}: {old.find(name) or 'not said'}"


def render_due(pages: Sequence[RecordPage], on: date) -> str:
    """Render the records whose time is over, apart those whose state's own rule nobody read."""
    known = [page for page in pages if page.kept.state_known]
    unsure = [page for page in pages if not page.kept.state_known]
    lines = [wrap(f"Records whose time is over, as of {say_date(on)}"), ""]
    lines.extend(_list_due(known) or ["  none"])
    if known:
        lines.extend(["", wrap(f"Next: mailby records dispose {_list_first(known)}")])
        lines.append("Nothing has to be thrown away; a customer, insurer or court may want it yet.")
    if unsure:
        lines.extend(["", wrap("NOT TO GO YET: the state's own rule was not read")])
        lines.append(wrap("What is known here is over, but the state may ask for longer:"))
        lines.extend(_list_due(unsure))
        lines.append("")
        lines.append(
            wrap(
                "Ask the state's pesticide office first. When it says that they may go: "
                f'mailby records dispose {_list_first(unsure)} --anyway "who said what"'
            )
        )
    lines.extend(_cautions())
    return "\n".join(lines) + "\n"


def _list_due(pages: Sequence[RecordPage]) -> list[str]:
    lines = []
    for page in pages:
        record = page.record
        head = f"{record.number}. {say_when(record)}, {record.job}, {record.state}: kept "
        lines.append(wrap(f"{head}{say_kept_page(page)}", indent=2, hang=6))
    return lines


def _list_first(pages: Sequence[RecordPage]) -> str:
    return " ".join(str(page.record.number) for page in pages[:_MOST_NAMED])


def render_exported(
    name: str,
    pages: Sequence[RecordPage],
    unknown: str,
    cleaned: Sequence[Cleaned] = (),
    twins: Sequence[tuple[int, int]] = (),
) -> str:
    """Render what was written to a file, and what of it is not complete or not as it is kept.

    *twins* are records left out, each with the one that tells of the same application.
    """
    lines = [wrap(f"{name} holds {_count(len(pages))}")]
    incomplete = [page for page in pages if page.missing]
    if incomplete:
        numbers = _list_numbers([page.record.number for page in incomplete])
        lines.append(wrap(f"! something is missing in {numbers}", indent=2, hang=4))
    if unknown:
        lines.append(wrap(f"! {unknown}", indent=2, hang=4))
    mend = "a table with both could not be read in; if it is other work, correct its start first"
    lines.extend(wrap(f"! {text}", indent=2, hang=4) for text in say_twins(twins, mend))
    lines.extend(wrap(f"! {text}", indent=2, hang=4) for text in say_cleaned(cleaned))
    lines.extend(_cautions())
    return "\n".join(lines) + "\n"


def render_imported(
    first: int,
    last: int,
    incomplete: Sequence[int],
    late: Sequence[int],
    undated: Sequence[int] = (),
) -> str:
    """Render what was read in."""
    if last < first:
        return "the table holds no record; nothing was changed\n"
    lines = [wrap(f"{_count(last - first + 1)} kept, numbers {first} to {last}")]
    if incomplete:
        text = f"! something is missing in {_list_numbers(incomplete)}; mailby records show NUMBER"
        lines.append(wrap(text, indent=2, hang=4))
    if late:
        text = f"! written after the time a rule gives: {_list_numbers(late)}"
        lines.append(wrap(text, indent=2, hang=4))
    if undated:
        text = f"! day of writing not known: {_list_numbers(undated)}; whether they were written "
        text += "in time is not known either. A column `first_written` in the table says the day"
        lines.append(wrap(text, indent=2, hang=4))
    lines.extend(_cautions())
    return "\n".join(lines) + "\n"


def render_book_written(
    names: Sequence[str], versions: int, cleaned: Sequence[Cleaned] = ()
) -> str:
    """Render which files hold every version of all records, and which texts they changed."""
    count = "1 version" if versions == 1 else f"{versions:,} versions"
    text = f"wrote {', '.join(names)}: every record with all its versions ({count}), and what was "
    lines = [wrap(f"{text}thrown away. On another computer: mailby records import {names[0]}")]
    lines.extend(wrap(f"! {text}", indent=2, hang=4) for text in say_cleaned(cleaned))
    if len(names) > 1:
        lines.append(wrap("Read in each of the files; none holds everything."))
    lines.append(
        wrap(
            "Load the facts and read in the log first, so that records find their flights: mailby "
            "export -o FILE, mailby export --log -o FILE."
        )
    )
    lines.extend(["", wrap(RECORD_CAUTION)])
    return "\n".join(lines) + "\n"


def render_beside(*, has_records: bool, has_copies: bool) -> str:
    """Say what of an operation its facts file does not hold, and how to get it; empty if nothing.

    Shape: one line.
    """
    if not has_records and not has_copies:
        return ""
    records = "records: mailby export --records FILE.yaml" if has_records else ""
    copies = "attached copies: mailby attachments names their folder" if has_copies else ""
    return f"not in it: {'; '.join(filter(None, (records, copies)))}"


def render_table_note() -> str:
    """Say what a table of records leaves out."""
    return wrap(
        "The table holds the version that stands of each record. Earlier versions, the days they "
        "were written, the flights and what was thrown away are only in a .yaml file."
    )


def render_book_imported(
    versions: int, known: int, gone: int, twins: Sequence[tuple[int, int]] = ()
) -> str:
    """Render what was read in from a file of records, and which of them were left out."""
    kept = "1 version of a record" if versions == 1 else f"{versions:,} versions of records"
    here = "1 was here already" if known == 1 else f"{known:,} were here already"
    lines = [wrap(f"{kept} kept; {here}")]
    if gone:
        left = "1 record that was" if gone == 1 else f"{gone:,} records that were"
        lines.append(wrap(f"{left} thrown away {'is' if gone == 1 else 'are'} remembered"))
    mend = "if it is other work, give it its own start where it was written and write the file anew"
    lines.extend(wrap(f"! {text}", indent=2, hang=4) for text in say_twins(twins, mend))
    lines.extend(["", wrap(RECORD_CAUTION)])
    return "\n".join(lines) + "\n"


def render_disposed(gone: Sequence[tuple[int, date]]) -> str:
    """Render what was thrown away."""
    lines = [wrap(f"record {number} of {say_date(day)} is thrown away") for number, day in gone]
    lines.append("Copies on paper and in exported files are yours to find.")
    lines.extend(["", wrap(RECORD_CAUTION)])
    return "\n".join(lines) + "\n"


def _count(number: int) -> str:
    return "1 record" if number == 1 else f"{number:,} records"


def _list_numbers(numbers: Sequence[int]) -> str:
    """Name some numbers, at most ten of them."""
    named = ", ".join(map(str, numbers[:_MOST_NAMED]))
    more = len(numbers) - _MOST_NAMED
    word = "record" if len(numbers) == 1 else "records"
    return f"{word} {named}" + (f" and {more:,} more" if more > 0 else "")
