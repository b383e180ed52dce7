"""The steps of a dish as the rows ask for them, worked out once for all rows.

A long note has hundreds of rows and thousands of steps; looking through every step for each row
would grow with the square of the note.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from hobnote.nutrition.phrases import find
from hobnote.nutrition.safe_heat import hot
from hobnote.nutrition.tables import tree
from hobnote.record import Step


class StepIndex:
    """What the steps do, by the ingredients that they name and by part of the dish.

    Built in one pass for one weighing; steps that change later need a new one.
    """

    def __init__(self, steps: Sequence[Step]) -> None:
        table: dict[str, str] = tree("cooking_verbs")["methods"]
        self._last_named: dict[str, int] = {}
        self._hot_names: set[str] = set()
        self._last_hot: dict[str, int] = {}
        self._named: dict[str, list[str]] = defaultdict(list)
        self._whole: dict[str, list[str]] = defaultdict(list)
        self._drained_names: set[str] = set()
        self._drained_parts: set[str] = set()
        for place, step in enumerate(steps):
            names = set(step.ingredients)
            self._last_named.update(dict.fromkeys(names, place))
            if hot(step):
                self._hot_names |= names
                self._last_hot[step.component] = place
            if (method := table.get(step.verb)) is not None:
                for name in names:
                    self._named[name].append(method)
                if not names:
                    self._whole[step.component].append(method)
            if _drains(step):
                self._drained_names |= names
                if not names:
                    self._drained_parts.add(step.component)

    def heated(self, name: str, component: str) -> bool:
        """Whether a step that heats uses the ingredient, or follows in its part of the dish.

        An egg that goes into a batter is named by no later step, but baking the
        batter still cooks it. An ingredient that no step names is heated where its
        part is.
        """
        if name in self._hot_names:
            return True
        return self._last_hot.get(component, -1) >= self._last_named.get(name, 0)

    def methods(self, name: str, component: str) -> list[str]:
        """The methods of the steps that name the food, else of those that name nothing.

        In the order of the steps; the latter do what they do to everything in the part.
        """
        return self._named.get(name) or self._whole.get(component, [])

    def drained(self, name: str, component: str) -> bool:
        """Whether a step pours the water off the food, or off its whole part of the dish."""
        return name in self._drained_names or component in self._drained_parts


def _drains(step: Step) -> bool:
    return step.verb in ("drain", "strain") or bool(find(["drain", "drained"], step.text))
