"""What goes in besides, and what is done in a few words: "an egg goes in as well"."""

from __future__ import annotations

from collections.abc import Callable

from hobnote.asking.context import Context
from hobnote.asking.frames import Frame
from hobnote.asking.outcomes import Outcome, change
from hobnote.asking.refusals import words
from hobnote.following import events as ev
from hobnote.following.state import RowState
from hobnote.marking.lexicon import verb_forms, verbs
from hobnote.marking.marks import ACTION, FOOD, HEAT, TEMPERATURE, TIME, VESSEL

_LONGEST = 9
"""Words of a step told without anything that the follower would take for one."""

Reader = Callable[[Context], Outcome | None]


def joined(frame: Frame, context: Context, dictated: Reader) -> Outcome | None:
    """ "a bay leaf went in with the stock": a new row, added where the other one is.

    The row is what ``dictated`` makes of its words; what is in already is no addition.
    """
    said = frame.slots["food"]
    start = context.text.find(said)
    if start < 0 or len(context.foods(said)) != 1 or context.every_row(said):
        return None
    beside = _beside(frame, context)
    if "ref" in frame.slots and beside is None:
        return None
    heard = dictated(context.part((start, start + len(said))))
    if heard is None or heard.does != "change":
        return None
    rows = [e.key for e in heard.events if isinstance(e, ev.Named) and not e.swap_for]
    steps = [e.key for e in heard.events if isinstance(e, ev.Stepped)]
    if len(rows) != 1 or steps:
        return None
    key = f"{context.prefix}s1"
    told = f"Add {said}" + (f" with the {beside.name}" if beside else "")
    step = ev.Stepped(
        key=key,
        verb="add",
        text=told,
        component=beside.component if beside else "main",
        ingredients=(rows[0],),
        heard=context.heard(),
    )
    events: list[ev.Event] = [*heard.events, step]
    after = _next_step(beside, context)
    if after is not None:
        events.append(ev.Moved(what="step", key=key, before=after, heard=context.heard()))
    return change(*events)


def _beside(frame: Frame, context: Context) -> RowState | None:
    if "ref" not in frame.slots:
        return None
    rows = context.rows_named(frame.slots["ref"])
    return rows[0] if len(rows) == 1 else None


def _next_step(row: RowState | None, context: Context) -> str | None:
    """The step after the first one that uses ``row``."""
    if row is None:
        return None
    steps = list(context.known.steps.items())
    for n, (_, step) in enumerate(steps[:-1]):
        if row.key in step.ingredients:
            return steps[n + 1][0]
    return None


def ordered(context: Context) -> Outcome | None:
    """ "store in an airtight box", "take it off the heat": a step of the message's own words.

    Only what begins with a kitchen verb in the form of an order, and tells of a
    vessel or the heat besides; figures and foods are for the other readers.
    """
    typed = context.text.strip(" .!").split()
    lowers = [w.casefold().strip(",;") for w in typed]
    if not 2 < len(typed) <= _LONGEST or words("errands") & set(lowers):
        return None
    verb = verb_forms().get(lowers[0])
    if verb != lowers[0] or verb not in verbs():
        return None
    if context.marks(None, TIME, TEMPERATURE, FOOD) or context.holds_figure(context.text):
        return None
    if len(context.marks(None, ACTION)) > 1:
        return None
    vessels = [m.value for _, _, m in context.marks(None, VESSEL)]
    heats = [m.value for _, _, m in context.marks(None, HEAT)]
    held = bool(words("kept in") & set(lowers))
    of_dish = lowers[1] in words("acts on")
    if not heats and not (of_dish and (vessels or held)):
        return None  # "put the kettle on"
    told = " ".join(typed)
    return change(
        ev.Stepped(
            key=f"{context.prefix}s1",
            verb=verb,
            text=told[:1].upper() + told[1:],
            vessel=vessels[0] if vessels else None,
            heat=next((h.level for h in heats if h.level), None),
            heard=context.heard(),
        )
    )


def lifted(context: Context) -> Outcome | None:
    """ "take the pan off the heat": the follower would only see the pan of the last step."""
    off = any(m.value.change == "off" for _, _, m in context.marks(None, HEAT))
    return ordered(context) if off else None
