"""Which verb an editor would print for what is done, and whether anything is done at all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from hobnote.following.doing import stand_in, temperatures_of, vessel_in, vessel_verb
from hobnote.following.doings import Doing
from hobnote.following.state import State, StepState
from hobnote.marking.actions import ActionValue
from hobnote.marking.marks import AMOUNT, FOOD, HEAT, PART, TEMPERATURE, TIME, UNTIL, VESSEL, Mark

STRONG: Final = frozenset({"cook", "prep", "add", "hold", "serve", "heat"})
_IDLE: Final = frozenset({"have", "need", "use", "want", "follow"})
_OBJECTS: Final = frozenset(
    {"it", "them", "that", "everything", "those", "these", "all", "this", "'em", "both", "each"}
)
_MOVING: Final = frozenset({"put", "pop", "stick", "place", "break", "lower", "slide", "run"})
_WRAPS: Final = frozenset({"foil", "paper", "parchment", "film", "cling", "cloth", "towel"})
_TICKING: Final = frozenset({"tick", "ticking", "blip", "blipping", "putter", "puttering", "plop"})
_GOING: Final = frozenset({"go", "come"})
_WITH_TIME: Final = frozenset({"put", "pop", "stick", "place", "go", "come", "get", "take", "turn"})
_VAGUE: Final = frozenset({"give", "go", "get", "turn", "take", "keep", "let", "start", "follow",
                           "come", "put", "pop", "stick"})  # fmt: skip
_NOW_AND_THEN: Final = frozenset({"stir", "shake", "baste", "toss", "check", "turn"})
_OFTEN: Final = frozenset(
    {"occasionally", "often", "sometimes", "every", "regularly", "whenever", "then", "when"}
)
_ENCLOSED: Final = frozenset(
    {"bake", "roast", "grill", "steam", "microwave", "barbecue", "smoke", "poach"}
)
SHORT: Final = 6
"""Tokens up to which a doing without any object is an instruction all the same ("Drain.")."""


def last_cooking(state: State) -> StepState | None:
    """The latest step that cooks, holds or heats; the latest of all when none does."""
    for step in reversed(state.steps):
        if step.kind in ("cook", "hold", "heat") or (step.kind == "weak" and step.timed):
            return step
    return state.steps[-1] if state.steps else None


def printed(state: State, doing: Doing, details: Sequence[Mark]) -> str | None:
    """The verb to print for ``doing``; None when nothing is done in it."""
    action = doing.action
    if action is None:
        return None
    value: ActionValue = action.value
    if value.verb in ("take", "need", "want") and _how_long(doing, value):
        return "time"
    if {"scale", "scales", "balance"} & set(doing.after()) and value.kind in ("weak", "add"):
        return None
    done = _given(doing.after()) if value.verb == "give" else value.verb
    if done in _NOW_AND_THEN and (_OFTEN & set(_ahead(doing)) or _midway(doing)):
        return None
    if value.verb in ("stand", "top") and {"back", "there", "by", "up"} & set(doing.after()[:2]):
        return None  # "stand back", "top it up"
    timed = any(m.label in (TIME, TEMPERATURE, UNTIL) for m in details)
    if value.verb == "bring":
        return _brought(doing.after(), bool(doing.of(FOOD, PART)) or _object(doing))
    if value.kind in STRONG:
        return _strong(state, doing, value, details)
    if value.verb in _IDLE:
        return None
    changed = value.verb in ("turn", "drop", "lower", "bring", "reduce", "take")
    if changed and doing.of(TEMPERATURE) and not doing.of(TIME, FOOD) and state.steps:
        return None
    if timed:
        return _weak(state, doing, value, details)
    return _moving(doing, value)


def _ahead(doing: Doing, reach: int = 4) -> list[str]:
    """The doing's words after the verb and a few more: a caption may break before "every"."""
    start = doing.action.end if doing.action is not None else doing.start
    return [t.lower_ for t in doing.clause.doc[start : doing.end + reach] if not t.is_space]


def _midway(doing: Doing) -> bool:
    """ "toss at 10", "a shake at the ten minute mark": a part of the cooking that goes on."""
    after = doing.after()
    if "at" not in after[:6] or doing.of(TEMPERATURE, FOOD):
        return False
    at = doing.end - len(after) + after.index("at") + 1
    return at < doing.end and doing.clause.doc[at].tag_ == "CD"


