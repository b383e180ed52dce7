"""Reading the room's packaged data files (CSV with ``#`` comments, TOML), once each."""

from __future__ import annotations

import csv
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

DATA = resources.files("hobnote.nutrition") / "data"


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of ``data/NAME.csv``; lines that start with ``#`` are comments."""
    text = (DATA / f"{name}.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    return tuple(csv.DictReader(lines))


@cache
def tree(name: str) -> dict[str, Any]:
    """The tables of ``data/NAME.toml``."""
    return tomllib.loads((DATA / f"{name}.toml").read_text(encoding="utf-8"))


@cache
def rule(name: str, field: str = "value") -> float:
    """One figure of ``data/rules.toml``."""
    return float(tree("rules")[name][field])


@dataclass(frozen=True, slots=True)
class Nutrient:
    """A nutrient's key, printed name, unit, and the nutrient that it is a share of."""

    key: str
    name: str
    unit: str
    parent: str | None
    core: bool


@cache
def nutrients() -> dict[str, Nutrient]:
    """Every nutrient that is carried, by key, in printing order."""
    return {
        row["key"]: Nutrient(
            row["key"], row["name"], row["unit"], row["parent"] or None, row["core"] == "1"
        )
        for row in rows("nutrients")
    }


@cache
def energy_factors(regime: str) -> dict[str, tuple[float, float | None]]:
    """kcal/g and kJ/g by nutrient key for "EU", "Atwater general" or "US polyols"."""
    return {
        row["nutrient"]: (
            float(row["kcal_per_g"]),
            float(row["kj_per_g"]) if row["kj_per_g"] else None,
        )
        for row in rows("energy_factors")
        if row["regime"] == regime
    }
