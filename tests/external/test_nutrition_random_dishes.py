"""Laws that must hold over random dishes of real rows (USDA SR28, with their own energy factors).

Energy: FAO Food and Nutrition Paper 77, chapter 3: a food's energy is the sum of its
macronutrients times its factors; the factors are those of SR28 FOOD_DES.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hobnote.nutrition import make, to_portions, weigh, what_if
from hobnote.nutrition.profile import own_energy
from hobnote.pantry.foods import food_table
from hobnote.pantry.types import Food, Match, Weight
from hobnote.record import Amount, Bounds, Component, Ingredient, Record

RUNS = settings(
    max_examples=1000, deadline=None, suppress_health_check=[HealthCheck.too_slow], database=None
)
FEW = settings(RUNS, max_examples=150)


def slack(food: Food) -> float:
    """How far a row's published energy may be from its own factors: 5 % or 5 kcal per 100 g."""
    return max(0.05 * food.nutrients["energy_kcal"], 5.0)


@cache
def ids() -> list[str]:
    """Rows that carry energy factors of their own: three in four of the table.

    The few whose published energy SR28 did not compute with them are left out;
    there may be no more than five.
    """
    table = food_table()
    foods = [table.get(id) for id in table]
    own = [f for f in foods if f is not None and f.factors and "energy_kcal" in f.nutrients]
    kept = [f for f in own if abs((own_energy(f) or 0) - f.nutrients["energy_kcal"]) <= slack(f)]
    assert len(own) - len(kept) <= 5
    return [f.id for f in kept]


class ById:
    """A pantry in which a name is an NDB number and every amount is in grams."""

    ASK_BELOW = 0.5

    def match(self, name: str, **_: Any) -> Match:
        return Match(name, food_table().get(name), 1.0, "by number")

    def grams(self, food: Any, name: str, amount: Amount, **_: Any) -> Weight | None:
        assert amount.low is not None and amount.best is not None and amount.high is not None
        return Weight(amount.low, amount.best, amount.high, "scale")

    def vague(self, key: str, food: Any, name: str, **_: Any) -> Weight | None:
        return Weight(5, 15, 25, "vague")

    def usual(self, food: Any, name: str, portions: float | None = None) -> Weight | None:
        return Weight(1, 10, 30, "usual")

    def food(self, id: str) -> Food | None:
        return food_table().get(id)

    def classes(self, food: Any, name: str) -> frozenset[str]:
        return frozenset()


@st.composite
def amounts(draw: st.DrawFn) -> Amount:
    kind = draw(st.sampled_from(["exact", "range", "vague", "unsaid"]))
    if kind == "unsaid":
        return Amount()
    if kind == "vague":
        return Amount(low=1, best=1, high=1, basis="vague", noun="glug")
    grams = sorted(draw(st.tuples(*[st.integers(5, 600)] * 3)))
    low, best, high = (grams[1],) * 3 if kind == "exact" else grams
    return Amount(low=low, best=best, high=high, unit="g", basis="weighed")


@st.composite
def dishes(draw: st.DrawFn, swap: bool = False) -> Record:
    names = draw(st.lists(st.sampled_from(ids()), min_size=2, max_size=12, unique=True))
    rows = [Ingredient(name=name, amount=draw(amounts())) for name in names]
    if swap:
        rows[-1] = rows[-1].model_copy(update={"swap_for": names[0]})
    cut = draw(st.integers(0, len(rows)))
    portions = draw(st.one_of(st.none(), st.integers(1, 12)))
    shares = None if portions is None else Bounds(low=portions, best=portions, high=portions)
    parts = [Component(ingredients=rows[:cut]), Component(name="sauce", ingredients=rows[cut:])]
    return Record(portions=shares, components=parts)


