"""From a message to what comes of it: frames first, then figures, then more of the note."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from hobnote.asking import answers, edits, heat, lookups, reasons
from hobnote.asking.additions import joined, lifted, ordered
from hobnote.asking.context import Ambiguous, Context
from hobnote.asking.figures import assigned, stray
from hobnote.asking.frames import Frame, cores, frames
from hobnote.asking.onward import DOING, dictated
from hobnote.asking.outcomes import Outcome, look, unclear
from hobnote.asking.refining import refined
from hobnote.asking.refusals import words
from hobnote.asking.scaling import scaled
from hobnote.asking.settling import AMOUNTS, FOODS
from hobnote.asking.several import several
from hobnote.asking.views import asked_lines
from hobnote.marking.marks import ACTION, HEAT, PORTIONS, TEMPERATURE, TIME

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
    if not asking:
        outcome = several(context, _one)
        if outcome is not None:
            return outcome
    outcome = _framed(context, frames(context.text), asking=asking)
    outcome = outcome or lookups.nutrient(context)
    if outcome is not None:
        return outcome
    if lookups.is_question(context.text):
        return lookups.asked_about(context) or not_understood(context)
    for reader in (*_ANSWERS, _first_words, assigned, _core, stray, lifted, dictated, ordered):
        outcome = reader(context)
        if outcome is not None:
            return outcome
    return not_understood(context)


def _core(context: Context) -> Outcome | None:
    """ "would have been three teaspoons, love": the answer without what is said around it."""
    if context.asked is None:
        return None
    for start, end in cores(context.text):
        outcome = answers.figure(context.part((start, end)))
        if outcome is not None and outcome.does == "change":
            return outcome
    return None


def _framed(context: Context, found: Iterable[Frame], *, asking: bool = False) -> Outcome | None:
    """What the first frame comes to that fits the recipe."""
    for frame in found:
        if asking and frame.kind in EDITS:
            continue
        remarks = [frame.slots[name] for name in REMARKS & frame.slots.keys()]
        if any(_tells(context, r) or (frame.kind != "none" and _does(context, r)) for r in remarks):
            continue
        handler = HANDLERS.get(frame.kind)
        outcome = handler(frame, context) if handler is not None else None
        if outcome is not None:
            return outcome
    return None


def _tells(context: Context, text: str) -> bool:
    """Whether ``text`` holds a figure or a food: more than a remark."""
    if context.foods(text) or context.holds_amount(text):
        return True
    return bool(context.marks(text, TIME, TEMPERATURE, HEAT, PORTIONS))


def _does(context: Context, text: str) -> bool:
    """Whether ``text`` has something done in the kitchen, or asks something else."""
    done = any(m.value.kind in DOING for _, _, m in context.marks(text, ACTION))
    return done or bool(words("asks after") & set(text.casefold().split()[:1]))


def _one(context: Context) -> Outcome | None:
    """What a piece of a message tells, as long as it is no further bit of the note."""
    if lookups.is_question(context.text):
        return None
    outcome = _framed(context, (f for f in frames(context.text) if f.kind in TELLING))
    if outcome is not None:
        return outcome
    for reader in (*_ANSWERS, assigned):
        outcome = reader(context)
        if outcome is not None:
            return outcome
    return None


def _first_words(context: Context) -> Outcome | None:
    """ "none, it was a dry pan": a short answer, and a remark that tells nothing more."""
    first, *rest = _JOINT.split(context.text, maxsplit=1)
    if not rest or _tells(context, rest[0]):
        return None
    return _framed(context, (f for f in frames(first) if f.kind in SHORT))


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
    if frame.value == "wrong" and not context.answered:
        return None
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


def _joined(frame: Frame, context: Context) -> Outcome | None:
    return joined(frame, context, dictated)


_ANSWERS = (_just_corrected, heat.oven, answers.figure, refined, answers.named_kind)
"""Readers of figures and foods, in the order in which they are tried."""

EDITS = frozenset({"title", "portions", "offer", "scale", "joined", "swap", "drop", "same",
                   "step change", "restore"})  # fmt: skip
"""Frames that tell; a message that begins like a question is none of them."""

TELLING = EDITS | {"none", "skip", "unknown", "pick", "yes", "called", "step drop", "restore"}
"""Frames that a piece of a message may be."""

SHORT = frozenset({"none", "skip", "unknown", "pick", "yes", "no", "drop", "swap", "undo", "redo"})
"""Frames that may stand before a remark."""

REMARKS = frozenset({"rest", "lead"})
"""Slots that may hold a remark, and nothing of the recipe."""

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
    "why": reasons.why,
    "step": lookups.step,
    "view": _view,
    "step change": heat.step_change,
    "step drop": heat.step_drop,
    "allergen": lookups.allergen,
    "restore": edits.restore,
    "title": edits.title,
    "portions": edits.portions,
    "offer": edits.offer,
    "swap": edits.swap,
    "scale": scaled,
    "joined": _joined,
    "drop": edits.drop,
    "same": edits.same,
    "called": answers.called,
}
