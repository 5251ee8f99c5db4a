"""The user's own packs of rules."""

from sqlmodel import Session, col, select

from compliance.facts.packs import KeptPack
from compliance.store.session import refuse_unreadable
from compliance.store.tables_rules import RulesPackRow


@refuse_unreadable("a pack of rules")
def load_packs(session: Session) -> tuple[KeptPack, ...]:
    """Load the packs by name.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    query = select(RulesPackRow).order_by(col(RulesPackRow.name))
    return tuple(
        KeptPack(**{name: getattr(row, name) for name in KeptPack.__slots__})
        for row in session.exec(query)
    )


def save_pack(session: Session, pack: KeptPack) -> None:
    """Keep a pack in place of an earlier one of the same name."""
    session.merge(RulesPackRow(**{name: getattr(pack, name) for name in KeptPack.__slots__}))
    session.flush()


def delete_pack(session: Session, name: str) -> bool:
    """Forget a pack; tell whether there was one."""
    found = session.get(RulesPackRow, name)
    if found is None:
        return False
    session.delete(found)
    session.flush()
    return True
