"""From a message to what comes of it: frames first, then figures, then more of the note."""

from __future__ import annotations

import re
from collections.abc import Callable

from hobnote.asking import answers, edits, heat, lookups
from hobnote.asking.context import Ambiguous, Context
from hobnote.asking.figures import assigned
from hobnote.asking.frames import Frame, frames
from hobnote.asking.onward import dictated
from hobnote.asking.outcomes import Outcome, look, unclear
from hobnote.asking.settling import AMOUNTS, FOODS
from hobnote.asking.views import asked_lines

_JOINT = re.compile(r"[,;.!]\s+|\s+[-–—]\s+|\s+(?:because|since|as|cause)\s+")

Handler = Callable[[Frame, Context], Outcome | None]

HELP = (
    "Answer a question in your own words (a teaspoon, 7 g, the second one, none, skip), or say",
    "what to change (the butter was 60 g, swap the kefir for buttermilk, drop the raisins, call it",
    "crew porridge, make it serve four), ask (what's the protein? why 30 grams? show me step 3),",
    "dictate on, or undo.",
)


def interpret(context: Context) -> Outcome:
    """What the message does. The recipe itself is not touched."""
    try:
        return _interpret(context)
    except Ambiguous as problem:
        return unclear(str(problem))


def _interpret(context: Context) -> Outcome:
    asking = lookups.asks(context.text)
    for frame in frames(context.text):
        if asking and frame.kind in EDITS:
            continue
        handler = HANDLERS.get(frame.kind)
        outcome = handler(frame, context) if handler is not None else None
        if outcome is not None:
            return outcome
    outcome = lookups.nutrient(context)
    if outcome is not None:
        return outcome
    if lookups.is_question(context.text):
        return not_understood(context)
    for reader in (_just_corrected, heat.oven, answers.figure, assigned, dictated):
        outcome = reader(context)
        if outcome is not None:
            return outcome
    return _first_words(context) or not_understood(context)


def _first_words(context: Context) -> Outcome | None:
    """ "none, it was a dry pan": a short answer, and a remark that tells nothing more."""
    first, *rest = _JOINT.split(context.text, maxsplit=1)
    if not rest or context.foods(rest[0]) or context.holds_amount(rest[0]):
        return None
    for frame in frames(first):
        handler = HANDLERS.get(frame.kind)
        if handler is None or frame.kind not in SHORT:
            continue
        outcome = handler(frame, context)
        if outcome is not None:
            return outcome
    return None


def _just_corrected(context: Context) -> Outcome | None:
    """ "actually a tablespoon": about the answer just given, not about the next question."""
    first = context.text.casefold().split()[:2]
    corrects = first[:1] and first[0].strip(",") in ("actually", "sorry", "no", "wait", "oops")
    return assigned(context) if corrects and context.answered else None


def not_understood(context: Context) -> Outcome:
    """Says what would have been understood."""
    asked = context.asked
    lines = ["I did not understand that; nothing was changed."]
    if asked is None:
        return unclear(*lines, *HELP)
    if asked.kind in AMOUNTS:
        lines.append("For this question say an amount, one of the choices, none, or skip:")
    elif asked.kind in FOODS:
        lines.append("For this question say which food it was, one of the choices, or skip:")
    else:
        lines.append("For this question say a figure, one of the choices, or skip:")
    return unclear(*lines, *asked_lines(asked))


def _undo(frame: Frame, context: Context) -> Outcome | None:
    return _times("undo", frame, context)


def _redo(frame: Frame, context: Context) -> Outcome | None:
    if frame.value == "either" and not context.redoable:
        return _times("undo", frame, context)
    return _times("redo", frame, context)


def _times(does: str, frame: Frame, context: Context) -> Outcome | None:
    count = 1.0
    if "n" in frame.slots:
        found = context.number(frame.slots["n"])
        if found is None or found < 1:
            return None
        count = found
    return Outcome("undo" if does == "undo" else "redo", count=int(count))


def _help(frame: Frame, context: Context) -> Outcome | None:
    return look(*HELP)


def _bye(frame: Frame, context: Context) -> Outcome | None:
    return Outcome("bye")


def _thanks(frame: Frame, context: Context) -> Outcome | None:
    return look(*(asked_lines(context.asked) if context.asked else ["Go on whenever you like."]))


def _history(frame: Frame, context: Context) -> Outcome | None:
    return Outcome("look", lines=("history",)) if frame.value == "history" else None


def _view(frame: Frame, context: Context) -> Outcome | None:
    return _history(frame, context) or lookups.view(frame, context)


def _none(frame: Frame, context: Context) -> Outcome | None:
    return edits.drop(frame, context) if "gone" in frame.slots else answers.none(frame, context)


EDITS = frozenset({"title", "portions", "swap", "drop", "same", "step change"})
"""Frames that tell; a message that begins like a question is none of them."""

SHORT = frozenset({"none", "skip", "unknown", "pick", "yes", "no", "drop", "swap", "undo", "redo"})
"""Frames that may stand before a remark."""

HANDLERS: dict[str, Handler] = {
    "undo": _undo,
    "redo": _redo,
    "help": _help,
    "bye": _bye,
    "thanks": _thanks,
    "wait": _thanks,
    "pick": answers.pick,
    "skip": answers.skip,
    "unknown": answers.skip,
    "none": _none,
    "yes": answers.yes,
    "no": answers.no,
    "why": lookups.why,
    "step": lookups.step,
    "view": _view,
    "step change": heat.step_change,
    "step drop": heat.step_drop,
    "title": edits.title,
    "portions": edits.portions,
    "swap": edits.swap,
    "drop": edits.drop,
    "same": edits.same,
    "called": answers.called,
}
