from hobnote.nutrition import weigh
from hobnote.record import Range, Step


def step(verb: str, *names: str, **more) -> Step:
    return Step(number=1, text=verb, verb=verb, ingredients=list(names), **more)


def asked(record, pantry) -> list[str]:
    return [f.kind for f in weigh(record, pantry).flags]


def test_an_oven_without_a_temperature(pantry, row, dish) -> None:
    assert asked(dish(row("flour", 9), steps=[step("bake", "flour")]), pantry) == [
        "missing temperature"
    ]
    hot = [step("bake", "flour", temperature_c=180)]
    assert asked(dish(row("flour", 9), steps=hot), pantry) == []


def test_the_oven_set_in_an_earlier_step_counts(pantry, row, dish) -> None:
    steps = [step("preheat", temperature_c=200, vessel="oven"), step("roast", "flour")]
    assert asked(dish(row("flour", 9), steps=steps), pantry) == []


def test_meat_without_time_or_cue(pantry, row, dish) -> None:
    record = dish(row("chicken", 300), steps=[step("fry", "chicken")])
    flag = weigh(record, pantry).flags[0]
    assert flag.kind == "missing temperature" and "74 °C (165 °F)" in flag.question
    for known in ({"minutes": Range(low=8, high=10)}, {"until": "no longer pink"}):
        assert (
            asked(dish(row("chicken", 300), steps=[step("fry", "chicken", **known)]), pantry) == []
        )


def test_a_core_temperature_below_the_safe_figure(pantry, row, dish) -> None:
    for name, low, safe in (("chicken", 68, 74), ("mince", 65, 71)):
        cool = [step("roast", name, core_c=low, temperature_c=200)]
        assert asked(dish(row(name, 300), steps=cool), pantry) == ["low temperature"]
        hot = [step("roast", name, core_c=safe, temperature_c=200)]
        assert asked(dish(row(name, 300), steps=hot), pantry) == []


def test_the_pot_s_own_time_counts_for_the_meat_in_it(pantry, row, dish) -> None:
    steps = [step("brown", "mince"), step("simmer", minutes=Range(low=30, high=30))]
    assert asked(dish(row("mince", 300), steps=steps), pantry) == []


def test_a_heat_level_makes_a_step_hot(pantry, row, dish) -> None:
    steps = [step("leave", "mince", heat="high")]
    assert asked(dish(row("mince", 300), steps=steps), pantry) == ["missing temperature"]
