"""Kitchen measures against NIST figures, the imperial gallon, the Australian set and pint.

Sources: NIST Handbook 44 App. C (US customary), imperial gallon 4.54609 l, Standards
Association of Australia set as published by NSW Health, pint's own default registry, published
gas-mark charts. Figures are typed in from there.
"""

import pint
import pytest

from hobnote.pantry import open_pantry
from hobnote.pantry.measures import factors, gas_marks, registry
from hobnote.record import Amount

# ml, or g for oz and lb.
PUBLISHED = [
    ("us", "cup", 236.588), ("us", "tbsp", 14.787), ("us", "tsp", 4.929), ("us", "fl oz", 29.574),
    ("us", "oz", 28.349523125), ("us", "lb", 453.59237), ("uk", "fl oz", 28.413),
    ("uk", "tbsp", 15), ("uk", "tsp", 5), ("au", "tbsp", 20), ("au", "tsp", 5), ("au", "cup", 250),
    ("metric", "cup", 250), ("metric", "tbsp", 15),
]  # fmt: skip
NAMES = {
    "cup": "cup", "tbsp": "tablespoon", "tsp": "teaspoon", "fl oz": "fluid_ounce", "oz": "ounce",
    "lb": "pound", "g": "gram", "kg": "kilogram", "ml": "millilitre", "l": "litre",
}  # fmt: skip


@pytest.mark.parametrize(("locale", "unit", "size"), PUBLISHED)
def test_published_sizes(locale, unit, size):
    assert factors(locale)[unit].best == pytest.approx(size, rel=1e-4)


@pytest.mark.parametrize("locale", ["us", "uk", "au", "metric"])
def test_factors_are_what_pint_makes_of_the_definitions(locale):
    units = registry(locale)
    for unit, factor in factors(locale).items():
        base = "gram" if factor.kind == "g" else "millilitre"
        got = units.Quantity(1, NAMES[unit]).to(base).magnitude
        assert factor.best == pytest.approx(got, rel=1e-9), unit
        assert factor.low <= factor.best <= factor.high


def test_us_customary_against_pints_default_registry():
    theirs, ours = pint.UnitRegistry(), registry("us")
    for name in ("cup", "tablespoon", "teaspoon", "fluid_ounce", "pint", "quart", "gallon"):
        expected = theirs.Quantity(1, name).to("ml").magnitude
        assert ours.Quantity(1, name).to("ml").magnitude == pytest.approx(expected, rel=1e-9)


def test_imperial_against_pints_default_registry():
    theirs, ours = pint.UnitRegistry(), registry("uk")
    for name in ("pint", "quart", "gallon", "fluid_ounce"):
        expected = theirs.Quantity(1, f"imperial_{name}").to("ml").magnitude
        assert ours.Quantity(1, name).to("ml").magnitude == pytest.approx(expected, rel=1e-9)


def test_a_cup_is_sixteen_tablespoons_and_forty_eight_teaspoons():
    units = registry("us")
    assert units.Quantity(1, "cup").to("tablespoon").magnitude == pytest.approx(16)
    assert units.Quantity(1, "cup").to("teaspoon").magnitude == pytest.approx(48)


def test_an_australian_tablespoon_is_four_teaspoons():
    units = registry("au")
    assert units.Quantity(1, "tablespoon").to("teaspoon").magnitude == pytest.approx(4)


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(180, 356), (100, 212), (0, 32), (-40, -40)])
def test_temperatures(celsius, fahrenheit):
    units = registry("uk")
    got = units.Quantity(celsius, "degree_celsius").to("degree_fahrenheit").magnitude
    assert got == pytest.approx(fahrenheit)


def test_water_weighs_a_gram_a_millilitre_everywhere():
    for locale in ("us", "uk", "au", "metric"):
        pantry = open_pantry(locale)
        water = pantry.match("water").food
        weight = pantry.grams(water, "water", Amount(low=500, best=500, high=500, unit="ml"))
        assert weight.best == pytest.approx(500, rel=0.01)


# (mark, printed Celsius, Fahrenheit). Source: published conversion charts.
GAS = [
    ("1/4", 110, 225), ("1/2", 120, 250), ("1", 140, 275), ("2", 150, 300), ("3", 160, 325),
    ("4", 180, 350), ("5", 190, 375), ("6", 200, 400), ("7", 220, 425), ("8", 230, 450),
    ("9", 240, 475),
]  # fmt: skip


@pytest.mark.parametrize(("mark", "celsius", "fahrenheit"), GAS)
def test_gas_marks(mark, celsius, fahrenheit):
    setting = gas_marks()[mark]
    assert (setting.celsius, setting.fahrenheit) == (celsius, fahrenheit)
    exact = (fahrenheit - 32) * 5 / 9
    assert setting.celsius_low - 5.1 <= exact <= setting.celsius_high + 8


def test_each_whole_gas_mark_is_25_fahrenheit_more():
    marks = gas_marks()
    for n in range(1, 10):
        assert marks[str(n)].fahrenheit == 275 + 25 * (n - 1)
