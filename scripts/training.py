"""What the training scripts share: reading the corpora and fitting linear models."""

from __future__ import annotations

import json
import math
import random
import tomllib
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from hobnote.marking.learned import LinearModel
from hobnote.reading import read_file

ROOT = Path(__file__).resolve().parents[1]
Example = tuple[tuple[str, ...], bool]


def config(name: str) -> dict[str, Any]:
    """The configuration of the trained part ``name``."""
    return tomllib.loads((ROOT / "models" / name / "config.toml").read_text(encoding="utf-8"))


def notes(part: str) -> list[tuple[str, str, dict[str, Any]]]:
    """(name, spoken text, gold) of every note in ``corpus/<part>``."""
    found = []
    for gold in sorted((ROOT / "corpus" / part).glob("*.gold.json")):
        name = gold.name.removesuffix(".gold.json")
        source = next(p for p in gold.parent.glob(f"{name}.*") if p != gold)
        found.append((name, read_file(source).spoken, json.loads(gold.read_text(encoding="utf-8"))))
    return found


def risec(data: Path, part: str) -> list[tuple[str, list[str]]]:
    """(name, sentences) of every recipe of RISeC's ``part``, numbers of steps taken off."""
    found = []
    for path in sorted((data / "risec" / part).glob("*.txt")):
        lines = path.read_text(encoding="utf-8").splitlines()
        sentences = [line.split(") ", 1)[-1].strip() for line in lines]
        found.append((path.stem, [s for s in sentences if s]))
    return found


def fit(
    examples: Sequence[tuple[Iterable[str], bool]],
    *,
    epochs: int,
    rate: float,
    l2: float,
    smallest: float,
    seed: int,
    positive: float = 1.0,
) -> dict[str, float]:
    """Logistic regression by AdaGrad over named features; ``positive`` weighs the yes examples."""
    chance = random.Random(seed)
    order = list(range(len(examples)))
    weights: dict[str, float] = {}
    slopes: dict[str, float] = {}
    for _ in range(epochs):
        chance.shuffle(order)
        for i in order:
            features, label = examples[i]
            total = sum(weights.get(f, 0.0) for f in features)
            guess = 1.0 / (1.0 + math.exp(-max(-30.0, min(30.0, total))))
            error = (guess - label) * (positive if label else 1.0)
            if abs(error) < 1e-3:
                continue
            for f in features:
                slope = error + l2 * weights.get(f, 0.0)
                slopes[f] = slopes.get(f, 0.0) + slope * slope
                weights[f] = weights.get(f, 0.0) - rate * slope / math.sqrt(slopes[f] + 1e-8)
    return {f: w for f, w in weights.items() if abs(w) >= smallest}


def save(name: str, weights: dict[str, dict[str, float]], threshold: float) -> None:
    """Write ``models/<name>/weights.json``, one feature a line so that changes can be read."""
    tidy = {
        label: {f: round(w, 2) for f, w in sorted(table.items()) if round(w, 2)}
        for label, table in weights.items()
    }
    path = ROOT / "models" / name / "weights.json"
    text = json.dumps({"threshold": round(threshold, 3), "weights": tidy}, indent=0)
    path.write_text(text + "\n", encoding="utf-8")
    print(f"{path.relative_to(ROOT)}: {path.stat().st_size / 1e3:.0f} kB")


def yes_model(weights: dict[str, float], threshold: float) -> LinearModel:
    """A yes-or-no model."""
    return LinearModel({"yes": weights}, threshold)


def f1(hits: int, found: int, gold: int) -> tuple[float, float, float]:
    """Precision, recall, F1."""
    precision, recall = hits / max(1, found), hits / max(1, gold)
    return precision, recall, 2 * precision * recall / max(1e-9, precision + recall)
