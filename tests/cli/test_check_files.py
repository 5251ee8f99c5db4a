"""Files given to the check one after the other: new prints, the same print, files that are gone."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from tests import kit_answers

Run = Callable[[list[str]], tuple[int, str, str]]
PACKET = kit_answers.PACKET
DAY = ("--on", "2027-01-11")
TITLE = "Commercial applicator license application"
FIELDS = {
    "Applicant's full name": "Odile Ferrant",
    "Home address": "1 Invented Road, Burrell Crossing, NE 00000",
    "Name of the business": "Sandbur Flats Aerial LLC",
    "Address of the business": "P.O. Box 0, Burrell Crossing, NE 00000",
    "Printed name of the signer": "Odile Ferrant",
}


def draw(path: Path, **changed: str) -> None:
    """Draw the application with its typed fields; the pen's lines have none."""
    canvas = Canvas(str(path), invariant=1)
    canvas.drawString(50, 780, "Commercial applicator license application")
    for at, (label, value) in enumerate(FIELDS.items()):
        canvas.drawString(50, 740 - 40 * at, label)
        canvas.acroForm.textfield(
            name=f"Text{at}",
            tooltip=label,
            value=changed.get(f"text{at}", value),
            x=220,
            y=730 - 40 * at,
            width=300,
            height=20,
        )
    canvas.save()


def look(run: Run, name: str, *more: str) -> tuple[int, str]:
    command = ["check", PACKET, "--document", "application", "--file", name, "--confirm"]
    code, out, _ = run([*command, "--no-ask", *DAY, *more])
    return code, " ".join(out.split())


@pytest.fixture
def ready(loaded: Run, isolated: Path) -> Run:
    """A packet that is ready: a filled PDF, and a person's word on what was written by hand."""
    draw(isolated / "form.pdf")
    look(loaded, "form.pdf")
    (isolated / "a.yaml").write_text(kit_answers.WHOLE, encoding="utf-8")
    code, out, _ = loaded(["check", PACKET, "--answers", "a.yaml", "--no-ask", *DAY])
    assert code == 0, out
    return loaded


def test_a_new_print_under_another_name_is_not_ready(ready: Run, isolated: Path) -> None:
    """Nobody has signed it yet; what was said of the signature was of the earlier print."""
    draw(isolated / "fixed.pdf", text1="1 Invented Road, Burrell Crossing NE 00000")

    code, out = look(ready, "fixed.pdf")

    assert code == 3
    assert f"You gave a new print of `{TITLE}`; what you said" in out
    assert "`Signature`: nobody has said how it stands." in out
    assert "READY TO MAIL" not in out
    assert "You gave a new print" not in look(ready, "fixed.pdf")[1]


def test_the_same_bytes_under_another_name_stay_ready(ready: Run, isolated: Path) -> None:
    """A copy of the file is the same print."""
    (isolated / "copy.pdf").write_bytes((isolated / "form.pdf").read_bytes())

    code, out = look(ready, "copy.pdf")

    assert (code, "READY TO MAIL" in out) == (0, True)


def test_a_file_that_is_gone_is_said_in_the_verdict(ready: Run, isolated: Path) -> None:
    """The verdict stands on the copy, and says so; without the copy it says that."""
    (isolated / "form.pdf").unlink()
    said = "form.pdf is no longer where it was; this verdict rests on"

    code, out, _ = ready(["check", PACKET, "--no-ask", *DAY])
    found = ready(["check", PACKET, "--format", "json", *DAY])[1]

    assert (code, "READY TO MAIL" in out) == (0, True)
    assert f"{said} the copy kept on Mon 11 Jan 2027." in " ".join(out.split())
    last = json.loads(found)["findings"][-1]
    assert (last["check"], last["severity"]) == ("file-gone", "note")
    assert last["sentence"] == f"{said} the copy kept on Mon 11 Jan 2027."
    for copy in isolated.parent.rglob("sd.commercial-applicator*"):
        copy.unlink()
    out = " ".join(ready(["check", PACKET, "--no-ask", *DAY])[1].split())
    assert f"{said} what it showed on Mon 11 Jan 2027; no copy is left." in out
