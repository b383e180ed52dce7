"""The method as it is heard: verbs, what they act on, times, heat, and what is no step."""

from __future__ import annotations

import pytest

from hobnote import read
from hobnote.record import Step


def method(text: str) -> list[Step]:
    """The steps of a note."""
    return read(text).steps


def told(text: str) -> list[tuple[str, tuple[str, ...]]]:
    """Verb and foods of every step."""
    return [(s.verb, tuple(s.ingredients)) for s in method(text)]


def verbs(text: str) -> list[str]:
    """The verbs in order."""
    return [s.verb for s in method(text)]


def test_every_verb_of_a_clause_is_a_step() -> None:
    assert told("Chop two onions and fry them in a tablespoon of butter for ten minutes.") == [
        ("chop", ("onion",)),
        ("fry", ("onion", "butter")),
    ]


def test_an_object_is_shared_by_the_verbs_before_it() -> None:
    steps = told("Peel, core and chop a kilo of apples.")
    assert ("peel", ("apple",)) in steps
    assert ("chop", ("apple",)) in steps


@pytest.mark.parametrize("verb", ["Whisk", "Stir", "Mix", "Blitz"])
def test_a_mixing_verb_alone_takes_all_that_stands_ready(verb: str) -> None:
    steps = told(f"Tahini, 60 grams. Lemon juice, 30 ml. A clove of garlic. {verb}.")
    assert steps[-1][0] == verb.lower()
    assert set(steps[-1][1]) == {"tahini", "lemon juice", "garlic"}


def test_it_is_the_food_and_not_the_fat() -> None:
    steps = told(
        "Brown 600 g of beef mince for five minutes. Heat two tablespoons of oil. Rest it."
    )
    assert steps[-1] == ("rest", ("beef mince",))


def test_what_goes_in_is_added_and_what_goes_back_in_returns() -> None:
    text = "Brown 500 g of chicken thighs. In goes 400 ml of stock. Put the chicken back."
    assert told(text)[1:] == [("add", ("stock",)), ("return", ("chicken thigh",))]


def test_foods_measured_while_cooking_goes_on_are_added_together() -> None:
    text = (
        "Fry two onions in a spoon of oil for eight minutes. Then 300 g of carrots. "
        "And 400 ml of stock. Simmer for twenty minutes."
    )
    assert verbs(text) == ["fry", "add", "simmer"]
    assert set(method(text)[1].ingredients) == {"carrot", "stock"}


def test_an_unsaid_add_gives_way_to_the_verb_that_takes_its_foods() -> None:
    text = (
        "Fry two onions for eight minutes. A tablespoon of flour, 10 g. Stir that in for a minute."
    )
    assert verbs(text) == ["fry", "stir"]
    assert method(text)[1].ingredients == ["flour"]


def test_the_foods_of_a_dressing_are_mixed_unasked() -> None:
    text = "For the dressing, 40 ml of olive oil. 20 ml of lemon juice. 5 g of mustard."
    steps = method(text)
    assert [s.verb for s in steps] == ["mix"]
    assert set(steps[0].ingredients) == {"olive oil", "lemon juice", "mustard"}


def test_a_time_without_a_verb_cooks_where_it_is_said() -> None:
    chill = method("Shape 500 g of turkey mince into patties. Fridge, 30 minutes.")[-1]
    assert (chill.verb, chill.minutes and chill.minutes.high) == ("chill", 30)
    dumplings = method("Boil two litres of water. Dumplings in, twenty minutes.")[-1]
    assert (dumplings.verb, dumplings.minutes and dumplings.minutes.high) == ("cook", 20)


def test_a_time_in_the_hot_oven_bakes() -> None:
    text = (
        "Oven at 180. Mix 200 g of flour and two eggs. Into the tin with it. "
        "Thirty minutes until it is golden."
    )
    last = method(text)[-1]
    assert (last.verb, last.minutes and last.minutes.high) == ("bake", 30)
    assert verbs(text)[0] == "preheat"


def test_a_time_behind_another_verb_is_a_step_of_its_own() -> None:
    steps = method("Flatten 600 g of lamb mince and in the fridge for half an hour.")
    assert [(s.verb, s.minutes and s.minutes.high) for s in steps] == [
        ("flatten", None),
        ("chill", 30),
    ]


def test_the_lid_and_the_heat_belong_to_what_is_cooked() -> None:
    text = (
        "Fry two onions for five minutes. Turn it down to low, lid on, and simmer for 40 minutes."
    )
    last = method(text)[-1]
    assert (last.verb, last.heat, last.minutes and last.minutes.high) == ("simmer", "low", 40)
    assert "cover" not in verbs(text)


