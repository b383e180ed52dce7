"""Questions about steps: an oven without a temperature, meat without a sign that it is done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from hobnote.nutrition import words
from hobnote.nutrition.drafts import Draft, ask
from hobnote.nutrition.larder import Larder
from hobnote.nutrition.safe_heat import SafeCore, hot, needs_oven, safe_core
from hobnote.nutrition.tables import rule, tree
from hobnote.nutrition.weighing import Row
from hobnote.record import Flag, Nutrition, Range, Record, Step


def step_flags(record: Record, weighed: Sequence[Row], pantry: Larder) -> Iterator[Draft]:
    """Every question that the steps raise."""
    yield from _ovens(record)
    for row in weighed:
        if not row.counts or row.ingredient.state in tree("cooking_verbs")["ready_states"]:
            continue
        if row.food is not None and row.food.form == "cooked":
            continue
        name = row.ingredient.name
        safe = safe_core(pantry.classes(row.food, name), name)
        if safe is not None and safe.celsius is not None:
            yield from _meat(row, safe, safe.celsius, record.steps)


def _ovens(record: Record) -> Iterator[Draft]:
    """Oven steps without a temperature, once for each verb: a later step may carry it."""
    hot = tree("cooking_verbs")["vessels_oven"]
    known = any(
        (needs_oven(s.verb) or s.vessel in hot or s.verb in ("heat", "preheat"))
        and s.temperature_c is not None
        for s in record.steps
    )
    asked: set[str] = set()
    for step in record.steps:
        if known or not needs_oven(step.verb) or step.heat is not None or step.verb in asked:
            continue
        if step.vessel is not None and step.vessel in tree("cooking_verbs")["vessels_hob"]:
            continue
        asked.add(step.verb)
        food = step.ingredients[0] if len(step.ingredients) == 1 else "dish"
        past = tree("cooking_verbs")["past"].get(step.verb, step.verb)
        flag = Flag(
            id="",
            kind="missing temperature",
            ingredient=None,
            question=ask("missing temperature", "oven", verb=past, food=food),
            options=["160 °C", "180 °C", "200 °C", "220 °C"],
            heard=list(step.heard),
        )
        yield Draft(flag)


def _meat(row: Row, safe: SafeCore, celsius: float, steps: Sequence[Step]) -> Iterator[Draft]:
    name = row.ingredient.name
    cooked = [s for s in steps if name in s.ingredients and hot(s)]
    cold = [s.core_c for s in cooked if s.core_c is not None]
    # A spoken figure is whole degrees: 74 °C stands for 73.9, 71 for 71.1, 63 for 62.8.
    if cold and max(cold) < round(celsius):
        text = ask(
            "low temperature",
            food=name,
            first=words.number(max(cold)),
            celsius=words.number(round(celsius)),
            fahrenheit=safe.fahrenheit,
        )
        options = [f"{round(celsius)} °C", f"{words.number(max(cold))} °C"]
        yield Draft(_flag("low temperature", row, text, options, cooked))
    elif cooked and not any(_done(s) for s in (*cooked, *_with_the_rest(cooked[0], steps))):
        text = ask(
            "missing temperature",
            "core",
            food=name,
            celsius=round(celsius),
            fahrenheit=safe.fahrenheit,
        )
        options = [f"{round(celsius)} °C inside", "10 minutes", "20 minutes"]
        yield Draft(_flag("missing temperature", row, text, options, cooked))


def _with_the_rest(first: Step, steps: Sequence[Step]) -> Iterator[Step]:
    """Later steps that cook the whole of the same part: the stew simmers, the meat with it."""
    finishing = tree("cooking_verbs")["finishing"]
    for step in steps:
        later = step.number >= first.number and step.component == first.component
        if later and step.verb in finishing:
            yield step


def _done(step: Step) -> bool:
    return step.minutes is not None or step.until is not None or step.core_c is not None


def _flag(kind: str, row: Row, question: str, options: list[str], steps: list[Step]) -> Flag:
    return Flag(
        id="",
        kind=kind,
        ingredient=row.ingredient.name,
        question=question,
        options=options,
        heard=list(steps[-1].heard or row.ingredient.heard),
    )


def most_portions(record: Record, nutrition: Nutrition) -> float:
    """The most portions that the dish may make: as said, else by what a plate of food carries."""
    if record.portions is not None:
        return record.portions.high
    energy = nutrition.total.get("energy_kcal")
    plates = energy.best / rule("portion_kcal", "low") if energy else 0.0
    return max(rule("unknown_portions"), plates)


def portions_flag(record: Record, nutrition: Nutrition) -> Iterator[Draft]:
    """Ask how many the dish feeds; the effect is what a portion could be."""
    if record.portions is not None or not record.components:
        return
    energy = nutrition.total.get("energy_kcal")
    if energy is None or energy.best <= 0:
        yield Draft(_portions("is not known yet", None, ["1", "2", "4", "6"]))
        return
    most = max(1, round(energy.best / rule("portion_kcal", "low")))
    least = max(1, min(most, round(energy.best / rule("portion_kcal", "high"))))
    middle = (least + most) // 2
    options = list(dict.fromkeys(str(n) for n in (least, middle, most)))
    if len(options) < 2:
        options.append(str(most + 1))
    effect = Range(low=round(energy.best / int(options[-1]), 4), high=round(energy.best / least, 4))
    yield Draft(_portions(words.kcal(energy), effect, options))


def _portions(total: str, effect: Range | None, options: list[str]) -> Flag:
    return Flag(
        id="",
        kind="missing portions",
        question=ask("missing portions", kcal=total),
        effect_kcal=effect,
        options=options,
    )
