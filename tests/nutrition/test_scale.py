import pytest

from hobnote.nutrition import to_portions, to_target, weigh
from hobnote.record import Bounds


def test_more_portions_of_the_same_size(pantry, row, dish) -> None:
    record = weigh(dish(row("flour", 100), row("oil", vague="glug"), row("salt")), pantry)
    out = to_portions(record, 6, pantry)
    assert out.portions == Bounds(low=6, best=6, high=6)
    flour, oil, salt = out.components[0].ingredients
    assert flour.amount.best == 300 and flour.grams.best == 300
    assert (oil.grams.low, oil.grams.high) == (15, 75) and oil.amount.best == 45
    assert salt.grams.best == 9 and salt.amount.best is None
    for key, figure in record.nutrition.per_portion.items():
        assert out.nutrition.per_portion[key].best == pytest.approx(figure.best, abs=1e-2)
    assert {f.kind for f in out.flags} == {f.kind for f in record.flags}


def test_to_a_target_by_all_or_by_one(pantry, row, dish) -> None:
    record = weigh(dish(row("flour", 200), row("oil", 20)), pantry)  # 720 + 180 = 900 kcal for 2
    whole = to_target(record, "energy_kcal", 500, pantry)
    assert whole.nutrition.per_portion["energy_kcal"].best == pytest.approx(500, abs=0.01)
    assert whole.components[0].ingredients[1].grams.best == pytest.approx(20 * 1000 / 900, abs=1e-3)
    one = to_target(record, "energy_kcal", 500, pantry, ingredient="oil")
    flour, oil = one.components[0].ingredients
    assert flour.grams.best == 200 and oil.grams.best == pytest.approx(280 / 9, abs=1e-3)
    protein = to_target(record, "protein_g", 40, pantry, ingredient="flour")
    assert protein.nutrition.per_portion["protein_g"].best == pytest.approx(40, abs=0.01)


def test_scaling_there_and_back(pantry, row, dish) -> None:
    record = weigh(dish(row("flour", 120), row("oil", 10)), pantry)
    back = to_portions(to_portions(record, 8, pantry), 2, pantry)
    for key, figure in record.nutrition.total.items():
        assert back.nutrition.total[key].best == pytest.approx(figure.best, rel=1e-3, abs=1e-3)


def test_what_cannot_be_scaled_says_why(pantry, row, dish) -> None:
    record = weigh(dish(row("flour", 200), row("oil", 20)), pantry)
    with pytest.raises(ValueError, match="even without the oil a portion has 360 kcal"):
        to_target(record, "energy_kcal", 300, pantry, ingredient="oil")
    with pytest.raises(ValueError, match="brings no protein"):
        to_target(record, "protein_g", 30, pantry, ingredient="oil")
    with pytest.raises(ValueError, match="more than 0"):
        to_portions(record, 0, pantry)
    unsaid = weigh(dish(row("flour", 200), portions=None), pantry)
    with pytest.raises(ValueError, match="was not said"):
        to_portions(unsaid, 4, pantry)
    with pytest.raises(ValueError, match="was not said"):
        to_target(unsaid, "energy_kcal", 400, pantry)
