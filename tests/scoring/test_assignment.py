from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from hobnote.scoring.assignment import assign


def _best_by_trying_all(weights: list[list[int]]) -> int:
    rows, columns = len(weights), len(weights[0])
    if rows > columns:
        weights = [list(c) for c in zip(*weights, strict=True)]
        rows, columns = columns, rows
    return max(
        sum(weights[i][j] for i, j in enumerate(order))
        for order in permutations(range(columns), rows)
    )


@given(
    st.integers(1, 5).flatmap(
        lambda columns: st.lists(
            st.lists(st.integers(0, 20), min_size=columns, max_size=columns), min_size=1, max_size=5
        )
    )
)
def test_the_total_is_the_greatest_of_all_assignments(weights: list[list[int]]) -> None:
    pairs = assign(weights)
    assert sum(weights[i][j] for i, j in pairs) == _best_by_trying_all(weights)
    assert len({i for i, _ in pairs}) == len({j for _, j in pairs}) == len(pairs)
    assert all(weights[i][j] > 0 for i, j in pairs)


def test_nothing_to_assign() -> None:
    assert assign([]) == []
    assert assign([[]]) == []
    assert assign([[0.0, 0.0]]) == []
