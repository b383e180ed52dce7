import pytest

from hobnote.nutrition import make, weigh, what_if
from hobnote.record import Component


def test_a_swap_as_a_difference(pantry, row, dish) -> None:
    swap = row("peanut butter", swap_for="tahini", condition="if you have no tahini")
    record = weigh(dish(row("tahini", 30), row("flour", 100), swap), pantry)
    (change,) = what_if(record, pantry)
    assert (change.kind, change.name, change.instead_of) == ("swap", "peanut butter", "tahini")
    assert change.condition == "if you have no tahini"
    assert change.difference["energy_kcal"].best == pytest.approx(-3)  # 30 g x (590 - 600)
    assert change.per_portion["protein_g"].best == pytest.approx(1.05)  # 30 g x 7 / 2
    assert change.allergens_gained == ["peanuts"] and change.allergens_lost == ["sesame"]


def test_making_a_swap_and_taking_it_back(pantry, row, dish) -> None:
    swaps = [row("peanut butter", swap_for="tahini"), row("honey", 5, swap_for="tahini")]
    record = weigh(dish(row("tahini", vague="splash"), row("flour", 100), *swaps), pantry)
    change = what_if(record, pantry)[0]
    made = make(record, change, pantry)
    assert made.nutrition.total != record.nutrition.total
    now = made.components[0].ingredients
    assert now[0].swap_for == "peanut butter" and now[2].swap_for is None
    assert now[3].swap_for == "peanut butter"
    back = next(c for c in what_if(made, pantry) if c.name == "tahini")
    restored = make(made, back, pantry)
    assert restored.nutrition == record.nutrition
    assert restored.allergens == record.allergens
    assert [r.swap_for for r in restored.components[0].ingredients[:3]] == [
        None, None, "tahini",
    ]  # fmt: skip


def test_the_difference_is_what_making_it_changes(pantry, row, dish) -> None:
    swap = row("peanut butter", 40, swap_for="tahini")
    record = weigh(dish(row("tahini", 30), row("flour", 100), swap), pantry)
    (change,) = what_if(record, pantry)
    made = make(record, change, pantry)
    for key, difference in change.difference.items():
        moved = made.nutrition.total[key].best - record.nutrition.total[key].best
        assert difference.best == pytest.approx(moved, abs=1e-3)


def test_a_choice_and_its_way_back(pantry, row, dish) -> None:
    parts = [
        Component(ingredients=[row("flour", 100)]),
        Component(name="sesame", choice="dressing", ingredients=[row("tahini", 30)]),
        Component(name="milky", choice="dressing", ingredients=[row("milk", 100)]),
    ]
    record = weigh(dish(components=parts), pantry)
    (change,) = what_if(record, pantry)
    assert (change.kind, change.name, change.instead_of) == ("choice", "milky", "sesame")
    assert change.difference["energy_kcal"].best == pytest.approx(60 - 180)
    made = make(record, change, pantry)
    assert made.nutrition.total["energy_kcal"].best == pytest.approx(420)
    (back,) = what_if(made, pantry)
    assert make(made, back, pantry) == record


def test_extras_stand_beside_the_total(pantry, row, dish) -> None:
    record = weigh(dish(row("flour", 100), row("honey", 10, optional=True)), pantry)
    (change,) = what_if(record, pantry)
    assert change.kind == "extra" and change.difference["energy_kcal"].best == pytest.approx(30)
    assert make(record, change, pantry).nutrition.total["energy_kcal"].best == pytest.approx(390)


def test_a_swap_without_figures_says_so(pantry, row, dish) -> None:
    record = weigh(dish(row("flour", 100), row("moon dust", 5, swap_for="flour")), pantry)
    (change,) = what_if(record, pantry)
    assert change.unknown == ["moon dust"] and change.difference == {}
    record = weigh(dish(row("flour", 100), row("milk", 5, swap_for="cream")), pantry)
    assert what_if(record, pantry)[0].unknown == ["cream"]


def test_a_borrowed_weight_does_not_widen_the_difference(pantry, row, dish) -> None:
    rows = [row("oil", vague="glug"), row("sugar", swap_for="oil")]
    (change,) = what_if(weigh(dish(*rows), pantry), pantry)
    energy = change.difference["energy_kcal"]  # 5-25 g x (4 - 9) kcal
    assert (energy.low, energy.best, energy.high) == (-125, -75, -25)
