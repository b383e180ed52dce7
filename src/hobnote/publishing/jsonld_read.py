"""Reading schema.org Recipes back: our own without loss of what is printed, others as far as
their lines are plain. Nothing is weighed here; ``hobnote.nutrition.weigh`` does that."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

from pydantic import ValidationError

from hobnote.publishing.durations import from_iso
from hobnote.publishing.errors import PublishingError
from hobnote.publishing.lines import number_at, read_line
from hobnote.publishing.tables import rows
from hobnote.record import (
    Allergen,
    Amount,
    Bounds,
    Caution,
    Component,
    Flag,
    FoodRef,
    Heard,
    Ingredient,
    Nutrition,
    Range,
    Record,
    Step,
)

Thing = dict[str, Any]
_LIMIT = 2000  # more rows or steps than this is no recipe


def from_json_ld(text: str) -> Record:
    """The Recipe of a JSON-LD document.

    Raises PublishingError, one sentence, where it holds none or is damaged.
    """
    try:
        data = json.loads(text)
    except (json.JSONDecodeError, RecursionError) as problem:
        raise PublishingError(f"this is not JSON ({problem})") from None
    recipe = next(_recipes(data), None)
    if recipe is None:
        raise PublishingError("there is no schema.org Recipe in this document")
    try:
        return _record(recipe)
    except ValidationError as problem:
        first = problem.errors()[0]
        where = ".".join(str(part) for part in first["loc"])
        raise PublishingError(f"the recipe's {where} cannot be used: {first['msg']}") from None
    except (TypeError, ValueError, AttributeError) as problem:
        if isinstance(problem, PublishingError):
            raise
        raise PublishingError(f"the recipe is not as schema.org has it ({problem})") from None


def _recipes(data: object, depth: int = 0) -> Iterator[Thing]:
    """Recipes at the top, in a list or in a graph."""
    if isinstance(data, list):
        for item in data:
            yield from _recipes(item, depth + 1)
    elif isinstance(data, dict):
        if any(str(kind).rsplit("/", 1)[-1] == "Recipe" for kind in _many(data.get("@type"))):
            yield data
        elif depth < 3:
            yield from _recipes(data.get("@graph", []), depth + 1)
            yield from _recipes(data.get("mainEntity", []), depth + 1)


def _many(value: object) -> list[Any]:
    if value is None:
        return []
    found = value if isinstance(value, list) else [value]
    if len(found) > _LIMIT:
        raise PublishingError(f"a list of {len(found):,} entries is too long for a recipe")
    return found


def _text(value: object) -> str | None:
    """Text of a string, a number, a first of several or an object with a name or text."""
    for item in _many(value):
        if isinstance(item, dict):
            item = item.get("text") or item.get("name") or item.get("@value")
        if item is not None:
            return str(item)
    return None


def _record(data: Thing) -> Record:
    supplies = [item for item in _many(data.get("supply")) if isinstance(item, dict)]
    exact = bool(supplies) and all("requiredQuantity" in item for item in supplies)
    lines = data.get("recipeIngredient", data.get("ingredients"))
    portions = _portions(data.get("recipeYield", data.get("yield")))
    record = Record(
        title=_text(data.get("name")),
        measures=_measures(supplies) if exact else None,
        portions=portions,
        components=list(_supplied(supplies)) if exact else _listed(lines),
        steps=list(_steps(data.get("recipeInstructions"))),
        flags=[_flag(item) for item in _kind(data.get("comment"), "Question")],
        allergens=[_allergen(item) for item in _kind(data.get("mentions"), "DefinedTerm")],
        cautions=[_caution(item) for item in _kind(data.get("mentions"), "CreativeWork")],
        nutrition=_nutrition(data.get("nutrition"), portions),
    )
    _clips(data.get("video"), record)
    return record


def _kind(value: object, kind: str) -> list[Thing]:
    return [item for item in _many(value) if isinstance(item, dict) and item.get("@type") == kind]


def _facts(value: object) -> Thing:
    """PropertyValues as a mapping."""
    return {
        str(item.get("propertyID", item.get("name"))): item.get("value")
        for item in _kind(value, "PropertyValue")
    }


def _portions(value: object) -> Bounds | None:
    """The first yield that names a number: 4, "4 portions", "5 (4–6) portions", "serves 4-6"."""
    for item in _many(value):
        if isinstance(item, dict):
            item = item.get("value")
        found = [number_at(m[0]) for m in re.finditer(r"\d[\d,]*(?:\.\d+)?|[½¼¾⅓⅔]", str(item))]
        if found and found[0] > 0:
            if len(found) >= 3:
                return Bounds(low=found[1], best=found[0], high=found[2])
            if len(found) == 2 and found[1] > found[0]:
                return Bounds(low=found[0], best=sum(found) / 2, high=found[1])
            return Bounds(low=found[0], best=found[0], high=found[0])
    return None


# --- ingredients --------------------------------------------------------------------------


def _measures(supplies: list[Thing]) -> str | None:
    for item in supplies:
        for quantity in _kind(item["requiredQuantity"], "QuantitativeValue"):
            found = _facts(quantity.get("additionalProperty")).get("measures")
            if found is not None:
                return str(found)
    return None


def _supplied(supplies: list[Thing]) -> Iterator[Component]:
    part: Component | None = None
    for item in supplies:
        quantities = _kind(item["requiredQuantity"], "QuantitativeValue")
        facts = _facts(quantities[0].get("additionalProperty")) if quantities else {}
        head = (
            str(facts.get("part", "main")),
            facts.get("choice"),
            bool(facts.get("partOptional", False)),
        )
        if part is None or head != (part.name, part.choice, part.optional):
            if part is not None:
                yield part
            part = Component(name=head[0], choice=head[1], optional=head[2])
        part.ingredients.append(_row(str(item.get("name", "")), quantities, facts))
    if part is not None:
        yield part


def _row(name: str, quantities: list[Thing], facts: Thing) -> Ingredient:
    said = quantities[0] if quantities else {}
    low, best, high = _ends(said)
    grams = next((_ends(q) for q in quantities[1:] if q.get("unitText") == "g"), None)
    food = None
    if facts.get("food") is not None:
        food = FoodRef(
            id=str(facts["food"]),
            description=str(facts.get("foodDescription", "")),
            match=float(facts.get("foodMatch", 0)),
        )
    return Ingredient(
        name=name,
        amount=Amount.model_validate(
            {
                "low": low,
                "best": best,
                "high": high,
                "unit": said.get("unitText"),
                "basis": facts.get("basis", "unsaid" if best is None else "measured"),
                "noun": facts.get("noun"),
                "size": facts.get("size"),
                "said": facts.get("said"),
            }
        ),
        grams=_bounds(grams),
        state=facts.get("state"),
        preparation=[str(word) for word in _many(facts.get("preparation"))],
        optional=bool(facts.get("optional", False)),
        swap_for=facts.get("swapFor"),
        condition=facts.get("condition"),
        food=food,
        flags=[str(flag) for flag in _many(facts.get("questions"))],
    )


Ends = tuple[float | None, float | None, float | None]


def _ends(quantity: Thing) -> Ends:
    best = quantity.get("value")
    return quantity.get("minValue", best), best, quantity.get("maxValue", best)


def _bounds(ends: Ends | None) -> Bounds | None:
    if ends is None or any(end is None for end in ends):
        return None
    return Bounds.model_validate(dict(zip(("low", "best", "high"), ends, strict=True)))


def _listed(lines: object) -> list[Component]:
    """Ingredients from written lines, or from PropertyValues as newer pages have them."""
    found: list[Ingredient] = []
    for item in _many(lines):
        if isinstance(item, dict):
            if item.get("@type") == "ItemList":
                texts = [_text(entry) for entry in _many(item.get("itemListElement"))]
                found.extend(read_line(text) for text in texts if text)
                continue
            words = (item.get("value"), item.get("unitText"), item.get("name"))
            item = " ".join(str(word) for word in words if word is not None)
        if str(item).strip():
            found.append(read_line(str(item)))
    return [Component(ingredients=found)] if found else []


# --- method -------------------------------------------------------------------------------


def _steps(value: object) -> Iterator[Step]:
    for place, (item, part) in enumerate(_instructions(value, "main", 0), start=1):
        yield _step(item, part, place)


def _instructions(value: object, part: str, depth: int) -> Iterator[tuple[Thing, str]]:
    for item in _many(value):
        if isinstance(item, str):
            for line in item.splitlines():
                if line.strip():
                    yield {"text": line.strip()}, part
        elif isinstance(item, dict) and depth < 4:
            if item.get("@type") in ("HowToSection", "ItemList"):
                name = str(item.get("name") or part)
                yield from _instructions(item.get("itemListElement"), name, depth + 1)
            else:
                yield item, part


def _step(item: Thing, part: str, place: int) -> Step:
    direction = next(iter(_kind(item.get("itemListElement"), "HowToDirection")), {})
    text = str(direction.get("text") or item.get("text") or item.get("name") or "")
    tool = next(iter(_kind(direction.get("tool"), "HowToTool")), {})
    quantity = tool.get("requiredQuantity")
    facts = _facts(quantity.get("additionalProperty")) if isinstance(quantity, dict) else {}
    vessel = tool.get("name")
    return Step.model_validate(
        {
            "number": item.get("position", place),
            "text": text,
            "verb": str(item.get("name") or _first(text)),
            "component": part,
            "ingredients": [str(_text(name)) for name in _many(direction.get("supply"))],
            "vessel": None if vessel == "cooker" else vessel,
            "heat": facts.get("heat"),
            "temperature_c": facts.get("temperatureC"),
            "core_c": facts.get("coreC"),
            "minutes": _minutes(item, direction, facts),
            "until": facts.get("until"),
            "alongside": facts.get("alongside"),
        }
    )


def _first(text: str) -> str:
    return text.split(maxsplit=1)[0].strip(".,:;").casefold() if text.split() else "do"


def _minutes(item: Thing, direction: Thing, facts: Thing) -> Range | None:
    if facts.get("minutesLow") is not None:
        return Range(low=facts["minutesLow"], high=facts["minutesHigh"])
    told = direction.get("performTime") or item.get("performTime") or item.get("timeRequired")
    if not told:
        return None
    minutes = from_iso(str(told))
    return Range(low=minutes, high=minutes)


def _clips(value: object, record: Record) -> None:
    """Times of the video's clips go to the steps whose number they carry."""
    at = {
        clip.get("position"): clip.get("startOffset")
        for video in _many(value)
        if isinstance(video, dict)
        for clip in _kind(video.get("hasPart"), "Clip")
    }
    for step in record.steps:
        moment = at.get(step.number)
        if moment is not None:
            step.heard.append(Heard(start=0, end=0, at=float(moment), text=""))


