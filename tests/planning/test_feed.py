"""The feed: filters, scaling, cursors and tags."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobnote.planning.avoid import allergens_of, known_allergens
from hobnote.planning.entry import entry, scaled
from hobnote.planning.errors import PlanningError
from hobnote.planning.feed import Filters, cursor, etag, feed, matches, moment
from hobnote.planning.shelf import EPOCH, Shelved
from hobnote.record import Ingredient


def titles(found):
    return [item.title for item in found.recipes]


def test_an_entry_has_what_a_planner_needs(shelf):
    item = entry(shelf.recipes()[0])
    assert (item.title, item.portions.best, item.open_questions) == ("porridge", 12, 0)
    assert item.per_portion["protein_g"].low < 15 < item.per_portion["protein_g"].high
    assert [(part.name, part.grams.best) for part in item.ingredients] == [
        ("oats", 600),
        ("milk", 1200),
    ]
    assert item.allergens.contains == ("cereals containing gluten", "milk")
    assert (item.total_minutes.high, item.total_minutes.complete) == (12, True)
    assert (item.active_minutes.high, item.active_minutes.complete) == (2, True)
    assert "simmer" in item.tags


def test_untimed_steps_make_minutes_incomplete(shelf):
    chilli = entry(shelf.recipes()[1])
    assert (chilli.total_minutes.low, chilli.total_minutes.complete) == (40, False)
    assert chilli.active_minutes is None
    assert entry(shelf.recipes()[2]).total_minutes is None


@pytest.mark.parametrize(
    ("filters", "wanted"),
    [
        ({}, ["porridge", "bean chilli", "egg salad", "mystery stew"]),
        ({"energy_max": 430}, ["porridge", "egg salad"]),
        ({"energy_max": 430, "certain": True}, ["egg salad"]),
        ({"energy_min": 480, "energy_max": 700}, ["bean chilli", "mystery stew"]),
        ({"energy_max": 700, "certain": True}, ["porridge", "bean chilli", "egg salad"]),
        ({"protein_min": 24}, ["bean chilli", "egg salad"]),
        ({"protein_min": 24, "certain": True}, ["bean chilli"]),
        ({"minutes_max": 12}, ["porridge"]),
        ({"minutes_max": 60}, ["porridge", "bean chilli"]),
        ({"minutes_max": 60, "certain": True}, ["porridge"]),
        ({"allergen_free": ("milk",)}, ["bean chilli", "egg salad"]),
        ({"allergen_free": ("egg", "gluten")}, ["bean chilli"]),
        ({"contains": ("bean",)}, ["bean chilli"]),
        ({"contains": ("onion", "oats")}, []),
        ({"tags": ("simmer",)}, ["porridge", "bean chilli"]),
        ({"settled": True}, ["porridge", "bean chilli", "egg salad"]),
    ],
)
def test_filters(shelf, filters, wanted):
    found = feed(shelf.recipes(), Filters(**filters))
    assert titles(found) == wanted
    assert len(found.ids) == len(wanted)


def test_an_optional_ingredient_is_not_contained(shelf):
    shelf.recipes()[2].record.components[0].ingredients.append(
        Ingredient(name="anchovy", optional=True)
    )
    assert titles(feed(shelf.recipes(), Filters(contains=("anchovy",)))) == []


def test_an_unknown_allergen_is_an_error_and_not_a_filter_that_lets_all_pass(shelf):
    with pytest.raises(PlanningError, match="no allergen that is known"):
        feed(shelf.recipes(), Filters(allergen_free=("kryptonite",)))
    assert allergens_of(["gluten"]) == ("cereals containing gluten",)
    assert allergens_of(["Egg", "tahini"]) == ("eggs", "sesame")
    assert all(allergens_of([name]) == (name,) for name in known_allergens())


@given(st.floats(0.25, 400), st.floats(0.25, 400))
def test_scaling_twice_is_scaling_once(first, second):
    from hobnote.planning.shelf import ListShelf
    from hobnote.record import Bounds, Component, Record

    row = Ingredient(name="oats", grams=Bounds(low=90, best=100, high=120))
    recipe = Record(
        portions=Bounds(low=4, best=4, high=4), components=[Component(ingredients=[row])]
    )
    item = entry(ListShelf.of([recipe]).recipes()[0])
    once, twice = scaled(item, second), scaled(scaled(item, first), second)
    assert once.ingredients[0].grams.best == pytest.approx(25 * second, rel=1e-3, abs=1e-3)
    assert twice.ingredients[0].grams.best == pytest.approx(
        once.ingredients[0].grams.best, rel=1e-3, abs=0.1
    )
    assert twice.scaled_by == pytest.approx(once.scaled_by)


def test_scaling_leaves_a_portion_as_it_is_and_skips_what_has_no_portions(shelf):
    item = entry(shelf.recipes()[0])
    assert scaled(item, 24).per_portion == item.per_portion
    shelf.recipes()[0].record.portions = None
    bare = entry(shelf.recipes()[0])
    assert scaled(bare, 24) == bare
    with pytest.raises(PlanningError):
        scaled(item, 0)


def test_only_what_changed_comes_again(shelf):
    first = feed(shelf.recipes())
    assert len(first.recipes) == 4
    again = feed(shelf.recipes(), since=first.cursor)
    # The newest is inside the overlap and is handed out once more, with the same version.
    assert [item.id for item in again.recipes] == [4]
    assert again.ids == first.ids
    old = shelf.shelved[0]
    later = Shelved(1, 2, old.changed + timedelta(days=1), old.record)
    shelf.shelved[0] = later
    changed = feed(shelf.recipes(), since=first.cursor)
    assert [(item.id, item.version) for item in changed.recipes] == [(1, 2), (4, 1)]


def test_a_recipe_that_no_longer_passes_is_told(shelf):
    filters = Filters(energy_max=430)
    first = feed(shelf.recipes(), filters)
    old = shelf.shelved[0]
    old.record.nutrition.per_portion["energy_kcal"].best = 900
    shelf.shelved[0] = Shelved(1, 2, old.changed + timedelta(days=1), old.record)
    changed = feed(shelf.recipes(), filters, since=first.cursor)
    assert [(item.id, item.gone) for item in changed.recipes] == [(1, True), (4, True)]
    assert changed.ids == (3,)


@given(st.datetimes(min_value=EPOCH.replace(tzinfo=None)))
def test_a_cursor_is_its_moment(when):
    when = when.replace(tzinfo=EPOCH.tzinfo)
    assert moment(cursor(when)) == when


@pytest.mark.parametrize("token", ["", "c", "12", "cx", "c-1", "c" + "9" * 30, "c²"])
def test_a_strange_cursor_is_refused(shelf, token):
    with pytest.raises(PlanningError, match="not a cursor"):
        feed(shelf.recipes(), since=token)


def test_ndjson_holds_the_same_recipes(shelf):
    found = feed(shelf.recipes())
    *lines, last = found.ndjson().splitlines()
    assert [json.loads(line) for line in lines] == json.loads(found.json_text())["recipes"]
    assert json.loads(last) == {
        "schema": "hobnote/plan-feed@1",
        "cursor": found.cursor,
        "ids": [1, 2, 3, 4],
    }


def test_a_tag_names_a_body():
    tag = etag("a")
    assert tag == etag("a") != etag("b")
    assert matches(tag, f'"x", W/{tag}')
    assert matches(tag, "*")
    assert not matches(tag, None)
    assert not matches(tag, '"x"')
