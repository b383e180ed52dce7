"""Temperatures, times and heat in a message: for the step asked about, or the oven's."""

from __future__ import annotations

import re
from typing import cast

from hobnote.asking.context import Context
from hobnote.asking.frames import Frame
from hobnote.asking.outcomes import Outcome, change, unclear
from hobnote.asking.refusals import refused
from hobnote.asking.rewording import reworded
from hobnote.following import events as ev
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    FOOD,
    HEAT,
    TEMPERATURE,
    TIME,
    UNTIL,
    VESSEL,
    HeatValue,
    TemperatureValue,
    TimeValue,
)
from hobnote.marking.tables import word_list
from hobnote.record import HeatLevel, Range

OVEN_VERBS = frozenset({"bake", "roast", "preheat"})
_LONGEST_NUMBER = 2
_HOTTEST_MINUTES = 100
"""A bare number from here on is the oven's heat, below it minutes."""
_GAS = re.compile(r"(?<!gas )\bmark\b", re.IGNORECASE)
_OVENS = frozenset({"oven", "temperature", "temp", "dial", "thermostat"})
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
             "tenth", "eleventh", "twelfth")  # fmt: skip


def asked_heat(context: Context, text: str) -> Outcome | None:
    """A temperature, time, heat or cue for the step that the question on the table is about."""
    question = context.asked
    if question is None or question.key not in context.known.steps:
        return None
    oven = question.ingredient is None
    if oven and _GAS.search(text):
        text = _GAS.sub("gas mark", text)
    found = details(context, text, question.key, oven=oven)
    if found is None and (oven or word_list("core") & set(text.casefold().split())):
        # A bare number: the same reader, with the words that the question already said.
        led = ("oven at " if oven else "core of ") + _number(context, text)
        found = details(context, led, question.key, oven=oven)
    if found is not None:
        return change(found)
    if not oven and _number(context, text):
        return unclear(f"{_number(context, text)} what: minutes, or °C inside?")
    return None


def _number(context: Context, text: str) -> str:
    """The words of the one bare number in ``text``, "" if there is none."""
    bare = [
        doc[m.start : m.end].text
        for doc, _, m in context.marks(text, AMOUNT)
        if m.value.unit is None and m.value.vague is None and m.value.noun is None
    ]
    return bare[0].removeprefix("about ").removeprefix("around ") if bare else ""


def details(context: Context, text: str, key: str, *, oven: bool) -> ev.StepChanged | None:
    """What ``text`` says about the step ``key``; None when nothing."""
    given: dict[str, object] = {}
    for doc, _, mark in context.marks(text, TEMPERATURE, TIME, HEAT, UNTIL):
        value = mark.value
        if refused(doc, mark):
            continue
        if isinstance(value, TemperatureValue):
            core = value.kind == "core" or (value.kind == "unknown" and not oven)
            given["core_c" if core else "temperature_c"] = round(value.celsius)
        elif isinstance(value, TimeValue):
            given["minutes"] = Range(low=value.low, high=value.high)
        elif isinstance(value, HeatValue) and value.level:
            given["heat"] = cast(HeatLevel, value.level)
        elif mark.label == UNTIL:
            given["until"] = str(value)
    if not given:
        return None
    step = dict(zip(context.known.steps, context.record.steps, strict=True)).get(key)
    told = None if step is None else reworded(context, step, given)
    if told is not None:
        given["text"] = told
    return ev.StepChanged(key=key, heard=context.heard(), **given)  # type: ignore[arg-type]


