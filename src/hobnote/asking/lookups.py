"""Look-ups: a figure, where a figure came from, a step, the recipe so far. Nothing changes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache

from hobnote.asking.context import Context, plain_words
from hobnote.asking.frames import PACKAGE, Frame
from hobnote.asking.heat import step_number
from hobnote.asking.outcomes import Outcome, look, unclear
from hobnote.asking.views import amount_words, component_lines, question_lines, step_line
from hobnote.following.state import RowState
from hobnote.marking.marks import AMOUNT
from hobnote.marking.tables import Phrases, rows
from hobnote.nutrition import words
from hobnote.record import Bounds, Heard, Ingredient

MACROS = ("energy_kcal", "protein_g", "fat_g", "saturates_g", "carbohydrate_g", "sugars_g",
          "fibre_g", "salt_g")  # fmt: skip
_ASKING = frozenset(
    {"what", "what's", "whats", "how", "how's", "why", "where", "when", "who", "which", "show",
     "list", "tell", "explain", "read", "did", "does", "do", "is", "are", "was", "were", "any",
     "could", "give", "print"}
)  # fmt: skip
_TELLING = frozenset({"show", "list", "tell", "explain", "read", "give", "print"})
_WHOLE = frozenset({"whole", "total", "all", "batch", "dish", "altogether", "overall", "pot"})


@cache
def _nutrients() -> Phrases[str]:
    return Phrases(
        (phrase, row["key"])
        for row in rows("nutrients.csv", PACKAGE)
        for phrase in row["words"].split("|")
    )


@cache
def _labels() -> dict[str, str]:
    return {row["key"]: row["words"].split("|")[0] for row in rows("nutrients.csv", PACKAGE)}


def is_question(text: str) -> bool:
    """Whether a message asks rather than tells."""
    first = text.casefold().split()[:1]
    return text.rstrip().endswith("?") or (bool(first) and first[0] in _ASKING)


def asks(text: str) -> bool:
    """Whether a message begins as questions do."""
    first = text.casefold().split()[:1]
    return bool(first) and first[0] in _ASKING - _TELLING


def nutrient(context: Context) -> Outcome | None:
    """ "what's the protein?": the figure a portion, of the whole dish or of a food."""
    text = context.text
    if not is_question(text) and text.casefold().split()[:1] != ["and"]:
        return None
    typed = [w.strip("?,.!").casefold() for w in text.split()]
    keys: list[str] = []
    rest: list[str] = []
    i = 0
    while i < len(typed):
        hit = _nutrients().at(typed, i)
        if hit is None:
            rest.append(typed[i])
            i += 1
        else:
            keys.append(hit[1])
            i = hit[0]
    if not keys or (context.holds_amount(" ".join(rest)) and "100" not in rest):
        return None
    return look(*_figures(keys, rest, context))


def _figures(keys: Sequence[str], rest: Sequence[str], context: Context) -> Iterable[str]:
    record = context.record
    row = _ingredient(" ".join(rest), context)
    nutrition = record.nutrition
    if row is not None:
        figures, what = row.nutrition, f"in the {row.name}"
    elif "100" in rest and nutrition.per_100g:
        figures, what = nutrition.per_100g, "per 100 g"
    elif nutrition.per_portion and not _WHOLE & set(rest):
        figures, what = nutrition.per_portion, "a portion"
    else:
        figures, what = nutrition.total, "in the whole dish"
    for key in keys:
        yield f"{_figure(key, figures)} {what}."
    if nutrition.missing and row is None:
        yield f"Not counted: {', '.join(nutrition.missing)}."


def _figure(key: str, figures: dict[str, Bounds]) -> str:
    found, label = figures.get(key), _labels()[key]
    unit = key.rsplit("_", 1)[1].replace("kj", "kJ")
    if found is None:
        return f"{label.capitalize()}: not known"
    best = words.number(found.best)
    range_ = words.span(found, unit, 5 if unit in ("kcal", "kJ") else 0)
    name = "Energy" if key.startswith("energy") else label.capitalize()
    return f"{name}: {best} {unit} ({range_})" if "-" in range_ else f"{name}: {range_}"


def _ingredient(text: str, context: Context) -> Ingredient | None:
    foods = context.foods(text)
    named = context.rows_named(text) if foods or plain_words(text)[-1:] else []
    plain = set(plain_words(text))
    named = [r for r in named if foods or set(r.name.split()) & plain]
    return ingredient_of(named[0], context) if len(named) == 1 else None


def ingredient_of(row: RowState, context: Context) -> Ingredient | None:
    """The weighed record's row for a key."""
    places = {key: place for place, key in context.known.places().items()}
    component, place = places[row.key]
    for part in context.record.components:
        if part.name == component and place < len(part.ingredients):
            return part.ingredients[place]
    return None


