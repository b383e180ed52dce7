"""How sure a match is, where the name was not simply known: a small logistic model.

What was found by leaving words out, by another order, by spelling or in a description of the
table is right more or less often. The signs of each way are weighed by ``data/sureness.csv``;
``data/changers.csv`` counts how often a word beside a known name makes another food of it
("bread stick"), or leaves it the same ("sliced bread"). ``scripts/fit_match_score.py`` makes
both from the names files and says how well they do.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from math import exp

from hobnote.pantry.tables import lines, split

BEFORE, AFTER = "before", "after"
_UNSEEN = 0.5  # share of other foods where a word that is no preparation was never counted
_UNSEEN_NOISE = 0.05
_WEIGHT = 2.0  # counts that the shares above stand for


@dataclass(frozen=True, slots=True)
class Signs:
    """What was seen when a name was found: ``way``, and what did not fit.

    ``before`` and ``after`` count words that were not understood, ``foods`` those of them that
    are foods themselves. ``changes`` is the highest share at which a word that was left out
    makes another food. ``slips`` counts letters that differ, ``letters`` those compared.
    ``extra`` counts words of the table's description that were not said. ``spread`` is the share of
    the other rows that hold the same words but not the same energy. ``known`` says that
    every word as said stands in the table somewhere, ``first`` that the first letter differs,
    ``broad`` that the name found stands for several foods ("chicken", of "chicken skin"),
    ``rich`` that the food lies in something that may hold more than it does.
    """

    way: str
    before: int = 0
    after: int = 0
    foods: int = 0
    changes: float = 0.0
    slips: int = 0
    letters: int = 1
    extra: float = 0.0
    spread: float = 0.0
    known: bool = False
    first: bool = False
    rich: bool = False
    broad: bool = False

    def figures(self) -> dict[str, float]:
        """The model's inputs by name."""
        return {
            f"way {self.way}": 1.0,
            "words before": float(min(self.before, 3)),
            "words after": float(min(self.after, 3)),
            "foods among them": float(min(self.foods, 2)),
            "changes": self.changes,
            "slips": float(self.slips),
            "slips though known": float(bool(self.slips) and self.known),
            "first letter slips": float(self.first),
            "several slips": float(self.slips > 1),
            "slips by letters": self.slips / max(self.letters, 1),
            "extra words": min(self.extra, 8.0),
            "others differ": self.spread,
            "in something rich": float(self.rich),
            "broad name": float(self.broad),
        }


@cache
def _weights() -> Mapping[str, float]:
    return {name: float(weight) for name, weight, _ in map(split, lines("sureness.csv")[1:])}


@cache
def _changers() -> Mapping[tuple[str, str], tuple[float, float]]:
    rows = map(split, lines("changers.csv")[1:])
    return {(word, side): (float(same), float(other)) for word, side, same, other, _ in rows}


def sure(signs: Signs, weights: Mapping[str, float] | None = None) -> float:
    """The probability that a match with these signs is the right row, 0 to 1."""
    known = _weights() if weights is None else weights
    odds = known["always"] + sum(known.get(k, 0.0) * v for k, v in signs.figures().items())
    return 1 / (1 + exp(-odds))


def changes(
    words: Iterable[tuple[str, str, bool]],
    counts: Mapping[tuple[str, str], tuple[float, float]] | None = None,
) -> float:
    """The highest share of other foods among left-out words; each (word, side, whether noise)."""
    known = _changers() if counts is None else counts
    most = 0.0
    for word, side, noise in words:
        same, other = known.get((word, side), (0.0, 0.0))
        start = _UNSEEN_NOISE if noise else _UNSEEN
        most = max(most, (other + _WEIGHT * start) / (same + other + _WEIGHT))
    return most
