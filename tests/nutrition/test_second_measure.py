"""Two measures of one thing where only the second can be weighed."""

from hobnote.nutrition.weigh import weigh
from hobnote.pantry import open_pantry
from hobnote.record import Amount, Component, Ingredient, Record


def test_an_unknown_food_keeps_the_weight_that_was_said_beside_it() -> None:
    row = Ingredient(
        name="blorb of the tideway",
        amount=Amount(low=100, best=100, high=100, basis="energy"),
        also=Amount(low=30, best=30, high=30, unit="g", basis="weighed"),
    )
    record = weigh(Record(components=[Component(ingredients=[row])]), open_pantry())
    out = record.components[0].ingredients[0]
    assert out.grams is not None and out.grams.best == 30
    assert "measures disagree" not in {f.kind for f in record.flags}
