"""What a blank is for, from its words, its neighbours and its column (common practice, no source).

The forms are drawn here with reportlab, apart from the finder.
"""

from collections.abc import Callable
from io import BytesIO

import pytest
from reportlab.lib.colors import Color, black
from reportlab.pdfgen.canvas import Canvas

from compliance.scan.finder import find_blanks
from compliance.scan.finder_kinds import find_kind, find_notary_kind
from compliance.scan.finder_settle import are_choices
from compliance.scan.model import Region

Draw = Callable[[Canvas], None]


def find(draw: Draw) -> tuple[Region, ...]:
    """The blanks of a page with a heading and a drawing."""
    buffer = BytesIO()
    canvas = Canvas(buffer, pagesize=(612, 792), invariant=1)
    canvas.setFont("Helvetica", 10)
    canvas.drawString(72, 732, "Answer all that is asked on this paper in plain words.")
    draw(canvas)
    canvas.save()
    return find_blanks(buffer.getvalue())


def say(regions: tuple[Region, ...]) -> list[tuple[str, str]]:
    return [(region.kind, region.label) for region in regions]


@pytest.mark.parametrize(
    ("label", "after", "kind"),
    [
        ("Name", "", "printed-name"),
        ("3. Last name", "", "printed-name"),
        ("Name of landowner", "", "printed-name"),
        ("Pilot in command", "", "printed-name"),
        ("I", "being first duly sworn", "printed-name"),
        ("Name of company", "", "text"),
        ("Legal name of applicant", "", "text"),
        ("Made by", "", "text"),
        ("Valid through", "", "date"),
        ("In force from", "", "date"),
        ("Checked on", "", "date"),
        ("dollars the seller named below sells to", "", "text"),
        ("acres of", "", "text"),
        ("I am the", "of the company", "title"),
        (", of", "", "address"),
        ("Executed at", "", "address"),
        ("The office gives", "days' notice", "number"),
        ("crop", "acres:", "text"),
        ("Year built", "", "number"),
        ("Amount in words", "", "text"),
        ("Grand total", "", "amount"),
        ("Aircraft (make, model, registration mark)", "", "text"),
        ("Signed at", "", "address"),
        ("Sign at the cross", "", "signature"),
        ("Signed and sealed this", "", "date"),
        ("Name of the person who may sign", "", "printed-name"),
        ("Buyer (name of person or company)", "", "text"),
        ("6.1 Name of pilot", "", "printed-name"),
        ("Pilot 2", "", "printed-name"),
        ("Hours in all", "", "number"),
        ("Hours in the air", "", "text"),
        ("Re-entry after, h", "", "number"),
        ("Capacity, Ah", "", "number"),
        ("Tank capacity", "", "number"),
        ("Capacity", "", "title"),
        ("Hours of the day", "", "text"),
        ("from", "through", "date"),
        ("from", "of the maker", "text"),
        ("company as its", "", "title"),
        ("Last training", "", "date"),
        ("Mass (kg)", "", "number"),
        ("Registration", "", "number"),
        ("Registration card", "", "text"),
    ],
)
def test_kind_of_a_label(label: str, after: str, kind: str) -> None:
    """Labels and ends of sentences as US forms have them, from memory."""
    assert find_kind(label, after) == kind


@pytest.mark.parametrize(
    ("label", "kind"),
    [
        ("Commission ends on", "notary-expiry"),
        ("Sworn to before me at", "address"),
        ("pilot signs before the notary", "signature"),
        ("Notary Public, print", "printed-name"),
        ("as", "title"),
    ],
)
def test_kind_of_a_label_in_a_certificate(label: str, kind: str) -> None:
    """The certificate's own words, from memory."""
    assert find_notary_kind(label) == kind


def test_choices_are_headings_that_are_answers() -> None:
    """Two answers side by side make a choice; one among names of things does not."""
    assert are_choices(["Yes", "No"])
    assert not are_choices(["New", "Model", "Maker"])
    assert not are_choices(["Yes"])


def test_columns_of_answers_are_check_boxes() -> None:
    """Empty cells under Good and Bad are ticked; those under a date are written in."""

    def draw(canvas: Canvas) -> None:
        heads = ("Item", "Good", "Bad", "Checked on")
        for column, (x, wide) in enumerate(((72, 140), (212, 60), (272, 60), (332, 90))):
            for row in range(3):
                canvas.rect(x, 600 - 20 * row, wide, 20)
            canvas.drawString(x + 4, 606, heads[column])
        for row, item in enumerate(("Motors", "Pump")):
            canvas.drawString(76, 586 - 20 * row, item)

    assert [kind for kind, _ in say(find(draw))] == ["check", "check", "date"] * 2


