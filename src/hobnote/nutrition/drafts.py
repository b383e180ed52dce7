"""A flag in the making, and the order in which flags are asked about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hobnote.nutrition.tables import rule, tree
from hobnote.record import Bounds, Flag, Ingredient, Range


@dataclass(slots=True)
class Draft:
    """A flag without its number. ``row`` is the ingredient that it belongs to, if any.

    ``settles`` says that an answer fixes the row's weight or food, so its band closes.
    """

    flag: Flag
    row: Ingredient | None = None
    settles: bool = False

    def weight(self) -> tuple[float, float]:
        """What an answer pins down: kcal first, then mg of sodium."""
        energy, sodium = self.flag.effect_kcal, self.flag.effect_sodium_mg
        if energy is None and self.flag.kind in ("unmatched food", "missing amount"):
            kcal = rule("unknown_weight_kcal")
        else:
            kcal = energy.high - energy.low if energy else 0.0
        return kcal, sodium.high - sodium.low if sodium else 0.0


def ask(kind: str, form: str = "question", **words: object) -> str:
    """The question's text from ``data/questions.toml``."""
    text: str = tree("questions")[kind][form]
    return text.format_map(words)


def number(drafts: Sequence[Draft]) -> list[Flag]:
    """The flags, dearest first, numbered f1, f2 ...; each row learns its flags' numbers."""
    ordered = sorted(drafts, key=lambda d: tuple(-x for x in d.weight()))
    flags = []
    for place, draft in enumerate(ordered, start=1):
        draft.flag.id = f"f{place}"
        flags.append(draft.flag)
        if draft.row is not None:
            draft.row.flags.append(draft.flag.id)
    return flags


def as_range(figure: Bounds | None) -> Range | None:
    return None if figure is None else Range(low=figure.low, high=figure.high)


def effect(row: Ingredient) -> tuple[Range | None, Range | None]:
    """The energy (kcal) and sodium (mg) that the row may hold."""
    return as_range(row.nutrition.get("energy_kcal")), as_range(row.nutrition.get("sodium_mg"))
