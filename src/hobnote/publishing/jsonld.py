"""schema.org Recipe as JSON-LD.

Text lines stand where readers of recipes on the web look for them
(``recipeIngredient``, ``recipeInstructions``). The same facts stand as figures
in ``supply``, and in the ``tool`` of each step: properties that a Recipe has
because it is a HowTo. ``jsonld_read`` takes them from there, so reading back
loses nothing that is printed. What the cook said beside the recipe is not in it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Any

from hobnote.publishing import figures
from hobnote.publishing.diets import diets
from hobnote.publishing.durations import cook_time, iso, total_time
from hobnote.publishing.measures import Density, on_scale, table_density
from hobnote.publishing.options import DEFAULT, Options
from hobnote.publishing.sheet import Doing, Line, Sheet, sheet
from hobnote.publishing.tables import rows
from hobnote.publishing.tidy import tidied
from hobnote.record import Component, Flag, Ingredient, Record

Thing = dict[str, Any]
CONTEXT = "https://schema.org"


def to_json_ld(record: Record, options: Options = DEFAULT, density: Density = table_density) -> str:
    """The recipe as a JSON-LD document. Raises OpenQuestions where only settled ones are wanted."""
    data = as_thing(record, options, density)
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def in_page(data: Thing) -> str:
    """``data`` for a script element of an HTML page: nothing in it can end the element."""
    text = json.dumps(data, ensure_ascii=False)
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def as_thing(record: Record, options: Options = DEFAULT, density: Density = table_density) -> Thing:
    """The recipe as the JSON-LD object that ``to_json_ld`` prints."""
    record = tidied(record)
    page = sheet(record, options, density)
    data: Thing = {
        "@context": CONTEXT,
        "@type": "Recipe",
        "name": record.title or page.title,
        "url": options.page,
        "creativeWorkStatus": page.status,
        "recipeYield": page.portions,
        "cookTime": _time(cook_time(record.steps)),
        "totalTime": _time(total_time(record.steps)),
        "recipeIngredient": list(_ingredients(page)),
        "supply": list(_supplies(record)),
        "recipeInstructions": _instructions(page.steps),
        "nutrition": _nutrition(record),
        "suitableForDiet": [f"{CONTEXT}/{name}" for name in diets(record)],
        "mentions": [*_allergens(record), *_cautions(record)],
        "comment": [_question(flag) for flag in record.flags],
        "video": _video(page, options),
    }
    return _filled(data)


def _filled(data: Thing) -> Thing:
    """``data`` without what is not known."""
    return {key: value for key, value in data.items() if value not in (None, [], {}, "")}


def _time(minutes: Any) -> str | None:
    return None if minutes is None else iso(minutes.high)


def _ingredients(page: Sheet) -> Iterator[str]:
    for part in page.parts:
        for line in part.lines:
            yield _line(line, part.note)
    for line in page.extras:
        if line.row.swap_for is None:
            yield _line(line, line.note)


def _line(line: Line, note: str) -> str:
    words = line.text + (f" ({note})" if note else "")
    return words + (" (amount to be settled)" if line.marks else "")


# --- figures ------------------------------------------------------------------------------


def _supplies(record: Record) -> Iterator[Thing]:
    place = 0
    for part in record.components:
        for row in part.ingredients:
            place += 1
            yield {
                "@type": "HowToSupply",
                "position": place,
                "name": row.name,
                "requiredQuantity": _quantities(row, part, record.measures),
            }


def _quantities(row: Ingredient, part: Component, measures: str | None) -> list[Thing]:
    said = row.amount
    facts: Thing = {
        "basis": said.basis,
        "noun": said.noun,
        "size": said.size,
        "said": said.said if said.best is None else None,
        "measures": measures if said.unit in ("tsp", "tbsp", "cup", "fl oz") else None,
        "part": part.name,
        "choice": part.choice,
        "partOptional": part.optional or None,
        "state": row.state,
        "preparation": row.preparation,
        "optional": row.optional or None,
        "swapFor": row.swap_for,
        "condition": row.condition,
        "questions": list(row.flags),
    }
    if row.food is not None:
        facts |= {
            "food": row.food.id,
            "foodDescription": row.food.description,
            "foodMatch": row.food.match,
        }
    found = [_quantity(said.low, said.best, said.high, said.unit, facts)]
    if row.grams is not None:
        found.append(_quantity(row.grams.low, row.grams.best, row.grams.high, "g", {}))
    return found


def _quantity(
    low: float | None, best: float | None, high: float | None, unit: str | None, facts: Thing
) -> Thing:
    codes = {row["unit"]: row["code"] for row in rows("unit_codes")}
    single = low == best == high
    return _filled(
        {
            "@type": "QuantitativeValue",
            "value": best,
            "minValue": None if single else low,
            "maxValue": None if single else high,
            "unitText": unit,
            "unitCode": codes.get(unit or ""),
            "additionalProperty": properties(facts),
        }
    )


def properties(facts: Thing) -> list[Thing]:
    """Facts as PropertyValues; what is not known is left out."""
    return [
        {"@type": "PropertyValue", "propertyID": key, "value": value}
        for key, value in _filled(facts).items()
    ]


# --- method -------------------------------------------------------------------------------


def _instructions(steps: Iterable[Doing]) -> list[Thing]:
    """Steps, in sections where the dish has several parts."""
    steps = list(steps)
    if {step.component for step in steps} <= {"main"}:
        return [_step(step) for step in steps]
    runs = groupby(steps, key=lambda step: step.component)
    return [
        {
            "@type": "HowToSection",
            "name": name,
            "position": place,
            "itemListElement": [_step(step) for step in run],
        }
        for place, (name, run) in enumerate(runs, start=1)
    ]


def _step(doing: Doing) -> Thing:
    step = doing.step
    facts: Thing = {
        "heat": step.heat,
        "temperatureC": step.temperature_c,
        "coreC": step.core_c,
        "minutesLow": step.minutes and step.minutes.low,
        "minutesHigh": step.minutes and step.minutes.high,
        "until": step.until,
        "alongside": step.alongside,
    }
    tool: Thing = {"@type": "HowToTool", "name": step.vessel or "cooker"}
    quantity = properties(facts)
    if quantity:
        tool["requiredQuantity"] = {"@type": "QuantitativeValue", "additionalProperty": quantity}
    direction = _filled(
        {
            "@type": "HowToDirection",
            "text": step.text,
            "performTime": None if step.minutes is None else iso(step.minutes.high),
            "supply": list(step.ingredients),
            "tool": tool if quantity or step.vessel else None,
        }
    )
    return _filled(
        {
            "@type": "HowToStep",
            "position": step.number,
            "name": step.verb,
            "text": doing.words,
            "itemListElement": [direction],
        }
    )


def _video(page: Sheet, options: Options) -> Thing | None:
    """The video with a clip for each step that has a time; the last one's end is not known."""
    if options.video is None:
        return None
    timed = [step for step in page.steps if step.at is not None]
    clips = []
    for place, step in enumerate(timed):
        later = [other.at for other in timed[place + 1 :] if other.at and other.at > (step.at or 0)]
        clips.append(
            _filled(
                {
                    "@type": "Clip",
                    "position": step.number,
                    "name": step.text,
                    "startOffset": step.at,
                    "endOffset": later[0] if later else None,
                    "url": f"{options.video}#t={figures.exact(step.at or 0).replace(',', '')}",
                }
            )
        )
    return _filled(
        {"@type": "VideoObject", "name": page.title, "url": options.video, "hasPart": clips}
    )


