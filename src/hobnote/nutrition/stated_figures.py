"""The figures that the cook stated, held against the computed band and against each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from hobnote.nutrition import words
from hobnote.nutrition.bounds import bounds, scale
from hobnote.nutrition.drafts import Draft, ask
from hobnote.nutrition.tables import energy_factors, rule
from hobnote.record import Bounds, Claim, Flag, Nutrition, Range, Record

KEYS = {
    "energy": "energy_kcal",
    "protein": "protein_g",
    "fat": "fat_g",
    "carbohydrate": "carbohydrate_g",
    "fibre": "fibre_g",
}
PORTION = ("portion", "serving", "per portion")
WHOLE = ("total", "dish", "whole dish", "recipe", "batch")


def judge_figures(record: Record, nutrition: Nutrition) -> list[Claim]:
    """Each claim with ``computed``, ``verdict`` and ``reason`` filled in."""
    judged = [_judge(claim, record, nutrition) for claim in record.claims]
    return [_own_sum(claim, judged) for claim in judged]


def _figures(scope: str, record: Record, nutrition: Nutrition) -> dict[str, Bounds] | str:
    """The computed figures for a claim's scope, or why there are none."""
    if scope in PORTION:
        return nutrition.per_portion or "the number of portions is not known"
    if scope in WHOLE:
        return nutrition.total or "nothing of the dish could be computed"
    if scope.replace(" ", "") in ("100g", "per100g"):
        return nutrition.per_100g or "nothing of the dish could be computed"
    for held in (nutrition.components, nutrition.optional):
        if scope in held:
            return held[scope]
    for component in record.components:
        for row in component.ingredients:
            if row.name == scope and row.nutrition:
                return row.nutrition
    return f"there is no part called '{scope}'"


def _judge(claim: Claim, record: Record, nutrition: Nutrition) -> Claim:
    figures = _figures(claim.scope, record, nutrition)
    if isinstance(figures, str):
        return _verdict(claim, None, "cannot be checked", figures)
    found = _computed(claim, figures)
    if found is None:
        return _verdict(claim, None, "cannot be checked", f"{claim.nutrient} is not known")
    apart = _apart(claim, found)
    if nutrition.missing and claim.scope in (*PORTION, *WHOLE, "100 g", "100g"):
        without = ", ".join(nutrition.missing)
        # A gap only adds: a claim below what is already counted is wrong whatever the gap holds.
        if apart >= 0 or "100" in claim.scope:
            reason = f"not in the sum: {without}"
            return _verdict(claim, found, "cannot be checked", reason)
    if apart == 0:
        return _verdict(claim, found, "agrees", None)
    more = "above" if apart > 0 else "below"
    nearest = found.high if apart > 0 else found.low
    share = f" ({abs(apart) / nearest:.0%})" if nearest else ""
    reason = f"stated {words.number(abs(apart))} {claim.unit} {more} the computed band{share}"
    return _verdict(claim, found, "differs", reason)


def _verdict(claim: Claim, found: Bounds | None, verdict: str, reason: str | None) -> Claim:
    return claim.model_copy(update={"computed": found, "verdict": verdict, "reason": reason})


def _computed(claim: Claim, figures: dict[str, Bounds]) -> Bounds | None:
    """The computed figure in the claim's unit.

    A carbohydrate claim is read in whichever sense lies nearer, total (US) or
    without fibre (EU): a cook does not say which.
    """
    if claim.unit == "kJ" and "energy_kcal" in figures:
        return scale(figures["energy_kcal"], rule("kj_per_kcal"))
    if claim.nutrient == "carbohydrate" and "available_carbohydrate_g" in figures:
        both = [figures[k] for k in ("carbohydrate_g", "available_carbohydrate_g") if k in figures]
        return min(both, key=lambda figure: abs(_apart(claim, figure)))
    return figures.get(KEYS[claim.nutrient])


def _apart(claim: Claim, found: Bounds) -> float:
    """How far the claim lies above (+) or below (-) the band; 0 within it and its tolerance."""
    slack = rule("claim_slack_g") if claim.unit == "g" else rule("claim_slack_kcal")
    slack *= rule("kj_per_kcal") if claim.unit == "kJ" else 1.0
    allowed = max(slack, rule("claim_tolerance") * found.best)
    if claim.low > found.high + allowed:
        return claim.low - found.high
    if claim.high < found.low - allowed:
        return claim.high - found.low
    return 0.0


def energy_of_macros(claims: Sequence[Claim]) -> Bounds | None:
    """kcal by 4/9/4 from stated protein, fat and carbohydrate, None unless all three are stated."""
    factors = energy_factors("Atwater general")
    found: dict[str, Claim] = {c.nutrient: c for c in claims if c.unit == "g"}
    macros = ("protein", "fat", "carbohydrate")
    if any(macro not in found for macro in macros):
        return None
    low = high = 0.0
    for macro in macros:
        per_g, _ = factors[KEYS[macro]]
        low += found[macro].low * per_g
        high += found[macro].high * per_g
    return bounds(low, (low + high) / 2, high)


def _own_sum(claim: Claim, claims: Sequence[Claim]) -> Claim:
    """Add to an energy claim's reason where the stated macros give another energy."""
    if claim.nutrient != "energy":
        return claim
    sum_ = energy_of_macros([c for c in claims if c.scope == claim.scope])
    if sum_ is None:
        return claim
    if claim.unit == "kJ":
        sum_ = scale(sum_, rule("kj_per_kcal"))
    if _apart(claim, sum_) == 0:
        return claim
    own = f"the stated protein, fat and carbohydrate make {words.span(sum_, claim.unit, 5)}"
    reason = own if claim.reason is None else f"{claim.reason}; {own}"
    return claim.model_copy(update={"reason": reason})


def figure_flags(claims: Sequence[Claim]) -> Iterator[Draft]:
    """A question for each claim that differs."""
    factors = energy_factors("Atwater general")
    for claim in claims:
        if claim.verdict != "differs" or claim.computed is None:
            continue
        stated = words.span(Range(low=claim.low, high=claim.high), claim.unit)
        found = words.span(claim.computed, claim.unit, 5 if claim.unit != "g" else 0)
        scope = "a portion" if claim.scope in PORTION else f"for the {claim.scope}"
        text = ask(
            "claim differs",
            first=stated,
            nutrient="" if claim.nutrient == "energy" else claim.nutrient,
            scope=scope,
            second=found,
        ).replace("  ", " ")
        per_unit = 1.0 / rule("kj_per_kcal") if claim.unit == "kJ" else 1.0
        if claim.unit == "g":
            per_unit = factors.get(KEYS[claim.nutrient], (0.0, None))[0]
        ends = (claim.low, claim.high, claim.computed.best)
        effect = Range(low=round(min(ends) * per_unit, 4), high=round(max(ends) * per_unit, 4))
        yield Draft(
            Flag(
                id="",
                kind="claim differs",
                question=text,
                effect_kcal=effect if per_unit else None,
                options=[stated, found],
                heard=list(claim.heard),
            )
        )
