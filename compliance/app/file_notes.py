"""What a verdict says of the files it rests on: those gone, old prints, what they do not show.

None of it changes the verdict. A file that is gone is no other file, and its copy is kept; an old
print may say the same.
"""

import hashlib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from sqlmodel import Session

from compliance.app.checking import Checking
from compliance.app.choosing import say_stale
from compliance.app.known_forms import find_edition
from compliance.app.seen import SeenFile
from compliance.app.untied import note_untied
from compliance.base.dates import say_date
from compliance.engine.check_model import CheckFinding, CheckResult, Place, Severity
from compliance.facts.answers_parse import find_day

FILE_GONE, FILE_OLD = "file-gone", "file-old"
"""Names under which a verdict speaks of files; they are no cross-checks."""
_LAST = 1000


def note_files(session: Session, result: CheckResult, checking: Checking) -> CheckResult:
    """Say in a verdict which files are gone or show an old print, and what they do not show.

    Shape: notes after all other findings, those of a file together, those of ``untied`` last.
    """
    notes = tuple(note for one in checking.files for note in _note(session, one, checking))
    noted = replace(result, findings=(*result.findings, *notes))
    return note_untied(session, noted, checking)


def _note(session: Session, seen: SeenFile, checking: Checking) -> Iterator[CheckFinding]:
    name = Path(seen.path).name
    if not Path(seen.path).exists():
        sentence = f"{name} is no longer where it was; this verdict rests on {_say_rest(seen)}."
        yield _make(seen, FILE_GONE, sentence)
    form = find_edition(session, seen.form) if seen.form else None
    if form is not None:
        own = dict(checking.own_facts).get(seen.document, "")
        for line in say_stale(form, own, checking.packet):
            yield _make(seen, FILE_OLD, f"{name}: {line}.")


def _make(seen: SeenFile, check: str, sentence: str) -> CheckFinding:
    return CheckFinding(
        severity=Severity.NOTE,
        sentence=sentence,
        todo="",
        where=Place.HOME,
        document=seen.document,
        sheet=seen.sheet,
        citation="none",
        check=check,
        rank=_LAST,
    )


def _say_rest(seen: SeenFile) -> str:
    day = find_day(seen.seen_on)
    on = f" on {say_date(day)}" if day else ""
    return f"the copy kept{on}" if _has_copy(seen) else f"what it showed{on}; no copy is left"


def _has_copy(seen: SeenFile) -> bool:
    try:
        return hashlib.sha256(Path(seen.kept).read_bytes()).hexdigest() == seen.sha256
    except OSError:
        return False
