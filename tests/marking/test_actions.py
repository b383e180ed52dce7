"""Which words are cooking verbs, in what form, and where the cues that end a step stop."""

from __future__ import annotations

import pytest

from hobnote.marking.lexicon import inflect, verb_forms, verbs
from hobnote.marking.marks import ACTION, UNTIL, marks
from hobnote.marking.pipeline import mark


def actions(text: str) -> list[tuple[str, str]]:
    """Verb and form of every action."""
    return [(m.value.verb, m.value.form) for doc, _ in mark(text) for m in marks(doc, ACTION)]


def untils(text: str) -> list[str]:
    """The words of every cue."""
    return [str(m.value) for doc, _ in mark(text) for m in marks(doc, UNTIL)]


@pytest.mark.parametrize(
    ("text", "verb"),
    [
        ("Blitz.", "blitz"),
        ("Mash.", "mash"),
        ("then drain", "drain"),
        ("blitz again, one more minute", "blitz"),
        ("Roll thin.", "roll"),
        ("soak em in hot water", "soak"),
        ("bung everything in the pan", "bung"),
        ("Rest fifteen minutes.", "rest"),
        ("next day oil your tin", "oil"),
        ("slice up three onions", "slice"),
        ("cut it in four", "cut"),
        ("Flour the tray.", "flour"),
    ],
)
def test_orders_are_heard(text: str, verb: str) -> None:
    assert (verb, "base") in actions(text)


@pytest.mark.parametrize(
    ("text", "verb"),
    [
        ("a squeeze of lemon", "squeeze"),
        ("salt 2 tsp", "salt"),
        ("butter, six hundred grams", "butter"),
        ("chicken thighs, skin on", "skin"),
        ("the mix is sticky", "mix"),
        ("one table spoon white pepper", "spoon"),
        ("three hundred grams dry", "dry"),
    ],
)
def test_nouns_are_no_orders(text: str, verb: str) -> None:
    assert verb not in [v for v, form in actions(text) if form == "base"]


def test_a_participle_of_the_same_form_is_told_from_an_order() -> None:
    assert ("cut", "past") in actions("four carrots, cut in chunks")
    assert ("cut", "base") in actions("cut them in chunks")


@pytest.mark.parametrize(
    ("text", "verb"),
    [
        ("Chicken in, six minutes.", "add"),
        ("Dumplings in, twenty minutes.", "add"),
        ("sesame seeds on top", "top"),
        ("on top icing sugar", "top"),
        ("lid on", "cover"),
        ("foil off", "uncover"),
    ],
)
def test_verbless_fragments_are_done_all_the_same(text: str, verb: str) -> None:
    assert (verb, "fragment") in actions(text)


def test_the_bone_that_is_left_in_is_nothing_added() -> None:
    assert "add" not in [v for v, _ in actions("Lamb shoulder, bone in, two kilos.")]


def test_bring_is_an_order_although_it_ends_in_ing() -> None:
    assert ("bring", "base") in actions("Bring it to the boil.")


def test_a_cue_runs_to_the_end_of_its_phrase() -> None:
    assert untils("Fry until soft and golden, then drain.") == ["soft and golden"]


def test_every_irregular_form_has_its_verb() -> None:
    assert all(base in verbs() for base in verb_forms().values())


@pytest.mark.parametrize("verb", ["stir", "bake", "fry", "wash", "chop"])
def test_regular_forms_are_distinct(verb: str) -> None:
    assert len(set(inflect(verb))) == 4


def test_the_columns_hold_only_known_words() -> None:
    kinds = {"cook", "prep", "add", "hold", "heat", "serve", "weigh", "weak"}
    for row in verbs().values():
        assert row["kind"] in kinds
        assert row["takes"] in {"", "all", "one", "pot"}
        assert row["noun"] in {"", "yes", "food"}
