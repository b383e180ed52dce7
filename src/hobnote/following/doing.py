"""What is done in a clause: which verbs count, and with which vessel, heat, time and cue."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final, cast

from hobnote.following.clauses import Clause
from hobnote.marking.actions import ActionValue
from hobnote.marking.marks import (
    FOOD,
    HEAT,
    TEMPERATURE,
    TIME,
    UNTIL,
    VESSEL,
    HeatValue,
    Mark,
    TemperatureValue,
    TimeValue,
)
from hobnote.marking.tables import rows as data_rows
from hobnote.record import HeatLevel, Range

_LEADING: Final = frozenset(
    {"so", "and", "then", "okay", "ok", "now", "right", "i'm", "i", "we", "we're", "going", "to",
     "gonna", "just", "you", "will", "'ll", "'m", "'re", ",", "well", "next", "let", "me", "am",
     "are", "want", "need", "also", "that", "which", "'ve", "have", "let's", "'s", "."}
)  # fmt: skip
_FORWARD: Final = frozenset(
    {"going", "want", "need", "have", "got", "ready", "like", "start", "time", "try", "remember",
     "gonna", "used", "wanna", "able", "bring", "is", "was"}
)  # fmt: skip
_LASTING: Final = frozenset(
    {"keep", "keeps", "kept", "last", "lasts", "good", "fine", "better", "best", "within", "eat"}
)


@cache
def _vessel_verbs() -> dict[str, str]:
    return {row["name"]: row["verb"] for row in data_rows("vessels.csv") if row["verb"]}


def vessel_verb(vessel: str | None) -> str | None:
    """What is done in a vessel when no verb says it (oven: bake; fridge: chill)."""
    return _vessel_verbs().get(vessel or "")


@dataclass(slots=True)
class Details:
    """What was said about one doing, apart from its verb and foods."""

    heat: HeatLevel | None = None
    minutes: Range | None = None
    oven: float | None = None
    core: float | None = None
    vessel: str | None = None
    until: str | None = None


def vessel_of(clause: Clause) -> str | None:
    found = clause.of(VESSEL)
    return found[-1].value if found else None


def heat_of(details: Sequence[Mark]) -> HeatLevel | None:
    levels = [
        m.value.level
        for m in details
        if m.label == HEAT and isinstance(m.value, HeatValue) and m.value.level
    ]
    return cast(HeatLevel, levels[-1]) if levels else None


def minutes_of(details: Sequence[Mark]) -> tuple[Range | None, bool]:
    times = [m for m in details if m.label == TIME and isinstance(m.value, TimeValue)]
    if not times:
        return None, False
    value: TimeValue = times[-1].value
    return Range(low=value.low, high=value.high), value.more


def temperatures_of(details: Sequence[Mark]) -> tuple[float | None, float | None]:
    oven: float | None = None
    core: float | None = None
    for m in details:
        if m.label != TEMPERATURE or not isinstance(m.value, TemperatureValue):
            continue
        if m.value.kind == "core":
            core = round(m.value.celsius)
        else:
            oven = round(m.value.celsius)
    return oven, core


def until_of(details: Sequence[Mark]) -> str | None:
    cues = [m for m in details if m.label == UNTIL]
    return str(cues[0].value) if cues else None


def is_done(clause: Clause, action: Mark) -> bool:
    """A participle without a subject describes ("red pepper, diced"); it is no step."""
    value: ActionValue = action.value
    if value.form != "past":
        return True
    before = [t.lower_ for t in clause.doc[max(clause.start, action.start - 4) : action.start]]
    return any(
        w in ("i", "we", "i've", "we've", "'ve", "you", "gets", "get", "got") for w in before
    )


def is_purpose(clause: Clause, action: Mark) -> bool:
    """ "a splash of water to loosen": what something is for, not a step."""
    doc = clause.doc
    i = action.start - 1
    if i < clause.start or doc[i].lower_ != "to" or doc[i].is_sent_start or i == 0:
        return False
    return doc[i - 1].lower_ not in _FORWARD


def happens(action: Mark) -> bool:
    """ "it tears", "so it sizzles": what the food does, not what the cook does."""
    value: ActionValue = action.value
    return value.form == "s" and value.subject in ("it", "they", "he", "she", None)


def is_idiom(mark: Mark) -> bool:
    """ "for a second": a moment, not a cooking time."""
    return isinstance(mark.value, TimeValue) and mark.value.high <= 1 / 60 + 1e-6


def is_keeping(clause: Clause, details: Sequence[Mark]) -> bool:
    """ "keeps three days in the fridge": how long it lasts, not a step."""
    long = any(isinstance(m.value, TimeValue) and m.value.high >= 1440 for m in details)
    return long and any(w in _LASTING for w in clause.lowers())


def has_object(clause: Clause, action: Mark) -> bool:
    """Whether something follows the verb for it to act on."""
    after = clause.doc[action.end : clause.end]
    return any(
        t.lower_ in ("it", "them", "that", "everything", "those", "these", "all", "this")
        or t.tag_ in ("NN", "NNS")
        for t in after
    )


def instruction(clause: Clause, action: Mark | None) -> str:
    """The clause as a short instruction: from its verb on, the verb in its base form."""
    doc = clause.doc
    start = clause.start
    if action is not None and action.start - clause.start <= 8:
        value: ActionValue = action.value
        lead = [t.lower_ for t in doc[clause.start : action.start]]
        if all(w in _LEADING for w in lead) or (len(lead) <= 3 and not clause.of(FOOD)):
            rest = doc[action.start + 1 : clause.end].text
            return _tidy(f"{value.verb} {rest}")
    while start < clause.end and doc[start].lower_ in _LEADING:
        start += 1
    return _tidy(doc[start : clause.end].text)


def _tidy(text: str) -> str:
    text = " ".join(text.split()).strip(" ,;:-–—.!…")
    return text[:1].upper() + text[1:]
