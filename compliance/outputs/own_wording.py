"""What our own papers say beside the facts: openings, room to write, boxes. All in our words."""

from dataclasses import dataclass, field

from compliance.forms.model import Blank, BlankKind

MARK = "Written by mailby from your facts; not an agency form."
"""Stands under the title of every paper of our own."""

FOOT = (
    "Written by mailby, not by an agency. A planning aid, not legal advice; compare it with the "
    "office's own rules."
)
"""The one line of caution at the foot; the whole caution stands on the checklist."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """The words and the layout of one of our own papers.

    Shape: ``title`` stands in place of the template's. ``rows`` gives the ruled lines of a blank
    by its id, ``columns`` the heads of a blank that is a table, ``choices`` the words beside its
    boxes, ``sections`` a heading that stands over it. ``addressed`` writes it to the office,
    ``enclosing`` lists the rest of the packet, ``with_subject`` names the packet's subject.
    """

    title: str = ""
    opening: str = ""
    closing: str = ""
    addressed: bool = False
    enclosing: bool = False
    with_subject: bool = True
    rows: dict[str, int] = field(default_factory=dict)
    columns: dict[str, tuple[str, ...]] = field(default_factory=dict)
    choices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    sections: dict[str, str] = field(default_factory=dict)


PLAIN = Wording()
"""For a paper that has no words of its own here."""

WORDINGS: dict[str, Wording] = {
    # What the LLC statement holds: practitioner summaries of FAA's information sheet (second-hand).
    "faa-llc-statement": Wording(
        opening=("This statement goes with the application to register the aircraft named above."),
        closing="What is stated above is true, and I may sign for the company.",
        addressed=True,
        rows={"organized-in": 1, "members": 3, "managers": 2},
        columns={
            "members": ("Full name of the member", "Kind of member", "Citizenship"),
            "managers": ("Full name", "Title"),
        },
        choices={
            "managed-by": ("members", "managers", "officers"),
            "may-act-alone": ("Each of them may act alone", "They must act together"),
        },
    ),
    # What a petition holds: 14 CFR 11.81, eCFR copy of 2026-06-20 (read).
    "faa-petition": Wording(
        title="Petition for exemption: cover letter",
        opening=(
            "The petitioner asks for an exemption under 14 CFR Part 11 and 49 USC 44807. This "
            "letter goes on top of the petition; where a line is too short, it names the page of "
            "the petition that says the rest."
        ),
        addressed=True,
        enclosing=True,
        rows={
            "sections": 6,
            "relief": 3,
            "public-interest": 3,
            "safety": 3,
            "summary": 4,
            "aircraft-list": 3,
            "good-cause": 2,
            "abroad": 1,
        },
        columns={
            "contact": ("Name", "Telephone", "E-mail"),
            "sections": ("Section and paragraph of 14 CFR", "What it asks for"),
            "aircraft-list": ("Maker and model", "Weight at take-off", "Serial number"),
        },
    ),
    # 14 CFR 137.51(b), older copy (second-hand).
    "faa-congested-plan": Wording(
        opening=(
            "The certificate holder sends this plan for one complete operation over a congested "
            "area and asks for its approval (14 CFR 137.51)."
        ),
        addressed=True,
        enclosing=True,
        rows={
            "area": 3,
            "product": 3,
            "obstacles": 3,
            "emergency-landing": 3,
            "traffic-control": 2,
            "public-notice": 2,
        },
        choices={
            "exemption-copy": ("Goes along", "Does not go along"),
            "official-approval": ("Goes along", "Does not go along"),
        },
    ),
    # 14 CFR 137.51(b) asks for effective notice; what it says is our own.
    "faa-congested-notice": Wording(
        opening="Work from the air with a small unmanned aircraft is planned here.",
        with_subject=False,
        rows={"operator": 1, "area": 2, "when": 2, "product": 4},
        sections={"how": "For our own file; not part of the notice"},
    ),
    # Our own paper; the rule read asks for a consultant, not for a form.
    "ia-consultant-agreement": Wording(
        opening="The business and the consultant named below agree on the following.",
        rows={"consultant": 2, "duties": 4, "season": 1},
    ),
    # Common practice, no source.
    "ins-cover-request": Wording(
        opening=(
            "Please offer liability cover for the operation below, and say which certificates you "
            "can send."
        ),
        addressed=True,
        enclosing=True,
        rows={"aircraft": 3, "pilots": 2, "states": 2, "holders": 3},
        columns={
            "aircraft": (
                "Maker and model",
                "Serial number",
                "Registration number",
                "Weight",
            ),
            "pilots": ("Name", "Hours flown"),
            "states": ("State", "Amounts asked for there"),
        },
        choices={"chemical": ("Wanted", "Without it")},
    ),
}

_ONE_ROW = {
    BlankKind.DATE,
    BlankKind.NUMBER,
    BlankKind.AMOUNT,
    BlankKind.PRINTED_NAME,
    BlankKind.TITLE,
}


def say_label(blank: Blank, *, known: bool = False) -> str:
    """Write the label of a blank, saying so when it is open and need not be filled in."""
    return (
        blank.label
        if blank.must or known
        else f"{blank.label} (if it applies; otherwise strike it)"
    )


def list_choices(wording: Wording, blank: Blank) -> tuple[str, ...]:
    """List the boxes of a blank that is ticked.

    Shape: our own words for it, else what its label lists after a colon, else ``Yes`` and ``No``.
    """
    own = wording.choices.get(blank.id)
    if own is not None:
        return own
    _, colon, listed = blank.label.partition(": ")
    return tuple(listed.split(", ")) if colon else ("Yes", "No")


def count_rows(wording: Wording, blank: Blank) -> int:
    """Count the ruled lines a blank needs when nothing is known of it."""
    return wording.rows.get(blank.id, 1 if blank.kind in _ONE_ROW else 2)
