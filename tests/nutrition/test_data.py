"""The data files: every row has a source and a mark, and speaks of things that exist."""

from importlib import resources

import pytest

from hobnote.nutrition.tables import nutrients, rows, tree
from hobnote.pantry import open_pantry

MARKS = {"checked", "memory", "practice"}
DATA = resources.files("hobnote.nutrition") / "data"
FILES = sorted(f.name for f in DATA.iterdir() if f.name.endswith((".csv", ".toml")))
TABLES = [name.removesuffix(".csv") for name in FILES if name.endswith(".csv")]


@pytest.mark.parametrize("name", TABLES)
def test_every_row_has_a_source_and_a_mark(name: str) -> None:
    for row in rows(name):
        assert row["source"].strip(), row
        assert row["mark"] in MARKS, row
        assert None not in row, row  # a stray comma


@pytest.mark.parametrize("name", FILES)
def test_every_file_says_what_it_is(name: str) -> None:
    assert (DATA / name).read_text(encoding="utf-8").startswith("# ")


def test_every_rule_has_a_source_and_a_mark() -> None:
    for name, entry in tree("rules").items():
        assert entry["source"] and entry["mark"] in MARKS, name
    for claim in tree("claims")["claim"]:
        assert all(rule["name"] and rule["mark"] in MARKS for rule in claim["rule"])
    for name in ("allergens", "cautions"):
        for entry in next(iter(v for v in tree(name).values() if isinstance(v, list))):
            assert entry["source"] and entry["mark"] in MARKS


def test_nutrient_keys_exist() -> None:
    for row in rows("nutrients"):
        assert not row["parent"] or row["parent"] in nutrients()
    sample = open_pantry("uk").match("butter").food
    assert sample is not None and set(sample.nutrients) <= set(nutrients())


def test_classes_are_ones_that_the_pantry_gives() -> None:
    pantry = open_pantry("uk")
    known = set()
    for name in set(pantry.vocabulary().values()):
        known |= pantry.classes(None, name)
    used = {row["class"] for row in rows("portion_limits")}
    used |= {word for row in rows("safe_temperatures") for word in row["classes"].split()}
    used |= {word for key in ("fats", "not_fats", "not_fried") for word in tree("frying")[key]}
    used |= set(tree("cooking_verbs")["takes_up"])
    for entry in (*tree("cautions")["caution"], *tree("allergens")["allergen"]):
        used |= {*entry.get("classes", ()), *entry.get("not_classes", ())}
    used |= set(tree("cooking_verbs")["ready_classes"])
    assert used <= known, used - known


def test_set_aside_phrases_belong_to_an_allergen() -> None:
    data = tree("allergens")
    assert set(data["unless"]) <= {entry["name"] for entry in data["allergen"]}
