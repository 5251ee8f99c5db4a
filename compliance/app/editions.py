"""Editions of forms learned since a packet was checked: its verdict is of the earlier one."""

import json
from dataclasses import asdict, dataclass

from sqlmodel import Session

from compliance.app.known_forms import PRINT
from compliance.engine.plan_model import PaperPlan
from compliance.store.checks import StoredCheck, load_learned
from compliance.store.kept_json import parse_kept


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownEdition:
    """The newest edition of a form that the user showed, by its code."""

    template: str
    edition: str


def render_editions(session: Session, paper: PaperPlan) -> str:
    """Give the newest learned edition of each form of a packet as JSON text."""
    return json.dumps([asdict(one) for one in _load_newest(session, paper)])


def list_newer(session: Session, paper: PaperPlan, stored: StoredCheck) -> tuple[str, ...]:
    """Give the titles of the documents of which another edition was learned since the check.

    A form that was not known at the check is none of them: nothing was held against it.

    Raises:
        ValueError, TypeError: What was kept is damaged.
    """
    kept = {one.template: one.edition for one in parse_kept(KnownEdition, stored.editions)}
    newer = {
        one.template
        for one in _load_newest(session, paper)
        if kept.get(one.template, one.edition) != one.edition
    }
    return tuple(row.title for row in paper.packet.documents if row.template in newer)


def say_newer(title: str) -> str:
    """Say that another edition was learned."""
    return (
        f"another edition of `{title}` was learned since the check, so that was of the earlier one;"
        " see that the paper in hand is of the edition the office takes now"
    )


def _load_newest(session: Session, paper: PaperPlan) -> list[KnownEdition]:
    return [
        KnownEdition(template=template, edition=form.edition)
        for template in sorted({row.template for row in paper.packet.documents})
        for form in load_learned(session, template, PRINT)[:1]
    ]
