"""Half-finished interviews: the answers so far."""

from collections.abc import Mapping

from sqlmodel import Session, col, delete, select

from compliance.store.tables_talk import AnswerRow


def load_answers(session: Session, interview: str) -> dict[str, str]:
    """Load the answers of a half-finished interview in the order they were given."""
    query = (
        select(AnswerRow).where(AnswerRow.interview == interview).order_by(col(AnswerRow.position))
    )
    return {row.question: row.answer for row in session.exec(query)}


def save_answers(session: Session, interview: str, answers: Mapping[str, str]) -> None:
    """Write the answers of an interview in place of those before; none at all forgets it."""
    session.exec(delete(AnswerRow).where(col(AnswerRow.interview) == interview))
    session.add_all(
        AnswerRow(interview=interview, question=question, position=at, answer=answer)
        for at, (question, answer) in enumerate(answers.items())
    )
    session.flush()
