"""Names of allergens as people type them; an unknown one is an error, never "all may pass"."""

from __future__ import annotations

from collections.abc import Iterable

from hobnote.nutrition.phrases import find
from hobnote.nutrition.tables import tree
from hobnote.planning.errors import PlanningError


def known_allergens() -> list[str]:
    """The names on the lists of allergens, in their order."""
    return [str(entry["name"]) for entry in tree("allergens")["allergen"]]


def allergens_of(words: Iterable[str]) -> tuple[str, ...]:
    """The allergens that typed words name: "egg" is "eggs", "gluten" the cereals that contain it.

    A word that names an allergen's food ("tahini", "prawn") names its allergen.
    Raises PlanningError for a word that names none.
    """
    found: dict[str, None] = {}
    for word in words:
        named = _named(word.strip().casefold())
        if not named:
            names = ", ".join(known_allergens())
            raise PlanningError(f"{word!r} is no allergen that is known here; there are: {names}")
        found |= dict.fromkeys(named)
    return tuple(found)


def _named(word: str) -> list[str]:
    names = known_allergens()
    exact = [name for name in names if name in (word, f"{word}s")]
    if exact or not word:
        return exact
    within = [name for name in names if find([word], name)]
    if within:
        return within
    return [
        str(entry["name"])
        for entry in tree("allergens")["allergen"]
        if word in {w.casefold() for w in entry["words"]}
    ]
