"""The user's own packs of rules."""

from typing import TYPE_CHECKING

from compliance.facts.packs import KeptPack
from compliance.store.questions import Question
from compliance.store.reading import Readable, read_rows
from compliance.store.refusals import refuse_unreadable

if TYPE_CHECKING:
    from sqlmodel import Session


@refuse_unreadable("a pack of rules")
def load_packs(session: Readable) -> tuple[KeptPack, ...]:
    """Load the packs by name.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    question = Question(table="rules_pack", columns=KeptPack.__slots__, order=("name",))
    return tuple(KeptPack(**row) for row in read_rows(session, question))


def save_pack(session: "Session", pack: KeptPack) -> None:
    """Keep a pack in place of an earlier one of the same name."""
    from compliance.store.tables_rules import RulesPackRow

    session.merge(RulesPackRow(**{name: getattr(pack, name) for name in KeptPack.__slots__}))
    session.flush()


def delete_pack(session: "Session", name: str) -> bool:
    """Forget a pack; tell whether there was one."""
    from compliance.store.tables_rules import RulesPackRow

    found = session.get(RulesPackRow, name)
    if found is None:
        return False
    session.delete(found)
    session.flush()
    return True
