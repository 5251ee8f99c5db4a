"""Files that are broken, huge, odd or built to do harm, given to `check` as a user gives them.

Each ends in one sentence that begins with the name of the file, exit code 3 and nothing kept, or is
read as any other picture. The forms of harm are those of ISO 32000-1 (actions, attached files,
filters, trees of pages and fields) and of the PNG, TIFF and JPEG specifications.
"""

import json
import shutil
import struct
import time
import zlib
from collections.abc import Callable, Sequence
from functools import cache
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
from PIL import Image, ImageDraw, ImageFont
from reportlab.pdfgen.canvas import Canvas

from compliance.app.demo import FACTS
from compliance.cli.main import main
from tests.kit_inflating import pack_blanks

Run = Callable[[list[str]], tuple[int, str, str]]
PACKET = "sd.commercial-applicator:odile"
FORM = "sd-commercial-application"
LINES = {
    "pilot-name": ("Applicant's full name", 72, 540, 660),
    "home-address": ("Home address", 72, 540, 620),
    "business": ("Name of the business", 72, 540, 580),
    "signature": ("Signature", 72, 330, 500),
    "signed-on": ("Date of signing", 350, 540, 500),
}
FILLED = {"pilot-name", "signature"}
CATALOG = "<</Type/Catalog/Pages 2 0 R>>"
PAGES = "<</Type/Pages/Kids[3 0 R]/Count 1>>"
PAGE = "<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]{}>>"
SECONDS = 90.0
"""Far above the limits of the program (20 s for a PDF), so that a busy machine does not matter."""


def make_form() -> bytes:
    """The application with lines to write on."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.drawString(110, 730, "Commercial applicator license application")
    canvas.drawString(110, 712, "Answer all that is asked on this paper in plain words.")
    canvas.setFont("Helvetica", 9)
    for label, left, right, y in LINES.values():
        canvas.line(left, y, right, y)
        canvas.drawString(left, y - 10, label)
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def make_fillable(values: dict[str, str]) -> bytes:
    """The application with fields."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.drawString(110, 730, "Commercial applicator license application")
    for blank, (label, left, right, y) in LINES.items():
        canvas.drawString(left, y - 10, label)
        if blank != "signature":
            where = {"x": left, "y": y, "width": right - left, "height": 18}
            name = f"Text{y}{left}"
            text = values.get(blank, "")
            canvas.acroForm.textfield(name=name, tooltip=label, value=text, **where)
    canvas.save()
    return buffer.getvalue()


@cache
def make_page() -> Image.Image:
    """The page with ink in two of its blanks."""
    document = pdfium.PdfDocument(make_form())
    picture: Image.Image = document[0].render(scale=150 / 72).to_pil().convert("RGB")
    document.close()
    pen = ImageDraw.Draw(picture)
    for blank in FILLED:
        _, left, _, y = LINES[blank]
        where = ((left + 8) * 150 / 72, (792 - y - 3) * 150 / 72)
        font = ImageFont.load_default(27)
        pen.text(where, "Odile Ferrant", fill=(25, 35, 110), font=font, anchor="ls")
    return picture


def save(picture: Image.Image, kind: str, **options: object) -> bytes:
    buffer = BytesIO()
    picture.save(buffer, kind, **options)
    return buffer.getvalue()


def make_raw(objects: Sequence[str | bytes]) -> bytes:
    """A PDF from the text of its objects 1, 2, 3 ...; the first is the catalog."""
    out = bytearray(b"%PDF-1.7\n")
    places = []
    for number, text in enumerate(objects, 1):
        places.append(len(out))
        body = text if isinstance(text, bytes) else text.encode("latin-1")
        out += b"%d 0 obj\n%b\nendobj\n" % (number, body)
    start = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    out += b"".join(b"%010d 00000 n \n" % place for place in places)
    out += b"trailer\n<</Size %d/Root 1 0 R>>\n" % (len(objects) + 1)
    return bytes(out + b"startxref\n%d\n%%%%EOF\n" % start)


def stream(data: bytes, entries: str = "") -> bytes:
    return b"<</Length %d%b>>\nstream\n%b\nendstream" % (len(data), entries.encode(), data)


