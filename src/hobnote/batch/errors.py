"""What a batch says when it cannot begin or go on."""

from __future__ import annotations


class BatchError(Exception):
    """The whole batch cannot begin or go on, as one clear sentence."""
