import pytest

from hobnote.nutrition import weigh
from hobnote.nutrition.front_of_pack import level
from hobnote.nutrition.nrf import nrf93
from hobnote.record import Ingredient


def test_every_score_carries_its_inputs(pantry, row, dish) -> None:
    scores = weigh(dish(row("onion", 300), row("oil", 15)), pantry).nutrition.scores
    npm = scores["npm_2004_05"]
    assert npm["inputs"]["fruit_veg_nuts_percent"] == pytest.approx(300 / 315 * 100, abs=1e-3)
    assert npm["score"] == npm["a_points"] - npm["c_points"] and npm["verdict"] == "passes"
    low, high = npm["score_range"]
    assert low <= npm["score"] <= high
    fat = scores["uk_front_of_pack"]["levels"]["fat_g"]
    assert fat["level"] == "medium" and fat["per_100g"] == pytest.approx(1500 / 315, abs=1e-3)


def test_unknown_nutrients_stop_a_score(pantry, row, dish) -> None:
    scores = weigh(dish(row("spice", 100)), pantry).nutrition.scores
    assert "sugars_g is unknown" in scores["npm_2004_05"]["cannot_be_scored"]
    assert "score" not in scores["npm_2004_05"]
    assert "vitamin_c_mg is unknown" in scores["nrf9_3"]["cannot_be_scored"]


def test_open_figures_show_the_levels_that_they_reach(pantry, row, dish) -> None:
    record = weigh(dish(row("onion", 480), row("oil", vague="glug")), pantry)
    fat = record.nutrition.scores["uk_front_of_pack"]["levels"]["fat_g"]
    assert fat["level"] == "medium" and fat["may_be"] == ["low"]


def test_nrf_stores_base_and_values(pantry, row, dish) -> None:
    full = dict.fromkeys(
        ["vitamin_a_iu", "vitamin_c_mg", "vitamin_e_mg", "calcium_mg", "iron_mg"], 1.0
    ) | {"potassium_mg": 100.0, "magnesium_mg": 10.0}
    for food in ("flour",):
        match = pantry.match(food).food
        rich = type(match)(match.id, match.description, match.group, dict(match.nutrients) | full)
        answer = pantry.match(food)
        pantry.match = lambda name, _a=answer, _r=rich, **__: type(_a)(name, _r, 1.0, "fake")
    nrf = weigh(dish(row("flour", 100)), pantry).nutrition.scores["nrf9_3"]
    assert nrf["basis"] == "100 kcal" and "2016" in nrf["daily_values"]
    amounts = {k: v for k, v in nrf["inputs"].items() if k != "energy_kcal"}
    assert nrf["score"] == nrf93(amounts, nrf["inputs"]["energy_kcal"]).score


def test_no_energy_no_score() -> None:
    with pytest.raises(ValueError, match="without energy"):
        nrf93({}, 0)


def test_the_portion_rule_needs_a_large_portion() -> None:
    assert level("salt_g", 1.0, portion=2.0, portion_size=200) == "high"
    assert level("salt_g", 1.0, portion=2.0, portion_size=100) == "medium"
    assert level("salt_g", 1.0) == "medium"


def test_dried_fruit_counts_double(pantry, row, dish) -> None:
    from hobnote.nutrition.scores import fruit_percent
    from hobnote.nutrition.weighing import Row
    from hobnote.pantry.types import Food, Match
    from hobnote.record import Amount, Bounds

    def made(description: str, group: str, grams: float) -> Row:
        food = Food("x", description, group, {})
        g = Bounds(low=grams, best=grams, high=grams)
        return Row(
            Ingredient(name="x", amount=Amount(), grams=g), Match("x", food, 1, ""), None, {}
        )

    fruits = "Fruits and Fruit Juices"
    rows = [made("Raisins, seedless", fruits, 50), made("Oats", "Cereal Grains and Pasta", 100)]
    assert fruit_percent(rows).best == pytest.approx(50)  # (2 x 50) / (2 x 50 + 100)
    plain = [
        made("Apples, raw", fruits, 50),
        made("Potatoes, raw", "Vegetables and Vegetable Products", 50),
    ]
    assert fruit_percent(plain).best == pytest.approx(50)  # potatoes do not count