@RUNS
@given(dishes())
def test_energy_order_and_sums(record: Record) -> None:
    out = weigh(record, ById())
    n = out.nutrition
    rows = [row for part in out.components for row in part.ingredients]
    # Energy from the macronutrients, by each row's own factors.
    by_factors = allowed = 0.0
    for row in rows:
        food = food_table().get(row.name)
        energy = own_energy(food)
        assert food is not None and row.grams is not None and energy is not None
        by_factors += energy * row.grams.best / 100
        allowed += slack(food) * row.grams.best / 100
    assert n.total["energy_kcal"].best == pytest.approx(by_factors, abs=allowed + 0.1)
    # Bounds are ordered, the likely band lies within them.
    for figures in (n.total, n.per_portion or {}, n.per_100g or {}, *n.components.values()):
        assert all(f.low <= f.best <= f.high for f in figures.values())
    for key, band in n.likely.items():
        hard = n.total[key]
        assert hard.low - 1e-3 <= band.low <= band.high <= hard.high + 1e-3
    # The total is the sum of its components, and of its rows.
    for key, figure in n.total.items():
        parts = [part[key] for part in n.components.values() if key in part]
        for end in ("low", "best", "high"):
            whole = getattr(figure, end)
            assert whole == pytest.approx(sum(getattr(p, end) for p in parts), abs=2e-3)
    # A portion is a share, and 100 g lie between the thinnest and the densest row.
    if n.per_portion is not None and out.portions is not None:
        share = n.total["energy_kcal"].best / out.portions.best
        assert n.per_portion["energy_kcal"].best == pytest.approx(share, abs=1e-3)
    assert n.per_100g is not None
    densities = [food_table().get(row.name).nutrients["energy_kcal"] for row in rows]
    assert min(densities) - 1 <= n.per_100g["energy_kcal"].low
    assert n.per_100g["energy_kcal"].high <= max(densities) + 1
    # Questions come dearest first.
    widths = [f.effect_kcal.high - f.effect_kcal.low if f.effect_kcal else 0.0 for f in out.flags]
    assert widths == sorted(widths, reverse=True)


@FEW
@given(dishes(swap=True))
def test_swapping_back_restores_the_dish(record: Record) -> None:
    pantry = ById()
    before = weigh(record, pantry)
    change = next(c for c in what_if(before, pantry) if c.kind == "swap")
    made = make(before, change, pantry)
    back = next(c for c in what_if(made, pantry) if c.kind == "swap")
    assert back.name == change.instead_of
    restored = make(made, back, pantry)
    assert restored.nutrition == before.nutrition
    assert restored.components == before.components
    for key, difference in change.difference.items():
        if key in made.nutrition.total and key in before.nutrition.total:
            moved = made.nutrition.total[key].best - before.nutrition.total[key].best
            assert difference.best == pytest.approx(moved, abs=1e-2)


@FEW
@given(dishes(), st.integers(1, 40))
def test_scaling_keeps_the_portion(record: Record, portions: int) -> None:
    if record.portions is None:
        return
    pantry = ById()
    before = weigh(record, pantry)
    after = to_portions(before, portions, pantry)
    for key, figure in (before.nutrition.per_portion or {}).items():
        assert after.nutrition.per_portion is not None
        scaled = after.nutrition.per_portion[key].best
        assert scaled == pytest.approx(figure.best, rel=1e-3, abs=0.01)


@FEW
@given(dishes())
def test_weighing_again_changes_nothing(record: Record) -> None:
    once = weigh(record, ById())
    assert weigh(once, ById()) == once


def test_the_table_s_rows_follow_their_own_factors() -> None:
    """The premise: published energy against macronutrients x own factors, row by row."""
    table = food_table()
    odd = []
    for id in ids():
        food = table.get(id)
        energy = own_energy(food)
        if energy is None:
            continue
        if food.nutrients["energy_kcal"] != pytest.approx(energy, rel=0.05, abs=5):
            odd.append(id)
    assert len(odd) <= 0.01 * len(ids())