def inflating() -> bytes:
    """A page whose content inflates to a gigabyte."""
    content = stream(pack_blanks(1024), "/Filter/FlateDecode")
    return make_raw([CATALOG, PAGES, PAGE.format("/Contents 4 0 R"), content])


def drawing_itself() -> bytes:
    """Every form draws the next one ten times over, 12 deep: 10**12 drawings."""
    entries = "/Type/XObject/Subtype/Form/BBox[0 0 612 792]/Resources<</XObject<</F {} 0 R>>>>"
    forms: list[str | bytes] = [
        stream(b"/F Do " * 10, entries.format(number + 1)) for number in range(5, 17)
    ]
    page = PAGE.format("/Contents 4 0 R/Resources<</XObject<</F 5 0 R>>>>")
    last = stream(b"0 0 9 9 re f", "/Type/XObject/Subtype/Form/BBox[0 0 612 792]")
    return make_raw([CATALOG, PAGES, page, stream(b"/F Do " * 10), *forms, last])


def fields_in_a_circle() -> bytes:
    """A field that is its own grandchild, in a tree of pages that holds itself."""
    catalog = "<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields[4 0 R]>>>>"
    box = "/Type/Annot/Subtype/Widget/Rect[100 100 300 120]"
    return make_raw(
        [
            catalog,
            "<</Type/Pages/Kids[2 0 R 3 0 R]/Count 2>>",
            PAGE.format("/Annots[5 0 R]"),
            "<</T(a)/Kids[5 0 R]/Parent 5 0 R>>",
            f"<<{box}/T(b)/FT/Tx/Kids[4 0 R]/Parent 4 0 R>>",
        ]
    )


def many_pages() -> bytes:
    kids = " ".join("3 0 R" for _ in range(1000))
    return make_raw([CATALOG, f"<</Type/Pages/Kids[{kids}]/Count 1000>>", PAGE.format("")])


def declare_size(width: int, height: int) -> bytes:
    """A PNG of a few bytes that says it is huge (PNG specification, IHDR)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = zlib.compress(b"\0" * 100)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory, demo_files: dict[str, str]) -> Path:
    """A folder with a database that was loaded and shown the form's blank, to be copied from."""
    folder = tmp_path_factory.mktemp("shown")
    (folder / "work").mkdir()
    facts, blank = folder / "work" / FACTS, folder / "work" / "blank.pdf"
    facts.write_text(demo_files[FACTS], encoding="utf-8")
    blank.write_bytes(make_form())
    database = ["--db", str(folder / "mailby.sqlite")]
    learn = ["forms", "learn", str(blank), "--form", FORM, "--on", "2027-01-11"]
    assert main(["load", str(facts), *database]) == 0
    assert main([*learn, *database]) == 0
    return folder


@pytest.fixture
def learned(run: Run, isolated: Path, shown: Path) -> Run:
    """The command with the form's blank shown, so that pictures can be looked at."""
    shutil.copytree(shown, isolated.parent, dirs_exist_ok=True)
    return run


def check(run: Run, *more: str) -> tuple[int, str, str]:
    call = ["check", PACKET, "--document", "application", "--on", "2027-01-11"]
    return run([*call, *more])


def read_states(run: Run) -> dict[str, str | None]:
    found = json.loads(check(run, "--format", "json")[1])["blanks"]
    return {one["blank"]: one["status"] for one in found if one["document"] == "application"}


def list_files(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}


PDFS: dict[str, tuple[Callable[[], bytes], str]] = {
    "nothing": (lambda: b"", "This file is empty."),
    "a letter": (lambda: b"Dear office", "This is not a PDF: it does not begin like one."),
    "a JPEG": (lambda: save(make_page(), "JPEG"), "This is a JPEG picture, not a PDF."),
    "a zip file": (lambda: b"PK\x03\x04" + bytes(99), "This is a zip or office file, not a PDF."),
    "cut short": (lambda: make_fillable({})[:300], "This PDF is damaged and cannot be opened."),
    "1,000 pages": (many_pages, "This PDF has 1000 pages; at most 40 are looked at."),
    "wall-sized": (
        lambda: make_raw([CATALOG, PAGES, "<</Type/Page/Parent 2 0 R/MediaBox[0 0 14400 14400]>>"]),
        "A page of this PDF measures 200 by 200 inches; no form has that size.",
    ),
}


