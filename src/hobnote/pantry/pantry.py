"""The pantry of one locale: names, rows and weights behind one door."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from functools import cache, cached_property
from typing import TYPE_CHECKING

from hobnote.pantry import household, vague, weights, yields
from hobnote.pantry.classes import classes_of
from hobnote.pantry.foods import food_table
from hobnote.pantry.matching import ASK_BELOW, Matcher, without_noise
from hobnote.pantry.measures import factors
from hobnote.pantry.names import NameRow, Names
from hobnote.pantry.tables import lines, split
from hobnote.pantry.types import Food, Match, Weight
from hobnote.pantry.words import kind, plain, pluralised, singularised, tokens

if TYPE_CHECKING:
    from hobnote.record import Amount

Three = tuple[float, float, float]


@cache
def _matcher(measures: str) -> tuple[Names, Matcher]:
    """Names and matcher of a locale; what they have found out is shared by all its pantries."""
    names = Names(measures)
    return names, Matcher(names, food_table())


class Pantry:
    """What foods are called here, which row each is, and what amounts of it weigh.

    ``measures`` is the locale: it decides both the size of cups and spoons and which food a
    name means where British, American and Australian cooks differ.
    """

    ASK_BELOW: float = ASK_BELOW

    def __init__(self, measures: str = "us", own: Iterable[Food] = ()) -> None:
        factors(measures)  # a wrong locale is an error here, not later
        self.measures = measures
        self._table = food_table()
        self._names, self._matcher = _matcher(measures)
        self._own = {food.id: food for food in own}
        self._own_names = {tokens(food.description): food for food in self._own.values()}
        self._vocabulary: Mapping[str, str] | None = None

    def with_own(self, own: Iterable[Food]) -> Pantry:
        """A pantry of the same locale that prefers the cook's own foods."""
        return Pantry(self.measures, own)

    def own_names(self) -> tuple[str, ...]:
        """The plain names of the cook's own foods, singular and plural, in order."""
        names = {plain(food.description) for food in self._own.values()}
        return tuple(sorted(names | {pluralised(name) for name in names}))

    @cached_property
    def edition(self) -> str:
        """Another word for other own foods; empty without any."""
        if not self._own:
            return ""
        text = repr([self._own[id] for id in sorted(self._own)])
        return hashlib.sha256(text.encode()).hexdigest()[:12]

    # --- names ---------------------------------------------------------------------------

    def vocabulary(self) -> Mapping[str, str]:
        """Every surface form a cook might say (lower case) -> its plain singular name."""
        if self._vocabulary is None:
            own = {plain(food.description) for food in self._own.values()}
            many = {pluralised(name): name for name in own}
            self._vocabulary = {**self._names.vocabulary, **many, **{name: name for name in own}}
        return self._vocabulary

    def ambiguous(self) -> frozenset[str]:
        """Surface forms that are also ordinary English words ("date", "roll", "mint")."""
        return frozenset(split(line)[0] for line in lines("ambiguous.csv")[1:])

    def match(
        self, name: str, *, state: str | None = None, preparation: Sequence[str] = ()
    ) -> Match:
        """The composition row that ``name`` means, in the state said.

        Prefers the raw or dry or as-bought row; ``state`` ("cooked", "tinned", "drained",
        "frozen", "dried" ...) picks another. Below ``ASK_BELOW`` the answer is a question.
        """
        if self._own_names:
            words = tokens(name)
            food = self._own_names.get(words) or self._own_names.get(without_noise(words))
            if food is not None:
                return Match(name, food, 1.0, "one of your own foods")
        return self._matcher.match(name, state, preparation)

    def food(self, id: str) -> Food:
        """The row with this id; KeyError when there is none."""
        return self._own[id] if id in self._own else self._table.get(id)

    def classes(self, food: Food | None, name: str) -> frozenset[str]:
        """Classes of a food, such as ``oil fat liquid``, ``salt``, ``leaf herb``, ``meat poultry``.

        The name decides; the row does where the name is not known.
        """
        row = self._row(food, name)
        return classes_of(row, food.group if food is not None else None)

    # --- weights -------------------------------------------------------------------------

    def grams(
        self,
        food: Food | None,
        name: str,
        amount: Amount,
        *,
        preparation: Sequence[str] = (),
        state: str | None = None,
        content_g: Three | None = None,
    ) -> Weight | None:
        """Edible grams of a spoken amount; None when they cannot be known.

        Weights are exact, volumes go through the food's density, counted things through their
        household weights. ``content_g`` is what one counted container holds ("a 400 g tin").
        """
        count = weights.said(amount)
        if count is None:
            return None
        classes, names = self.classes(food, name), self._names_of(food, name)
        unit, size = amount.unit, amount.size
        if unit in ("g", "kg", "oz", "lb"):
            eaten = weights.eaten_of(food, names, plain(name), preparation)
            return weights.by_weight(count, unit, self.measures, eaten)
        if unit is not None and unit != "piece":
            prepared = [*preparation, *([state] if state else []), *name.split()[:-1]]
            said = self._said_names(name)
            return weights.by_volume(
                count, unit, self.measures, food, said, classes, prepared, size
            )
        noun = singularised(plain(amount.noun)) if amount.noun else _noun_in(name)
        found = weights.by_count(count, noun, size, self.measures, food, names, classes, content_g)
        if found is None and noun is not None:
            return self._by_vessel(count, noun, food, name, preparation) or self.vague(
                noun, food, name, size=size, count=count
            )
        return found

    def _by_vessel(
        self, count: Three, noun: str, food: Food | None, name: str, preparation: Sequence[str]
    ) -> Weight | None:
        """Grams of a food measured by a mug and the like, through its density."""
        held = weights.by_vessel(noun)
        if held is None or food is None:
            return None
        low, best, high = (n * ml for n, ml in zip(count, held, strict=True))
        classes, said = self.classes(food, name), self._said_names(name)
        return weights.by_volume(
            (low, best, high), "ml", self.measures, food, said, classes, preparation, None
        )

    def vague(
        self,
        key: str,
        food: Food | None,
        name: str,
        *,
        size: str | None = None,
        count: Three = (1, 1, 1),
    ) -> Weight | None:
        """Grams of a vague measure ("pinch", "glug"), by class of food; always a range."""
        classes, names = self.classes(food, name), self._names_of(food, name)
        own = weights.by_name(count, key, size, self.measures, names)
        return own or vague.weigh(key, classes, size, count)

    def usual(self, food: Food | None, name: str, portions: float | None = None) -> Weight | None:
        """A typical range for an ingredient that was named without any amount."""
        if food is not None and food.id in self._own:
            serving = next((w.grams for w in food.weights if w.measure == "serving"), None)
            if serving is not None:
                return Weight(serving / 2, serving, serving * 3, "usual: one serving of your label")
        return vague.usual(self.classes(food, name), tuple(self._names_of(food, name)), portions)

    def pieces(self, food: Food | None, name: str) -> list[tuple[str, Weight]]:
        """What one piece, tin, bunch ... of a food weighs, from the hand-kept table."""
        return weights.pieces_of(self._names_of(food, name), self.measures)

    def density(self, food: Food) -> float | None:
        """Grams per millilitre from the food's own cup or spoon weight; None without one."""
        options = household.volumes(food)
        if not options:
            return None
        order = ("cup", "fl oz", "tbsp", "tsp")
        first = min(household.choose(options, ()), key=lambda o: order.index(o.unit))
        return first.density

    def edible(self, food: Food, grams: float) -> float:
        """Edible grams of ``grams`` as bought: the food's refuse (peel, core, shell) taken off."""
        return grams * (1 - food.refuse)

    # --- cooking -------------------------------------------------------------------------

    def weight_yield(self, food: Food | None, name: str, method: str) -> yields.Factor | None:
        """Cooked over raw weight by ``method`` ("boiled", "roasted" ...); None where unknown."""
        return yields.weight_yield(self._names_of(food, name), self.classes(food, name), method)

    def retention(
        self, food: Food | None, name: str, method: str, minutes: float | None = None
    ) -> dict[str, yields.Factor]:
        """The share of each nutrient that ``method`` leaves, where a published table says so."""
        return yields.retention(self.classes(food, name), method, minutes)

    def fat_uptake(self, food: Food | None, name: str, method: str) -> yields.Factor | None:
        """Grams of fat taken up per 100 g raw food, "shallow-fried" or "deep-fried"."""
        return yields.fat_uptake(self._names_of(food, name), self.classes(food, name), method)

    def _row(self, food: Food | None, name: str) -> NameRow | None:
        found = self._matcher.find(name)
        if found is not None and (found.score >= ASK_BELOW or food is None):
            return found.row
        return self._names.by_food.get(food.id) if food is not None else None

    def _said_names(self, name: str) -> list[str]:
        """The name as said and the kitchen name that it is understood as."""
        found = self._matcher.find(name) if name else None
        sure = found is not None and found.score >= ASK_BELOW
        return [singularised(plain(name)), *([found.row.name] if found and sure else [])]

    def _names_of(self, food: Food | None, name: str) -> list[str]:
        """The name as said, then what its row is called: for tables that are keyed by name."""
        names = [singularised(plain(name))]
        if row := self._row(food, name):
            own = self._names.by_food.get(food.id) if food is not None else None
            if own is not None and own.name.startswith(row.name) and own is not row:
                names.insert(0, own.name)  # the state or skin that was said has a name of its own
            names.append(row.name)
            base = self._names.by_food.get(row.first)
            if base is not None and base.file == row.file:
                names.append(base.name)
        return list(dict.fromkeys(names))


def _noun_in(name: str) -> str | None:
    """The counted word of a name that holds one: "head of garlic"."""
    head, of, _ = plain(name).partition(" of ")
    noun = singularised(head)
    return noun if of and noun in kind("container") else None
