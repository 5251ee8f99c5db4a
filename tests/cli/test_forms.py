"""forms list, show, learn, print as a user types them.

The blank form is drawn here (common practice, no source); its codes are read by zxing-cpp.
"""

from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pypdfium2 as pdfium
import pytest
import zxingcpp
from PIL import Image
from pypdf import PdfReader, PdfWriter
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from compliance.forms.model import FormTemplate

Run = Callable[[list[str]], tuple[int, str, str]]
FORM = "sd-commercial-application"
LEARN = ["forms", "learn", "blank.pdf", "--form", FORM, "--on", "2027-01-11"]
LINES = {
    "pilot-name": ("Applicant's full name", 72, 540, 660),
    "home-address": ("Home address", 72, 540, 620),
    "signature": ("Signature", 72, 330, 500),
    "signed-on": ("Date of signing", 350, 540, 500),
}


def make_form(*, corners: bool = False) -> bytes:
    """The application with lines to write on; print fills two corners when asked for."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.drawString(110, 730, "Commercial applicator license application")
    canvas.drawString(110, 712, "Answer all that is asked on this paper in plain words.")
    canvas.setFont("Helvetica", 9)
    for label, left, right, y in LINES.values():
        canvas.line(left, y, right, y)
        canvas.drawString(left, y - 10, label)
    if corners:
        for y in range(20, 360, 12):
            canvas.drawString(22, y, "FORM 1")
            canvas.drawString(560, y, "page 1")
        for x in range(50, 560, 24):
            for y in (30, 50, 70):
                canvas.drawString(x, y, "FORM")
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def make_scan() -> bytes:
    """A picture of paper as a PDF."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792))
    canvas.drawImage(ImageReader(Image.new("L", (1275, 1650), 250)), 0, 0, 612, 792)
    canvas.save()
    return buffer.getvalue()


def make_locked() -> bytes:
    """The form behind a password."""
    writer = PdfWriter(clone_from=PdfReader(BytesIO(make_form())))
    writer.encrypt("a password of their own", algorithm="RC4-128")
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


@pytest.fixture
def blank(isolated: Path) -> Path:
    path = isolated / "blank.pdf"
    path.write_bytes(make_form())
    return path


def words(text: str) -> str:
    return " ".join(text.split())


def read_codes(pdf: bytes) -> list[str]:
    document = pdfium.PdfDocument(pdf)
    picture = document[0].render(scale=3).to_pil().convert("L")
    document.close()
    return sorted(code.text.strip() for code in zxingcpp.read_barcodes(picture))


def test_forms_list_names_all_or_those_with_a_word(
    run: Run, templates: dict[str, FormTemplate]
) -> None:
    code, out, err = run(["forms", "list"])
    some = run(["forms", "list", "bill of sale"])

    assert (code, err) == (0, "")
    assert all(f"{one.id} {one.title}" in words(out) for one in templates.values())
    assert some[1].startswith("  faa-8050-2  Aircraft Bill of Sale\n\n")
    assert run(["forms", "list", "zzz"]) == (0, "no form holds 'zzz'\n", "")


def test_forms_show_names_every_blank(run: Run, templates: dict[str, FormTemplate]) -> None:
    code, out, err = run(["forms", "show", FORM])

    assert (code, err) == (0, "")
    assert all(f"{one.id}: {one.label}" in words(out) for one in templates[FORM].blanks)


@pytest.mark.parametrize(
    "argv",
    [
        ["show", "sd-application-commercial-x"],
        ["learn", "blank.pdf", "--form", "sd-application-commercial-x"],
        ["print", "sd-application-commercial-x", "-o", "out.pdf"],
    ],
)
def test_forms_unknown_form_is_not_found(run: Run, argv: list[str]) -> None:
    code, out, err = run(["forms", *argv])

    assert (code, out) == (4, "")
    assert err.startswith("no form is called 'sd-application-commercial-x'\n  hint: ")


