"""Make the unseen test of the finder of blanks: forms of our own and the truth about them.

Run: ``python tests/benchmarks/scan_finder/unseen/make_unseen.py``. For every form it writes
``<name>.pdf`` and ``<name>.json``, a list of blanks with ``kind``, ``page`` (from 0), ``left``,
``bottom``, ``right``, ``top`` (points from the lower left of the page as shown: turned and
cropped) and ``label``. With ``--check`` it writes nothing and ends with 1 when a file differs.

How the truth is told:

- the rectangle is where the ink goes: from the rule up to the room above it, a cell without its
  label, the inside of a check box;
- several ruled lines for one answer (remarks, an address) are one blank;
- a date with its parts apart (``this __ day of ____, 20__``, three small boxes) is one blank, and
  so is a row of one-letter boxes;
- every empty cell of a table to fill is a blank, labelled by its column;
- lines under headings, frames, footers and tables of printed figures are no blanks.

The forms are invented. They measure the finder: do not tune it on them.
"""

import json
import sys
from collections import Counter
from pathlib import Path

from unseen_cells import (
    make_a4_grey,
    make_boxed_cells,
    make_comb_boxes,
    make_packed_cells,
    make_table_rows,
    make_tinted,
)
from unseen_notary import make_affidavit, make_bond, make_members, make_oath, make_sale
from unseen_odd import (
    make_cropped,
    make_labels_around,
    make_parts_apart,
    make_turned_back,
    make_turned_log,
    make_typed_fields,
)
from unseen_plain import (
    make_captions_under,
    make_cover_letter,
    make_dense_traps,
    make_ruled_left,
    make_small_card,
    make_two_columns,
    make_two_pages,
    make_typed_underscores,
)

HERE = Path(__file__).parent
LARGEST_BYTES = 60_000
FORMS = {
    "ruled_left": make_ruled_left,
    "captions_under": make_captions_under,
    "typed_underscores": make_typed_underscores,
    "two_columns": make_two_columns,
    "dense_traps": make_dense_traps,
    "two_pages": make_two_pages,
    "small_card": make_small_card,
    "cover_letter": make_cover_letter,
    "boxed_cells": make_boxed_cells,
    "table_rows": make_table_rows,
    "comb_boxes": make_comb_boxes,
    "a4_grey": make_a4_grey,
    "tinted": make_tinted,
    "affidavit": make_affidavit,
    "sale": make_sale,
    "bond": make_bond,
    "turned_log": make_turned_log,
    "turned_back": make_turned_back,
    "cropped": make_cropped,
    "typed_fields": make_typed_fields,
    "oath": make_oath,
    "members": make_members,
    "labels_around": make_labels_around,
    "parts_apart": make_parts_apart,
    "packed_cells": make_packed_cells,
}


def build() -> dict[str, bytes]:
    """Give every file's name and bytes."""
    files: dict[str, bytes] = {}
    for name, make in FORMS.items():
        pdf, truth = make().finish()
        if len(pdf) > LARGEST_BYTES:
            raise ValueError(f"{name}.pdf is {len(pdf)} bytes, over {LARGEST_BYTES}")
        rows = ",\n".join(json.dumps(row) for row in truth)
        files[f"{name}.pdf"] = pdf
        files[f"{name}.json"] = f"[\n{rows}\n]\n".encode()
    return files


def main() -> int:
    """Write or compare the files and print how many blanks of each kind there are."""
    files = build()
    total: Counter[str] = Counter()
    for name, content in files.items():
        if name.endswith(".json"):
            kinds = Counter(row["kind"] for row in json.loads(content))
            print(f"{name.removesuffix('.json'):20} {kinds.total():3} blanks")
            total += kinds
    print(f"{len(FORMS)} forms, {total.total()} blanks:", dict(sorted(total.items())))
    if "--check" in sys.argv:
        paths = {name: HERE / name for name in files}
        wrong = [n for n, p in paths.items() if not p.exists() or p.read_bytes() != files[n]]
        print("differ:", ", ".join(wrong) or "none")
        return int(bool(wrong))
    for name, content in files.items():
        (HERE / name).write_bytes(content)
    return 0


if __name__ == "__main__":
    sys.exit(main())
