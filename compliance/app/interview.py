"""A talk that asks one question after the other, keeps every answer and can be taken up again.

The questions are asked by a plain function (a *script*) that calls :meth:`Talk.put` for each. What
has been answered before is replayed without asking, so stopping, resuming and going back are all
the same thing: run the script again with the answers there are.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Protocol

from compliance.app.interview_parts import (
    Option,
    Read,
    Reading,
    find_unreadable,
    read_choice,
    read_name,
    read_yes_no,
)
from compliance.app.interview_words import PARTS, WORDS, Wording
from compliance.base.reading import MAX_TEXT
from compliance.base.yaml_text import Tree
from compliance.outputs.words import wrap

Section = dict[str, Tree]

_EARLIER, _SETTLED = "earlier ", "settled "
_MOST_SHOWN, _MOST_STEM = 60, 50
_SHARING = ("aircraft.", "pilots.")  # one set of short names for both
_NEEDS_PAPERS_ANEW = frozenset({"aircraft", "pilots", "jobs"})


class Ask(Protocol):
    """Show a prompt and give the line typed after it."""

    def __call__(self, prompt: str) -> str:
        """Give the line without its end.

        Raises:
            EOFError: Nobody is there to answer any more.
        """


class StoppedError(Exception):
    """The person chose to stop; every answer is kept."""


class BackError(Exception):
    """The person wants the question before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question: its key, its words, how an answer is read, and what Enter alone gives.

    ``default`` is a value as kept, empty for an answer that may be empty, None for one that must
    be given. ``path`` is where the value stands in the facts file. An answer that does not last is
    not kept.
    """

    key: str
    words: Wording
    read: Read
    default: str | None = None
    optional: bool = False
    options: tuple[Option, ...] = ()
    path: tuple[str | int, ...] = ()
    lasting: bool = True


@dataclass(slots=True, kw_only=True)
class Talk:
    """The answers so far, and the person to ask for more.

    ``answers`` are in force; ``earlier`` ones are offered in brackets, because the person went back
    or because an operation is being changed; ``settled`` are short names that are not asked.
    ``asked`` are the keys of this run of the script in its order, ``paths`` their places in the
    facts file, ``draft`` that file as far as it was made; ``head`` is the part shown last.
    """

    ask: Ask
    tell: Callable[[str], None]
    keep: Callable[[Mapping[str, str]], None]
    answers: dict[str, str] = field(default_factory=dict)
    earlier: dict[str, str] = field(default_factory=dict)
    settled: dict[str, str] = field(default_factory=dict)
    asked: list[str] = field(default_factory=list)
    paths: dict[str, tuple[str | int, ...]] = field(default_factory=dict)
    draft: str = ""
    head: str = ""

    def load_state(self, state: Mapping[str, str]) -> None:
        """Take up the answers of an earlier talk."""
        for key, value in state.items():
            if key.startswith(_EARLIER):
                self.earlier[key.removeprefix(_EARLIER)] = value
            elif key.startswith(_SETTLED):
                self.settled[key.removeprefix(_SETTLED)] = value
            else:
                self.answers[key] = value

    @property
    def state(self) -> dict[str, str]:
        """All that must be kept to take the talk up again."""
        return (
            self.answers
            | {f"{_EARLIER}{key}": value for key, value in self.earlier.items()}
            | {f"{_SETTLED}{key}": value for key, value in self.settled.items()}
        )

    def recall(self, key: str) -> str:
        """Give the answer to a question, in force or earlier; empty without one."""
        return self.answers.get(key, self.earlier.get(key, ""))

    def knows(self, prefix: str) -> bool:
        """Tell whether any answer, in force or earlier, has a key that begins so."""
        return any(key.startswith(prefix) for key in (*self.answers, *self.earlier))

    def begin(self) -> None:
        """Get ready for a new run of the script."""
        self.asked.clear()
        self.paths.clear()

    def put(self, question: Question) -> str:
        """Give the answer to a question: the one kept, or else ask for it.

        Raises:
            BackError: The person asked for the question before.
            StoppedError: The person asked to stop.
            EOFError: Nobody is there to answer any more.
        """
        key = question.key
        self.asked.append(key)
        self.paths[key] = question.path
        known = self.answers.get(key)
        if known is not None:
            reading = _read(question, known)
            if not reading.fault:
                return reading.value
            self._set_aside(key)
        value = self._ask(question)
        if question.lasting:
            self.answers[key] = value
            self.earlier.pop(key, None)
            self.keep(self.state)
        return value

    def step_back(self) -> None:
        """Take back the answer before the question that stands open; it is offered again."""
        if len(self.asked) > 1:
            self._set_aside(self.asked[-2])
            self.keep(self.state)
        else:
            self.tell("This is the first question; there is none before it.")

    def reopen(self, key: str) -> None:
        """Ask one question, or all questions of a part, again with the answers offered."""
        wanted = {key, "papers"} if key in _NEEDS_PAPERS_ANEW else {key}
        for name in [*self.answers]:
            if name in wanted or (key in PARTS and name.split(".")[0] == key):
                self._set_aside(name)
        self.keep(self.state)

    def _set_aside(self, key: str) -> None:
        if key in self.answers:
            self.earlier[key] = self.answers.pop(key)

    def _ask(self, question: Question) -> str:
        default = _find_default(question, self.earlier.get(question.key))
        self._show(question)
        prompt = "> " if default is None else f"[{_shorten(question, default)}] > "
        while True:
            typed = self.ask(prompt).strip()
            if typed.lower() == "back":
                raise BackError
            if typed.lower() == "stop":
                raise StoppedError
            if typed == "?":
                self.tell(wrap(question.words.more or question.words.help, indent=2))
                continue
            reading = _answer(question, typed, default)
            if not reading.fault:
                if reading.words and reading.words != typed:
                    self.tell(wrap(f"= {reading.words}", indent=2, hang=4))
                return reading.value
            self.tell(wrap(f"! {reading.fault}", indent=2, hang=4))
            if reading.hint:
                self.tell(wrap(reading.hint, indent=4))

    def _show(self, question: Question) -> None:
        part = PARTS.get(question.key.split(".")[0], "")
        if part and part != self.head:
            self.tell(f"\n{part.upper()}")
        self.head = part
        self.tell("\n" + wrap(question.words.ask))
        self.tell(wrap(question.words.help, indent=2))
        for number, (word, words) in enumerate(question.options, 1):
            shown = words if words.startswith(word) or _is_code(word) else f"{word}: {words}"
            self.tell(wrap(f"{number:>2}  {shown}", indent=2, hang=6))


def _read(question: Question, text: str) -> Reading:
    """Read an answer, which may be empty where the question allows it."""
    if not text:
        fault = "" if question.optional else "an answer is needed here"
        return Reading(fault=fault, hint="type stop to save and stop")
    if len(text) > MAX_TEXT:
        fault = f"the answer has {len(text):,} characters; at most {MAX_TEXT:,}"
        return Reading(fault=fault, hint="shorten it")
    return find_unreadable(text) or question.read(text)


def _answer(question: Question, typed: str, default: str | None) -> Reading:
    """Read what was typed; Enter alone takes the default, ``-`` means none."""
    if not typed and default is not None:
        return _read(question, default)
    return _read(question, "" if typed == "-" and question.optional else typed)


def _find_default(question: Question, earlier: str | None) -> str | None:
    """Give the earlier answer if it still fits, or else the question's own default."""
    if earlier is not None and not _read(question, earlier).fault:
        return earlier
    own = "" if question.default is None and question.optional else question.default
    return own if own is None or not _read(question, own).fault else None


