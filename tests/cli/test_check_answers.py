"""What an answers file and a changed or half-tied PDF may say: an empty block is never ready."""

from collections.abc import Callable
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from tests import kit_answers

Run = Callable[[list[str]], tuple[int, str, str]]
SIMPLE = kit_answers.PACKET
PACKET = "faa.registration-n:tg46"
DAY = ("--on", "2027-01-11")
WHOLE = (
    kit_answers.WHOLE.replace("categories: filled", "categories: yes")
    .replace("signature: filled", "signature: yes", 1)
    .replace("signature: filled", "signature: done", 1)
    .replace('  fee_amount_usd: "35.00"\n', "")
)


def take(run: Run, folder: Path, text: str, packet: str = SIMPLE) -> tuple[int, str, str]:
    (folder / "a.yaml").write_text(text, encoding="utf-8")
    code, out, err = run(["check", packet, "--answers", "a.yaml", "--no-ask", *DAY])
    return code, " ".join(out.split()), err


def draw(
    path: Path,
    *,
    ticked: tuple[str, ...],
    model: str = "TG-46",
    day: str = "2027-01-11",
    more: dict[str, str] | None = None,
) -> None:
    """Draw a form with a few fields of the application and a box for each kind of owner."""
    canvas = Canvas(str(path))
    texts = {
        "AIRCRAFT MANUFACTURER": "Tallgrass Rotorworks",
        "MODEL": model,
        "SERIAL NUMBER": "INVENTED-TG46-00017",
        "OWNER NAME": "Sandbur Flats Aerial LLC",
        "MAILING ADDRESS": "P.O. Box 0, Burrell Crossing, NE 00000",
        "PHYSICAL ADDRESS": "1 Invented Road, Burrell Crossing, NE 00000",
        "TYPED OR PRINTED NAME": "Odile Ferrant",
        "TITLE": "Member",
        "DATE": day,
        **(more or {}),
    }
    for at, (label, value) in enumerate(texts.items()):
        canvas.drawString(50, 760 - 40 * at, label)
        canvas.acroForm.textfield(
            name=label.replace(" ", ""), value=value, x=200, y=750 - 40 * at, width=200, height=20
        )
    canvas.drawString(50, 360, "TYPE OF REGISTRATION")
    for at, label in enumerate(("Individual", "Partnership", "Corporation", "LLC")):
        canvas.acroForm.checkbox(
            name=f"kind{label}", x=50 + 120 * at, y=330, size=14, checked=label in ticked
        )
        canvas.drawString(70 + 120 * at, 332, label)
    canvas.save()


def look(run: Run) -> tuple[int, str, str]:
    more = ["--document", "application", "--file", "form.pdf", "--confirm", "--no-ask", *DAY]
    code, out, err = run(["check", PACKET, *more])
    return code, " ".join(out.split()), err


def test_answers_in_plain_words_are_ready(loaded: Run, isolated: Path) -> None:
    """Yes and done are as good as filled."""
    code, out, _ = take(loaded, isolated, WHOLE)

    assert (code, "READY TO MAIL: nothing was found" in out) == (0, True), out


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("no", "`Signature` is empty."),
        ('"No"', "`Signature` is empty."),
        ("not yet", "`Signature` is empty."),
        ("missing", "`Signature` is empty."),
        ("none", "`Signature` is empty."),
        ("empty", "`Signature` is empty."),
        ("N/A", "`Signature` is struck, but it must be filled in."),
        ('"?"', "`Signature` is not clear."),
        ("don't know", "`Signature` is not clear."),
        ("skip", "`Signature`: nobody has said how it stands."),
        ("", "`Signature`: nobody has said how it stands."),
        ("{status: empty}", "`Signature` is empty."),
    ],
)
def test_answers_of_no_signature_are_not_ready(
    loaded: Run, isolated: Path, word: str, said: str
) -> None:
    """A word that says that nothing stands there is never taken for a signature."""
    code, out, _ = take(
        loaded, isolated, WHOLE.replace("signature: yes", f"signature: {word}".rstrip())
    )

    assert code == 3
    assert f"Commercial applicator license application: {said}" in out


