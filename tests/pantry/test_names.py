"""The vocabulary: wide, in the cook's own dialect, plain and singular."""

import pytest

from hobnote.pantry import open_pantry
from hobnote.pantry.foods import food_table
from hobnote.pantry.names import all_rows
from hobnote.pantry.words import plural, pluralised, singular, singularised, tokens

VOCABULARY = open_pantry("uk").vocabulary()


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("carrots", "carrot"), ("courgettes", "courgette"), ("zucchini", "zucchini"),
        ("rolled oats", "rolled oats"), ("chicken breasts", "chicken breast"),
        ("tinned chopped tomatoes", "chopped tomato"), ("boiling water", "water"),
        ("grated cheddar", "cheddar"), ("smoked paprika", "smoked paprika"),
        ("kidney beans", "kidney bean"), ("bay leaves", "bay leaf"), ("potatoes", "potato"),
        ("noodles", "noodles"), ("spring onions", "spring onion"), ("legs of lamb", "leg of lamb"),
    ],
)  # fmt: skip
def test_surface_forms(said, name):
    assert VOCABULARY[said] == name


@pytest.mark.parametrize(
    "said", ["tin of chickpeas", "large egg", "slice of bread", "leaves", "can"]
)
def test_amounts_and_plain_english_are_left_to_others(said):
    assert said not in VOCABULARY


def test_the_vocabulary_is_wide_and_plain():
    assert len(VOCABULARY) > 5000
    for said, name in VOCABULARY.items():
        assert said == said.lower().strip() and 1 <= len(said.split()) <= 6, said
        assert name and name == name.lower(), said


def test_canonical_names_are_in_the_vocabulary_themselves():
    assert [n for n in VOCABULARY.values() if VOCABULARY.get(n) is None] == []


def test_ambiguous_words_are_marked():
    ambiguous = open_pantry("uk").ambiguous()
    assert {"date", "mint", "sage", "turkey", "roll", "rocket", "cream", "stock"} <= ambiguous
    assert "chickpea" not in ambiguous


def test_at_least_500_synonyms_and_every_row_points_at_the_table():
    table = food_table()
    rows = list(all_rows())
    assert sum(len(row.surfaces) for row in rows) - len(rows) >= 500
    for row in rows:
        for food in (row.first, *row.states.values(), *row.alternatives):
            assert food in table, (row.name, food)
        assert row.where <= {"us", "uk", "au", "metric"}, row.name


def test_the_same_name_is_given_once_a_locale():
    for locale in ("us", "uk", "au", "metric"):
        seen = {}
        for row in all_rows():
            if row.where and locale not in row.where:
                continue
            for surface in row.surfaces:
                kept = seen.setdefault((surface, bool(row.where)), row)
                assert kept.first == row.first or surface in kept.own_names | row.own_names, surface


@pytest.mark.parametrize(
    ("many", "one"),
    [
        ("carrots", "carrot"), ("leaves", "leaf"), ("tomatoes", "tomato"), ("berries", "berry"),
        ("peaches", "peach"), ("slices", "slice"), ("radishes", "radish"),
        ("asparagus", "asparagus"),
        ("couscous", "couscous"), ("oats", "oats"), ("molasses", "molasses"), ("glass", "glass"),
    ],
)  # fmt: skip
def test_singular(many, one):
    assert singular(many) == one


def test_plural_comes_back():
    for word in ("carrot", "leaf", "tomato", "berry", "peach", "slice", "radish", "onion"):
        assert singular(plural(word)) == word
    assert pluralised("leg of lamb") == "legs of lamb"
    assert singularised("red onions") == "red onion"


def test_tokens_are_one_spelling():
    assert tokens("Yogurts") == tokens("yoghurt")
    assert tokens("half-fat crème fraîche") == tokens("half fat creme fraiche")
