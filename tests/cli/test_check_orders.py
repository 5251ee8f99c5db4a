"""Prints, photos, words and returns one after the other, through the command to the verdict."""

from collections.abc import Callable
from pathlib import Path
from typing import cast

import pytest
from pypdf import PdfWriter
from pypdf.generic import DictionaryObject, NameObject, TextStringObject

from tests import kit_answers
from tests.app.test_evidence import make_blank, make_photo
from tests.cli.test_check_files import DAY, PACKET, TITLE, draw, look, ready

__all__ = ["ready"]
Run = Callable[[list[str]], tuple[int, str, str]]
FORM = "sd-commercial-application"
ADDRESS = "1 Invented Road, Burrell Crossing NE 00000"


def answer(run: Run, folder: Path, text: str) -> tuple[int, str]:
    """Give answers in a file."""
    (folder / "more.yaml").write_text(text, encoding="utf-8")
    code, out, err = run(["check", PACKET, "--answers", "more.yaml", "--no-ask", *DAY])
    return code, " ".join((out + err).split())


def tell(*lines: str) -> str:
    """The head of a file of answers about the application, and these lines about its blanks."""
    head = f"packet: {PACKET}\ndocuments:\n  application:\n    blanks:\n"
    return head + "".join(f"      {line}\n" for line in lines)


@pytest.mark.parametrize("again", ["before", "together"])
def test_a_known_pdf_after_another_text_is_not_ready(
    ready: Run, isolated: Path, again: str
) -> None:
    """A person spoke of a paper with another address; who signed that one has not signed this."""
    other = tell('home-address: "9 Other Road, Burrell Crossing, NE 00000"', "signature: yes")
    if again == "before":
        answer(ready, isolated, other)
        code, out = look(ready, "form.pdf")
    else:
        (isolated / "more.yaml").write_text(other, encoding="utf-8")
        code, out = look(ready, "form.pdf", "--answers", "more.yaml")

    assert code == 3
    assert f"`{TITLE}` has `1 Invented Road, Burrell Crossing, NE 00000`" in out
    assert "`Signature`: nobody has said how it stands." in out


def test_a_photo_of_the_mailing_before_is_not_ready(loaded: Run, isolated: Path) -> None:
    """The papers came back, a new print was given, and the photo is still of the old one."""
    (isolated / "blank.pdf").write_bytes(make_blank())
    assert loaded(["forms", "learn", "blank.pdf", "--form", FORM])[0] == 0
    assert loaded(["forms", "print", FORM, "-o", "coded.pdf"])[0] == 0
    photo = make_photo((isolated / "coded.pdf").read_bytes(), "signature", "signed-on")
    (isolated / "old.jpg").write_bytes(photo)
    scan = ["check", PACKET, "--document", "application", "--scan", "old.jpg", "--no-ask"]
    whole = kit_answers.WHOLE.replace("      signature: filled\n", "", 1)
    draw(isolated / "form.pdf")
    look(loaded, "form.pdf")
    loaded([*scan, *DAY])
    code, out = answer(loaded, isolated, whole)
    assert code == 0, out
    moment = ["--on", "2027-01-11", "--today", "2027-01-11"]
    assert loaded(["log", "mailed", PACKET, *moment])[0] == 0
    back = ["--on", "2027-02-01", "--today", "2027-02-01", "--reason", "address"]
    code, out, err = loaded(["log", "returned", PACKET, *back, "--blank", "application/exams"])
    assert code == 0, err
    draw(isolated / "new.pdf", text1=ADDRESS)
    later = ("--on", "2027-02-02")
    look(loaded, "new.pdf", *later)

    out = " ".join(loaded([*scan, *later])[1].split())

    assert "old.jpg: this picture is older than the last return, seen on Mon 11 Jan 2027" in out
    out = " ".join(
        loaded(["check", PACKET, "--answers", "more.yaml", "--no-ask", *later])[1].split()
    )
    assert "`Signature`: nobody has said how it stands." in out
    assert "READY TO MAIL" not in out


