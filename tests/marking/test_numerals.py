"""Numbers as cooks say and write them, before any unit is looked at."""

from __future__ import annotations

from itertools import pairwise

import pytest
import spacy
from hypothesis import given
from hypothesis import strategies as st

from hobnote.marking.lexing import lex
from hobnote.marking.numerals import numerals, read_number

NLP = spacy.blank("en")


def spans(text: str) -> list[tuple[float, float]]:
    return [(round(n.low, 4), round(n.high, 4)) for n in numerals(NLP.make_doc(text))]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("two hundred and fifty", 250),
        ("two hundred fifty", 250),
        ("a hundred", 100),
        ("hundred", 100),
        ("a hundred and ten", 110),
        ("one thousand two hundred", 1200),
        ("twelve hundred", 1200),
        ("three thousand and five", 3005),
        ("twenty-five", 25),
        ("three fifty", 350),
        ("one eighty", 180),
        ("one twenty five", 125),
        ("one oh five", 105),
        ("two-fifty", 250),
        ("three-thirty", 330),
        ("four-twenty", 420),
        ("one point five", 1.5),
        ("nought point two five", 0.25),
        ("point five", 0.5),
        ("one and a half", 1.5),
        ("two and three quarters", 2.75),
        ("half a dozen", 6),
        ("a dozen", 12),
        ("two dozen", 24),
        ("a dozen and a half", 18),
        ("three quarters", 0.75),
        ("three-fourths", 0.75),
        ("two thirds", 2 / 3),
        ("a third", 1 / 3),
        ("1/2", 0.5),
        ("1⁄2", 0.5),
        ("11⁄2", 1.5),
        ("½", 0.5),
        ("⅓", 1 / 3),
        ("1½", 1.5),
        ("1 ½", 1.5),
        ("1 1/2", 1.5),
        ("1-1/2", 1.5),
        ("1 and 1/2", 1.5),
        ("1,000", 1000),
        ("1 000", 1000),
        ("0,5", 0.5),
        ("1.25", 1.25),
        (".5", 0.5),
        ("2 hundred", 200),
        ("fortyish", 40),
        ("forty ish", 40),
        ("fifty odd", 50),
        ("40-ish", 40),
    ],
)
def test_one_number(text: str, value: float) -> None:
    assert read_number(text) == pytest.approx(value)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("three to four hundred", 300, 400),
        ("two or three hundred", 200, 300),
        ("five or six", 5, 6),
        ("between 5 and 7", 5, 7),
        ("5-10", 5, 10),
        ("8 – 10", 8, 10),
        ("1 -2", 1, 2),
        ("fifteen to twenty", 15, 20),
        ("one and a half to two", 1.5, 2),
        ("half to three quarters", 0.5, 0.75),
        ("5 maybe 6", 5, 6),
        ("ten twelve", 10, 12),
        ("thirty thirty five", 30, 35),
        ("one fifty to two hundred", 150, 200),
        ("1/4-1/2", 0.25, 0.5),
        ("1.5-2", 1.5, 2),
        ("ten, twelve minutes", 10, 12),
        ("a few", 2, 5),
    ],
)
def test_a_range(text: str, low: float, high: float) -> None:
    assert spans(text) == [(low, high)]


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("two 400 gram tins", [(2, 2), (400, 400)]),
        ("2x400g", [(2, 2), (400, 400)]),
        ("10, 20, 30", [(10, 10), (20, 20), (30, 30)]),
        ("10 to 5", [(10, 10), (5, 5)]),
        ("200, no, 250 grams", [(200, 200), (250, 250)]),
        ("one fifty two hundred", [(150, 150), (200, 200)]),
        ("12:30", []),
        ("the 2nd and the 3rd", []),
        ("24/11/2026", []),
        ("on the twenty first", []),
    ],
)
def test_kept_apart(text: str, values: list[tuple[float, float]]) -> None:
    assert spans(text) == values


@pytest.mark.parametrize("text", ["200g", "350ml", "180c/160c", "8–10mins", "1hr20", "½tsp"])
def test_glued_units_are_split_but_keep_their_token(text: str) -> None:
    doc = NLP.make_doc(text)
    words = lex(doc)
    assert all(not (w[0].isdigit() and w[-1].isalpha()) for w in words.text)
    assert set(words.token) <= set(range(len(doc)))
    assert words.token == sorted(words.token)


@given(st.text(max_size=80))
def test_any_text_is_survived_and_numbers_do_not_overlap(text: str) -> None:
    doc = NLP.make_doc(text)
    words, found = lex(doc), numerals(doc)
    assert len(words.text) == len(words.token)
    for first, second in pairwise(found):
        assert first.end <= second.start
    for n in found:
        assert n.low <= n.best <= n.high


@given(st.integers(1, 9999), st.integers(1, 9999))
def test_a_written_range_is_read_when_it_rises_within_reason(a: int, b: int) -> None:
    low, high = sorted((a, b))
    found = spans(f"{low} to {high}")
    rises = low < high <= 12 * low
    hundreds = low < 10 and high % 100 == 0 and low < high
    assert (found == [(low, high)]) == rises or hundreds
