"""The week solver: a mixed-integer programme for HiGHS, through ``scipy.optimize.milp``.

Variables: serve dish r in a group of like meals g at size s (binary); batches
of r (whole); grams of the pantry used; how far each day is from the middle of
the energy band. SciPy is an extra: ``pip install hobnote[plan]``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import ceil, inf
from typing import Any

from hobnote.planning.dishes import Choice, Dish, choose
from hobnote.planning.entry import PlanEntry
from hobnote.planning.errors import PlanningError
from hobnote.planning.plan import Plan, Serving, build, energy_middle
from hobnote.planning.shortlist import shortlist
from hobnote.planning.tables import rules
from hobnote.planning.wishes import Band, Wishes

_HAIR = 1e-4
MISSING = "planning needs SciPy: pip install 'hobnote[plan]'"


class Infeasible(PlanningError):
    """No plan keeps every wish. ``reasons`` say why, in plain words."""

    def __init__(self, reasons: Sequence[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__(" ".join(self.reasons))


class OutOfTime(PlanningError):
    """No plan was found in the time allowed; there may be one."""

    def __init__(self, seconds: float) -> None:
        super().__init__(
            f"no plan was found within {seconds:g} seconds; allow more time or more repeats"
        )


@dataclass(frozen=True, slots=True)
class Effort:
    """How long to search (seconds) and how near to the best is near enough.

    ``gap`` is a share of one unit of cost (a leftover portion) a meal: 0.05
    stops within a portion of the best week of 21 meals. 0 proves the best.
    """

    seconds: float = 20.0
    gap: float = 0.05


def plan_week(entries: Iterable[PlanEntry], wishes: Wishes, effort: Effort | None = None) -> Plan:
    """The plan that keeps every wish and costs least.

    First the bands are asked to hold over the whole range of every figure; where
    no such plan exists, for the likeliest figures, and the plan says how often it
    would not hold. Raises Infeasible with the reasons where neither exists.
    """
    choice = choose(entries, wishes)
    return plan_dishes(choice, wishes, effort or Effort())


def plan_dishes(choice: Choice, wishes: Wishes, effort: Effort) -> Plan:
    """As ``plan_week``, from dishes that were chosen already."""
    from hobnote.planning.why import reasons, too_few

    simple = too_few(choice, wishes)
    if simple:
        raise Infeasible(simple)
    found = None
    for certain in (True, False) if wishes.bands else (True,):
        found = _search(choice.dishes, wishes, effort, certain=certain)
        if found is not None:
            break
    if found is None:
        raise Infeasible(reasons(choice, wishes, effort))
    notes = [
        f"Not used: {', '.join(titles)} ({reason})." for reason, titles in choice.left_out.items()
    ]
    return replace(found, notes=(*found.notes, *notes))


def _search(
    dishes: Sequence[Dish], wishes: Wishes, effort: Effort, *, certain: bool
) -> Plan | None:
    """A plan from two shortlists, then from all dishes; None where there is none.

    Asked for certainty, a search that runs out of time counts as having found none.
    """
    part = replace(effort, seconds=effort.seconds / 3)
    for turn in range(2):
        few = shortlist(dishes, wishes, turn)
        if len(few) == len(dishes):
            break
        try:
            found = solve(few, wishes, part, certain=certain)
        except OutOfTime:
            continue
        if found is not None:
            note = f"Chosen from a shortlist of {len(few)} of {len(dishes)} recipes."
            return replace(found, gap=inf, notes=(note,))
    try:
        return solve(dishes, wishes, effort, certain=certain)
    except OutOfTime:
        if certain and wishes.bands:
            return None
        raise


@dataclass(slots=True)
class Programme:
    """A programme being written: costs, bounds, kinds, and rows of (coefficients, low, high)."""

    cost: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[int] = field(default_factory=list)
    rows: list[tuple[dict[int, float], float, float]] = field(default_factory=list)

    def variable(self, cost: float, upper: float, whole: bool) -> int:
        """A new variable from 0 to ``upper``; gives its place."""
        self.cost.append(cost)
        self.upper.append(upper)
        self.whole.append(int(whole))
        return len(self.cost) - 1

    def row(self, terms: Mapping[int, float], low: float = -inf, high: float = inf) -> None:
        """A constraint low <= sum of terms <= high."""
        self.rows.append((dict(terms), low, high))

    def run(self, effort: Effort) -> tuple[list[float] | None, float, bool]:
        """(values or None, gap, whether the search was complete)."""
        try:
            import numpy as np
            from scipy.optimize import Bounds as Limits
            from scipy.optimize import LinearConstraint, milp
            from scipy.sparse import coo_array
        except ImportError:
            raise PlanningError(MISSING) from None
        places: list[tuple[int, int, float]] = [
            (n, column, value)
            for n, (terms, _, _) in enumerate(self.rows)
            for column, value in terms.items()
        ]
        lines, columns, values = zip(*places, strict=True)
        shape = (len(self.rows), len(self.cost))
        matrix = coo_array((values, (lines, columns)), shape=shape).tocsr()
        lows, highs = [low for _, low, _ in self.rows], [high for _, _, high in self.rows]
        # A fixed cost of one a meal makes HiGHS's relative gap mean the same for every week.
        found: Any = milp(
            np.array(self.cost),
            integrality=np.array(self.whole),
            bounds=Limits(np.zeros(len(self.cost)), np.array(self.upper)),
            constraints=LinearConstraint(matrix, lows, highs),
            options={"time_limit": effort.seconds, "mip_rel_gap": effort.gap},
        )
        if found.x is None:
            # Status 2 is proved; 1 and 4 mean that time ran out before anything was found.
            return None, inf, found.status == 2
        return [float(v) for v in found.x], float(found.mip_gap or 0.0), found.status == 0


@dataclass(slots=True)
class Model:
    """A programme with the meaning of its variables."""

    programme: Programme
    serve: dict[tuple[int, int, int], int]
    groups: list[tuple[int, tuple[str, ...]]]


def model(
    dishes: Sequence[Dish],
    wishes: Wishes,
    *,
    certain: bool,
    slack: Mapping[tuple[int, str], float] | None = None,
) -> Model:
    """The programme of a week.

    ``slack`` gives a price for each unit by which a band's end ("low" or
    "high", by the band's place) may be missed; without it the ends hold.
    """
    prices, written = rules()["cost"], Programme()
    fixed = written.variable(float(wishes.days * len(wishes.meals)), 1, False)
    written.row({fixed: 1.0}, 1, 1)
    groups = _groups(wishes)
    serve: dict[tuple[int, int, int], int] = {}
    left = 0.0 if slack else float(prices["leftover_portion"])
    for r, dish in enumerate(dishes):
        for g, (_, meals) in enumerate(groups):
            if all(dish.id in wishes.suits.get(meal, (dish.id,)) for meal in meals):
                for s, size in enumerate(wishes.sizes):
                    place = written.variable(-left * size * wishes.people, 1, True)
                    serve[r, g, s] = place
    whole = Model(written, serve, groups)
    _meals(whole, dishes, wishes)
    _batches(whole, dishes, wishes, left, 0.0 if slack else float(prices["pantry_100g"]))
    _bands(whole, dishes, wishes, certain, slack)
    middle = energy_middle(wishes.bands)
    if middle is not None and not slack:
        _near(whole, dishes, wishes, middle, float(prices["off_100_kcal"]) / 100)
    return whole


def _groups(wishes: Wishes) -> list[tuple[int, tuple[str, ...]]]:
    """Meals of a day that any dish suits are one group: who comes first makes no difference."""
    free = tuple(meal for meal in wishes.meals if meal not in wishes.suits)
    bound = [(meal,) for meal in wishes.meals if meal in wishes.suits]
    return [
        (day, meals)
        for day in range(1, wishes.days + 1)
        for meals in [*([free] if free else []), *bound]
    ]


def _meals(whole: Model, dishes: Sequence[Dish], wishes: Wishes) -> None:
    """Every meal has one dish; no dish too often, nor twice a day."""
    by_group: dict[int, dict[int, float]] = {}
    by_day: dict[tuple[int, int], dict[int, float]] = {}
    by_dish: dict[int, dict[int, float]] = {}
    for (r, g, _), place in whole.serve.items():
        by_group.setdefault(g, {})[place] = 1
        by_day.setdefault((r, whole.groups[g][0]), {})[place] = 1
        by_dish.setdefault(r, {})[place] = 1
    for g, (_, meals) in enumerate(whole.groups):
        whole.programme.row(by_group.get(g, {}), len(meals), len(meals))
    for terms in by_day.values():
        whole.programme.row(terms, high=1)
    for terms in by_dish.values():
        whole.programme.row(terms, high=wishes.repeats)


def _batches(
    whole: Model, dishes: Sequence[Dish], wishes: Wishes, left: float, pantry: float
) -> None:
    """Whole batches make at least what is eaten; the pantry is used up as far as they do."""
    made: list[int] = []
    eaten: list[dict[int, float]] = [{} for _ in dishes]
    for (r, _, s), place in whole.serve.items():
        eaten[r][place] = -wishes.sizes[s] * wishes.people
    for r, dish in enumerate(dishes):
        most = ceil(wishes.repeats * max(wishes.sizes) * wishes.people / dish.portions)
        made.append(whole.programme.variable(left * dish.portions, most, True))
        # Less than a batch is left: nothing is cooked only to empty the pantry.
        whole.programme.row(
            {made[r]: dish.portions, **eaten[r]}, low=0, high=dish.portions * (1 - _HAIR)
        )
    if not pantry:
        return
    for word, have in wishes.pantry.items():
        used = whole.programme.variable(pantry / 100, have, False)
        grams = {made[r]: -dish.foods[word] for r, dish in enumerate(dishes) if word in dish.foods}
        whole.programme.row({used: 1.0, **grams}, high=0)


def _bands(
    whole: Model,
    dishes: Sequence[Dish],
    wishes: Wishes,
    certain: bool,
    slack: Mapping[tuple[int, str], float] | None,
) -> None:
    for n, limit in enumerate(wishes.bands):
        for day in range(1, wishes.days + 1):
            for side, end in (("low", limit.low), ("high", limit.high)):
                if end is None:
                    continue
                terms = day_terms(whole, dishes, wishes, day, limit, side if certain else "best")
                if slack is not None:
                    spare = whole.programme.variable(slack[n, side], inf, False)
                    terms[spare] = 1.0 if side == "low" else -1.0
                if side == "low":
                    whole.programme.row(terms, low=end)
                else:
                    whole.programme.row(terms, high=end)


def day_terms(
    whole: Model, dishes: Sequence[Dish], wishes: Wishes, day: int, limit: Band, end: str
) -> dict[int, float]:
    """A day's sum of a nutrient at one end of its range."""
    return {
        place: float(getattr(dishes[r].figures[limit.nutrient], end)) * wishes.sizes[s]
        for (r, g, s), place in whole.serve.items()
        if whole.groups[g][0] == day
    }


