"""Corrections by hand: only what differs changes, and every figure still points at its words."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from hobnote.asking.conversation import Conversation
from hobnote.asking.corrections import CannotCorrect, DishFix, RowFix, StepFix
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
