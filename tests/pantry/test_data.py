"""Every row of every data file parses, has a source, and converts."""

import csv
import re
from pathlib import Path

import pytest

from hobnote.pantry import open_pantry
from hobnote.pantry.foods import food_table
from hobnote.pantry.household import pieces, volumes
from hobnote.pantry.measures import LOCALES, factors
from hobnote.pantry.names import all_rows
from hobnote.pantry.tables import DATA, read_rows
from hobnote.pantry.vague import keys
from hobnote.pantry.words import singularised

FILES = sorted(p.name for p in DATA.glob("*.csv"))
# The whole file is from one source, named above its heading.
ONE_SOURCE = {"foods.csv", "weights.csv"}


@pytest.mark.parametrize(
    "name", [*FILES, *(f"names/{p.name}" for p in (DATA / "names").glob("*.csv"))]
)
def test_every_row_has_all_its_cells(name):
    rows = list(read_rows(name))
    assert rows


@pytest.mark.parametrize("name", FILES)
def test_every_row_has_a_source_and_every_file_a_heading_comment(name):
    text = (DATA / name).read_text("utf-8")
    assert text.startswith("#")
    if name in ONE_SOURCE:
        assert "SR28" in text[:400] or "Standard Reference" in text[:400]
        return
    assert "add" in text[:2500].lower()
    assert all(row["source"].strip() for row in read_rows(name))


@pytest.mark.parametrize("name", FILES)
def test_ranges_are_in_order(name):
    for row in read_rows(name):
        if "best" in row:
            assert 0 <= float(row["low"]) <= float(row["best"]) <= float(row["high"]), row


def test_names_files_say_how_they_are_written():
    assert (DATA / "names" / "README.md").read_text("utf-8").strip()


def test_every_food_parses_and_its_macros_fit_in_100_g():
    table = food_table()
    assert len(table) > 5000
    for food_id in table:
        food = table.get(food_id)
        assert food.source and food.description and food.nutrients
        assert all(value >= 0 for value in food.nutrients.values()), food_id
        parts = [
            food.nutrients.get(k, 0) for k in ("protein_g", "fat_g", "carbohydrate_g", "water_g")
        ]
        assert sum(parts) < 106, food_id


def test_no_brands_in_the_table():
    plain = {"BBQ", "DHA", "NFS", "UHT", "US"}
    for row in read_rows("foods.csv"):
        words = [w.strip(",()") for w in row["description"].split()]
        assert not [
            w for w in words if len(w) > 2 and w.isalpha() and w.isupper() and w not in plain
        ]


def test_every_household_weight_is_read_as_a_volume_or_a_piece():
    table = food_table()
    for food_id in list(table)[::7]:
        food = table.get(food_id)
        assert len(volumes(food)) + len(pieces(food)) == len(food.weights)
        assert all(w.grams > 0 for w in food.weights)


def test_every_piece_weight_is_about_a_known_food():
    names = {name for row in all_rows() for name in (*row.surfaces, singularised(row.name))}
    classes = {c for row in read_rows("classes.csv") for c in row["classes"].split()}
    classes |= {tag for row in all_rows() for tag in row.tags}
    for row in read_rows("piece_weights.csv"):
        food = row["food"]
        known = food == "*" or (food[1:] in classes if food[0] == "@" else food in names)
        assert known or food == "corn", food
        assert not row["where"] or set(row["where"].split("|")) <= set(LOCALES)


def test_every_vague_word_has_grams_and_every_class_is_known():
    grams = list(read_rows("vague_grams.csv"))
    assert {row["key"] for row in grams} == set(keys())
    for key in keys():
        assert any(row["key"] == key and row["class"] == "any" for row in grams), key
    classes = {c for row in read_rows("classes.csv") for c in row["classes"].split()}
    classes |= {tag for row in all_rows() for tag in row.tags} | {"any"}
    files = ("vague_grams.csv", "usual.csv", "densities.csv")
    cells = {row["class"] for name in files for row in read_rows(name)}
    used = {part for cell in cells if not cell.startswith("name:") for part in cell.split("+")}
    assert used <= classes, used - classes


def test_no_vague_phrase_has_two_meanings():
    seen = {}
    for key, phrases in keys().items():
        for phrase in phrases:
            assert seen.setdefault(phrase, key) == key, phrase


def test_a_wrong_locale_is_named():
    with pytest.raises(ValueError, match="us, uk, au, metric, not 'fr'"):
        open_pantry("fr")
    with pytest.raises(ValueError):
        factors("fr")


def test_opening_needs_neither_pint_nor_pandas():
    import subprocess
    import sys

    code = (
        "import sys; from hobnote.pantry import open_pantry; open_pantry('uk').match('salt');"
        "assert not {'pint', 'pandas', 'spacy'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=Path(__file__).parent)


def test_the_extra_foods_are_right_about_their_energy():
    """Energy against the general factors (4, 9, 4, fibre 2, alcohol 7 kcal/g)."""
    for row in read_rows("extra_foods.csv"):
        if row["id"] in ("X085", "X086", "X109"):  # polyols 0 and 2.4 kcal/g; seaweed its own
            continue
        if row["source"].startswith("derived: SR28"):  # spices have energy factors of their own
            parts = [food_table().get(i) for i in re.findall(r"\b\d{5}\b", row["source"])]
            mean = sum(part.nutrients["energy_kcal"] for part in parts) / len(parts)
            assert float(row["energy_kcal"]) == pytest.approx(mean, abs=1)
            continue
        value = {k: float(row[k] or 0) for k in row if k.endswith("_g") or k == "energy_kcal"}
        carbohydrate = value["carbohydrate_g"] - value["fibre_g"]
        kcal = 4 * value["protein_g"] + 9 * value["fat_g"] + 4 * carbohydrate
        kcal += 2 * value["fibre_g"] + 7 * value["alcohol_g"]
        assert kcal == pytest.approx(value["energy_kcal"], rel=0.06, abs=6), row["description"]


def test_csv_files_are_what_the_csv_module_reads():
    for name in ("foods.csv", "piece_weights.csv"):
        lines = (DATA / name).read_text("utf-8").splitlines()
        theirs = list(csv.DictReader(line for line in lines if line and not line.startswith("#")))
        assert theirs == list(read_rows(name))


def test_no_brands_in_household_weights():
    plain = {"NLEA", "NFS", "TBSP"}
    for row in read_rows("weights.csv"):
        words = [w.strip(",()'") for w in row["measure"].split()]
        loud = [w for w in words if len(w) > 2 and w.isalpha() and w.isupper()]
        assert set(loud) <= plain, row["measure"]
