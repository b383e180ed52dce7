"""Dictating on: a message that is a further bit of the note, read as the note was."""

from __future__ import annotations

import re

from hobnote.asking.context import Context
from hobnote.asking.figures import LOOSE
from hobnote.asking.frames import note_start
from hobnote.asking.outcomes import Outcome, change
from hobnote.asking.refusals import words
from hobnote.following import events as ev
from hobnote.following.amounts import is_exact
from hobnote.following.follow import Follower
from hobnote.following.resume import state_of
from hobnote.marking.lexicon import verbs
from hobnote.marking.marks import FOOD

_SLIGHT = (ev.SetAside, ev.Mentioned, ev.Opened)
"""Events that alone do not make a message part of the recipe."""

_ALSO = re.compile(r"(?<=\w) also ", re.IGNORECASE)
_DOING = frozenset({"add", "cook", "prep", "hold", "heat", "serve"})


def _idle(event: ev.Event) -> bool:
    """A step that is no more than "put" or "take", without a time, a heat or an end."""
    if isinstance(event, ev.StepChanged):
        told = event.model_dump(exclude={"heard", "kind", "key", "verb"}, exclude_defaults=True)
        return not told
    if not isinstance(event, ev.Stepped):
        return False
    details = (event.minutes, event.heat, event.temperature_c, event.core_c, event.until)
    kind = verbs().get(event.verb, {}).get("kind", "weak")
    if event.verb in words("least steps") and event.ingredients:
        return False
    return kind not in _DOING and all(detail is None for detail in details)


def _blurs(event: ev.Event, context: Context) -> bool:
    """Whether an exact amount would become "some" or a count ("stock from a cube")."""
    row = context.row(event.key) if isinstance(event, ev.Measured) else None
    if row is None or not isinstance(event, ev.Measured) or event.how != "set":
        return False
    counts = event.amount.unit == "piece" and row.amount.unit != "piece"
    loose = event.amount.basis == "vague" and event.amount.noun in LOOSE
    return is_exact(row.amount) and (counts or loose)


def _another(event: ev.Event, context: Context) -> bool:
    """Whether a row would be taken out that is not the one the message means.

    Raises :class:`hobnote.asking.context.Ambiguous` where nothing says which.
    """
    row = context.row(event.key) if isinstance(event, ev.Dropped) else None
    if row is None:
        return False
    meant = context.rows_named(row.name, near=context.asked_row, within=context.text)
    return row not in meant


def _part(context: Context) -> str | None:
    """The part of the dish that holds every known food of the message, if it is one part."""
    names = {food.name for _, _, m in context.marks(None, FOOD) for food in (m.value,)}
    parts = {r.component for r in context.known.rows.values() if r.name in names}
    return parts.pop() if len(parts) == 1 else None


def dictated(context: Context) -> Outcome | None:
    """The events that the follower hears in the message; None when it hears no recipe."""
    typed = {word.strip(".,;!?") for word in context.text.casefold().split()}
    if typed & words("had") and typed & words("elsewhere"):
        return None  # "I had chocolate for breakfast"
    start = note_start(context.text)
    if not start:
        return _heard(context)
    told = "step" in context.text[:start].casefold()
    outcome = _heard(context.part((start, len(context.text))), told=told)
    outcome = outcome or (None if told else _heard(context))
    also = _ALSO.search(context.text)
    if outcome is not None or also is None:
        return outcome
    return _heard(context.part((0, also.start()), (also.end(), len(context.text))))


def _heard(context: Context, *, told: bool = False) -> Outcome | None:
    """What the follower hears; ``told``: a step was announced, so the least one is taken."""
    state = state_of(
        context.events, context.dictation, prefix=context.prefix, recent=len(context.last)
    )
    state.component = _part(context) or (state.component if context.follows_note else "main")
    follower = Follower(context.dictation, state=state)
    for doc, base in context.docs():
        follower.feed(doc, base)
    if any(_blurs(event, context) or _another(event, context) for event in follower.state.events):
        return None
    heard = [e for e in follower.state.events if not isinstance(e, _SLIGHT)]
    heard = [e for e in heard if told or not _idle(e)]
    return change(*follower.state.events) if heard else None
