"""Grams of weighed, measured, counted, vague and unsaid amounts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobnote.pantry import open_pantry
from hobnote.pantry.vague import keys
from hobnote.record import Amount

UK, US, AU = open_pantry("uk"), open_pantry("us"), open_pantry("au")


def grams(name, n=1.0, pantry=UK, state=None, content_g=None, preparation=(), **said):
    food = pantry.match(name, state=state).food
    amount = Amount(low=n, best=n, high=n, **said)
    return pantry.grams(
        food, name, amount, preparation=preparation, state=state, content_g=content_g
    )


def test_what_was_weighed_is_exact():
    weight = grams("rice", 250, unit="g")
    assert (weight.low, weight.best, weight.high) == (250, 250, 250)
    assert grams("beef mince", 1, unit="lb").best == pytest.approx(453.59237)


def test_a_tablespoon_is_a_third_larger_in_australia():
    assert grams("olive oil", unit="tbsp", pantry=AU).best == pytest.approx(
        grams("olive oil", unit="tbsp").best * 20 / 15
    )


def test_a_british_cup_is_a_range():
    weight = grams("milk", unit="cup")
    assert weight.low < weight.best < weight.high


def test_heaped_is_one_and_a_half_to_two_times_level():
    level = grams("paprika", unit="tsp", size="level")
    heaped = grams("paprika", unit="tsp", size="heaped")
    assert 1.4 < heaped.low / level.low < 1.7
    assert heaped.best / level.best == pytest.approx(1.75)


def test_how_it_was_prepared_changes_the_cup():
    grated = grams("carrot", unit="cup", preparation=["grated"], pantry=US).best
    chopped = grams("carrot", unit="cup", preparation=["chopped"], pantry=US).best
    assert (grated, chopped) == (pytest.approx(110), pytest.approx(128))


def test_an_unknown_food_has_a_wide_range_and_says_so():
    weight = UK.grams(None, "gubbins", Amount(low=1, best=1, high=1, unit="tbsp"))
    assert weight.high / weight.low > 3
    assert "unknown food" in weight.source


def test_an_unknown_food_cannot_be_counted():
    assert UK.grams(None, "gubbins", Amount(low=2, best=2, high=2, unit="piece")) is None
    assert UK.grams(None, "gubbins", Amount(unit="g")) is None


def test_onions_without_a_size_are_small_to_large():
    weight = grams("onions", 2, unit="piece", pantry=US)
    assert (weight.low, weight.best, weight.high) == (140, 220, 300)


@pytest.mark.parametrize(("name", "figure"), [("onion", 110), ("potato", 213)])
def test_british_ones_are_of_another_size_and_allow_the_published_figure(name, figure):
    british, american = grams(name), grams(name, pantry=US)
    assert british.best != american.best == figure
    assert british.low < figure < british.high


def test_a_whole_garlic_is_a_bulb_and_a_whole_celery_a_head():
    for name, part in (("garlic", "clove"), ("celery", "stick")):
        whole = grams(name, size="whole").best
        assert whole == grams(f"whole {name}").best == grams(f"head of {name}").best
        assert whole > 8 * grams(name, noun=part).best == 8 * grams(name).best


def test_bones_are_no_part_of_what_is_eaten():
    for name in ("whole chicken", "chicken drumsticks", "pork ribs", "lamb leg on the bone"):
        weight = grams(name, 1000, unit="g")
        assert weight.low < weight.best < 900 and "eaten" in weight.source, name
    thighs = grams("skin-on chicken thighs", 1000, unit="g")
    assert thighs.best < thighs.high == 1000  # boned ones are sold too
    assert grams("bone-in chicken thighs", 1000, unit="g").high < 950
    lamb = grams("lamb shoulder", 1000, unit="g")
    assert lamb.low < 800 and lamb.best == 1000  # with or without its bone: not said
    for name in ("boneless chicken thighs", "diced lamb shoulder", "chicken breast"):
        weight = grams(name, 1000, unit="g")
        assert weight.low == weight.best == weight.high == 1000, name


def test_a_tin_is_drained_by_what_is_in_it():
    tin = {n: grams(n, noun="tin", content_g=(100, 100, 100)) for n in ("chickpeas", "tuna")}
    assert tin["chickpeas"].best == pytest.approx(60) and tin["tuna"].best == pytest.approx(70)
    assert grams("chopped tomatoes", noun="tin", content_g=(400, 400, 400)).best == 400


def test_grated_cheese_is_what_the_table_calls_shredded():
    grated = grams("cheddar", unit="cup", preparation=["grated"], pantry=US)
    assert grated.best == pytest.approx(113) and grated.high < 150


def test_toast_weighs_less_than_its_bread():
    assert grams("toast", noun="slice").best < grams("bread", noun="slice").best


@pytest.mark.parametrize(
    ("name", "noun", "low", "high"),
    [
        ("garlic", "clove", 2, 6), ("bread", "slice", 25, 50), ("bacon", "rasher", 14, 35),
        ("celery", "stick", 25, 70), ("chickpeas", "tin", 210, 270), ("tuna", "tin", 95, 145),
        ("chopped tomatoes", "tin", 380, 415), ("coconut milk", "can", 380, 415),
        ("coriander", "bunch", 12, 45), ("filo pastry", "sheet", 15, 46),
        ("halloumi", "block", 200, 260),
        ("chicken breast", None, 100, 240), ("chicken", "breast", 100, 240),
        ("thyme", "sprig", 0.3, 3),
        ("cheddar", "slice", 14, 36), ("broccoli", "head", 240, 460), ("stock cube", None, 3, 12),
        ("whey protein", "scoop", 24, 36), ("mint", "handful", 4, 26),
        ("salmon fillets", None, 105, 155),
        ("tortilla wraps", None, 35, 75), ("lemon juice", None, 20, 51),
        ("lime zest", None, 0.5, 3.5),
    ],
)  # fmt: skip
def test_counted_things(name, noun, low, high):
    weight = grams(name, unit="piece", noun=noun)
    assert low <= weight.low <= weight.best <= weight.high <= high


def test_a_tin_of_beans_is_drained_and_a_tin_of_tomatoes_is_not():
    beans = grams("kidney beans", unit="piece", noun="tin", content_g=(400, 400, 400))
    tomatoes = grams("chopped tomatoes", unit="piece", noun="tin", content_g=(400, 400, 400))
    assert 215 <= beans.low <= beans.best <= beans.high <= 265
    assert tomatoes.best == 400


def test_eggs_by_country_and_size():
    assert grams("egg", unit="piece", size="large", pantry=US).best == 50
    assert grams("egg", unit="piece", size="large").best == 60
    unsaid = grams("egg", unit="piece")
    assert unsaid.low < 51 < unsaid.high


def test_vague_measures_depend_on_the_food():
    oil = UK.vague("splash", UK.match("oil").food, "oil")
    milk = UK.vague("splash", UK.match("milk").food, "milk")
    assert oil.high < milk.best
    assert UK.vague("pinch", UK.match("salt").food, "salt").high <= 1
    assert UK.vague("zzz", None, "salt") is None


def test_a_good_pinch_is_more_than_a_small_one():
    good = UK.vague("pinch", None, "salt", size="good")
    small = UK.vague("pinch", None, "salt", size="small")
    assert good.best > small.best


@pytest.mark.parametrize("key", sorted(keys()))
@pytest.mark.parametrize("name", ["salt", "olive oil", "spinach", "cheddar", "water", "gubbins"])
def test_every_vague_measure_is_a_range_for_every_food(key, name):
    weight = UK.vague(key, UK.match(name).food, name)
    assert 0 < weight.low < weight.best < weight.high
    assert weight.source


@pytest.mark.parametrize(
    "name", ["salt", "oil", "basil", "carrot", "water", "flour", "gubbins", "cheddar"]
)
def test_what_is_usual_is_wide(name):
    weight = UK.usual(UK.match(name).food, name, 4)
    assert 0 < weight.low < weight.best < weight.high
    assert weight.high >= 2 * weight.best or weight.low <= weight.best / 2
    unsaid = UK.usual(UK.match(name).food, name)
    assert unsaid.low <= weight.low and unsaid.high >= weight.high


def test_density_and_edible_part():
    assert UK.density(UK.match("olive oil").food) == pytest.approx(0.913, abs=0.01)
    assert UK.density(UK.match("halloumi").food) is not None
    banana = UK.match("banana").food
    assert UK.edible(banana, 100) == pytest.approx(64)


FOODS = ["flour", "olive oil", "milk", "sugar", "rice", "honey", "carrot", "spinach", "paprika"]
UNITS = ["g", "kg", "oz", "lb", "ml", "l", "tsp", "tbsp", "cup", "fl oz"]


@given(st.sampled_from(FOODS), st.sampled_from(UNITS), st.floats(0.1, 50), st.floats(0.1, 50))
def test_more_is_never_less_and_bounds_hold_the_best(name, unit, a, b):
    small, large = sorted((a, b))
    first, second = (grams(name, n, unit=unit) for n in (small, large))
    assert first.low <= first.best <= first.high
    assert first.low <= second.low and first.best <= second.best and first.high <= second.high
    for key, per_100g in UK.match(name).food.nutrients.items():
        assert first.best * per_100g <= second.best * per_100g, key


@given(st.sampled_from(FOODS), st.floats(0.1, 40), st.sampled_from(["us", "uk", "au", "metric"]))
def test_cups_to_grams_to_cups_through_the_density(name, n, locale):
    """n cups -> g -> ml through the food's own density -> cups gives n again."""
    from hobnote.pantry.measures import factors

    pantry = open_pantry(locale)
    food = pantry.match(name).food
    amount = Amount(low=n, best=n, high=n, unit="cup")
    grams_of_it = pantry.grams(food, "", amount).best
    ml = grams_of_it / pantry.density(food)
    assert ml / factors(locale)["cup"].best == pytest.approx(n)


