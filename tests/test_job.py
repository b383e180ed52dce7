"""The main job end to end, on notes of our own."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import hobnote
from hobnote.job import read_dictation
from hobnote.pantry import open_pantry
from hobnote.pantry.types import Food
from hobnote.reading import ReadingError, read_text
from hobnote.record import Ingredient, Record

SUPPER = (
    "Right, training supper for four. Two hundred grams of red lentils into the big pan with "
    "700 ml of water, bring it to the boil, then turn it right down and simmer for 20 to 25 "
    "minutes. A tablespoon of olive oil in the small pan, one onion, chopped, soften it on a "
    "medium heat for eight minutes. A glug of vinegar at the end. Salt to taste."
)


def rows(record: Record) -> dict[str, Ingredient]:
    return {i.name: i for part in record.components for i in part.ingredients}


def test_the_whole_way() -> None:
    record = hobnote.read(SUPPER)
    found = rows(record)
    assert record.portions is not None and record.portions.best == 4
    assert found["red lentil"].grams is not None and found["red lentil"].grams.best == 200
    assert found["olive oil"].amount.unit == "tbsp"
    assert found["onion"].preparation == ["chopped"]
    timed = {s.verb: s.heat for s in record.steps if s.minutes}
    assert timed == {"simmer": "low", "soften": "medium"}
    assert record.nutrition.total["energy_kcal"].best > 700
    vague = [f for f in record.flags if f.kind == "vague amount"]
    assert {f.ingredient for f in vague} >= {"vinegar", "salt"}


def test_every_span_is_the_input_at_its_offsets() -> None:
    record = hobnote.read(SUPPER)
    spans = [h for i in rows(record).values() for h in i.heard]
    spans += [h for s in record.steps for h in s.heard] + record.asides
    spans += [h for f in record.flags for h in f.heard]
    assert spans
    for span in spans:
        assert SUPPER[span.start : span.end] == span.text


def test_flags_come_dearest_first_and_point_at_rows() -> None:
    record = hobnote.read(SUPPER + " Add some pasta and a knob of butter.")
    widths = [f.effect_kcal.high - f.effect_kcal.low for f in record.flags if f.effect_kcal]
    assert widths == sorted(widths, reverse=True)
    flagged = {name for i in rows(record).values() for name in i.flags}
    assert flagged <= {f.id for f in record.flags}


def test_portions_and_measures_may_be_given() -> None:
    record = hobnote.read("A cup of oats and two cups of milk.", portions=3, measures="au")
    assert record.portions is not None and record.portions.best == 3
    assert record.measures == "au"


def test_own_foods_are_heard_and_preferred() -> None:
    bites = Food(
        id="own:1",
        description="Regatta oat bites",
        group="own",
        nutrients={"energy_kcal": 400.0, "protein_g": 8.0},
        source="label",
    )
    record = read_dictation(
        read_text("Then 50 grams of regatta oat bites into each box."),
        pantries=lambda measures: open_pantry(measures).with_own([bites]),
    )
    row = rows(record)["regatta oat bites"]
    assert row.food is not None and row.food.id == "own:1"
    assert row.nutrition["energy_kcal"].best == pytest.approx(200)


@pytest.mark.parametrize(
    "aside",
    [
        "Thanks for listening, see you at the boathouse, bye.",
        "My gran used to make it with cream and a whole chicken, but that was years ago.",
        "Last week the other crew had sausages and they were burnt.",
    ],
)
def test_an_aside_changes_no_ingredient(aside: str) -> None:
    before, after = rows(hobnote.read(SUPPER)), rows(hobnote.read(f"{SUPPER} {aside}"))
    assert {n: r.amount for n, r in after.items()} == {n: r.amount for n, r in before.items()}


def test_lines_and_captions_change_no_amount() -> None:
    sentences = [s.strip() + "." for s in SUPPER.split(".") if s.strip()]
    lines = "\n".join(sentences)
    captions = "WEBVTT\n\n" + "\n\n".join(
        f"00:{n:02d}.000 --> 00:{n + 1:02d}.000\n{s}" for n, s in enumerate(sentences, 1)
    )
    want = {n: r.amount for n, r in rows(hobnote.read(SUPPER)).items()}
    for text in (lines, captions):
        assert {n: r.amount for n, r in rows(hobnote.read(text)).items()} == want


SPOKEN = """add 20 g of oats . and no sorry actually half a the milk it simmer for ten minutes ,
without salt if you like or instead of until golden another glug low heat oven 180
then my gran used to each same as ? 1/2 ½ tbsp two hundred"""
WORDS = st.sampled_from([*SPOKEN.split(), "\n"])


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.one_of(st.lists(WORDS, max_size=60).map(" ".join), st.text(max_size=200)))
def test_reading_never_crashes_and_points_at_its_words(text: str) -> None:
    try:
        record = hobnote.read(text)
    except ReadingError:
        return
    for part in record.components:
        for row in part.ingredients:
            for span in row.heard:
                assert text[span.start : span.end] == span.text
            if row.grams is not None:
                assert row.grams.low <= row.grams.best <= row.grams.high
