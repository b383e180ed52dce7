import pytest

from hobnote.nutrition import words
from hobnote.record import Range


@pytest.mark.parametrize(
    ("value", "text"),
    [(0, "0"), (0.04, "0"), (0.31, "0.3"), (2.5, "2.5"), (5.0, "5"), (17.4, "17")],
)
def test_numbers_without_false_precision(value: float, text: str) -> None:
    assert words.number(value) == text


def test_spans() -> None:
    assert words.kcal(Range(low=44.2, high=221)) == "44-220 kcal"
    assert words.grams(Range(low=5, high=5.01)) == "5 g"
    assert words.worth(Range(low=0, high=0), Range(low=80, high=390)) == "80-390 mg of sodium"
    assert words.worth(Range(low=0, high=0.1), None) == "hardly any energy"


def test_foods_as_a_cook_would_hear_them() -> None:
    long = "Milk, reduced fat, fluid, 2% milkfat, with added vitamin A and vitamin D"
    assert words.food(long) == "Milk, reduced fat, 2% milkfat"
    assert words.food("Olives, ripe, canned (small-extra large)") == "Olives, ripe, canned"
    assert words.food("Oil, olive, salad or cooking") == "Oil, olive"
