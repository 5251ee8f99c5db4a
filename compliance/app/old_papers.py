"""Copies of our own papers as printed that nothing rests on any more: forgotten without a word."""

import contextlib
import json
from collections import Counter
from datetime import date, timedelta
from pathlib import Path

from sqlmodel import Session

from compliance.app.known_forms import OWN
from compliance.app.seen import SeenFile
from compliance.facts.answers import Source
from compliance.store.checks import (
    LearnedForm,
    delete_learned,
    load_learned_kind,
    load_looked_at,
)
from compliance.store.kept_json import parse_kept

# Our choice: a paper signed for one season may be photographed until the next one has begun.
MOST_DAYS, MOST_COPIES = 400, 10


def forget_old_papers(session: Session, folder: Path, today: date) -> None:
    """Forget printed papers on which no check rests, of which there are many or that are old.

    Shape: *today* is the day of the clock, never another one somebody looks at. Of each paper of a
    packet the newest 10 stay, unless they are older than 400 days. A copy that a kept check was
    lined up with stays always; so does what cannot be read. What was printed for a day to come
    stays and pushes out no other. Files outside *folder* are left alone.
    """
    used, unsaid = _find_used(session)
    seen: Counter[tuple[str, str]] = Counter()
    for form in load_learned_kind(session, OWN):
        if form.learned_on > today:
            continue
        packet = _packet_of(form)
        seen[form.template, packet] += 1
        is_many = seen[form.template, packet] > MOST_COPIES
        is_old = form.learned_on < today - timedelta(days=MOST_DAYS)
        if not packet or form.edition in used or packet in unsaid or not (is_many or is_old):
            continue
        delete_learned(session, form)
        kept = Path(form.blank_file)
        if kept.parent == folder:
            with contextlib.suppress(OSError):
                kept.unlink(missing_ok=True)


def _find_used(session: Session) -> tuple[frozenset[str], frozenset[str]]:
    """Find what kept checks rest on.

    Shape: the codes of the editions that pictures were lined up with, and the packets of which a
    kept picture does not say with which.
    """
    used: set[str] = set()
    unsaid: set[str] = set()
    for packet, files in load_looked_at(session):
        try:
            seen = parse_kept(SeenFile, files)
        except (ValueError, TypeError):
            unsaid.add(packet)
            continue
        used.update(one.form for one in seen if one.form)
        if any(one.kind == Source.PHOTO and not one.form for one in seen):
            unsaid.add(packet)
    return frozenset(used), frozenset(unsaid)


def _packet_of(form: LearnedForm) -> str:
    """Give the packet a paper was printed for; empty when what was kept is damaged."""
    with contextlib.suppress(ValueError):
        content = json.loads(form.content)
        packet = content.get("packet") if isinstance(content, dict) else None
        return packet if isinstance(packet, str) else ""
    return ""
