"""Oven, core and liquid temperatures."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from hobnote.marking.marks import AMOUNT, TEMPERATURE
from hobnote.marking.temperatures import celsius, gas_marks


@pytest.mark.parametrize(
    ("text", "degrees", "scale", "kind", "fan"),
    [
        ("bake at 180C", 180, "C", "oven", False),
        ("180 degrees", 180, "C", "oven", False),
        ("oven at 200", 200, "C", "oven", False),
        ("preheat the oven to two hundred", 200, "C", "oven", False),
        ("Oven, two hundred, then in it goes", 200, "C", "oven", False),
        ("180 fan", 180, "C", "oven", True),
        ("one eighty fan for the flapjacks", 180, "C", "oven", True),
        ("180 in a fan oven", 180, "C", "oven", True),
        ("fan 160", 160, "C", "oven", True),
        ("180C/160C fan", 180, "C", "oven", False),
        ("a hundred and eighty, or one sixty fan", 180, "C", "oven", False),
        ("one eighty, one sixty if it's a fan", 180, "C", "oven", False),
        ("Oven 200, fan 180.", 200, "C", "oven", False),
        (
            "say a hundred and seventy, or a hundred and fifty if yours has a fan",
            170,
            "C",
            "oven",
            False,
        ),
        ("hold it at a hundred and forty five on the steam table", 62.8, "F", "unknown", False),
        ("220 C (428 F)", 220, "C", "oven", False),
        ("350 degrees F", 176.7, "F", "oven", False),
        ("350°F", 176.7, "F", "oven", False),
        ("350ºF", 176.7, "F", "oven", False),
        ("four hundred Fahrenheit", 204.4, "F", "oven", False),
        ("oven on to 425 please", 218.3, "F", "oven", False),
        ("gas mark six", 200, "gas", "oven", False),
        ("gas 4", 180, "gas", "oven", False),
        ("a core of 74", 74, "C", "core", False),
        ("internal temp 165", 73.9, "F", "core", False),
        ("the probe should read 63", 63, "C", "core", False),
        ("ninety-three in the middle", 93, "C", "core", False),
        ("heat the oil to 175", 175, "C", "liquid", False),
        ("the syrup hits 118", 118, "C", "liquid", False),
        ("turn it down to 160", 160, "C", "oven", False),
        ("freeze it at minus 18 degrees", -18, "C", "unknown", False),
    ],
)
def test_degrees(
    numbers: Callable, text: str, degrees: float, scale: str, kind: str, fan: bool
) -> None:
    [(_, value)] = numbers(text, TEMPERATURE)
    assert (value.celsius, value.scale, value.kind, value.fan) == (degrees, scale, kind, fan)


def test_a_range(numbers: Callable) -> None:
    [(_, value)] = numbers("keep the oven at 160 to 170 degrees C", TEMPERATURE)
    assert (value.celsius, value.high) == (160, 170)


def test_down_to_counts_once_the_oven_is_on(numbers: Callable) -> None:
    text = "twenty minutes at two twenty then down to one fifty for four hours"
    found = numbers(text, TEMPERATURE)
    assert [v.celsius for _, v in found] == [220, 150]
    assert numbers("keep pouring, down to one fifty now", TEMPERATURE) == []


@pytest.mark.parametrize(
    "text",
    [
        "add 200 to the pan",
        "roast 200 carrots for the club",
        "we meet at 5 pm",
        "it costs 180 pounds",
        "serves 4 at 200 calories",
        "put the tray in the oven for 40",
        "add the milk to 300 grams",
        "turn it 90 degrees",
        "cut at a 45 degree angle",
        "435 cal, 38 p, 51 c, 8 f",
        "which is less than the shop one at two hundred and forty calories",
        "1 c flour",
        "5% fat yoghurt",
        "in 2019 we rowed",
        "I'm at three-sixty, three-ninety, one more",
        "step 180",
    ],
)
def test_no_temperature(numbers: Callable, text: str) -> None:
    assert numbers(text, TEMPERATURE) == []


def test_a_temperature_is_no_amount(numbers: Callable) -> None:
    assert numbers("bake at 180 for 20 minutes", AMOUNT) == []


def test_gas_marks_follow_their_rule() -> None:
    """Mark 1 is 275 F and each whole mark adds 25 F; printed Celsius is rounded to 5 or 10."""
    for mark, printed in gas_marks().items():
        if mark >= 1:
            assert abs(celsius(275 + 25 * (mark - 1), "F") - printed) <= 8


def test_a_fan_figure_said_apart(numbers: Callable) -> None:
    text = (
        "oven on to two twenty and if you've got the fan on make it two hundred so cream the butter"
    )
    found = numbers(text, TEMPERATURE)
    assert [(v.celsius, v.fan) for _, v in found] == [(220, False), (200, True)]


def test_a_core_figure_again(numbers: Callable) -> None:
    found = numbers("seventy-five in the middle, and hold it above sixty-three", TEMPERATURE)
    assert [(v.celsius, v.kind) for _, v in found] == [(75, "core"), (63, "core")]
