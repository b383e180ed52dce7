"""Amounts said against another amount."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from hobnote.marking.marks import RELATIVE


@pytest.mark.parametrize(
    ("text", "factor", "reference", "by", "of_rest"),
    [
        ("half as much oats as milk", 0.5, "milk", None, False),
        ("twice as much water as lentils", 2, "lentils", None, False),
        ("three times as much flour as butter", 3, "butter", None, False),
        ("one and a half times as much water as couscous", 1.5, "couscous", None, False),
        ("as much spinach as kale", 1, "kale", None, False),
        ("the same again of sugar", 1, None, None, False),
        ("same weight of sugar as butter", 1, "butter", "weight", False),
        ("equal weights of butter and sugar", 1, None, "weight", False),
        ("half that of honey", 0.5, None, None, False),
        ("twice that", 2, None, None, False),
        ("double the butter", 2, "butter", None, False),
        ("half the amount of salt", 0.5, "salt", None, False),
        ("half as much again", 1.5, None, None, False),
        ("the rest of the stock", 1, "stock", None, True),
        ("the rest goes in later", 1, None, None, True),
        ("the remaining oil", 1, "oil", None, True),
        ("the other half", 0.5, None, None, True),
        ("half of it", 0.5, None, None, True),
        ("half the onion", 0.5, "onion", None, True),
        ("a third of the stock", 1 / 3, "stock", None, True),
        ("what's left", 1, None, None, True),
    ],
)
def test_relative(
    numbers: Callable,
    text: str,
    factor: float,
    reference: str | None,
    by: str | None,
    of_rest: bool,
) -> None:
    [(_, value)] = numbers(text, RELATIVE)
    assert value.factor == pytest.approx(factor)
    assert (value.reference, value.by, value.of_rest) == (reference, by, of_rest)


@pytest.mark.parametrize(
    "text",
    [
        "half the time it burns",
        "twice a day",
        "as much as you like",
        "double cream 200 ml",
        "cut it in half",
        "half-fat milk",
        "the rest is history",
        "rest for ten minutes",
        "rest of the time",
        "half a cup of milk",
        "they don't climb as much as plain ones",
    ],
)
def test_not_relative(numbers: Callable, text: str) -> None:
    assert numbers(text, RELATIVE) == []
