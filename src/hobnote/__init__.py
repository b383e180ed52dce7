"""Hobnote: dictated cooking notes in, a weighed and scored recipe out."""

from hobnote._version import __version__

__all__ = ["__version__"]
