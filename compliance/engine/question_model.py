"""One question about a packet."""

from dataclasses import dataclass
from enum import StrEnum

from compliance.engine.check_model import Key
from compliance.facts.answers import Status


class QuestionKind(StrEnum):
    """What kind of reply a question takes.

    To a question about a blank the words ``empty``, ``struck`` and ``unclear`` are replies too.
    """

    YES_NO = "yes-no"
    TEXT = "text"
    DATE = "date"
    CHOICE = "choice"
    LIST = "list"


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One plain question.

    ``about`` is the title of the document, to be shown when it changes; empty for the envelope.
    ``document`` is empty for the envelope; ``blank`` is then the name of an envelope answer, else a
    blank's id or ``enclosed``. ``also`` are further blanks that the same reply answers.
    ``expected`` is the text that must stand there, empty when any may. ``default`` is what an empty
    reply means, empty when a reply is needed. ``choices`` belong to a choice. ``no_means`` is what
    a plain no says about the blanks of a question without ``expected``, None when it does not say
    enough. ``is_name``: a person, a firm or a place stands there. ``before`` says of a question
    that is asked again what was answered; whoever types nothing then leaves it so, whatever the
    default.
    """

    text: str
    kind: QuestionKind
    blank: str
    about: str = ""
    document: str = ""
    sheet: int = 1
    help: str = ""
    expected: str = ""
    default: str = ""
    choices: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    no_means: Status | None = Status.EMPTY
    before: str = ""
    is_name: bool = False

    @property
    def key(self) -> Key:
        """Give what it asks about."""
        return self.document, self.sheet, self.blank