# --- nutrition, allergens, questions ------------------------------------------------------


def _nutrition(value: object, portions: Bounds | None) -> Nutrition:
    data = next((item for item in _many(value) if isinstance(item, dict)), None)
    if data is None:
        return Nutrition()
    told = str(data.get("description", ""))
    found = {}
    for row in rows("schema_nutrition"):
        text, keys = _text(data.get(row["property"])), row["keys"].split()
        number = re.match(r"\s*(\d[\d,]*(?:\.\d+)?)", text or "")
        if number is None or len(keys) > 1:
            continue
        best = number_at(number[1])
        span = re.search(rf"([\d.,]+)–([\d.,]+) {re.escape(row['words'])}(?:,|\.|$)", told)
        low, high = (number_at(span[1]), number_at(span[2])) if span else (best, best)
        found[keys[0]] = Bounds(low=min(low, best), best=best, high=max(high, best))
    serving = re.search(r"about ([\d,.]+) g", _text(data.get("servingSize")) or "")
    weight = None
    if serving and portions:
        grams = number_at(serving[1])
        weight = Bounds(
            low=grams * portions.best, best=grams * portions.best, high=grams * portions.best
        )
    missing = re.search(r"Not counted: (.+)$", told)
    return Nutrition(
        per_portion=found or None,
        weight_g=weight,
        missing=missing[1].split(", ") if missing else [],
    )


def _allergen(item: Thing) -> Allergen:
    held = str(item.get("inDefinedTermSet", "")).removeprefix("Allergens, ").removesuffix(" list")
    why = str(item.get("description", ""))
    return Allergen.model_validate(
        {
            "name": item.get("name"),
            "regimes": held.split(" and ") if held else [],
            "certainty": item.get("termCode", "contains"),
            "ingredients": why.split(", ") if why else [],
        }
    )


def _caution(item: Thing) -> Caution:
    return Caution(
        topic=str(item.get("name", "")),
        text=str(item.get("text", "")),
        source=str(item.get("citation", "")),
    )


def _flag(item: Thing) -> Flag:
    return Flag(
        id=str(item.get("identifier", "")),
        kind=str(item.get("additionalType", "missing amount")),
        ingredient=_text(item.get("about")),
        question=str(item.get("text") or item.get("name") or ""),
        options=[str(_text(answer)) for answer in _many(item.get("suggestedAnswer"))],
    )
