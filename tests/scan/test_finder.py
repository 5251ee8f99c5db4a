"""Finding blanks on forms drawn here; what a form looks like is common practice, no source.

The drawing is independent of the finder: it is made with reportlab and, where said, judged by the
picture that pdfium renders.
"""

from collections.abc import Callable
from io import BytesIO

import numpy as np
import pypdfium2 as pdfium
import pytest
from PIL import Image
from pypdf import PdfReader, PdfWriter
from pypdf.generic import RectangleObject
from reportlab.lib.pagesizes import A4, landscape, letter
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from compliance.base.problems import RefusedError
from compliance.scan.finder import draw_found, find_blanks
from compliance.scan.model import Region

Draw = Callable[[Canvas], None]


def make_form(*draws: Draw, size: tuple[float, float] = letter) -> bytes:
    """A form with one page for each drawing, each headed by a line of words."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=size, invariant=1)
    for draw in draws:
        canvas.setFont("Helvetica", 10)
        canvas.drawString(
            72, size[1] - 60, "Answer all that is asked on this paper in plain words."
        )
        draw(canvas)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def say(regions: tuple[Region, ...]) -> list[tuple[str, str]]:
    """Kind and label of each region."""
    return [(region.kind, region.label) for region in regions]


def place(region: Region) -> tuple[int, int, int]:
    """Left, bottom and right end, in whole points."""
    return round(region.left), round(region.bottom), round(region.right)


def draw_signing(canvas: Canvas) -> None:
    """A line with its label left of it, and two lines with small print under them."""
    canvas.drawString(72, 600, "Serial number:")
    canvas.line(145, 598, 300, 598)
    canvas.line(72, 540, 300, 540)
    canvas.line(330, 540, 450, 540)
    canvas.setFont("Helvetica", 7)
    canvas.drawString(72, 531, "Owner's signature")
    canvas.drawString(330, 531, "Date")


def test_find_blanks_label_left_and_small_print_under() -> None:
    regions = find_blanks(make_form(draw_signing))

    assert say(regions) == [
        ("number", "Serial number"),
        ("signature", "Owner's signature"),
        ("date", "Date"),
    ]
    assert [place(region) for region in regions] == [
        (145, 598, 300),
        (72, 540, 300),
        (330, 540, 450),
    ]
    assert [region.id for region in regions] == ["serial-number", "signature-1", "date-1"]


def test_find_blanks_label_over_the_line() -> None:
    def draw(canvas: Canvas) -> None:
        for y, label in ((600, "Mailing address"), (550, "Telephone"), (500, "Printed name")):
            canvas.drawString(72, y, label)
            canvas.line(72, y - 24, 300, y - 24)

    regions = find_blanks(make_form(draw))

    assert say(regions) == [
        ("address", "Mailing address"),
        ("number", "Telephone"),
        ("printed-name", "Printed name"),
    ]


def test_find_blanks_typed_underscores() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.setFont("Courier", 10)
        canvas.drawString(72, 600, "Name: ____________________  Date: __/__/____")
        canvas.drawString(72, 570, "Telephone: (___) ___-____")

    regions = find_blanks(make_form(draw))

    # Courier letters are 0.6 of the size wide (Adobe font metrics): 6 points each.
    assert say(regions) == [("printed-name", "Name"), ("date", "Date"), ("number", "Telephone")]
    assert place(regions[0])[::2] == (72 + 6 * 6, 72 + 26 * 6)
    assert place(regions[1])[::2] == (72 + 34 * 6, 72 + 44 * 6)


def test_find_blanks_sentence_of_a_notary() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.setFont("Courier", 10)
        for y, text in (
            (600, "State of ______________ )"),
            (588, "                        ) ss."),
            (576, "County of _____________ )"),
            (540, "Subscribed and sworn to before me this ____ day of"),
            (520, "______________, 20___."),
            (470, "______________________"),
            (460, "Notary Public"),
            (430, "My commission expires: ____________"),
        ):
            canvas.drawString(72, y, text)
        canvas.drawString(400, 470, "(seal)")

    regions = find_blanks(make_form(draw))

    assert [region.kind for region in regions] == [
        "notary-state",
        "notary-county",
        "notary-date",
        "notary-date",
        "notary-date",
        "notary-signature",
        "notary-stamp",
        "notary-expiry",
    ]
    assert len({region.id for region in regions}) == len(regions)


def test_find_blanks_signer_signs_above_the_act() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.line(300, 640, 520, 640)
        canvas.drawString(300, 630, "(Signature of affiant)")
        canvas.drawString(72, 590, "Sworn to before me on")
        canvas.line(180, 588, 300, 588)
        canvas.line(72, 540, 300, 540)
        canvas.drawString(72, 530, "(Signature of notary)")

    regions = find_blanks(make_form(draw))

    assert [region.kind for region in regions] == ["signature", "notary-date", "notary-signature"]


def test_find_blanks_boxes_to_tick() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.rect(72, 600, 9, 9)
        canvas.drawString(86, 601, "New")
        canvas.circle(176, 604, 5)
        canvas.drawString(186, 601, "Renewal")
        canvas.drawString(72, 570, "[ ] by mail   ___ by hand")

    regions = find_blanks(make_form(draw))

    assert say(regions) == [
        ("check", "New"),
        ("check", "Renewal"),
        ("check", "by mail"),
        ("check", "by hand"),
    ]
    assert not any(region.must for region in regions)


def draw_table(canvas: Canvas) -> None:
    """A heading row over two free rows."""
    for row in range(3):
        for column, head in enumerate(("Make and model", "Weight, lb", "Date bought")):
            canvas.rect(72 + 150 * column, 600 - 22 * row, 150, 22)
            if row == 0:
                canvas.drawString(78 + 150 * column, 607, head)


def test_find_blanks_empty_cells_of_a_table() -> None:
    regions = find_blanks(make_form(draw_table))

    row = [("text", "Make and model"), ("number", "Weight, lb"), ("date", "Date bought")]
    assert say(regions) == row * 2
    assert [place(region) for region in regions[:2]] == [(72, 578, 222), (222, 578, 372)]


def test_find_blanks_label_small_in_its_box() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.rect(72, 600, 240, 36)
        canvas.rect(312, 600, 120, 36)
        canvas.setFont("Helvetica", 6.5)
        canvas.drawString(75, 627, "1. Signature of applicant")
        canvas.drawString(315, 627, "2. Date")

    regions = find_blanks(make_form(draw))

    assert [(region.kind, place(region)) for region in regions] == [
        ("signature", (72, 600, 312)),
        ("date", (312, 600, 432)),
    ]
    assert all(region.top < 627 for region in regions)


def test_find_blanks_lines_for_one_answer() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 620, "Describe the damage:")
        for y in (598, 576, 554):
            canvas.line(72, y, 540, y)

    regions = find_blanks(make_form(draw))

    assert [(place(region), region.top > 598) for region in regions] == [((72, 554, 540), True)]


def test_find_blanks_row_of_boxes_for_digits() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 604, "Certificate number:")
        for digit in range(7):
            canvas.rect(170 + 15 * digit, 600, 15, 18)

    regions = find_blanks(make_form(draw))

    assert [(region.kind, place(region)) for region in regions] == [("number", (170, 600, 275))]


def test_find_blanks_lines_that_only_divide() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.setLineWidth(2)
        canvas.line(60, 700, 552, 700)
        canvas.setLineWidth(0.5)
        canvas.setFont("Helvetica-Bold", 12)
        canvas.drawString(72, 680, "PART A")
        canvas.line(60, 676, 552, 676)
        canvas.setFont("Helvetica", 10)
        canvas.drawString(72, 640, "These words are underlined.")
        canvas.line(72, 638, 195, 638)
        canvas.drawString(72, 610, "License " + "." * 40 + " $95.00")
        canvas.rect(50, 50, 512, 692)
        canvas.line(60, 120, 200, 120)
        canvas.setFont("Helvetica", 7)
        canvas.drawString(60, 110, "1 A footnote that says what is meant by a license here.")

    assert find_blanks(make_form(draw)) == ()


def test_find_blanks_office_space_need_not_be_filled() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.rect(300, 500, 220, 120)
        canvas.drawString(320, 604, "FOR OFFICE USE ONLY")
        canvas.drawString(310, 560, "Received:")
        canvas.line(360, 558, 500, 558)
        canvas.drawString(72, 560, "Amount: $")
        canvas.line(120, 558, 280, 558)

    regions = find_blanks(make_form(draw))

    assert [(region.kind, region.must) for region in regions] == [("amount", True), ("text", False)]


def test_find_blanks_form_fields_take_the_place_of_lines() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 604, "Buyer:")
        canvas.line(110, 600, 300, 600)
        form = canvas.acroForm
        form.textfield(name="a", tooltip="Signature of buyer", x=110, y=600, width=190, height=18)
        form.textfield(name="fixed", value="2027", x=400, y=600, fieldFlags="readOnly")
        form.checkbox(name="b", tooltip="Paid in full", x=72, y=560, size=12)

    regions = find_blanks(make_form(draw))

    assert say(regions) == [("signature", "Signature of buyer"), ("check", "Paid in full")]
    assert place(regions[0]) == (110, 600, 300)


def test_find_blanks_one_line_for_two_answers_is_cut() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.line(72, 600, 480, 600)
        canvas.setFont("Helvetica", 7)
        canvas.drawString(72, 591, "Signature of owner")
        canvas.drawString(360, 591, "Date")

    regions = find_blanks(make_form(draw))

    first, second = regions
    assert (first.kind, second.kind) == ("signature", "date")
    assert (first.left, second.right) == (72, 480)
    assert 350 < first.right == second.left < 362


def test_find_blanks_one_box_for_two_answers_is_cut() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.rect(72, 600, 400, 40)
        canvas.setFont("Helvetica", 6.5)
        canvas.drawString(75, 631, "Telephone")
        canvas.drawString(300, 631, "Date of birth")

    regions = find_blanks(make_form(draw))

    first, second = regions
    assert (first.kind, second.kind) == ("number", "date")
    assert (first.left, second.right) == (72, 472)
    assert 290 < first.right == second.left < 302


def test_find_blanks_table_ruled_across_only() -> None:
    def draw(canvas: Canvas) -> None:
        for x, head in ((72, "Field"), (250, "Acres"), (350, "Date sprayed")):
            canvas.drawString(x, 605, head)
        for row in range(4):
            canvas.line(72, 600 - 22 * row, 480, 600 - 22 * row)

    regions = find_blanks(make_form(draw))

    row = [("text", "Field"), ("number", "Acres"), ("date", "Date sprayed")]
    assert say(regions) == row * 3
    assert {place(region)[1] for region in regions} == {578, 556, 534}


def test_find_blanks_columns_of_lines_take_the_heading_of_the_first() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 620, "Name of member")
        canvas.drawString(330, 620, "Date joined")
        for row in range(3):
            canvas.line(72, 596 - 24 * row, 300, 596 - 24 * row)
            canvas.line(330, 596 - 24 * row, 480, 596 - 24 * row)

    regions = find_blanks(make_form(draw))

    assert say(regions) == [("printed-name", "Name of member"), ("date", "Date joined")] * 3


def test_find_blanks_labels_in_a_column_far_from_their_lines() -> None:
    def draw(canvas: Canvas) -> None:
        for y, label in ((600, "Name of company"), (580, "Street"), (560, "Title"), (540, "Date")):
            canvas.drawString(72, y, label)
            canvas.line(200, y - 2, 420, y - 2)

    regions = find_blanks(make_form(draw))

    assert [region.kind for region in regions] == ["text", "address", "title", "date"]


def test_find_blanks_role_under_a_line_is_a_signature() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.line(72, 600, 300, 600)
        canvas.drawString(72, 588, "Affiant")

    assert say(find_blanks(make_form(draw))) == [("signature", "Affiant")]


def test_find_blanks_year_after_a_comma() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 600, "made this")
        canvas.line(120, 598, 150, 598)
        canvas.drawString(154, 600, "day of")
        canvas.line(186, 598, 280, 598)
        canvas.drawString(282, 600, ",")
        canvas.line(288, 598, 340, 598)

    assert [region.kind for region in find_blanks(make_form(draw))] == ["date"] * 3


def test_find_blanks_line_that_leads_to_a_price() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 600, "New license")
        canvas.line(130, 600, 400, 600)
        canvas.drawString(405, 600, "$95.00")

    assert find_blanks(make_form(draw)) == ()


def test_find_blanks_headings_with_a_line_under_them() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 600, "ADDRESS OF THE OWNER")
        canvas.line(72, 597, 400, 597)
        canvas.drawString(72, 584, "See page 2 of the instructions for what is meant by an owner.")

    assert find_blanks(make_form(draw)) == ()


@pytest.mark.parametrize("size", [5.5, 14.0])
def test_find_blanks_print_of_unusual_size(size: float) -> None:
    def draw(canvas: Canvas) -> None:
        canvas.setFont("Helvetica", size)
        y = 600.0
        for label in ("Name of the company:", "Street address:", "Telephone number:", "Signed:"):
            end = 72 + canvas.stringWidth(label, "Helvetica", size)
            canvas.drawString(72, y, label)
            canvas.line(end + 2, y - 1, end + 150, y - 1)
            y -= 2 * size

    regions = find_blanks(make_form(draw))

    assert [region.kind for region in regions] == ["text", "address", "number", "signature"]


def test_find_blanks_stamp_in_a_box_and_without_one() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 640, "Subscribed and sworn to before me in the County of")
        canvas.line(310, 638, 420, 638)
        canvas.setDash(3, 3)
        canvas.rect(72, 500, 150, 100)
        canvas.setDash()
        canvas.drawString(80, 580, "Place the notary stamp here")
        canvas.drawString(400, 550, "(Seal)")

    regions = find_blanks(make_form(draw))

    stamps = [region for region in regions if region.kind == "notary-stamp"]
    assert [place(region) for region in stamps][-1] == (72, 500, 222)
    assert abs((stamps[0].left + stamps[0].right) / 2 - 413) < 3
    assert "notary-county" in [region.kind for region in regions]


def test_find_blanks_space_of_turned_words_is_not_empty() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.rect(72, 500, 20, 120)
        canvas.saveState()
        canvas.translate(86, 520)
        canvas.rotate(90)
        canvas.drawString(0, 0, "PURCHASER")
        canvas.restoreState()

    assert find_blanks(make_form(draw)) == ()


def test_find_blanks_underscores_in_a_word_are_letters() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 600, "The file is named field__map__2027 on the disk.")

    assert find_blanks(make_form(draw)) == ()


def test_find_blanks_line_as_wide_as_the_text_divides_it() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.line(72, 600, 540, 600)
        canvas.drawString(72, 588, "Applicants must show that they are covered by insurance.")
        canvas.line(72, 60, 540, 60)
        canvas.setFont("Helvetica", 7)
        canvas.drawString(72, 50, "Mail to: P.O. Box 1, Burrell Crossing")

    assert find_blanks(make_form(draw)) == ()


def test_find_blanks_line_as_wide_as_the_text_with_its_label() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.line(72, 600, 540, 600)
        canvas.setFont("Helvetica", 7)
        canvas.drawString(72, 591, "Signature of owner")
        canvas.drawString(72, 500, "The office keeps this paper for three years.")

    assert say(find_blanks(make_form(draw))) == [("signature", "Signature of owner")]


def test_find_blanks_bare_signature_above_the_act_is_the_signers() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 680, "State of")
        canvas.line(115, 678, 250, 678)
        for y in (630, 540):
            canvas.line(300, y, 520, y)
            canvas.setFont("Helvetica", 7)
            canvas.drawString(300, y - 9, "Signature")
            canvas.setFont("Helvetica", 10)
        canvas.drawString(72, 590, "Sworn to before me, a notary public, on")
        canvas.line(260, 588, 380, 588)

    regions = find_blanks(make_form(draw))

    assert [region.kind for region in regions] == [
        "notary-state",
        "signature",
        "notary-date",
        "notary-signature",
    ]


def test_find_blanks_signer_signs_below_the_act() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 640, "Sworn to before me, a notary public, on")
        canvas.line(260, 638, 380, 638)
        canvas.line(72, 590, 280, 590)
        canvas.drawString(72, 579, "(Signature of affiant)")
        canvas.line(310, 590, 520, 590)
        canvas.drawString(310, 579, "(Notary Public)")

    regions = find_blanks(make_form(draw))

    assert [region.kind for region in regions] == ["notary-date", "signature", "notary-signature"]


def test_find_blanks_table_open_at_its_sides() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(76, 606, "Field")
        canvas.drawString(350, 606, "Acres")
        for row in range(4):
            canvas.line(72, 620 - 20 * row, 480, 620 - 20 * row)
        canvas.line(300, 620, 300, 560)

    regions = find_blanks(make_form(draw))

    assert [(region.kind, place(region)) for region in regions] == [
        ("text", (72, 580, 300)),
        ("number", (300, 580, 480)),
        ("text", (72, 560, 300)),
        ("number", (300, 560, 480)),
    ]


def test_find_blanks_corner_of_a_table_and_room_before_total() -> None:
    def draw(canvas: Canvas) -> None:
        cells = (("", "Acres", "Gallons"), ("North field", "", ""), ("", "Total", ""))
        for row, line in enumerate(cells):
            for column, text in enumerate(line):
                canvas.rect(72 + 130 * column, 600 - 22 * row, 130, 22)
                canvas.drawString(78 + 130 * column, 607 - 22 * row, text)

    regions = find_blanks(make_form(draw))

    assert [place(region) for region in regions] == [
        (202, 578, 332),
        (332, 578, 462),
        (332, 556, 462),
    ]


def test_find_blanks_labels_over_lines_set_close() -> None:
    def draw(canvas: Canvas) -> None:
        y = 640
        for label in ("Name of company", "Street address", "Telephone number", "Title"):
            canvas.drawString(72, y, label)
            canvas.line(72, y - 18, 300, y - 18)
            y -= 34

    regions = find_blanks(make_form(draw))

    assert [region.kind for region in regions] == ["text", "address", "number", "title"]


def test_find_blanks_seal_after_a_line_is_no_place_for_a_stamp() -> None:
    def draw(canvas: Canvas) -> None:
        canvas.drawString(72, 600, "By:")
        canvas.line(90, 598, 300, 598)
        canvas.drawString(304, 600, "(SEAL)")

    assert [region.kind for region in find_blanks(make_form(draw))] == ["signature"]


def turn(pdf: bytes, angle: int, cut: float = 0.0) -> bytes:
    """The same form turned in the file and turned back when shown, and cut at two sides."""
    writer = PdfWriter(clone_from=PdfReader(BytesIO(pdf)))
    for page in writer.pages:
        page.rotate((360 - angle) % 360)
        page.transfer_rotation_to_content()
        page.rotate(angle)
        box = page.mediabox
        page.cropbox = RectangleObject((box.left + cut, box.bottom + cut, box.right, box.top))
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


@pytest.mark.parametrize("angle", [0, 90, 180, 270])
@pytest.mark.parametrize("size", [letter, landscape(letter), A4])
@pytest.mark.parametrize("cut", [0.0, 40.0])
def test_find_blanks_turned_page_is_read_as_shown(
    angle: int, size: tuple[float, float], cut: float
) -> None:
    form = make_form(draw_signing if size[1] > 700 else draw_low, size=size)

    regions = find_blanks(turn(form, angle, cut))

    # The file is cut at the left and bottom of the sheet as it lies in it.
    left = {0: cut, 90: cut, 180: 0.0, 270: 0.0}[angle]
    low = {0: cut, 90: 0.0, 180: 0.0, 270: cut}[angle]
    straight = find_blanks(form)
    assert len(straight) == 3
    assert say(regions) == say(straight)
    assert [place(region) for region in regions] == [
        (x - left, y - low, right - left) for x, y, right in map(place, straight)
    ]


def draw_low(canvas: Canvas) -> None:
    """The signing lines on a sheet that lies on its side."""
    canvas.translate(0, -200)
    draw_signing(canvas)


def test_find_blanks_pages_are_counted_from_nought() -> None:
    regions = find_blanks(make_form(draw_signing, draw_table))

    assert [region.page for region in regions] == [0] * 3 + [1] * 6


def test_find_blanks_regions_are_free_of_print() -> None:
    # Judged by pdfium's picture of the page: nothing is printed where the ink goes.
    form = make_form(draw_signing)
    document = pdfium.PdfDocument(form)
    picture = np.asarray(document[0].render(scale=2).to_pil().convert("L"))
    document.close()

    inside = [
        picture[
            round((792 - region.top + 1) * 2) : round((792 - region.bottom - 1.5) * 2),
            round(region.left * 2) + 2 : round(region.right * 2) - 2,
        ]
        for region in find_blanks(form)
    ]
    under = [
        picture[
            round((792 - region.bottom - 1) * 2) : round((792 - region.bottom + 1) * 2),
            round(region.left * 2) + 2 : round(region.right * 2) - 2,
        ]
        for region in find_blanks(form)
    ]

    assert len(inside) == 3
    assert all(part.size and part.min() > 250 for part in inside)
    assert all(part.min(axis=0).max() < 200 for part in under)


def draw_photo(canvas: Canvas) -> None:
    """A picture of a paper over the whole page."""
    grey = Image.effect_noise((200, 260), 40)
    canvas.drawImage(ImageReader(grey), 0, 0, 612, 792)


def test_find_blanks_picture_of_a_paper_is_refused() -> None:
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=letter)
    draw_photo(canvas)
    canvas.save()

    with pytest.raises(RefusedError) as caught:
        find_blanks(buffer.getvalue())

    assert caught.value.message == "page 1 is a picture: its words cannot be read"
    assert "with text" in caught.value.hint


def test_find_blanks_words_hidden_behind_a_scan_are_refused() -> None:
    # Scanners with text recognition put invisible words (text mode 3, ISO 32000) over a picture.
    def draw(canvas: Canvas) -> None:
        draw_photo(canvas)
        text = canvas.beginText(72, 600)
        text.setTextRenderMode(3)
        text.textLine("Signature of the owner and the date on which it was given " * 2)
        canvas.drawText(text)

    with pytest.raises(RefusedError) as caught:
        find_blanks(make_form(draw))

    assert caught.value.message == "page 1 is a picture: its words cannot be read"


@pytest.mark.parametrize("data", [b"", b"not a form", b"%PDF-1.7\n%%EOF\n"])
def test_find_blanks_no_pdf_is_refused(data: bytes) -> None:
    with pytest.raises(RefusedError) as caught:
        find_blanks(data)

    assert caught.value.message == "this is not a PDF file that can be opened"


def test_find_blanks_locked_form_is_refused() -> None:
    writer = PdfWriter(clone_from=PdfReader(BytesIO(make_form(draw_signing))))
    writer.encrypt("sandbur", algorithm="RC4-128")
    out = BytesIO()
    writer.write(out)

    with pytest.raises(RefusedError) as caught:
        find_blanks(out.getvalue())

    assert "password" in caught.value.hint


def test_find_blanks_page_without_anything_to_fill_in() -> None:
    assert find_blanks(make_form(lambda _canvas: None)) == ()


def test_draw_found_outlines_every_region() -> None:
    form = make_form(draw_signing, draw_table)
    regions = find_blanks(form)

    pictures = draw_found(form, regions)

    assert len(pictures) == 2
    for region in regions:
        picture = np.asarray(Image.open(BytesIO(pictures[region.page])).convert("L"))
        scale = picture.shape[1] / 612
        across = round((region.left + region.right) / 2 * scale)
        low = round((792 - region.bottom) * scale)
        high = round((792 - region.top) * scale)
        assert picture[low - 2 : low + 3, across].min() == 0
        assert picture[high - 2 : high + 3, across].min() == 0
