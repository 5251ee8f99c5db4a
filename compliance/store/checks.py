"""Checks of packets and learned forms: rows to plain values and back."""

from dataclasses import dataclass
from datetime import date

from sqlmodel import Session, col, func, select

from compliance.store.refusals import refuse_unreadable
from compliance.store.tables_papers import LearnedFormRow, PacketCheckRow


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredCheck:
    """What was kept of a check; ``answers`` is YAML text, the other texts are JSON."""

    packet: str
    turn: int
    answers: str
    files: str
    ready: bool
    fingerprint: str
    checked_on: date
    pictures: str = "[]"
    editions: str = "[]"


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnedForm:
    """One learned edition of a form; ``content`` is JSON text."""

    template: str
    kind: str
    edition: str
    learned_on: date
    content: str
    blank_file: str


@refuse_unreadable("the check of a packet")
def load_check(session: Session, operation_id: str, packet: str, turn: int) -> StoredCheck | None:
    """Load what is kept of the check of one mailing of a packet, or None."""
    row = session.get(PacketCheckRow, (operation_id, packet, turn))
    if row is None:
        return None
    return StoredCheck(**{name: getattr(row, name) for name in StoredCheck.__slots__})


@refuse_unreadable("the check of a packet")
def load_other_checks(
    session: Session, operation_id: str, packet: str, turn: int
) -> tuple[tuple[StoredCheck, ...], tuple[StoredCheck, ...]]:
    """Load the checks of the mailings of a packet before and after one, each oldest first."""
    mine = [one for one in load_checks(session, operation_id) if one.packet == packet]
    earlier = tuple(one for one in mine if one.turn < turn)
    return earlier, tuple(one for one in mine if one.turn > turn)


def delete_later_checks(session: Session, operation_id: str, packet: str, turn: int) -> None:
    """Forget the checks of the mailings of a packet after one."""
    query = select(PacketCheckRow).where(
        PacketCheckRow.operation_id == operation_id,
        PacketCheckRow.packet == packet,
        PacketCheckRow.turn > turn,
    )
    for row in session.exec(query).all():
        session.delete(row)
    session.flush()


@refuse_unreadable("the checks of a packet")
def has_check(session: Session, operation_id: str, packet: str) -> bool:
    """Tell whether any mailing of a packet was ever checked."""
    query = select(PacketCheckRow.packet).where(
        PacketCheckRow.operation_id == operation_id, PacketCheckRow.packet == packet
    )
    return session.exec(query).first() is not None


def save_check(session: Session, operation_id: str, check: StoredCheck) -> None:
    """Keep a check in place of the one before it."""
    fields = {name: getattr(check, name) for name in StoredCheck.__slots__}
    session.merge(PacketCheckRow(operation_id=operation_id, **fields))
    session.flush()


@refuse_unreadable("the learned forms")
def load_learned(session: Session, template: str, kind: str) -> tuple[LearnedForm, ...]:
    """Load the learned editions of a form, the one learned last first."""
    query = (
        select(LearnedFormRow)
        .where(LearnedFormRow.template == template, LearnedFormRow.kind == kind)
        .order_by(col(LearnedFormRow.number).desc())
    )
    return tuple(
        LearnedForm(**{name: getattr(row, name) for name in LearnedForm.__slots__})
        for row in session.exec(query)
    )


@refuse_unreadable("the learned forms")
def find_learned(session: Session, edition: str, kinds: tuple[str, ...]) -> LearnedForm | None:
    """Find the form an edition belongs to, whatever its name; of several the one learned last."""
    query = (
        select(LearnedFormRow)
        .where(LearnedFormRow.edition == edition, col(LearnedFormRow.kind).in_(kinds))
        .order_by(col(LearnedFormRow.number).desc())
    )
    row = session.exec(query).first()
    if row is None:
        return None
    return LearnedForm(**{name: getattr(row, name) for name in LearnedForm.__slots__})


@refuse_unreadable("the learned forms")
def load_learned_kind(session: Session, kind: str) -> tuple[LearnedForm, ...]:
    """Load the learned editions of a kind, of whatever form, the one learned last first."""
    query = (
        select(LearnedFormRow)
        .where(LearnedFormRow.kind == kind)
        .order_by(col(LearnedFormRow.number).desc())
    )
    return tuple(
        LearnedForm(**{name: getattr(row, name) for name in LearnedForm.__slots__})
        for row in session.exec(query)
    )


def delete_learned(session: Session, form: LearnedForm) -> None:
    """Forget a learned edition of a form."""
    row = session.get(LearnedFormRow, (form.template, form.kind, form.edition))
    if row is not None:
        session.delete(row)
        session.flush()


@refuse_unreadable("the check of a packet")
def load_looked_at(session: Session) -> tuple[tuple[str, str], ...]:
    """Load what is kept of the files of every check of every operation: (packet, JSON text)."""
    return tuple(session.exec(select(PacketCheckRow.packet, PacketCheckRow.files)))


def save_learned(session: Session, form: LearnedForm) -> None:
    """Keep a learned edition of a form; it counts as the one learned last."""
    fields = {name: getattr(form, name) for name in LearnedForm.__slots__}
    number = (session.exec(select(func.max(LearnedFormRow.number))).one() or 0) + 1
    session.merge(LearnedFormRow(number=number, **fields))
    session.flush()


@refuse_unreadable("the check of a packet")
def load_checks(session: Session, operation_id: str) -> tuple[StoredCheck, ...]:
    """Load what is kept of the checks of all mailings of an operation, by packet and mailing."""
    query = (
        select(PacketCheckRow)
        .where(PacketCheckRow.operation_id == operation_id)
        .order_by(col(PacketCheckRow.packet), col(PacketCheckRow.turn))
    )
    return tuple(
        StoredCheck(**{name: getattr(row, name) for name in StoredCheck.__slots__})
        for row in session.exec(query)
    )
