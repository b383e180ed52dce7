"""A word on the terminal while something takes more than a second."""

from __future__ import annotations

import sys
import threading
from types import TracebackType
from typing import TextIO

_FRAMES = "·∘○∘"


class Waiting:
    """``with Waiting("Reading porridge.txt"):`` shows the words after ``after`` seconds.

    Nothing is written unless ``stream`` (standard error by default) is a
    terminal, and the line is wiped at the end. Needs no library, so that
    starting up stays quick.
    """

    def __init__(self, words: str, *, after: float = 1.0, stream: TextIO | None = None) -> None:
        self._words = words
        self._after = after
        self._stream = stream if stream is not None else sys.stderr
        self._over = threading.Event()
        self._thread: threading.Thread | None = None

    def __enter__(self) -> Waiting:
        if self._stream is not None and self._stream.isatty():
            self._thread = threading.Thread(target=self._show, daemon=True)
            self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._over.set()
        if self._thread is not None:
            self._thread.join()

    def _show(self) -> None:
        if self._over.wait(self._after):
            return
        turn = 0
        while True:
            frame = _FRAMES[turn % len(_FRAMES)]
            self._stream.write(f"\r{frame} {self._words} …")
            self._stream.flush()
            if self._over.wait(0.2):
                break
            turn += 1
        self._stream.write("\r" + " " * (len(self._words) + 4) + "\r")
        self._stream.flush()
