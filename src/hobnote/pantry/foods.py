"""The composition table: rows are parsed when they are asked for."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from hobnote.pantry.tables import lines, split
from hobnote.pantry.types import Food, HouseholdWeight

_FACTORS = {
    "kcal_protein": "protein_g",
    "kcal_fat": "fat_g",
    "kcal_carbohydrate": "carbohydrate_g",
}
_PLAIN = ("id", "description", "group", "form", "refuse", "source")


class FoodTable:
    """SR28 rows (``foods.csv``) and hand-kept rows (``extra_foods.csv``) by id."""

    def __init__(self) -> None:
        self._lines: dict[str, tuple[list[str], str]] = {}
        for name in ("foods.csv", "extra_foods.csv"):
            head, *body = lines(name)
            keys = split(head)
            self._lines.update((line[: line.index(",")], (keys, line)) for line in body)
        self._weights: dict[str, list[str]] | None = None

    def __contains__(self, food_id: str) -> bool:
        return food_id in self._lines

    def __iter__(self) -> Iterator[str]:
        return iter(self._lines)

    def __len__(self) -> int:
        return len(self._lines)

    def descriptions(self) -> Iterator[tuple[str, str]]:
        """Every id with its description, without parsing the nutrients."""
        for food_id, (_, line) in self._lines.items():
            rest = line[len(food_id) + 1 :]
            if rest.startswith('"'):
                yield food_id, split(line)[1]
            else:
                yield food_id, rest[: rest.index(",")]

    @lru_cache(maxsize=4096)  # noqa: B019  (one table lives as long as the program)
    def get(self, food_id: str) -> Food:
        """The row with this id; KeyError when there is none."""
        keys, line = self._lines[food_id]
        row = dict(zip(keys, split(line), strict=True))
        hand_kept = row.get("source")
        return Food(
            id=food_id,
            description=row["description"],
            group=row["group"],
            nutrients={
                key: float(cell)
                for key, cell in row.items()
                if cell and key not in _PLAIN and key not in _FACTORS
            },
            refuse=float(row.get("refuse") or 0.0),
            weights=self._weights_of(food_id),
            factors={key: float(row[col]) for col, key in _FACTORS.items() if row.get(col)},
            form=row["form"] or None,
            source=hand_kept or f"USDA SR28 {food_id}",
        )

    def _weights_of(self, food_id: str) -> tuple[HouseholdWeight, ...]:
        if self._weights is None:
            self._weights = {}
            for name in ("weights.csv", "extra_weights.csv"):
                for line in lines(name)[1:]:
                    self._weights.setdefault(line[: line.index(",")], []).append(line)
        return tuple(_weight(line) for line in self._weights.get(food_id, ()))


def _weight(line: str) -> HouseholdWeight:
    """One line of a weight file: amount x measure weighs grams; kept per one measure."""
    food_id, amount, measure, grams, *source = split(line)
    each = float(grams) / float(amount)
    return HouseholdWeight(measure, each, source[0] if source else f"USDA SR28 {food_id} WEIGHT")


@lru_cache(maxsize=1)
def food_table() -> FoodTable:
    """The packaged table, read once."""
    return FoodTable()