@pytest.mark.parametrize("option", ["--file", "--scan"])
@pytest.mark.parametrize("kind", PDFS)
def test_check_unusable_pdf_is_one_sentence_that_names_it(
    learned: Run, isolated: Path, kind: str, option: str
) -> None:
    """Whichever way it is given, nothing is kept of it, and the sentence begins with its name."""
    make, sentence = PDFS[kind]
    (isolated / "page.pdf").write_bytes(make())
    before = list_files(isolated.parent)

    code, out, err = check(learned, option, "page.pdf", "--confirm")

    if option == "--scan" and kind == "a JPEG":
        assert (code, err) == (3, "")
        assert {blank for blank, state in read_states(learned).items() if state == "filled"} == (
            FILLED
        )
        return
    assert (code, out) == (3, "")
    assert err.startswith("page.pdf")
    assert err.count("\n") <= 2
    assert "fault of its own" not in err
    if option == "--file":
        assert err.startswith(f"page.pdf: {sentence}")
    assert set(read_states(learned).values()) == {None}
    assert list_files(isolated.parent) == before


@pytest.mark.parametrize("option", ["--file", "--scan"])
@pytest.mark.parametrize("make", [inflating, drawing_itself, fields_in_a_circle])
def test_check_pdf_built_to_do_harm_ends_in_words_and_in_time(
    learned: Run, isolated: Path, make: Callable[[], bytes], option: str
) -> None:
    """Streams that inflate, drawings that multiply and trees that run in a circle are stopped."""
    (isolated / "page.pdf").write_bytes(make())
    begun = time.monotonic()

    code, _, err = check(learned, option, "page.pdf", "--no-ask")

    assert time.monotonic() - begun < SECONDS
    assert code == 3
    assert err.startswith(("page.pdf", "is this right? "))
    assert "fault of its own" not in err
    assert "filled" not in read_states(learned).values()


def test_check_pdf_with_scripts_and_attached_files_runs_none(learned: Run, isolated: Path) -> None:
    """Scripts on opening and on the field, a program to launch, a file to unpack: left alone."""
    touched = isolated / "touched"
    script = "<</S/JavaScript/JS(this.getField\\('exams'\\).value='changed';)>>"
    launch = f"<</S/Launch/F({touched})>>"
    names = f"/Names<</JavaScript<</Names[(a){script}]>>/EmbeddedFiles<</Names[(run.bat)6 0 R]>>>>"
    box = "/Type/Annot/Subtype/Widget/F 4/Rect[100 100 300 120]"
    field = f"<<{box}/FT/Tx/T(exams)/TU(Exams passed)/V(as read)/A{launch}/AA<</C{script}>>>>"
    # So many fields that the page looks like the form it is given for.
    plain = ("Full name", "Home address", "Date of birth", "Business name", "Telephone", "Date")
    fields = [
        f"<</Type/Annot/Subtype/Widget/Rect[100 {at} 300 {at + 20}]/FT/Tx/T({name})/TU({name})>>"
        for at, name in zip(range(150, 450, 50), plain, strict=True)
    ]
    every = " ".join(f"{number} 0 R" for number in (4, *range(7, 7 + len(fields))))
    form = f"/AcroForm<</Fields[{every}]/CO[4 0 R]/NeedAppearances true>>"
    data = make_raw(
        [
            f"<</Type/Catalog/Pages 2 0 R/OpenAction{script}{names}{form}>>",
            PAGES,
            PAGE.format(f"/Annots[{every}]/AA<</O{launch}>>"),
            field,
            stream(b"echo > touched", "/Type/EmbeddedFile"),
            "<</Type/Filespec/F(run.bat)/EF<</F 5 0 R>>>>",
            *fields,
        ]
    )
    (isolated / "page.pdf").write_bytes(data)
    before = list_files(isolated)

    code, _, err = check(learned, "--file", "page.pdf", "--confirm")
    answers = check(learned, "--write-answers", "answers.yaml", "--no-ask")

    assert (code, err, answers[0]) == (3, "", 3)
    assert "as read" in (isolated / "answers.yaml").read_text(encoding="utf-8")
    assert list_files(isolated) == before | {"answers.yaml"}