# --- nutrition, allergens, questions ------------------------------------------------------


def _nutrition(record: Record) -> Thing | None:
    portion = record.nutrition.per_portion
    if not portion:
        return None
    data: Thing = {"@type": "NutritionInformation", "servingSize": _serving(record)}
    ranges = []
    for row in rows("schema_nutrition"):
        held = [portion[key] for key in row["keys"].split() if key in portion]
        if len(held) != len(row["keys"].split()):
            continue
        best = sum(value.best for value in held)
        data[row["property"]] = f"{figures.number(best).replace(',', '')} {row['words']}"
        text = figures.bounds(held[0]) if len(held) == 1 else ""
        if "(" in text:
            span = figures.span(held[0].low, held[0].high)
            ranges.append(f"{span} {row['words']}")
    if len(data) == 2:  # none of the figures is one that schema.org has
        return None
    missing = record.nutrition.missing
    data["description"] = ". ".join(
        [
            "Calculated from food tables",
            *(["Ranges: " + ", ".join(ranges)] if ranges else []),
            *(["Not counted: " + ", ".join(missing)] if missing else []),
        ]
    )
    return _filled(data)


def _serving(record: Record) -> str:
    weight, portions = record.nutrition.weight_g, record.portions
    if weight is None or portions is None or portions.best <= 0:
        return "1 portion"
    grams = figures.exact(on_scale(weight.best / portions.best))
    return f"1 portion, about {grams} g as put together"


def _allergens(record: Record) -> Iterator[Thing]:
    for found in record.allergens:
        yield _filled(
            {
                "@type": "DefinedTerm",
                "name": found.name,
                "termCode": found.certainty,
                "inDefinedTermSet": f"Allergens, {' and '.join(found.regimes)} list",
                "description": ", ".join(found.ingredients),
            }
        )


def _cautions(record: Record) -> Iterator[Thing]:
    for note in record.cautions:
        yield {
            "@type": "CreativeWork",
            "name": note.topic,
            "text": note.text,
            "citation": note.source,
        }


def _question(flag: Flag) -> Thing:
    options = flag.options or ([flag.suggestion] if flag.suggestion else [])
    about = None if flag.ingredient is None else {"@type": "Thing", "name": flag.ingredient}
    return _filled(
        {
            "@type": "Question",
            "identifier": flag.id,
            "additionalType": flag.kind,
            "text": flag.question,
            "about": about,
            "suggestedAnswer": [{"@type": "Answer", "text": option} for option in options],
        }
    )
