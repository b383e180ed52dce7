"""Comparing sounds: a comparison that is given up early is never one that mattered."""

from __future__ import annotations

from math import inf

from hypothesis import given
from hypothesis import strategies as st

from hobnote.marking import sounds

SAID = st.lists(st.sampled_from(sounds.PHONEMES), max_size=7).map(
    lambda found: sounds.encode(" ".join(found))
)


@given(SAID, SAID)
def test_a_distance_is_the_same_both_ways_and_none_from_itself(a: str, b: str) -> None:
    assert abs(sounds.distance(a, b) - sounds.distance(b, a)) < 1e-9
    assert sounds.distance(a, a) == 0


@given(SAID, SAID, st.floats(0, 8))
def test_giving_up_early_loses_nothing_within_the_bound(a: str, b: str, most: float) -> None:
    whole, cut = sounds.distance(a, b), sounds.distance(a, b, most)
    assert cut in (whole, inf)
    if whole <= most:
        assert cut == whole


@given(SAID, SAID, st.floats(0, 1))
def test_a_likeness_of_at_least_what_is_asked_is_exact(a: str, b: str, least: float) -> None:
    whole = sounds.likeness(a, b)
    if whole >= least:
        assert sounds.likeness(a, b, least) == whole
