"""Plans that keep what was asked, and plain words where none can."""

from __future__ import annotations

import random
import sys

import pytest

from hobnote.planning.dishes import Choice, Dish, choose
from hobnote.planning.entry import entry
from hobnote.planning.errors import PlanningError
from hobnote.planning.plan import broken, holds
from hobnote.planning.shortlist import ENOUGH, shortlist
from hobnote.planning.solver import Effort, Infeasible, plan_dishes, plan_week, solve
from hobnote.planning.wishes import Band, Wishes, band
from hobnote.record import Bounds

pytest.importorskip("scipy", reason="SciPy is not installed (extra: plan)")
QUICK = Effort(seconds=20, gap=0.2)


def made(n, kcal, protein, portions=4, share=0.05, **foods):
    figures = {
        key: Bounds(low=best * (1 - share), best=best, high=best * (1 + share))
        for key, best in (("energy_kcal", kcal), ("protein_g", protein))
    }
    return Dish(n, f"dish {n}", portions, figures, foods)


def known(dishes):
    return {dish.id: dish for dish in dishes}


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("2200±100", 2100, 2300),
        ("1,800-2,200", 1800, 2200),
        ("140+", 140, None),
        ("≥ 140", 140, None),
        ("<70", None, 70),
        ("70-", None, 70),
        ("1800 to 2000.5", 1800, 2000.5),
        ("50±80", 0, 130),
    ],
)
def test_bands_as_they_are_written(text, low, high):
    found = band("energy", text)
    assert (found.nutrient, found.low, found.high) == ("energy_kcal", low, high)


@pytest.mark.parametrize(
    ("nutrient", "text"), [("energy", "lots"), ("vigour", "10+"), ("energy", ""), ("energy", "-5")]
)
def test_a_band_that_is_none_is_refused(nutrient, text):
    with pytest.raises(PlanningError):
        band(nutrient, text)


@pytest.mark.parametrize(
    "wrong",
    [
        {"days": 0},
        {"meals": ()},
        {"repeats": 0},
        {"people": 0},
        {"sizes": ()},
        {"meals": ("lunch", "lunch")},
    ],
)
def test_wishes_that_make_no_sense_are_refused(wrong):
    with pytest.raises(PlanningError):
        Wishes(**wrong)


def test_a_plan_holds_over_the_whole_range_where_it_can():
    dishes = [made(n, 500 + 20 * n, 35) for n in range(8)]
    wishes = Wishes(days=3, bands=(Band("energy_kcal", 1000, 1400), Band("protein_g", low=60)))
    plan = plan_dishes(Choice(tuple(dishes), {}), wishes, QUICK)
    assert plan.certain
    assert broken(plan, known(dishes), wishes) == []
    assert all(day["energy_kcal"].low >= 1000 - 1e-6 for day in plan.totals)
    assert all(day["energy_kcal"].high <= 1400 + 1e-6 for day in plan.totals)
    assert set(plan.holds.values()) == {1.0}


def test_a_plan_of_wide_figures_says_how_often_it_holds():
    dishes = [made(n, 600, 35, share=0.3) for n in range(6)]
    wishes = Wishes(days=2, bands=(Band("energy_kcal", 1100, 1300),), sizes=(1.0,))
    plan = plan_dishes(Choice(tuple(dishes), {}), wishes, QUICK)
    assert not plan.certain
    assert broken(plan, known(dishes), wishes) == []
    (share,) = plan.holds.values()
    assert 0.3 < share < 0.9
    assert holds(plan.servings, known(dishes), wishes) == plan.holds


def test_whole_batches_are_cooked():
    dishes = [made(1, 600, 30, portions=5), made(2, 600, 30, portions=4)]
    wishes = Wishes(days=4, meals=("supper",), repeats=4, people=1, sizes=(1.0,))
    plan = solve(dishes, wishes, Effort(gap=0), certain=True)
    assert plan.batches == {2: 1}
    assert plan.left_over == {2: 0}


def test_the_pantry_is_used_up():
    dishes = [made(1, 600, 30), made(2, 600, 30, rice=300.0)]
    wishes = Wishes(days=1, meals=("supper",), pantry={"rice": 200.0}, sizes=(1.0,))
    plan = solve(dishes, wishes, Effort(gap=0), certain=True)
    assert plan.used_up == {"rice": 200.0}
    assert plan.servings[0].dish == 2


def test_a_meal_takes_only_what_suits_it():
    dishes = [made(n, 500, 30) for n in range(1, 7)]
    wishes = Wishes(days=2, meals=("breakfast", "supper"), suits={"breakfast": frozenset({1, 2})})
    plan = solve(dishes, wishes, QUICK, certain=True)
    assert {s.dish for s in plan.servings if s.meal == "breakfast"} <= {1, 2}
    assert broken(plan, known(dishes), wishes) == []


