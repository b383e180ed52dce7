"""Dictating on: a message that is a further bit of the note, read as the note was."""

from __future__ import annotations

from hobnote.asking.context import Context
from hobnote.asking.outcomes import Outcome, change
from hobnote.following import events as ev
from hobnote.following.follow import Follower
from hobnote.following.resume import state_of
from hobnote.marking.lexicon import verbs
from hobnote.marking.marks import FOOD

_SLIGHT = (ev.SetAside, ev.Mentioned, ev.Opened)
"""Events that alone do not make a message part of the recipe."""

_DOING = frozenset({"add", "cook", "prep", "hold", "heat", "serve"})


def _idle(event: ev.Event) -> bool:
    """A step that is no more than "put" or "take", without a time, a heat or an end."""
    if not isinstance(event, ev.Stepped):
        return False
    details = (event.minutes, event.heat, event.temperature_c, event.core_c, event.until)
    kind = verbs().get(event.verb, {}).get("kind", "weak")
    return kind not in _DOING and all(detail is None for detail in details)


def _part(context: Context) -> str | None:
    """The part of the dish that holds every known food of the message, if it is one part."""
    names = {food.name for _, _, m in context.marks(None, FOOD) for food in (m.value,)}
    parts = {r.component for r in context.known.rows.values() if r.name in names}
    return parts.pop() if len(parts) == 1 else None


def _goes_on(context: Context) -> bool:
    """Whether the message follows on a bit of the note, not on an answer."""
    return any(isinstance(e, ev.Named | ev.Opened | ev.Stepped) for e in context.last)


def dictated(context: Context) -> Outcome | None:
    """The events that the follower hears in the message; None when it hears no recipe."""
    state = state_of(
        context.events, context.dictation, prefix=context.prefix, recent=len(context.last)
    )
    state.component = _part(context) or (state.component if _goes_on(context) else "main")
    follower = Follower(context.dictation, state=state)
    for doc, base in context.docs():
        follower.feed(doc, base)
    told = [e for e in follower.state.events if not isinstance(e, _SLIGHT) and not _idle(e)]
    return change(*follower.state.events) if told else None
