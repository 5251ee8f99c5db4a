"""PDFs that are broken or built to do harm: each ends in a sentence, in bounded time and memory."""

import random
import sys
import time
import zlib
from collections.abc import Callable, Sequence
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader, PdfWriter
from reportlab.pdfgen.canvas import Canvas

from compliance.base.problems import RefusedError
from compliance.scan import pdf_worker
from compliance.scan.acroform import read_fields
from compliance.scan.pdf_model import FieldsRead, PdfFacts, PdfKind
from compliance.scan.render import open_pdf, render_page
from compliance.scan.sandbox import run_bounded
from tests.kit_inflating import pack_blanks

CATALOG = "<</Type/Catalog/Pages 2 0 R>>"
PAGES = "<</Type/Pages/Kids[3 0 R]/Count 1>>"
PAGE = "<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]{}>>"


def make_raw(objects: Sequence[str | bytes], trailer: str = "") -> bytes:
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
    out += b"trailer\n<</Size %d/Root 1 0 R%b>>\n" % (len(objects) + 1, trailer.encode())
    return bytes(out + b"startxref\n%d\n%%%%EOF\n" % start)


def stream(data: bytes, entries: str = "") -> bytes:
    return b"<</Length %d%b>>\nstream\n%b\nendstream" % (len(data), entries.encode(), data)


def make_form(value: str = "") -> bytes:
    """A page with one text field, from reportlab."""
    target = BytesIO()
    canvas = Canvas(target, pagesize=(612, 792))
    canvas.drawString(72, 704, "Owner's full legal name")
    canvas.acroForm.textfield(name="owner", x=230, y=700, width=200, height=18, value=value)
    canvas.save()
    return target.getvalue()


def make_locked(user: str, algorithm: str) -> bytes:
    writer = PdfWriter(clone_from=BytesIO(make_form("Sandbur Flats Aerial LLC")))
    writer.encrypt(user, "owner-word", algorithm=algorithm)
    target = BytesIO()
    writer.write(target)
    return target.getvalue()


def bomb() -> bytes:
    """A Flate stream that inflates to a gigabyte of blanks, a thousand times its own size."""
    return pack_blanks(1024)


def many_pages(count: int) -> bytes:
    kids = " ".join("3 0 R" for _ in range(count))
    return make_raw([CATALOG, f"<</Type/Pages/Kids[{kids}]/Count {count}>>", PAGE.format("")])


def laughing_forms() -> bytes:
    """Every form draws the next one ten times over, 12 deep: 10**12 drawings."""
    entries = "/Type/XObject/Subtype/Form/BBox[0 0 612 792]/Resources<</XObject<</F {} 0 R>>>>"
    forms: list[str | bytes] = [
        stream(b"/F Do " * 10, entries.format(number + 1)) for number in range(5, 17)
    ]
    content = stream(b"/F Do " * 10)
    page = PAGE.format("/Contents 4 0 R/Resources<</XObject<</F 5 0 R>>>>")
    last = stream(b"0 0 9 9 re f", "/Type/XObject/Subtype/Form/BBox[0 0 612 792]")
    return make_raw([CATALOG, PAGES, page, content, *forms, last])


def with_fields(fields: str, *more: str | bytes) -> bytes:
    """A page whose annotations and form fields are the objects listed; the first is number 4."""
    catalog = f"<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields[{fields}]>>>>"
    return make_raw([catalog, PAGES, PAGE.format(f"/Annots[{fields}]"), *more])


BOX = "/Type/Annot/Subtype/Widget/Rect[100 100 300 120]"
IMAGE = (
    "/Type/XObject/Subtype/Image/Width 60000/Height 60000/BitsPerComponent 8"
    "/ColorSpace/DeviceGray/Filter/FlateDecode"
)