def test_role_under_a_line_is_signed_beside_a_date_only() -> None:
    """ "Employer" under a line asks for a name; beside a bare "Date" it is signed."""

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Helvetica", 7)
        for y in (640, 610):
            canvas.line(72, y, 300, y)
        canvas.drawString(72, 631, "Employer")
        canvas.drawString(72, 601, "Exams passed")
        canvas.line(72, 500, 300, 500)
        canvas.drawString(72, 491, "Operator")
        canvas.line(330, 500, 430, 500)
        canvas.drawString(330, 491, "Date")

    assert say(find(draw)) == [
        ("text", "Employer"),
        ("text", "Exams passed"),
        ("signature", "Operator"),
        ("date", "Date"),
    ]


def test_pale_words_in_a_box_are_no_print() -> None:
    """Grey words that show what to write leave the box a blank, and do not name it."""

    def draw(canvas: Canvas) -> None:
        for y, label, hint in ((600, "Date of birth", "MM/DD/YYYY"), (560, "Street", "12 Elm")):
            canvas.drawString(72, y + 24, label)
            canvas.rect(72, y, 200, 20)
            canvas.setFillColor(Color(0.6, 0.6, 0.6))
            canvas.drawString(78, y + 6, hint)
            canvas.setFillColor(black)

    regions = find(draw)

    assert say(regions) == [("date", "Date of birth"), ("address", "Street")]
    assert [round(region.right) for region in regions] == [272, 272]


def test_words_over_wide_lines_are_labels_when_there_are_several() -> None:
    """Lines as wide as the text, each with words over its beginning, do not divide the page."""

    def draw(canvas: Canvas) -> None:
        for at, label in enumerate(("Insurer", "Insured", "Aircraft")):
            canvas.drawString(54, 660 - 44 * at, label)
            canvas.line(54, 640 - 44 * at, 558, 640 - 44 * at)

    assert say(find(draw)) == [("text", "Insurer"), ("text", "Insured"), ("text", "Aircraft")]


def test_lines_for_one_answer_in_each_of_two_columns() -> None:
    """Three lines under "Remarks" are one blank, also when the other column has the same."""

    def draw(canvas: Canvas) -> None:
        for x in (54, 320):
            canvas.drawString(x, 660, "Remarks")
            for row in range(3):
                canvas.line(x, 640 - 18 * row, x + 230, 640 - 18 * row)

    regions = find(draw)

    assert [(round(region.bottom), round(region.left)) for region in regions] == [
        (604, 54),
        (604, 320),
    ]


def test_wide_brackets_are_a_blank_and_narrow_ones_a_box() -> None:
    """A space between brackets is written in when it is wide, ticked when it is narrow."""

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Courier", 10)
        canvas.drawString(72, 640, "Office: [" + " " * 40 + "]")
        canvas.drawString(72, 610, "(   ) by mail")

    assert say(find(draw)) == [("text", "Office"), ("check", "by mail")]


def test_amounts_at_the_right_edge_take_the_words_at_the_left() -> None:
    """A column of short lines is no long answer: each has its own words far to the left."""

    def draw(canvas: Canvas) -> None:
        for row, words in enumerate(("License fee", "Late fee", "Fee for copies", "Total")):
            canvas.drawString(60, 640 - 22 * row, words)
            canvas.line(450, 638 - 22 * row, 552, 638 - 22 * row)

    assert say(find(draw)) == [
        ("amount", "License fee"),
        ("amount", "Late fee"),
        ("amount", "Fee for copies"),
        ("amount", "Total"),
    ]


def test_cut_line_and_line_over_a_note_are_no_blanks() -> None:
    """A line to cut along and one over a footnote divide the page."""

    def draw(canvas: Canvas) -> None:
        canvas.line(54, 500, 558, 500)
        canvas.drawString(60, 488, "Cut here")
        canvas.setFont("Helvetica", 7)
        canvas.drawString(54, 100, "_" * 25)
        canvas.drawString(54, 90, "1 Terms such as signature and date are explained on the back.")

    assert say(find(draw)) == []
