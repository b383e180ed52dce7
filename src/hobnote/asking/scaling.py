"""A row's amount times a factor: "double the lentils", "cut the sugar by half"."""

from __future__ import annotations

from hobnote.asking.context import Context
from hobnote.asking.edits import absent
from hobnote.asking.figures import countable
from hobnote.asking.frames import Frame
from hobnote.asking.outcomes import Outcome, change, unclear
from hobnote.asking.settling import AMOUNTS
from hobnote.following import events as ev
from hobnote.following.state import RowState
from hobnote.record import Amount


def scaled(frame: Frame, context: Context) -> Outcome | None:
    """The row named is ``factor`` times what it was; the factor is the frame's value.

    "Twice the tahini" (``or answer``) is the amount of another food while that is
    asked for; what is cut with a knife ("halve the potatoes") is no change of amount.
    """
    factor, _, how = frame.value.partition(" ")
    name = frame.slots["food"]
    if context.holds_figure(name) or not context.only_name(f"the {name}"):
        return None
    rows = context.rows_named(f"the {name}", near=context.asked_row)
    if not rows and how != "cut" and context.only_food(name, known=True):
        return absent(name)
    if len(rows) != 1:
        return None
    row, asked = rows[0], context.asked
    if how == "answer" and asked is not None and asked.kind in AMOUNTS and asked.key != row.key:
        return None
    if how == "cut" and _is_cut(row, context):
        return None
    if row.amount.low is None or row.amount.best is None or row.amount.high is None:
        return unclear(f"How much {row.name} was it? That is not known yet; nothing was changed.")
    amount = _times(row.amount, float(factor), context.text.strip())
    return change(ev.Measured(key=row.key, amount=amount, heard=context.heard()))


def _is_cut(row: RowState, context: Context) -> bool:
    """Whether the food comes in pieces that a knife halves, and has no spoon for a measure."""
    spooned = row.amount.unit in ("tsp", "tbsp", "ml", "l", "cup", "fl oz")
    return not spooned and countable(context, row)


def _times(amount: Amount, factor: float, said: str) -> Amount:
    low, best, high = (
        None if v is None else round(v * factor, 6) for v in (amount.low, amount.best, amount.high)
    )
    return amount.model_copy(update={"low": low, "best": best, "high": high, "said": said})
