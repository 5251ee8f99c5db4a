"""What is done to a blank form somebody gave, in the child process: its places, codes, pictures."""

from dataclasses import asdict
from typing import Any

from compliance.scan.finder import draw_found, find_blanks
from compliance.scan.model import Region
from compliance.scan.pdfium_reading import answer_facts
from compliance.scan.printing import add_codes

Answer = tuple[dict[str, Any], bytes]


def answer_blanks(data: bytes) -> Answer:
    """Answer the task ``blanks``: the places to be filled in.

    Raises:
        RefusedError: The PDF cannot be used.
    """
    answer_facts(data)  # says plainly what is wrong with the file, before the form is looked at
    return {"regions": [asdict(region) for region in find_blanks(data)]}, b""


def answer_codes(data: bytes, form_code: str, avoid: list[dict[str, Any]]) -> Answer:
    """Answer the task ``codes``: the places of the codes, and the form with them.

    Raises:
        RefusedError: The PDF cannot be used, or has no room for codes.
    """
    answer_facts(data)
    coded = add_codes(data, form_code, tuple(Region(**region) for region in avoid))
    return {"places": coded.places}, coded.pdf


def answer_drawing(data: bytes, regions: list[dict[str, Any]]) -> Answer:
    """Answer the task ``drawing``: the sizes of the pictures of the pages, and the pictures.

    Raises:
        RefusedError: The PDF cannot be used.
    """
    answer_facts(data)
    pictures = draw_found(data, tuple(Region(**region) for region in regions))
    return {"sizes": [len(picture) for picture in pictures]}, b"".join(pictures)
