"""The scorer on hand-made records: full marks for the truth, the right loss for each error."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from hobnote.record import Amount, Bounds, Claim, Component, Flag, Ingredient, Range, Record
from hobnote.scoring import GoldError, Note, load_folder, score_folder, score_notes
from hobnote.scoring.gold import GoldAmount
from hobnote.scoring.report import scores_as_json

Perfect = Callable[[Note], Record]

TEXT = """Right, slaw for the crew, serves four. My gran put raisins in everything, bless her.
Shred half a small cabbage, about 400 grams of it, and two carrots. Dressing now: 150 grams of
yoghurt, or the same of mayonnaise if nobody minds, a glug of oil, salt, and some time leaves.
Whisk that, toss it through and rest it for 20 to 30 minutes. Scatter 30 grams of walnuts if you
like. Toast them first on a medium heat for five minutes. That is 120 calories a portion."""

GOLD = {
    "voice": "British galley cook",
    "kind": "plain",
    "covers": [1, 4, 6, 8],
    "portions": 4,
    "ingredients": [
        {
            "name": "cabbage",
            "amount": {"low": 400, "high": 400, "unit": "g"},
            "also": [{"low": 0.5, "high": 0.5, "unit": "piece"}],
            "grams": [380, 420],
        },
        {
            "name": "carrot",
            "amount": {"low": 2, "high": 2, "unit": "piece"},
            "grams": [110, 180],
        },
        {
            "name": "yoghurt",
            "amount": {"low": 150, "high": 150, "unit": "g"},
            "grams": [150, 150],
            "component": "dressing",
        },
        {
            "name": "mayonnaise",
            "amount": {"low": 150, "high": 150, "unit": "g"},
            "grams": [150, 150],
            "component": "dressing",
            "swap_for": "yoghurt",
        },
        {"name": "oil", "vague": "a glug", "grams": [8, 20], "component": "dressing"},
        {"name": "salt", "missing": True, "component": "dressing"},
        {"name": "thyme", "vague": "some", "grams": [0.5, 3], "component": "dressing"},
        {
            "name": "walnut",
            "amount": {"low": 30, "high": 30, "unit": "g"},
            "grams": [30, 30],
            "optional": True,
        },
    ],
    "steps": [
        {"verbs": ["shred"], "ingredients": ["cabbage", "carrot"]},
        {"verbs": ["whisk"], "ingredients": ["yoghurt", "oil"]},
        {"verbs": ["toss"], "ingredients": ["dressing"]},
        {"verbs": ["rest"], "minutes": [20, 30]},
        {"verbs": ["toast"], "ingredients": ["walnut"], "minutes": [5, 5], "heat": "medium"},
        {"verbs": ["scatter"], "ingredients": ["walnut"]},
    ],
    "claims": [{"nutrient": "energy", "low": 120, "high": 120, "unit": "kcal"}],
    "kept_out": ["raisin"],
    "asides": ["My gran put raisins in everything, bless her."],
    "mishearings": [{"heard": "time", "meant": "thyme"}],
    "energy_kcal": [400, 600],
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "slaw.txt").write_text(TEXT, encoding="utf-8")
    (tmp_path / "slaw.gold.json").write_text(json.dumps(GOLD), encoding="utf-8")
    return tmp_path


@pytest.fixture
def note(folder: Path) -> Note:
    return load_folder(folder)[0]


def _figures(note: Note, record: Record, metric: str) -> tuple[int, int, int]:
    tally = score_notes([note], lambda _: record).metric(metric)
    return tally.right, tally.possible, tally.actual


def _row(record: Record, name: str) -> Ingredient:
    return next(i for c in record.components for i in c.ingredients if i.name == name)


def test_the_truth_gets_full_marks(note: Note, perfect: Perfect) -> None:
    scores = score_notes([note], lambda _: perfect(note))
    assert scores.misses == []
    counted = {name: t for name, t in scores.metrics.items() if t.possible}
    assert len(counted) == 18  # all but temperatures
    assert all(t.f1 == 1.0 for t in counted.values())


def test_an_empty_record_gets_nothing(note: Note) -> None:
    scores = score_notes([note], lambda _: Record())
    zero = {n for n, t in scores.metrics.items() if t.possible and t.right == 0}
    assert {"ingredients", "amounts", "grams", "swaps", "steps", "claims", "energy"} <= zero
    assert scores.metric("kept out").recall == 1.0


def test_a_crash_is_listed_and_the_rest_still_scored(note: Note, perfect: Perfect) -> None:
    def read(text: str) -> Record:
        raise RuntimeError("boom")

    scores = score_notes([note], read)
    assert scores.metric("read").recall == 0.0
    assert scores.metric("kept out").recall == 0.0
    assert any(m.metric == "read" and "boom" in m.got for m in scores.misses)


def test_a_row_too_many_costs_precision_only(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    record.components[0].ingredients.append(Ingredient(name="raisins"))
    assert _figures(note, record, "ingredients") == (7, 7, 8)
    assert _figures(note, record, "kept out")[:2] == (0, 1)


def test_a_swap_read_as_an_ingredient_is_lost_twice(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    _row(record, "mayonnaise").swap_for = None
    assert _figures(note, record, "swaps") == (0, 1, 0)
    assert _figures(note, record, "ingredients") == (7, 7, 8)


def test_a_swap_for_the_wrong_thing_is_wrong(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    _row(record, "mayonnaise").swap_for = "oil"
    assert _figures(note, record, "swaps") == (0, 1, 1)


@pytest.mark.parametrize(
    ("amount", "expected"),
    [
        (Amount(low=0.4, best=0.4, high=0.4, unit="kg", basis="weighed"), (5, 5, 5)),
        (Amount(low=380, best=400, high=420, unit="g", basis="weighed"), (5, 5, 5)),
        (Amount(low=0.5, best=0.5, high=0.5, unit="piece", basis="counted"), (5, 5, 5)),
        (Amount(low=400, best=400, high=400, unit="ml", basis="measured"), (4, 5, 5)),
        (Amount(low=40, best=40, high=40, unit="g", basis="weighed"), (4, 5, 5)),
        (Amount(low=300, best=400, high=500, unit="g", basis="vague"), (5, 5, 5)),
        (Amount(), (4, 5, 4)),
    ],
)
def test_amounts_must_be_those_said(
    note: Note, perfect: Perfect, amount: Amount, expected: tuple[int, int, int]
) -> None:
    record = perfect(note)
    _row(record, "cabbage").amount = amount
    assert _figures(note, record, "amounts") == expected


def test_an_exact_amount_for_a_vague_one_is_made_up(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    _row(record, "oil").amount = Amount(low=15, best=15, high=15, unit="ml", basis="measured")
    assert _figures(note, record, "amounts") == (5, 5, 6)


def test_grams_must_lie_in_the_editors_range(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    _row(record, "carrot").grams = Bounds(low=200, best=220, high=250)
    assert _figures(note, record, "grams") == (5, 6, 6)


def test_optional_and_parts(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    _row(record, "walnut").optional = False
    assert _figures(note, record, "optional") == (0, 1, 0)
    record.components[1].name = "topping"
    assert _figures(note, record, "components") == (0, 1, 1)
    record.components[1].name = "yoghurt dressing"
    assert _figures(note, record, "components") == (1, 1, 1)


def test_an_optional_component_makes_its_rows_optional(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    walnut = _row(record, "walnut")
    walnut.optional = False
    record.components[0].ingredients.remove(walnut)
    record.components.append(Component(name="extra", optional=True, ingredients=[walnut]))
    assert _figures(note, record, "optional") == (1, 1, 1)


def test_flags(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    flag = next(f for f in record.flags if f.ingredient == "oil")
    flag.kind = "missing amount"
    assert _figures(note, record, "vague") == (1, 2, 1)
    assert _figures(note, record, "missing") == (1, 1, 2)


def test_a_bunch_may_be_vague_or_counted(note: Note, perfect: Perfect) -> None:
    note.gold.ingredients[6].also = [GoldAmount(low=1, high=1, unit="piece")]
    record = perfect(note)
    assert _figures(note, record, "vague") == (2, 2, 2)
    thyme = _row(record, "thyme")
    thyme.flags = []
    record.flags = [f for f in record.flags if f.ingredient != "thyme"]
    assert _figures(note, record, "vague") == (1, 2, 1)
    thyme.amount = Amount(low=1, best=1, high=1, unit="piece", basis="counted", noun="bunch")
    assert _figures(note, record, "vague") == (1, 1, 1)
    assert _figures(note, record, "amounts") == (5, 5, 5)


def test_a_relative_amount_may_be_resolved(note: Note, perfect: Perfect) -> None:
    carrot = note.gold.ingredients[1]
    carrot.amount, carrot.relative = None, True
    record = perfect(note)
    _row(record, "carrot").amount = Amount(low=2, best=2, high=2, unit="piece", basis="counted")
    assert _figures(note, record, "amounts") == (4, 4, 4)


def test_steps_need_verb_and_ingredient(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    record.steps[0].verb = "boil"
    assert _figures(note, record, "steps") == (5, 6, 6)
    record = perfect(note)
    record.steps[0].ingredients = ["salt"]
    assert _figures(note, record, "steps") == (5, 6, 6)
    record = perfect(note)
    record.steps[0].ingredients = ["carrots"]
    assert _figures(note, record, "steps") == (6, 6, 6)


def test_a_part_stands_for_its_rows_in_a_step(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    record.steps[2].ingredients = ["yoghurt", "oil"]  # the gold says "toss dressing"
    assert _figures(note, record, "steps") == (6, 6, 6)
    record.steps[2].ingredients = []
    assert _figures(note, record, "steps") == (6, 6, 6)
    record.steps[2].ingredients = ["cabbage"]
    assert _figures(note, record, "steps") == (5, 6, 6)


def test_a_printed_step_may_be_read_as_several(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    record.steps.insert(1, record.steps[0].model_copy(update={"ingredients": ["carrot"]}))
    record.steps[0].ingredients = ["cabbage"]
    assert _figures(note, record, "steps") == (6, 6, 6)
    record.steps[1].verb = "boil"
    assert _figures(note, record, "steps") == (6, 6, 7)


def test_overnight_may_be_read_as_hours(note: Note, perfect: Perfect) -> None:
    note.gold.steps[3].minutes = None
    record = perfect(note)
    record.steps[3].minutes = Range(low=480, high=720)
    assert _figures(note, record, "minutes") == (1, 1, 2)
    note.gold.steps[3].until = "overnight"
    assert _figures(note, record, "minutes") == (1, 1, 1)


def test_minutes_and_heat(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    record.steps[3].minutes = Range(low=20, high=20)
    assert _figures(note, record, "minutes") == (1, 2, 2)
    record.steps[4].heat = "medium-high"
    assert _figures(note, record, "heat") == (0, 1, 1)


def test_heat_that_stays_is_one_state(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    record.steps[5].heat = "medium"
    assert _figures(note, record, "heat") == (1, 1, 1)


def test_core_and_oven_temperatures_are_apart(note: Note, perfect: Perfect) -> None:
    note.gold.steps[4].core_c = 74
    record = perfect(note)
    assert _figures(note, record, "temperatures") == (1, 1, 1)
    record.steps[4].core_c, record.steps[4].temperature_c = None, 74
    assert _figures(note, record, "temperatures") == (0, 1, 1)


def test_claims(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    record.claims.append(Claim(nutrient="protein", low=9, high=9, unit="g"))
    record.claims[0].scope = "total"
    assert _figures(note, record, "claims") == (0, 1, 2)


def test_mishearings(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    record.flags.append(
        Flag(id="x", kind="mis-heard word", question="?", heard_word="salt", suggestion="malt")
    )
    assert _figures(note, record, "mis-hearings") == (1, 1, 2)
    record.flags[-1].heard_word, record.flags[-1].suggestion = "wallnuts", "walnuts"
    assert _figures(note, record, "mis-hearings") == (1, 1, 1)
    thyme = next(f for f in record.flags if f.heard_word == "time")
    thyme.suggestion = "lime"
    assert _figures(note, record, "mis-hearings") == (0, 1, 1)


def test_aside_spans_need_half_of_the_quote(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    aside = record.asides[0]
    aside.text = aside.text[:10]
    assert _figures(note, record, "aside spans")[:2] == (0, 1)


def test_energy_and_portions(note: Note, perfect: Perfect) -> None:
    record = perfect(note)
    record.nutrition.total["energy_kcal"] = Bounds(low=1, best=700, high=900)
    record.portions = None
    assert _figures(note, record, "energy")[:2] == (0, 1)
    assert _figures(note, record, "portions")[:2] == (0, 1)


def test_every_miss_carries_words(note: Note) -> None:
    scores = score_notes([note], lambda _: Record())
    assert all(m.words for m in scores.misses if m.metric in {"ingredients", "amounts", "vague"})


def test_json_is_plain_data(note: Note, perfect: Perfect) -> None:
    scores = score_notes([note, note], lambda _: perfect(note))
    data = json.loads(json.dumps(scores_as_json(scores, misses=False)))
    assert data["notes"] == 2
    assert data["metrics"]["ingredients"]["possible"] == 14
    assert data["metrics"]["kept out"]["precision"] is None
    assert "misses" not in data


def test_score_folder_reads_each_note(folder: Path, note: Note, perfect: Perfect) -> None:
    seen: list[str] = []

    def read(text: str) -> Record:
        seen.append(text)
        return perfect(note)

    assert score_folder(folder, read).metric("ingredients").f1 == 1.0
    assert seen == [TEXT]


def test_a_folder_without_gold_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(GoldError, match="holds no"):
        score_folder(tmp_path)
    with pytest.raises(GoldError, match="no such folder"):
        score_folder(tmp_path / "nowhere")
