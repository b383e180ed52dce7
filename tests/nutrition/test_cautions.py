from hobnote.nutrition import weigh
from hobnote.nutrition.tables import tree
from hobnote.record import Heard, Step


def topics(record, pantry) -> set[str]:
    return {c.topic for c in weigh(record, pantry).cautions}


def step(verb: str, *names: str, text: str = "", **more) -> Step:
    return Step(number=1, text=text or verb, verb=verb, ingredients=list(names), **more)


def test_only_the_standing_line_for_a_harmless_dish(pantry, row, dish) -> None:
    out = weigh(dish(row("onion", 100)), pantry)
    assert [c.topic for c in out.cautions] == ["standing line"]
    assert "dietitian or doctor" in out.cautions[0].text and "local" in out.cautions[0].text


def test_meat_by_kind(pantry, row, dish) -> None:
    assert "poultry" in topics(dish(row("chicken", 200)), pantry)
    mince = topics(dish(row("mince", 200)), pantry)
    assert "minced meat" in mince and "whole meat" not in mince and "poultry" not in mince


def test_egg_raw_or_cooked(pantry, row, dish) -> None:
    raw = dish(row("egg", 50), steps=[step("whisk", "egg")])
    assert "raw egg" in topics(raw, pantry)
    cooked = dish(row("egg", 50), steps=[step("whisk", "egg"), step("fry", "egg")])
    assert "raw egg" not in topics(cooked, pantry) and "egg dishes" in topics(cooked, pantry)
    batter = dish(row("egg", 50), steps=[step("whisk", "egg"), step("bake", "batter")])
    assert "raw egg" not in topics(batter, pantry)


def test_raw_flour(pantry, row, dish) -> None:
    assert "raw flour" in topics(dish(row("flour", 50), steps=[step("mix", "flour")]), pantry)
    assert "raw flour" not in topics(dish(row("flour", 50), steps=[step("bake", "flour")]), pantry)


def test_rice_honey_wine(pantry, row, dish) -> None:
    assert "cooked rice" in topics(dish(row("rice", 50)), pantry)
    out = weigh(dish(row("honey", 5)), pantry)
    honey = next(c for c in out.cautions if c.topic == "honey")
    assert "12 months" in honey.text and honey.because == ["honey"]
    assert "alcohol" in topics(dish(row("red wine", 100)), pantry)
    assert "alcohol" not in topics(dish(row("wine vinegar", 10)), pantry)


def test_kidney_beans_only_when_dry(pantry, row, dish) -> None:
    dry = dish(row("kidney bean", 200, state="dry"))
    assert "dried kidney beans" in topics(dry, pantry)
    assert "dried kidney beans" not in topics(dish(row("kidney bean", 200, state="tinned")), pantry)


def test_batches_are_cooled_and_held(pantry, row, dish) -> None:
    assert "cooling and keeping" in topics(dish(row("onion", 100), portions=12), pantry)
    assert "cooling and keeping" not in topics(dish(row("onion", 100), portions=2), pantry)
    warm = dish(row("onion", 100), steps=[step("keep", text="Keep warm in the hot box.")])
    assert "hot holding" in topics(warm, pantry)


def test_every_caution_names_its_source_and_mark() -> None:
    for note in tree("cautions")["caution"]:
        assert note["source"] and note["mark"] in ("checked", "memory", "practice")


def test_what_came_out_of_the_oven_is_not_raw(pantry, row, dish) -> None:
    out_of_it = step("wrap", vessel="oven")
    steps = [step("whisk", "egg"), out_of_it]
    assert "raw egg" not in topics(dish(row("egg", 50), steps=steps), pantry)


def test_jars_garlic_oil_soft_eggs_and_green_potatoes(pantry, row, dish) -> None:
    beans = dish(row("onion", 900), steps=[step("pack", "onion", text="Pack into jars and boil")])
    assert "home canning" in topics(beans, pantry)
    egg = dish(row("egg", 50), steps=[step("poach", "egg", text="Poach until runny")])
    assert "soft egg" in topics(egg, pantry)
    firm = dish(row("egg", 50), steps=[step("poach", "egg", text="Poach until firm")])
    assert "soft egg" not in topics(firm, pantry)
    oil = dish(row("garlic", 30), steps=[step("warm", "garlic", text="Keep in a bottle")])
    assert "garlic or herbs in oil" in topics(oil, pantry)
    green = dish(row("potato", 900), steps=[step("peel", "potato", text="Peel the green potatoes")])
    assert "green or sprouting potatoes" in topics(green, pantry)


def test_what_was_heard_counts_though_the_step_is_worded_otherwise(pantry, row, dish) -> None:
    heard = Heard(start=0, end=18, text="into sterilised jars")
    poured = dish(row("onion", 900), steps=[step("pour", "onion", text="Pour", heard=[heard])])
    assert "home canning" in topics(poured, pantry)


def test_dried_white_kidney_beans_too(pantry, row, dish) -> None:
    assert "dried kidney beans" in topics(dish(row("cannellini bean", 200, state="dried")), pantry)
    assert "dried kidney beans" not in topics(dish(row("cannellini bean", 200)), pantry)
