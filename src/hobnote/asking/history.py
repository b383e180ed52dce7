"""A recipe's log in lines: who said what when, what it changed, what was taken back. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from hobnote.keeping.turns import Turn, standing

_WHEN = "%Y-%m-%d %H:%M"


def history(turns: Sequence[Turn]) -> list[str]:
    """One line a turn, oldest first."""
    fate = standing(turns).fate
    return [_line(turn, fate.get(turn.version)) for turn in turns]


def _line(turn: Turn, undone: Turn | None) -> str:
    note = ""
    if undone is not None:
        note = f"  (undone by {undone.who}, {undone.at.astimezone().strftime(_WHEN)})"
    elif turn.kind == "asked":
        note = "  (changed nothing)"
    return f"{turn.version:>3}  {turn.at.astimezone().strftime(_WHEN)}  {turn.told()}{note}"
