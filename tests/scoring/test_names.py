import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobnote.scoring.names import best_likeness, likeness, same_part, same_verb, singular


@pytest.mark.parametrize(
    ("a", "b"),
    [
        ("tomato", "Tomatoes"),
        ("cornflour", "corn flour"),
        ("yoghurt", "yogurt"),
        ("chilli", "chili"),
        ("crème fraîche", "creme fraiche"),
        ("cinnamon stick", "stick of cinnamon"),
        ("cumin", "ground cumin"),
        ("egg", "large eggs"),
        ("self-raising flour", "self raising flour"),
        ("cookie", "cookies"),
        ("wholemeal bread flour", "strong wholemeal bread flour"),
    ],
)
def test_the_same_food(a: str, b: str) -> None:
    assert likeness(a, b) > 0.8
    assert likeness(b, a) == likeness(a, b)


@pytest.mark.parametrize(
    ("a", "b"),
    [
        ("coconut milk", "milk"),
        ("peanut butter", "butter"),
        ("sour cream", "cream"),
        ("bell pepper", "black pepper"),
        ("baking powder", "baking soda"),
        ("egg white", "egg"),
        ("red pepper", "pepper"),
        ("chicken stock", "chicken"),
        ("oat", "oat milk"),
        ("leek", "lemon"),
    ],
)
def test_another_food(a: str, b: str) -> None:
    assert likeness(a, b) == 0.0


def test_an_accepted_shorter_name_counts_though_the_rule_alone_would_not() -> None:
    assert likeness("onion", "red onion") == 0.0
    assert best_likeness("onion", ["red onion", "onion"]) > 0.9


@given(st.text(max_size=30), st.text(max_size=30))
def test_likeness_is_symmetric_and_bounded(a: str, b: str) -> None:
    assert 0.0 <= likeness(a, b) <= 1.0
    assert likeness(a, b) == likeness(b, a)


@pytest.mark.parametrize(
    ("one", "many"),
    [("leaf", "leaves"), ("peach", "peaches"), ("olive", "olives"), ("egg", "eggs")],
)
def test_singular_gives_one_key(one: str, many: str) -> None:
    assert singular(one) == singular(many)


def test_parts_of_a_dish() -> None:
    assert same_part("dressing", "yoghurt dressing")
    assert same_part("icing", "cream cheese frosting")
    assert not same_part("dressing", "topping")
    assert not same_part("main", "dressing")


def test_verbs() -> None:
    assert same_verb("stir", ["stir in", "add"])
    assert same_verb("pre-heat", ["preheat"])
    assert same_verb("bring to the boil", ["boil"])
    assert not same_verb("fry", ["boil", "bake"])
