"""What whoever starts the service may choose."""

from __future__ import annotations

from dataclasses import dataclass

LOOPBACK = frozenset({"127.0.0.1", "::1", "localhost"})


@dataclass(frozen=True, slots=True)
class Settings:
    """Limits and who may come in.

    ``body`` is the most bytes of a request, ``note`` the most characters of a
    note, ``seconds`` the longest that a request may take, ``rate`` the requests
    a minute of one caller (0: any number). ``long_seconds`` is the longest that
    an operation may take, ``waiting`` how many may be unfinished at once and
    ``followed`` how many may be followed at once. ``locked`` asks every caller for a
    token. ``hosts`` are the names that requests may be addressed to; empty: any.
    """

    body: int = 2_000_000
    note: int = 200_000
    seconds: float = 60.0
    rate: int = 600
    long_seconds: float = 900.0
    waiting: int = 24
    followed: int = 100
    locked: bool = False
    hosts: frozenset[str] = LOOPBACK | {"testserver"}
