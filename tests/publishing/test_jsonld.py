"""JSON-LD: what stands in it, what may not, and that reading back loses nothing printed."""

from __future__ import annotations

import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hobnote.publishing.errors import OpenQuestions, PublishingError
from hobnote.publishing.jsonld import as_thing, in_page, to_json_ld
from hobnote.publishing.jsonld_read import from_json_ld
from hobnote.publishing.options import Options
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

WORDS = st.text(st.characters(blacklist_categories=("Cs",)), min_size=1, max_size=12)
NAMES = st.one_of(st.sampled_from(["tahini", "pearl barley", "2 % milk", "salt (flaky)"]), WORDS)
MAYBE = st.none() | WORDS
NUMBERS = st.floats(0.01, 5000, allow_nan=False)


@st.composite
def bounds(draw):
    low, best, high = sorted(draw(st.tuples(NUMBERS, NUMBERS, NUMBERS)))
    return Bounds(low=low, best=best, high=high)


@st.composite
def amounts(draw):
    if draw(st.booleans()):
        return Amount(noun=draw(MAYBE), basis=draw(st.sampled_from(["vague", "unsaid"])))
    value = draw(bounds())
    return Amount(
        **value.model_dump(),
        unit=draw(st.sampled_from(["g", "kg", "ml", "tsp", "tbsp", "cup", "oz", "piece", None])),
        basis=draw(st.sampled_from(["weighed", "measured", "counted", "relative", "vague"])),
        noun=draw(MAYBE),
        size=draw(MAYBE),
    )


FOODS = st.builds(
    FoodRef,
    id=st.sampled_from(["01001", "X001", "nowhere"]),
    description=WORDS,
    match=st.floats(0, 1),
)
ROWS = st.builds(
    Ingredient,
    name=NAMES,
    amount=amounts(),
    grams=st.none() | bounds(),
    state=MAYBE,
    preparation=st.lists(WORDS, max_size=2),
    optional=st.booleans(),
    swap_for=MAYBE,
    condition=MAYBE,
    food=st.none() | FOODS,
    flags=st.lists(st.sampled_from(["f1", "f2", "f9"]), max_size=2),
)
PARTS = st.builds(
    Component,
    name=NAMES,
    choice=MAYBE,
    optional=st.booleans(),
    ingredients=st.lists(ROWS, max_size=3),
)


@st.composite
def steps(draw, number):
    ends = sorted(draw(st.tuples(st.floats(0, 900), st.floats(0, 900))))
    return Step(
        number=number,
        text=draw(WORDS),
        verb=draw(st.sampled_from(["bake", "stir", "chop"]) | WORDS),
        component=draw(st.just("main") | NAMES),
        ingredients=draw(st.lists(NAMES, max_size=2)),
        vessel=draw(st.none() | st.sampled_from(["pot", "tin"])),
        heat=draw(st.none() | st.sampled_from(["low", "medium-high"])),
        temperature_c=draw(st.none() | st.floats(40, 300)),
        core_c=draw(st.none() | st.just(74.0)),
        minutes=draw(st.none() | st.just(Range(low=ends[0], high=ends[1]))),
        until=draw(MAYBE),
        alongside=draw(st.none() | st.just(1)),
        heard=[Heard(start=0, end=3, at=draw(st.floats(0, 4000)), text="abc")],
    )


@st.composite
def records(draw):
    keys = ["energy_kcal", "protein_g", "salt_g", "sodium_mg", "fibre_g", "fat_g"]
    return Record(
        title=draw(MAYBE),
        measures=draw(st.sampled_from(["us", "uk", "au"])),
        portions=draw(st.none() | st.just(Bounds(low=4, best=4, high=6))),
        components=draw(st.lists(PARTS, max_size=3)),
        steps=[draw(steps(n)) for n in range(1, draw(st.integers(1, 4)))],
        flags=draw(
            st.lists(
                st.builds(
                    Flag,
                    id=st.sampled_from(["f1", "f2"]),
                    kind=WORDS,
                    ingredient=MAYBE,
                    question=WORDS,
                    options=st.lists(WORDS, max_size=2),
                ),
                max_size=2,
            )
        ),
        nutrition=Nutrition(
            per_portion=draw(st.none() | st.dictionaries(st.sampled_from(keys), bounds())),
            weight_g=draw(st.none() | bounds()),
        ),
        allergens=draw(
            st.lists(
                st.builds(
                    Allergen,
                    name=WORDS,
                    regimes=st.sampled_from([["EU"], ["EU", "US"]]),
                    certainty=st.sampled_from(["contains", "may contain"]),
                    ingredients=st.lists(st.sampled_from(["oats", "egg"]), max_size=2),
                ),
                max_size=2,
            )
        ),
        cautions=draw(
            st.lists(st.builds(Caution, topic=WORDS, text=WORDS, source=WORDS), max_size=1)
        ),
    )


@settings(max_examples=120, suppress_health_check=list(HealthCheck), deadline=None)
@given(records(), st.sampled_from(["g", "cups", "both"]))
def test_what_is_read_back_exports_the_same(record, units):
    options = Options(units=units, video="https://galley.example/v")
    once = to_json_ld(record, options)
    assert to_json_ld(from_json_ld(once), options) == once


