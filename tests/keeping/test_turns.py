"""The fold of a log: undo, redo and what they leave."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from hobnote.keeping.turns import Draft, Turn, standing, surviving, withdrawn

STEPS = st.lists(
    st.one_of(
        st.just(("said", 0)),
        st.just(("asked", 0)),
        st.tuples(st.sampled_from(["undo", "redo"]), st.integers(1, 4)),
    ),
    max_size=30,
)


def log_of(steps: list[tuple[str, int]]) -> list[Turn]:
    return [
        Turn.of(Draft(kind, str(n), count=count), n)  # type: ignore[arg-type]
        for n, (kind, count) in enumerate(steps, 1)
    ]


def plainly(steps: list[tuple[str, int]]) -> tuple[list[int], list[int]]:
    """The same by an editor's two stacks."""
    done: list[int] = []
    undone: list[int] = []
    for n, (kind, count) in enumerate(steps, 1):
        if kind == "said":
            done, undone = [*done, n], []
        for _ in range(count):
            if kind == "undo" and done:
                undone.append(done.pop())
            if kind == "redo" and undone:
                done.append(undone.pop())
    return done, undone


@given(STEPS)
def test_a_log_stands_as_two_stacks_do(steps: list[tuple[str, int]]) -> None:
    turns = log_of(steps)
    done, undone = plainly(steps)
    assert [t.version for t in surviving(turns)] == done
    assert [t.version for t in withdrawn(turns)] == undone


@given(STEPS)
def test_every_said_turn_holds_or_has_its_undo(steps: list[tuple[str, int]]) -> None:
    turns = log_of(steps)
    found = standing(turns)
    holds = {t.version for t in found.holds}
    for turn in turns:
        if turn.kind == "said":
            assert (turn.version in holds) is (turn.version not in found.fate)


def test_a_told_turn_is_one_short_line() -> None:
    told = Turn.of(Draft("said", "a\nb " * 100, who="mate"), 1).told()
    assert told.startswith("mate: a b") and "\n" not in told and len(told) < 80