def test_a_new_text_in_the_answers_alone_asks_the_ink(ready: Run, isolated: Path) -> None:
    """What is signed is the print with the old text; told with the ink it stands."""
    code, out = answer(ready, isolated, tell("exams: general and aerial, both on 6 January 2027"))

    assert code == 3
    assert "you say `general and aerial, both on 6 January 2027`" in out
    assert "What was said or seen of `Signature`, `Date of signing` is asked again." in out
    ink = ("signature: yes", "signed-on: 2027-01-11")
    assert answer(ready, isolated, tell(*ink))[0] == 0
    both = tell("exams: general and aerial, both on 5 January 2027", *ink)
    assert answer(ready, isolated, both)[0] == 0


@pytest.mark.parametrize("sign", ["\x0b", "\x00", "\x1b", "\u202e"])
def test_signs_that_do_not_print_lose_no_answers(ready: Run, isolated: Path, sign: str) -> None:
    """They are left out and told in one line; nothing raw of them reaches the screen."""
    writer = PdfWriter(clone_from=isolated / "form.pdf")
    annotations = writer.pages[0].annotations
    assert annotations is not None
    field = cast("DictionaryObject", annotations[4].get_object())
    field[NameObject("/V")] = TextStringObject(f"Odile Ferrant{sign}")
    writer.write(isolated / "form2.pdf")

    code, out = look(ready, "form2.pdf")

    assert "signs that do not print were left out of this PDF: `Printed name of the signer`" in out
    assert (code, sign in out) == (0, False)
    code, out, _ = ready(["check", PACKET, "--no-ask", *DAY])
    assert (code, "no longer be read" in out) == (0, False)


def test_an_edition_learned_after_the_check_is_named_before_mailing(
    ready: Run, isolated: Path
) -> None:
    """The verdict is of the earlier edition; a new check takes the new one up."""
    for heading in ("Commercial applicator license application", "2027 Commercial application"):
        (isolated / "blank.pdf").write_bytes(make_blank(heading))
        assert ready(["forms", "learn", "blank.pdf", "--form", FORM, "--anyway"])[0] == 0
        if heading.startswith("Commercial"):
            assert ready(["check", PACKET, "--no-ask", *DAY])[0] == 0
    mail = ["log", "mailed", PACKET, "--on", "2027-01-11", "--today", "2027-01-11"]

    code, _, err = ready(mail)

    said = f"another edition of `{TITLE}` was learned since the check"
    assert (code != 0, said in " ".join(err.split())) == (True, True)
    code, out, _ = ready(["check", PACKET, "--no-ask", *DAY])
    assert (code, said in " ".join(out.split())) == (0, True)
    assert ready(mail)[0] == 0


def log(run: Run, *words: str) -> str:
    """Log something on its day."""
    code, out, err = run(["log", *words])
    assert code == 0, err
    return out


def test_several_files_in_one_command_are_refused(ready: Run, isolated: Path) -> None:
    """Which of two prints is the newer nobody can tell; nothing is taken, nothing kept."""
    draw(isolated / "new.pdf", text1=ADDRESS)
    draw(isolated / "other.pdf", text0="O. Ferrant")
    (isolated / "more.yaml").write_text(tell("signature: no"), encoding="utf-8")
    command = ["check", PACKET, "--document", "application", "--answers", "more.yaml", *DAY]

    for more, why in (
        (["--file", "new.pdf", "--file", "other.pdf"], "one PDF at a time, the newest print last"),
        (["--file", "new.pdf", "--scan", "old.jpg"], "give either --file or --scan"),
    ):
        code, _, err = ready([*command, *more])
        assert (code, why in " ".join(err.split())) == (2, True)
    assert ready(["check", PACKET, "--no-ask", *DAY])[0] == 0


