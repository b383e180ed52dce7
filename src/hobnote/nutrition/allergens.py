"""Allergens of the EU list of 14 and the US list of 9, with the words that brought each in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from hobnote.nutrition.larder import Larder
from hobnote.nutrition.phrases import find, without
from hobnote.nutrition.tables import tree
from hobnote.nutrition.weighing import Row
from hobnote.record import Allergen

# What one row triggers: by allergen, ("contains" or "may contain", the words).
Triggers = dict[str, tuple[str, list[str]]]


def of_text(text: str) -> Triggers:
    """Allergens that the words of ``text`` imply."""
    return {name: (certainty, list(words)) for name, certainty, words in _of_text(text)}


@lru_cache(maxsize=4096)
def _of_text(text: str) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    data = tree("allergens")
    found = []
    for entry in data["allergen"]:
        name = entry["name"]
        if find(data["free"].get(name, ()), text):
            continue
        clean = without(data["unless"].get(name, ()), text)
        certain = find(entry["words"], clean)
        if certain:
            found.append((name, "contains", tuple(certain)))
        elif doubtful := find(entry["may"], clean):
            found.append((name, "may contain", tuple(doubtful)))
    return tuple(found)


def of_row(row: Row, pantry: Larder) -> Triggers:
    """Allergens of one ingredient: its name first, then the description of a sure match."""
    found = of_text(row.ingredient.name)
    if row.food is not None and row.match.score >= pantry.ASK_BELOW:
        for name, (certainty, words) in of_text(row.food.description).items():
            known = found.get(name)
            if _set_aside(name, row):
                continue
            if known is None or (known[0] == "may contain" and certainty == "contains"):
                found[name] = (certainty, words)
    for name, classes in _of_classes(row, pantry).items():
        if found.get(name, ("", []))[0] != "contains":
            found[name] = ("contains", classes)
    return found


def _set_aside(allergen: str, row: Row) -> bool:
    """Whether the ingredient's own name says that it is not that (coconut yoghurt: no milk)."""
    data, name = tree("allergens"), row.ingredient.name
    said = (*data["unless"].get(allergen, ()), *data["free"].get(allergen, ()))
    return bool(find(said, name))


def _of_classes(row: Row, pantry: Larder) -> dict[str, list[str]]:
    """Allergens by the pantry's class words, with those words."""
    data = tree("allergens")
    classes = pantry.classes(row.food, row.ingredient.name)
    found = {}
    for entry in data["allergen"]:
        held = classes & set(entry.get("classes", ()))
        if not held or classes & set(entry.get("not_classes", ())):
            continue
        if not _set_aside(entry["name"], row):
            found[entry["name"]] = sorted(held)
    return found


def allergens(rows: Sequence[Row], pantry: Larder) -> list[Allergen]:
    """The dish's allergens in the order of the lists.

    Swaps do not count. Optional rows, optional parts and choices not taken
    count as "may contain". What the dish contains for certain is not listed twice.
    """
    found: dict[tuple[str, str], Allergen] = {}
    for row in rows:
        if row.ingredient.swap_for is not None:
            continue
        for name, (certainty, words) in of_row(row, pantry).items():
            _note(found, name, certainty if row.counts else "may contain", row, words)
    regimes = {entry["name"]: list(entry["regimes"]) for entry in tree("allergens")["allergen"]}
    for (name, _), allergen in found.items():
        allergen.regimes = regimes[name]
    certain = {name for name, certainty in found if certainty == "contains"}
    found = {key: a for key, a in found.items() if key[1] == "contains" or key[0] not in certain}
    order = {name: place for place, name in enumerate(regimes)}
    return sorted(found.values(), key=lambda a: (a.certainty, order[a.name]))


def _note(
    found: dict[tuple[str, str], Allergen],
    name: str,
    certainty: str,
    row: Row,
    words: Iterable[str],
) -> None:
    entry = found.setdefault(
        (name, certainty),
        Allergen.model_validate({"name": name, "regimes": [], "certainty": certainty}),
    )
    if row.ingredient.name not in entry.ingredients:
        entry.ingredients.append(row.ingredient.name)
    entry.words.extend(word for word in words if word not in entry.words)


def names(found: Iterable[Allergen], regime: str, certainty: str = "contains") -> list[str]:
    """The names on one regime's list."""
    return [a.name for a in found if regime in a.regimes and a.certainty == certainty]
