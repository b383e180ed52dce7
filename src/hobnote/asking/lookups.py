"""Look-ups: a figure, where a figure came from, a step, the recipe so far. Nothing changes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache

from hobnote.asking.context import Context, plain_words, singulars
from hobnote.asking.frames import PACKAGE, Frame
from hobnote.asking.heat import step_number
from hobnote.asking.outcomes import Outcome, look, unclear
from hobnote.asking.refusals import words as said
from hobnote.asking.views import component_lines, question_lines, row_line, step_line
from hobnote.following.state import RowState
from hobnote.marking.lexicon import verb_forms
from hobnote.marking.tables import Phrases, rows
from hobnote.nutrition import words
from hobnote.record import Bounds, Ingredient, Record, Step

MACROS = ("energy_kcal", "protein_g", "fat_g", "saturates_g", "carbohydrate_g", "sugars_g",
          "fibre_g", "salt_g")  # fmt: skip
_ASKING = frozenset(
    {"what", "what's", "whats", "how", "how's", "why", "where", "when", "who", "which", "show",
     "list", "tell", "explain", "read", "did", "does", "do", "is", "are", "was", "were", "any",
     "could", "give", "print"}
)  # fmt: skip
_TELLING = frozenset({"show", "list", "tell", "explain", "read", "give", "print"})
_PROPOSING = ("how about we", "how about you", "what if", "why don't", "why not", "what about we")
_BIDDING = ("could you ", "could we ", "would you ")
"""Beginnings of what may be a request ("could you swap …"); a frame decides."""
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
    if text.casefold().startswith(_PROPOSING):
        return False
    return text.rstrip().endswith("?") or _first(text) in _ASKING or text.casefold().startswith(
        "reason for"
    )


def asks(text: str) -> bool:
    """Whether a message begins as questions do."""
    proposes = text.casefold().startswith((*_PROPOSING, *_BIDDING))
    return _first(text) in _ASKING - _TELLING and not proposes


def _first(text: str) -> str:
    """The first word, without what is drawn onto it ("why'd", "where's")."""
    words_ = text.casefold().replace("’", "'").split()
    return words_[0].split("'")[0].strip(",.?") if words_ else ""


def nutrient(context: Context) -> Outcome | None:
    """ "what's the protein?": the figure a portion, of the whole dish or of a food."""
    text = context.text
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
    if not keys or (context.holds_figure(" ".join(rest)) and "100" not in rest):
        return None
    parts = {word for r in context.known.rows.values() for word in r.component.split()}
    if not is_question(text) and set(rest) - said("with a figure") - parts:
        return None
    return look(*_figures(keys, rest, context))


def nutrients_in(text: str) -> list[str]:
    """The keys of the figures that ``text`` names."""
    typed = [w.strip("?,.!").casefold() for w in text.split()]
    hits = (_nutrients().at(typed, n) for n in range(len(typed)))
    return [hit[1] for hit in hits if hit is not None]


def _figures(keys: Sequence[str], rest: Sequence[str], context: Context) -> Iterable[str]:
    record = context.record
    row = _ingredient(" ".join(rest), context)
    nutrition = record.nutrition
    part = next((name for name in nutrition.components if name in rest), None)
    if row is not None:
        figures, what = row.nutrition, f"in the {row.name}"
    elif part is not None:
        figures, what = nutrition.components[part], f"in the {part}"
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
    if not named:
        named = [r for food in foods if food.definite for r in context.headed(food.name)]
    return ingredient_of(named[0], context) if len(named) == 1 else None


def ingredient_of(row: RowState, context: Context) -> Ingredient | None:
    """The weighed record's row for a key."""
    places = {key: place for place, key in context.known.places().items()}
    component, place = places[row.key]
    for part in context.record.components:
        if part.name == component and place < len(part.ingredients):
            return part.ingredients[place]
    return None


def step(frame: Frame, context: Context) -> Outcome | None:
    """ "show me step 3"."""
    number = step_number(frame, context)
    steps = context.record.steps
    if number is None:
        return None
    if not 0 < number <= len(steps):
        return unclear(f"There are {len(steps)} steps.")
    return look(step_line(steps[number - 1]))


def _weight(record: Record) -> str:
    weight = record.nutrition.weight_g
    return f"It weighs {words.grams(weight)} in all." if weight else "The weight is not known."


def _portions(record: Record) -> str:
    if record.portions is None:
        return "How many it serves has not been said."
    return f"It serves {words.span(record.portions, '').strip()}."


def _title(record: Record) -> str:
    return f"It is called {record.title}." if record.title else "It has no name yet."


_FACTS = {"weight": _weight, "portions": _portions, "title": _title}


def view(frame: Frame, context: Context) -> Outcome | None:
    """ "show me the recipe", "what's left?"."""
    record = context.record
    if frame.value in _FACTS:
        return look(_FACTS[frame.value](record))
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


_FREE_OF = frozenset({"vegan", "vegetarian"})


def allergen(frame: Frame, context: Context) -> Outcome | None:
    """ "is it gluten free?", "does it contain nuts?": what the words of the recipe tell."""
    what = " ".join(plain_words(frame.slots["what"]))
    if nutrients_in(what):
        return None
    asked = {what, *singulars(what), *said(f"means {what}")} - _FREE_OF
    found = [
        f"{a.name} ({', '.join(a.ingredients)}): {a.certainty}"
        for a in context.record.allergens
        if asked & {a.name, *a.name.split(), *singulars(a.name)}
    ]
    rows_ = [] if found else context.every_row(what)
    found += [row_line(item) for r in rows_ if (item := ingredient_of(r, context)) is not None]
    if found:
        return look(f"It does hold {what}:", *(f"  {line}" for line in found))
    return look(f"No {what} was found in the words; check every label.")


def asked_about(context: Context) -> Outcome | None:
    """A question without a wording of its own: the rows, parts and steps that it names."""
    typed = [w.strip("?,.!").casefold() for w in context.text.split()]
    record = context.record
    parts = [p for p in record.components if p.name in typed and p.name != "main"]
    named = {verb_forms().get(w) for w in typed} - {None, "cook", "put", "use"}
    rows_ = [r for f in context.foods(context.text) for r in context.every_row(f.name)]
    steps = _steps_asked(context, typed, named, {r.key for r in rows_})
    if steps:
        return look(*map(step_line, steps))
    if rows_:
        items = {r.key: ingredient_of(r, context) for r in rows_}
        return look(*(row_line(item) for item in items.values() if item is not None))
    if parts:
        return look(*(f"  {row_line(row)}" for part in parts for row in part.ingredients))
    return None


def _steps_asked(
    context: Context, typed: list[str], verbs: set[str | None], keys: set[str]
) -> list[Step]:
    """The steps that a question about cooking names by what is done, or by what is in them."""
    timed = bool(said("asks of a step") & set(typed))
    doing = verbs & {step.verb for step in context.record.steps}
    found = []
    for key, item in zip(context.known.steps, context.record.steps, strict=True):
        oven = "oven" in typed and (item.vessel == "oven" or item.temperature_c is not None)
        named = (timed or not keys) and (oven or item.verb in verbs)
        holds = bool(keys & set(context.known.steps[key].ingredients))
        if named or (timed and holds and not doing):
            found.append(item)
    return found
