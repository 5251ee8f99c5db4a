"""check as a user types it, and the mailing that it holds back."""

import json
import sqlite3
import stat
from collections.abc import Callable
from contextlib import closing
from io import BytesIO, StringIO
from pathlib import Path

import jsonschema
import pypdfium2 as pdfium
import pytest
from PIL import Image, ImageDraw, ImageFont
from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from compliance.engine.crosschecks import CROSSCHECKS
from tests.kit_answers import PACKET, WHOLE

Run = Callable[[list[str]], tuple[int, str, str]]
SCHEMA = Path(__file__).parents[1] / "data" / "check.schema.json"


@pytest.fixture
def whole(isolated: Path) -> str:
    return write(isolated, "whole.yaml", WHOLE)


@pytest.fixture
def unsigned(isolated: Path) -> str:
    text = WHOLE.replace("signature: filled", "signature: empty", 1)
    return write(isolated, "unsigned.yaml", text)


def write(folder: Path, name: str, text: str) -> str:
    (folder / name).write_text(text, encoding="utf-8")
    return name


def check(run: Run, *more: str, day: str = "2027-01-11") -> tuple[int, str, str]:
    return run(["check", PACKET, *more, "--on", day])


def log(run: Run, kind: str, *more: str, day: str = "2027-01-11") -> tuple[int, str, str]:
    return run(["log", kind, PACKET, *more, "--on", day, "--today", day])


def words(text: str) -> str:
    return " ".join(text.split())


def test_check_ready_exits_with_0(loaded: Run, whole: str) -> None:
    code, out, err = check(loaded, "--answers", whole)

    assert (code, err) == (0, "")
    assert "READY TO MAIL: nothing was found that would bring it back." in out


def test_check_not_ready_exits_with_3_and_names_it_first(loaded: Run, unsigned: str) -> None:
    code, out, err = check(loaded, "--answers", unsigned)

    assert (code, err) == (3, "")
    assert "NOT READY: 1 thing that would bring it back (marked !)." in words(out)
    assert "! Commercial applicator license application: `Signature` is empty." in words(out)


def test_check_json_holds_to_its_schema(loaded: Run, whole: str, unsigned: str) -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    ready = []
    for path in (unsigned, whole):
        code, out, err = check(loaded, "--answers", path, "--format", "json")
        document = json.loads(out)
        jsonschema.validate(document, schema)
        ready.append((code, document["ready"], err))

    assert ready == [(3, False, ""), (0, True, "")]


def test_check_keeps_answers_and_goes_on(loaded: Run, isolated: Path, unsigned: str) -> None:
    check(loaded, "--answers", unsigned)
    signed = f"packet: {PACKET}\ndocuments:\n  application:\n    blanks: {{signature: filled}}\n"
    path = write(isolated, "signed.yaml", signed)

    assert check(loaded, "--no-ask")[0] == 3
    assert check(loaded, "--answers", path)[0] == 0
    assert check(loaded, "--no-ask")[0] == 0


def test_check_names_an_answer_that_fits_no_more_once_and_asks_again(
    loaded: Run, isolated: Path, whole: str
) -> None:
    assert check(loaded, "--answers", whole)[0] == 0
    with closing(sqlite3.connect(isolated.parent / "mailby.sqlite")) as connection, connection:
        connection.execute(
            "UPDATE packet_check SET answers = replace(answers, 'signature:', 'thumb-print:')"
        )
    said = (
        f"{PACKET}: an answer kept is dropped, because the form has no such blank any more: "
        "`thumb-print` on Commercial applicator license application, said: filled"
    )

    as_json = check(loaded, "--format", "json")
    code, out, err = check(loaded, "--no-ask")

    assert (as_json[0], said in words(as_json[2])) == (3, True)
    assert json.loads(as_json[1])["ready"] is False
    assert (code, err, said in words(out)) == (3, "", False)
    assert "nobody has said how it stands" in words(out)


def test_check_write_answers_can_be_taken_again(
    loaded: Run, isolated: Path, unsigned: str, tmp_path: Path
) -> None:
    first = check(loaded, "--answers", unsigned, "--write-answers", "out.yaml")
    other = ["--db", str(tmp_path / "other.sqlite")]
    loaded(["load", "sandbur_flats.yaml", *other])
    again = check(loaded, "--answers", "out.yaml", "--write-answers", "again.yaml", *other)

    assert again == first
    assert (isolated / "again.yaml").read_bytes() == (isolated / "out.yaml").read_bytes()