def upside_down() -> bytes:
    """The page turned over, with the note of the camera how it was held (Exif 2.32, tag 0x0112)."""
    exif = Image.Exif()
    exif[0x0112] = 3
    return save(make_page().rotate(180), "JPEG", exif=exif.tobytes(), quality=90)


def with_alpha() -> bytes:
    """Ink on nothing: the paper is see-through."""
    page = make_page().convert("RGBA")
    page.putalpha(Image.fromarray(255 - np.asarray(make_page().convert("L"))))
    return save(page, "PNG")


def sixteen_bits() -> bytes:
    grey = np.asarray(make_page().convert("L"), dtype=np.uint16) * 257
    return save(Image.fromarray(grey), "PNG")


ODD: dict[str, tuple[Callable[[], bytes], str]] = {
    "inks for a press": (lambda: save(make_page().convert("CMYK"), "JPEG", quality=90), "jpg"),
    "16 bits": (sixteen_bits, "png"),
    "see-through paper": (with_alpha, "png"),
    "held upside down": (upside_down, "jpg"),
    "a PNG with the ending of a JPEG": (lambda: save(make_page(), "PNG"), "jpg"),
    "a TIFF with the ending of a PDF": (lambda: save(make_page(), "TIFF"), "pdf"),
    "no ending": (lambda: save(make_page(), "JPEG", quality=90), ""),
}


@pytest.mark.parametrize("kind", ODD)
def test_check_odd_picture_is_read_as_any_other(learned: Run, isolated: Path, kind: str) -> None:
    """Colours, depths and endings that files come with change nothing of what is seen."""
    make, ending = ODD[kind]
    name = f"page.{ending}".rstrip(".")
    (isolated / name).write_bytes(make())

    code, _, err = check(learned, "--scan", name)
    states = read_states(learned)

    assert (code, err) == (3, "")
    assert {blank: states[blank] for blank in LINES} == {
        blank: "filled" if blank in FILLED else "empty" for blank in LINES
    }


BAD_PICTURES: dict[str, tuple[Callable[[], bytes], str]] = {
    "cut short": (
        lambda: save(make_page(), "JPEG")[:4000],
        "page.jpg is damaged or cut short and cannot be opened. ",
    ),
    "200 megapixels and a bit": (
        lambda: declare_size(20_000, 10_001),
        "page.jpg is 20000 by 10001 dots, too large to look at. ",
    ),
    "3,600 megapixels": (
        lambda: declare_size(60_000, 60_000),
        "page.jpg is 60000 by 60000 dots, too large to look at. ",
    ),
    "a stamp's size": (
        lambda: save(Image.new("RGB", (40, 40)), "PNG"),
        "page.jpg is only 40 by 40 dots, too small to read. ",
    ),
    "nothing": (lambda: b"", "page.jpg is empty. Take or save the picture again."),
    "only black": (
        lambda: save(Image.new("RGB", (1000, 1300)), "JPEG"),
        "page.jpg: No corner codes were found and the page could not be lined up by its print. ",
    ),
}


@pytest.mark.parametrize("kind", BAD_PICTURES)
def test_check_unusable_picture_is_one_sentence_that_names_it(
    learned: Run, isolated: Path, kind: str
) -> None:
    """Nothing is kept of it, and the time it takes is bounded."""
    make, sentence = BAD_PICTURES[kind]
    (isolated / "page.jpg").write_bytes(make())
    before = list_files(isolated.parent)
    begun = time.monotonic()

    code, out, err = check(learned, "--scan", "page.jpg")

    assert time.monotonic() - begun < SECONDS
    assert (code, out) == (3, "")
    assert err.startswith(sentence)
    assert err.count("\n") == 1
    assert set(read_states(learned).values()) == {None}
    assert list_files(isolated.parent) == before


