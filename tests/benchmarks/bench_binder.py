"""Time a binder of some 500 pages: made in at most 30 s, opened in at most 10 s.

Run: .venv/bin/python tests/benchmarks/bench_binder.py

The copies are 12 PDFs of 39 pages of text with a picture on each, and 12 photos of 12 million
dots, on the demo's papers. Opening is measured with a library that many viewers share (pypdfium2):
open, draw the first page at 100 dots an inch, read the text of the last.
"""

import os
import random
import sys
import tempfile
import time
from datetime import date
from io import BytesIO
from pathlib import Path
from uuid import UUID

import pypdfium2 as pdfium
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from compliance.app.attachments import attach_file
from compliance.app.binder import Wish, write_binder
from compliance.app.demo import DEMO_DAY, run_demo
from compliance.store.session import open_session

PDFS, PAGES, PHOTOS = 12, 39, 12
PACKETS = ("ins.liability", "faa.exemption", "faa.registration-small:tg18", "faa.remote-pilot:wren")
MADE_WITHIN, OPENED_WITHIN = 30.0, 10.0


def make_pdf(number: int, chance: random.Random) -> bytes:
    """A PDF of dense text with a picture on each page."""
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1)
    picture = ImageReader(Image.effect_noise((400, 300), 60 + number))
    for page in range(PAGES):
        canvas.drawImage(picture, 72, 72, 200, 150)
        for line in range(45):
            words = " ".join(f"{chance.randrange(10**6):06d}" for _ in range(9))
            canvas.drawString(72, 780 - 12 * line, f"{number}.{page}.{line} {words}")
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def make_photo(number: int) -> bytes:
    """A photo as a phone takes it."""
    buffer = BytesIO()
    noise = Image.effect_noise((1000, 750), 30 + number).resize((4000, 3000))
    noise.convert("RGB").save(buffer, "JPEG", quality=90)
    return buffer.getvalue()


def main() -> int:
    """Make, open, compare; the exit code tells whether both were quick enough."""
    chance = random.Random(7)  # noqa: S311 - nothing secret
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        database = run_demo(folder / "demo", namespace=str(UUID(int=7))).database
        kept = Path(f"{database}.attached")
        started = time.perf_counter()
        with open_session(str(database)) as session:
            for number in range(PDFS + PHOTOS):
                is_pdf = number < PDFS
                data = make_pdf(number, chance) if is_pdf else make_photo(number)
                path = folder / f"copy{number}.{'pdf' if is_pdf else 'jpg'}"
                path.write_bytes(data)
                packet = PACKETS[number % len(PACKETS)]
                attach_file(session, None, packet, str(path), "", kept, DEMO_DAY)
        attached = time.perf_counter() - started
        print(f"{PDFS + PHOTOS} copies attached in {attached:.1f} s (made and checked)", flush=True)
        wish = Wish(as_of=DEMO_DAY, printed_on=date(2027, 1, 11))
        started, used = time.perf_counter(), os.times()
        with open_session(str(database)) as session:
            written = write_binder(session, None, wish, kept, folder / "binder.pdf")
        made = time.perf_counter() - started
        now = os.times()
        worked = sum(now[:4]) - sum(used[:4])
        started = time.perf_counter()
        document = pdfium.PdfDocument(folder / "binder.pdf")
        document[0].render(scale=100 / 72).to_numpy()
        text = document[len(document) - 1].get_textpage().get_text_range()
        opened = time.perf_counter() - started
        size = written.path.stat().st_size / 1e6
        pages = len(document)
        document.close()
    print(f"{pages} pages, {size:.1f} MB: made in {made:.1f} s, {worked:.1f} s of work in all")
    print(f"opened, first page drawn, last page read in {opened:.2f} s ({len(text)} letters)")
    return int(not (made <= MADE_WITHIN and opened <= OPENED_WITHIN and pages >= 500))


if __name__ == "__main__":
    sys.exit(main())
