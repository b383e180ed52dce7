"""A small dish as events, so that answers are tested apart from how notes are read."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from hobnote.asking.conversation import Conversation
from hobnote.following import events as ev
from hobnote.keeping.memory import InMemory
from hobnote.keeping.turns import Draft
from hobnote.record import Amount, Heard, Range

NOTE = (
    "Crew pan. A glug of oil, two cloves of garlic, a handful of raisins, 200 ml kefir, "
    "30 g tahini, 500 g chicken thighs, 50 g butter, a teaspoon of time, 300 ml milk. "
    "Fry, simmer, bake. Dressing: a tablespoon of oil."
)


def heard(words: str, after: int = 0) -> tuple[Heard, ...]:
    """Where ``words`` stand in the note."""
    start = NOTE.index(words, after)
    return (Heard(start=start, end=start + len(words), text=words),)


def _row(
    key: str, name: str, amount: Amount, words: str, component: str = "main"
) -> list[ev.Event]:
    at = heard(words)
    named = ev.Named(key=key, name=name, component=component, heard=at)
    return [named, ev.Measured(key=key, amount=amount, heard=at)]


def _exact(best: float, unit: str, noun: str | None = None) -> Amount:
    basis = {"g": "weighed", "piece": "counted"}.get(unit, "measured")
    return Amount.model_validate(
        {"low": best, "best": best, "high": best, "unit": unit, "basis": basis, "noun": noun}
    )


def _vague(noun: str) -> Amount:
    return Amount(low=1, best=1, high=1, basis="vague", noun=noun, said=f"a {noun}")


def dish(*, portions: float | None = 2, baked: float | None = 180.0) -> list[ev.Event]:
    """Rows r1 to r9 and steps s1 to s3."""
    events: list[ev.Event] = [
        *_row("r1", "oil", _vague("glug"), "A glug of oil"),
        *_row("r2", "garlic", _exact(2, "piece", "clove"), "two cloves of garlic"),
        *_row("r3", "raisin", _vague("handful"), "a handful of raisins"),
        *_row("r4", "kefir", _exact(200, "ml"), "200 ml kefir"),
        *_row("r5", "tahini", _exact(30, "g"), "30 g tahini"),
        *_row("r6", "chicken thigh", _exact(500, "g"), "500 g chicken thighs"),
        *_row("r7", "butter", _exact(50, "g"), "50 g butter"),
        *_row("r8", "thyme", _exact(1, "tsp"), "a teaspoon of time"),
        ev.Misheard(word="time", suggestion="thyme", key="r8", heard=heard("time")),
        *_row("r10", "milk", _exact(300, "ml"), "300 ml milk"),
        ev.Stepped(
            key="s1", verb="fry", text="Fry the garlic", ingredients=("r1", "r2"), vessel="pan",
            heat="medium", minutes=Range(low=2, high=2), heard=heard("Fry"),
        ),
        ev.Stepped(
            key="s2", verb="simmer", text="Simmer the chicken", ingredients=("r6",),
            minutes=Range(low=25, high=25), heard=heard("simmer"),
        ),
        ev.Stepped(
            key="s3", verb="bake", text="Bake it all", ingredients=("r6",), vessel="oven",
            temperature_c=baked, minutes=Range(low=20, high=20), heard=heard("bake"),
        ),
        ev.Opened(name="dressing"),
        *_row("r9", "oil", _exact(1, "tbsp"), "a tablespoon of oil", "dressing"),
    ]  # fmt: skip
    if portions is not None:
        events.append(ev.Portioned(low=portions, best=portions, high=portions))
    return events


def open_dish(events: list[ev.Event]) -> Conversation:
    """A conversation that keeps nothing, about ``events``."""
    keeper = InMemory()
    recipe = keeper.create(Draft("said", NOTE, tuple(events)))
    return Conversation(keeper, recipe, keeper.turns(recipe))


@pytest.fixture
def make_dish() -> Callable[..., list[ev.Event]]:
    """The events of the dish; see :func:`dish`."""
    return dish


@pytest.fixture
def open_events() -> Callable[[list[ev.Event]], Conversation]:
    """Opens a conversation about events."""
    return open_dish


@pytest.fixture
def talk() -> Conversation:
    """A conversation about the dish."""
    return open_dish(dish())
