"""The index of the steps answers what looking through every step answers."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from hobnote.nutrition.safe_heat import hot
from hobnote.nutrition.step_index import StepIndex
from hobnote.nutrition.tables import tree
from hobnote.record import Step

NAMES = ("pasta", "leek", "egg")
PARTS = ("main", "sauce")


@st.composite
def _steps(draw: st.DrawFn) -> list[Step]:
    count = draw(st.integers(0, 7))
    return [
        Step(
            number=place + 1,
            text=draw(st.sampled_from(["cook it", "leave it, well drained", "stir"])),
            verb=draw(st.sampled_from(["boil", "fry", "stir", "drain", "rest", "bake"])),
            ingredients=draw(st.lists(st.sampled_from(NAMES), max_size=2, unique=True)),
            component=draw(st.sampled_from(PARTS)),
        )
        for place in range(count)
    ]


@given(_steps(), st.sampled_from(NAMES), st.sampled_from(PARTS))
def test_agrees_with_every_step_looked_at(steps: list[Step], name: str, part: str) -> None:
    index = StepIndex(steps)
    used = [place for place, step in enumerate(steps) if name in step.ingredients]
    since = used[-1] if used else 0
    assert index.heated(name, part) is any(
        hot(step) and (name in step.ingredients or (place >= since and step.component == part))
        for place, step in enumerate(steps)
    )

    whole = [s for s in steps if not s.ingredients and s.component == part]
    table = tree("cooking_verbs")["methods"]
    named = [table[s.verb] for s in steps if name in s.ingredients and s.verb in table]
    assert index.methods(name, part) == (named or [table[s.verb] for s in whole if s.verb in table])

    theirs = [*(s for s in steps if name in s.ingredients), *whole]
    assert index.drained(name, part) is any(
        s.verb == "drain" or "drained" in s.text for s in theirs
    )


def test_what_no_step_names_is_heated_only_where_its_part_is() -> None:
    bake = Step(number=1, text="bake", verb="bake", ingredients=["leek"], component="main")
    index = StepIndex([bake])
    assert index.heated("egg", "main")
    assert not index.heated("egg", "sauce")
    assert not StepIndex([]).heated("egg", "main")
