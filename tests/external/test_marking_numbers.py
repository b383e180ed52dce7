"""Spelled numbers against general-purpose references.

num2words (LGPL) spells every whole number from 0 to 9999; our reader must give
the number back. text2num (MIT) reads spelled numbers; both must agree. NIST
Handbook 44, Appendix C, gives the unit ratios that the unit words rest on.
"""

from __future__ import annotations

import pint
import pytest
from num2words import num2words
from text_to_num import text2num

from hobnote.marking.numerals import read_number
from hobnote.marking.tables import rows


@pytest.mark.parametrize("start", range(0, 10_000, 1000))
def test_num2words_spelling_is_read_back(start: int) -> None:
    """num2words: "one thousand, two hundred and fifty-six"; without its comma, as a recogniser."""
    for number in range(start, start + 1000):
        spelled = num2words(number).replace(",", "")
        assert read_number(spelled) == number, spelled


@pytest.mark.parametrize("start", range(0, 10_000, 2500))
def test_american_spelling_is_read_back(start: int) -> None:
    """The same without "and": "two hundred fifty"."""
    for number in range(start, start + 2500, 7):
        spelled = num2words(number).replace(",", "").replace(" and", "").replace("-", " ")
        assert read_number(spelled) == number, spelled


@pytest.mark.parametrize(
    "spelled",
    ["seven", "fifteen", "forty-two", "ninety nine", "one hundred", "three hundred and fifty",
     "six hundred twelve", "one thousand", "two thousand five hundred", "nine thousand and one"],
)  # fmt: skip
def test_text2num_agrees(spelled: str) -> None:
    assert read_number(spelled) == text2num(spelled, "en")


def test_decimals_are_read_back() -> None:
    """num2words spells decimals with "point"."""
    for number in (0.5, 0.25, 1.5, 2.75, 3.125, 10.5):
        assert read_number(num2words(number)) == number


@pytest.mark.parametrize(
    ("word", "unit", "ours"),
    [
        ("us pint", "pint", "ml"),
        ("imperial pint", "imperial_pint", "ml"),
        ("cl", "centiliter", "ml"),
        ("dl", "deciliter", "ml"),
        ("mg", "milligram", "g"),
    ],
)
def test_unit_ratios_agree_with_pint(word: str, unit: str, ours: str) -> None:
    """pint's registry holds the NIST Handbook 44 and imperial definitions."""
    [row] = [r for r in rows("unit_words.csv") if word in r["words"].split("|")]
    registry = pint.UnitRegistry()
    assert row["unit"] == ours
    assert float(row["best"]) == pytest.approx(registry.Quantity(1, unit).to(ours).m, rel=1e-5)


def test_gas_marks_follow_the_published_rule() -> None:
    """Gas mark 1 is 275 F, each whole mark adds 25 F (published conversion charts)."""
    table = {float(r["mark"]): float(r["fahrenheit"]) for r in rows("gas_marks.csv")}
    assert {m: 275 + 25 * (m - 1) for m in table if m >= 1} == {
        m: f for m, f in table.items() if m >= 1
    }
    assert (table[0.5], table[0.25]) == (250, 225)
