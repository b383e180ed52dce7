"""Killed at any moment, a conversation loses nothing that was acknowledged.

Each round forks a process that talks (the pipeline is loaded once, before) and
kills it, SIGKILL, at a random moment after it has acknowledged a few messages, however
long that takes. HOBNOTE_KILLS sets the number of rounds.
"""

from __future__ import annotations

import os
import random
import select
import signal
import time
from pathlib import Path

import pytest

from hobnote.asking.conversation import Conversation
from hobnote.keeping.store import Store

KILLS = int(os.environ.get("HOBNOTE_KILLS", "20"))
NOTE = "Put a glug of oil in the pan and fry 2 onions for 5 minutes. Serves two."
MESSAGES = ["a tablespoon", "undo", "add 10 g of butter", "what's the protein?", "skip", "redo",
            "call it shed onions", "make it serve three"]  # fmt: skip


def talk(file: Path, acknowledge: int, seed: int) -> None:
    """Talk until killed; every message is told to the parent once it was taken."""
    store = Store.open(str(file))
    kept = store.list()
    conversation = (
        Conversation.resume(store, kept[0].id) if kept else Conversation.start(NOTE, store)
    )
    os.write(acknowledge, f"{conversation.version} note\n".encode())
    choose = random.Random(seed)
    while True:
        message = choose.choice(MESSAGES)
        before = conversation.version
        conversation.say(message)
        if conversation.version > before:
            os.write(acknowledge, f"{conversation.version} {message}\n".encode())


def one_round(file: Path, seed: int, lines: int, wait: float) -> list[str]:
    """What the child acknowledged: killed ``wait`` seconds after that many ``lines``."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            talk(file, writing, seed)
        finally:
            os._exit(1)
    os.close(writing)
    told = b""
    while told.count(b"\n") < lines and (part := os.read(reading, 65536)):
        told += part
    time.sleep(wait)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "the child ended by itself"
    while select.select([reading], [], [], 0)[0]:
        part = os.read(reading, 65536)
        if not part:
            break
        told += part
    os.close(reading)
    return told.decode().splitlines()


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_a_killed_conversation_loses_no_acknowledged_message(tmp_path: Path) -> None:
    file = tmp_path / "recipes.sqlite3"
    Conversation.start(NOTE).say("a tablespoon")  # loads everything before the first fork
    choose = random.Random(20)
    acknowledged: dict[int, str] = {}
    awaited = 0
    for seed in range(KILLS):
        lines = choose.randint(0, 4)  # the first of them is the note's
        awaited += max(0, lines - 1)
        told = one_round(file, seed, lines, choose.uniform(0.0, 0.05))
        for line in told:
            version, _, message = line.partition(" ")
            if message != "note":
                acknowledged[int(version)] = message
        if not file.exists():
            assert not told
            continue
        store = Store.open(str(file))
        kept = store.list()
        assert kept or not told
        if kept:
            turns = {t.version: t.text for t in store.turns(kept[0].id)}
            assert {v: turns.get(v) for v in acknowledged} == acknowledged
            assert sorted(turns) == list(range(1, len(turns) + 1))
            assert Conversation.resume(store, kept[0].id).record.steps is not None
        store.close()
    assert len(acknowledged) >= awaited > 0
