"""Stated nutrition figures, and amounts that look like them."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from hobnote.marking.marks import AMOUNT, CLAIM, PORTIONS


@pytest.mark.parametrize(
    ("text", "claims"),
    [
        ("it's 450 calories a portion", [("energy", 450, 450, "kcal", "portion")]),
        ("that's four hundred and fifty calories", [("energy", 450, 450, "kcal", None)]),
        (
            "roughly 500 to 550 calories per box",
            [("energy", 500, 550, "kcal", "portion")],
        ),
        ("1900 kJ in total", [("energy", 1900, 1900, "kJ", "total")]),
        ("31 grams of protein each", [("protein", 31, 31, "g", "portion")]),
        ("the protein is about 31", [("protein", 31, 31, "g", None)]),
        ("calories come to 640", [("energy", 640, 640, "kcal", None)]),
        (
            "520 kcal, 38 protein, 60 carbs, 14 fat per serving",
            [
                ("energy", 520, 520, "kcal", "portion"),
                ("protein", 38, 38, "g", "portion"),
                ("carbohydrate", 60, 60, "g", "portion"),
                ("fat", 14, 14, "g", "portion"),
            ],
        ),
        (
            "435 cal, 38p, 51c, 8f",
            [
                ("energy", 435, 435, "kcal", None),
                ("protein", 38, 38, "g", None),
                ("carbohydrate", 51, 51, "g", None),
                ("fat", 8, 8, "g", None),
            ],
        ),
        (
            "the dressing is about 90 calories, the whole thing comes to 2,100 calories",
            [("energy", 90, 90, "kcal", "dressing"), ("energy", 2100, 2100, "kcal", "total")],
        ),
        ("the sauce on its own is eighty", [("energy", 80, 80, "kcal", "sauce")]),
        ("twelve grams of fiber a bowl", [("fibre", 12, 12, "g", "portion")]),
    ],
)
def test_claims(numbers: Callable, text: str, claims: list[tuple[object, ...]]) -> None:
    found = [(v.nutrient, v.low, v.high, v.unit, v.scope) for _, v in numbers(text, CLAIM)]
    assert found == claims
    assert numbers(text, AMOUNT) == []


@pytest.mark.parametrize(
    "text",
    [
        "30 g of protein powder",
        "150 calories of couscous",
        "200 calories' worth of pasta",
        "5% fat yoghurt",
        "add 20 g of fat to the pan",
        "a high protein lunch",
        "low fat milk 200 ml",
        "two protein bars",
    ],
)
def test_no_claim(numbers: Callable, text: str) -> None:
    assert numbers(text, CLAIM) == []


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("serves four", 4, 4),
        ("serves 4 to 6", 4, 6),
        ("makes 12 muffins", 12, 12),
        ("makes about 10", 10, 10),
        ("feeds six hungry rowers", 6, 6),
        ("enough for two", 2, 2),
        ("that's two portions", 2, 2),
        ("split between four boxes", 4, 4),
        ("divide it into five tubs", 5, 5),
        ("divide into five", 5, 5),
        ("for a crew of eight", 8, 8),
        ("chilli for the eight of us", 8, 8),
        ("supper for four people", 4, 4),
        ("this is my tofu stir fry for two", 2, 2),
        ("it cuts into twelve", 12, 12),
        ("this does six, or so", 6, 6),
        ("two servings", 2, 2),
    ],
)
def test_portions(numbers: Callable, text: str, low: float, high: float) -> None:
    [(_, value)] = numbers(text, PORTIONS)
    assert (value.low, value.high) == (low, high)


@pytest.mark.parametrize(
    "text",
    [
        "for four minutes",
        "simmer for forty",
        "cut it into two",
        "split the dough into 8 balls",
        "makes 2 cups of sauce",
        "20 g per portion",
        "leave it for two",
    ],
)
def test_no_portions(numbers: Callable, text: str) -> None:
    assert numbers(text, PORTIONS) == []


@pytest.mark.parametrize(
    ("text", "claims"),
    [
        (
            "A pot with its bread: 415. Protein 17. Fibre 13.",
            [("energy", 415, "portion"), ("protein", 17, "portion"), ("fibre", 13, "portion")],
        ),
        (
            "the whole tub is 400 calories and 56 protein, so 200 calories and 28 grams each",
            [("energy", 400, "total"), ("protein", 56, "total"), ("energy", 200, "portion"),
             ("protein", 28, "portion")],
        ),
        (
            "the whole bowl of green sauce is 170 calories, and the red sauce is eighty-five",
            [("energy", 170, "green sauce"), ("energy", 85, "red sauce")],
        ),
        (
            "the bought one is 290 calories a slice and mine is two fifty",
            [("energy", 290, "portion"), ("energy", 250, "portion")],
        ),
        ("with one roll it's 510 calories a portion all in", [("energy", 510, "portion")]),
        (
            "425 cal n 28g protein per burger",
            [("energy", 425, "portion"), ("protein", 28, "portion")],
        ),
        (
            "a plate with the rice is 600 calories and forty grams of protein",
            [("energy", 600, "portion"), ("protein", 40, "portion")],
        ),
    ],
)  # fmt: skip
def test_figures_without_units_and_their_scopes(
    numbers: Callable, text: str, claims: list[tuple[str, float, str | None]]
) -> None:
    assert [(v.nutrient, v.low, v.scope) for _, v in numbers(text, CLAIM)] == claims


@pytest.mark.parametrize(
    "text",
    [
        "raspberries instead, about ten calories less",
        "the cream is plus seventy calories",
        "goat cheese, it's eighty calories more for each",
        "+15 cals each",
        "some protein, forty grams of the plain powder",
        "half-fat cheddar",
    ],
)
def test_what_a_change_adds_is_no_claim(numbers: Callable, text: str) -> None:
    assert numbers(text, CLAIM) == []


@pytest.mark.parametrize(
    ("text", "n"),
    [
        ("mark it into sixteen squares while it is hot", 16),
        ("chilli for the whole club forty people", 40),
        ("haddock chowder, four bowls.", 4),
        ("i've got eight to feed", 8),
        ("okay, recovery bowl, one person, quick", 1),
    ],
)
def test_portions_said_otherwise(numbers: Callable, text: str, n: float) -> None:
    [(_, value)] = numbers(text, PORTIONS)
    assert value.best == n


@pytest.mark.parametrize(
    "text",
    ["one serving is about two hundred calories", "he does three hundred of soy yoghurt",
     "makes about 5 jars", "in brazil it is one box of cream", "cut the carrots into 4 pieces"],
)  # fmt: skip
def test_no_portions_either(numbers: Callable, text: str) -> None:
    assert numbers(text, PORTIONS) == []
