"""Lengths of cooking time."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from hobnote.marking.marks import TIME


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("simmer the barley for 25 minutes", 25, 25),
        ("8 to 10 minutes in the big pot", 8, 10),
        ("give it eight to ten minutes", 8, 10),
        ("5-10 mins", 5, 10),
        ("8–10mins", 8, 10),
        ("10min", 10, 10),
        ("for 20m", 20, 20),
        ("90 seconds", 1.5, 1.5),
        ("a minute or two", 1, 2),
        ("an hour or two", 60, 120),
        ("an hour and a half", 90, 90),
        ("two and a half hours", 150, 150),
        ("1 1/2 hours", 90, 90),
        ("half an hour", 30, 30),
        ("half hour", 30, 30),
        ("a quarter of an hour", 15, 15),
        ("three quarters of an hour", 45, 45),
        ("an hour and a quarter", 75, 75),
        ("for an hour 20 then rest it", 80, 80),
        ("an hour and twenty minutes", 80, 80),
        ("1 hr 20 min", 80, 80),
        ("1h30", 90, 90),
        ("1hr20", 80, 80),
        ("ten, twelve minutes", 10, 12),
        ("for ten twelve minutes", 10, 12),
        ("for five ten minutes", 5, 10),
        ("eight minutes maybe ten", 8, 10),
        ("half an hour to an hour", 30, 60),
        ("fifty-five minutes to an hour", 55, 60),
        ("one and a half to two hours", 90, 120),
        ("a couple of minutes", 2, 2),
        ("a few minutes", 2, 5),
        ("for half a minute", 0.5, 0.5),
        ("2 days", 2880, 2880),
        ("soak them overnight", 480, 720),
        ("seven eight minutes", 7, 8),
        ("a 10-minute rest", 10, 10),
    ],
)
def test_minutes(numbers: Callable, text: str, low: float, high: float) -> None:
    found = numbers(text, TIME)
    assert [(v.low, v.high) for _, v in found] == [(low, high)]


@pytest.mark.parametrize(
    "text",
    ["another minute", "another 10 minutes", "two more minutes", "five minutes more",
     "a further five minutes", "an extra minute", "another couple of minutes"],
)  # fmt: skip
def test_on_top_of_what_ran_already(numbers: Callable, text: str) -> None:
    [(words, value)] = numbers(text, TIME)
    assert value.more
    assert words == text


@pytest.mark.parametrize(
    "text",
    ["about 20 minutes", "twenty minutes or so", "a good five minutes", "at least an hour",
     "20 minutes ish", "roughly half an hour"],
)  # fmt: skip
def test_not_exact(numbers: Callable, text: str) -> None:
    [(_, value)] = numbers(text, TIME)
    assert value.approximate


@pytest.mark.parametrize(
    "text",
    [
        "three days ago the crew raced",
        "the second egg goes in now",
        "a second tin of beans",
        "i'll do dumplings another day",
        "at 12:30 we row",
        "for 200 grams",
        "twice a day",
        "5 metres of string",
    ],
)
def test_no_cooking_time(numbers: Callable, text: str) -> None:
    assert numbers(text, TIME) == []


def test_a_range_stops_at_another_measure(numbers: Callable) -> None:
    assert [v.high for _, v in numbers("cook for 5 minutes or 6 eggs at a time", TIME)] == [5]
    assert [v.high for _, v in numbers("10 minutes to 200 degrees", TIME)] == [10]


def test_two_times_in_one_breath_stay_two(numbers: Callable) -> None:
    found = numbers("fry two minutes each side then rest ten minutes", TIME)
    assert [v.low for _, v in found] == [2, 10]


def test_without_a_tagger(bare_numbers: Callable) -> None:
    [(words, value)] = bare_numbers("leave it for an hour and a half please", TIME)
    assert (words, value.low, value.high) == ("an hour and a half", 90, 90)
