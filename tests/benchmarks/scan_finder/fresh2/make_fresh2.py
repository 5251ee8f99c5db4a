"""Draw the forms of this folder anew, with their truth.

Run: ``python tests/benchmarks/scan_finder/fresh2/make_fresh2.py FOLDER``, where the folder holds
the DejaVu fonts (DejaVuSans.ttf and so on).
"""

import sys
from pathlib import Path

import forms_boxed
import forms_fields
import forms_licence
import forms_lined
import forms_odd
import forms_sworn
import forms_tabled
from pad import load_fonts

GROUPS = (
    forms_sworn,
    forms_boxed,
    forms_licence,
    forms_lined,
    forms_tabled,
    forms_odd,
    forms_fields,
)


def main(fonts: Path) -> int:
    """Draw all forms; print how many blanks each has."""
    if not (fonts / "DejaVuSans.ttf").is_file():
        print(f"{fonts} holds no DejaVuSans.ttf: name the folder of the DejaVu fonts.")
        return 3
    load_fonts(fonts)
    whole = 0
    for group in GROUPS:
        for form in group.FORMS:
            pad = form()
            count = pad.save()
            whole += count
            print(f"{pad.name:24} {count:4}")
    print(f"{'all':24} {whole:4}")
    return 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1] if len(sys.argv) > 1 else ".")))