@given(st.sampled_from(FOODS), st.floats(0.1, 40), st.sampled_from(["us", "uk", "au", "metric"]))
def test_spoons_and_millilitres_go_both_ways(name, n, locale):
    """n spoons are n times one spoon, and a tablespoon is a whole number of teaspoons."""
    from hobnote.pantry.measures import factors

    pantry = open_pantry(locale)
    food = pantry.match(name).food
    weight = pantry.grams(food, name, Amount(low=n, best=n, high=n, unit="tbsp", size="level"))
    one = pantry.grams(food, name, Amount(low=1, best=1, high=1, unit="tbsp", size="level"))
    assert weight.best / one.best == pytest.approx(n)
    tbsp, tsp = factors(locale)["tbsp"].best, factors(locale)["tsp"].best
    assert tbsp / tsp == pytest.approx(round(tbsp / tsp))


@given(st.floats(0, 100), st.floats(0, 100), st.floats(0, 100))
def test_a_said_range_stays_a_range(a, b, c):
    low, best, high = sorted((a, b, c))
    food = UK.match("flour").food
    weight = UK.grams(food, "flour", Amount(low=low, best=best, high=high, unit="cup"))
    assert weight.low <= weight.best <= weight.high


@pytest.mark.parametrize(
    ("name", "state", "told", "share"),
    [
        ("mussel", None, (), 0.3), ("mussel", "cooked", (), 1), ("king prawn", None, (), 1),
        ("king prawn", None, ("shell on",), 0.6), ("prawn", None, ("shell on",), 0.6),
    ],
)  # fmt: skip
def test_shells_are_not_eaten(name, state, told, share):
    food = UK.match(name, state=state).food
    amount = Amount(low=1, best=1, high=1, unit="kg", basis="weighed")
    found = UK.grams(food, name, amount, preparation=told, state=state)
    assert found.best == pytest.approx(1000 * share)


def test_a_mug_of_rice_goes_through_its_density():
    amount = Amount(low=1, best=1, high=1, unit="piece", basis="counted", noun="mug")
    rice = UK.grams(UK.match("rice").food, "rice", amount)
    flour = UK.grams(UK.match("flour").food, "flour", amount)
    assert flour.best < rice.best and rice.low < rice.best < rice.high