def _brought(words: Sequence[str], acted: bool) -> str | None:
    """ "bring it to the boil" boils, "bring together" combines."""
    for verb, said in (("boil", "boil"), ("simmer", "simmer"), ("combine", "together")):
        if said in words:
            return verb
    return "bring" if acted and {"up", "to"} & set(words) else None


def _how_long(doing: Doing, value: ActionValue) -> bool:
    """ "that takes five minutes" tells how long the latest step lasts."""
    start = doing.action.start if doing.action is not None else 0
    before = doing.clause.doc[start - 1].lower_ if start else ""
    told = value.form == "s" or before in ("they", "these", "those")
    return told and bool(doing.of(TIME)) and not doing.of(FOOD)


def _strong(state: State, doing: Doing, value: ActionValue, details: Sequence[Mark]) -> str | None:
    short = value.form == "base" or (doing.end - doing.start <= SHORT and value.form != "ing")
    if not (details or short or doing.of(FOOD, VESSEL, PART) or _object(doing)):
        return None
    if value.kind == "add" and any(m.label == TIME for m in details):
        return _cooked(state, doing, details) if value.form == "fragment" else value.verb
    return value.verb


def _cooked(state: State, doing: Doing, details: Sequence[Mark]) -> str:
    """What foods that are put somewhere for a time undergo: baked in the oven, else cooked."""
    done = vessel_verb(vessel_in(doing))
    oven, _ = temperatures_of(details)
    if oven is not None:
        return "bake"
    return done or "cook"


def _moving(doing: Doing, value: ActionValue) -> str | None:
    """A weak verb that does something even without a time."""
    verb, words = value.verb, doing.after()
    if _cold(doing) and verb in (*_MOVING, "leave", "go", "let", "get"):
        return _cold(doing)
    if {"lid", "foil"} & set(words[:4]) and verb in ("take", "put", "lift", "get", "pop"):
        return None
    if verb == "put" and words[:1] == ["out"] and doing.of(FOOD):
        return "serve"  # "put out some tortillas"
    if verb == "put" and _WRAPS & set(words[:5]) and {"over", "on", "round"} & set(words[:7]):
        return "cover"
    if (
        verb == "put"
        and doing.of(FOOD)
        and not doing.of(VESSEL)
        and not ({"on", "over", "back", "onto"} & set(words))
    ):
        return "add"
    if verb in ("cover", "uncover"):
        return verb if value.form != "fragment" else None
    if verb == "turn":
        return "turn" if doing.of(VESSEL) and not doing.of(HEAT) else _turned(value, words)
    if verb in ("take", "fish", "get", "lift", "come", "slide") and (
        value.particle in ("out", "off") or {"out", "off"} & set(words[:4])
    ):
        if verb == "come" and not {"onto", "on", "of", "into"} & set(words[:4]):
            return None  # "it comes out at 90 calories"
        if "off" in words[:2] or value.particle == "off":
            return "remove" if doing.of(FOOD) else None  # "take it off"
        if value.particle and len(words) <= 2:
            return "remove"
        return "remove" if doing.of(FOOD, VESSEL, PART) or _object(doing) else None
    if verb in ("leave", "let", "set", "put", "keep") and "aside" in words:
        return "rest"
    if verb in ("leave", "let", "put", "set") and _object(doing) and {"cool", "cold"} & set(words):
        return "cool"
    back = value.particle == "back" or "back" in words[:4] or "back" in doing.lowers()
    if verb in _GOING or (verb in ("put", "get", "pop") and back):
        meant = bool(doing.of(FOOD, PART)) or stand_in(doing) is not None
        if not meant and not (doing.of(VESSEL) and _object(doing)):
            return None
        if not meant and doing.of(AMOUNT):
            return None  # "so 100 goes in the bowl"
        into = {"in", "on", "into", "over", "to", "onto"} & set(doing.lowers())
        if verb in _GOING and not into and not back:
            return None
        return "return" if back else "add"
    if verb == "give":
        return _given(words)
    if not doing.of(FOOD, VESSEL, PART) and not _object(doing):
        return None
    return verb if verb in _MOVING else None