def test_the_record_itself_comes_back_as_far_as_it_is_published(record):
    back = from_json_ld(to_json_ld(record))
    assert [p.name for p in back.components] == ["main", "topping"]
    oats, syrup = back.components[0].ingredients
    assert (oats.name, oats.grams.best, oats.preparation) == ("rolled oats", 600, ["toasted"])
    assert (syrup.swap_for, syrup.amount.unit) == ("honey", "tbsp")
    assert back.components[1].ingredients[0].grams == Bounds(low=10, best=15, high=30)
    assert back.steps[0].minutes == Range(low=4, high=5)
    assert back.steps[0].heat == "medium"
    assert back.steps[1].temperature_c == 180
    assert back.nutrition.per_portion["energy_kcal"] == Bounds(low=300, best=340, high=390)
    assert [flag.kind for flag in back.flags] == ["vague amount", "missing temperature"]


def test_open_questions_are_visible_and_can_be_refused(record):
    data = as_thing(record)
    assert data["creativeWorkStatus"] == "Draft: 2 open questions"
    assert [q["text"] for q in data["comment"]] == [flag.question for flag in record.flags]
    assert any("to be settled" in line for line in data["recipeIngredient"])
    with pytest.raises(OpenQuestions, match="2 open questions"):
        to_json_ld(record, Options(settled_only=True))
    record.flags.clear()
    assert "creativeWorkStatus" not in as_thing(record, Options(settled_only=True))


def test_what_was_said_beside_the_recipe_stays_at_home(record):
    record.asides.append(Heard(start=0, end=6, text="SECRET"))
    record.components[0].ingredients[0].heard[0].text = "SECRET"
    record.steps[0].heard.append(Heard(start=0, end=6, at=2.0, text="SECRET"))
    assert "SECRET" not in to_json_ld(record, Options(video="https://galley.example/v"))


def test_times_are_claimed_only_where_every_step_says_them(record):
    data = as_thing(record)
    assert "totalTime" not in data
    assert "cookTime" not in data
    record.steps[1].minutes = Range(low=20, high=25)
    data = as_thing(record)
    assert data["cookTime"] == data["totalTime"] == "PT30M"


def test_clips_run_from_one_step_to_the_next(record):
    record.steps[0].heard = [Heard(start=0, end=1, at=12.5, text="x")]
    record.steps[1].heard = [Heard(start=2, end=3, at=90.0, text="y")]
    video = as_thing(record, Options(video="https://galley.example/v"))["video"]
    first, last = video["hasPart"]
    assert (first["startOffset"], first["endOffset"]) == (12.5, 90.0)
    assert last["startOffset"] == 90.0
    assert "endOffset" not in last


def test_nothing_in_a_page_can_end_its_script_element(record):
    record.title = "</script><script>alert(1)</script>"
    text = in_page(as_thing(record))
    assert "<" not in text
    assert json.loads(text)["name"] == record.title


FOREIGN = {
    "@context": "https://schema.org",
    "@graph": [
        {"@type": "WebPage", "name": "a page"},
        {
            "@type": ["Recipe"],
            "name": "Boathouse flapjack",
            "recipeYield": ["12", "12 bars"],
            "recipeIngredient": [
                "250 g rolled oats",
                "1 1/2 cups brown sugar, packed",
                "2-3 tbsp golden syrup (warm)",
                "2 eggs",
                "salt",
            ],
            "recipeInstructions": [
                {
                    "@type": "HowToSection",
                    "name": "Base",
                    "itemListElement": [
                        {"@type": "HowToStep", "text": "Melt the sugar.", "performTime": "PT5M"}
                    ],
                },
                "Bake it.\nCool it.",
            ],
            "nutrition": {"@type": "NutritionInformation", "calories": "240 kcal"},
        },
    ],
}


def test_a_recipe_from_elsewhere_is_read_as_far_as_it_is_plain():
    record = from_json_ld(json.dumps(FOREIGN))
    rows = record.components[0].ingredients
    assert [row.name for row in rows] == [
        "rolled oats",
        "brown sugar",
        "golden syrup",
        "eggs",
        "salt",
    ]
    assert [(r.amount.low, r.amount.high, r.amount.unit) for r in rows] == [
        (250, 250, "g"),
        (1.5, 1.5, "cup"),
        (2, 3, "tbsp"),
        (2, 2, "piece"),
        (None, None, None),
    ]
    assert rows[1].preparation == ["packed"]
    assert rows[4].amount.basis == "unsaid"
    assert record.portions.best == 12
    assert [(s.text, s.component) for s in record.steps] == [
        ("Melt the sugar.", "Base"),
        ("Bake it.", "main"),
        ("Cool it.", "main"),
    ]
    assert record.steps[0].minutes == Range(low=5, high=5)
    assert record.nutrition.per_portion["energy_kcal"].best == 240


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("{", "not JSON"),
        ("[" * 100_000, "not JSON"),
        ('{"@type": "WebPage"}', "no schema.org Recipe"),
        ('{"@type": "Recipe", "recipeYield": {"value": {}}, "supply": 3}', None),
        (
            '{"@type": "Recipe", "supply": [{"requiredQuantity": {"@type": "QuantitativeValue",'
            ' "value": "much"}}]}',
            "cannot be used",
        ),
        (
            '{"@type": "Recipe", "recipeInstructions": [{"text": "x", "performTime": "soon"}]}',
            "ISO 8601",
        ),
    ],
)
def test_a_bad_document_is_one_sentence_or_harmless(text, why):
    if why is None:
        from_json_ld(text)
        return
    with pytest.raises(PublishingError, match=why) as caught:
        from_json_ld(text)
    assert "\n" not in str(caught.value)
