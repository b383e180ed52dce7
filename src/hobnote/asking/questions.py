"""From flags to questions: what is asked, what is only listed, and what may be answered. Pure."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from functools import cache
from importlib.resources import files
from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from hobnote.asking.settling import flag_keys
from hobnote.following import events as ev
from hobnote.following.resume import Known
from hobnote.record import Flag, Heard, Range, Record

MOST_OPTIONS = 4
LETTERS = "abcd"


class Question(BaseModel):
    """One thing to ask. ``id`` stays the same as long as the question is open.

    ``key`` names the row, step or claim in the events; ``matters`` says whether
    it is asked or only listed; effects are what settling it would pin down.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    id: str
    flag: str
    kind: str
    key: str | None
    ingredient: str | None
    text: str
    options: tuple[str, ...]
    matters: bool
    effect_kcal: Range | None = None
    effect_sodium_mg: Range | None = None
    suggestion: str | None = None
    heard_word: str | None = None
    heard: tuple[Heard, ...] = ()


class Thresholds(BaseModel):
    """What an answer must be able to move for its question to be asked."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    energy_share: float = Field(ge=0)
    sodium_mg_a_portion: float = Field(ge=0)
    always: frozenset[str]
    when_unknown: frozenset[str]

    @classmethod
    def usual(cls, **changed: Any) -> Thresholds:
        """Those of ``asking.toml``, but for what is ``changed``."""
        return cls.model_validate(_usual() | changed)


@cache
def _usual() -> dict[str, Any]:
    text = files("hobnote.asking").joinpath("data", "asking.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def questions(
    record: Record,
    events: Sequence[ev.Event],
    thresholds: Thresholds | None = None,
    now: Known | None = None,
) -> list[Question]:
    """Every open question: those that matter, dearest first, then those only listed."""
    limits = thresholds or Thresholds.usual()
    keys = flag_keys(record, events, now)
    found = [_question(flag, keys[flag.id], record, limits) for flag in record.flags]
    return sorted(found, key=lambda q: not q.matters)


def _question(flag: Flag, key: str | None, record: Record, limits: Thresholds) -> Question:
    options = flag.options or ([flag.suggestion] if flag.suggestion else [])
    return Question(
        id=f"{flag.kind}:{key or 'dish'}".replace(" ", "-"),
        flag=flag.id,
        kind=flag.kind,
        key=key,
        ingredient=flag.ingredient,
        text=flag.question,
        options=tuple(options[:MOST_OPTIONS]),
        matters=matters(flag, record, limits),
        effect_kcal=flag.effect_kcal,
        effect_sodium_mg=flag.effect_sodium_mg,
        suggestion=flag.suggestion,
        heard_word=flag.heard_word,
        heard=tuple(flag.heard),
    )


def matters(flag: Flag, record: Record, limits: Thresholds) -> bool:
    """Whether the answer can move the dish's energy or a portion's sodium by enough."""
    if flag.kind in limits.always:
        return True
    energy, sodium = flag.effect_kcal, flag.effect_sodium_mg
    if energy is None and sodium is None:
        return flag.kind in limits.when_unknown
    if sodium is not None:
        portions = record.portions.best if record.portions else 1.0
        if (sodium.high - sodium.low) / max(portions, 1e-9) >= limits.sodium_mg_a_portion:
            return True
    if energy is None:
        return False
    total = record.nutrition.total.get("energy_kcal")
    whole = total.best if total is not None else 0.0
    moved = energy.high - energy.low
    return moved > 0 and moved >= limits.energy_share * whole
