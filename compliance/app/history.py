"""The story of one packet, from the database to values."""

from datetime import date

from sqlmodel import Session

from compliance.app.operations import load_with_log
from compliance.app.tables import load_table
from compliance.base.dates import say_date
from compliance.base.problems import NotFoundError
from compliance.base.reading import suggest
from compliance.engine.packets import packet_id
from compliance.engine.story import Story, compute_story
from compliance.facts.log import find_standing


def tell_story(
    session: Session, wanted: str | None, name: str, as_of: date
) -> tuple[Story, str, str]:
    """Tell what happened to a packet up to a day, whether or not it is still needed.

    *name* is a packet's id, or a paper's when only one holder has entries of it.

    Shape: the story, the paper's title with its holder, the packet's id.

    Raises:
        NotFoundError: Nothing was logged about it, or it has several holders.
    """
    operation, log = load_with_log(session, wanted)
    entries = [one for one in find_standing(log) if one.happened_on <= as_of and one.paper]
    ids = list(dict.fromkeys(packet_id(one.paper, one.holder) for one in entries))
    chosen = [one for one in ids if one == name] or [
        one for one in ids if one.partition(":")[0] == name
    ]
    if not ids:
        raise NotFoundError(
            f"nothing that happened to a packet up to {say_date(as_of)} is in the log",
            hint="`mailby plan` names the packets; log what happens to them with `mailby log`",
        )
    if not chosen:
        hint = suggest(name, ids) or f"something is logged about: {', '.join(ids)}"
        raise NotFoundError(f"nothing is logged about {name!r}", hint=hint)
    if len(chosen) > 1:
        raise NotFoundError(f"{name} has several holders", hint=f"name one of: {', '.join(chosen)}")
    own = tuple(one for one in entries if packet_id(one.paper, one.holder) == chosen[0])
    papers = {row.id: row.title for row in load_table(session).papers}
    title = papers.get(own[0].paper, own[0].paper)
    if own[0].holder.ref:
        title = f"{title}, {operation.say_holder(own[0].holder)}"
    return compute_story(own, as_of), title, chosen[0]
