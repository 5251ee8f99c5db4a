"""Where a notarial certificate begins and ends on a page.

The parts of a certificate and of an affidavit are those of the short forms in the Revised Uniform
Law on Notarial Acts (2018 text), section 16, from memory; how they are set is common practice.
"""

from reportlab.pdfgen.canvas import Canvas

from tests.scan.drawn import find, say


def draw_affidavit(canvas: Canvas) -> None:
    canvas.drawString(72, 690, "State of")
    canvas.line(112, 688, 280, 688)
    canvas.drawString(300, 690, "County of")
    canvas.line(350, 688, 520, 688)
    canvas.drawString(72, 650, "I,")
    canvas.line(82, 648, 272, 648)
    canvas.drawString(278, 650, "being first duly sworn, state that I am the")
    canvas.line(72, 624, 190, 624)
    canvas.drawString(194, 626, "of")
    canvas.line(206, 624, 430, 624)
    canvas.drawString(436, 626, ", a company")
    canvas.drawString(72, 602, "formed in the state of")
    canvas.line(176, 600, 300, 600)
    canvas.line(310, 540, 540, 540)
    canvas.setFont("Helvetica", 7)
    canvas.drawString(310, 531, "Signature")
    canvas.setFont("Helvetica", 10)
    canvas.drawString(72, 490, "Signed and sworn to before me on")
    canvas.line(232, 488, 380, 488)
    canvas.line(310, 430, 540, 430)
    canvas.drawString(310, 380, "My commission expires:")
    canvas.line(424, 378, 540, 378)
    canvas.setFont("Helvetica", 7)
    canvas.drawString(310, 421, "Signature of notary")


def test_what_an_affidavit_swears_to_is_the_signers() -> None:
    """Between "being sworn" and the jurat no blank is the notary's."""
    assert say(find(draw_affidavit)) == [
        ("notary-state", "State of"),
        ("notary-county", "County of"),
        ("printed-name", "I"),
        ("title", "that I am the"),
        ("text", "of"),
        ("text", "formed in the state of"),
        ("signature", "Signature"),
        ("notary-date", "Signed and sworn to before me on"),
        ("notary-signature", "Signature of notary"),
        ("notary-expiry", "My commission expires"),
    ]


def test_commission_far_under_the_act_belongs_to_its_certificate() -> None:
    """The notary's title stays the notary's where much room is left for the stamp."""

    def draw(canvas: Canvas) -> None:
        for top in (690, 440):
            canvas.drawString(72, top, "State of")
            canvas.line(112, top - 2, 280, top - 2)
            canvas.drawString(300, top, "County of")
            canvas.line(350, top - 2, 520, top - 2)
            canvas.drawString(72, top - 30, "This record was acknowledged before me on")
            canvas.line(276, top - 32, 400, top - 32)
            for at, label in enumerate(
                ("Signature of officer:", "Title of office:", "My commission expires:")
            ):
                canvas.drawString(230, top - 110 - 26 * at, label)
                canvas.line(345, top - 112 - 26 * at, 540, top - 112 - 26 * at)

    one = [
        ("notary-state", "State of"),
        ("notary-county", "County of"),
        ("notary-date", "This record was acknowledged before me on"),
        ("notary-signature", "Signature of officer"),
        ("notary-title", "Title of office"),
        ("notary-expiry", "My commission expires"),
    ]
    assert say(find(draw)) == one + one


def test_sentence_about_a_notary_makes_no_certificate() -> None:
    """A letter that tells of a stamp leaves a bare "Title" to whoever writes the letter."""

    def draw(canvas: Canvas) -> None:
        canvas.drawString(60, 640, "The paper bears no stamp. Name the notary and the last day.")
        canvas.drawString(60, 600, "Name of notary")
        canvas.line(140, 598, 400, 598)
        canvas.drawString(60, 540, "Ask for the day on which the notary's commission expires.")
        canvas.drawString(60, 500, "Title")
        canvas.line(90, 498, 400, 498)

    assert [region.kind for region in find(draw)][-1] == "title"


def test_bare_seal_far_from_a_line_is_not_its_label() -> None:
    """ "(Seal)" left of a line to write on is a place for a stamp, not the words of the line."""

    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 640, "Signed and sworn to before me on")
        canvas.line(232, 638, 380, 638)
        canvas.drawString(130, 580, "(Seal)")
        canvas.line(310, 576, 540, 576)
        canvas.drawString(310, 530, "My commission expires:")
        canvas.line(424, 528, 540, 528)
        canvas.setFont("Helvetica", 8)
        canvas.drawString(310, 566, "Title of office")

    assert ("notary-title", "Title of office") in say(find(draw))