@pytest.mark.parametrize(
    "name",
    [
        "page;touch touched;.jpg",
        "$(touch touched).jpg",
        "a b'c\"d`touch touched`.jpg",
        "--page.jpg",
        "page." + "j" * 200,
        "ürün \U0001f69c.jpg",
    ],
)
def test_check_name_of_a_file_reaches_no_shell_and_no_other_folder(
    learned: Run, isolated: Path, name: str
) -> None:
    """The copy kept has a name of our own, of plain letters, beside the database."""
    (isolated / name).write_bytes(save(make_page(), "JPEG", quality=90))
    before = list_files(isolated.parent)

    code, out, err = check(learned, f"--scan={name}", "--pictures", "look")
    made = list_files(isolated.parent) - before
    copies = {one for one in made if one.startswith("mailby.sqlite.sent/")}

    assert (code, err) == (3, "")
    assert "Home address: missing; Nothing seen here." in out
    assert len(copies) == 1
    (copy,) = copies
    assert (
        copy.removeprefix("mailby.sqlite.sent/")
        .replace(".", "_")
        .replace("-", "_")
        .replace("_", "")
        .isalnum()
    )
    assert all(one.startswith("work/look/") for one in made - copies)


def test_check_place_named_like_a_path_stays_in_the_folder(loaded: Run, isolated: Path) -> None:
    """A places file is written by hand, so the name of a place may be anything."""
    (isolated / "blank.pdf").write_bytes(make_form())
    place = "{id: %s, kind: text, blank: %s, page: 1, left: 72, bottom: %d, right: 540, top: %d}"
    rows = [
        place % ('"../../outside"', "home-address", 620, 640),
        place % ('"/outside/below"', "business", 580, 600),
        place % ('".. .. outside"', "exams", 540, 560),
    ]
    text = f"form: {FORM}\nplaces:\n" + "".join(f"  - {row}\n" for row in rows)
    (isolated / "places.yaml").write_text(text, encoding="utf-8")
    learn = ["forms", "learn", "blank.pdf", "--form", FORM, "--places", "places.yaml"]
    assert loaded([*learn, "--on", "2027-01-11"])[0] == 0
    (isolated / "page.jpg").write_bytes(save(make_page(), "JPEG", quality=90))

    code, _, err = check(loaded, "--scan", "page.jpg", "--pictures", "look")

    assert (code, err) == (3, "")
    assert {path.name for path in (isolated / "look").iterdir()} == {
        "sd.commercial-applicator_odile_page1.png",
        "sd.commercial-applicator_odile_page1_-outside.png",
        "sd.commercial-applicator_odile_page1_-outside-below.png",
        "sd.commercial-applicator_odile_page1_-outside_2.png",
    }


def test_check_fillable_pdf_is_drawn_with_the_state_of_each_field(
    loaded: Run, isolated: Path
) -> None:
    """The page marked up and a crop of each empty field are written; what is not on it is said."""
    data = make_fillable({"pilot-name": "Odile Ferrant", "signed-on": "2027-01-11"})
    (isolated / "page.pdf").write_bytes(data)

    code, out, err = check(loaded, "--file", "page.pdf", "--confirm", "--pictures", "look")
    made = {path.name for path in (isolated / "look").iterdir()}
    stem = "sd.commercial-applicator_odile_page1"
    page = np.asarray(Image.open(isolated / "look" / f"{stem}.png").convert("L"))
    document = pdfium.PdfDocument(data)
    bare = document[0].render(scale=120 / 72).to_numpy().min(axis=2)
    document.close()

    assert (code, err) == (3, "")
    assert made == {f"{stem}.png", f"{stem}_home-address.png", f"{stem}_business.png"}
    assert " ".join(out.split()).count("wrote look/") == 3
    assert "not marked on the pages, no field was found: " in out
    assert "Signature" in out.partition("no field was found: ")[2].splitlines()[0]
    assert page.shape == bare.shape
    # A heavy black frame stands round the empty field, a thin one round the filled one.
    for blank, heavy in (("home-address", True), ("pilot-name", False)):
        _, left, right, y = LINES[blank]
        row = round((792 - y) * 120 / 72)
        columns = slice(round((left + 60) * 120 / 72), round((right - 60) * 120 / 72))
        below = page[row + 1 : row + 4, columns] < 60
        assert (below.mean() > 0.5) == heavy
