"""Weights of the trained parts, and where they are kept.

A trained part is a linear model over named features: readable weights, a few
microseconds a word, nothing but the standard library to run it. Each lives in
``models/<name>/`` as ``weights.json`` beside the ``config.toml`` that made it.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from pathlib import Path


@dataclass(frozen=True)
class LinearModel:
    """``weights[label][feature]``; a feature without a weight counts nothing.

    ``threshold`` is the probability from which a yes-or-no model says yes.
    """

    weights: dict[str, dict[str, float]] = field(repr=False)
    threshold: float = 0.5

    def score(self, features: Iterable[str], label: str = "yes") -> float:
        """Sum of the weights of ``features`` for ``label``."""
        known = self.weights[label]
        return sum(known[f] for f in features if f in known)

    def probability(self, features: Iterable[str], label: str = "yes") -> float:
        """The score as a probability, for a yes-or-no model."""
        return 1.0 / (1.0 + math.exp(-max(-30.0, min(30.0, self.score(features, label)))))


def model_dir() -> Path:
    """The directory of the trained parts: in the installed package, else in the repository."""
    packaged = Path(str(files("hobnote"))) / "models"
    return packaged if packaged.is_dir() else Path(__file__).resolve().parents[3] / "models"


@cache
def load(name: str) -> LinearModel | None:
    """The trained part ``name``; None when it is not installed."""
    path = model_dir() / name / "weights.json"
    if not path.is_file():
        return None
    data = json.loads(path.read_text(encoding="utf-8"))
    return LinearModel(data["weights"], float(data["threshold"]))
