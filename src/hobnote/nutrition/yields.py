"""What cooking does to the weight of a dish: the EuroFIR recipe method.

The weight yield (cooked / raw) applies to the dish as a whole; nutrients of the
raw ingredients are shared out over the cooked weight. Losses of vitamins
(retention) are not taken off: the figures are upper bounds there.
"""

from __future__ import annotations

from hobnote.nutrition.bounds import divide, rounded
from hobnote.record import Bounds, Nutrition


def at_yield(nutrition: Nutrition, weight_yield: Bounds) -> dict[str, Bounds]:
    """Figures per 100 g of the finished dish, whose weight is ``weight_yield`` x what went in.

    Water is left out, as the yield itself moves it. Raises ValueError where the
    yield may be zero or nothing was computed.
    """
    if nutrition.per_100g is None:
        raise ValueError("nothing of the dish could be computed")
    return {
        key: rounded(divide(figure, weight_yield))
        for key, figure in nutrition.per_100g.items()
        if key != "water_g"
    }
