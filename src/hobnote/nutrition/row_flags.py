"""Questions about one ingredient row: amount, food, word, measure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from hobnote.nutrition import words
from hobnote.nutrition.bounds import scale
from hobnote.nutrition.drafts import Draft, ask, effect
from hobnote.nutrition.frying import is_uptake
from hobnote.nutrition.larder import Larder
from hobnote.nutrition.profile import profile
from hobnote.nutrition.tables import rows, rule, tree
from hobnote.nutrition.weighing import Row
from hobnote.pantry.types import Food
from hobnote.record import Amount, Bounds, Flag, Ingredient, Range, Record


def row_flags(row: Row, pantry: Larder, record: Record, portions: float) -> Iterator[Draft]:
    """Every question that the row raises; ``portions`` is the most that the dish may make."""
    if row.food is None:
        yield _unmatched(row)
    elif row.match.score < pantry.ASK_BELOW:
        yield _unsure(row)
    elif row.match.generic:
        yield from _generic(row)
    if is_uptake(row.ingredient):
        yield _left_in_the_pan(row)
        return
    basis = row.ingredient.amount.basis
    if basis == "vague" and row.grams is not None:
        yield _vague(row, record)
    elif row.food is not None and (row.grams is None or (basis == "unsaid" and not _borrowed(row))):
        yield _missing(row, record)
    if row.second is not None:
        yield from _disagree(row)
    yield from _unlikely(row, pantry, portions)


def _borrowed(row: Row) -> bool:
    """A swap without an amount takes the weight of what it replaces: nothing to ask."""
    return row.ingredient.swap_for is not None and row.grams is not None


def where(ingredient: Ingredient, component: str, record: Record) -> str:
    """``"into the pan"`` where a step says so, else ``"into the dressing"`` or ``"in"``."""
    never = tree("cooking_verbs")["vessels_not_named"]
    for step in record.steps:
        if ingredient.name in step.ingredients and step.vessel and step.vessel not in never:
            return f"into the {step.vessel}"
    return "in" if component == "main" else f"into the {component}"


def _flag(row: Row, kind: str, question: str, **more: object) -> Flag:
    energy, sodium = effect(row.ingredient)
    given: dict[str, object] = {
        "id": "",
        "kind": kind,
        "ingredient": row.ingredient.name,
        "question": question,
        "effect_kcal": energy,
        "effect_sodium_mg": sodium,
        "heard": list(row.ingredient.heard),
    }
    return Flag.model_validate(given | more)


def weights_as_options(grams: Bounds) -> list[str]:
    """Low, best and high as short answers."""
    texts = [f"{words.number(g)} g" for g in (grams.low, grams.best, grams.high) if g >= 0.05]
    return list(dict.fromkeys(texts))


def _vague(row: Row, record: Record) -> Draft:
    assert row.grams is not None
    energy, sodium = effect(row.ingredient)
    amount = row.ingredient.amount
    question = ask(
        "vague amount",
        food=row.ingredient.name,
        where=where(row.ingredient, row.component, record),
        said=amount.said or amount.noun or "some",
        grams=words.grams(row.grams),
        kcal=words.worth(energy, sodium),
    )
    flag = _flag(row, "vague amount", question, options=weights_as_options(row.grams))
    return Draft(flag, row.ingredient, settles=True)


def _left_in_the_pan(row: Row) -> Draft:
    """Oil to fry in: how much of it was eaten is known only by weighing what is left."""
    assert row.grams is not None
    amount = row.ingredient.amount
    vague = amount.basis in ("vague", "unsaid")
    text = ask(
        "frying oil",
        "without" if vague else "question",
        food=row.ingredient.name,
        said=amount.said or f"{words.number(amount.best or 0)} {amount.unit or ''}".strip(),
        grams=words.grams(row.grams),
        kcal=words.worth(*effect(row.ingredient)),
    )
    flag = _flag(row, "frying oil", text, options=weights_as_options(row.grams))
    return Draft(flag, row.ingredient, settles=True)


def _missing(row: Row, record: Record) -> Draft:
    place = where(row.ingredient, row.component, record)
    if row.grams is None:
        text = ask("missing amount", "without", food=row.ingredient.name, where=place)
        return Draft(
            _flag(row, "missing amount", text, options=list(tree("questions")["fallback_options"])),
            row.ingredient,
        )
    energy, sodium = effect(row.ingredient)
    text = ask(
        "missing amount",
        food=row.ingredient.name,
        where=place,
        grams=words.grams(row.grams),
        kcal=words.worth(energy, sodium),
    )
    options = weights_as_options(row.grams)
    return Draft(_flag(row, "missing amount", text, options=options), row.ingredient, settles=True)


def _unmatched(row: Row) -> Draft:
    top = rule("densest_kcal_per_g")
    limit = None if row.grams is None else Range(low=0.0, high=round(row.grams.high * top, 4))
    flag = _flag(
        row,
        "unmatched food",
        ask("unmatched food", food=row.ingredient.name),
        effect_kcal=limit,
        effect_sodium_mg=None,
        options=_names(food for food, _ in row.match.runners_up),
    )
    return Draft(flag, row.ingredient)


def _names(foods: Iterable[Food], most: int = 4) -> list[str]:
    return list(dict.fromkeys(words.food(food.description) for food in foods))[:most]


def _unsure(row: Row) -> Draft:
    assert row.food is not None
    foods = [row.food, *(food for food, _ in row.match.runners_up[:3])]
    flag = _flag(
        row,
        "unsure food",
        ask("unsure food", food=row.ingredient.name, first=words.food(row.food.description)),
        effect_kcal=_span(foods, row, "energy_kcal"),
        effect_sodium_mg=_span(foods, row, "sodium_mg"),
        suggestion=words.food(row.food.description),
        options=_names(foods),
    )
    return Draft(flag, row.ingredient)


def _generic(row: Row) -> Iterator[Draft]:
    """Ask which kind it was, where the kinds differ enough to matter."""
    assert row.food is not None
    foods = [row.food, *row.match.alternatives]
    energy, sodium = _span(foods, row, "energy_kcal"), _span(foods, row, "sodium_mg")
    dear = energy is not None and energy.high - energy.low >= rule("generic_kcal")
    salty = sodium is not None and sodium.high - sodium.low >= rule("generic_sodium_mg")
    if not dear and not salty:
        return
    text = ask(
        "generic food", food=row.ingredient.name, kcal=words.worth(energy if dear else None, sodium)
    )
    flag = _flag(
        row,
        "generic food",
        text,
        effect_kcal=energy,
        effect_sodium_mg=sodium,
        options=_names(foods),
    )
    yield Draft(flag, row.ingredient, settles=True)


def _span(foods: Iterable[Food], row: Row, key: str) -> Range | None:
    """What ``row.grams.best`` of each food holds, low to high; None without a weight."""
    if row.grams is None:
        return None
    found = [p[key].best for p in map(profile, foods) if key in p]
    if not found:
        return None
    by = row.grams.best / 100
    return Range(low=round(min(found) * by, 4), high=round(max(found) * by, 4))


def _disagree(row: Row) -> Iterator[Draft]:
    """Two measures of one thing, more than the allowed share apart."""
    second, grams = row.second, row.grams
    first, also = row.ingredient.amount, row.ingredient.also
    assert second is not None and grams is not None and also is not None
    apart = abs(second.best - grams.best)
    if apart <= rule("disagree_share") * max(min(second.best, grams.best), 1e-9):
        return
    texts = [_said(first, grams.best), _said(also, second.best)]
    density = row.profile.get("energy_kcal"), row.profile.get("sodium_mg")
    low, high = min(second.best, grams.best) / 100, max(second.best, grams.best) / 100
    energy, sodium = (
        None if d is None else Range(low=round(d.best * low, 4), high=round(d.best * high, 4))
        for d in density
    )
    text = ask(
        "measures disagree",
        food=row.ingredient.name,
        first=texts[0],
        second=texts[1],
        grams=f"{words.number(apart)} g",
    )
    flag = _flag(
        row,
        "measures disagree",
        text,
        effect_kcal=energy,
        effect_sodium_mg=sodium,
        options=[words.number(grams.best) + " g", words.number(second.best) + " g"],
    )
    yield Draft(flag, row.ingredient, settles=True)


def _said(amount: Amount, grams: float) -> str:
    unit = "kcal" if amount.basis == "energy" else amount.unit or amount.noun or ""
    own = f"{words.number(amount.best or 0)} {unit}".strip()
    return own if amount.unit == "g" else f"{own} ({words.number(grams)} g)"


def _unlikely(row: Row, pantry: Larder, portions: float) -> Iterator[Draft]:
    """More in a portion than anyone puts in: the figure was probably misheard."""
    if row.grams is None or row.ingredient.amount.basis in ("vague", "unsaid") or portions <= 0:
        return
    share = row.grams.low / portions
    classes = pantry.classes(row.food, row.ingredient.name)
    for limit in rows("portion_limits"):
        most = float(limit["max_g"])
        if limit["class"] not in classes or share <= most:
            continue
        said = _said(row.ingredient.amount, row.grams.best)
        text = ask(
            "unlikely amount",
            food=row.ingredient.name,
            grams=f"{words.number(share)} g",
            said=said,
        )
        fit = row.grams.best * most / share
        low = [scale(f, most / share).best if f else None for f in _pair(row)]
        energy, sodium = (
            None if a is None or b is None else Range(low=a, high=b.best)
            for a, b in zip(low, _pair(row), strict=True)
        )
        options = [said, f"{words.number(row.grams.best / 10)} g", f"{words.number(fit)} g"]
        flag = _flag(
            row,
            "unlikely amount",
            text,
            effect_kcal=energy,
            effect_sodium_mg=sodium,
            options=list(dict.fromkeys(options)),
        )
        yield Draft(flag, row.ingredient)
        return


def _pair(row: Row) -> tuple[Bounds | None, Bounds | None]:
    n = row.ingredient.nutrition
    return n.get("energy_kcal"), n.get("sodium_mg")


def misheard(flag: Flag, weighed: Iterable[Row], pantry: Larder) -> Draft:
    """A flag that the marks made, with its effect: the heard food against the suggested one.

    The row is the one named by the flag, by the heard or by the suggested word.
    A word that is no food at all counts as nothing eaten.
    """
    heard, meant = flag.heard_word, flag.suggestion
    names = {flag.ingredient, heard, meant} - {None}
    row = next((r for r in weighed if r.ingredient.name in names), None)
    changed: dict[str, object] = {"id": ""}
    if not flag.options:
        changed["options"] = [word for word in (meant, heard) if word]
    if row is not None and row.grams is not None and heard and meant:
        foods = [pantry.match(word).food for word in (heard, meant)]
        for key, name in (("energy_kcal", "effect_kcal"), ("sodium_mg", "effect_sodium_mg")):
            changed[name] = _between(foods, key, row.grams.best)
    return Draft(flag.model_copy(update=changed), row.ingredient if row else None)


def _between(foods: Sequence[Food | None], key: str, grams: float) -> Range | None:
    """The figure for ``grams`` of each food; None where none is a food or one is unknown."""
    known = [food for food in foods if food is not None]
    if not known or any(key not in food.nutrients for food in known):
        return None
    figures = [0.0 if food is None else food.nutrients[key] * grams / 100 for food in foods]
    return Range(low=round(min(figures), 4), high=round(max(figures), 4))
