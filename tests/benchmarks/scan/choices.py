"""Look at choices of one with one box marked: how often an empty box is read as marked.

Run: ``python -m tests.benchmarks.scan.choices 200``. The pages are otherwise filled in; boxes are
plain, framed boldly, or tinted as the fields of a fillable PDF are printed. Simulated pictures.
"""

import random
import sys
from collections import Counter
from io import BytesIO

import numpy as np
import pypdfium2
from PIL import Image
from reportlab.lib.pagesizes import letter
from reportlab.pdfgen.canvas import Canvas

from compliance.scan.blank import BlankPage
from compliance.scan.model import Seen
from compliance.scan.photo import look_at_pictures
from compliance.scan.symbol import code_rects, make_code_modules, make_form_code
from tests.benchmarks.scan import writing
from tests.benchmarks.scan.camera import photograph, scan
from tests.benchmarks.scan.layouts import BLANK_DPI, HEIGHT, PAGE_DPI, WIDTH, Layout, Sheet
from tests.benchmarks.scan.make import fill
from tests.benchmarks.scan.writing import PENS, Paper

FIRST_SEED = 930_000
STYLES = ("plain", "bold", "tinted", "grey")
_TINTS = {"tinted": ((0.8, 0.84, 1.0), (0.87, 0.92, 1.0), (1.0, 0.97, 0.8)), "grey": ((0.85,) * 3,)}
_OPTIONS = ("Individual", "Partnership", "Corporation", "Co-owner", "LLC", "Government")


def make_choice(number: int) -> tuple[Layout, str]:
    """Draw a form with a choice of four to six boxes; give it and how its boxes look."""
    rng = random.Random(number)  # noqa: S311 - the looks of a form
    style = STYLES[number % len(STYLES)]
    form_code = make_form_code(f"choice {number}".encode())
    rects = code_rects(WIDTH, HEIGHT)
    stream = BytesIO()
    canvas = Canvas(stream, pagesize=letter, invariant=1)
    sheet = Sheet(canvas=canvas, rng=rng)
    sheet.text(110, 735, "Application to register an aircraft", 13, bold=True)
    sheet.paragraph(72, 712, 468, 4, 8)
    for row in range(6):
        sheet.rule("text", f"{row + 1}. Entry", 72, 620 - 30 * row, 300, 18)
    side, gap = rng.choice((8, 9, 10, 12, 14)), rng.choice((2, 3, 5))
    count, top = rng.randint(4, 6), 410
    for at in range(count):
        x, y = 72 + 78 * at, top
        canvas.setLineWidth(rng.choice((1.5, 2)) if style == "bold" else rng.choice((0.5, 1)))
        if style in _TINTS:
            canvas.setFillColorRGB(*_TINTS[style][number // 4 % len(_TINTS[style])])
        canvas.rect(x, y, side, side, fill=int(style in _TINTS))
        canvas.setFillColorRGB(0, 0, 0)
        sheet.text(x + side + gap, y + 2, _OPTIONS[at], 8)
        sheet.add("check", x, y, x + side, y + side)
    sheet.paragraph(72, 380, 468, 6, 8)
    sheet.rule("signature", "Signature", 72, 220, 260, 30)
    sheet.rule("date", "Date", 400, 220, 140, 22)
    for corner, (left, _, right, upper) in enumerate(rects):
        modules = make_code_modules(form_code, 0, corner)
        dot = (right - left) / len(modules)
        for row, column in np.argwhere(modules):
            canvas.rect(left + column * dot, upper - (row + 1) * dot, dot, dot, fill=1, stroke=0)
    canvas.showPage()
    canvas.save()
    page = pypdfium2.PdfDocument(stream.getvalue())[0]
    grey = np.asarray(page.render(scale=BLANK_DPI / 72, grayscale=True).to_pil().convert("L"))
    paper = np.asarray(page.render(scale=PAGE_DPI / 72).to_pil().convert("RGB"))
    blank = BlankPage(page=0, grey=grey, dpi=BLANK_DPI, width=WIDTH, height=HEIGHT, codes=rects)
    regions = tuple(sheet.regions)
    layout = Layout(number=0, form_code=form_code, blank=blank, paper=paper, regions=regions)
    return layout, style


def main(pictures: int) -> None:
    """Draw, mark one box, take the picture, look, and print the counts by style."""
    empty: Counter[tuple[str, Seen]] = Counter()
    marked: Counter[tuple[str, Seen]] = Counter()
    several: Counter[str] = Counter()
    refused = 0
    for number in range(pictures):
        layout, style = make_choice(number)
        rng = np.random.default_rng(FIRST_SEED + number)
        paper = Paper(image=Image.fromarray(layout.paper), rng=rng)
        boxes = [region for region in layout.regions if region.kind == "check"]
        chosen = boxes[int(rng.integers(len(boxes)))]
        pen = PENS[int(rng.integers(len(PENS)))]
        for region in layout.regions:
            if region.kind != "check":
                fill(paper, region, pen, hard=False, unseen=False)
        writing.tick(paper, chosen, pen)
        flat = rng.random() < 0.2
        shot = scan(paper.image, rng) if flat else photograph(paper.image, rng, hard=False)
        files = [("picture.jpg", shot.data)]
        (found,) = look_at_pictures(
            files, [layout.blank], layout.regions, form_code=layout.form_code
        )
        refused += found.page is None
        marks = 0
        for one in found.findings:
            if one.region.kind == "check":
                (marked if one.region == chosen else empty)[style, one.seen] += 1
                marks += one.seen is Seen.PRESENT
        several[style] += marks > 1
    print(f"{pictures} pictures, {refused} refused")
    for name, counts in (("empty box", empty), ("marked box", marked)):
        for style in STYLES:
            row = ", ".join(f"{seen} {counts[style, seen]}" for seen in Seen)
            print(f"{name:10} {style:7} {row}")
    print("more than one mark read:", dict(several))


if __name__ == "__main__":
    main(int(sys.argv[1]))
