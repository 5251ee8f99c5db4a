"""Which field of a filled PDF is which blank, mended by hand: check --write-ties and --ties.

The PDF is drawn here (common practice, no source).
"""

from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

Run = Callable[[list[str]], tuple[int, str, str]]
PACKET = "sd.commercial-applicator:odile"
FIELDS = (
    ("Applicant's full name", "Odile Ferrant"),
    ("Home address", "1 Invented Road"),
    ("Business name", "Sandbur Flats Aerial LLC"),
    ("Exams passed on", "5 January 2027"),
    ("Printed name", "Odile Ferrant"),
    ("Signature", ""),
    ("Hat size", "7"),
)


def make() -> bytes:
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.setFont("Helvetica", 10)
    canvas.drawString(110, 740, "Commercial applicator license application")
    for at, (label, value) in enumerate(FIELDS):
        y = 700 - 40 * at
        canvas.drawString(60, y, label)
        canvas.acroForm.textfield(
            name=f"T{at}", tooltip=label, x=230, y=y - 5, width=300, height=18, value=value
        )
    canvas.save()
    return buffer.getvalue()


@pytest.fixture
def checked(loaded: Run, isolated: Path) -> Callable[..., tuple[int, str, str]]:
    """A check of the demo's applicator packet with the PDF."""
    (isolated / "a.pdf").write_bytes(make())
    file = ["check", PACKET, "--document", "application", "--file", "a.pdf", "--no-ask"]
    return lambda *more: loaded([*file, "--on", "2027-01-11", *more])


def test_ties_written_mended_and_taken(
    checked: Callable[..., tuple[int, str, str]], isolated: Path
) -> None:
    """The file names every field; what was changed in it counts from then on."""
    written = checked("--write-ties", "ties.yaml")
    text = (isolated / "ties.yaml").read_text(encoding="utf-8")
    last = "  - field: T6\n    beside: Hat size\n    blank: none\n"
    (isolated / "ties.yaml").write_text(text.replace(last, last.replace("none", "birth-date")))
    taken = checked("--ties", "ties.yaml")
    again = checked("--write-ties", "again.yaml")

    assert written == (
        0,
        "wrote ties.yaml\nMend it, then give it with --ties in place of --confirm.\n",
        "",
    )
    assert text.startswith(
        "# Behind `blank` write which blank of the form a field is, or none. The blanks are:\n#   "
    )
    assert text.endswith(last)
    assert (taken[0], again[0]) == (3, 0)
    assert "is this right?" not in taken[2]
    assert last.replace("none", "birth-date") in (isolated / "again.yaml").read_text()


def test_ties_with_faults_are_refused_and_nothing_kept(
    checked: Callable[..., tuple[int, str, str]], isolated: Path
) -> None:
    """Every fault is named with its line; the next check proposes its own ties again."""
    (isolated / "ties.yaml").write_text(
        "form: sd-commercial-application\n"
        "fields:\n"
        "  - {field: T0, blank: pilot-name}\n"
        "  - {field: T0, blank: none}\n"
        "  - {field: Tx, blank: none}\n"
        "  - {field: T1, blank: homeaddress}\n"
    )
    code, out, err = checked("--ties", "ties.yaml")

    assert (code, out) == (3, "")
    lines = err.splitlines()
    assert lines[:2] == [
        "ties.yaml:4:13: T25 the field `T0` stands twice",
        "ties.yaml:5:13: T24 the PDF has no field `Tx`",
    ]
    assert lines[2].startswith("ties.yaml:6:24: T05 `blank` of a field is 'homeaddress'; allowed: ")
    assert lines[3:] == [
        "  hint: did you mean `home-address`?",
        "3 problems; nothing was changed",
    ]
    assert checked()[2].startswith("is this right?")


def test_ties_need_a_pdf_with_fields(
    checked: Callable[..., tuple[int, str, str]], run: Run, isolated: Path
) -> None:
    """Without --file it is a slip of the command; a flat PDF has nothing to tie."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.drawString(72, 700, "Commercial applicator license application")
    canvas.save()
    (isolated / "a.pdf").write_bytes(buffer.getvalue())
    flat = checked("--write-ties", "ties.yaml")

    assert run(["check", PACKET, "--ties", "ties.yaml"])[0] == 2
    assert flat[0] == 3
    assert "only a PDF with fields has ties; show its pages with --scan" in flat[2]
    assert not (isolated / "ties.yaml").exists()