def test_a_return_withdrawn_after_a_new_print_asks_the_ink(ready: Run, isolated: Path) -> None:
    """The mailing before is worked on again; but the newest print is the one given after it."""
    log(ready, "mailed", PACKET, "--on", "2027-01-11", "--today", "2027-01-11")
    back = ["--on", "2027-02-01", "--today", "2027-02-01", "--reason", "address"]
    log(ready, "returned", PACKET, *back)
    draw(isolated / "new.pdf", text1=ADDRESS)
    look(ready, "new.pdf", "--on", "2027-02-02")
    number = len(ready(["export", "--log"])[1].split("\n  - ")) - 1
    log(ready, "withdraw", str(number), "--today", "2027-02-02")
    log(ready, "withdraw", str(number - 1), "--today", "2027-02-02")

    code, _, err = ready(["log", "mailed", PACKET, "--on", "2027-02-02", "--today", "2027-02-02"])
    assert code == 3
    assert "nobody has said how it stands" in " ".join(err.split())
    code, out, _ = ready(["check", PACKET, "--no-ask", "--on", "2027-02-02"])
    assert code == 3
    assert (
        f"`{TITLE}`: a later mailing, which the log has no more, had another print or text. All"
        " of this paper is asked again." in " ".join(out.split())
    )
    again = ready(["check", PACKET, "--no-ask", "--on", "2027-02-02"])[1]
    assert "had another print" not in again


def test_a_return_withdrawn_with_nothing_printed_since_stays_ready(ready: Run) -> None:
    """It was logged by mistake; the papers are those that were signed."""
    log(ready, "mailed", PACKET, "--on", "2027-01-11", "--today", "2027-01-11")
    back = ["--on", "2027-02-01", "--today", "2027-02-01", "--reason", "address"]
    log(ready, "returned", PACKET, *back)
    look(ready, "form.pdf", "--on", "2027-02-02")
    number = len(ready(["export", "--log"])[1].split("\n  - ")) - 1
    log(ready, "withdraw", str(number), "--today", "2027-02-02")
    log(ready, "withdraw", str(number - 1), "--today", "2027-02-02")

    assert ready(["check", PACKET, "--no-ask", *DAY])[0] == 0


def test_a_renewal_takes_no_ink_from_the_papers_that_were_granted(ready: Run) -> None:
    """Those are at the office; the papers of the renewal are new ones (common practice)."""
    log(ready, "mailed", PACKET, "--on", "2027-01-11", "--today", "2027-01-11")
    days = ["--issued", "2027-02-01", "--valid-through", "2027-06-30"]
    log(ready, "granted", PACKET, *days, "--on", "2027-02-01", "--today", "2027-02-01")

    code, out, _ = ready(["check", PACKET, "--no-ask", "--on", "2027-03-01"])

    assert code == 3
    assert "READY TO MAIL" not in out
    assert "nobody has said whether it is in the envelope" in " ".join(out.split())


def test_new_facts_after_the_verdict_stop_the_mailing(ready: Run, isolated: Path) -> None:
    """The paper says the old name; the verdict is worked out again with the new facts."""
    facts = ready(["export"])[1].replace("name: Odile Ferrant", "name: Odile Ferrant-Castellow")
    (isolated / "facts.yaml").write_text(facts, encoding="utf-8")
    assert ready(["load", "facts.yaml"])[0] == 0

    code, _, err = ready(["log", "mailed", PACKET, "--on", "2027-01-11", "--today", "2027-01-11"])

    assert code == 3
    assert "are not ready to mail" in err


def test_a_refused_run_keeps_none_of_its_answers(ready: Run, isolated: Path) -> None:
    """A file that is not there refuses the whole command: the verdict stays what it was."""
    (isolated / "more.yaml").write_text(tell("signature: no"), encoding="utf-8")
    command = ["check", PACKET, "--document", "application", "--answers", "more.yaml", *DAY]

    for more in (["--file", "gone.pdf"], ["--scan", "gone.jpg"]):
        code, _, err = ready([*command, *more])
        assert (code, "gone" in err) == (4, True)
        assert ready(["check", PACKET, "--no-ask", *DAY])[0] == 0
    assert ready([*command, "--no-ask"])[0] == 3


