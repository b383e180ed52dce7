"""Worded claims ("high protein", "low fat") against EU 1924/2006 and the FDA's conditions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from hobnote.nutrition import words
from hobnote.nutrition.bounds import add, bounds, divide, scale
from hobnote.nutrition.phrases import find
from hobnote.nutrition.profile import eu_energy
from hobnote.nutrition.tables import energy_factors, nutrients, rows, rule, tree
from hobnote.record import Bounds, Nutrition, StatedClaim

Rule = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Known:
    """A claim as the law words it, with its rules."""

    id: str
    rules: tuple[Rule, ...]


@cache
def known_claims() -> tuple[tuple[str, Known], ...]:
    """(phrase, claim) pairs, longest phrase first."""
    pairs = [
        (phrase, Known(entry["id"], tuple(entry["rule"])))
        for entry in tree("claims")["claim"]
        for phrase in entry["words"]
    ]
    pairs += _micronutrients()
    return tuple(sorted(pairs, key=lambda pair: -len(pair[0])))


def _micronutrients() -> list[tuple[str, Known]]:
    data = tree("claims")["micronutrient"]
    values = {row["nutrient"]: row for row in rows("daily_values")}
    macros = {n.key for n in nutrients().values() if n.unit in ("g", "kcal", "kJ")}
    pairs = []
    for nutrient in nutrients().values():
        row = values.get(nutrient.key)
        if row is None or nutrient.key in macros or nutrient.key in ("sodium_mg", "cholesterol_mg"):
            continue
        for high in (True, False):
            known = _micronutrient(nutrient.key, nutrient.name.split(" (")[0], row, high)
            for start in data["high_words" if high else "source_words"]:
                pairs.append((f"{start} {nutrient.name.split(' (')[0].lower()}", known))
    return pairs


def _micronutrient(key: str, name: str, row: Mapping[str, str], high: bool) -> Known:
    data = tree("claims")["micronutrient"]
    found: list[Rule] = []
    if row["eu"]:
        share = data["eu_share"] * (data["eu_high_times"] if high else 1)
        limit = float(row["eu"]) * share / 100
        title = f"EU 1924/2006 Annex, {'high' if high else 'source of'} {name}"
        needs = [{"nutrient": key, "of": "100g", "at_least": limit}]
        found.append({"regime": "EU", "name": title, "needs": needs})
    if row["fda"]:
        share = data["us_high"] if high else data["us_source"]
        title = f"21 CFR 101.54({'b' if high else 'c'}), {'high' if high else 'good source'}"
        needs = [{"nutrient": key, "of": "daily value", "at_least": share}]
        found.append({"regime": "US", "name": title, "needs": needs})
    return Known(f"{'high' if high else 'source of'} {name}", tuple(found))


def recognise(text: str) -> Known | None:
    """The claim in ``text``, by its longest known phrase; hyphens read as spaces."""
    plain = " ".join(text.lower().replace("-", " ").split())
    fits = (known for phrase, known in known_claims() if phrase in plain and find([phrase], plain))
    return next(fits, None)


def judge_words(
    stated: Sequence[StatedClaim], nutrition: Nutrition, portions: Bounds | None
) -> list[StatedClaim]:
    """Each claim judged by each regime that knows it, one entry a rule.

    ``met`` follows the best figures; the reason says where open figures reach
    the other side. It is None where a figure is missing or the rule needs a
    product to compare with.
    """
    result: list[StatedClaim] = []
    seen: set[tuple[str, tuple[int, ...]]] = set()
    for claim in stated:
        key = claim.claim, tuple(heard.start for heard in claim.heard)
        if key in seen:
            continue
        seen.add(key)
        known = recognise(claim.claim)
        if known is None:
            reason = "no rule of EU 1924/2006 or 21 CFR 101 is known for it"
            result.append(claim.model_copy(update={"rule": "none", "met": None, "reason": reason}))
            continue
        for rule_ in known.rules:
            met, reason = judge(rule_, nutrition, portions)
            result.append(
                claim.model_copy(update={"rule": rule_["name"], "met": met, "reason": reason})
            )
    return result


def judge(rule_: Rule, nutrition: Nutrition, portions: Bounds | None) -> tuple[bool | None, str]:
    """Whether the dish meets one rule, and why."""
    if "open" in rule_:
        return None, rule_["open"]
    if nutrition.missing:
        return None, f"not in the sum: {', '.join(nutrition.missing)}"
    needs, note = rule_["needs"], ""
    if rule_["regime"] == "US":
        weight = nutrition.weight_g
        meal = False
        if weight is not None and portions is not None and portions.low > 0:
            meal = weight.best / portions.best >= rule("meal_g")
        if meal and "meal" in rule_:
            needs, note = rule_["meal"], "judged as a main dish"
        elif any(need["of"] in ("portion", "daily value") for need in needs):
            note = "the portion taken as the reference amount"
    outcomes = []
    texts = []
    for need in needs:
        figure = figure_of(need, nutrition)
        if isinstance(figure, str):
            return None, figure
        outcomes.append(_test(need, figure))
        texts.append(_text(need, figure))
    join = any if rule_.get("join") == "any" else all
    best = join(outcome[1] for outcome in outcomes)
    ends = [join(outcome[0] for outcome in outcomes), join(outcome[2] for outcome in outcomes)]
    reason = "; ".join([*texts, *([note] if note else [])])
    if any(end != best for end in ends):
        reason += "; the open amounts could turn it"
    return best, reason


def figure_of(need: Mapping[str, Any], nutrition: Nutrition) -> Bounds | str:
    """The figure that a condition looks at, or why there is none."""
    of, key = need["of"], need["nutrient"]
    figures = nutrition.per_portion if of in ("portion", "daily value") else nutrition.per_100g
    if figures is None:
        portion = of in ("portion", "daily value")
        return "the number of portions is not known" if portion else "nothing could be computed"
    if key == "saturates_and_trans_g":
        parts = [figures[k] for k in ("saturates_g", "trans_fat_g") if k in figures]
        # Trans fat is blank in much of the table; saturates alone then decide, as a lower bound.
        if "saturates_g" not in figures:
            return "saturates are not known"
        figure = add(parts)
    elif key in figures:
        figure = figures[key]
    else:
        return f"{nutrients()[key].name} is not known"
    if of == "daily value":
        value = next(float(r["fda"]) for r in rows("daily_values") if r["nutrient"] == key)
        return scale(figure, 100 / value)
    if of in ("energy share", "100kcal"):
        return _per_energy(of, key, figure, figures)
    return figure


def _per_energy(of: str, key: str, figure: Bounds, figures: Mapping[str, Bounds]) -> Bounds | str:
    """Per 100 kcal, or the share of energy in %; energy by the EU's factors where they apply."""
    by_law = eu_energy(figures)
    energy = by_law[0] if by_law else figures.get("energy_kcal")
    if energy is None or energy.low <= 0:
        return "the energy is not known"
    factors = energy_factors("EU")
    fat = ("fat_g", "saturates_g", "saturates_and_trans_g")
    factor = factors["fat_g"][0] if key in fat else factors.get(key, (1.0, None))[0]
    times = 100.0 * (factor if of == "energy share" else 1.0)
    # A nutrient and the energy that it brings rise together: take the ends as paired.
    ends = sorted(times * f / e for f, e in ((figure.low, energy.low), (figure.high, energy.high)))
    best = times * figure.best / energy.best
    wide = divide(scale(figure, times), energy)
    return bounds(max(min(ends[0], best), wide.low), best, min(max(ends[1], best), wide.high))


