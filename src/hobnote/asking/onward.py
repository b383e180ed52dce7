"""Dictating on: a message that is a further bit of the note, read as the note was."""

from __future__ import annotations

import re
from collections.abc import Sequence

from hobnote.asking.context import Context
from hobnote.asking.figures import LOOSE
from hobnote.asking.frames import note_start
from hobnote.asking.outcomes import Outcome, change, unclear
from hobnote.asking.refusals import words
from hobnote.following import events as ev
from hobnote.following.amounts import is_exact
from hobnote.following.follow import Follower
from hobnote.following.resume import state_of
from hobnote.marking.lexicon import verb_forms, verbs
from hobnote.marking.marks import ACTION, FOOD, VESSEL

_SLIGHT = (ev.SetAside, ev.Mentioned, ev.Opened)
"""Events that alone do not make a message part of the recipe."""

_ALSO = re.compile(r"(?<=\w) also ", re.IGNORECASE)
DOING = frozenset({"add", "cook", "prep", "hold", "heat", "serve"})


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
    return kind not in DOING and all(detail is None for detail in details)


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


def _unsaid(event: ev.Event, context: Context) -> bool:
    """Whether the follower supposes what was not said: a verb, or what something stands for."""
    if isinstance(event, ev.StepChanged) and event.minutes is not None:
        return not context.continues and not _holds(event.key, context)
    if isinstance(event, ev.Stepped) and event.minutes is not None:
        said = {m.value.verb for _, _, m in context.marks(None, ACTION)}
        said |= {verb_forms().get(t.lower_, t.lower_) for doc, _ in context.docs() for t in doc}
        about = bool(context.marks(None, VESSEL)) or bool(_named(context))
        cooks = verbs().get(event.verb, {}).get("kind") == "cook"
        return cooks and event.verb not in said and not about
    if isinstance(event, ev.Named) and event.swap_for:
        named = {context.known.rows[key].name for key in _named(context)}
        return event.swap_for not in named and event.swap_for not in context.text.casefold()
    return False


def _holds(key: str, context: Context) -> bool:
    """Whether the step has one of the foods that the message names, or the message names none."""
    step, named = context.known.steps.get(key), _named(context)
    if step is None:
        return True
    return bool(named & set(step.ingredients)) or not context.marks(None, FOOD)


def _named(context: Context) -> set[str]:
    """The keys of the rows that the foods of the message may be."""
    return {r.key for doc, _, food in context.marks(None, FOOD) for r in context.rows_of(doc, food)}


def _stray(event: ev.Event, context: Context) -> bool:
    """Whether an amount goes to a row that the message does not name ("cool it on a rack")."""
    if not isinstance(event, ev.Measured) or event.how == "add" or context.continues:
        return False
    return context.row(event.key) is not None and event.key not in _named(context)


def _fuller(event: ev.Event, context: Context) -> bool:
    """Whether a row would get a fuller name because a like food is used again."""
    if not isinstance(event, ev.Described) or event.name is None:
        return False
    row = context.row(event.key)
    if row is None or not row.measured or not row.name or not event.name.endswith(row.name):
        return False
    doing = any(m.value.kind in DOING for _, _, m in context.marks(None, ACTION))
    return doing and event.name != row.name and f"the {event.name}" not in context.text.casefold()


def resumed(events: Sequence[ev.Event], context: Context) -> list[ev.Event]:
    """``events`` with "the rice" for the brown rice that is in, where the follower made a row."""
    measured = {e.key for e in events if isinstance(e, ev.Measured | ev.Related)}
    same: dict[str, str] = {}
    for event in events:
        if not isinstance(event, ev.Named) or event.swap_for or event.key in measured:
            continue
        meant = context.headed(event.name)
        if len(meant) == 1 and f"the {event.name}" in context.text.casefold():
            same[event.key] = meant[0].key
    if not same:
        return list(events)
    kept: list[ev.Event] = []
    for event in events:
        key = same.get(getattr(event, "key", "") or "")
        if key is not None:
            kept.append(ev.Mentioned(key=key, heard=event.heard))
        elif isinstance(event, ev.Stepped | ev.StepChanged):
            rows = tuple(dict.fromkeys(same.get(k, k) for k in event.ingredients))
            kept.append(event.model_copy(update={"ingredients": rows}))
        else:
            kept.append(event)
    return kept


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
    events = resumed(follower.state.events, context)
    events = [event for event in events if not _stray(event, context)]
    if any(_blurs(e, context) or _another(e, context) or _unsaid(e, context) for e in events):
        return None
    fuller = next((e for e in events if _fuller(e, context)), None)
    if isinstance(fuller, ev.Described):
        row = context.known.rows[fuller.key]
        return unclear(
            f"Is that the {row.name} that is in already? Then say: the {row.name} was "
            f"{fuller.name}. If not, say how much {fuller.name} there is; nothing was changed."
        )
    heard = [e for e in events if not isinstance(e, _SLIGHT)]
    heard = [e for e in heard if told or not _idle(e)]
    return change(*events) if heard else None
