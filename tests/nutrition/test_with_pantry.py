"""The room with the real pantry: a training supper for four at the club's galley."""

import pytest

from hobnote.nutrition import declaration, label_text, weigh, what_if
from hobnote.nutrition.allergens import names
from hobnote.pantry import open_pantry
from hobnote.record import (
    Amount,
    Bounds,
    Claim,
    Component,
    Ingredient,
    Range,
    Record,
    StatedClaim,
    Step,
)


def said(name: str, best: float, unit: str | None, basis: str = "measured", **more) -> Ingredient:
    amount = {"noun": more.pop("noun", None), "said": more.pop("said", None)}
    spoken = Amount(low=best, best=best, high=best, unit=unit, basis=basis, **amount)
    return Ingredient(name=name, amount=spoken, **more)


@pytest.fixture(scope="module")
def supper() -> Record:
    main = [
        said("chicken thigh", 600, "g", "weighed"),
        said("olive oil", 1, None, "vague", noun="glug", said="a glug"),
        said("onion", 2, "piece", "counted"),
        said("garlic", 3, "piece", "counted", noun="clove"),
        said("basmati rice", 300, "g", "weighed"),
        said("salt", 1, None, "vague", noun="pinch", said="a pinch"),
        Ingredient(name="moon dust"),
    ]
    dressing = [
        said("greek yoghurt", 150, "g", "weighed"),
        said("tahini", 30, "g", "weighed"),
        said("peanut butter", 30, "g", "weighed", swap_for="tahini"),
        said("lemon", 0.5, "piece", "counted"),
        said("parsley", 1, None, "vague", noun="handful", said="a handful", optional=True),
    ]
    fry = Step(number=1, text="Fry.", verb="fry", ingredients=["chicken thigh", "olive oil"])
    steps = [
        fry.model_copy(update={"vessel": "pan", "minutes": Range(low=10, high=12)}),
        Step(number=2, text="Boil.", verb="boil", ingredients=["basmati rice"]),
    ]
    record = Record(
        portions=Bounds(low=4, best=4, high=4),
        components=[
            Component(ingredients=main),
            Component(name="dressing", ingredients=dressing),
        ],
        steps=steps,
        claims=[Claim(nutrient="protein", low=30, high=30, unit="g", scope="dressing")],
        stated=[StatedClaim(claim="high in protein", rule="", met=None, reason="")],
    )
    return weigh(record, open_pantry("uk"))


def test_figures_are_those_of_the_table(supper: Record) -> None:
    # Chicken thigh 600 g and rice 300 g bring some 1800 kcal, the rest 500.
    energy = supper.nutrition.total["energy_kcal"]
    assert 2200 < energy.low < energy.best < energy.high < 2800
    assert set(supper.nutrition.components) == {"main", "dressing"}
    assert supper.nutrition.missing == ["moon dust"]


def test_questions(supper: Record) -> None:
    asked = [(f.kind, f.ingredient) for f in supper.flags]
    oil, salt = ("vague amount", "olive oil"), ("vague amount", "salt")
    assert oil in asked and salt in asked and ("unmatched food", "moon dust") in asked
    assert asked.index(oil) < asked.index(salt)
    assert ("claim differs", None) in asked
    assert not any(kind == "missing temperature" for kind, _ in asked)


def test_lists_follow_the_ingredients(supper: Record) -> None:
    assert names(supper.allergens, "EU") == ["milk", "sesame"]
    topics = {c.topic for c in supper.cautions}
    assert {"poultry", "cooked rice", "standing line"} <= topics
    swap = next(c for c in what_if(supper, open_pantry("uk")) if c.kind == "swap")
    assert (swap.allergens_gained, swap.allergens_lost) == (["peanuts"], ["sesame"])


def test_a_gap_is_said_and_not_scored(supper: Record) -> None:
    assert "cannot_be_scored" in supper.nutrition.scores["npm_2004_05"]
    assert all(s.met is None and "moon dust" in s.reason for s in supper.stated)
    assert "Not counted: moon dust." in label_text(declaration(supper))


def test_beans_that_a_step_soaks_were_weighed_dry(row, dish) -> None:
    soak = [Step(number=1, text="Soak the black beans", verb="soak", ingredients=["black bean"])]
    uk = open_pantry("uk")
    dry = weigh(dish(row("black bean", 500), steps=soak), uk)
    tinned = weigh(dish(row("black bean", 500)), uk)
    assert dry.nutrition.total["energy_kcal"].best > 3 * tinned.nutrition.total["energy_kcal"].best
    assert weigh(dry, uk) == dry


@pytest.mark.parametrize(
    ("name", "told", "share"),
    [
        ("lamb shoulder", "bone in", 0.78),
        ("potato", "unpeeled", 0.75),
        ("carrot", "unpeeled", 0.89),
    ],
)
def test_what_is_weighed_with_bone_or_peel_is_not_all_eaten(row, dish, name, told, share) -> None:
    record = weigh(dish(row(name, 1000, preparation=[told])), open_pantry("uk"))
    grams = record.components[0].ingredients[0].grams
    assert grams.best == pytest.approx(1000 * share) and grams.low < grams.best < grams.high
