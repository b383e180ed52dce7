"""Fit how sure a match is: writes the pantry's ``changers.csv`` and ``sureness.csv``.

    python scripts/fit_match_score.py [--rows 1500]

Two kinds of names are matched. *Unknown*: every name of a food is taken away and matched
against all the others, so that what comes back is right only if the row has about the energy
of the one taken away. *Known*: names as they are kept, with preparations, words that nobody
foresaw, slips and other orders around them. The mixture is weighed so that one name in four is
unknown, which is about what is left of an everyday list when the names simply known are gone.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.optimize import minimize

from hobnote.pantry import names as names_room
from hobnote.pantry import sureness
from hobnote.pantry.foods import food_table
from hobnote.pantry.matching import ASK_BELOW, Matcher, _is_noise
from hobnote.pantry.names import NameRow, Names
from hobnote.pantry.states import pick
from hobnote.pantry.sureness import AFTER, BEFORE, Signs, sure
from hobnote.pantry.words import states_in, tokens

DATA = Path(__file__).parents[1] / "src/hobnote/pantry/data"
UNKNOWN_SHARE = 1 / 4
RIDGE = 0.5
BEFORE_WORDS = (
    "chopped", "fresh", "finely diced", "some", "organic", "lovely", "local", "posh", "peeled",
    "shop bought", "good quality", "plain", "thinly sliced", "chilled", "grated", "large", "ripe",
    "small", "proper", "halved", "trimmed", "washed", "a tin of", "a bag of", "a handful of",
)  # fmt: skip
AFTER_WORDS = (
    "chopped", "drained", "roughly torn", "to serve", "finely grated", "from the market",
    "cut small", "room temperature", "or similar", "washed and dried", "slices", "pieces",
    "in the fridge", "for the top",
)  # fmt: skip
Counts = dict[tuple[str, str], tuple[float, float]]


@dataclass(frozen=True)
class Sample:
    """One name that was matched: its signs, whether the row was right, its weight."""

    name: str
    signs: Signs
    right: bool
    unknown: bool


def near(one: str, other: str) -> bool:
    """Whether two rows have about the same energy and salt."""
    a, b = (food_table().get(i).nutrients for i in (one, other))
    kcal, also = a.get("energy_kcal", 0.0), b.get("energy_kcal", 0.0)
    salt, salty = a.get("sodium_mg", 0.0), b.get("sodium_mg", 0.0)
    return abs(kcal - also) <= max(15, 0.2 * max(kcal, also)) and abs(salt - salty) <= max(
        400, 0.5 * max(salt, salty)
    )


def changer_counts(rows: list[NameRow], known: dict[tuple[str, ...], NameRow]) -> Counts:
    """How often a word at either end of a name, taken away, leaves the same food or another."""
    counts: dict[tuple[str, str], list[float]] = {}
    for row in rows:
        seen = {tokens(surface) for surface in row.surfaces}
        for words in seen:
            for side, word, rest in (
                (BEFORE, words[:1], words[1:]),
                (AFTER, words[-1:], words[:-1]),
            ):
                other = known.get(rest) if rest else None
                if other is None:
                    continue
                cell = counts.setdefault((word[0], side), [0.0, 0.0])
                stated = pick(other, states_in(word))[0]  # "cooked" picks a row of its own
                cell[0 if other is row or near(stated, row.first) else 1] += 1
    return {key: (same, other) for key, (same, other) in counts.items()}


def locale_of(row: NameRow) -> str:
    return next(iter(sorted(row.where)), "uk")


def judged(matcher: Matcher, name: str, truth: NameRow, unknown: bool) -> Sample | None:
    """The name matched; None where it was simply known or nothing was found."""
    match = matcher.match(name, None, ())
    if match.food is None:
        return None
    found = matcher.find(name)
    signs = matcher.signs.get((name, ()))
    if signs is None or match.why != "the table's description holds its words":
        signs = found.signs if found is not None else None
    if signs is None:
        return None
    ids = {truth.first, *truth.states.values()}
    right = match.food.id in ids or near(match.food.id, truth.first)
    return Sample(name, signs, right, unknown)


def unknown_names(rows: list[NameRow], picked: set[int], dice: random.Random) -> Iterator[Sample]:
    """Names of foods that were taken away."""
    every = names_room.all_rows
    for row in [r for r in rows if id(r) in picked]:
        names_room.all_rows = lambda gone=row: iter(  # type: ignore[misc]
            [r for r in rows if r is not gone and r.name != gone.name]
        )
        try:
            names = Names(locale_of(row))
        finally:
            names_room.all_rows = every
        matcher = Matcher(names, food_table())
        for surface in dice.sample(row.surfaces, min(3, len(row.surfaces))):
            sample = judged(matcher, surface, row, True)
            if sample is not None:
                yield sample


def noisy(name: str, dice: random.Random) -> str:
    """A kept name as it may be said."""
    way = dice.choice((0, 1, 2, 2, 3, 4, 4, 4))
    words = name.split()
    if way == 0:
        return f"{dice.choice(BEFORE_WORDS)} {name}"
    if way == 1:
        return f"{name} {dice.choice(AFTER_WORDS)}"
    if way == 2 and len(words) > 1:
        return " ".join([words[-1], *words[:-1]])
    if way == 3:
        return f"{dice.choice(BEFORE_WORDS)} {name} {dice.choice(AFTER_WORDS)}"
    at = dice.randrange(1, max(2, len(name)))
    if dice.random() < 0.5:
        return name[:at] + name[at + 1 :]
    return name[:at] + dice.choice("aeioutrsln") + name[at:]


def known_names(rows: list[NameRow], count: int, dice: random.Random) -> Iterator[Sample]:
    """Names that are kept, with noise."""
    matcher = Matcher(Names("uk"), food_table())
    here = [row for row in rows if not row.where or "uk" in row.where]
    for _ in range(count):
        row = dice.choice(here)
        name = noisy(dice.choice(row.surfaces), dice)
        sample = judged(matcher, name, row, False)
        if sample is not None:
            yield sample


def fit(samples: list[Sample], weights: np.ndarray) -> dict[str, float]:
    """A ridge logistic regression by name of figure."""
    keys = ["always", *sorted({k for s in samples for k in s.signs.figures()})]
    x = np.array([[1.0, *(s.signs.figures().get(k, 0.0) for k in keys[1:])] for s in samples])
    y = np.array([float(s.right) for s in samples])

    def loss(w: np.ndarray) -> tuple[float, np.ndarray]:
        z = x @ w
        p = 1 / (1 + np.exp(-z))
        value = float(weights @ (np.logaddexp(0, z) - y * z)) + RIDGE * float(w[1:] @ w[1:])
        slope = x.T @ (weights * (p - y)) + 2 * RIDGE * np.r_[0.0, w[1:]]
        return value, slope

    found = minimize(loss, np.zeros(len(keys)), jac=True, method="L-BFGS-B")
    return {k: round(float(w), 3) for k, w in zip(keys, found.x, strict=True)}


def weighed(samples: list[Sample]) -> np.ndarray:
    unknown = np.array([s.unknown for s in samples])
    share = np.where(unknown, UNKNOWN_SHARE / unknown.sum(), (1 - UNKNOWN_SHARE) / (~unknown).sum())
    return share * len(samples)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--rows", type=int, default=1500, help="foods taken away (1500: all)")
    count = parser.parse_args().rows
    dice = random.Random(11)
    rows = list(names_room.all_rows())
    known = Names("uk").by_tokens
    halves = [rows[::2], rows[1::2]]
    samples: list[Sample] = []
    for this, other in (halves, halves[::-1]):  # what a word does is counted on the other half
        counts = changer_counts(other, known)
        sureness._changers = lambda counts=counts: counts  # type: ignore[misc, assignment]
        picked = {id(row) for row in dice.sample(this, min(count // 2, len(this)))}
        samples += unknown_names(rows, picked, dice)
        samples += known_names(this, 2000, dice)
    weights = fit(samples, weighed(samples))
    write(weights, changer_counts(rows, known), samples)


def write(weights: dict[str, float], counts: Counts, samples: list[Sample]) -> None:
    scores = [(s, sure(s.signs, weights)) for s in samples]
    lines = []
    for unknown in (False, True):
        kind = [(s, p) for s, p in scores if s.unknown is unknown]
        right = [p for s, p in kind if s.right]
        wrong = [p for s, p in kind if not s.right]
        below = sum(p < ASK_BELOW for p in wrong)
        asked = sum(p < ASK_BELOW for p in right)
        what = "foods taken away" if unknown else "known foods said with noise"
        lines.append(
            f"# {what}: {len(kind)} names; wrong {len(wrong)}, of them asked {below}; "
            f"right {len(right)}, of them asked {asked}."
        )
        print(lines[-1])
    head = (
        "# How much each sign of a match moves the odds that it is right (natural logarithm).\n"
        "# Fitted by scripts/fit_match_score.py, which says how; not by hand:\n"
        "# to add a row, add names and run it again.\n"
    )
    body = "".join(f"{key},{value},fitted\n" for key, value in weights.items())
    (DATA / "sureness.csv").write_text(
        head + "\n".join(lines) + "\nname,weight,source\n" + body, encoding="utf-8"
    )
    head = (
        "# How often a word beside a known name leaves the same food, or makes another of it.\n"
        "# Counted over names/ by scripts/fit_match_score.py; not by hand:\n"
        "# to add a row, add names and run it again.\n"
        "word,side,same,other,source\n"
    )
    body = "".join(
        f"{word},{side},{same:g},{other:g},counted\n"
        for (word, side), (same, other) in sorted(counts.items())
        if same + other > 1 or _is_noise(word)
    )
    (DATA / "changers.csv").write_text(head + body, encoding="utf-8")


if __name__ == "__main__":
    main()
