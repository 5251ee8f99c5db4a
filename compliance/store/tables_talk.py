"""The table of interviews that were interrupted."""

from sqlmodel import Field, SQLModel


class AnswerRow(SQLModel, table=True):
    """One answer of an interrupted interview, by its question."""

    __tablename__ = "interview_answer"

    interview: str = Field(primary_key=True)
    question: str = Field(primary_key=True)
    position: int
    answer: str
