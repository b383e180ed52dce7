import pytest
import spacy
from hypothesis import given
from hypothesis import strategies as st

from hobnote.marking import sounds
from hobnote.marking.marks import (
    AMOUNT,
    FOOD,
    MISHEARD,
    AmountValue,
    FoodValue,
    MishearingValue,
    marks,
    put,
)
from hobnote.marking.mishearings import Mishearings
from hobnote.pantry import open_pantry

NLP = spacy.blank("en")
MARKER = Mishearings(open_pantry().vocabulary())


def proposed(text: str) -> list[tuple[str, str]]:
    values = [m.value for m in marks(MARKER(NLP(text)), MISHEARD)]
    assert all(isinstance(v, MishearingValue) and 0 < v.score <= 1 for v in values)
    return [(v.heard, v.suggestion) for v in values]


@pytest.mark.parametrize(
    ("text", "heard", "meant"),
    [
        ("add a teaspoon of time and stir", "time", "thyme"),
        ("pick some time leaves off", "time", "thyme"),
        ("200 g of flower in the bowl", "flower", "flour"),
        ("wash the leaks well", "leaks", "leek"),
        ("brown the meet in two goes", "meet", "meat"),
        ("two sticks of sell a re", "sell a re", "celery"),
        ("a tablespoon of all of oil", "all of oil", "olive oil"),
        ("slice the cue cumber thinly", "cue cumber", "cucumber"),
        ("now need the dough for ten minutes", "need", "knead"),
        ("great the cheese over it", "great", "grate"),
        ("one read chilli sliced", "read", "red"),
    ],
)
def test_known_pairs_are_proposed_in_their_place(text: str, heard: str, meant: str) -> None:
    assert (heard, meant) in proposed(text)


@pytest.mark.parametrize(
    ("text", "heard", "meant"),
    [
        ("20 g of to he knee", "to he knee", "tahini"),
        ("a teaspoon of garra mass ala", "garra mass ala", "garam masala"),
        ("a handful of pep eaters", "pep eaters", "pepita"),
        ("two tablespoons of key fear", "key fear", "kefir"),
        ("a teaspoon of pap reek a", "pap reek a", "paprika"),
        ("150 g of mosque a pony", "mosque a pony", "mascarpone"),
    ],
)
def test_unlisted_sounds_are_found_by_ear(text: str, heard: str, meant: str) -> None:
    assert (heard, meant) in proposed(text)


@pytest.mark.parametrize(
    "text",
    [
        "the cooking time is ten minutes this time",
        "it takes a long time and you need the big pot",
        "turn it two or three times on one side",
        "meet the crew at the boathouse and bury the bones",
        "put it in a warm place until it has doubled",
        "place the fillets in the pan and cook until golden",
        "200 g or so for each person and a bit more for the cox",
        "that was great the juniors loved it",
        "a teaspoon of baking powder and two bay leaves",
        "add it a tablespoon at a time until it binds",
        "grill for ten minutes or until crisp",
    ],
)
def test_ordinary_speech_is_left_alone(text: str) -> None:
    assert proposed(text) == []


def test_only_the_words_that_differ_are_marked() -> None:
    assert proposed("brown the beef mints well") == [("mints", "mince")]
    assert proposed("a litre of chicken stalk") == [("stalk", "stock")]
    assert proposed("a good splash of all of oil") == [("all of oil", "olive oil")]


def test_a_known_food_is_not_questioned() -> None:
    doc = NLP("40 g of laverbread")
    put(doc, AMOUNT, 0, 2, AmountValue(40, 40, 40, "g"))
    put(doc, FOOD, 3, 4, FoodValue("laverbread"))
    assert marks(MARKER(doc), MISHEARD) == []


def test_marks_of_amounts_are_used() -> None:
    doc = NLP("a good whack of fetter")
    put(doc, AMOUNT, 0, 4, AmountValue(1, 1, 1, vague="whack"))
    assert [m.value.suggestion for m in marks(MARKER(doc), MISHEARD)] == ["feta"]


def test_the_component_has_a_factory() -> None:
    nlp = spacy.blank("en")
    nlp.add_pipe("hobnote_mishearings")
    assert marks(nlp("add a pinch of time"), MISHEARD)


def test_homophones_sound_the_same() -> None:
    assert sounds.phrase("meat") == sounds.phrase("meet")
    assert sounds.phrase("leek") == sounds.phrase("leak")


@given(st.text(max_size=200))
def test_any_text_passes(text: str) -> None:
    doc = MARKER(NLP(text))
    for mark in marks(doc, MISHEARD):
        assert doc[mark.start : mark.end].text == mark.value.heard


@given(st.text("abcdefghijklmnopqrstuvwxyz ", max_size=30), st.text("aeioutrns", max_size=12))
def test_likeness_has_bounds_and_is_one_for_the_same(a: str, b: str) -> None:
    x, y = sounds.phrase(a), sounds.phrase(b)
    assert 0.0 <= sounds.likeness(x, y) <= 1.0
    assert sounds.distance(x, y) == pytest.approx(sounds.distance(y, x))
    assert not x or sounds.likeness(x, x) == 1.0
