"""The word while one waits: only on a terminal, and gone afterwards."""

from __future__ import annotations

import io
import threading

from hobnote.publishing.waiting import Waiting


class Stream(io.StringIO):
    def __init__(self, terminal):
        super().__init__()
        self.terminal = terminal
        self.written = threading.Event()

    def isatty(self):
        return self.terminal

    def write(self, text):
        self.written.set()
        return super().write(text)


def test_shown_and_wiped_on_a_terminal():
    stream = Stream(terminal=True)
    with Waiting("Reading the note", after=0.0, stream=stream):
        assert stream.written.wait(10)
    assert "Reading the note" in stream.getvalue()
    assert stream.getvalue().endswith("\r")


def test_nothing_when_quick_or_piped():
    for stream, after in ((Stream(terminal=True), 60.0), (Stream(terminal=False), 0.0)):
        with Waiting("Reading", after=after, stream=stream):
            pass
        assert stream.getvalue() == ""
