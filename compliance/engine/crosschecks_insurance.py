"""Cross-checks on insurance: the days of the policy and the aircraft on it."""

from collections.abc import Iterator

from compliance.base.dates import say_date
from compliance.engine.check_model import CheckFinding
from compliance.engine.check_sheets import Case, Crosscheck, Sheet
from compliance.engine.check_words import squash
from compliance.facts.basis import Confidence
from compliance.facts.model import Aircraft, Job
from compliance.forms.model import Blank


def find_jobs(case: Case) -> tuple[Job, ...]:
    """Give the jobs the paper is for that are not over."""
    context = case.context
    ids = context.paper.packet.verdict.jobs
    return tuple(
        job for job in context.operation.jobs if job.id in ids and job.last_day >= context.as_of
    )


def is_policy(sheet: Sheet) -> bool:
    """Tell whether a sheet shows the days of an insurance policy."""
    return None not in (
        sheet.template.find_blank("effective-on"),
        sheet.template.find_blank("expires-on"),
    )


def check_insured_days(case: Case) -> Iterator[CheckFinding]:
    """Compare the days of the policy with the first and the last day of the jobs."""
    jobs, envelope = find_jobs(case), case.context.envelope
    if not jobs:
        return
    first = max(min(job.first_day for job in jobs), case.context.as_of)
    last = max(job.last_day for job in jobs)
    for sheet in filter(is_policy, case.sheets):
        begins = sheet.on("effective-on") or envelope.insured_from
        ends = sheet.on("expires-on") or envelope.insured_through
        start, end = (
            sheet.template.find_blank("effective-on"),
            sheet.template.find_blank("expires-on"),
        )
        if start is not None and begins is not None and begins > first:
            sentence = f"the policy begins on {say_date(begins)}, the work on {say_date(first)}."
            yield sheet.stop(start, sentence, "Ask the insurer for cover from the first job on.")
        if end is not None and ends is not None and ends < last:
            sentence = f"the policy ends on {say_date(ends)}, the last job on {say_date(last)}."
            yield sheet.stop(end, sentence, "Ask the insurer to extend it, or renew it first.")


def check_insured_aircraft(case: Case) -> Iterator[CheckFinding]:
    """Look for every aircraft of the jobs on the certificate of insurance."""
    operation = case.context.operation
    ids = dict.fromkeys(ref for job in find_jobs(case) for ref in job.aircraft)
    machines = [one for ref in ids if (one := operation.find_aircraft(ref)) is not None]
    for sheet in filter(is_policy, case.sheets):
        blank = sheet.template.find_blank("aircraft")
        if blank is None:
            continue
        listed = [sheet.says(blank.id), *case.context.envelope.insured_aircraft]
        text = " ".join(filter(None, listed))
        if not text:
            yield from _unlisted(sheet, blank)
            continue
        for machine in machines:
            if not any(squash(name) in squash(text) for name in _names(machine)):
                sentence = f"{machine.model} {machine.registration_serial} is not listed."
                yield sheet.stop(blank, sentence, "Ask the insurer to list every aircraft.")


def _unlisted(sheet: Sheet, blank: Blank) -> Iterator[CheckFinding]:
    if sheet.is_filled(blank.id):
        sentence = f"`{blank.label}`: nobody has said which aircraft are listed."
        yield sheet.open(blank, sentence, "Which N-numbers or serial numbers stand there?")
    elif not blank.must:
        sentence = "no aircraft are listed on it."
        yield sheet.note(blank, sentence, "Ask the insurer whether every aircraft is covered.")


def _names(machine: Aircraft) -> tuple[str, ...]:
    names = (machine.registration_serial, machine.serial, machine.registration_number)
    return tuple(name for name in names if name)


INSURED_DAYS = Crosscheck(
    id="insured-days",
    title="The policy covers the first through the last job",
    citation="Minn. Stat. 18B.33 subd. 6; Iowa Code 206.13; 2 CSR 70-25.065",
    confidence=Confidence.READ,
    example="The policy ends on 31 July, the last job on 30 September.",
    run=check_insured_days,
)
INSURED_AIRCRAFT = Crosscheck(
    id="insured-aircraft",
    title="The policy lists every aircraft of the jobs",
    citation="Minn. R. 8800.3800 subp. 8",
    confidence=Confidence.READ,
    example="The new machine flies from May on, the certificate lists the old one only.",
    run=check_insured_aircraft,
)
