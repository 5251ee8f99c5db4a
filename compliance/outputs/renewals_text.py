"""The years ahead as text: what ends when, and by when its renewal must be on its way."""

from collections.abc import Iterator
from datetime import date

from compliance.base.dates import say_date
from compliance.engine.renewals import PaperEnd, Sending, YearsAhead
from compliance.facts.basis import WORDS_OF_CONFIDENCE
from compliance.facts.model import Operation
from compliance.outputs.paper_words import ASK_LATE
from compliance.outputs.words import CAUTION, say_relative, wrap


def render_renewals_text(operation: Operation, ahead: YearsAhead) -> str:
    """Render the ends of papers by year, each with the days of its renewal kept apart.

    What has ended and is still needed stands first.
    """
    head = (
        f"{operation.legal_name}: what ends and is renewed, {say_date(ahead.as_of)} through "
        f"{say_date(ahead.through)}"
    )
    sections = [wrap(head), "\n".join(_assumed(ahead))]
    over = [end for end in ahead.ends if ahead.is_over(end)]
    ends = [end for end in ahead.ends if not ahead.is_over(end)]
    if over:
        lines = ["ENDED AND STILL NEEDED"]
        lines.extend(line for end in over for line in _end(operation, ahead, end))
        sections.append("\n".join(lines))
    for year in dict.fromkeys(end.ends_on.year for end in ends):
        lines = [str(year)]
        for end in ends:
            if end.ends_on.year == year:
                lines.extend(_end(operation, ahead, end))
        sections.append("\n".join(lines))
    if not ends:
        sections.append("No paper is known to end in that time.")
    sections.append("\n".join(_unknown(operation, ahead)))
    sections.append(wrap(CAUTION))
    return "\n\n".join(section for section in sections if section) + "\n"


def _assumed(ahead: YearsAhead) -> Iterator[str]:
    if ahead.repeated:
        yield wrap(
            f"Reckoned as if {_list_names(ahead.repeated)} came back every year on the same days: "
            f"the jobs of the last twelve months of jobs in your file, and the last one of each "
            f"state and kind of work of the year before; enter the jobs of a year as soon as you "
            f"know them."
        )
    else:
        yield wrap("No job is planned, so no renewal has a day by which it must be on its way.")


def _list_names(names: tuple[str, ...]) -> str:
    """Write names in a row, `and` before the last."""
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _end(operation: Operation, ahead: YearsAhead, end: PaperEnd) -> Iterator[str]:
    who = operation.say_holder(end.holder)
    number = f", no. {end.number}" if end.number else ""
    far = say_relative(end.ends_on, ahead.as_of)
    day = f"{say_date(end.ends_on)}, {far}: "
    head = f"ended {day}" if ahead.is_over(end) else f"{day}last day of "
    yield wrap(f"{head}{end.paper.title}, {who}{number}", indent=2, hang=4)
    reckoned = say_reckoned(end)
    if reckoned:
        yield wrap(reckoned, indent=6, hang=8)
    yield wrap(say_sending(end, ahead.as_of), indent=6, hang=8)
    if ahead.is_over(end):
        yield wrap("nothing that needs it flies until a new one is in hand", indent=6, hang=8)
    for words in list_marks(end, ahead.as_of):
        yield wrap(words, indent=6, hang=8)
    basis = end.paper.basis
    source = f"{basis.citation}; {WORDS_OF_CONFIDENCE[basis.confidence]}"
    yield wrap(f"`mailby rules show {end.paper.id}` ({source})", indent=6, hang=8)


def say_reckoned(end: PaperEnd) -> str:
    """Say on what an end that is not in hand yet rests, or nothing for a paper in hand."""
    if end.term == 0 or end.issued_on is None:
        return ""
    if end.guessed:
        return (
            f"reckoned: from {say_date(end.issued_on)} as long as the one before it; its own last "
            f"day will stand on it"
        )
    return f"reckoned as if issued on {say_date(end.issued_on)}; the real day decides"


