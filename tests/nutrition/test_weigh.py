import pytest

from hobnote.nutrition import weigh
from hobnote.record import Amount, Bounds, Component, Flag, Heard, Ingredient, Step


def kinds(record) -> list[tuple[str, str | None]]:
    return [(flag.kind, flag.ingredient) for flag in record.flags]


def test_a_weighed_dish_by_hand(pantry, row, dish) -> None:
    out = weigh(dish(row("oil", 10), row("flour", 100)), pantry)
    assert out.nutrition.total["energy_kcal"].best == pytest.approx(90 + 360)
    assert out.nutrition.total["fat_g"].best == pytest.approx(11)
    assert out.nutrition.per_portion["energy_kcal"].best == pytest.approx(225)
    assert out.nutrition.per_100g["energy_kcal"].best == pytest.approx(450 / 1.1, abs=1e-3)
    assert out.nutrition.weight_g.best == 110
    assert out.components[0].ingredients[0].food.id == "oil"
    assert out.components[0].ingredients[0].weight_source == "fake measure"
    assert out.flags == []


def test_derived_figures(pantry, row, dish) -> None:
    total = weigh(dish(row("salt", 10), row("flour", 100)), pantry).nutrition.total
    assert total["salt_g"].best == pytest.approx(10)  # 4000 mg x 2.5
    assert total["available_carbohydrate_g"].best == pytest.approx(72)
    assert total["energy_kj"].best == pytest.approx(360 * 4.184)


def test_a_vague_amount_is_a_range_with_a_question(pantry, row, dish) -> None:
    steps = [Step(number=1, text="Fry.", verb="fry", ingredients=["oil"], vessel="pan")]
    out = weigh(dish(row("oil", vague="glug"), steps=steps), pantry)
    oil = out.components[0].ingredients[0]
    assert (oil.grams.low, oil.grams.best, oil.grams.high) == (5, 15, 25)
    assert (oil.amount.unit, oil.amount.best, oil.amount.noun) == ("g", 15, "glug")
    flag = out.flags[0]
    assert flag.kind == "vague amount" and oil.flags == [flag.id] == ["f1"]
    assert (flag.effect_kcal.low, flag.effect_kcal.high) == (45, 225)
    assert flag.question == (
        "How much oil went into the pan? 'a glug' is 5-25 g here: 45-225 kcal."
    )
    assert flag.options == ["5 g", "15 g", "25 g"]


def test_an_unsaid_amount_keeps_its_usual_range_and_its_flag(pantry, row, dish) -> None:
    out = weigh(dish(row("oil"), row("honey")), pantry)
    oil, honey = out.components[0].ingredients
    assert oil.amount.best is None and oil.grams.high == 30
    assert honey.grams is None and out.nutrition.missing == ["honey"]
    assert ("missing amount", "oil") in kinds(out) and ("missing amount", "honey") in kinds(out)


def test_a_food_that_nobody_knows_is_a_gap_not_a_zero(pantry, row, dish) -> None:
    out = weigh(dish(row("moon dust", 50), row("flour", 100)), pantry)
    assert out.nutrition.missing == ["moon dust"]
    assert out.nutrition.total["energy_kcal"].best == pytest.approx(360)
    flag = next(f for f in out.flags if f.kind == "unmatched food")
    assert flag.effect_kcal.high == 450
    assert "cannot_be_scored" in out.nutrition.scores["npm_2004_05"]


def test_an_unknown_food_without_an_amount_has_no_weight_and_one_question(
    pantry, row, dish
) -> None:
    out = weigh(dish(row("moon dust"), row("flour", 100)), pantry)
    assert out.components[0].ingredients[0].grams is None
    assert kinds(out) == [("unmatched food", "moon dust")]


def test_a_speck_of_an_unknown_food_does_not_stand_in_the_way(pantry, row, dish) -> None:
    out = weigh(dish(row("moon dust", 1), row("onion", 500)), pantry)
    assert out.nutrition.missing == ["moon dust"]
    assert "score" in out.nutrition.scores["npm_2004_05"]


def test_questions_come_dearest_first_then_by_sodium(pantry, row, dish) -> None:
    rows = [row("salt", vague="pinch"), row("salt", vague="splash"), row("oil", vague="glug")]
    out = weigh(dish(*rows), pantry)
    assert [f.ingredient for f in out.flags] == ["oil", "salt", "salt"]
    widths = [f.effect_sodium_mg.high - f.effect_sodium_mg.low for f in out.flags[1:]]
    assert widths == sorted(widths, reverse=True) and widths[0] > widths[1]
    assert [f.id for f in out.flags] == ["f1", "f2", "f3"]


def test_an_unsure_match_is_asked_about(pantry, row, dish) -> None:
    flag = weigh(dish(row("onoin", 100)), pantry).flags[0]
    assert flag.kind == "unsure food" and flag.options == ["Onions, raw", "Rice, white, raw"]
    assert (flag.effect_kcal.low, flag.effect_kcal.high) == (40, 360)


def test_a_generic_name_spans_its_kinds(pantry, row, dish) -> None:
    out = weigh(dish(row("dairy", 200)), pantry)
    energy = out.nutrition.total["energy_kcal"]
    assert (energy.low, energy.best, energy.high) == (70, 120, 120)
    assert out.flags[0].kind == "generic food"
    assert weigh(dish(row("dairy", 20)), pantry).flags == []  # 5 kcal: not worth a question


