"""NRF9.3: nine nutrients to encourage less three to limit, per 100 kcal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hobnote.nutrition.tables import rows


@dataclass(frozen=True, slots=True)
class NrfScore:
    """``score`` and the percentage of the daily value behind each part."""

    score: float
    percents: dict[str, float]


def needed() -> list[str]:
    """The nutrient keys that the score needs, ``added_sugars_g`` among them."""
    return [row["nutrient"] for row in rows("nrf")]


def nrf93(amounts: Mapping[str, float], energy_kcal: float) -> NrfScore:
    """The score of ``amounts`` that come with ``energy_kcal``.

    Raises KeyError for a missing nutrient and ValueError without energy.
    """
    if energy_kcal <= 0:
        raise ValueError("a food without energy has no score per 100 kcal")
    score = 0.0
    percents = {}
    for row in rows("nrf"):
        percent = amounts[row["nutrient"]] * 100 / energy_kcal / float(row["value"]) * 100
        percents[row["nutrient"]] = round(percent, 2)
        score += min(100.0, percent) if row["side"] == "encourage" else -percent
    return NrfScore(round(score, 2), percents)