def test_answers_unclear_word_for_a_signature_is_refused(loaded: Run, isolated: Path) -> None:
    """A typed name is no signature; nothing is kept."""
    code, out, err = take(
        loaded, isolated, WHOLE.replace("signature: yes", "signature: Odile Ferrant")
    )

    assert (code, out) == (3, "")
    assert "a.yaml:13:18: A17 `signature` of `application` is 'Odile Ferrant'" in err


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("printed-name: Odile Ferrant", "printed-name: filled", "nobody has said what it"),
        ("exams: general", 'exams: "N/A" #', "is struck, but it must be filled in."),
        (
            "printed-name: Odile Ferrant",
            "printed-name: {status: filled, says: filled}",
            "no answer",
        ),
        ("thirty-five dollars", "fifty dollars", "the figures say $35.00."),
    ],
)
def test_answers_words_in_place_of_a_text_are_not_ready(
    loaded: Run, isolated: Path, old: str, new: str, said: str
) -> None:
    """What only speaks of a blank, or contradicts another, is asked or refused."""
    assert old in WHOLE

    code, out, _ = take(loaded, isolated, WHOLE.replace(old, new))

    assert code == 3
    assert said in out


def test_write_answers_is_a_start_for_every_blank(loaded: Run, isolated: Path) -> None:
    """On a new packet every open blank stands there empty, and reads back as open."""
    assert loaded(["check", PACKET, "--no-ask", "--write-answers", "new.yaml", *DAY])[0] == 3
    text = (isolated / "new.yaml").read_text(encoding="utf-8")

    assert "      notary-stamp:  # Notary's stamp, readable and not over print (the notary" in text
    assert "    enclosed:  # AC Form 8050-2" in text
    assert "  owners_chain:  # Who owned the aircraft" in text
    asked = [line.split(":")[0].strip() for line in text.partition("envelope:\n")[2].splitlines()]
    assert asked == [
        *("notary_name", "notary_state", "id_expires", "owners_chain", "fee_method"),
        *("address_on_envelope", "no_corrections", "signature_kind"),
    ]
    address = text.partition("  address_on_envelope:  ")[2].partition("\n")[0]
    assert address.startswith("# Is the envelope addressed to `")
    assert address.endswith("`? (write out the address that stands on it)")
    before = loaded(["check", PACKET, "--no-ask", *DAY])
    code, _, err = take(loaded, isolated, text, PACKET)
    assert (code, err) == (3, "")
    assert loaded(["check", PACKET, "--no-ask", *DAY]) == before


@pytest.mark.parametrize(
    ("ticked", "said"),
    [
        (("Individual",), "the box `individual` is ticked, the facts say `llc`."),
        (("Individual", "LLC"), "2 boxes are ticked (`individual`, `llc`), only one may be."),
        ((), "`Kind of owner, one box` is empty."),
    ],
)
def test_file_with_the_wrong_boxes_is_not_ready(
    loaded: Run, isolated: Path, ticked: tuple[str, ...], said: str
) -> None:
    """Of the kinds of owner exactly one is ticked, the one of the facts."""
    draw(isolated / "form.pdf", ticked=ticked)

    code, out, err = look(loaded)

    assert (code, err) == (3, "")
    assert said in out


@pytest.mark.parametrize(("number", "said"), [("402-555-0199", True), ("(402) 555-0143", False)])
def test_file_with_another_telephone_number_is_asked(
    loaded: Run, isolated: Path, number: str, said: bool
) -> None:
    """What a PDF says of the telephone is held against the facts, by its digits."""
    draw(isolated / "form.pdf", ticked=("LLC",), more={"TELEPHONE NUMBER": number})

    out = look(loaded)[1]

    sentence = f"`Telephone number` says `{number}`, the facts say `402-555-0143`."
    assert (sentence in out) is said
    assert "`Telephone number`: nobody has said" not in out


def test_file_leaves_answers_about_blanks_without_a_field(loaded: Run, isolated: Path) -> None:
    """A PDF without a field for the signature takes no answer about it back."""
    draw(isolated / "form.pdf", ticked=("LLC",))
    answers = f"packet: {PACKET}\ndocuments:\n  application:\n    blanks: {{signature: yes}}\n"
    take(loaded, isolated, answers, PACKET)

    _, out, _ = look(loaded)

    assert "no field in this PDF, so your answer stays: Signer's signature" in out
    assert "`Signer's signature`" not in out