def _near(
    whole: Model, dishes: Sequence[Dish], wishes: Wishes, middle: float, price: float
) -> None:
    energy = Band("energy_kcal", middle, middle)
    for day in range(1, wishes.days + 1):
        off = whole.programme.variable(price, inf, False)
        terms = day_terms(whole, dishes, wishes, day, energy, "best")
        whole.programme.row({**terms, off: 1.0}, low=middle)
        whole.programme.row({**terms, off: -1.0}, high=middle)


def solve(dishes: Sequence[Dish], wishes: Wishes, effort: Effort, *, certain: bool) -> Plan | None:
    """The cheapest plan, or None where there is none.

    Raises OutOfTime where the time ran out before any plan was found.
    """
    whole = model(dishes, wishes, certain=certain)
    values, gap, complete = whole.programme.run(effort)
    if values is None:
        if complete:
            return None
        raise OutOfTime(effort.seconds)
    plan = build(
        servings(whole, values, dishes, wishes),
        {dish.id: dish for dish in dishes},
        wishes,
        certain=certain,
    )
    return replace(plan, gap=0.0 if complete and not effort.gap else gap)


def servings(
    whole: Model, values: Sequence[float], dishes: Sequence[Dish], wishes: Wishes
) -> list[Serving]:
    """The servings that a solution stands for; within a group the largest meal comes last."""
    chosen: dict[int, list[tuple[float, Dish, float]]] = {}
    for (r, g, s), place in whole.serve.items():
        if values[place] > 0.5:
            dish, size = dishes[r], wishes.sizes[s]
            energy = dish.figures.get("energy_kcal")
            chosen.setdefault(g, []).append((energy.best * size if energy else 0.0, dish, size))
    found = []
    for g, (day, meals) in enumerate(whole.groups):
        picked = sorted(chosen.get(g, []), key=lambda one: (one[0], one[1].id))
        for meal, (_, dish, size) in zip(meals, picked, strict=True):
            found.append(Serving(day, meal, dish.id, dish.title, size))
    order = {meal: n for n, meal in enumerate(wishes.meals)}
    return sorted(found, key=lambda one: (one.day, order[one.meal]))
