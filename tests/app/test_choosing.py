"""Which form pictures show, and what helps when they show another one."""

from datetime import date
from pathlib import Path

import pytest
from sqlmodel import Session

from compliance.app.choosing import choose_forms, want_form
from compliance.app.known_forms import KnownForm, save_known
from compliance.app.tables import load_templates
from compliance.base.problems import RefusedError

PACKET = "faa.registration-n:tg46"
TEMPLATES = load_templates()
DOCUMENTS = {
    "application": TEMPLATES["faa-8050-1"],
    "affidavit": TEMPLATES["faa-ua-affidavit"],
}


def learn(session: Session, template: str, code: str) -> None:
    form = KnownForm(
        template=template,
        code=code,
        kept_on=date(2027, 1, 4),
        blank_file=Path("blank.pdf"),
        places=(),
    )
    save_known(session, form)


RIGHT = "take the page of Affidavit of ownership for an unmanned aircraft"
UNKNOWN = (
    "this page is of a form or an edition that is not known here (its corner codes say ZZZZZZ)"
)


@pytest.mark.parametrize(
    ("code", "message", "hint"),
    [
        (
            "AAAAAA",
            "this is a page of Aircraft Registration Application",
            f"say --document application if that page is meant, or {RIGHT}",
        ),
        ("CCCCCC", "this is a page of Commercial applicator license application", RIGHT),
        ("ZZZZZZ", UNKNOWN, "mailby forms learn BLANK.pdf --form faa-ua-affidavit"),
    ],
)
def test_choose_forms_of_another_page_says_what_helps(
    session: Session, code: str, message: str, hint: str
) -> None:
    """Another document of the packet, a page of another packet, a page nobody knows."""
    learn(session, "faa-ua-affidavit", "BBBBBB")
    learn(session, "faa-8050-1", "AAAAAA")
    learn(session, "sd-commercial-application", "CCCCCC")
    wanted = want_form(DOCUMENTS["affidavit"], PACKET, DOCUMENTS)

    with pytest.raises(RefusedError) as caught:
        choose_forms(session, wanted, {"p.jpg": frozenset({code})}, TEMPLATES)

    assert (caught.value.message, caught.value.hint) == (f"p.jpg: {message}", hint)
