import pytest

from hobnote.nutrition import weigh
from hobnote.nutrition.allergens import names, of_text
from hobnote.pantry import open_pantry
from hobnote.record import Amount, Component, Ingredient, Record


@pytest.mark.parametrize(
    ("text", "allergen"),
    [
        ("spelt flour", "cereals containing gluten"),
        ("pearl barley", "cereals containing gluten"),
        ("king prawns", "crustaceans"),
        ("aioli", "eggs"),
        ("anchovies", "fish"),
        ("satay sauce", "peanuts"),
        ("white miso", "soybeans"),
        ("plain yoghurt", "milk"),
        ("flaked almonds", "nuts"),
        ("celeriac", "celery"),
        ("dijon", "mustard"),
        ("tahini", "sesame"),
        ("lupin flour", "lupin"),
        ("baby squid", "molluscs"),
    ],
)
def test_certain_words(text: str, allergen: str) -> None:
    assert of_text(text)[allergen][0] == "contains"


@pytest.mark.parametrize(
    ("text", "allergen"),
    [
        ("red wine", "sulphur dioxide and sulphites"),
        ("dark chocolate", "milk"),
        ("stock cube", "celery"),
        ("curry powder", "mustard"),
    ],
)
def test_doubtful_words_are_kept_apart(text: str, allergen: str) -> None:
    assert of_text(text)[allergen][0] == "may contain"


@pytest.mark.parametrize(
    ("text", "allergen"),
    [
        ("coconut milk", "milk"),
        ("peanut butter", "milk"),
        ("butter beans", "milk"),
        ("rice flour", "cereals containing gluten"),
        ("rice noodles", "cereals containing gluten"),
        ("buckwheat", "cereals containing gluten"),
        ("nutmeg", "nuts"),
        ("coconut", "nuts"),
        ("butternut squash", "nuts"),
        ("oyster mushrooms", "molluscs"),
        ("eggplant", "eggs"),
        ("ginger beer", "cereals containing gluten"),
        ("cream of tartar", "milk"),
    ],
)
def test_words_that_only_look_alike(text: str, allergen: str) -> None:
    assert allergen not in of_text(text)


def test_a_dish_lists_what_brought_each_in(pantry, row, dish) -> None:
    out = weigh(dish(row("flour", 100), row("tahini", 20), row("milk", 50)), pantry)
    by = {a.name: a for a in out.allergens}
    assert by["sesame"].ingredients == ["tahini"] and "tahini" in by["sesame"].words
    assert by["wheat"].regimes == ["US"] and by["milk"].regimes == ["EU", "US"]
    assert names(out.allergens, "US") == ["wheat", "milk", "sesame"]
    assert names(out.allergens, "EU") == ["cereals containing gluten", "milk", "sesame"]


def test_the_table_row_speaks_where_the_name_does_not(pantry, row, dish) -> None:
    pantry.match = lambda name, **_: type(pantry).match(pantry, "flour")
    out = weigh(dish(row("strong white", 100)), pantry)
    assert "wheat" in names(out.allergens, "US")


def test_swaps_do_not_count_and_extras_only_may(pantry, row, dish) -> None:
    rows = [row("tahini", 20), row("peanut butter", swap_for="tahini")]
    parts = [
        Component(ingredients=[*rows, row("milk", 10, optional=True)]),
        Component(name="topping", optional=True, ingredients=[row("egg", 50)]),
    ]
    found = weigh(dish(components=parts), pantry).allergens
    assert names(found, "EU") == ["sesame"]
    assert names(found, "EU", "may contain") == ["eggs", "milk"]


def test_the_pantry_s_classes_speak_for_names_that_no_list_holds(pantry, row, dish) -> None:
    pantry.classes = lambda food, name: frozenset({"cheese"})
    out = weigh(dish(row("old crumbly one", 20)), pantry)
    assert names(out.allergens, "EU") == ["milk"]
    assert weigh(dish(row("vegan crumbly one", 20)), pantry).allergens == []


def test_a_name_that_says_no_outweighs_its_table_row(pantry, row, dish) -> None:
    pantry.match = lambda name, **_: type(pantry).match(pantry, "milk")
    assert weigh(dish(row("coconut yoghurt", 50)), pantry).allergens == []
    assert names(weigh(dish(row("white drink", 50)), pantry).allergens, "EU") == ["milk"]


def test_what_is_certain_is_not_listed_as_doubtful_too(pantry, row, dish) -> None:
    found = weigh(dish(row("celery", 50), row("stock cube", 5)), pantry).allergens
    assert [a.certainty for a in found if a.name == "celery"] == ["contains"]


def held(name: str) -> tuple[set[str], set[str]]:
    """(certain, possible) allergens of 100 g of a food with the real pantry."""
    amount = Amount(low=100, best=100, high=100, unit="g", basis="weighed")
    part = Component(ingredients=[Ingredient(name=name, amount=amount)])
    found = weigh(Record(components=[part]), open_pantry("uk")).allergens
    return (
        {a.name for a in found if a.certainty == "contains"},
        {a.name for a in found if a.certainty == "may contain"},
    )


@pytest.mark.parametrize(
    ("food", "certain", "possible"),
    [
        ("pesto", {"milk"}, {"nuts"}),
        ("yorkshire pudding", {"milk", "eggs", "wheat"}, set()),
        ("bechamel", {"milk", "wheat"}, set()),
        ("coleslaw", {"eggs"}, {"mustard"}),
        ("caesar dressing", {"eggs"}, {"fish", "milk"}),
        ("salad cream", {"eggs", "mustard"}, set()),
        ("lemon curd", {"eggs", "milk"}, set()),
        ("fish finger", {"fish", "wheat"}, set()),
        ("black pudding", {"cereals containing gluten"}, set()),
        ("yeast extract", {"cereals containing gluten"}, {"celery"}),
        ("gochujang", {"soybeans"}, {"cereals containing gluten"}),
        ("oyster sauce", {"molluscs"}, {"soybeans", "wheat"}),
        ("hollandaise", {"eggs", "milk"}, set()),
        ("mixed seafood", set(), {"fish", "crustaceans"}),
        ("asafoetida", set(), {"wheat"}),
        ("samosa", {"wheat"}, set()),
    ],
)
def test_compound_foods_carry_what_they_are_made_of(food, certain, possible) -> None:
    has, may = held(food)
    assert certain <= has and possible <= may


@pytest.mark.parametrize(
    ("food", "gone"),
    [
        ("gluten-free pasta", "cereals containing gluten"),
        ("gluten free bread", "wheat"),
        ("gluten-free soy sauce", "wheat"),
        ("vegan pesto", "milk"),
        ("vegan mayonnaise", "eggs"),
        ("egg-free mayo", "eggs"),
        ("cashew cream", "milk"),
        ("nut-free pesto", "nuts"),
        ("black bean sauce", "molluscs"),
        ("taco shell", "cereals containing gluten"),
    ],
)
def test_what_a_name_rules_out_is_not_listed(food, gone) -> None:
    has, may = held(food)
    assert gone not in has | may
