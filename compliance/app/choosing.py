"""Which edition of which form a picture shows, by the codes in its corners."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from compliance.app.known_forms import KnownForm, find_edition, load_known
from compliance.app.own_facts import VISIT, is_old_edition, says_same
from compliance.base.dates import say_date
from compliance.base.problems import RefusedError
from compliance.engine.declaration import DECLARATION
from compliance.forms.model import FormTemplate, Supplier

_BESIDE = {
    VISIT: "the page for the notary visit; it stays at home and is not checked",
    DECLARATION: f"the unsworn declaration; look at it with --document {DECLARATION}",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """The paper that pictures are said to show: its form, its packet, how it becomes known.

    ``documents`` are the forms of the packet's documents with their short names.
    """

    form: str
    title: str
    packet: str
    how: str
    documents: tuple[tuple[str, str], ...] = ()


def want_form(template: FormTemplate, packet: str, documents: Mapping[str, FormTemplate]) -> Wanted:
    """Want pictures of a document of a packet, which has these documents."""
    ours = template.supplied_by is Supplier.OURS
    how = f"mailby forms learn BLANK.pdf --form {template.id}"
    return Wanted(
        form=template.id,
        title=template.title,
        packet=packet,
        how=_print_it(packet) if ours else how,
        documents=tuple((form.id, name) for name, form in documents.items()),
    )


def _print_it(packet: str) -> str:
    return f"mailby packet {packet} prints it; fill that page in and check it"


def refuse_unknown(session: Session, wanted: Wanted) -> None:
    """Refuse a form whose places are not known.

    Raises:
        RefusedError: It was never shown, or never printed for this packet.
    """
    if not _load_mine(session, wanted):
        raise RefusedError(
            f"the blank of {wanted.title} is needed to read a picture of it", hint=wanted.how
        )


def _load_mine(session: Session, wanted: Wanted) -> tuple[KnownForm, ...]:
    known = load_known(session, wanted.form)
    return tuple(form for form in known if form.packet in {"", wanted.packet})


def choose_forms(
    session: Session,
    wanted: Wanted,
    codes: Mapping[str, frozenset[str]],
    templates: Mapping[str, FormTemplate],
) -> tuple[KnownForm, ...]:
    """Give the editions of a form that pictures may show, the likeliest first.

    Shape: ``codes`` are the form codes read in each picture. Without any, every learned edition and
    the paper of our own printed last are tried by their print.

    Raises:
        RefusedError: Every code names another form, edition or packet.
    """
    mine = _load_mine(session, wanted)
    read = frozenset(code for found in codes.values() for code in found)
    named = tuple(form for form in mine if form.code in read)
    if named:
        return named
    if read:
        reasons = [
            f"{picture}: {_say_foreign(session, sorted(found), wanted.packet, templates)}"
            for picture, found in codes.items()
            if found
        ]
        raise RefusedError("; ".join(reasons), hint=_say_remedy(session, sorted(read), wanted))
    own = [form for form in mine if form.is_own][:1]
    return (*(form for form in mine if not form.is_own), *own)


def _say_remedy(session: Session, codes: Sequence[str], wanted: Wanted) -> str:
    """Say what helps where every code names something else: the other document, or its own page.

    Teaching the blank helps only where nobody knows the codes.
    """
    found = [form for code in codes if (form := find_edition(session, code)) is not None]
    if not found:
        return wanted.how
    names = dict(wanted.documents)
    others = [
        names[form.template]
        for form in found
        if form.template in names and form.packet in {"", wanted.packet}
    ]
    right = f"take the page of {wanted.title}"
    if not others or found[0].template == wanted.form:
        return right
    return f"say --document {others[0]} if that page is meant, or {right}"


def say_stale(form: KnownForm, facts: str, packet: str) -> list[str]:
    """Warn of a paper of our own that was printed when the facts or its words were different."""
    if not form.is_own or not facts or says_same(form.facts, facts):
        return []
    when = say_date(form.kept_on)
    if is_old_edition(form.facts, facts):
        anew = f"print it anew and have that one filled in and signed: mailby packet {packet}"
        return [f"this page, printed on {when}, is an old edition of our paper; {anew}"]
    how = f"hold it against a new one: mailby packet {packet}"
    return [f"this page was printed on {when} and would say something else today; {how}"]


def _say_foreign(
    session: Session,
    codes: Sequence[str],
    packet: str,
    templates: Mapping[str, FormTemplate],
) -> str:
    """Say what a page is whose corner codes name something else than what was asked for."""
    for code in codes:
        form = find_edition(session, code)
        if form is None:
            continue
        if form.template in _BESIDE and form.packet == packet:
            return f"this is {_BESIDE[form.template]}"
        title = templates[form.template].title if form.template in templates else form.template
        title = title.replace("-", " ") if form.template in _BESIDE else title
        if form.packet not in {"", packet}:
            return f"this page of {title} was printed for {form.packet}, not for {packet}"
        return f"this is a page of {title}"
    return (
        f"this page is of a form or an edition that is not known here (its corner codes say "
        f"{', '.join(codes)})"
    )
