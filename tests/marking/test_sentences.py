import spacy
from hypothesis import given
from hypothesis import strategies as st

from hobnote.marking import sentences


def parts(text: str) -> list[str]:
    starts = sentences.utterance_starts(text)
    return [text[a:b].strip() for a, b in zip(starts, [*starts[1:], len(text)], strict=True)]


def test_abbreviations_and_decimals_end_no_sentence() -> None:
    text = "Add approx. 3 oz. of butter, e.g. the salted one. Stir in 1.5 l of milk."
    assert parts(text) == [
        "Add approx. 3 oz. of butter, e.g. the salted one.",
        "Stir in 1.5 l of milk.",
    ]


def test_a_unit_ends_a_sentence_before_a_capital() -> None:
    assert parts("Add 2 tbsp. Stir. Bake 20 min. Serve.") == [
        "Add 2 tbsp.",
        "Stir.",
        "Bake 20 min.",
        "Serve.",
    ]


def test_numbers_of_list_items_stay_with_their_item() -> None:
    assert parts("1. Heat the oven.\n2. Toast the oats.") == [
        "1. Heat the oven.",
        "2. Toast the oats.",
    ]


def test_a_hesitation_is_no_end() -> None:
    assert parts("add the... um the quark. done") == ["add the... um the quark.", "done"]


def test_a_newline_begins_a_message() -> None:
    assert parts("two onions\n\nfry them 10 min\n") == ["two onions", "fry them 10 min"]


def test_running_speech_is_divided_by_its_words() -> None:
    text = (
        "put the big pot on a medium heat with two tablespoons of oil okay next chop three onions "
        "and fry them for ten minutes until they are soft and then add the barley and the stock"
    )
    assert parts(text)[0].startswith("put")
    assert any(p.startswith("okay next") for p in parts(text))
    assert parts(text)[-1].startswith("and then add")


def test_a_sentence_of_usual_length_is_left_alone() -> None:
    text = "put the pot on and then add the oil so it warms up"
    assert parts(text) == [text]


def test_the_component_writes_sentence_starts() -> None:
    nlp = spacy.blank("en")
    nlp.add_pipe("hobnote_sentences")
    doc = nlp("Toast the oats. Let them cool\nweigh 40 g each")
    assert [s.text.strip() for s in doc.sents] == [
        "Toast the oats.",
        "Let them cool",
        "weigh 40 g each",
    ]


@given(st.text(max_size=1_000))
def test_starts_ascend_and_stand_on_a_word(text: str) -> None:
    starts = sentences.utterance_starts(text)
    assert starts == sorted(set(starts))
    assert all(not text[s].isspace() for s in starts)
    assert bool(starts) == bool(text.strip())
