"""UK Nutrient Profiling Model 2004/05, redoable by hand from its inputs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hobnote.nutrition.tables import rows, tree


@dataclass(frozen=True, slots=True)
class NpmScore:
    """``score`` = A - C by the model's rules; ``points`` shows each part."""

    score: int
    a_points: int
    c_points: int
    protein_counts: bool
    less_healthy: bool
    points: dict[str, int]


def points(key: str, value: float) -> int:
    """Points of one input: those of the highest threshold that it exceeds (strictly)."""
    return max(
        (int(r["points"]) for r in rows("npm") if r["input"] == key and value > float(r["over"])),
        default=0,
    )


def npm(inputs: Mapping[str, float], drink: bool = False) -> NpmScore:
    """The score of a food with ``inputs`` per 100 g.

    Needs energy_kj, saturates_g, sugars_g, sodium_mg, fruit_veg_nuts_percent,
    protein_g, and fibre_aoac_g or fibre_nsp_g. Raises KeyError naming a missing one.
    """
    rules = tree("score_rules")["npm"]
    fibre = "fibre_nsp_g" if "fibre_nsp_g" in inputs else "fibre_aoac_g"
    a_keys = ("energy_kj", "saturates_g", "sugars_g", "sodium_mg")
    c_keys = ("fruit_veg_nuts_percent", fibre, "protein_g")
    got = {key: points(key, inputs[key]) for key in (*a_keys, *c_keys)}
    a = sum(got[key] for key in a_keys)
    fruit = got["fruit_veg_nuts_percent"]
    with_protein = a < rules["protein_limit"] or fruit == rules["full_fruit_points"]
    c = fruit + got[fibre] + (got["protein_g"] if with_protein else 0)
    limit = rules["less_healthy_drink"] if drink else rules["less_healthy_food"]
    return NpmScore(a - c, a, c, with_protein, a - c >= limit, got)
