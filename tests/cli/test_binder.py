"""The commands attach, attachments, detach and binder as a user types them."""

import stat
from collections.abc import Callable, Sequence
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader, PdfWriter
from reportlab.pdfgen.canvas import Canvas

Run = Callable[[Sequence[str]], tuple[int, str, str]]
ON = ("--on", "2027-01-11")
KEPT = "mailby.sqlite.attached"


def make_pdf() -> bytes:
    """One page of print."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.drawString(72, 700, "Invented policy of Sandbur Flats Aerial LLC, page one of one")
    canvas.save()
    return buffer.getvalue()


def lock(data: bytes) -> bytes:
    writer = PdfWriter(clone_from=BytesIO(data))
    writer.encrypt("secret", algorithm="AES-256")
    target = BytesIO()
    writer.write(target)
    return target.getvalue()


def kept_files(isolated: Path) -> list[Path]:
    folder = isolated.parent / KEPT
    return sorted(folder.iterdir()) if folder.exists() else []


def test_copy_is_kept_once_and_for_the_owner_alone(loaded: Run, isolated: Path) -> None:
    """Attached to two papers and twice to one: one file, one entry for each paper."""
    (isolated / "policy.pdf").write_bytes(make_pdf())

    code, out, err = loaded(["attach", "ins.liability", "policy.pdf", "--what", "policy", *ON])
    again = loaded(["attach", "ins.liability", "policy.pdf", *ON])
    other = loaded(["attach", "faa.exemption", "policy.pdf", *ON])
    (kept,) = kept_files(isolated)

    assert (code, err) == (0, "")
    assert out.startswith("attached to ins.liability as copy 1: policy (PDF, 1 page, 1 kB)\n")
    assert kept.read_bytes() == make_pdf()
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
    assert stat.S_IMODE(kept.parent.stat().st_mode) == 0o700
    assert again == (
        0,
        "this file is attached to ins.liability already, as copy 1: policy (PDF, 1 page,\n1 kB)\n",
        "",
    )
    assert other[0] == 0
    assert other[1].startswith("attached to faa.exemption as copy 2: policy.pdf")


BAD: dict[str, tuple[bytes, str]] = {
    "empty.pdf": (b"", "empty.pdf is empty\n  hint: save or download it again\n"),
    "note.txt": (
        b"Dear Sirs",
        (
            "note.txt is no PDF, JPEG, PNG or TIFF file\n"
            "  hint: save or print it as PDF, or take a picture of it\n"
        ),
    ),
    "letter.docx": (
        b"PK\x03\x04" + b"\0" * 99,
        (
            "letter.docx: This is a zip or office file, not a PDF.\n"
            "  hint: Open it and save or print it as PDF.\n"
        ),
    ),
    "broken.pdf": (
        b"%PDF-1.7\nrubbish",
        (
            "broken.pdf: This PDF is damaged and cannot be opened.\n"
            "  hint: Download or save it again, or print it and take a photo of it.\n"
        ),
    ),
    "cut.jpg": (
        b"\xff\xd8\xff\xe0" + b"\0" * 99,
        (
            "cut.jpg is damaged or cut short and cannot be opened\n"
            "  hint: Save or send it as JPEG or PNG and try again.\n"
        ),
    ),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_file_ends_in_a_sentence_and_nothing_is_kept(
    name: str, loaded: Run, isolated: Path
) -> None:
    """Exit code 3, the name of the file first, and what to do."""
    data, sentence = BAD[name]
    (isolated / name).write_bytes(data)

    assert loaded(["attach", "ins.liability", name, *ON]) == (3, "", sentence)
    assert kept_files(isolated) == []
    assert "none; mailby attach PAPER FILE keeps one" in loaded(["attachments"])[1]


def test_names_that_are_not_there(loaded: Run, isolated: Path) -> None:
    """A file, a paper, an aircraft that is not there, and a paper of two aircraft."""
    (isolated / "policy.pdf").write_bytes(make_pdf())
    said = {
        words: loaded(["attach", *words.split(), *ON])
        for words in (
            "ins.liability nope.pdf",
            "ins.liabilty policy.pdf",
            "faa.registration-n policy.pdf",
            "faa.registration-n:tg99 policy.pdf",
        )
    }
    ids = "faa.registration-n:tg46, faa.registration-n:tg18"

    assert said == {
        "ins.liability nope.pdf": (
            4,
            "",
            (
                "'nope.pdf' cannot be read: No such file or directory\n"
                "  hint: check its name, and that you may open it\n"
            ),
        ),
        "ins.liabilty policy.pdf": (
            4,
            "",
            "no paper is called 'ins.liabilty'\n  hint: did you mean `ins.liability`?\n",
        ),
        "faa.registration-n policy.pdf": (
            4,
            "",
            f"faa.registration-n has several holders\n  hint: name one of: {ids}\n",
        ),
        "faa.registration-n:tg99 policy.pdf": (
            4,
            "",
            f"faa.registration-n has no holder 'tg99'\n  hint: name one of: {ids}\n",
        ),
    }


def test_locked_pdf_is_kept_listed_and_said_in_the_binder(loaded: Run, isolated: Path) -> None:
    """A PDF with a password is kept, and the binder says why its pages are not there."""
    (isolated / "locked.pdf").write_bytes(lock(make_pdf()))

    attached = loaded(["attach", "ins.liability", "locked.pdf", *ON])
    listed = loaded(["attachments"])[1]
    written = loaded(["binder", "-o", "binder.pdf", *ON])

    assert attached[0] == 0
    assert "cannot show its pages: it opens only with a password" in attached[1]
    assert "! not shown in a binder: it opens only with a password" in listed
    assert written[0] == 0
    assert "! copy 1, locked.pdf, is listed but not shown: it opens only with a" in written[1]
    text = " ".join(page.extract_text() for page in PdfReader("binder.pdf").pages)
    assert "Copy 1, locked.pdf, is not shown here" in " ".join(text.split())
    assert stat.S_IMODE(Path("binder.pdf").stat().st_mode) == 0o600


def test_detach_keeps_the_file_and_says_so(loaded: Run, isolated: Path) -> None:
    """Detached, not deleted; a second time is refused, and so is a number that is not there."""
    Image.new("RGB", (600, 400), "white").save(isolated / "card.png")
    assert loaded(["attach", "ins.liability", "card.png", *ON])[0] == 0

    code, out, _ = loaded(["detach", "1", "--why", "old card", *ON])
    listed, everything = loaded(["attachments"])[1], loaded(["attachments", "--all"])[1]

    assert code == 0
    assert out.startswith("copy 1 of ins.liability, card.png, is no longer part of a binder\n")
    assert len(kept_files(isolated)) == 1
    assert "1 detached; `mailby attachments --all` lists them too" in listed
    assert "detached Mon 11 Jan 2027: old card" in everything
    assert loaded(["detach", "1", *ON]) == (
        3,
        "",
        "copy 1 was detached on Mon 11 Jan 2027 already\n",
    )
    assert loaded(["detach", "7", *ON]) == (
        4,
        "",
        "no copy has the number 7\n  hint: known: 1\n",
    )


def test_binder_refuses_and_leaves_the_old_file_alone(loaded: Run, isolated: Path) -> None:
    """No such job, days to come, a folder in the way: nothing of the old file changes."""
    old = isolated / "binder.pdf"
    old.write_bytes(b"the old one")
    to = ["binder", "-o", "binder.pdf", *ON]

    job = loaded([*to, "--job", "pasture-xx"])
    late = loaded([*to, "--from", "2027-02-01"])
    folder = loaded(["binder", "-o", str(isolated), *ON])

    assert job[0] == 4
    assert late == (
        3,
        "",
        (
            "the period begins on Mon 1 Feb 2027, after the day of the binder, Mon 11 Jan 2027\n"
            "  hint: a binder shows what has happened; give an earlier --from, or a later --on\n"
        ),
    )
    assert folder == (6, "", f"{isolated} is a folder; a file is to be written there\n")
    assert old.read_bytes() == b"the old one"
    assert sorted(path.name for path in isolated.iterdir()) == ["binder.pdf", "sandbur_flats.yaml"]
