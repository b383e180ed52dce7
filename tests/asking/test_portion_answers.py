"""While portions are asked for, a number in a sentence about something else is no answer."""

from __future__ import annotations

import pytest

from hobnote.asking.conversation import Conversation

NOTE = (
    "Lentil soup for the Tuesday crew. One onion chopped, five minutes. Three hundred grams of "
    "red lentils, a litre and a half of vegetable stock, a tin of tomatoes. "
    "Simmer it for 25 minutes."
)


@pytest.mark.parametrize(
    "message", ["oven 180", "simmer it for 30 instead", "it cooked for half an hour",
                "it was a 400 gram tin", "the onion weighed 140"]
)  # fmt: skip
def test_other_numbers_are_no_portions(message: str) -> None:
    conversation = Conversation.start(NOTE)
    conversation.say(message)
    assert conversation.record.portions is None


@pytest.mark.parametrize(
    ("message", "portions"), [("about six", 6), ("sixteen squares", 16), ("eight bowls", 8),
                              ("we were five", 5), ("makes a dozen", 12)]
)  # fmt: skip
def test_a_number_of_eaters_is(message: str, portions: float) -> None:
    conversation = Conversation.start(NOTE)
    conversation.say(message)
    assert conversation.record.portions is not None
    assert conversation.record.portions.best == portions


def test_a_weight_of_something_counted_is_grams() -> None:
    conversation = Conversation.start(NOTE)
    conversation.say("the onion weighed 140")
    row = next(
        i for c in conversation.record.components for i in c.ingredients if i.name == "onion"
    )
    assert row.grams is not None
    assert row.grams.best == 140
