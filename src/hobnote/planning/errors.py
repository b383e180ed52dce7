"""What planning says when it cannot plan."""

from __future__ import annotations


class PlanningError(ValueError):
    """Something asked of the planner cannot be used, as one clear sentence."""
