"""Dictating on: a message that is a further bit of the note, read as the note was."""

from __future__ import annotations

from hobnote.asking.context import Context
from hobnote.asking.outcomes import Outcome, change
from hobnote.following import events as ev
from hobnote.following.follow import Follower
from hobnote.following.resume import state_of

_SLIGHT = (ev.SetAside, ev.Mentioned, ev.Opened)
"""Events that alone do not make a message part of the recipe."""


def dictated(context: Context) -> Outcome | None:
    """The events that the follower hears in the message; None when it hears no recipe."""
    state = state_of(
        context.events, context.dictation, prefix=context.prefix, recent=len(context.last)
    )
    follower = Follower(context.dictation, state=state)
    for doc, base in context.docs():
        follower.feed(doc, base)
    told = [event for event in follower.state.events if not isinstance(event, _SLIGHT)]
    return change(*follower.state.events) if told else None