def test_check_of_a_changed_file_takes_back_what_it_showed(loaded: Run, isolated: Path) -> None:
    """The change is named once with the command to look again; what rested on it is asked."""
    draw(isolated / "form.pdf", ticked=("LLC",))
    look(loaded)
    draw(isolated / "form.pdf", ticked=("LLC",), model="TG-18")

    first = " ".join(loaded(["check", PACKET, "--no-ask", *DAY])[1].split())
    again = loaded(["check", PACKET, "--no-ask", *DAY])[1]

    path = isolated.resolve() / "form.pdf"
    assert f"{path} has changed since it was checked; what it showed is asked again: " in first
    assert f'To look at it again: mailby check {PACKET} --document application --file "' in first
    assert "has changed" not in again
    assert "says `TG-18`, not `TG-46`" in look(loaded)[1]


def test_check_of_a_changed_file_asks_again_where_a_person_had_agreed(
    loaded: Run, isolated: Path
) -> None:
    """What a person and the file said alike is as open as the signature on the paper."""
    answers = (
        f"packet: {PACKET}\ndocuments:\n  application:\n    enclosed: original\n    blanks:\n"
        "      model: TG-46\n      owner-name: Sandbur Flats Aerial LLC\n"
        "      registration-type: llc\n      signed-on: 2027-01-11\n      signature: yes\n"
    )
    take(loaded, isolated, answers, PACKET)
    draw(isolated / "form.pdf", ticked=("LLC",))
    before = look(loaded)[1]
    draw(isolated / "form.pdf", ticked=("LLC", "Individual"), model="TG-18")

    first = " ".join(loaded(["check", PACKET, "--no-ask", *DAY])[1].split())

    for label in ("Model", "Owner's full legal name", "Date of signing", "Signer's signature"):
        assert f"`{label}`: nobody has said how it stands." not in before
        assert f"Application: `{label}`: nobody has said how it stands." in first
    assert "so is what was said or seen of the paper printed from it: Signer's signature" in first
    assert "`Kind of owner, one box`: nobody has said how it stands." in first


@pytest.mark.parametrize("day", ["2027-01-11", "1/13/2027"])
def test_file_date_counts_where_it_can_mean_one_day(loaded: Run, isolated: Path, day: str) -> None:
    """A date of year, month and day is read; another one is offered where it means one day."""
    draw(isolated / "form.pdf", ticked=("LLC",), day=day)

    out = look(loaded)[1]

    assert ("Is it 2027-01-13? Say which date it is" in out) is (day == "1/13/2027")
    assert "`Date of signing` says `2027-01-11`" not in out


@pytest.mark.parametrize("word", ["TBD", "____", "see attached", "(name)"])
def test_answers_that_keep_a_place_are_refused(loaded: Run, isolated: Path, word: str) -> None:
    """What is still to come is no text; the place in the file is named, nothing is kept."""
    text = WHOLE.replace("printed-name: Odile Ferrant", f"printed-name: {word}")

    code, out, err = take(loaded, isolated, text)

    said = f"is '{word}', which only keeps the place of what is still to come"
    assert (code, out) == (3, "")
    assert f"a.yaml:14:21: A17 `printed-name` of `application` {said}" in err


def test_answers_that_keep_a_place_at_length_are_not_ready(loaded: Run, isolated: Path) -> None:
    """Even written out such a text is asked again, and no other paper is blamed for it."""
    text = WHOLE.replace(
        "printed-name: Odile Ferrant", "printed-name: {status: filled, says: Pending}"
    )

    code, out, _ = take(loaded, isolated, text)

    assert code == 3
    assert "says `Pending`, which is no answer to it." in out


def test_check_of_a_packet_no_longer_needed_says_so(loaded: Run, isolated: Path) -> None:
    """After the jobs a packet that was checked is not called unknown."""
    take(loaded, isolated, WHOLE)

    code, out, err = loaded(["check", SIMPLE, "--no-ask", "--on", "2028-08-10"])

    assert (code, out) == (4, "")
    assert err == (
        f"{SIMPLE} is not needed for a job on or after Thu 10 Aug 2028\n"
        "  hint: what was answered about it is kept; name an earlier day with --on, or load new "
        "jobs\n"
    )


def test_ask_after_answers_goes_on_with_questions(
    loaded: Run, isolated: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file of answers asks nothing by itself; told to ask it does."""
    monkeypatch.setattr("builtins.input", lambda _: "stop")
    text = WHOLE.replace("signature: yes", "signature:", 1)
    (isolated / "a.yaml").write_text(text, encoding="utf-8")

    silent = loaded(["check", SIMPLE, "--answers", "a.yaml", *DAY])[1]
    asked = loaded(["check", SIMPLE, "--answers", "a.yaml", "--ask", *DAY])[1]

    assert "Type stop" not in silent
    assert "Is it signed (`Signature`)?" in asked
