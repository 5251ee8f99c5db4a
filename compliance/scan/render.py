"""Open and draw the pages of a PDF, with somebody else's file kept at arm's length."""

import numpy as np
from numpy.typing import NDArray

from compliance.base.problems import RefusedError
from compliance.scan.pdf_model import PageSize, PdfFacts, PdfKind
from compliance.scan.sandbox import run_bounded

MIN_DPI = 36
MAX_DPI = 600


def open_pdf(data: bytes) -> PdfFacts:
    """Tell what sort of PDF it is, and the size of its pages.

    Units: PDF points (1/72 inch), pages as they are shown.

    Raises:
        RefusedError: It is no PDF, locked with a password, damaged, too large, has too many pages,
            or takes too long.
    """
    answer, _ = run_bounded("facts", data)
    return PdfFacts(
        kind=PdfKind(answer["kind"]),
        pages=tuple(PageSize(**size) for size in answer["pages"]),
        is_encrypted=answer["is_encrypted"],
    )


def render_page(data: bytes, page: int, dpi: int, *, colour: bool = False) -> NDArray[np.uint8]:
    """Draw one page with what is in its fields and what was drawn on it, as it would print.

    Shape: rows by columns of grey, or rows by columns by red, green and blue; 0 is black. Units:
    ``page`` counts from 0; ``dpi`` is dots an inch. Scripts in the file are not run.

    Raises:
        RefusedError: As :func:`open_pdf`; no such page; too many dots.
    """
    if not MIN_DPI <= dpi <= MAX_DPI:
        raise RefusedError(
            f"A page is drawn with {MIN_DPI} to {MAX_DPI} dots an inch, not {dpi}.",
            hint="Use 150.",
        )
    size, pixels = run_bounded("page", data, {"page": page, "dpi": dpi, "colour": colour})
    shape = (size["height"], size["width"], size["depth"])
    picture = np.frombuffer(pixels, dtype=np.uint8).reshape(shape)
    return picture if colour else picture[:, :, 0]
