"""What a week is to be like: days, meals, bands, repeats, what to avoid and what to use up."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from hobnote.nutrition.tables import nutrients
from hobnote.planning.errors import PlanningError
from hobnote.planning.tables import rules

KEYS = {
    "energy": "energy_kcal",
    "protein": "protein_g",
    "fat": "fat_g",
    "saturates": "saturates_g",
    "carbohydrate": "carbohydrate_g",
    "sugars": "sugars_g",
    "fibre": "fibre_g",
    "salt": "salt_g",
}
_NUMBER = r"\d+(?:\.\d+)?"
_FORMS = (
    (re.compile(rf"({_NUMBER})\s*(?:±|\+-|\+/-)\s*({_NUMBER})"), "about"),
    (re.compile(rf"({_NUMBER})\s*(?:-|–|to|\.\.)\s*({_NUMBER})"), "range"),
    (re.compile(rf"(?:>=?|≥)\s*({_NUMBER})|({_NUMBER})\s*\+"), "least"),
    (re.compile(rf"(?:<=?|≤)\s*({_NUMBER})|({_NUMBER})\s*-"), "most"),
)


@dataclass(frozen=True, slots=True)
class Band:
    """Limits of a nutrient over a day for one person; at least one is given."""

    nutrient: str
    low: float | None = None
    high: float | None = None

    @property
    def name(self) -> str:
        """ "protein"."""
        known = nutrients().get(self.nutrient)
        return known.name if known else self.nutrient

    @property
    def unit(self) -> str:
        """ "g"."""
        known = nutrients().get(self.nutrient)
        return known.unit if known else ""

    def words(self) -> str:
        """ "energy 2,100–2,300 kcal a day"."""
        if self.low is not None and self.high is not None:
            return f"{self.name} {self.low:,g}–{self.high:,g} {self.unit} a day"
        if self.low is not None:
            return f"{self.name} {self.low:,g} {self.unit} or more a day"
        return f"{self.name} {self.high:,g} {self.unit} or less a day"


def band(nutrient: str, text: str) -> Band:
    """A band from "2200±100", "1800-2200", "140+", ">=140", "70-" or "<70".

    ``nutrient`` is a word such as "protein". Raises PlanningError otherwise.
    """
    key = KEYS.get(nutrient.casefold(), nutrient)
    if key not in nutrients():
        raise PlanningError(f"{nutrient!r} is none of {', '.join(KEYS)}")
    words = text.strip().replace(",", "")
    for pattern, form in _FORMS:
        found = pattern.fullmatch(words)
        if found is None:
            continue
        figures = [float(part) for part in found.groups() if part is not None]
        if form == "about":
            return Band(key, max(0.0, figures[0] - figures[1]), figures[0] + figures[1])
        if form == "range":
            return Band(key, min(figures), max(figures))
        return Band(key, low=figures[0]) if form == "least" else Band(key, high=figures[0])
    raise PlanningError(
        f"{text!r} is no band for {nutrient}; write 2200±100, 1800-2200, 140+ (or more) "
        "or <70 (or less)"
    )


def default_sizes() -> tuple[float, ...]:
    """The sizes of a portion that may be served, from ``data/rules.toml``."""
    return tuple(float(size) for size in rules()["portions"]["sizes"])


@dataclass(frozen=True, slots=True)
class Wishes:
    """What to plan for. ``people`` eat the same; bands hold for each of them.

    ``repeats`` is the most often that a recipe is served in the whole plan
    (never twice a day). ``pantry`` maps words of ingredients to grams that are to
    be used up. ``suits`` maps a meal to the recipes (ids) that may be served
    at it; a meal that is not there takes any.
    """

    days: int = 7
    meals: tuple[str, ...] = ("lunch", "supper")
    bands: tuple[Band, ...] = ()
    repeats: int = 2
    people: int = 1
    sizes: tuple[float, ...] = field(default_factory=default_sizes)
    avoid: tuple[str, ...] = ()
    pantry: Mapping[str, float] = field(default_factory=dict)
    suits: Mapping[str, frozenset[int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        wrong = [
            *(["the number of days must be 1 to 31"] if not 1 <= self.days <= 31 else []),
            *(["there must be 1 to 6 meals a day"] if not 1 <= len(self.meals) <= 6 else []),
            *(["a recipe must be allowed at least once"] if self.repeats < 1 else []),
            *(["there must be at least one person"] if self.people < 1 else []),
            *(["portion sizes must be above 0"] if min(self.sizes, default=0) <= 0 else []),
            *(["two meals have the same name"] if len(set(self.meals)) < len(self.meals) else []),
        ]
        if wrong:
            raise PlanningError(wrong[0])