def test_bringing_to_the_boil_is_one_step_and_the_time_after_it_another() -> None:
    text = (
        "Put 300 g of barley in a pot with two litres of water. "
        "Bring it to the boil. Then 40 minutes."
    )
    steps = method(text)
    assert [s.verb for s in steps][-2:] == ["boil", "simmer"]
    assert steps[-2].minutes is None


def test_a_changed_oven_goes_with_the_next_time() -> None:
    text = (
        "Oven at 220. Roast 2 kg of lamb shoulder for twenty minutes at 220. "
        "Then down to 150, and four hours."
    )
    last = method(text)[-1]
    assert (last.temperature_c, last.minutes and last.minutes.high) == (150, 240)


def test_the_ordinary_oven_goes_before_the_fan() -> None:
    assert method("Oven at 200, 180 if it's a fan.")[0].temperature_c == 200


def test_a_core_temperature_is_the_cookings() -> None:
    text = "Grill 600 g of turkey burgers for ten minutes. They want to be 74 in the middle."
    assert method(text)[0].core_c == 74
    assert len(method(text)) == 1


def test_a_later_longer_time_makes_a_range() -> None:
    minutes = method("Bake 300 g of dough for forty minutes, forty-five maybe.")[0].minutes
    assert minutes is not None
    assert (minutes.low, minutes.high) == (40, 45)


def test_a_total_that_only_adds_up_changes_nothing() -> None:
    text = (
        "Bake 300 g of dough for ten minutes. "
        "Give it another twenty minutes, so thirty minutes all told."
    )
    assert [s.minutes.high for s in method(text) if s.minutes] == [10, 20]


def test_a_corrected_time_replaces_the_nearest() -> None:
    text = "Braise a kilo of shin for two hours. Actually, make that three hours."
    assert [s.minutes.high for s in method(text) if s.minutes] == [180]


@pytest.mark.parametrize(
    "remark",
    [
        "If it's too thick, add a splash of water.",
        "Stir it now and then.",
        "Stir it every ten minutes.",
        "It keeps three days in the fridge.",
        "It freezes well.",
        "Stand back.",
        "Don't lift the lid.",
        "The onions will shrink.",
    ],
)
def test_remarks_are_no_steps(remark: str) -> None:
    text = f"Simmer 500 g of lentils for 30 minutes. {remark}"
    assert verbs(text) == ["simmer"]


def test_hands_off_for_a_time_is_how_long_it_cooks() -> None:
    text = "Dry pan, high heat, 400 g of beef mince, and don't touch it for three minutes."
    assert [s.minutes.high for s in method(text) if s.minutes] == [3]


def test_a_negation_ends_at_the_next_order() -> None:
    text = "add two tins of chickpeas and dont stir it simmer on low for fifteen minutes"
    assert verbs(text)[-1] == "simmer"
    assert "stir" not in verbs(text)


def test_a_condition_blocks_only_what_hangs_on_it() -> None:
    text = "Oven at 170, or 150 if yours has a fan, and line a loaf tin."
    assert verbs(text) == ["preheat", "line"]


def test_forgotten_foods_join_the_step_they_go_in_with() -> None:
    text = (
        "Fry two onions in oil for ten minutes. Add 400 g of tomatoes. Simmer for an hour. "
        "Sorry, forgot, two cloves of garlic, in with the onions."
    )
    assert verbs(text) == ["fry", "add", "simmer"]
    assert "garlic" in method(text)[0].ingredients


def test_a_participle_describes_unless_it_is_timed() -> None:
    assert verbs("Two carrots, grated. Mix.") == ["mix"]
    assert "soak" in verbs("250 g of dried chickpeas, soaked for eight hours. Drain them.")


@pytest.mark.parametrize(
    ("said", "printed"),
    [
        ("So I'm going to chop two onions.", "Chop two onions"),
        ("Okay then, drain 400 g of chickpeas, and", "Drain 400 g of chickpeas"),
        ("Onion, one, chopped, into the pan. You give it a good stir.", "Stir onion"),
        (
            "Wash 500 g of spinach. Wilt it for two minutes.",
            "Wilt spinach for two minutes",
        ),
    ],
)
def test_steps_print_as_short_orders(said: str, printed: str) -> None:
    assert method(said)[-1].text == printed


def test_misheard_words_are_put_right_in_the_text() -> None:
    text = "Fry two onions in oil. Stir in fifty grams of plain flower."
    assert "flour" in method(text)[-1].text


def test_no_text_has_a_filler_or_a_joint_at_its_end() -> None:
    text = (
        "um so okay melt 50 g of butter and then uh stir in 50 g of flour and "
        "then pour in 600 ml of milk and whisk it until it's smooth and"
    )
    for step in method(text):
        words = step.text.lower().split()
        assert words[0] == step.verb
        assert words[-1] not in {"and", "then", "so", "uh", "um"}