def oven(context: Context) -> Outcome | None:
    """ "the oven was 180 fan": the step or steps that have the oven's temperature get it."""
    found = context.marks(None, TEMPERATURE, VESSEL, AMOUNT, FOOD, ACTION)
    said = [m for _, _, m in found if m.label == TEMPERATURE and m.value.kind != "core"]
    has_oven = any(m.label == VESSEL and m.value == "oven" for _, _, m in found)
    has_oven = has_oven or bool(_OVENS & set(context.text.casefold().split()))
    if any(m.label == FOOD for _, _, m in found) or not (has_oven or said):
        return None
    doing = [m.value.verb for _, _, m in found if m.label == ACTION]
    if any(verb not in ("set", "heat", "preheat", "put", "have", "turn", "get") for verb in doing):
        return None
    words = context.text.casefold().replace(",", " ").split()
    hot = [doc[m.start : m.end].text for doc, _, m in found if m.label == TEMPERATURE]
    if not said and hot and "oven" in words:
        text = f"oven at {hot[0]}"
    elif not said:
        if not has_oven or not _number(context, context.text):
            return None
        text = "oven at " + _number(context, context.text)
    else:
        text = context.text
    keys = oven_steps(context)
    if not keys and has_oven and not doing:
        return unclear("Nothing goes into the oven so far; say what is done there, and how hot.")
    if not keys:
        return None
    changes = [details(context, text, key, oven=True) for key in keys]
    kept = [e.model_copy(update={"core_c": None}) for e in changes if e is not None]
    settled = [
        ev.Settled(flag=q.kind, key=q.key) for q in context.questions if q.key in keys
    ]
    return change(*kept, *settled) if kept else None


def oven_steps(context: Context) -> list[str]:
    """The steps that a bare oven temperature is about: asked, else tempered alike, else baked."""
    keys = list(context.known.steps)
    steps = dict(zip(keys, context.record.steps, strict=False))
    asked = context.asked
    if asked and asked.kind == "missing temperature" and asked.ingredient is None and asked.key:
        return [asked.key]
    hot = [k for k, s in steps.items() if s.temperature_c is not None]
    if hot:
        first = steps[hot[0]].temperature_c
        return [k for k in hot if steps[k].temperature_c == first]
    baked = [k for k, s in steps.items() if s.vessel == "oven" or s.verb in OVEN_VERBS]
    return baked[:1]


def step_number(frame: Frame, context: Context) -> int | None:
    """The number of the step that a frame names, by number or by place."""
    steps = context.record.steps
    if "n" in frame.slots:
        if len(frame.slots["n"].split()) > _LONGEST_NUMBER:
            return None
        number = context.number(frame.slots["n"])
        return int(number) if number is not None else None
    word = frame.slots.get("nth", "").casefold()
    if word == "last":
        return len(steps)
    if word in _ORDINALS:
        return _ORDINALS.index(word) + 1
    digits = word.removesuffix("st").removesuffix("nd").removesuffix("rd").removesuffix("th")
    return int(digits) if digits.isdigit() else None


def step_change(frame: Frame, context: Context) -> Outcome | None:
    """ "step 3 was 20 minutes"."""
    number = step_number(frame, context)
    keys = list(context.known.steps)
    if number is None:
        return None
    text = frame.slots["change"]
    if not 0 < number <= len(keys):
        told = context.marks(text, TIME, HEAT, TEMPERATURE, AMOUNT)
        return unclear(f"There are {len(keys)} steps.") if told else None
    key = keys[number - 1]
    step = context.record.steps[number - 1]
    hot = step.vessel == "oven" or step.verb in OVEN_VERBS
    found = details(context, text, key, oven=hot) or details(context, f"on {text}", key, oven=hot)
    bare = _number(context, text)
    if found is None and bare and len(text.split()) <= _LONGEST_NUMBER:
        value = context.number(bare) or 0
        led = f"oven at {bare}" if hot and value >= _HOTTEST_MINUTES else f"{bare} minutes"
        found = details(context, led, key, oven=hot)
    return None if found is None else change(found)


def step_drop(frame: Frame, context: Context) -> Outcome | None:
    """ "drop step 3"."""
    number = step_number(frame, context)
    keys = list(context.known.steps)
    if number is None or not 0 < number <= len(keys):
        return unclear(f"There are {len(keys)} steps.")
    return change(ev.StepDropped(key=keys[number - 1], heard=context.heard()))
