"""Our conversion gives back SR28's own household weights.

Source: USDA SR28 WEIGHT, read from the release archive by data/extract_usda.py into
data/sr28_weights.csv (on its own, not through hobnote.pantry.build).
"""

import csv
from pathlib import Path

import pytest

from hobnote.pantry import open_pantry
from hobnote.pantry.foods import food_table
from hobnote.record import Amount

PANTRY = open_pantry("us")
LINES = (Path(__file__).parent / "data" / "sr28_weights.csv").read_text("utf-8").splitlines()
ALL = list(csv.DictReader(line for line in LINES if not line.startswith("#")))
ROWS = [row for row in ALL if row["id"] in food_table()]  # brands and such are left out
VOLUMES = ("cup", "tbsp", "tsp")


def amount_of(row):
    """The row as a cook would say it: "2 cups, chopped"; its unit, number and detail."""
    unit, _, detail = row["measure"].replace(",", " ").partition(" ")
    n = float(row["amount"])
    if unit in VOLUMES:
        return Amount(low=n, best=n, high=n, unit=unit, basis="measured"), detail.split()
    size = unit if unit == "large" else None
    noun = None if size else unit
    return Amount(low=n, best=n, high=n, unit="piece", noun=noun, size=size), detail.split()


def test_the_sample_is_large_enough():
    assert len(ROWS) > 0.95 * len(ALL)
    assert len({row["id"] for row in ROWS if row["measure"].split()[0].strip(",") in VOLUMES}) > 200


@pytest.mark.parametrize("row", [r for r in ROWS if r["measure"].split()[0].strip(",") in VOLUMES],
                         ids=lambda r: f"{r['id']} {r['measure']}")  # fmt: skip
def test_cups_and_spoons(row):
    food = PANTRY.food(row["id"])
    amount, detail = amount_of(row)
    weight = PANTRY.grams(food, "", amount, preparation=detail)
    # SR28 gives some measures twice (ricotta: half a cup 124, a cup 246 g): either will do.
    each = [float(r["grams"]) / float(r["amount"]) for r in ROWS
            if (r["id"], r["measure"]) == (row["id"], row["measure"])]  # fmt: skip
    best = weight.best / float(row["amount"])
    assert any(best == pytest.approx(grams, rel=0.001) for grams in each)
    assert weight.low <= float(row["grams"]) <= weight.high
