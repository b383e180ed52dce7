"""Corrections by hand: only what differs changes, and every figure still points at its words."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from hobnote.asking.conversation import Conversation
from hobnote.asking.corrections import CannotCorrect, DishFix, MoveFix, RowFix, StepFix
from hobnote.asking.versions import at, differences

NOTE = (
    "Boathouse porridge for the four. 160 g oats, 500 ml milk, a pinch of salt. "
    "Simmer everything on low heat for 6 minutes."
)


@pytest.fixture
def talk() -> Conversation:
    return Conversation.start(NOTE)


def _key(talk: Conversation, name: str) -> str:
    return next(key for key, row in talk.rows.items() if row.name == name)


def test_an_amount_in_words_and_its_words(talk: Conversation) -> None:
    key = _key(talk, "oats")
    reply = talk.correct(RowFix(key=key, amount="180 g"))
    row = talk.rows[key]
    assert row.grams is not None and row.grams.best == 180
    assert any(line.startswith("oats: 180 g") for line in reply.changed)
    last = row.heard[-1]
    assert talk.text[last.start : last.end] == last.text == "oats: 180 g"
    talk.undo()
    before = talk.rows[key].grams
    assert before is not None and before.best == 160


def test_a_form_that_is_sent_back_unchanged_changes_nothing(talk: Conversation) -> None:
    key = _key(talk, "oats")
    row, step = talk.rows[key], next(iter(talk.steps))
    version = talk.version
    talk.correct(
        RowFix(key=key, amount=row.amount.said, name="oats", component="main", optional=False)
    )
    was = talk.steps[step]
    talk.correct(StepFix(key=step, text=was.text, heat=was.heat))
    assert talk.version == version


def test_name_part_and_optional(talk: Conversation) -> None:
    key = _key(talk, "milk")
    talk.correct(RowFix(key=key, name="Oat milk", component="pan", optional=True))
    row = talk.rows[key]
    assert (row.name, row.optional) == ("oat milk", True)
    assert [c.name for c in talk.record.components if row in c.ingredients] == ["pan"]


def test_a_step(talk: Conversation) -> None:
    key = next(k for k, s in talk.steps.items() if s.minutes)
    talk.correct(
        StepFix.model_validate(
            {"key": key, "heat": "medium-low", "minutes": {"low": 7, "high": 9}}
            | {"text": "Simmer it"}
        )
    )
    step = talk.steps[key]
    assert step.minutes is not None
    assert (step.heat, step.minutes.low, step.minutes.high) == ("medium-low", 7, 9)
    assert step.text == "Simmer it"
    talk.correct(StepFix(key=key, gone=True))
    assert key not in talk.steps


def test_the_dish(talk: Conversation) -> None:
    talk.correct(DishFix(title="crew porridge", portions=6))
    assert talk.record.title == "crew porridge"
    assert talk.record.portions is not None and talk.record.portions.best == 6


@pytest.mark.parametrize("amount", ["rather nice", "12 minutes", "at six we row"])
def test_what_is_no_amount_is_said_and_nothing_changes(talk: Conversation, amount: str) -> None:
    version = talk.version
    with pytest.raises(CannotCorrect, match=r"amount|what"):
        talk.correct(RowFix(key=_key(talk, "oats"), amount=amount))
    assert talk.version == version


def test_what_is_not_there(talk: Conversation) -> None:
    with pytest.raises(KeyError):
        talk.correct(RowFix(key="nowhere", amount="3 g"))
    with pytest.raises(KeyError):
        talk.correct(StepFix(key=_key(talk, "oats"), text="stir"))
    with pytest.raises(ValidationError):
        StepFix.model_validate({"key": "a", "minutes": {"low": 9, "high": 7}})
    with pytest.raises(ValidationError):
        DishFix(title="\x00")


def test_versions_and_what_is_between_them(talk: Conversation) -> None:
    talk.correct(RowFix(key=_key(talk, "oats"), amount="200 g"))
    first = at(talk, 1)
    assert first.version == 1
    assert any(line.startswith("oats: 200 g") for line in differences(first, talk))
    assert differences(talk, talk) == []
    with pytest.raises(KeyError):
        at(talk, 3)


def test_what_is_emptied_is_open_again(talk: Conversation) -> None:
    key = _key(talk, "oats")
    talk.correct(RowFix(key=key, cleared=("amount",)))
    assert talk.rows[key].amount.basis == "unsaid" and talk.rows[key].name == "oats"
    assert any(q.key == key and q.kind == "missing amount" for q in talk.questions)
    version = talk.version
    talk.correct(RowFix(key=key, cleared=("amount",)))
    assert talk.version == version  # there is nothing left to empty
    step = next(k for k, s in talk.steps.items() if s.minutes)
    reply = talk.correct(StepFix(key=step, cleared=("heat", "minutes", "until")))
    now = talk.steps[step]
    assert (now.heat, now.minutes, now.until) == (None, None, None)
    assert reply.changed
    talk.undo()
    assert talk.steps[step].heat == "low"


def test_order(talk: Conversation) -> None:
    names = [row.name for row in talk.rows.values()]
    reply = talk.correct(
        MoveFix(what="ingredient", key=_key(talk, "salt"), before=_key(talk, "oats"))
    )
    assert [row.name for row in talk.rows.values()] == ["salt", "oats", "milk"]
    assert reply.changed == ("salt: now before oats",)
    assert talk.turns[-1].text == "salt: before oats"
    talk.correct(MoveFix(what="ingredient", key=_key(talk, "salt")))
    assert [row.name for row in talk.rows.values()] == names == ["oats", "milk", "salt"]
    version = talk.version
    talk.correct(MoveFix(what="ingredient", key=_key(talk, "salt")))
    talk.correct(MoveFix(what="ingredient", key=_key(talk, "oats"), before=_key(talk, "milk")))
    assert talk.version == version  # they stand there already
    talk.undo(2)
    assert [row.name for row in talk.rows.values()] == names
    with pytest.raises(KeyError):
        talk.correct(MoveFix(what="ingredient", key=_key(talk, "oats"), before="nowhere"))


def test_a_row_joins_the_part_of_the_one_that_it_goes_before(talk: Conversation) -> None:
    talk.correct(RowFix(key=_key(talk, "milk"), component="jug"))
    reply = talk.correct(
        MoveFix(what="ingredient", key=_key(talk, "salt"), before=_key(talk, "milk"))
    )
    jug = next(part for part in talk.record.components if part.name == "jug")
    assert [row.name for row in jug.ingredients] == ["salt", "milk"]
    assert reply.changed == ("salt: now in the jug",)


def test_the_order_of_steps() -> None:
    talk = Conversation.start("Chop 100 g onion. Fry it for 5 minutes. Stir in 20 g butter.")
    chop, fry, stir = talk.steps
    talk.correct(MoveFix(what="step", key=stir, before=chop))
    assert list(talk.steps) == [stir, chop, fry]
    assert [step.number for step in talk.record.steps] == [1, 2, 3]
    reply = talk.correct(StepFix(key=chop, component="sofrito", text="Chop it fine"))
    assert talk.steps[chop].component == "sofrito"
    assert any("Chop it fine" in line for line in reply.changed)
    first = at(talk, 1)
    assert any("now before" in line for line in differences(first, talk))
