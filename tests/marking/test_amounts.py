"""Amounts: units, pieces, containers, vague measures, bare numbers, and what is none."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from hobnote.marking.marks import AMOUNT, AmountValue
from hobnote.marking.tables import rows as table

SPOKEN = Path(__file__).with_name("spoken_amounts.csv")


def rows() -> list[dict[str, str]]:
    with SPOKEN.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["said"])
def test_spoken(numbers: Callable, row: dict[str, str]) -> None:
    said = row["said"]
    found = [(w, v) for w, v in numbers(row["text"], AMOUNT) if said in w or w in said]
    assert len(found) == 1
    value: AmountValue = found[0][1]
    assert value.low == pytest.approx(float(row["low"]), abs=1e-3)
    assert value.high == pytest.approx(float(row["high"] or row["low"]), abs=1e-3)
    assert row["unit"] in (value.unit, value.noun, "" if value.unit is None else None)


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["said"])
def test_capitals_and_full_stops_change_nothing(numbers: Callable, row: dict[str, str]) -> None:
    values = [v for _, v in numbers(row["text"], AMOUNT)]
    assert [v for _, v in numbers(row["text"].upper().replace("ML", "ml") + ".", AMOUNT)] == values


@pytest.mark.parametrize(
    ("text", "unit", "best"),
    [
        ("1 lb 2 oz of plums", "lb", 1.125),
        ("two pounds four ounces", "lb", 2.25),
        ("a kilo two hundred of flour", "kg", 1.2),
        ("half a pint of stout", "ml", 284.1305),
        ("a pint of milk", "ml", 568.261),
        ("1 T oil", "tbsp", 1),
        ("1 t salt", "tsp", 1),
        ("1 c flour", "cup", 1),
        ("10 cl cream", "ml", 100),
        ("3 fl oz rum", "fl oz", 3),
        ("150 calories of couscous", "kcal", 150),
        ("a hundred calories' worth of rice", "kcal", 100),
        ("a five percent brine", "percent", 5),
        ("5% fat yoghurt", "percent", 5),
        ("a teaspoon n a half of salt", "tsp", 1.5),
        ("a tablespoon, tablespoon and a half", "tbsp", 1.25),
        ("a teaspoon to a tablespoon", "tsp", 2),
        ("5 g to 10 g", "g", 7.5),
        ("two hundred g of flour", "g", 200),
    ],
)
def test_units(numbers: Callable, text: str, unit: str, best: float) -> None:
    [(_, value)] = [f for f in numbers(text, AMOUNT) if f[1].unit != "piece"]
    assert value.unit == unit
    assert value.best == pytest.approx(best)


def test_a_bare_pint_spans_both_pints(numbers: Callable) -> None:
    [(_, value)] = numbers("a pint of milk", AMOUNT)
    assert (value.low, value.high) == (473.176, 568.261)
    [(_, value)] = numbers("an american pint of milk", AMOUNT)
    assert (value.low, value.high) == (473.176, 473.176)


@pytest.mark.parametrize(
    ("text", "count", "noun", "content", "unit"),
    [
        ("a 400 g tin of tomatoes", 1, "tin", 400, "g"),
        ("two 400 gram tins of beans", 2, "tin", 400, "g"),
        ("2 x 400 g tins of chickpeas", 2, "tin", 400, "g"),
        ("2x400g tins", 2, "tin", 400, "g"),
        ("400g can of beans", 1, "can", 400, "g"),
        ("1 (15 ounce) can of beans", 1, "can", 15, "oz"),
        ("a 250 g block of feta", 1, "block", 250, "g"),
        ("twelve of the fifteen ounce cans", 12, "can", 15, "oz"),
    ],
)
def test_containers_and_their_contents(
    numbers: Callable, text: str, count: float, noun: str, content: float, unit: str
) -> None:
    [(_, value)] = [f for f in numbers(text, AMOUNT) if f[1].noun]
    assert (value.best, value.unit, value.noun) == (count, "piece", noun)
    assert (value.content.best, value.content.unit) == (content, unit)


@pytest.mark.parametrize(
    ("text", "count", "noun"),
    [
        ("three cloves of garlic", 3, "clove"),
        ("garlic, two cloves", 2, "clove"),
        ("a bunch of parsley", 1, "bunch"),
        ("two whole heads of garlic", 2, "head"),
        ("a stick of butter", 1, "stick"),
        ("half a bunch of coriander", 0.5, "bunch"),
        ("a 2 inch piece of ginger", 2, "inch"),
        ("an inch of ginger", 1, "inch"),
        ("tin of tomatoes", 1, "tin"),
        ("a mug of rice", 1, "mug"),
    ],
)
def test_pieces(numbers: Callable, text: str, count: float, noun: str) -> None:
    [(_, value)] = numbers(text, AMOUNT)
    assert (value.best, value.unit, value.noun) == (count, "piece", noun)


@pytest.mark.parametrize(
    ("text", "key", "size"),
    [
        ("a pinch of salt", "pinch", None),
        ("a good glug of oil", "glug", "generous"),
        ("a small knob of butter", "knob", "small"),
        ("a little pinch of salt", "pinch", "small"),
        ("splash of milk", "splash", None),
        ("a dash of soy", "dash", None),
        ("some oil", "some", None),
        ("some of the oil", "some", None),
        ("a bit of stock", "bit", None),
        ("a little water", "little", None),
        ("a little butter", "little", None),
        ("white pepper little bit", "little", None),
        ("salt to taste", "to_taste", None),
        ("chilli oil as much as you like", "to_taste", None),
        ("plenty of pepper", "plenty", None),
        ("enough water to cover", "enough", None),
        ("lots of basil", "lots", None),
        ("a thumb of ginger", "thumb", None),
        ("pinch chilli flakes", "pinch", None),
    ],
)
def test_vague(numbers: Callable, text: str, key: str, size: str | None) -> None:
    value = numbers(text, AMOUNT)[0][1]
    assert (value.vague, value.size, value.best) == (key, size, 1)


@pytest.mark.parametrize(
    ("text", "key", "best"),
    [("two pinches of salt", "pinch", 2), ("three handfuls of spinach", "handful", 3)],
)
def test_vague_ones_are_counted(numbers: Callable, text: str, key: str, best: float) -> None:
    [(_, value)] = numbers(text, AMOUNT)
    assert (value.vague, value.best) == (key, best)


@pytest.mark.parametrize(
    "text",
    ["a bit thick", "a little thicker", "a little bit salty", "a lot of people", "some people",
     "a bit of fun", "a little while", "let it cool a bit", "some of you know this"],
)  # fmt: skip
def test_no_vague_measure(numbers: Callable, text: str) -> None:
    assert numbers(text, AMOUNT) == []


@pytest.mark.parametrize(
    "text",
    ["another 20 of oats", "20 more", "20 g more", "another teaspoon", "one more egg",
     "a bit more oil", "an extra clove", "another pinch"],
)  # fmt: skip
def test_more(numbers: Callable, text: str) -> None:
    assert numbers(text, AMOUNT)[0][1].more


@pytest.mark.parametrize(
    "text",
    ["20 g each", "100 of each", "eighty a piece", "30 apiece", "a cup of each", "half a cup each"],
)
def test_each(numbers: Callable, text: str) -> None:
    [(_, value)] = numbers(text, AMOUNT)
    assert value.each


@pytest.mark.parametrize(
    "text",
    ["about 20 g", "roughly a tablespoon", "forty ish", "30 g or so", "up to 5 g",
     "20 g give or take", "approximately 2 cups", "around 3 kilos"],
)  # fmt: skip
def test_approximate(numbers: Callable, text: str) -> None:
    [(_, value)] = numbers(text, AMOUNT)
    assert value.approximate
    assert value.low == value.best == value.high


@pytest.mark.parametrize(
    ("text", "said", "size"),
    [
        ("an onion", "an", None),
        ("a large onion", "a large", "large"),
        ("a lemon, halved", "a", None),
    ],
)
def test_articles_before_a_noun(numbers: Callable, text: str, said: str, size: str | None) -> None:
    words, value = numbers(text, AMOUNT)[0]
    assert words == said
    assert (value.best, value.unit, value.article, value.size) == (1, "piece", True, size)


@pytest.mark.parametrize(
    ("text", "said", "best"),
    [
        ("two chicken breasts", "two", 2),
        ("two medium onions", "two medium", 2),
        ("tare it, then 120 of quark", "120", 120),
        ("half a lemon", "half a", 0.5),
        ("a couple of eggs", "a couple", 2),
        ("bell peppers ten of them", "ten", 10),
        ("call it eighteen", "eighteen", 18),
        ("one onion", "one", 1),
        ("one of ground coriander", "one", 1),
        ("Cucumber, one.", "one", 1),
        ("Red onion, half, very fine", "half", 0.5),
    ],
)
def test_bare_numbers(numbers: Callable, text: str, said: str, best: float) -> None:
    [(words, value)] = numbers(text, AMOUNT)
    assert (words, value.unit, value.best) == (said, None, best)


@pytest.mark.parametrize(
    "text",
    [
        "it cost 3 pounds at the market",
        "they're two pounds fifty and cheap",
        "it was £2.50",
        "back in 2019",
        "back in nineteen ninety eight",
        "step 2 is easy",
        "i row three times a week",
        "there are three ways",
        "one of those",
        "the big one",
        "one by one",
        "mix the two together",
        "cut into 8 wedges",
        "cut it into two",
        "roll it into 12 balls",
        "cut into 2 cm dice",
        "a 20 cm tin",
        "a 9 by 13 tin",
        "a two pound loaf tin",
        "a 3 litre pan",
        "in two batches",
        "five of us went",
        "i can of course do that",
        "in a bowl",
        "pour it into a jar",
        "5.30 on the water",
        "at 7 pm",
        "I train at 6 so be quick",
        "it's ten past five",
        "in thin half-rings",
        "about two pound ten a head last time I costed it",
        "(0:12)",
        "1) chop",
        "my 6 year old",
    ],
)
def test_no_amount(numbers: Callable, text: str) -> None:
    assert [w for w, v in numbers(text, AMOUNT) if not v.article] == []


def test_corrected_units_are_marked(numbers: Callable) -> None:
    found = numbers("a teaspoon, no, tablespoon of paste", AMOUNT)
    assert [(v.unit, v.article) for _, v in found] == [("tsp", False), ("tbsp", True)]


def test_corrected_numbers_stay_two(numbers: Callable) -> None:
    found = numbers("200, sorry 250 grams of oats", AMOUNT)
    assert [(v.best, v.unit) for _, v in found] == [(200, None), (250, "g")]


def test_every_unit_spelling_is_read(numbers: Callable) -> None:
    for row in table("unit_words.csv"):
        for spelling in row["words"].split("|"):
            found = numbers(f"use 2 {spelling} of it", AMOUNT)
            if row["unit"] in ("kcal", "kJ"):
                continue
            assert [v.unit for _, v in found] == [row["unit"]], spelling
            assert found[0][1].best == pytest.approx(2 * float(row["best"])), spelling


def test_without_a_tagger(bare_numbers: Callable) -> None:
    found = bare_numbers("two hundred grams of oats a pinch of salt and three eggs", AMOUNT)
    assert [(v.best, v.unit, v.vague) for _, v in found] == [
        (200, "g", None),
        (1, None, "pinch"),
        (3, None, None),
    ]