def _test(need: Mapping[str, Any], figure: Bounds) -> tuple[bool, bool, bool]:
    return _holds(need, figure.low), _holds(need, figure.best), _holds(need, figure.high)


def _holds(need: Mapping[str, Any], value: float) -> bool:
    """A condition at one figure; a hair of float noise does not decide."""
    hair = 1e-9
    if "at_most" in need:
        return value <= float(need["at_most"]) + hair
    if "below" in need:
        return value < float(need["below"]) - hair
    return value >= float(need["at_least"]) - hair


def _text(need: Mapping[str, Any], figure: Bounds) -> str:
    """``"protein is 24 % of energy (at least 20)"``."""
    key, of = need["nutrient"], need["of"]
    name, unit = "saturates and trans fat", "g"
    if key in nutrients():
        name, unit = nutrients()[key].name, nutrients()[key].unit
    base = {
        "100g": f"{unit} per 100 g",
        "100kcal": f"{unit} per 100 kcal",
        "portion": f"{unit} a portion",
        "energy share": "% of energy",
        "daily value": "% of the daily value a portion",
    }[of]
    side = next(k for k in ("at_most", "below", "at_least") if k in need)
    limit = f"{side.replace('_', ' ')} {words.number(float(need[side]))}"
    return f"{name} is {words.number(figure.best)} {base} ({limit})"


__all__ = ["Known", "judge", "judge_words", "known_claims", "recognise"]
