import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobnote.nutrition.bounds import add, bounds, divide, exact, hull, multiply, ratio, scale
from hobnote.record import Bounds

# no subnormal numbers: no figure of a food is so small, and their products are 0
figure = st.tuples(*[st.floats(0, 1e4, allow_subnormal=False)] * 3).map(
    lambda t: bounds(*sorted(t))
)
live = st.tuples(*[st.floats(0.1, 1e3)] * 3).map(lambda t: bounds(*sorted(t)))


def test_bounds_put_their_ends_in_order_and_keep_best_within() -> None:
    assert bounds(5, 9, 1) == Bounds(low=1, best=5, high=5)


@given(st.lists(figure, min_size=1, max_size=8))
def test_a_sum_is_ordered_and_holds_the_sum_of_bests(figures: list[Bounds]) -> None:
    total = add(figures)
    assert total.low <= total.best <= total.high
    assert total.best == pytest.approx(sum(f.best for f in figures))


@given(figure, live)
def test_dividing_what_was_multiplied_holds_the_first_figure(a: Bounds, b: Bounds) -> None:
    back = divide(multiply(a, b), b)
    assert back.low <= a.low * (1 + 1e-9) and back.high >= a.high * (1 - 1e-9)


def test_scaling_by_a_negative_number_turns_the_ends() -> None:
    assert scale(Bounds(low=1, best=2, high=4), -1) == Bounds(low=-4, best=-2, high=-1)


def test_dividing_by_what_may_be_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="zero"):
        divide(exact(1), Bounds(low=0, best=1, high=2))


def test_a_hull_holds_every_figure() -> None:
    spanned = hull([Bounds(low=2, best=3, high=4), exact(1), exact(9)])
    assert spanned == Bounds(low=1, best=3, high=9)
    with pytest.raises(ValueError, match="no figures"):
        hull([])


@given(st.lists(st.tuples(live, figure), min_size=1, max_size=5), st.randoms())
def test_a_ratio_holds_every_draw(parts: list[tuple[Bounds, Bounds]], rng: random.Random) -> None:
    found = ratio(parts)
    assert found is not None
    for _ in range(20):
        weights = [rng.uniform(w.low, w.high) for w, _ in parts]
        dense = [rng.uniform(d.low, d.high) for _, d in parts]
        mean = sum(w * d for w, d in zip(weights, dense, strict=True)) / sum(weights)
        assert found.low - 1e-6 <= mean <= found.high + 1e-6


def test_a_ratio_of_one_part_is_its_density_whatever_it_weighs() -> None:
    assert ratio([(Bounds(low=1, best=5, high=50), exact(30))]) == exact(30)


def test_the_ratio_of_two_parts_by_hand() -> None:
    # 100 g of 0 and 0-100 g of 90: between 0 and 45, at 50 g 30.
    found = ratio([(exact(100), exact(0)), (Bounds(low=0, best=50, high=100), exact(90))])
    assert found == Bounds(low=0, best=30, high=45)


def test_nothing_weighs_nothing() -> None:
    assert ratio([]) is None
