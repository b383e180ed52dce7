"""Own foods in the database."""

import pytest

from hobnote.keeping.errors import KeepingError
from hobnote.keeping.foods import NoSuchFood, OwnFoods, pantry_with_own
from hobnote.pantry.own import OwnFood


@pytest.fixture
def url(tmp_path):
    return f"sqlite:///{tmp_path / 'foods.sqlite3'}"


BAR = OwnFood("Club Bar", {"energy_kcal": 380, "fat_g": 9.5}, serving_g=30, note="pack")


def test_a_food_is_there_after_the_store_was_closed(url):
    store = OwnFoods.open(url)
    assert store.save(BAR)
    store.close()
    assert OwnFoods.open(url).get("club bar") == BAR


def test_a_food_of_the_same_name_is_replaced(url):
    store = OwnFoods.open(url)
    store.save(BAR)
    assert not store.save(OwnFood("club bar", {"energy_kcal": 400}))
    assert [food.figures["energy_kcal"] for food in store] == [400]


def test_removing_and_missing(url):
    store = OwnFoods.open(url)
    store.save(BAR)
    store.remove("CLUB BAR")
    for call in (store.get, store.remove):
        with pytest.raises(NoSuchFood, match="club bar"):
            call("club bar")


def test_the_pantry_prefers_them_and_makes_no_database(url, tmp_path):
    assert pantry_with_own("uk", url).match("rice").food.id == "20444"
    assert list(tmp_path.iterdir()) == []
    store = OwnFoods.open(url)
    store.save(OwnFood("rice", {"energy_kcal": 350}))
    store.close()
    assert pantry_with_own("uk", url).match("rice").food.id == "own:rice"


def test_a_wrong_address_is_one_sentence():
    with pytest.raises(KeepingError, match="not a database address"):
        OwnFoods.open_if_there("what://is this")
