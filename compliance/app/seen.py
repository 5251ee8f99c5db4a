"""Files a check looked at, as they are kept."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenFile:
    """A file a check looked at: where it was, its hash, which document it showed, the copy kept.

    ``blanks`` are those of the sheet for which the file was the last one that told anything.
    ``form`` is the code of the edition that pictures were lined up with, empty for a filled PDF.
    ``prints`` are the marks of the filled PDFs whose print it is or shows. ``seen_on`` is the day
    it was looked at as an ISO date, empty for files of which nobody wrote it down.
    """

    path: str
    sha256: str
    document: str
    sheet: int
    kind: str
    kept: str
    blanks: tuple[str, ...] = ()
    form: str = ""
    prints: tuple[str, ...] = ()
    seen_on: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenPicture:
    """A picture that was looked at, whether anything rests on it still or not.

    Without ``sha256`` it is none: a later mailing, which the log has no more, had another print of
    the sheet.

    ``prints`` are the marks of the filled PDFs its sheet had then; ``is_earlier`` says that another
    print has taken their place. ``seen_on`` is an ISO date, ``turn`` the mailing it was looked at
    for, counted from 1.
    """

    sha256: str
    document: str
    sheet: int
    seen_on: str
    prints: tuple[str, ...] = ()
    is_earlier: bool = False
    turn: int = 1