def test_energy_amounts_become_grams(pantry, dish) -> None:
    amount = Amount(low=180, best=180, high=180, basis="energy")
    out = weigh(dish(Ingredient(name="flour", amount=amount)), pantry)
    assert out.components[0].ingredients[0].grams.best == pytest.approx(50)
    assert out.nutrition.total["energy_kcal"].best == pytest.approx(180)


def test_two_measures_that_disagree(pantry, row, dish) -> None:
    also = Amount(low=2, best=2, high=2, unit="tbsp", basis="measured")
    out = weigh(dish(row("oil", 20, also=also)), pantry)
    oil = out.components[0].ingredients[0]
    assert (oil.grams.low, oil.grams.best, oil.grams.high) == (20, 20, 30)
    assert kinds(out) == [("measures disagree", "oil")]
    near = Amount(low=22, best=22, high=22, unit="g", basis="measured")
    assert weigh(dish(row("oil", 20, also=near)), pantry).flags == []


def test_an_unlikely_amount(pantry, row, dish) -> None:
    assert kinds(weigh(dish(row("salt", 50)), pantry)) == [("unlikely amount", "salt")]
    assert weigh(dish(row("salt", 30)), pantry).flags == []  # 15 g a portion passes


def test_optional_swapped_and_unchosen_rows_stay_out_of_the_totals(pantry, row, dish) -> None:
    parts = [
        Component(
            ingredients=[
                row("flour", 100),
                row("honey", 10, optional=True),
                row("rice", 50, swap_for="flour"),
            ]
        ),
        Component(name="dressing", choice="dressing", ingredients=[row("oil", 10)]),
        Component(name="other dressing", choice="dressing", ingredients=[row("tahini", 20)]),
        Component(name="topping", optional=True, ingredients=[row("sugar", 5)]),
    ]
    n = weigh(dish(components=parts), pantry).nutrition
    assert n.total["energy_kcal"].best == pytest.approx(450)
    assert set(n.components) == {"main", "dressing"}
    assert set(n.optional) == {"honey", "other dressing", "topping"}
    assert n.optional["honey"]["energy_kcal"].best == pytest.approx(30)
    assert n.optional["other dressing"]["energy_kcal"].best == pytest.approx(120)


def test_a_swap_without_an_amount_is_as_heavy_as_what_it_replaces(pantry, row, dish) -> None:
    out = weigh(dish(row("tahini", 30), row("peanut butter", swap_for="tahini")), pantry)
    swap = out.components[0].ingredients[1]
    assert swap.grams.best == 30 and "tahini" in swap.weight_source
    assert out.flags == []


def test_a_misheard_word_keeps_its_flag_with_an_effect(pantry, row, dish) -> None:
    heard = [Heard(start=0, end=6, text="flower")]
    flag = Flag(
        id="x", kind="mis-heard word", ingredient="flour", question="?", suggestion="flour",
        heard_word="flower", heard=heard,
    )  # fmt: skip
    out = weigh(dish(row("flour", 100), flags=[flag]), pantry)
    kept = out.flags[0]
    assert kept.id == "f1" and kept.heard == heard and kept.options == ["flour", "flower"]
    assert (kept.effect_kcal.low, kept.effect_kcal.high) == (0, 360)
    assert out.components[0].ingredients[0].flags == ["f1"]


def test_no_portions_said(pantry, row, dish) -> None:
    out = weigh(dish(row("flour", 500), portions=None), pantry)
    assert out.nutrition.per_portion is None
    flag = out.flags[0]
    assert flag.kind == "missing portions" and len(flag.options) >= 2
    assert flag.effect_kcal.low < flag.effect_kcal.high


def test_an_open_number_of_portions_opens_the_portion(pantry, row, dish) -> None:
    record = dish(row("flour", 100)).model_copy(update={"portions": Bounds(low=2, best=3, high=4)})
    energy = weigh(record, pantry).nutrition.per_portion["energy_kcal"]
    assert (energy.low, energy.best, energy.high) == (90, 120, 180)


def test_a_nutrient_unknown_in_a_heavy_row_is_unknown_in_the_dish(pantry, row, dish) -> None:
    heavy = weigh(dish(row("spice", 50), row("sugar", 50)), pantry).nutrition
    assert "sugars_g" not in heavy.total and "energy_kcal" in heavy.total
    light = weigh(dish(row("spice", 1), row("sugar", 99)), pantry).nutrition
    assert light.total["sugars_g"].best == pytest.approx(99)


def test_weighing_again_changes_nothing(pantry, row, dish) -> None:
    flag = Flag(id="x", kind="mis-heard word", question="?", suggestion="oil", heard_word="foil")
    rows = [row("oil", vague="glug"), row("salt"), row("egg", 60), row("moon dust", 5)]
    once = weigh(dish(*rows, portions=None, flags=[flag]), pantry)
    assert weigh(once, pantry) == once


def test_the_record_given_is_not_changed(pantry, row, dish) -> None:
    record = dish(row("oil", vague="glug"))
    before = record.model_dump_json()
    weigh(record, pantry)
    assert record.model_dump_json() == before


def test_an_empty_record(pantry, dish) -> None:
    out = weigh(dish(components=[]), pantry)
    assert out.nutrition.total == {} and out.flags == [] and out.cautions == []


def test_the_summary_says_what_answers_would_do(pantry, row, dish) -> None:
    text = weigh(dish(row("oil", vague="glug"), row("flour", 100)), pantry).nutrition.summary
    assert text == "One answer would bring 200-290 kcal a portion down to 250 kcal."
