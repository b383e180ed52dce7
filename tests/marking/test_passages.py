from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from hobnote.marking.passages import CROWDED, LONGEST_UTTERANCE, LONGEST_WORD, MOST, passages

SPEECH = (
    "right so for the crew supper get the big pot on a medium heat and add two tablespoons of oil "
    "then chop three onions and put them in cook them for ten minutes until soft okay next we need "
    "the barley about four hundred grams rinse it and add it with two litres of stock bring it to "
    "the boil turn it down and simmer for forty minutes "
)


@given(st.text(max_size=2_000))
def test_passages_cover_any_text_without_overlap(text: str) -> None:
    found = passages(text)
    assert "".join(p.text for p in found) == text
    assert all(text[p.start : p.end] == p.text for p in found)
    assert all(a.end == b.start for a, b in pairwise(found))


@given(st.lists(st.sampled_from(["oats", "then", "stir.", "a", "\n"]), max_size=600))
def test_no_passage_is_longer_than_an_utterance_may_be(words: list[str]) -> None:
    text = " ".join(words)
    assert all(len(p.text.split()) <= LONGEST_UTTERANCE for p in passages(text))


def test_unpunctuated_speech_is_cut_between_clauses() -> None:
    found = passages(SPEECH * 20)
    assert all(len(p.text.split()) <= MOST for p in found)
    openings = {p.text.split()[0] for p in found}
    assert not openings & {"heat", "of", "the", "grams", "minutes", "tablespoons"}


def test_sentences_stay_whole() -> None:
    sentence = "Weigh 250 g of oats for the lunch boxes and toast for approx. 8 min. in the oven. "
    found = passages(sentence * 40)
    assert len(found) > 1
    assert all(p.text.startswith("Weigh") for p in found)


def test_a_long_paragraph_ends_its_passage() -> None:
    first = "We fed the juniors first and then the seniors. " * 6
    found = passages(first.strip() + "\nNow the barley.")
    assert [p.text.split()[0] for p in found] == ["We", "Now"]


def test_short_messages_share_a_passage() -> None:
    assert len(passages("two onions\nfry them\n10 min\nadd the barley")) == 1


def test_no_text_no_passage() -> None:
    assert passages("") == []


def test_text_without_blanks_is_cut_too() -> None:
    """Every sign of it may become a token, and one Doc of them all costs more than linear time."""
    text = "then the oats\noptional" + ":l" * 8000
    found = passages(text)
    assert "".join(p.text for p in found) == text
    assert max(len(p.text) for p in found) <= LONGEST_UTTERANCE // CROWDED * LONGEST_WORD + 30
