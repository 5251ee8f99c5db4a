"""Draws a form for every template, in the words of tie_words.py, and notes what ties to what.

The places are drawn in five ways by lot; a template's blanks come in its own order, the signing
block and the notary's certificate last, with strangers in between that belong to no blank.
"""

import random
from dataclasses import dataclass

from own_kit import Pen
from tie_words import COMPANIONS, SIGNING, STRANGERS, WITNESS, WORDS

from compliance.forms.model import Blank, BlankKind, FormTemplate

SIGNED = {BlankKind.SIGNATURE, BlankKind.PRINTED_NAME, BlankKind.TITLE}
FOOT = 90.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A drawn place and the blank it is, empty for none."""

    row: int
    blank: str


class Form:
    """One form under the pen, with what its places tie to."""

    def __init__(self, dice: random.Random, part: int) -> None:
        self.dice, self.part = dice, part
        self.pen = Pen(dice.choice(["Helvetica", "Times-Roman", "Courier"]), dice.choice([9, 10]))
        self.y = 720.0
        self.wanted: list[Wanted] = []
        self.style = dice.choice(["left", "under", "boxed", "run", "over"])

    def take(self, pair: tuple[tuple[str, str], tuple[str, str]]) -> str:
        """Give one wording by lot, of the part worked with (0) or of the one held out (1)."""
        return self.dice.choice(pair[self.part])

    def tie(self, blank: str) -> None:
        """Note that the place drawn last is a blank."""
        self.wanted.append(Wanted(row=len(self.pen.rows) - 1, blank=blank))

    def room(self, high: float) -> None:
        """Go on to the next page when little is left of this one."""
        if self.y - high < FOOT:
            self.pen.turn_page()
            self.y = 720.0

    def place(self, kind: str, label: str, blank: str) -> None:
        """Draw one place in the form's way."""
        self.room(40)
        pen, y, right = self.pen, self.y, self.dice.choice([330.0, 420.0, 540.0])
        if self.style == "left":
            pen.left(kind, f"{label}:", 54, y, max(right, 70 + pen.wide(label) + 90))
        elif self.style == "under":
            pen.under(kind, label, 54, right, y - 4)
            self.y -= 8
        elif self.style == "boxed":
            pen.boxed(kind, label, (54, y - 12, right, y + 18))
            self.y -= 6
        elif self.style == "run":
            pen.run(kind, f"{label}: ", 54, y, 34)
        else:
            pen.over(kind, label, 54, right, y - 10)
            self.y -= 16
        self.tie(blank)
        self.y -= 24

    def choice(self, labels: str, blank: str) -> None:
        """Draw the boxes of a choice in a row or a column."""
        options = labels.split("|")
        self.room(20 * len(options))
        if len(options) > 1 and self.dice.random() < 0.5:
            x = 54.0
            for option in options:
                x = self.pen.tick(option, x, self.y) + 14
                self.tie(blank)
            self.y -= 26
            return
        for option in options:
            self.pen.tick(option, 60, self.y)
            self.tie(blank)
            self.y -= 16
        self.y -= 10

    def sign(self, signature: tuple[str, str], companions: list[tuple[str, str, str]]) -> None:
        """Draw a signature (words, blank) and what belongs to it (kind, words, blank)."""
        self.room(120)
        self.y -= 30
        self.pen.under("signature", signature[0], 54, 300, self.y)
        self.tie(signature[1])
        x, y = 320.0, self.y
        for kind, label, blank in companions:
            self.pen.under(kind, label, x, 560 if x > 300 else 300, y)
            self.tie(blank)
            x, y = (54.0, y - 34) if x > 300 else (320.0, y)
        self.y = y - 40

    def notary(self, ties: dict[str, str]) -> None:
        """Draw a certificate; *ties* gives the blank of each part."""
        self.room(230)
        pen, y = self.pen, self.y

        def part(kind: str) -> None:
            self.tie(ties.get(kind, ""))

        pen.left("notary-state", "State of", 54, y, 240)
        part("notary-state")
        pen.left("notary-county", "County of", 54, y - 22, 240)
        part("notary-county")
        first = len(pen.rows)
        pen.flow(
            54,
            y - 52,
            560,
            "Signed and sworn to before me on {notary-date:110} by {printed-name:190}.",
        )
        for row, kind in enumerate(("notary-date", "printed-name"), start=first):
            self.wanted.append(Wanted(row=row, blank=ties.get(kind, "")))
        pen.under("notary-signature", "Notary Public", 300, 540, y - 120)
        part("notary-signature")
        if "notary-title" in ties:
            pen.under("notary-title", "Title or rank", 300, 540, y - 152)
            part("notary-title")
        pen.left("notary-expiry", "My commission expires:", 300, y - 186, 540)
        part("notary-expiry")
        pen.seal(150, y - 140, "(Seal)")
        part("notary-stamp")
        self.y = y - 220