def _is_code(word: str) -> bool:
    """Tell whether the word of an option is none that people read or type."""
    return "." in word or "/" in word


def _shorten(question: Question, default: str) -> str:
    """Write a default for its brackets: numbers for papers and clocks, a short line for texts."""
    words = [word for word, _ in question.options]
    parts = default.split(",")
    if default and set(parts) <= set(words) and any(map(_is_code, words)):
        return ", ".join(str(words.index(part) + 1) for part in parts)
    text = " ".join(default.split()) or "none"
    return text if len(text) <= _MOST_SHOWN else f"{text[:_MOST_SHOWN]}..."


def put(  # noqa: PLR0913 - a question has that many sides
    talk: Talk,
    key: str,
    read: Read,
    *,
    words: str = "",
    what: str = "",
    default: str | None = None,
    optional: bool = False,
    options: tuple[Option, ...] = (),
    path: tuple[str | int, ...] = (),
    lasting: bool = True,
) -> str:
    """Put a question to a talk; its words are those of its key without numbers, or of *words*."""
    name = words or ".".join(part for part in key.split(".") if not part.isdigit())
    wording = WORDS[name]
    question = Question(
        key=key,
        words=replace(wording, ask=wording.ask.replace("{what}", what)),
        read=read,
        default=default,
        optional=optional,
        options=options,
        path=path,
        lasting=lasting,
    )
    return talk.put(question)


def choose(
    talk: Talk,
    key: str,
    options: tuple[Option, ...],
    *,
    default: str | None = None,
    path: tuple[str | int, ...] = (),
    lasting: bool = True,
) -> str:
    """Let one of the options be chosen by its number or word."""
    return put(
        talk,
        key,
        read_choice(options),
        default=default,
        options=options,
        path=path,
        lasting=lasting,
    )


def is_yes(
    talk: Talk, key: str, *, default: str | None = None, path: tuple[str | int, ...] = ()
) -> bool:
    """Ask for yes or no."""
    return put(talk, key, read_yes_no, default=default, path=path) == "yes"


def put_name(talk: Talk, key: str, offer: str, spare: str, taken: Iterable[str]) -> str:
    """Give a short name: the settled one, or the one offered; ask only when that one will not do.

    *spare* is offered when nothing of a longer name can stand in a short one.
    """
    if key in talk.settled:
        return talk.settled[key]
    others = frozenset(taken)
    if key.startswith(_SHARING):
        others |= {name for other, name in talk.settled.items() if other.startswith(_SHARING)}
    read = read_name("short name", "this entry", others)
    if offer and key not in talk.answers and not read(offer).fault:
        return offer
    sound = offer and not read_name("short name", "this entry", ())(offer).fault
    stem = offer[:_MOST_STEM] if sound else spare
    choices = (stem, *(f"{stem}-{number}" for number in range(2, len(others) + 3)))
    default = next(name for name in choices if name not in others)
    return put(talk, key, read, default=default)