def test_a_refused_run_tells_nothing_of_its_answers(ready: Run, isolated: Path) -> None:
    """What would be asked again is told when it is kept, not when the command is refused."""
    other = tell("exams: general and aerial, both on 6 January 2027")
    (isolated / "more.yaml").write_text(other, encoding="utf-8")
    command = ["check", PACKET, "--document", "application", "--answers", "more.yaml", *DAY]
    (isolated / "no.pdf").write_bytes(b"no PDF")

    code, out, _ = ready([*command, "--file", "no.pdf"])

    assert (code, out) == (3, "")
    assert "is asked again" in ready([*command, "--no-ask"])[1]


def test_a_withdrawn_signature_is_told_from_what_the_check_knows(ready: Run) -> None:
    """The log may have had a wrong day; who means the ink is told how to say so in the check."""
    day = ["--on", "2027-01-11", "--today", "2027-01-11"]
    log(ready, "signed", PACKET, *day)
    number = len(ready(["export", "--log"])[1].split("\n  - ")) - 1

    out = " ".join(log(ready, "withdraw", str(number), "--today", "2027-01-11").split())

    assert out == (
        f"entry {number} is withdrawn by entry {number + 1} What `mailby check` was told or shown"
        f" of signatures and stamps on {PACKET} stays. If a paper is not signed after all, write"
        f" its answers with mailby check {PACKET} --write-answers answers.yaml, change them"
        " there, and give that file with --answers."
    )


def test_answers_against_what_a_pdf_showed_are_named(ready: Run, isolated: Path) -> None:
    """An older file of answers given again counts, but not in silence."""
    draw(isolated / "form.pdf", text1="")
    look(ready, "form.pdf")

    _, out = answer(ready, isolated, tell(f'home-address: "{ADDRESS}"'))

    said = "a PDF showed `Home address` empty, the answers given now say that it is filled in"
    assert said in out
    assert "the answers given now" not in answer(ready, isolated, tell("signature: yes"))[1]


def test_answers_that_put_off_take_the_earlier_ones_back(ready: Run, isolated: Path) -> None:
    """Tomorrow is no answer, and a no to a text of the envelope says the earlier one is wrong."""
    code, out = answer(ready, isolated, tell("signature: tomorrow"))
    assert code == 3
    assert "`Signature`: nobody has said how it stands." in out
    assert answer(ready, isolated, tell("signature: yes"))[0] == 0

    for line, said in (
        ("address_on_envelope: no", "Nobody has said which address stands on the envelope."),
        ("fee_method: not yet", "Nobody has said how the fee is paid."),
    ):
        code, out = answer(ready, isolated, f"packet: {PACKET}\nenvelope:\n  {line}\n")
        assert (code, said in out) == (3, True), line


def test_an_answers_line_without_a_value_takes_nothing_back(ready: Run, isolated: Path) -> None:
    """The file that mailby writes has many of them."""
    text = f"packet: {PACKET}\nenvelope:\n  address_on_envelope:\n  fee_method: ''\n"
    assert answer(ready, isolated, text)[0] == 0


def test_a_name_in_small_letters_is_refused_in_a_file_too(ready: Run, isolated: Path) -> None:
    """Talk about a name is not kept as one; whoever means it writes it at length."""
    code, out = answer(ready, isolated, tell("printed-name: someone at the office"))

    assert code == 3
    assert (
        "more.yaml:5:21: A17 `printed-name` of `application` is 'someone at the office', which has"
        " no capital letter"
    ) in out
    long = tell('printed-name: {status: filled, says: "someone at the office"}')
    assert "A17" not in answer(ready, isolated, long)[1]