REFUSED: dict[str, tuple[Callable[[], bytes], str]] = {
    "empty": (lambda: b"", "This file is empty."),
    "jpeg": (lambda: b"\xff\xd8\xff\xe0" + b"\0" * 99, "This is a JPEG picture, not a PDF."),
    "png": (lambda: b"\x89PNG\r\n\x1a\n" + b"\0" * 99, "This is a PNG picture, not a PDF."),
    "heic": (lambda: b"\0\0\0\x18ftypheic" + b"\0" * 99, "This is a HEIC picture, not a PDF."),
    "office": (lambda: b"PK\x03\x04" + b"\0" * 99, "This is a zip or office file, not a PDF."),
    "text": (lambda: b"Dear Sirs", "This is not a PDF: it does not begin like one."),
    "header-only": (lambda: b"%PDF-1.7\n", "This PDF is damaged and cannot be opened."),
    "large": (
        lambda: b"%PDF-1.7\n" + bytes(65 * 2**20),
        "This file has 65 MB; at most 64 MB are read.",
    ),
    "thousand-pages": (
        lambda: many_pages(1000),
        "This PDF has 1000 pages; at most 40 are looked at.",
    ),
    "wall-sized": (
        lambda: make_raw([CATALOG, PAGES, "<</Type/Page/Parent 2 0 R/MediaBox[0 0 14400 14400]>>"]),
        "A page of this PDF measures 200 by 200 inches; no form has that size.",
    ),
    "speck": (
        lambda: make_raw([CATALOG, PAGES, "<</Type/Page/Parent 2 0 R/MediaBox[0 0 2 2]>>"]),
        "A page of this PDF measures 0.02778 by 0.02778 inches; no form has that size.",
    ),
    "password": (lambda: make_locked("secret", "AES-256"), "This PDF opens only with a password."),
    "old-password": (
        lambda: make_locked("secret", "RC4-128"),
        "This PDF opens only with a password.",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_open_pdf_refuses_with_a_sentence_and_what_to_do(name: str) -> None:
    make, sentence = REFUSED[name]

    with pytest.raises(RefusedError) as caught:
        open_pdf(make())

    assert caught.value.message == sentence
    assert caught.value.hint != ""


# What they provoke is not promised, only that it ends soon: facts or a refusal with a sentence.
HOSTILE: dict[str, Callable[[], bytes]] = {
    "page-tree-ring": lambda: make_raw([CATALOG, "<</Type/Pages/Kids[2 0 R]/Count 9>>"]),
    "lying-page-count": lambda: make_raw(
        [CATALOG, "<</Type/Pages/Kids[3 0 R]/Count 2000000000>>", PAGE.format("")]
    ),
    "xref-ring": lambda: make_raw([CATALOG, PAGES, PAGE.format("")], "/Prev 9"),
    "parent-ring": lambda: with_fields(
        "4 0 R", f"<<{BOX}/FT/Tx/T(a)/Parent 5 0 R>>", "<</T(b)/Parent 4 0 R/Kids[4 0 R]>>"
    ),
    "kids-ring": lambda: with_fields("4 0 R", "<</T(a)/Kids[5 0 R]>>", "<</T(b)/Kids[4 0 R]>>"),
    "value-ring": lambda: with_fields("4 0 R", f"<<{BOX}/FT/Tx/T(a)/V 5 0 R>>", "[5 0 R 5 0 R]"),
    "reference-ring": lambda: with_fields(
        "4 0 R", f"<<{BOX}/FT/Tx/T(a)/V 5 0 R>>", "6 0 R", "5 0 R"
    ),
    "deep-arrays": lambda: with_fields(
        "4 0 R", f"<<{BOX}/FT/Tx/T(a)/V {'[' * 60_000}{']' * 60_000}>>"
    ),
    "odd-values": lambda: with_fields(
        "4 0 R 5 0 R (x) null 7",
        "<</Subtype/Widget/Rect[(a)/b null 3]/FT 7/T[1]/Ff(x)/V<<>>>>",
        "<</Subtype/Widget/Rect 9/FT/Btn/AS[1]/T(a)/F(b)/TU<<>>>>",
    ),
    "many-fields": lambda: with_fields(" ".join(["4 0 R"] * 90_000), f"<<{BOX}/FT/Tx/T(a)>>"),
    "field-flood": lambda: with_fields(
        " ".join(f"{number} 0 R" for number in range(4, 5504)),
        *[f"<<{BOX}/FT/Tx/T(a{number})>>" for number in range(5500)],
    ),
    "laughing-forms": laughing_forms,
    "bomb-on-the-page": lambda: make_raw(
        [CATALOG, PAGES, PAGE.format("/Contents 4 0 R"), stream(bomb(), "/Filter/FlateDecode")]
    ),
    "bomb-in-a-bomb": lambda: make_raw(
        [
            CATALOG,
            PAGES,
            PAGE.format("/Contents 4 0 R"),
            stream(zlib.compress(bomb(), 9), "/Filter[/FlateDecode/FlateDecode]"),
        ]
    ),
    "bomb-as-value": lambda: with_fields(
        "4 0 R", f"<<{BOX}/FT/Tx/T(a)/V 5 0 R>>", stream(bomb(), "/Filter/FlateDecode")
    ),
    "bomb-as-objects": lambda: make_raw(
        [
            CATALOG,
            PAGES,
            PAGE.format(""),
            stream(bomb(), "/Type/ObjStm/N 100000000/First 900000000/Filter/FlateDecode"),
        ]
    ),
    "huge-picture": lambda: make_raw(
        [
            CATALOG,
            PAGES,
            PAGE.format("/Contents 4 0 R/Resources<</XObject<</I 5 0 R>>>>"),
            stream(b"612 0 0 792 0 0 cm /I Do"),
            stream(bomb(), IMAGE),
        ]
    ),
    "dashes-without-end": lambda: make_raw(
        [
            CATALOG,
            PAGES,
            PAGE.format("/Contents 4 0 R"),
            stream(b"[0.00001 0.00001] 0 d 1 w 0 0 m 600 700 l S\n" * 400),
        ]
    ),
}


# What takes gigabytes; where the system holds the memory limit, these end there.
GREEDY = ("laughing-forms", "bomb-on-the-page", "bomb-in-a-bomb", "bomb-as-value")


TASKS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("facts", {}),
    ("page", {"page": 0, "dpi": 72, "colour": False}),
    ("fields", {}),
    ("anew", {"most": 200}),
)


def attempt(work: Callable[[], object]) -> str:
    try:
        work()
    except RefusedError as error:
        return error.message
    return "done"


@pytest.mark.slow
@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_pdf_ends_in_bounded_time(name: str) -> None:
    data = HOSTILE[name]()
    began = time.monotonic()

    facts, page, fields, anew = (
        attempt(
            lambda task=task, given=given: run_bounded(  # type: ignore[misc]
                task, data, given, seconds=6.0, memory=2**29
            )
        )
        for task, given in TASKS
    )

    assert time.monotonic() - began < 4 * 6.0 + 4.0
    for said in (facts, page, fields, anew):
        assert said == "done" or said.endswith((".", ".)"))
        assert "Traceback" not in said
    if sys.platform == "linux" and name in GREEDY:
        assert "done" not in {facts, page, fields, anew}


@pytest.mark.slow
def test_work_beyond_its_time_is_stopped() -> None:
    data = laughing_forms()
    began = time.monotonic()

    with pytest.raises(RefusedError) as caught:
        run_bounded(
            "page", data, {"page": 0, "dpi": 150, "colour": False}, seconds=1.0, memory=2**33
        )

    assert time.monotonic() - began < 4.0
    assert caught.value.message.startswith("This PDF was not read within 1 s")


@pytest.mark.slow
def test_damaged_bytes_end_in_a_sentence() -> None:
    """Byte flips and cuts with fixed seeds; every one gives a result or a refusal."""
    whole = make_form("Sandbur Flats Aerial LLC")
    said = []
    for seed in range(12):
        chance = random.Random(seed)  # noqa: S311 - repeatable damage, no secret
        broken = bytearray(whole[: chance.randrange(200, len(whole) + 1)])
        for _ in range(seed):
            broken[chance.randrange(8, len(broken))] = chance.randrange(256)
        said.append(attempt(lambda data=bytes(broken): read_fields(data)))  # type: ignore[misc]

    assert all(one == "done" or one.endswith((".", ".)")) for one in said)


def test_read_fields_refuses_a_flood_of_fields() -> None:
    with pytest.raises(RefusedError) as caught:
        read_fields(HOSTILE["field-flood"]())

    assert caught.value.message == "This PDF has more than 5000 fields."


def test_half_a_file_is_called_damaged() -> None:
    data = make_form()

    read = read_fields(data[: len(data) // 3])

    assert (read.kind, read.fields) == (PdfKind.DAMAGED, ())
    assert read.why.startswith("This PDF is damaged and cannot be opened.")


def test_fields_are_read_from_a_file_that_lost_its_table_of_objects() -> None:
    """Cut off before the table, as an interrupted download is; PDFium finds the objects again."""
    whole = make_form("Odile Ferrant")
    cut = whole[: whole.rindex(b"xref\n0 ")]
    trailer = whole[whole.rindex(b"trailer") : whole.rindex(b"startxref")]

    read = read_fields(cut + trailer)

    assert read == read_fields(whole)
    assert [field.value for field in read.fields] == ["Odile Ferrant"]


@pytest.mark.parametrize("algorithm", ["RC4-40", "RC4-128", "AES-128", "AES-256"])
def test_read_fields_with_an_owner_password_only(algorithm: str) -> None:
    """The file opens for everybody; the restriction is on changing it."""
    data = make_locked("", algorithm)
    assert PdfReader(BytesIO(data)).is_encrypted

    facts = open_pdf(data)
    read = read_fields(data)

    assert (facts.kind, facts.is_encrypted) == (PdfKind.FILLABLE, True)
    assert [(field.name, field.value) for field in read.fields] == [
        ("owner", "Sandbur Flats Aerial LLC")
    ]


def test_read_fields_with_a_user_password() -> None:
    read = read_fields(make_locked("secret", "AES-256"))

    assert read == FieldsRead(
        kind=PdfKind.ENCRYPTED,
        why="This PDF opens only with a password. "
        "Open it with the password and save or print it as a PDF without one.",
    )


def test_script_and_attached_file_are_left_alone(tmp_path: Path) -> None:
    """Scripts on opening, on the field and its format; a launch action; an attached file."""
    script = (
        "<</S/JavaScript/JS(this.getField\\('owner'\\).value='changed'; event.value='changed')>>"
    )
    launch = f"<</S/Launch/F({tmp_path / 'touched'})>>"
    names = f"/Names<</JavaScript<</Names[(a){script}]>>/EmbeddedFiles<</Names[(run.bat)6 0 R]>>>>"
    actions = f"/A{launch}/AA<</C{script}/F{script}/PO{script}/PV{launch}>>"
    form = "/AcroForm<</Fields[4 0 R]/CO[4 0 R]/NeedAppearances true>>"
    data = make_raw(
        [
            f"<</Type/Catalog/Pages 2 0 R/OpenAction{script}{names}{form}>>",
            PAGES,
            PAGE.format(f"/Annots[4 0 R]/AA<</O{launch}>>"),
            f"<<{BOX}/FT/Tx/T(owner)/V(Odile Ferrant){actions}>>",
            stream(b"echo > touched", "/Type/EmbeddedFile"),
            "<</Type/Filespec/F(run.bat)/EF<</F 5 0 R>>>>",
        ]
    )

    values = [field.value for field in read_fields(data).fields]
    picture = render_page(data, 0, 72)

    assert values == ["Odile Ferrant"]
    assert picture.shape == (792, 612)
    assert list(tmp_path.iterdir()) == []


def test_header_after_other_bytes_is_accepted() -> None:
    """ISO 32000-1 annex H.3: the header may come within the first 1024 bytes."""
    facts = open_pdf(b"X-Mail: 1\r\n" + make_form())

    assert facts == PdfFacts(kind=PdfKind.FILLABLE, pages=facts.pages, is_encrypted=False)
    assert [(page.width, page.height) for page in facts.pages] == [(612.0, 792.0)]


def test_memory_limit_ends_in_a_sentence() -> None:
    data = make_form()

    with pytest.raises(RefusedError) as caught:
        run_bounded("page", data, {"page": 0, "dpi": 600, "colour": True}, memory=64 * 2**20)

    assert caught.value.hint != ""


def test_module_in_the_folder_one_stands_in_is_not_loaded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A downloaded folder must not lend its modules to the reader."""
    (tmp_path / "pypdfium2.py").write_text("raise SystemExit(9)\n", encoding="utf-8")
    (tmp_path / "compliance").mkdir()
    (tmp_path / "compliance" / "__init__.py").write_text("raise SystemExit(9)\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    assert open_pdf(make_form()).kind is PdfKind.FILLABLE


def test_worker_says_which_package_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the packages for reading PDFs, a sentence and the command that brings them."""
    monkeypatch.setitem(pdf_worker.TASKS, "facts", ("no_such_library.reading", "answer_facts"))

    answer = pdf_worker.answer({"task": "facts", "arguments": {}}, b"%PDF-1.7")

    assert answer == (
        {
            "refused": "Looking at PDFs needs no_such_library, which is not installed.",
            "hint": 'Install it with: pip install "mailby[scan]"',
        },
        b"",
    )
