"""The best one-to-one assignment, without SciPy (the core installs without it)."""

from __future__ import annotations

from collections.abc import Sequence


def assign(weights: Sequence[Sequence[float]]) -> list[tuple[int, int]]:
    """Pairs (row, column) of greatest total weight; a weight of 0 or less never pairs.

    ``weights`` is rows by columns. The Hungarian method with potentials
    (Kuhn 1955, Munkres 1957), cubic in the larger side.
    """
    rows = len(weights)
    columns = len(weights[0]) if rows else 0
    if not rows or not columns:
        return []
    size = max(rows, columns)
    top = max(0.0, max(max(row) for row in weights))
    cost = [
        [top - max(0.0, weights[i][j]) if i < rows and j < columns else top for j in range(size)]
        for i in range(size)
    ]
    owner = _solve(cost)
    pairs = [(owner[j], j) for j in range(columns) if owner[j] < rows]
    return sorted((i, j) for i, j in pairs if weights[i][j] > 0)


def _solve(cost: list[list[float]]) -> list[int]:
    """For each column of a square cost matrix the row that takes it, cheapest in total."""
    size = len(cost)
    u, v = [0.0] * (size + 1), [0.0] * (size + 1)
    owner, way = [0] * (size + 1), [0] * (size + 1)
    for i in range(1, size + 1):
        owner[0], column = i, 0
        least, used = [float("inf")] * (size + 1), [False] * (size + 1)
        while owner[column]:
            used[column] = True
            row, delta, following = owner[column], float("inf"), 0
            for j in range(1, size + 1):
                if used[j]:
                    continue
                reduced = cost[row - 1][j - 1] - u[row] - v[j]
                if reduced < least[j]:
                    least[j], way[j] = reduced, column
                if least[j] < delta:
                    delta, following = least[j], j
            for j in range(size + 1):
                if used[j]:
                    u[owner[j]] += delta
                    v[j] -= delta
                else:
                    least[j] -= delta
            column = following
        while column:
            owner[column] = owner[way[column]]
            column = way[column]
    return [owner[j] - 1 for j in range(1, size + 1)]
