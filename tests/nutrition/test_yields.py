import pytest

from hobnote.nutrition import declaration, weigh
from hobnote.nutrition.bounds import exact
from hobnote.nutrition.yields import at_yield
from hobnote.record import Bounds, Step


def boil(*names: str) -> Step:
    return Step(number=1, text="boil", verb="boil", ingredients=list(names))


def finished(record) -> Bounds | None:
    held = record.nutrition.scores.get("finished_weight")
    return held and Bounds(**held["grams"])


def test_rice_takes_up_water_that_nobody_listed(pantry, row, dish) -> None:
    out = finished(weigh(dish(row("rice", 100), steps=[boil("rice")]), pantry))
    assert (out.low, out.best, out.high) == (250, 270, 300)


def test_rice_takes_up_the_liquid_in_its_pot_first(pantry, row, dish) -> None:
    out = finished(weigh(dish(row("rice", 100), row("milk", 400), steps=[boil("rice")]), pantry))
    assert out.best == 500
    dry = finished(weigh(dish(row("rice", 100), row("milk", 50), steps=[boil("rice")]), pantry))
    assert dry.best == 270


def test_meat_loses_and_cold_dishes_keep_their_weight(pantry, row, dish) -> None:
    out = finished(weigh(dish(row("chicken", 100), steps=[boil("chicken")]), pantry))
    assert (out.low, out.best, out.high) == (65, 73, 80)
    assert finished(weigh(dish(row("rice", 100), row("milk", 50)), pantry)) is None


def test_figures_of_the_finished_dish(pantry, row, dish) -> None:
    record = weigh(dish(row("rice", 100), row("oil", 10)), pantry)
    hundred = at_yield(record.nutrition, exact(2.5))
    assert hundred["energy_kcal"].best == pytest.approx(450 / 2.75, abs=1e-3)
    with pytest.raises(ValueError, match="zero"):
        at_yield(record.nutrition, exact(0))


def test_a_label_by_the_finished_weight(pantry, row, dish) -> None:
    record = weigh(dish(row("rice", 100), row("oil", 10)), pantry)
    label = declaration(record, "FDA", finished_g=300)
    by = {line.key: line for line in label.lines}
    assert by["energy_kcal"].per_100g == "150" and by["energy_kcal"].per_portion == "230"
    assert label.portion_g == 150 and "Per 100 g of the finished dish." in label.notes
    with pytest.raises(ValueError, match="more than 0"):
        declaration(record, "EU", finished_g=0)
