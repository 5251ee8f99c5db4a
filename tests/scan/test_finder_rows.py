"""Lines whose words only their row or column explains (common practice of forms, no source)."""

from reportlab.pdfgen.canvas import Canvas

from tests.scan.drawn import find, place, say


def draw_behind(canvas: Canvas, words: tuple[str, str, str], lead: str = "1.") -> None:
    """Three lines in a row, each with words close behind it and more room after them."""
    canvas.drawString(60, 600, lead)
    x = 60 + canvas.stringWidth(lead, "Helvetica", 10) + 5
    for word, wide in zip(words, (140, 150, 50), strict=True):
        canvas.line(x, 598, x + wide, 598)
        canvas.drawString(x + wide + 2, 600, word)
        x += wide + canvas.stringWidth(word, "Helvetica", 10) + 14


def test_words_in_brackets_behind_lines_name_the_lines_before_them() -> None:
    """A signature does not become a name because "(name)" stands between the two lines."""
    regions = find(lambda canvas: draw_behind(canvas, ("(name)", "(signature)", "(date)")))

    assert say(regions) == [
        ("printed-name", "name"),
        ("signature", "signature"),
        ("date", "date"),
    ]


def test_words_close_behind_lines_name_the_lines_before_them() -> None:
    """Without brackets it is the room after the words that tells."""
    regions = find(lambda canvas: draw_behind(canvas, ("name", "signature", "date")))

    assert say(regions) == [
        ("printed-name", "name"),
        ("signature", "signature"),
        ("date", "date"),
    ]


def test_words_before_a_row_go_with_what_says_little_alone() -> None:
    """In "Name ____ (first) ____ (middle) ____ (last)" every line is of the name."""
    regions = find(
        lambda canvas: draw_behind(canvas, ("(first)", "(middle)", "(last)"), "Name of pilot")
    )

    assert say(regions) == [
        ("printed-name", "Name of pilot (first)"),
        ("printed-name", "Name of pilot (middle)"),
        ("printed-name", "Name of pilot (last)"),
    ]


def test_words_before_lines_go_on_naming_the_lines_after_them() -> None:
    """A row of labels left of their lines is read as before, however close they stand."""

    def draw(canvas: Canvas) -> None:
        for x, wide, word in ((60, 150, "Signature"), (280, 110, "Title"), (440, 90, "Date")):
            canvas.drawString(x, 600, word)
            start = x + canvas.stringWidth(word, "Helvetica", 10) + 2
            canvas.line(start, 598, x + wide, 598)

    assert say(find(draw)) == [("signature", "Signature"), ("title", "Title"), ("date", "Date")]


def test_counters_in_brackets_are_no_words_behind_a_line() -> None:
    """In "(a) ____ (b) ____ (c) ____" each counter stays with the line it stands before."""

    def draw(canvas: Canvas) -> None:
        canvas.drawString(60, 620, "Serial numbers of the batteries")
        for x, count in ((60, "(a)"), (180, "(b)"), (300, "(c)")):
            canvas.drawString(x, 600, count)
            canvas.line(x + 18, 598, x + 118, 598)

    regions = find(draw)

    assert [region.label for region in regions] == ["a", "b", "c"]
    assert [place(region) for region in regions] == [
        (78, 598, 178),
        (198, 598, 298),
        (318, 598, 418),
    ]


def draw_short_lines(canvas: Canvas, lead: str, words: tuple[str, ...]) -> None:
    canvas.drawString(60, 600, lead)
    x = 60 + canvas.stringWidth(lead, "Helvetica", 10) + 12
    for word in words:
        canvas.line(x, 598, x + 24, 598)
        canvas.drawString(x + 27, 600, word)
        x += 27 + canvas.stringWidth(word, "Helvetica", 10) + 12


def test_short_lines_before_words_are_ticked() -> None:
    """Each option takes the words behind it, the first line too, which words stand before."""
    regions = find(
        lambda canvas: draw_short_lines(canvas, "The job was a", ("test", "lesson", "survey"))
    )

    assert say(regions) == [("check", "test"), ("check", "lesson"), ("check", "survey")]


def test_short_lines_in_a_sentence_of_counts_are_not_ticked() -> None:
    """Numbers with their units are written, not ticked."""
    regions = find(
        lambda canvas: draw_short_lines(canvas, "It took", ("hours", "gallons", "acres"))
    )

    assert [region.kind for region in regions] == ["number", "number", "number"]


def test_counted_lines_under_a_heading_of_persons_are_names() -> None:
    """ "a) ____" takes its meaning from the heading; a heading of things gives no name."""

    def draw(canvas: Canvas) -> None:
        for x, heading in ((60, "3. Members of the company:"), (320, "4. Products used:")):
            canvas.drawString(x, 640, heading)
            for at, count in enumerate("abc"):
                canvas.drawString(x + 10, 612 - 26 * at, f"{count})")
                canvas.line(x + 26, 611 - 26 * at, x + 200, 611 - 26 * at)

    regions = find(draw)

    assert [region.kind for region in regions if region.left < 300] == ["printed-name"] * 3
    assert [region.kind for region in regions if region.left > 300] == ["text"] * 3
    assert regions[0].label == "3. Members of the company"


def test_typed_line_with_words_behind_it_is_an_answer_of_its_own() -> None:
    """Lines of underscores that begin alike are one blank only where nothing parts them."""

    def draw(canvas: Canvas) -> None:
        canvas.setFont("Courier", 9)
        canvas.drawString(54, 640, "This record was made before the officer on ____________ by")
        canvas.drawString(54, 618, "___________________________________ as ______________ of")
        canvas.drawString(54, 596, "___________________________________.")

    regions = find(draw)

    assert [place(region)[:2] for region in regions if region.left < 60] == [(54, 617), (54, 595)]
