"""The cook's own foods: from a label's figures to a row per 100 g, and whether they can be right.

Pure: nothing here reads or writes. ``Label`` holds what is printed; ``from_label`` turns it
into an ``OwnFood``; ``problems`` says in plain words what does not add up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from hobnote.pantry.types import Food, HouseholdWeight
from hobnote.pantry.words import plain

KCAL_PER_KJ = 1 / 4.184
SALT_PER_SODIUM = 2.5  # EU 1169/2011 Annex I
# EU 1169/2011 Annex XIV, kcal/g.
ENERGY = {"protein_g": 4.0, "fat_g": 9.0, "fibre_g": 2.0, "polyols_g": 2.4, "alcohol_g": 7.0}
CARBOHYDRATE_KCAL = 4.0
_PARTS = (
    ("saturates_g", "fat_g"),
    ("sugars_g", "carbohydrate_g"),
    ("fibre_g", "carbohydrate_g"),
    ("polyols_g", "carbohydrate_g"),
)
KEYS = (
    "energy_kcal",
    "protein_g",
    "fat_g",
    "saturates_g",
    "carbohydrate_g",
    "sugars_g",
    "fibre_g",
    "sodium_mg",
    "alcohol_g",
    "polyols_g",
)


class LabelError(ValueError):
    """A label that cannot be right, in one clear sentence."""


@dataclass(frozen=True, slots=True)
class Label:
    """Figures as printed, for ``per`` grams (or millilitres, with ``density_g_ml``).

    ``available_g`` is carbohydrate without fibre, as EU and British labels print it;
    ``carbohydrate_g`` is total carbohydrate, fibre included, as American ones do.
    A figure that is not printed is None: unknown, not zero.
    """

    per: float = 100.0
    per_ml: bool = False
    density_g_ml: float | None = None
    serving_g: float | None = None
    energy_kcal: float | None = None
    energy_kj: float | None = None
    protein_g: float | None = None
    fat_g: float | None = None
    saturates_g: float | None = None
    available_g: float | None = None
    carbohydrate_g: float | None = None
    sugars_g: float | None = None
    fibre_g: float | None = None
    polyols_g: float | None = None
    alcohol_g: float | None = None
    salt_g: float | None = None
    sodium_mg: float | None = None


@dataclass(frozen=True, slots=True)
class OwnFood:
    """One of the cook's own foods: figures per 100 g by key of the composition table.

    ``polyols_g`` may be among them. ``serving_g`` is the serving of the label, if it had one.
    """

    name: str
    figures: Mapping[str, float] = field(default_factory=dict)
    serving_g: float | None = None
    density_g_ml: float | None = None
    note: str = ""

    @property
    def id(self) -> str:
        return f"own:{plain(self.name)}"

    def as_food(self) -> Food:
        """The row that the pantry prefers over the table."""
        weights = []
        if self.serving_g:
            weights.append(HouseholdWeight("serving", self.serving_g, "label"))
            weights.append(HouseholdWeight("piece", self.serving_g, "label: taken as one serving"))
        if self.density_g_ml:
            cup = self.density_g_ml * 236.5882365
            weights.append(HouseholdWeight("cup", cup, "density given with the label"))
        return Food(
            id=self.id,
            description=self.name,
            group="Own foods",
            nutrients={k: v for k, v in self.figures.items() if k != "polyols_g"},
            weights=tuple(weights),
            source=f"your own food{f': {self.note}' if self.note else ''}",
        )


def from_label(name: str, label: Label, note: str = "") -> OwnFood:
    """The food of a label, per 100 g. Raises :class:`LabelError` when it cannot be right."""
    if not plain(name):
        raise LabelError("the food needs a name")
    figures = _per_100g(label)
    if "energy_kcal" not in figures:
        raise LabelError(f"{name}: the energy is missing; give kcal or kJ")
    food = OwnFood(name.strip(), figures, label.serving_g, label.density_g_ml, note)
    if wrong := problems(food):
        raise LabelError(f"{name}: {'; '.join(wrong)}")
    return food


def _per_100g(label: Label) -> dict[str, float]:
    """The printed figures on 100 g, carbohydrate with its fibre, salt as sodium, kJ as kcal."""
    if label.per <= 0:
        raise LabelError("the label must be for more than 0 g")
    grams = label.per
    if label.per_ml:
        if label.density_g_ml is None:
            raise LabelError("a label per 100 ml needs the food's density in g/ml (water is 1)")
        grams = label.per * label.density_g_ml
    printed = {
        "energy_kcal": _energy(label),
        "protein_g": label.protein_g,
        "fat_g": label.fat_g,
        "saturates_g": label.saturates_g,
        "carbohydrate_g": _carbohydrate(label),
        "sugars_g": label.sugars_g,
        "fibre_g": label.fibre_g,
        "polyols_g": label.polyols_g,
        "alcohol_g": label.alcohol_g,
        "sodium_mg": _sodium(label),
    }
    known = {key: value for key, value in printed.items() if value is not None}
    return {key: round(value * 100 / grams, 3) for key, value in known.items()}


def _energy(label: Label) -> float | None:
    kcal, kj = label.energy_kcal, label.energy_kj
    if kcal is None:
        return None if kj is None else kj * KCAL_PER_KJ
    if kj is not None and abs(kj * KCAL_PER_KJ - kcal) > max(3.0, 0.06 * kcal):
        raise LabelError(
            f"{kcal:g} kcal and {kj:g} kJ do not agree: {kj:g} kJ is {kj * KCAL_PER_KJ:.0f} kcal"
        )
    return kcal


def _carbohydrate(label: Label) -> float | None:
    if label.carbohydrate_g is not None:
        return label.carbohydrate_g
    if label.available_g is None:
        return None
    return label.available_g + (label.fibre_g or 0.0)


def _sodium(label: Label) -> float | None:
    if label.sodium_mg is not None:
        salt = label.salt_g
        if salt is not None and abs(salt * 1000 / SALT_PER_SODIUM - label.sodium_mg) > max(
            30.0, 0.1 * label.sodium_mg
        ):
            raise LabelError(
                f"{salt:g} g salt and {label.sodium_mg:g} mg sodium do not agree: "
                f"salt is {SALT_PER_SODIUM} times sodium"
            )
        return label.sodium_mg
    return None if label.salt_g is None else label.salt_g * 1000 / SALT_PER_SODIUM


def energy_of_parts(figures: Mapping[str, float]) -> float | None:
    """kcal per 100 g by EU 1169/2011 Annex XIV; None when a macronutrient is unknown."""
    if any(key not in figures for key in ("protein_g", "fat_g", "carbohydrate_g")):
        return None
    fibre, polyols = figures.get("fibre_g", 0.0), figures.get("polyols_g", 0.0)
    starch_and_sugar = max(0.0, figures["carbohydrate_g"] - fibre - polyols)
    kcal = sum(figures.get(key, 0.0) * factor for key, factor in ENERGY.items())
    return kcal + CARBOHYDRATE_KCAL * starch_and_sugar


def problems(food: OwnFood) -> list[str]:
    """What cannot be right about the figures, one sentence part each; empty when all is well."""
    figures = food.figures
    wrong = [f"{_name(k)} is below zero" for k, v in figures.items() if v < 0]
    if wrong:
        return wrong
    for part, whole in _PARTS:
        if part in figures and whole in figures and figures[part] > figures[whole] + 0.5:
            wrong.append(
                f"{_name(part)} ({figures[part]:g} g) is more than {_name(whole)} "
                f"({figures[whole]:g} g), of which it is a part"
            )
    parts = ("protein_g", "fat_g", "carbohydrate_g", "alcohol_g")
    total = sum(figures.get(key, 0.0) for key in parts)
    total += figures.get("sodium_mg", 0.0) * SALT_PER_SODIUM / 1000
    if total > 103:
        wrong.append(f"its parts weigh {total:.0f} g in 100 g")
    wrong.extend(_energy_problem(figures))
    return wrong


def _energy_problem(figures: Mapping[str, float]) -> list[str]:
    said, computed = figures.get("energy_kcal"), energy_of_parts(figures)
    if said is None:
        return []
    if said > 902:
        return [f"{said:.0f} kcal in 100 g is more than pure fat has (900)"]
    if computed is None:  # what is known must still fit under the energy
        computed = sum(figures.get(k, 0.0) * ENERGY[k] for k in ("protein_g", "fat_g", "alcohol_g"))
        if computed <= said + max(12.0, 0.15 * computed):
            return []
    # Polyols run from erythritol's 0 to 2.4 kcal/g: the sum is a range.
    least = computed - ENERGY["polyols_g"] * figures.get("polyols_g", 0.0)
    slack = max(12.0, 0.15 * max(said, computed))
    if least - slack <= said <= computed + slack:
        return []
    return [
        f"{said:.0f} kcal does not fit its parts, which come to {computed:.0f} kcal in 100 g "
        "(protein 4, fat 9, carbohydrate 4, fibre 2, polyols 2.4, alcohol 7 kcal/g)"
    ]


def _name(key: str) -> str:
    return key.rsplit("_", 1)[0].replace("_", " ")


def compare(own: Food, table: Food) -> list[tuple[str, float | None, float | None]]:
    """(key, own, table) per 100 g for every key that either of them knows; None is unknown."""
    keys = [key for key in KEYS if key in own.nutrients or key in table.nutrients]
    return [(key, own.nutrients.get(key), table.nutrients.get(key)) for key in keys]
