"""Command: history: the story of one packet."""

from compliance.cli.options import Db, On, Packet, Which, as_of, say, session_of


def history(
    packet: Packet,
    on: On = None,
    operation: Which = None,
    db: Db = None,
) -> None:
    """Tell what happened to a packet: when it was sent, came back and why, and what that cost."""
    from compliance.app.history import tell_story
    from compliance.outputs.story_text import render_story

    with session_of(db) as session:
        story, title, name = tell_story(session, operation, packet, as_of(on))
    say(render_story(story, title, name))