def why(frame: Frame, context: Context) -> Outcome | None:
    """ "why 30 grams?": the words that a figure came from."""
    about = frame.slots.get("about")
    if about is None:
        question = context.asked
        if question is None:
            return unclear("Ask, for example: why 30 grams? what did I say about the butter?")
        row = context.row(question.key)
        lines = [question.text]
        item = ingredient_of(row, context) if row is not None else None
        if item is not None:
            lines += _explained(item)
        return look(*lines)
    named = bool(context.foods(about)) or not _amounts(about, context)
    rows_ = context.rows_named(about) if named else []
    found = [ingredient_of(r, context) for r in rows_]
    if not found:
        found = list(_of_amount(about, context))
    lines = [line for item in found if item is not None for line in _explained(item)]
    return look(*lines) if lines else None


def _amounts(text: str, context: Context) -> list[tuple[float, str | None, str | None]]:
    return [
        (m.value.best, m.value.unit, m.value.noun)
        for _, _, m in context.marks(text, AMOUNT)
        if not m.value.article and m.value.vague is None
    ]


def _of_amount(text: str, context: Context) -> Iterable[Ingredient]:
    """The rows whose amount or weight is the one in ``text``."""
    for best, unit, noun in _amounts(text, context):
        for part in context.record.components:
            for row in part.ingredients:
                a = row.amount
                said = a.best == best and (a.unit == unit or (unit is None)) and (
                    noun is None or a.noun == noun
                )
                weighed = unit == "g" and row.grams is not None and (
                    abs(row.grams.best - best) < 0.5
                )
                if said or weighed:
                    yield row


def _explained(row: Ingredient) -> list[str]:
    grams = f", {words.grams(row.grams)}" if row.grams is not None else ""
    source = f" ({row.weight_source})" if row.weight_source else ""
    lines = [f"{row.name}: {amount_words(row.amount)}{grams}{source}."]
    lines += [f"  You said{_moment(h)}: “{' '.join(h.text.split())}”" for h in _once(row.heard)]
    return lines


def _moment(heard: Heard) -> str:
    if heard.at is None:
        return ""
    return f" at {int(heard.at) // 60}:{int(heard.at) % 60:02d}"


def _once(heard: Sequence[Heard]) -> list[Heard]:
    found: dict[str, Heard] = {}
    for h in heard:
        found.setdefault(" ".join(h.text.split()).casefold(), h)
    return list(found.values())


def step(frame: Frame, context: Context) -> Outcome | None:
    """ "show me step 3"."""
    number = step_number(frame, context)
    steps = context.record.steps
    if number is None:
        return None
    if not 0 < number <= len(steps):
        return unclear(f"There are {len(steps)} steps.")
    return look(step_line(steps[number - 1]))


def view(frame: Frame, context: Context) -> Outcome | None:
    """ "show me the recipe", "what's left?"."""
    record = context.record
    if frame.value == "questions":
        return look(*question_lines(context.questions))
    if frame.value == "ingredients":
        return look(*component_lines(record))
    if frame.value == "swaps":
        swaps = [
            f"{row.name} instead of {row.swap_for}"
            for part in record.components
            for row in part.ingredients
            if row.swap_for
        ]
        return look(*(swaps or ["No swaps were said."]))
    if frame.value == "steps":
        return look(*(map(step_line, record.steps)) if record.steps else ["No steps yet."])
    if frame.value == "allergens":
        found = [f"{a.name} ({', '.join(a.ingredients)}): {a.certainty}" for a in record.allergens]
        return look(*(found or ["No allergen was found in the words; check every label."]))
    if frame.value == "nutrition":
        return look(*_figures(MACROS, [], context))
    if frame.value == "recipe":
        lines = [record.title or "untitled dish", *component_lines(record)]
        return look(*lines, *map(step_line, record.steps), *_figures(MACROS[:2], [], context))
    return None