def _turned(value: ActionValue, words: Sequence[str]) -> str | None:
    if value.particle in ("over", "out") or {"over", "out"} & set(words[:3]):
        return "turn"
    if {"up", "down", "off", "on", "to"} & set(words[:3]):
        return None
    again = {"it", "them", "'em", "em", "once", "halfway", "each", "everything"} & set(words[:2])
    return "turn" if again else None


def _cold(doing: Doing) -> str | None:
    done = vessel_verb(vessel_in(doing))
    return done if done in ("chill", "freeze") else None


def _given(words: Sequence[str]) -> str | None:
    """ "give it a good stir": the noun is the verb."""
    for noun in ("stir", "whisk", "mix", "shake", "rinse", "toss", "wash", "blitz", "blend",
                 "knead", "scrub", "squeeze"):  # fmt: skip
        if noun in words[:5]:
            return noun
    return None


def _weak(state: State, doing: Doing, value: ActionValue, details: Sequence[Mark]) -> str | None:
    """What a weak verb with a time comes to: in the oven it is baking."""
    verb, words = value.verb, doing.after()
    if verb in ("keep", "go", "start") and not any(m.label == TIME for m in details):
        return None  # "keep going until it pours"
    if verb in ("put", "leave", "cover") and _in_water(doing):
        return "soak"
    if "aside" in words or "alone" in words:
        return same_cooking(state) if doing.of(HEAT) else "rest"
    if verb in ("leave", "let") and _TICKING & set(words[:4]):
        return "cook"  # "let it tick over for forty minutes"
    if verb in ("leave", "let") and "go" not in words:
        done = vessel_verb(vessel_in(doing))
        return "rest" if verb == "let" else done if done in ("chill", "freeze") else verb
    if verb == "keep" and vessel_in(doing) is None:
        return "rest" if not state.steps or last_cooking(state) is None else "keep"
    if verb == "take" and "out" in words[:3] and vessel_in(doing) == "fridge":
        return verb
    if verb == "give" and _given(words):
        return _given(words) or verb
    if verb in ("take", "lift") and {"lid", "foil"} & set(words[:4]):
        return "uncover"
    more = any(m.label == TIME and m.value.more for m in details)
    if (verb == "cover" or (verb == "uncover" and more)) and value.form == "fragment":
        return vessel_verb(vessel_in(doing)) or same_cooking(state)
    heated = verb in ("get", "put", "set", "turn", "have", "switch") and not doing.of(FOOD)
    hotter = any(m.label == TEMPERATURE for m in details)
    if heated and hotter and vessel_in(doing) == "oven" and not doing.of(TIME):
        return "preheat"
    if verb in _WITH_TIME or verb in ("give", "keep", "set"):
        done = vessel_verb(vessel_in(doing))
        hot = any(m.value.kind == "oven" for m in details if m.label == TEMPERATURE)
        if hot and done in (None, "cook"):
            return "bake"
        if done is not None:
            return done
        if verb == "go" and state.oven and value.particle == "in":
            return "bake"
    if verb in _VAGUE:
        moved = _moving(doing, value)
        if moved is not None and not any(m.label == TIME for m in details):
            return moved
        return same_cooking(state)
    return verb


def same_cooking(state: State) -> str:
    """What goes on: the verb of the latest cooking, unless it was done at a stroke ("boil")."""
    last = last_cooking(state)
    return last.verb if last is not None and last.verb in _ENCLOSED else "cook"


def _in_water(doing: Doing) -> bool:
    doc = doing.clause.doc
    for m in doing.of(FOOD):
        if m.value.name.split()[-1:] == ["water"]:
            near = [t.lower_ for t in doc[max(doing.start, m.start - 2) : m.start]]
            return bool({"in", "with"} & set(near))
    return False


def _object(doing: Doing) -> bool:
    """Whether something follows the verb for it to act on."""
    action = doing.action
    if action is None:
        return False
    after = doing.clause.doc[action.end : doing.end]
    return any(t.lower_ in _OBJECTS or t.tag_ in ("NN", "NNS") for t in after)
