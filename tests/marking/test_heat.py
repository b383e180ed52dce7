"""Heat levels and changes of heat."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from hobnote.marking.heat import between, dial_level
from hobnote.marking.marks import HEAT


@pytest.mark.parametrize(
    ("text", "level"),
    [
        ("on a medium-high heat", "medium-high"),
        ("medium high heat", "medium-high"),
        ("fry over medium heat", "medium"),
        ("on a low heat", "low"),
        ("a gentle heat", "low"),
        ("keep it on low for ten minutes", "low"),
        ("simmer low for an hour", "low"),
        ("medium to high heat", "medium-high"),
        ("low to medium heat", "medium-low"),
        ("on medium flame", "medium"),
        ("on the lowest setting", "low"),
        ("a really hot pan", "high"),
        ("get the pan really hot", "high"),
        ("full whack", "high"),
        ("blast it", "high"),
        ("high fire", "high"),
        ("on small heat", "low"),
        ("turn it up to medium", "medium"),
        ("bring it down to low", "low"),
        ("reduce the heat to low", "low"),
        ("keep the heat low", "low"),
        ("the heat's on medium", "medium"),
        ("crank it up", "high"),
        ("turn it right down", "low"),
        ("whack the heat right up", "high"),
        ("hob on 4 of 9", "medium"),
        ("ring at 9 out of 9", "high"),
        ("oil in, medium high, four minutes a side", "medium-high"),
        ("then right down low", "low"),
        ("lid on, down to medium, 4 min", "medium"),
        ("frying pan med-high w 1 tbsp oil", "medium-high"),
    ],
)
def test_levels(numbers: Callable, text: str, level: str) -> None:
    [(_, value)] = numbers(text, HEAT)
    assert value.level == level


@pytest.mark.parametrize(
    ("text", "change"),
    [
        ("heat off", "off"),
        ("take it off the heat", "off"),
        ("turn it off", "off"),
        ("kill the heat", "off"),
        ("turn off the hob", "off"),
        ("turn the heat down a bit", "down"),
        ("turn it down", "down"),
        ("lower the heat", "down"),
        ("turn it up", "up"),
        ("turn up the heat", "up"),
    ],
)
def test_changes(numbers: Callable, text: str, change: str) -> None:
    [(_, value)] = numbers(text, HEAT)
    assert (value.level, value.change) == (None, change)


@pytest.mark.parametrize(
    "text",
    [
        "a medium onion",
        "two medium eggs",
        "low fat yoghurt",
        "high protein lunch",
        "whisk on medium speed",
        "a medium bowl",
        "the high sided pan",
        "on a medium tray",
        "on a high shelf",
        "turn the dough over",
        "turn it out on a board",
        "turn the oven down to 160",
        "bring it up to the boil",
        "bring it down to a simmer",
        "turn it 90 degrees",
        "heat the oil",
    ],
)
def test_no_heat(numbers: Callable, text: str) -> None:
    assert numbers(text, HEAT) == []


def test_two_states_in_one_sentence(numbers: Callable) -> None:
    found = numbers("start on high heat then turn it down to low and simmer", HEAT)
    assert [v.level for _, v in found] == ["high", "low"]


def test_between_and_dial() -> None:
    assert between("low", "high") == "medium"
    assert [dial_level(x / 9) for x in (1, 3, 4, 6, 9)] == [
        "low", "medium-low", "medium", "medium-high", "high"
    ]  # fmt: skip
