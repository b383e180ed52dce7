"""A step put right by talking of it: "simmer it for 30 instead", "the frying took 5 minutes".

The marking reads times, heat and temperatures; here is only decided which step
they are about, by the verb, the foods, the oven or the old figure that a
message names. Where several steps would do, it is asked which.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from hobnote.asking.context import Context
from hobnote.asking.heat import OVEN_VERBS, details, oven_steps
from hobnote.asking.outcomes import Outcome, change, look, unclear
from hobnote.asking.refusals import refused, words
from hobnote.asking.views import step_line
from hobnote.following import events as ev
from hobnote.marking.lexicon import verb_forms, verbs
from hobnote.marking.marks import (
    ACTION,
    AMOUNT,
    FOOD,
    HEAT,
    TEMPERATURE,
    TIME,
    VESSEL,
    AmountValue,
    HeatValue,
    Mark,
    TemperatureValue,
    TimeValue,
)
from hobnote.record import Step

_DETAILS: Final = (TIME, HEAT, TEMPERATURE)
_DOING: Final = frozenset({"cook", "prep", "hold", "heat", "add", "serve"})
_LONGEST: Final = 18
"""Words of a message that may put a step right; a longer one is a further bit of the note."""
_WHOLE: Final = frozenset({"simmer", "boil", "bake", "roast", "cook", "braise", "stew", "steam"})
"""What "it cooked" may mean, before frying and melting, which parts of a dish are put to."""


@dataclass(frozen=True, slots=True)
class _Said:
    """What a message tells of a step."""

    labels: frozenset[str]
    verbs: frozenset[str]
    general: bool
    rows: frozenset[str]
    oven: bool
    old: tuple[Mark, ...]
    corrects: bool


def refined(context: Context) -> Outcome | None:
    """The step that the message is about gets its time, heat or temperature.

    None when the message goes on with the note or tells nothing of a step.
    """
    said = _said(context)
    if said is None:
        return None
    steps = dict(zip(context.known.steps, context.record.steps, strict=True))
    found = [key for key, step in steps.items() if _about(said, key, step, context)]
    if not found:
        return _which(list(steps.values()), said) if _bare(said, context) and steps else None
    if len(found) > 1:
        names = {context.known.rows[key].name for key in said.rows}
        found = _narrowed(found, steps, said, names)
    if len(found) > 1:
        return _which([steps[key] for key in found], said)
    return _changed(context, found[0], steps[found[0]], said)


def _said(context: Context) -> _Said | None:
    typed = context.text.casefold().replace(",", " ").replace(".", " ").split()
    if len(typed) > _LONGEST or words("onward") & set(typed[:2]):
        return None
    labels: set[str] = set()
    old: list[Mark] = []
    for doc, _, mark in context.marks(None, *_DETAILS, AMOUNT):
        value = mark.value
        if mark.label == AMOUNT:
            if refused(doc, mark):
                old.append(mark)
            continue
        if isinstance(value, TimeValue) and value.more:
            return None
        if isinstance(value, HeatValue) and not value.level:
            continue
        if isinstance(value, TemperatureValue) and value.kind == "core":
            return None
        if refused(doc, mark):
            old.append(mark)
        else:
            labels.add(mark.label)
    if not labels or not _no_amounts(context):
        return None
    rows = _rows(context)
    if rows is None:
        return None
    named = list(_verbs(context))
    special = {verb for verb in named if verb not in words("any cooking")}
    return _Said(
        frozenset(labels),
        frozenset(special),
        len(special) < len(named),
        frozenset(rows),
        any(m.value == "oven" for _, _, m in context.marks(None, VESSEL)),
        tuple(old),
        bool(old) or bool(words("puts right") & set(typed)),
    )


def _no_amounts(context: Context) -> bool:
    """Whether nothing is measured: bare numbers that are refused do not count."""
    for doc, _, mark in context.marks(None, AMOUNT):
        if mark.value.article or (mark.value.unit is None and mark.value.vague is None):
            continue
        if not refused(doc, mark):
            return False
    return True


def _rows(context: Context) -> set[str] | None:
    """The rows that the foods of the message name; None when one is not in the dish."""
    rows: set[str] = set()
    for doc, _, mark in context.marks(None, FOOD):
        names = {r.key for r in context.known.rows.values() if r.name == mark.value.name}
        names = names or {r.key for r in context.rows_of(doc, mark)}
        names = names or {r.key for r in context.headed(mark.value.name)}
        if not names and mark.value.known:
            return None
        rows |= names
    return rows


def _verbs(context: Context) -> Iterator[str]:
    """The base forms of the cooking verbs, whether they stand as verbs or as nouns."""
    for doc, _ in context.docs():
        inside = {
            i for _, _, m in context.marks(None, HEAT, TEMPERATURE, TIME, FOOD, VESSEL)
            for i in range(m.start, m.end)
        }  # fmt: skip
        for token in doc:
            base = verb_forms().get(token.lower_)
            if base is None or (token.i in inside and token.lower_ == base):
                continue
            if verbs().get(base, {}).get("kind") in _DOING and token.lower_ not in ("heat", "time"):
                yield base


def _about(said: _Said, key: str, step: Step, context: Context) -> bool:
    """Whether the message may be about this step."""
    hot = step.vessel == "oven" or step.verb in OVEN_VERBS
    if said.verbs and step.verb not in said.verbs:
        return False
    if said.rows and not said.rows & set(context.known.steps[key].ingredients):
        return False
    if said.oven and not hot:
        return False
    if said.verbs or said.rows or said.oven:
        return True
    if said.old:
        return any(_was(mark, step) for mark in said.old)
    kind = verbs().get(step.verb, {}).get("kind")
    return said.general and kind == "cook" and TEMPERATURE not in said.labels


def _was(mark: Mark, step: Step) -> bool:
    value = mark.value
    if isinstance(value, AmountValue):
        minutes = step.minutes
        return step.temperature_c == value.best or (
            minutes is not None and minutes.low <= value.best <= minutes.high
        )
    if isinstance(value, TimeValue):
        return step.minutes is not None and step.minutes.low <= value.low <= step.minutes.high
    if isinstance(value, TemperatureValue):
        return step.temperature_c == round(value.celsius)
    return isinstance(value, HeatValue) and step.heat == value.level


def _bare(said: _Said, context: Context) -> bool:
    """Whether nothing says which step, and no more than a figure is told."""
    doing = {m.value.verb for _, _, m in context.marks(None, ACTION)} - words("steers")
    return not (said.verbs or said.rows or said.oven or doing)


def _narrowed(
    found: list[str], steps: dict[str, Step], said: _Said, names: set[str]
) -> list[str]:
    """The likeliest of several steps: those that name the food themselves, then those that have
    such a figure already, those that cook, those that cook the dish and not a part of it."""
    tests: tuple[Callable[[Step], bool], ...] = (
        lambda s: any(_was(mark, s) for mark in said.old),
        lambda s: any(name in s.text.casefold() for name in names),
        lambda s: all(_has(s, label) for label in said.labels),
        lambda s: verbs().get(s.verb, {}).get("kind") == "cook",
        lambda s: said.general and s.verb in _WHOLE,
    )
    for fits in tests:
        kept = [key for key in found if fits(steps[key])]
        found = kept or found
        if len(found) == 1:
            break
    return found


def _has(step: Step, label: str) -> bool:
    given = {TIME: step.minutes, HEAT: step.heat, TEMPERATURE: step.temperature_c}
    return given[label] is not None


def _which(steps: list[Step], said: _Said) -> Outcome:
    labels = [s for s in steps if all(_has(s, label) for label in said.labels)] or steps
    number = labels[0].number
    return unclear(
        "Which step is that? Nothing was changed.",
        *(f"  {step_line(step)}" for step in labels),
        f"Say it with the step: step {number} was …",
    )


def _changed(context: Context, key: str, step: Step, said: _Said) -> Outcome | None:
    if context.continues and not said.corrects:
        return None
    hot = step.vessel == "oven" or step.verb in OVEN_VERBS
    keys = [key]
    if TEMPERATURE in said.labels and hot and step.temperature_c is None:
        tempered = oven_steps(context)
        if said.labels == {TEMPERATURE}:
            keys = tempered or keys
    made = [details(context, context.text, k, oven=hot) for k in keys]
    events: list[ev.Event] = [e for e in made if e is not None]
    if not events:
        return None
    if all(_already(e, context) for e in events):
        return look("That is how it stands already:", f"  {step_line(step)}")
    settled = [
        ev.Settled(flag=q.kind, key=q.key)
        for q in context.questions
        if q.key in keys and q.kind == "missing temperature" and TEMPERATURE in said.labels
    ]
    return change(*events, *settled)


def _already(event: ev.Event, context: Context) -> bool:
    if not isinstance(event, ev.StepChanged):
        return False
    step = dict(zip(context.known.steps, context.record.steps, strict=True))[event.key]
    return all(
        value is None or value == getattr(step, name)
        for name in ("heat", "temperature_c", "core_c", "minutes", "until")
        for value in (getattr(event, name),)
    )

