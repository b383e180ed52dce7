"""What a step's words do not say themselves: heat, degrees, minutes, cue."""

from __future__ import annotations

from collections.abc import Iterator

from hobnote.publishing import figures
from hobnote.record import Step


def details(step: Step) -> Iterator[str]:
    """ "medium heat", "180 °C", "4–5 min", "until golden", "during step 2", as far as unsaid."""
    said = step.text.casefold()
    if step.heat and f"{step.heat} heat" not in said:
        yield f"{step.heat} heat"
    if step.temperature_c is not None and f"{figures.exact(step.temperature_c)} °c" not in said:
        yield f"{step.temperature_c:.0f} °C"
    if step.core_c is not None:
        yield f"{step.core_c:.0f} °C in the middle"
    if step.minutes is not None and figures.minutes(step.minutes) not in said:
        yield figures.minutes(step.minutes)
    if step.until and step.until.casefold() not in said:
        words = step.until
        yield words if words.casefold().startswith(("until", "till")) else f"until {words}"
    if step.alongside is not None:
        yield f"during step {step.alongside}"
