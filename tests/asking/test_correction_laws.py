"""Whatever is put right by hand: undo takes it back, redo brings it again, in any order."""

from __future__ import annotations

from contextlib import suppress

from hypothesis import given, settings
from hypothesis import strategies as st

from hobnote.asking.conversation import Conversation
from hobnote.asking.corrections import CannotCorrect, DishFix, Fix, MoveFix, RowFix, StepFix
from hobnote.keeping.memory import InMemory

NOTE = (
    "Crew supper for four. 200 g rice, two onions, a glug of oil. Fry the onions on high heat for "
    "5 minutes until golden. Boil the rice for 12 minutes. Dressing: a spoon of honey, 20 g butter."
)
FIRST = Conversation.start(NOTE)
ROWS, STEPS = list(FIRST.rows), list(FIRST.steps)

rows, steps = st.sampled_from(ROWS), st.sampled_from(STEPS)
parts = st.none() | st.sampled_from(["main", "dressing", "topping"])
fixes: st.SearchStrategy[Fix] = st.one_of(
    st.builds(
        RowFix,
        key=rows,
        amount=st.none() | st.sampled_from(["30 g", "half a cup", "a pinch"]),
        name=st.none() | st.sampled_from(["brown rice", "shallot"]),
        component=parts,
        optional=st.none() | st.booleans(),
        cleared=st.sampled_from([(), ("amount",)]),
        gone=st.booleans(),
    ),
    st.builds(
        StepFix,
        key=steps,
        text=st.none() | st.just("Do it"),
        component=parts,
        heat=st.none() | st.sampled_from(["low", "medium"]),
        minutes=st.none() | st.just({"low": 3, "high": 4}),
        cleared=st.lists(st.sampled_from(["heat", "minutes", "until"]), max_size=2).map(tuple),
        gone=st.booleans(),
    ),
    st.builds(MoveFix, what=st.just("ingredient"), key=rows, before=st.none() | rows),
    st.builds(MoveFix, what=st.just("step"), key=steps, before=st.none() | steps),
    st.builds(DishFix, title=st.none() | st.just("supper"), portions=st.none() | st.just(6.0)),
)


@settings(max_examples=40, deadline=None)
@given(st.lists(fixes, min_size=1, max_size=6))
def test_undo_and_redo_of_anything_put_right(wanted: list[Fix]) -> None:
    keeper = InMemory({FIRST.id: list(FIRST.turns)})
    talk = Conversation(keeper, FIRST.id, FIRST.turns, measures=FIRST.measures)
    records = [talk.record]
    for fix in wanted:
        version = talk.version
        with suppress(KeyError, CannotCorrect):
            talk.correct(fix)
        if talk.version > version:
            records.append(talk.record)
    changed = len(records) - 1
    for n in range(changed, 0, -1):
        assert talk.record == records[n]
        talk.undo()
    assert talk.record == records[0] == FIRST.record
    if changed:
        talk.redo(changed)
        assert talk.record == records[-1]
    # A recipe that is taken up again is the same.
    again = Conversation(keeper, FIRST.id, keeper.turns(FIRST.id), measures=FIRST.measures)
    assert again.record == talk.record and list(again.rows) == list(talk.rows)