def test_allergens_unknown_figures_and_unsure_foods_keep_recipes_out(shelf):
    entries = [entry(one) for one in shelf.recipes()]
    choice = choose(entries, Wishes(avoid=("milk",)))
    assert [dish.title for dish in choice.dishes] == ["bean chilli", "egg salad"]
    assert choice.left_out["contains or may contain milk"] == ("porridge",)
    assert [dish.title for dish in choose(entries, Wishes()).dishes][-1] == "mystery stew"
    limited = choose(entries, Wishes(bands=(band("energy", "<900"),)))
    assert "mystery stew" not in [dish.title for dish in limited.dishes]
    salt = choose(entries, Wishes(bands=(band("salt", "<6"),)))
    assert salt.dishes == ()
    assert "salt not known" in salt.left_out


def reasons(dishes, **wishes):
    with pytest.raises(Infeasible) as caught:
        plan_dishes(Choice(tuple(dishes), {}), Wishes(**wishes), QUICK)
    return " ".join(caught.value.reasons)


def test_too_few_recipes_are_counted():
    told = reasons([made(1, 500, 30), made(2, 500, 30)], days=7, repeats=2)
    assert "14 meals are wanted from 2 recipes, each at most twice: that makes 4" in told
    assert "Allow each 7 times" in told
    assert "as many different recipes" in reasons([made(1, 500, 30)], days=1)
    assert "no recipe that may be used" in reasons([], days=1)
    bare = reasons(
        [made(1, 500, 30), made(2, 500, 30)],
        days=3,
        meals=("breakfast",),
        suits={"breakfast": frozenset({2})},
    )
    assert "only 1 recipe suits it" in bare


def test_what_is_out_of_reach_is_named_with_the_best_that_can_be_had():
    dishes = [made(n, 500, 20) for n in range(6)]
    told = reasons(dishes, days=2, bands=(band("protein", "140+"),))
    assert "140 g of protein a day is out of reach" in told
    assert "is 60 g" in told  # two meals of 20 g, one and a half portions each
    told = reasons(dishes, days=2, bands=(band("energy", "<500"),))
    assert "the least that 2 meals can bring is 750 kcal" in told


def test_bands_at_odds_say_what_would_help():
    lean, rich = made(1, 300, 60), made(2, 900, 20)
    dishes = [lean, rich, *(made(n, 900, 20) for n in range(3, 8))]
    told = reasons(
        dishes,
        days=3,
        repeats=1,
        sizes=(1.0,),
        bands=(band("energy", "1000-1300"), band("protein", "70+")),
    )
    assert "No plan keeps all of this on every day" in told
    assert "of 3 days" in told
    assert "It would go with" in told


def test_many_recipes_are_searched_by_shortlist():
    chance = random.Random(3)
    dishes = tuple(
        made(n, chance.uniform(250, 900), chance.uniform(15, 60), chance.choice([2, 4]))
        for n in range(150)
    )
    wishes = Wishes(
        days=7,
        meals=("breakfast", "lunch", "supper"),
        repeats=3,
        bands=(Band("energy_kcal", 1900, 2300), Band("protein_g", low=110)),
    )
    few = shortlist(dishes, wishes)
    assert len(few) == max(ENOUGH, 14)
    assert shortlist(dishes, wishes, 1) != few
    plan = plan_dishes(Choice(dishes, {}), wishes, Effort(seconds=9, gap=1.0))
    assert broken(plan, known(dishes), wishes) == []
    assert any("shortlist" in note for note in plan.notes)


def test_a_broken_plan_is_seen():
    from dataclasses import replace

    dishes = [made(n, 500, 30) for n in range(4)]
    wishes = Wishes(days=2, bands=(band("energy", "900-1100"),), sizes=(1.0,))
    plan = solve(dishes, wishes, QUICK, certain=False)
    first = plan.servings[0]
    other = replace(first, size=9, dish=plan.servings[1].dish)
    worse = replace(plan, servings=(other, *plan.servings[1:-1]))
    told = " ".join(broken(worse, known(dishes), wishes))
    for words in ("not every meal", "twice on day 1", "no size", "not cooked often enough"):
        assert words in told
    strict = Wishes(days=2, bands=(band("energy", "1050-1100"),), sizes=(1.0,))
    assert "outside" in " ".join(broken(plan, known(dishes), strict))


def test_a_week_from_records(shelf):
    entries = [entry(one) for one in shelf.recipes()]
    wishes = Wishes(days=2, repeats=2, bands=(band("energy", "700-1200"), band("protein", "30+")))
    plan = plan_week(entries, wishes, QUICK)
    assert len(plan.servings) == 4
    assert any("mystery stew" in note for note in plan.notes)


def test_without_scipy_there_is_one_sentence(monkeypatch):
    monkeypatch.setitem(sys.modules, "scipy.optimize", None)
    with pytest.raises(PlanningError, match=r"hobnote\[plan\]"):
        solve([made(1, 500, 30)], Wishes(days=1, meals=("lunch",)), QUICK, certain=True)