def find_words(
    template: FormTemplate, blank: Blank
) -> tuple[tuple[str, str], tuple[str, str]] | None:
    """Give the wordings of a blank, None when nobody wrote any."""
    return WORDS.get(f"{template.id}/{blank.id}", WORDS.get(blank.id))


def is_companion(blank: Blank) -> bool:
    """Tell whether a blank stands beside a signature."""
    return blank.id.removeprefix("owner-").removeprefix("official-") in {
        "signed-on",
        "printed-name",
        "signer-title",
        "title",
        "name",
    } and (blank.kind in SIGNED or blank.kind is BlankKind.DATE)


def draw(template: FormTemplate, part: int, seed: int) -> Form:
    """Draw a form of a template; *part* is 0 for the wordings worked with, 1 for those held out."""
    dice = random.Random(f"{template.id} {part} {seed}")  # noqa: S311 - no secret
    form = Form(dice, part)
    form.pen.head(54, 748, "Application and statement", 13)
    strangers = [
        one
        for one in STRANGERS[part]
        if not any(
            set(one[1].lower().split())
            & set(f"{blank.id} {blank.label}".lower().replace("-", " ").split())
            - {"number", "of", "date", "the", "name"}
            for blank in template.blanks
        )
    ]
    plain = [
        blank for blank in template.blanks if not (is_companion(blank) or blank.kind.is_notarial)
    ]
    for blank in plain:
        words = find_words(template, blank)
        if blank.kind is BlankKind.SIGNATURE or words is None or blank.id == "notary-signer":
            continue
        if blank.kind is BlankKind.CHECK:
            if "|" in words[0][0] or blank.id in {"english", "not-registered-abroad"}:
                form.choice(form.take(words), blank.id)
            continue
        form.place(str(blank.kind), form.take(words), blank.id)
        if strangers and dice.random() < 0.25:
            form.place(*strangers.pop(dice.randrange(len(strangers))), "")
    _sign_all(form, template)
    if template.is_notarized:
        ties = {str(blank.kind): blank.id for blank in template.blanks if blank.kind.is_notarial}
        if template.find_blank("notary-signer"):
            ties["printed-name"] = "notary-signer"
        form.notary(ties)
    return form


def _sign_all(form: Form, template: FormTemplate) -> None:
    """Draw the signing blocks; at times a witness signs first, who belongs to no blank."""
    order = ("printed-name", "title", "date")
    if form.dice.random() < 0.4:
        form.sign((form.take(WITNESS), ""), [("date", "Date", "")])
    for blank in template.blanks:
        if blank.kind is not BlankKind.SIGNATURE or blank.id not in {
            "signature",
            "owner-signature",
            "official-signature",
        }:
            continue
        prefix = blank.id.removesuffix("signature")
        names = {
            "printed-name": (f"{prefix}printed-name", f"{prefix}name"),
            "title": ("signer-title", f"{prefix}title"),
            "date": (f"{prefix}signed-on",),
        }
        mates = []
        for kind in order:
            found = [
                other.id
                for other in template.blanks
                if other.id in names[kind] and is_companion(other)
            ]
            if found:
                mates.append((kind, form.take(COMPANIONS[kind]), found[0]))
        form.sign((form.take(SIGNING[str(blank.filled_by)]), blank.id), mates)