def test_check_answers_with_faults_keep_nothing(loaded: Run, isolated: Path, unsigned: str) -> None:
    bad = write(isolated, "bad.yaml", WHOLE.replace("exams:", "exam:").replace("memo:", "mem:"))
    check(loaded, "--answers", unsigned)
    before = check(loaded, "--no-ask")
    code, out, err = check(loaded, "--answers", bad)

    assert (code, out) == (3, "")
    assert err.startswith("bad.yaml:12:7: A13 ")
    assert "bad.yaml:24:7: A13 " in err
    assert err.endswith("2 problems; nothing was changed\n")
    assert check(loaded, "--no-ask") == before


def test_check_asks_until_stopped_and_loses_nothing(
    loaded: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", StringIO("\n?\nno\nlater\nyes\nstop\n"))
    code, out, err = check(loaded)
    document = json.loads(check(loaded, "--format", "json")[1])
    known = {one["blank"]: one["status"] for one in document["blanks"] if one["status"]}

    assert (code, err) == (3, "")
    assert "18 questions. Type stop to go on another day, ? for help." in out
    assert "unclear; later passes over it, stop ends." in words(out)
    assert "'no' does not say enough; type yes, or what stands there instead" in words(out)
    assert known == {"home-address": "filled"}


def test_check_end_of_input_is_a_stop(loaded: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", StringIO("original\nyes\nyes\n"))
    code, out, _ = check(loaded)
    document = json.loads(check(loaded, "--format", "json")[1])

    assert code == 3
    assert f"\n{PACKET}: South Dakota" in out  # the verdict begins on a line of its own
    assert [one["blank"] for one in document["blanks"] if one["status"]] == [
        "pilot-name",
        "home-address",
    ]


def test_check_json_and_no_ask_never_wait_for_a_reply(
    loaded: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", StringIO("original\n"))

    for more in (["--no-ask"], ["--format", "json"]):
        assert "Type stop" not in check(loaded, *more)[1]


def test_check_list_names_every_cross_check(run: Run) -> None:
    code, out, err = run(["check", "--list"])

    assert (code, err) == (0, "")
    for one in CROSSCHECKS:
        assert f"{one.rank}. {one.title} ({one.id})" in words(out)


@pytest.mark.usefixtures("whole")
@pytest.mark.parametrize(
    ("line", "code", "message"),
    [
        ("check", 2, "name a packet; mailby plan shows them"),
        ("check faa.nothing", 4, "no paper is called 'faa.nothing'"),
        ("check ins.liability", 3, "ins.liability is in hand; there is no packet to check"),
        (f"check {PACKET} --answers none.yaml", 4, "there is no file none.yaml"),
        (f"check {PACKET} --document application --scan none.jpg", 4, "'none.jpg' cannot be read"),
        (f"check {PACKET} --file a.pdf --scan a.jpg", 2, "give either --file or --scan"),
        (f"check {PACKET} --scan whole.yaml", 4, f"{PACKET} has 2 documents"),
    ],
)
def test_check_mistyped_says_what_to_do(loaded: Run, line: str, code: int, message: str) -> None:
    argv = [*line.split(), "--on", "2027-01-11"]
    found, out, err = loaded(argv)

    assert (found, out) == (code, "")
    assert message in words(err)


def test_log_mailed_is_refused_until_the_papers_are_ready(
    loaded: Run, whole: str, unsigned: str
) -> None:
    unchecked = log(loaded, "mailed")
    check(loaded, "--answers", unsigned)
    unready = log(loaded, "mailed")
    check(loaded, "--answers", whole)
    ready = log(loaded, "mailed")
    hint = f'  hint: mailby check {PACKET}; or log it with --anyway "why"\n'

    assert unchecked == (3, "", f"the papers of {PACKET} have not been checked\n{hint}")
    assert unready[:2] == (3, "")
    assert "`Signature` is empty." in unready[2]
    assert (ready[0], ready[2]) == (0, "")
    assert ready[1].startswith("logged as entry 1: Mon 11 Jan 2027: mailed ")


@pytest.mark.parametrize("why", ["", "  ", "\t"])
def test_log_mailed_anyway_without_a_reason_is_refused(loaded: Run, why: str) -> None:
    code, out, err = log(loaded, "mailed", "--anyway", why)

    assert (code, out) == (3, "")
    assert "have not been checked" in err


def test_log_mailed_anyway_stays_in_log_plan_and_checklist(
    loaded: Run, isolated: Path, tmp_path: Path
) -> None:
    why = "the clerk looked it over at the counter"
    code, _, err = log(loaded, "mailed", "--anyway", why)
    loaded(["export", "--log", "-o", "log.yaml"])
    other = ["--db", str(tmp_path / "other.sqlite")]
    loaded(["load", "sandbur_flats.yaml", *other])
    taken = loaded(["log", "import", "log.yaml", "--today", "2027-01-11", *other])
    pages = []
    for more in ([], other):
        loaded(["packet", PACKET, "-o", "out", "--on", "2027-01-11", *more])
        name = PACKET.replace(":", "_")
        pages.append((isolated / "out" / f"{name}_checklist.md").read_text(encoding="utf-8"))

    assert (code, err) == (0, "")
    assert taken == (0, "1 entry added to the log\n", "")
    assert why in words(loaded(["show", *other])[1])
    assert f"It was sent without a ready check: {why}" in words(pages[0])
    assert pages[0] == pages[1]


def test_log_mailed_after_a_return_needs_a_check_of_its_own(
    loaded: Run, whole: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    check(loaded, "--answers", whole)
    log(loaded, "mailed")
    log(loaded, "returned", "--reason", "memo line smudged", day="2027-01-25")
    again = log(loaded, "mailed", day="2027-01-26")
    monkeypatch.setattr("sys.stdin", StringIO("yes\nstop\n"))
    code, out, _ = check(loaded, day="2027-01-26")

    assert again[0] == 3
    assert "have not been checked" in again[2]
    assert code == 3
    first = next(line for line in out.splitlines() if line.startswith("- "))
    assert first == "- It came back on Mon 25 Jan 2027: memo line smudged. Is that mended?"


def test_packet_without_a_check_step_is_not_held_back(loaded: Run) -> None:
    """The training is taken online: nothing is mailed, so its log never asks for a check."""
    code, _, err = loaded(
        [
            "log",
            "granted",
            "faa.pilot-recency:wren",
            "--on",
            "2027-01-11",
            "--today",
            "2027-01-11",
        ]
    )

    assert (code, err) == (0, "")


def test_packet_papers_show_the_state_of_every_blank(
    loaded: Run, isolated: Path, unsigned: str
) -> None:
    name = PACKET.replace(":", "_")
    loaded(["packet", PACKET, "-o", "out", "--on", "2027-01-11"])
    before = read_pdf(isolated / "out" / f"{name}_cover-sheet.pdf")
    check(loaded, "--answers", unsigned)
    loaded(["packet", PACKET, "-o", "out", "--on", "2027-01-11"])
    after = read_pdf(isolated / "out" / f"{name}_cover-sheet.pdf")
    lines = (isolated / "out" / f"{name}_checklist.md").read_text(encoding="utf-8").splitlines()

    def line_of(label: str) -> str:
        return next(line for line in lines if label in line)

    assert "not yet" in before
    assert "Mon 11 Jan 2027: NOT ready; 16 of 16 blanks looked at" in after
    assert "[x]" in line_of("Home address")
    assert "filled" in line_of("Home address")
    assert "struck" in line_of("Date of birth")
    signature = next(line for line in lines if line.lstrip("- []x").startswith("Signature"))
    assert "[ ]" in signature
    assert "empty" in signature


def read_pdf(path: Path) -> str:
    pages = PdfReader(path).pages
    return words(" ".join(page.extract_text() for page in pages))


LINES = {
    "pilot-name": ("Applicant's full name", 72, 540, 660),
    "home-address": ("Home address", 72, 540, 620),
    "business": ("Name of the business", 72, 540, 580),
    "signature": ("Signature", 72, 330, 500),
    "signed-on": ("Date of signing", 350, 540, 500),
}


def make_form(values: dict[str, str] | None = None) -> bytes:
    """The application with lines to write on, or with fields filled in."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.drawString(110, 730, "Commercial applicator license application")
    canvas.drawString(110, 712, "Answer all that is asked on this paper in plain words.")
    canvas.setFont("Helvetica", 9)
    for blank, (label, left, right, y) in LINES.items():
        canvas.line(left, y, right, y)
        canvas.drawString(left, y - 10, label)
        if values is not None:
            canvas.acroForm.textfield(
                name=f"Text{y}{left}",
                tooltip=label,
                value=values.get(blank, ""),
                x=left,
                y=y,
                width=right - left,
                height=18,
            )
    canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def make_photo(pdf: bytes, *blanks: str) -> bytes:
    """The printed page with a few words in ink in each of the blanks, as a JPEG."""
    document = pdfium.PdfDocument(pdf)
    picture = document[0].render(scale=150 / 72).to_pil().convert("RGB")
    document.close()
    pen = ImageDraw.Draw(picture)
    for blank in blanks:
        _, left, _, y = LINES[blank]
        where = ((left + 8) * 150 / 72, (792 - y - 3) * 150 / 72)
        font = ImageFont.load_default(27)
        pen.text(where, "Odile Ferrant", fill=(25, 35, 110), font=font, anchor="ls")
    buffer = BytesIO()
    picture.save(buffer, "JPEG", quality=85)
    return buffer.getvalue()


def test_check_file_proposes_then_takes_the_confirmed_tie(loaded: Run, isolated: Path) -> None:
    (isolated / "a.pdf").write_bytes(make_form({"pilot-name": "Odile Ferrant"}))
    file = ["--document", "application", "--file", "a.pdf"]
    proposed = check(loaded, *file)
    nothing = json.loads(check(loaded, "--format", "json")[1])
    confirmed = check(loaded, *file, "--confirm", "--format", "json")
    again = check(loaded, *file, "--format", "json")
    found = {one["blank"]: one["status"] for one in json.loads(confirmed[1])["blanks"]}

    assert proposed[:2] == (3, "")
    assert proposed[2].startswith(
        "is this right? Each blank, and where in the PDF it is read:\n"
        "  - Applicant's full name, as on the photo ID: the field at `"
    )
    assert "\n  - no field in the PDF for: " in proposed[2]
    assert proposed[2].endswith(
        "hint: if it is, run it again with --confirm, and it is kept for this edition of the"
        " form; if not, with --write-ties FILE, mend that file, and give it with --ties FILE\n"
    )
    assert {one["status"] for one in nothing["blanks"]} == {None}
    assert found["pilot-name"] == "filled"
    assert found["home-address"] == "empty"
    assert again == confirmed


def test_check_scan_from_the_blank_to_the_marked_page(loaded: Run, isolated: Path) -> None:
    (isolated / "blank.pdf").write_bytes(make_form())
    form = "sd-commercial-application"
    loaded(["forms", "learn", "blank.pdf", "--form", form, "--on", "2027-01-11"])
    loaded(["forms", "print", form, "-o", "coded.pdf"])
    photo = make_photo((isolated / "coded.pdf").read_bytes(), "pilot-name", "signature")
    (isolated / "page.jpg").write_bytes(photo)
    scan = ["--document", "application", "--scan", "page.jpg", "--pictures", "look"]
    code, out, err = check(loaded, *scan)
    shown = {one["blank"]: one["status"] for one in read_state(loaded)}
    kept = list((isolated.parent / "mailby.sqlite.sent").iterdir())

    assert (code, err) == (3, "")
    assert {blank: shown[blank] for blank in LINES} == {
        "pilot-name": "filled",
        "home-address": "empty",
        "business": "empty",
        "signature": "filled",
        "signed-on": "empty",
    }
    assert "Home address: missing; Nothing seen here." in out
    assert len(list((isolated / "look").glob("*.png"))) == 4
    marked = next((isolated / "look").glob("*_page1.png")).read_bytes()
    assert Image.open(BytesIO(marked)).format == "PNG"
    assert [path.read_bytes() for path in kept] == [photo]
    assert stat.S_IMODE(kept[0].stat().st_mode) == 0o600


def read_state(run: Run) -> list[dict[str, str]]:
    blanks: list[dict[str, str]] = json.loads(check(run, "--format", "json")[1])["blanks"]
    return [one for one in blanks if one["document"] == "application"]


def test_check_scan_beside_json_leaves_the_result_whole(loaded: Run, isolated: Path) -> None:
    (isolated / "blank.pdf").write_bytes(make_form())
    learn = ["forms", "learn", "blank.pdf", "--form", "sd-commercial-application"]
    loaded([*learn, "--on", "2027-01-11"])
    (isolated / "page.jpg").write_bytes(make_photo(make_form(), "signature"))
    code, out, err = check(
        loaded, "--document", "application", "--scan", "page.jpg", "--format", "json"
    )

    assert code == 3
    assert json.loads(out)["packet"] == PACKET
    assert "Home address: missing; " in err


def test_check_a_word_against_the_last_picture_is_said_until_it_is_mailed(
    loaded: Run, isolated: Path, whole: str
) -> None:
    """An older file of answers makes it ready; the verdict and the log say what the picture did."""
    (isolated / "blank.pdf").write_bytes(make_form())
    learn = ["forms", "learn", "blank.pdf", "--form", "sd-commercial-application"]
    loaded([*learn, "--on", "2027-01-11"])
    bare = tuple(blank for blank in LINES if blank != "signature")
    (isolated / "page.jpg").write_bytes(make_photo(make_form(), *bare))
    check(loaded, "--answers", whole)
    shown = check(loaded, "--document", "application", "--scan", "page.jpg")
    told = check(loaded, "--answers", whole)
    later = check(loaded, "--no-ask")
    mailed = log(loaded, "mailed")
    said = (
        "Commercial applicator license application: `Signature` is filled, you say; the picture"
        " showed nothing there."
    )

    assert (shown[0], told[0], later[0], mailed[0]) == (3, 0, 0, 0)
    assert said in " ".join(told[1].split())
    assert said in " ".join(later[1].split())
    look = f"- {said} Look at the paper once more, or take a new picture of it."
    assert look in " ".join(mailed[1].split())


def test_check_scan_that_has_changed_since_holds_the_mailing_back(
    loaded: Run, isolated: Path, whole: str
) -> None:
    (isolated / "blank.pdf").write_bytes(make_form())
    learn = ["forms", "learn", "blank.pdf", "--form", "sd-commercial-application"]
    loaded([*learn, "--on", "2027-01-11"])
    (isolated / "page.jpg").write_bytes(make_photo(make_form(), *LINES))
    check(loaded, "--answers", whole)
    scanned = check(loaded, "--document", "application", "--scan", "page.jpg")
    (isolated / "page.jpg").write_bytes(b"another paper")
    refused = log(loaded, "mailed")

    assert scanned[0] == 0
    assert refused[0] == 3
    assert "page.jpg has changed since it was checked" in refused[2]


@pytest.mark.parametrize("data", [b"", b"Dear office", b"\0\0\0\x18ftypheic" + b"\0" * 64])
def test_check_scan_bad_file_keeps_nothing(loaded: Run, isolated: Path, data: bytes) -> None:
    (isolated / "blank.pdf").write_bytes(make_form())
    learn = ["forms", "learn", "blank.pdf", "--form", "sd-commercial-application"]
    loaded([*learn, "--on", "2027-01-11"])
    (isolated / "page.jpg").write_bytes(data)
    code, out, err = check(loaded, "--document", "application", "--scan", "page.jpg")

    assert (code, out) == (3, "")
    assert err.startswith("page.jpg is ")
    assert err.count("\n") == 1
    assert not (isolated.parent / "mailby.sqlite.sent").exists()
    assert {one["status"] for one in read_state(loaded)} == {None}


@pytest.mark.parametrize(
    ("table", "column", "what"),
    [
        ("packet_check", "files", "the files of a check"),
        ("learned_form", "content", "the places of a learned form"),
    ],
)
def test_check_damaged_row_is_told_as_damage_of_the_database(
    loaded: Run, isolated: Path, table: str, column: str, what: str
) -> None:
    """Half a row after a crash or a hand in the database: exit code 5 with a remedy, no fault."""
    (isolated / "blank.pdf").write_bytes(make_form())
    learn = ["forms", "learn", "blank.pdf", "--form", "sd-commercial-application"]
    loaded([*learn, "--on", "2027-01-11"])
    (isolated / "page.jpg").write_bytes(make_photo(make_form(), "signature"))
    scan = ["--document", "application", "--scan", "page.jpg"]
    assert check(loaded, *scan)[0] == 3
    for value in ("", "{", "[{}]", "null", '{"places": 1}'):
        with closing(sqlite3.connect(isolated.parent / "mailby.sqlite")) as connection, connection:
            connection.execute(f"UPDATE {table} SET {column} = ?", (value,))  # noqa: S608 - own names

        code, out, err = check(loaded, *scan)

        assert (code, out) == (5, "")
        assert err.startswith(f"the database holds {what} with a value that mailby does not write:")
        assert err.endswith(
            "\n  hint: restore a copy, or load the YAML file into a new one with --db\n"
        )
