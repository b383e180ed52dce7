"""Gold records: what a careful editor would publish after hearing a whole note.

One note is ``NAME.txt``, ``NAME.vtt`` or ``NAME.srt`` beside ``NAME.gold.json``.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError

from hobnote.record import ClaimNutrient, HeatLevel, Unit
from hobnote.scoring.speech import spoken_words

Kind = Literal["plain", "lines", "timed", "webvtt", "subrip"]
SUFFIXES: dict[Kind, str] = {
    "plain": ".txt",
    "lines": ".txt",
    "timed": ".txt",
    "webvtt": ".vtt",
    "subrip": ".srt",
}


class GoldError(ValueError):
    """A folder or gold file that cannot be read; the message is one clear sentence."""


def _ordered(pair: tuple[float, float]) -> tuple[float, float]:
    if pair[0] > pair[1]:
        raise ValueError(f"the range runs backwards: {pair[0]} to {pair[1]}")
    return pair


Span = Annotated[tuple[float, float], AfterValidator(_ordered)]
Point = Annotated[int, Field(ge=1, le=9)]


class GoldPart(BaseModel):
    """Base of the gold shapes: an unknown field is an error."""

    model_config = ConfigDict(extra="forbid")


class GoldAmount(GoldPart):
    """An exact spoken amount; ``low`` and ``high`` differ for a spoken range."""

    low: float
    high: float
    unit: Unit | Literal["kcal", "kJ"]


class GoldIngredient(GoldPart):
    """One row: an ingredient in one component, or a swap."""

    name: str
    names: list[str] = Field(default_factory=list)
    amount: GoldAmount | None = None
    also: list[GoldAmount] = Field(default_factory=list)
    relative: bool = False
    vague: str | None = None
    missing: bool = False
    grams: Span | None = None
    component: str = "main"
    optional: bool = False
    swap_for: str | None = None

    @property
    def accepted(self) -> list[str]:
        """Every accepted name, the preferred one first."""
        return [self.name, *self.names]


class GoldStep(GoldPart):
    """One printed step: its accepted main verbs and what it states."""

    verbs: list[str] = Field(min_length=1)
    ingredients: list[str] = Field(default_factory=list)
    minutes: Span | None = None
    heat: HeatLevel | None = None
    temperature_c: float | None = None
    core_c: float | None = None
    until: str | None = None
    vessel: str | None = None


class GoldClaim(GoldPart):
    """A stated nutrition figure of this dish; ``scope`` is portion, total or a component."""

    nutrient: ClaimNutrient
    low: float
    high: float
    unit: Literal["kcal", "kJ", "g"]
    scope: str = "portion"


class Misheard(GoldPart):
    """A word as the recogniser wrote it and the word that was said."""

    heard: str
    meant: str


class Gold(GoldPart):
    """What the published recipe would hold."""

    voice: str
    kind: Kind
    covers: list[Point]
    title: str | None = None
    portions: float | None = None
    ingredients: list[GoldIngredient]
    steps: list[GoldStep]
    claims: list[GoldClaim] = Field(default_factory=list)
    kept_out: list[str] = Field(default_factory=list)
    asides: list[str] = Field(default_factory=list)
    mishearings: list[Misheard] = Field(default_factory=list)
    choices: list[list[str]] = Field(default_factory=list)
    energy_kcal: Span | None = None

    def named(self, name: str) -> GoldIngredient | None:
        """The row with this preferred name that is not a swap."""
        return next((r for r in self.ingredients if r.name == name and not r.swap_for), None)


@dataclass(frozen=True, slots=True)
class Note:
    """A note, its words without caption furniture, and its gold record."""

    name: str
    text: str
    spoken: str
    gold: Gold


def load_note(gold_path: Path) -> Note:
    """Read ``NAME.gold.json`` and the note beside it.

    Raises:
        GoldError: no or several notes of that name, bad JSON, or a wrong field.
    """
    name = gold_path.name.removesuffix(".gold.json")
    try:
        gold = Gold.model_validate(json.loads(gold_path.read_text(encoding="utf-8")))
    except json.JSONDecodeError as error:
        raise GoldError(
            f"{gold_path.name}, line {error.lineno}: not valid JSON ({error.msg})"
        ) from error
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise GoldError(f"{gold_path.name}: {where}: {first['msg']}") from error
    beside = [gold_path.with_name(name + s) for s in sorted(set(SUFFIXES.values()))]
    found = [path for path in beside if path.exists()]
    if len(found) != 1:
        raise GoldError(f"{gold_path.name}: {len(found)} notes beside it, wanted exactly one")
    if found[0].suffix != SUFFIXES[gold.kind]:
        raise GoldError(f"{gold_path.name}: kind {gold.kind} does not fit {found[0].name}")
    text = found[0].read_text(encoding="utf-8")
    return Note(name=name, text=text, spoken=spoken_words(text, gold.kind), gold=gold)


def gold_paths(folder: Path) -> list[Path]:
    """The gold files of ``folder`` and the folders under it, by path.

    Raises:
        GoldError: the folder does not exist or holds no gold file.
    """
    if not folder.is_dir():
        raise GoldError(f"{folder}: no such folder")
    paths = sorted(folder.rglob("*.gold.json"))
    if not paths:
        raise GoldError(f"{folder}: holds no *.gold.json")
    return paths


def load_folder(folder: Path) -> list[Note]:
    """Every note with gold in ``folder`` and below. Raises GoldError as above."""
    return [load_note(path) for path in gold_paths(folder)]
