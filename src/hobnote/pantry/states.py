"""States of food (raw, cooked, tinned ...) and the composition row that each picks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from hobnote.pantry.names import NameRow
from hobnote.pantry.words import kind, plain, states_in

COOKED = ("boiled", "roasted", "baked", "grilled", "fried", "poached", "stewed", "cooked")
SKIN_ON, SKIN_OFF, WITH_SKIN = (
    "skin on",
    "skinless",
    "with skin",
)  # as a preparation, and in the names of foods
_KEPT_IN_PREPARATION = frozenset(
    {
        "grated",
        "ground",
        "peeled",
        "toasted",
        "blanched",
        "dried",
        "pickled",
        "smoked",
        "salted",
        "soaked",
    }
)


def wanted(state: str | None, preparation: Sequence[str]) -> tuple[str, ...]:
    """The states that the caller named, those of the preparation that change the food included."""
    said = states_in(plain(state).split()) if state else []
    if state and not said:
        said = [plain(state)]
    in_prep = [w for p in preparation for w in plain(p).split() if w in _KEPT_IN_PREPARATION]
    skin = [word for word in (SKIN_ON, SKIN_OFF) if word in preparation]
    return tuple(dict.fromkeys([*said, *(kind("state").get(w, w) for w in in_prep), *skin]))


def states_of(name: str) -> list[str]:
    return states_in(plain(name).replace("-", " ").split())


def pick(row: NameRow, said: Iterable[str]) -> tuple[str, float, str]:
    """The composition row for the states said, a factor on the score, and why."""
    for state in said:
        if state == "soaked":  # what is soaked was dry when it was weighed
            if "dried" in row.states:
                return row.states["dried"], 1.0, "dry, as it is soaked"
            continue
        if state in row.states:
            return row.states[state], 1.0, state
        if state in COOKED and "cooked" in row.states:
            return row.states["cooked"], 1.0, f"cooked ({state})"
        if state in COOKED and "cooked" not in row.tags and not row.tags & {"tinned", "water"}:
            return row.first, 0.85, f"no row for it {state}"
        if state in ("dried", "dry") and not row.tags & {"dry", "powder", "spice"}:
            return row.first, 1.0 if state == "dry" else 0.8, f"no row for it {state}"
    return row.first, 1.0, ""
