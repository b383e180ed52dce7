"""What reading says when an input cannot be read."""

from __future__ import annotations


class ReadingError(Exception):
    """An input that cannot be read, as one clear sentence.

    ``message`` says what is wrong and what would help, ``name`` is the file
    (or "standard input"), ``line`` the line where it was noticed, counted
    from 1, or None where no line is to blame. ``str()`` joins the three.
    """

    def __init__(self, message: str, name: str = "text", line: int | None = None) -> None:
        self.message = message
        self.name = name
        self.line = line
        where = name if line is None else f"{name}, line {line}"
        super().__init__(f"{where}: {message}")