@pytest.mark.usefixtures("blank")
def test_forms_learn_then_print_adds_the_codes(run: Run, isolated: Path) -> None:
    code, out, err = run(LEARN)
    printed = run(["forms", "print", FORM, "-o", "coded.pdf"])
    codes = read_codes((isolated / "coded.pdf").read_bytes())

    assert (code, err) == (0, "")
    assert "  signature-1 (Signature): signature\n" in out
    assert "! not found on the page: business, business-address, categories, exams" in words(out)
    assert "kept with a code in each free corner" in words(out)
    assert printed[0] == 0
    assert "Print it at full size. Ask the agency first" in printed[1]
    assert [code[-2:] for code in codes] == ["00", "01", "02", "03"]
    assert len({code[:-2] for code in codes}) == 1


def test_forms_learn_without_room_is_kept_without_codes(run: Run, blank: Path) -> None:
    blank.write_bytes(make_form(corners=True))
    code, out, err = run(LEARN)
    run(["forms", "print", FORM, "-o", "coded.pdf"])

    assert (code, err) == (0, "")
    assert "WITHOUT codes, for want of room" in words(out)
    assert (blank.parent / "coded.pdf").read_bytes() == blank.read_bytes()


def test_forms_print_never_learned_says_how(run: Run) -> None:
    code, out, err = run(["forms", "print", FORM, "-o", "coded.pdf"])

    assert (code, out) == (4, "")
    assert err == (
        "the blank of Commercial applicator license application was never shown\n"
        f"  hint: mailby forms learn BLANK.pdf --form {FORM}\n"
    )


@pytest.mark.usefixtures("blank")
def test_forms_learn_places_written_mended_and_taken(run: Run, isolated: Path) -> None:
    run([*LEARN, "--write-places", "places.yaml"])
    path = isolated / "places.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("blank: home-address", "blank: business-address"), "utf-8")
    code, out, err = run([*LEARN, "--places", "places.yaml", "--write-places", "again.yaml"])

    assert (code, err) == (0, "")
    assert "  home-address (Home address): business-address\n" in out
    assert (isolated / "again.yaml").read_text("utf-8") == path.read_text("utf-8")


@pytest.mark.usefixtures("blank")
def test_forms_learn_faulty_places_are_named_all_at_once(run: Run, isolated: Path) -> None:
    run([*LEARN, "--write-places", "places.yaml"])
    path = isolated / "places.yaml"
    text = path.read_text(encoding="utf-8")
    bad = text.replace("blank: home-address", "blank: homes").replace("page: 1", "page: one")
    path.write_text(bad, encoding="utf-8")
    code, out, err = run([*LEARN, "--places", "places.yaml"])
    numbers = [number for number, line in enumerate(bad.splitlines(), 1) if "page: one" in line]
    (homes,) = (number for number, line in enumerate(bad.splitlines(), 1) if "homes" in line)
    found = [line.split(":")[1] for line in err.splitlines() if line.startswith("places.yaml:")]

    assert (code, out) == (3, "")
    assert sorted(int(line) for line in found) == sorted([homes, *numbers])
    assert err.endswith("5 problems; nothing was changed\n")


@pytest.mark.usefixtures("blank")
def test_forms_learn_pictures_show_a_page_each(run: Run, isolated: Path) -> None:
    code, out, err = run([*LEARN, "--pictures", "look"])
    (picture,) = (isolated / "look").iterdir()

    assert (code, err) == (0, "")
    assert f"wrote {Path('look') / picture.name}" in out
    assert Image.open(BytesIO(picture.read_bytes())).size == (935, 1210)  # 110 dots an inch


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (make_scan, "page 1 is a picture: its words cannot be read"),
        (make_locked, "This PDF opens only with a password."),
        (bytes, "This file is empty."),
        (lambda: b"x", "This is not a PDF: it does not begin like one."),
    ],
)
def test_forms_learn_unusable_file_is_refused_and_nothing_kept(
    run: Run, blank: Path, make: Callable[[], bytes], message: str
) -> None:
    blank.write_bytes(make())
    code, out, err = run(LEARN)

    assert (code, out) == (3, "")
    assert err.splitlines()[0] == f"blank.pdf: {message}"
    assert 1 <= err.count("\n") <= 2
    assert not (blank.parents[1] / "mailby.sqlite.forms").exists()
    assert run(["forms", "print", FORM, "-o", "coded.pdf"])[0] == 4
