"""Own foods in the database."""

import subprocess
import sys

import pytest

from hobnote.keeping.engine import VARIABLE, default_url
from hobnote.keeping.errors import KeepingError
from hobnote.keeping.foods import NoSuchFood, OwnFoods
from hobnote.keeping.own_pantry import _file, pantry_with_own
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
        pantry_with_own("uk", "what://is this")


def test_the_default_place_is_the_one_of_the_recipes(monkeypatch):
    monkeypatch.delenv(VARIABLE, raising=False)
    assert default_url() == f"sqlite:///{_file(None)}"
    monkeypatch.setenv(VARIABLE, "sqlite:////tmp/x.sqlite3")
    assert str(_file(None)) == "/tmp/x.sqlite3"
    assert _file("postgresql+psycopg://me@host/club") is None
    assert str(_file("boathouse.sqlite3")) == "boathouse.sqlite3"


def test_without_a_database_sqlalchemy_is_not_imported(url):
    code = (
        "import sys; from hobnote.keeping.own_pantry import pantry_with_own;"
        f"pantry_with_own('uk', {url!r}); assert 'sqlalchemy' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
