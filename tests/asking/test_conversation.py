"""The laws of a conversation: what stands is what counts, and nothing depends on stopping."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hobnote.asking.conversation import Conversation
from hobnote.following import events as ev
from hobnote.keeping import StaleRecipe
from hobnote.keeping.memory import InMemory
from hobnote.keeping.store import Store
from hobnote.record import Amount

NOTE = "Put a glug of oil in the pan and fry 2 onions for 5 minutes. 30 g tahini. Serves two."
SAID = ["a tablespoon", "7 g", "skip", "none", "drop the onions", "the tahini was 40 g",
        "add 20 g of butter", "call it shed onions", "make it serve four", "swap tahini for butter",
        "then simmer for 10 minutes", "the second one"]  # fmt: skip
LOOKED = ["what's the protein?", "why?", "purple monkey", "show me step 1"]
MOVES = st.lists(
    st.one_of(
        st.sampled_from(SAID),
        st.sampled_from(LOOKED),
        st.sampled_from(["undo", "redo", "undo the last two"]),
    ),
    max_size=8,
)
few = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def replayed(talk: Conversation) -> Conversation:
    """A new conversation that hears only the messages of ``talk`` that stand."""
    note, *rest = talk.standing
    fresh = Conversation.start(note.text)
    for turn in rest:
        fresh.say(turn.text)
    return fresh


@few
@given(MOVES)
def test_the_record_is_that_of_the_surviving_messages_alone(moves: list[str]) -> None:
    talk = Conversation.start(NOTE)
    for move in moves:
        talk.say(move)
    fresh = replayed(talk)
    assert fresh.record == talk.record
    assert fresh.questions == talk.questions
    assert fresh.text == talk.text


@few
@given(MOVES, st.integers(0, 8))
def test_stopping_and_resuming_anywhere_changes_nothing(
    tmp_path: Path, moves: list[str], stop: int
) -> None:
    store = Store.open(str(tmp_path / "recipes.sqlite3"))
    whole = Conversation.start(NOTE)
    broken = Conversation.start(NOTE, store)
    for n, move in enumerate(moves):
        if n == stop:
            broken = Conversation.resume(store, broken.id)
        one, other = whole.say(move), broken.say(move)
        assert (one.lines, one.changed) == (other.lines, other.changed)
    again = Conversation.resume(store, broken.id)
    assert again.record == whole.record == broken.record
    assert again.questions == whole.questions


def test_a_message_points_at_its_own_words() -> None:
    talk = Conversation.start(NOTE)
    talk.say("the tahini was 40 g")
    for part in talk.record.components:
        for row in part.ingredients:
            for heard in row.heard:
                assert talk.text[heard.start : heard.end] == heard.text
    tahini = next(
        row for p in talk.record.components for row in p.ingredients if row.name == "tahini"
    )
    assert tahini.heard[-1].text == "the tahini was 40 g"


def test_two_conversations_cannot_overwrite_each_other(tmp_path: Path) -> None:
    store = Store.open(str(tmp_path / "recipes.sqlite3"))
    one = Conversation.start(NOTE, store)
    other = Conversation.resume(store, one.id)
    one.say("the tahini was 40 g", who="bow")
    before = other.record
    with pytest.raises(StaleRecipe, match="bow: the tahini was 40 g"):
        other.say("the tahini was 50 g", who="stroke")
    assert other.record == before
    assert [t.who for t in other.refresh()] == ["bow"]
    assert other.record == one.record
    assert other.say("the tahini was 50 g", who="stroke").changed


def test_settled_questions_are_not_asked_again_until_the_row_changes(talk: Conversation) -> None:
    raisins = next(q for q in talk.questions if q.ingredient == "raisin")
    reply = talk.answer(raisins.id, "I don't know")
    assert not reply.changed
    assert all(q.id != raisins.id for q in reply.questions)
    talk.say("the raisins were a good pinch")
    assert any(q.id == raisins.id for q in talk.questions)


def test_one_answer_may_settle_several_questions(
    make_dish: Callable[..., list[ev.Event]], open_events: Callable[..., Conversation]
) -> None:
    handful = Amount(basis="vague", noun="handful", low=1, best=1, high=1, said="a handful")
    events = [
        e.model_copy(update={"amount": handful})
        if isinstance(e, ev.Measured) and e.key == "r8"
        else e
        for e in make_dish()
    ]
    talk = open_events(events)
    about = {q.kind: q.id for q in talk.questions if q.key == "r8"}
    assert set(about) == {"mis-heard word", "vague amount"}
    talk.answer(about["vague amount"], "half a teaspoon of dried thyme")
    assert not [q for q in talk.questions if q.key == "r8"]


def test_the_same_food_in_two_parts_is_told_by_its_place(talk: Conversation) -> None:
    before = talk.record
    talk.say("the oil in the dressing was 5 g")
    rows = {p.name: {r.name: r for r in p.ingredients} for p in talk.record.components}
    assert rows["dressing"]["oil"].amount.best == 5
    assert rows["main"]["oil"] == next(
        r for p in before.components for r in p.ingredients if p.name == "main" and r.name == "oil"
    )


def test_questions_come_dearest_first_and_small_ones_are_only_listed(talk: Conversation) -> None:
    asked = [q for q in talk.questions if q.matters]
    moved = [q.effect_kcal.high - q.effect_kcal.low for q in asked if q.effect_kcal]
    assert moved == sorted(moved, reverse=True)
    assert all(2 <= len(q.options) <= 4 for q in asked)
    assert talk.questions == [*asked, *(q for q in talk.questions if not q.matters)]


def test_thresholds_may_be_changed(
    make_dish: Callable[..., list[ev.Event]], open_events: Callable[..., Conversation]
) -> None:
    from hobnote.asking.questions import Thresholds

    talk = open_events(make_dish())
    kinds = {q.kind for q in talk.questions if q.matters}
    talk.thresholds = Thresholds.usual(energy_share=1.0, sodium_mg_a_portion=1e9)
    talk._now = None
    fewer = {q.kind for q in talk.questions if q.matters}
    assert "vague amount" in kinds and "vague amount" not in fewer
    assert "mis-heard word" in fewer


def test_an_option_is_picked_by_question_and_place(talk: Conversation) -> None:
    asked = talk.asked
    assert asked is not None
    reply = talk.answer(asked.id, 0)
    assert reply.changed and asked.options[0].split()[0] in reply.changed[0]
    with pytest.raises(KeyError):
        talk.answer(asked.id, 0)


def test_undo_reaches_the_first_note_and_no_further() -> None:
    talk = Conversation.start(NOTE)
    before = talk.record
    talk.say("drop the onions")
    talk.say("the tahini was 40 g")
    talk.say("undo the last two")
    assert talk.record == before
    assert talk.say("undo").lines == ("There is nothing to undo.",)
    assert talk.record == before


def test_dictating_on_touches_only_what_it_names() -> None:
    keeper = InMemory()
    talk = Conversation.start(NOTE, keeper)
    before = {r.name: r for p in talk.record.components for r in p.ingredients}
    talk.say("then stir in 150 g of peas")
    after = {r.name: r for p in talk.record.components for r in p.ingredients}
    assert set(after) - set(before) == {"pea"}
    assert all(after[name] == row for name, row in before.items())


def test_a_conversation_begins_with_what_reading_alone_gives() -> None:
    from hobnote.asking.settling import without_settled
    from hobnote.job import read

    note = "Put a tin of tomatoes and 2 tablespoons of oil in the pan. 300 g leeks. For two."
    assert Conversation.start(note).record == without_settled(read(note), [])
