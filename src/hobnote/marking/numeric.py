"""The number components, in the order in which the pipeline must run them.

Later ones leave alone what earlier ones marked. Importing this module
registers all of them with spaCy.
"""

from __future__ import annotations

from typing import Final

from hobnote.marking import amounts, claims, heat, portions, relative, temperatures, times

COMPONENTS: Final[tuple[str, ...]] = (
    times.NAME,
    temperatures.NAME,
    heat.NAME,
    claims.NAME,
    portions.NAME,
    amounts.NAME,
    relative.NAME,
)
