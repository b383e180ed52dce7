"""Oil to fry in counts as what the food takes up; the rest is left in the pan."""

import pytest

from hobnote.nutrition import weigh
from hobnote.nutrition.frying import is_uptake
from hobnote.nutrition.scale import to_portions
from hobnote.nutrition.whatif import make, what_if
from hobnote.record import Amount, Heard, Step


def steps(*said: tuple[str, str, list[str]]) -> list[Step]:
    return [
        Step(number=n, text=text, verb=verb, ingredients=names,
             heard=[Heard(start=0, end=len(text), text=text)])
        for n, (verb, text, names) in enumerate(said, start=1)
    ]  # fmt: skip


DEEP = steps(("fry", "Deep-fry the onion in the oil", ["onion", "oil"]))
DRAIN = ("drain", "Drain on kitchen paper", ["onion"])


def oil_of(record):
    return next(r for r in record.components[0].ingredients if r.name == "oil")


def test_a_litre_to_deep_fry_in_is_not_a_litre_eaten(pantry, row, dish) -> None:
    record = weigh(dish(row("onion", 200), row("oil", 900), steps=DEEP), pantry)
    oil = oil_of(record)
    assert (oil.grams.low, oil.grams.best, oil.grams.high) == (8, 18, 36)  # 4, 9, 18 in 100 g
    assert is_uptake(oil) and "onion" in oil.weight_source and "[practice]" in oil.weight_source
    flag = next(f for f in record.flags if f.ingredient == "oil")
    assert flag.kind == "frying oil" and "stays in the pan" in flag.question
    assert flag.effect_kcal.high == pytest.approx(36 * 9)
    assert oil.amount.best == 900  # what was said stays said


def test_weighing_again_changes_nothing(pantry, row, dish) -> None:
    for oil in (row("oil", 900), row("oil", vague="glug"), row("oil")):
        once = weigh(dish(row("onion", 200), oil, steps=DEEP), pantry)
        assert is_uptake(oil_of(once))
        assert weigh(once, pantry) == once


def test_oil_that_the_food_can_take_up_counts_whole(pantry, row, dish) -> None:
    record = weigh(dish(row("onion", 200), row("oil", 40), steps=DEEP), pantry)
    assert oil_of(record).grams.best == 40


def test_oil_that_is_not_left_behind_counts_whole(pantry, row, dish) -> None:
    fried = ("fry", "Fry the onion in the oil", ["onion", "oil"])
    stew = weigh(dish(row("onion", 200), row("oil", 120), steps=steps(fried)), pantry)
    assert oil_of(stew).grams.best == 120
    drained = weigh(dish(row("onion", 200), row("oil", 120), steps=steps(fried, DRAIN)), pantry)
    assert oil_of(drained).grams.best < 40


def test_a_marinade_or_a_cake_keeps_its_oil(pantry, row, dish) -> None:
    whisk = steps(("whisk", "Whisk the oil with the sugar", ["oil", "sugar"]),
                  ("bake", "Bake", ["flour"]))  # fmt: skip
    cake = weigh(dish(row("flour", 300), row("sugar", 300), row("oil", 400), steps=whisk), pantry)
    assert oil_of(cake).grams.best == 400


def test_what_fries_no_food_is_kept(pantry, row, dish) -> None:
    only = steps(("fry", "Deep-fry the spice in the oil", ["salt", "oil"]))
    record = weigh(dish(row("salt", 5), row("oil", 500), steps=only), pantry)
    assert oil_of(record).grams.best == 500


def test_more_food_takes_up_no_less(pantry, row, dish) -> None:
    eaten = [
        oil_of(weigh(dish(row("onion", g), row("oil", 900), steps=DEEP), pantry)).grams.best
        for g in (100, 200, 400)
    ]
    assert eaten == sorted(eaten)


def test_a_swap_is_taken_up_as_what_it_replaces_and_back(pantry, row, dish) -> None:
    other = row("tahini", 900, swap_for="oil")
    record = weigh(dish(row("onion", 200), row("oil", 900), other, steps=DEEP), pantry)
    change = next(c for c in what_if(record, pantry) if c.kind == "swap")
    there = make(record, change, pantry)
    back = make(there, what_if(there, pantry)[0], pantry)
    assert there.nutrition.weight_g == record.nutrition.weight_g
    assert back.nutrition.total == record.nutrition.total


def test_scaling_scales_what_is_eaten(pantry, row, dish) -> None:
    record = weigh(dish(row("onion", 200), row("oil", 900), steps=DEEP), pantry)
    assert oil_of(to_portions(record, 4, pantry)).grams.best == 36


def test_an_answer_is_what_was_eaten(pantry, row, dish) -> None:
    said = Amount(low=30, best=30, high=30, unit="g", basis="weighed")
    record = weigh(dish(row("onion", 200), row("oil", amount=said), steps=DEEP), pantry)
    assert oil_of(record).grams.best == 30
    assert not [f for f in record.flags if f.kind == "frying oil"]
