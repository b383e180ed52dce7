"""A record made by hand, with something in every corner."""

from __future__ import annotations

import pytest

from hobnote.record import (
    Allergen,
    Amount,
    Bounds,
    Caution,
    Claim,
    Component,
    Flag,
    Heard,
    Ingredient,
    Nutrition,
    Range,
    Record,
    StatedClaim,
    Step,
)


def sure(value):
    return Bounds(low=value, best=value, high=value)


@pytest.fixture
def record():
    oats = Ingredient(
        name="rolled oats",
        amount=Amount(low=600, best=600, high=600, unit="g", basis="weighed", said="600 g"),
        grams=sure(600),
        preparation=["toasted"],
        nutrition={"energy_kcal": sure(2274)},
        heard=[Heard(start=0, end=5, text="600 g")],
    )
    butter = Ingredient(
        name="butter",
        amount=Amount(low=1, best=1, high=1, basis="vague", noun="knob", said="a knob"),
        grams=Bounds(low=10, best=15, high=30),
        nutrition={"energy_kcal": Bounds(low=72, best=108, high=215)},
        flags=["f2"],
    )
    syrup = Ingredient(
        name="golden syrup [thin]",
        amount=Amount(low=3, best=3, high=3, unit="tbsp", basis="measured"),
        swap_for="honey",
        condition="if there is no honey",
        grams=sure(63),
        nutrition={"energy_kcal": sure(190)},
    )
    nuts = Ingredient(name="hazelnut", optional=True, amount=Amount(basis="vague", noun="handful"))
    return Record(
        title="regatta porridge",
        portions=sure(12),
        components=[
            Component(ingredients=[oats, syrup]),
            Component(name="topping", ingredients=[butter, nuts]),
        ],
        steps=[
            Step(
                number=1,
                text="Toast the rolled oats",
                verb="toast",
                heat="medium",
                minutes=Range(low=4, high=5),
                until="they smell of biscuits",
            ),
            Step(number=2, text="Bake", verb="bake", temperature_c=180, component="topping"),
        ],
        claims=[
            Claim(
                nutrient="energy",
                low=350,
                high=350,
                unit="kcal",
                computed=Bounds(low=300, best=340, high=390),
                verdict="agrees",
            )
        ],
        stated=[StatedClaim(claim="high fibre", rule="EU 1924/2006", met=None, reason="too wide")],
        flags=[
            Flag(
                id="f2",
                kind="vague amount",
                ingredient="butter",
                question="How much butter is the knob?",
                effect_kcal=Range(low=72, high=215),
                options=["10 g", "20 g"],
            ),
            Flag(id="f1", kind="missing temperature", question="How hot is the oven?"),
        ],
        nutrition=Nutrition(
            total={"energy_kcal": Bounds(low=3600, best=4080, high=4700), "protein_g": sure(141)},
            per_portion={"energy_kcal": Bounds(low=300, best=340, high=390)},
            missing=["spirulina"],
        ),
        allergens=[Allergen(name="milk", regimes=["EU", "US"], ingredients=["butter"])],
        cautions=[Caution(topic="nuts", text="Ask about nuts.", source="common practice")],
        warnings=["note.txt is not UTF-8"],
    )