def say_sending(end: PaperEnd, as_of: date) -> str:
    """Say by when the renewal must be sent off or done, and for which job; LATE when it is."""
    sending = end.sending
    if sending is None:
        return "no job needs it afterwards"
    need = f"to be in hand by {say_date(sending.in_force_by)} for {sending.job}"
    if sending.missed is not None:
        missed = _say_missed(sending, sending.missed, as_of)
        gone = "without it nothing that needs it flies once the old one has run out"
        return f"LATE: {missed}; it is {need}; {gone}"
    if sending.under_way:
        what = "a new one" if end.ends_on < as_of else "the renewal"
        return f"{what} is on its way, {need}"
    if sending.last is not None and sending.last < as_of:
        word = "mail it" if sending.is_mailed else "file or do it"
        need = need if sending.in_force_by >= as_of else f"as it was {need}"
        last = say_date(sending.last)
        return f"LATE: the last day at usual pace was {last}; {word} now, {need}"
    days = _say_days(sending)
    return f"{'mail it' if sending.is_mailed else 'file or do it'} {days}, {need}"


def _say_missed(sending: Sending, missed: date, as_of: date) -> str:
    """Say that the rule's last day to renew is not met, and what to do."""
    day = say_date(missed)
    if sending.under_way:
        return f"sent off, but not by {day}, the last day to file the renewal; {ASK_LATE}"
    verb = "is" if missed >= as_of else "was"
    said = f"the last day to file the renewal {verb} {day}, and it cannot be met any more"
    return f"{said}; {ASK_LATE}"


def _say_days(sending: Sending) -> str:
    last = say_date(sending.last) if sending.last is not None else "a day not known"
    if sending.safe is None or sending.safe == sending.last:
        return f"by {last}"
    return f"by {say_date(sending.safe)} to be safe, by {last} at the last"


def list_marks(end: PaperEnd, as_of: date) -> tuple[str, ...]:
    """Say the row's own days of a renewal, one a line; one that is past is said to be."""
    past = end.renew_by is not None and end.renew_by < as_of
    wants = "the rule wanted it by" if past else "the rule wants it by"
    marks = (
        ("may be filed from", end.opens_on, " on, not before"),
        (wants, end.renew_by, ", which is past" if past else _say_closed(end, as_of)),
        ("late fee from", end.late_fee_from, " on"),
        ("examination again from", end.reexam_from, " on"),
    )
    said = (f"{word} {say_date(day)}{tail}" for word, day, tail in marks if day is not None)
    return (*filter(None, (_say_gap(end, as_of),)), *_say_asked(end, as_of), *said)


def _say_gap(end: PaperEnd, as_of: date) -> str:
    """Say that a renewal may be sent off after the last day only because nothing needs it yet."""
    sending = end.sending
    if sending is None or end.find_lapse(as_of) is None:
        return ""
    again = f"{sending.job} on {say_date(sending.in_force_by)}"
    return (
        f"a day after {say_date(end.ends_on)} leaves a gap: the paper is needed again for {again}, "
        f"and nothing that needs it flies in between"
    )


def _say_asked(end: PaperEnd, as_of: date) -> Iterator[str]:
    """Say by when duties of the table ask for it, where that is another day than those said."""
    known = {end.renew_by, end.file_by}
    for one in end.asked:
        if one.due_on in known:
            continue
        basis = one.row.basis
        source = f"{basis.citation}; {WORDS_OF_CONFIDENCE[basis.confidence]}"
        source = f"your own document: {one.term.document}" if one.term is not None else source
        asks = "asked" if one.due_on < as_of else "asks"
        title = one.row.title
        yield f"`mailby duties` {asks} for it by {say_date(one.due_on)}: {title} ({source})"


def _say_closed(end: PaperEnd, as_of: date) -> str:
    """Say which day to rely on when the rule's own is one on which nothing is taken in."""
    last = end.file_by
    if last is None or end.renew_by is None or last >= end.renew_by:
        return ""
    said = ", a day on which its office is closed; whether a filing of that day counts is not known"
    if end.sending is not None and end.sending.under_way:
        return said
    if last < as_of:
        return f"{said}, so file at once and ask"
    return f"{said}, so file by {say_date(last)}"


def _unknown(operation: Operation, ahead: YearsAhead) -> Iterator[str]:
    if ahead.unknown:
        yield "Ends on a day that nobody has written down yet (look on the paper when it comes):"
    for paper, holder in ahead.unknown:
        yield wrap(f"{paper.title}, {operation.say_holder(holder)}", indent=2, hang=4)
