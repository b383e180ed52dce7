"""How sure a match is that was not simply known."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobnote.pantry import open_pantry
from hobnote.pantry.sureness import AFTER, BEFORE, Signs, changes, sure

UK = open_pantry("uk")
WAYS = ("stripped", "core", "class", "order", "inside", "preposition", "respelt", "fuzzy")


@given(st.sampled_from(WAYS), st.integers(0, 5), st.floats(0, 1), st.integers(0, 3), st.booleans())
def test_what_speaks_against_a_match_never_makes_it_surer(way, after, share, slips, known):
    signs = Signs(way, after=after, changes=share, slips=slips, letters=8, known=known)
    worse = Signs(way, after=after, changes=1.0, slips=slips, letters=8, known=known, rich=True)
    assert 0 < sure(worse) <= sure(signs) < 1


def test_words_that_make_another_food_are_told_from_those_that_do_not():
    assert changes([("chopped", BEFORE, True)]) < 0.1
    assert changes([("stick", AFTER, True)]) > changes([("sliced", BEFORE, True)])
    assert changes([("never-heard", BEFORE, False)]) == pytest.approx(0.5)
    assert changes([]) == 0


@pytest.mark.parametrize(
    ("surer", "less"),
    [
        ("sliced bread", "bread sauce jar"),
        ("brocolli florets", "toffeee apple coating"),
        ("finely chopped red onion", "red onion marmalade tart"),
        ("spagetti", "flathed bred"),
    ],
)
def test_noise_is_surer_than_another_food(surer, less):
    assert UK.match(surer).score > UK.match(less).score


@pytest.mark.parametrize("name", ["sauce", "spread", "paste"])
def test_a_word_for_many_foods_that_differ_is_a_question(name):
    assert UK.match(name).score < UK.ASK_BELOW
