"""For the site: the docstrings' roles (``:class:`Store` ``) as plain code."""

from __future__ import annotations

import re
from typing import Any

import griffe

ROLE = re.compile(r":(?:class|func|meth|mod|data|attr|exc):`~?([^`]+)`")


class Roles(griffe.Extension):
    """Runs over every object that a page shows."""

    def on_object(self, *, obj: griffe.Object, **more: Any) -> None:
        """Put the docstring's roles right."""
        if obj.docstring is not None:
            obj.docstring.value = ROLE.sub(r"`\1`", obj.docstring.value)
