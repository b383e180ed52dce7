"""The order of rows and steps. Pure."""

from __future__ import annotations

from typing import TypeVar

T = TypeVar("T")


def moved(places: dict[str, T], key: str, before: str | None) -> dict[str, T]:
    """``places`` with ``key`` just before ``before``, or last where that is None.

    As they were where one of the two is not there (any more).
    """
    if key not in places or key == before or (before is not None and before not in places):
        return places
    order = [one for one in places if one != key]
    order.insert(len(order) if before is None else order.index(before), key)
    return {one: places[one] for one in order}
