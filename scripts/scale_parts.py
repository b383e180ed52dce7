"""The measurements of ``scale.py``; each runs in a process of its own with one thread."""

from __future__ import annotations

import json
import multiprocessing
import os
import pickle
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
import zlib
from pathlib import Path

import alone  # noqa: F401
import varied

from hobnote.batch.notes import Done, Note
from hobnote.batch.work import Wishes, read_note, settle

NOTES = 200
CLIENTS = (1, 4, 16)
SECONDS = 3.0
TASKS = 400
Figures = dict[str, float]


def _done(events: bool = False) -> list[Done]:
    """The corpus's notes, read; varied.py's where the corpus has too few."""
    wishes = Wishes(events=events)
    corpus = [Note(f"corpus {n}{s}", t.encode()) for n, (s, t) in enumerate(varied.corpus())]
    more = [Note(name, text.encode()) for name, text in map(varied.varied, range(NOTES))]
    found = (read_note(note, wishes) for note in [*corpus, *more][:NOTES])
    return [one for one in found if isinstance(one, Done)]


def reading() -> Figures:
    """Processor time of a note of the mean length, what its record weighs, and memory."""
    notes = [Note(f"note {n}{s}", t.encode()) for n, (s, t) in enumerate(varied.corpus())]
    for note in notes[:20]:
        read_note(note, Wishes())
    settle()
    begun = time.process_time()
    done = [one for note in notes if isinstance(one := read_note(note, Wishes()), Done)]
    spent = time.process_time() - begun
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    packed = len(zlib.compress(pickle.dumps(done), 1))
    return {
        "notes": len(notes),
        "words": statistics.mean(len(note.data.split()) for note in notes),
        "note": statistics.mean(len(note.data) for note in notes),
        "seconds": spent / len(notes),
        "record": statistics.mean(len(one.record.encode()) for one in done),
        "packed": packed / len(done),
        "memory": peak,
    }


def writing() -> Figures:
    """What the one process that writes spends on a note, by kind of output, and the bytes."""
    from hobnote.batch.sinks import open_sink

    found: Figures = {}
    for out in ("out", "out.ndjson", "out.parquet", "store"):
        done = _done(events=out == "store")
        with tempfile.TemporaryDirectory() as folder:
            where = f"sqlite:///{folder}/kept.sqlite3" if out == "store" else f"{folder}/{out}"
            sink = open_sink(where)
            begun = time.process_time()
            with sink.journal({}, afresh=False) as journal:
                sink.begin(journal)
                for one in done:
                    journal.add(one.note.name, one.note.digest, **sink.put(one))
                sink.finish(journal)
                sink.close()
            name = out.removeprefix("out.") if out != "out" else "folder"
            found[name] = (time.process_time() - begun) / len(done)
            size = sum(p.stat().st_size for p in Path(folder).rglob("*") if "batch" not in p.name)
            found[f"{name} bytes"] = size / len(done)
    return found


def memory() -> Figures:
    """Bytes that the process that runs a batch keeps for each note that it knows."""
    program = (
        "import resource, sys; from hobnote.batch.journal import key; "
        "known = {key(f'season/note {n:07}.txt', '0' * 20) for n in range(int(sys.argv[1]))}; "
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1e3)"
    )
    few, many = (
        float(subprocess.run([sys.executable, "-c", program, str(n)], stdout=subprocess.PIPE,
                             check=True).stdout)
        for n in (1_000, 401_000)
    )  # fmt: skip
    return {"known": (many - few) / 400_000}


def cluster() -> Figures:
    """What a task costs the scheduler and what its result costs the process that gathers."""
    from distributed import Client

    from hobnote._version import __version__
    from hobnote.batch.cluster import TOGETHER, read_packed

    done = _done()[:TOGETHER]
    packed = zlib.compress(pickle.dumps(done), 1)
    begun = time.process_time()
    for _ in range(50):
        pickle.loads(zlib.decompress(packed))
    unpacking = (time.process_time() - begun) / 50 / len(done)
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder, "log")
        with log.open("wb") as file:
            scheduler = _started("scheduler", "--port", "0", file=file)
            while not (at := re.search(rb"tcp://127\.0\.0\.1:\d+", log.read_bytes())):
                time.sleep(0.1)
            worker = _started("worker", at[0].decode(), "--nthreads", "1", "--no-nanny", file=file)
        with Client(at[0].decode(), set_as_default=False) as client:
            client.wait_for_workers(1, timeout=60)
            client.submit(read_packed, [], Wishes(), __version__, pure=False).result()
            before, ours = _spent(scheduler.pid), time.process_time()
            tasks = [client.submit(read_packed, [], Wishes(), __version__, pure=False)
                     for _ in range(TASKS)]  # fmt: skip
            for task in tasks:
                task.result()
            ours = time.process_time() - ours
            after = _spent(scheduler.pid)
        for process in (worker, scheduler):
            process.kill()
            process.wait()
    return {"together": TOGETHER, "unpacking": unpacking, "gathering": ours / TASKS / TOGETHER,
            "scheduler": (after - before) / TASKS / TOGETHER}  # fmt: skip


def _started(what: str, *more: str, file: object) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", f"distributed.cli.dask_{what}", *more,
               "--host", "127.0.0.1", "--no-dashboard"]  # fmt: skip
    return subprocess.Popen(command, stdout=file, stderr=file)  # type: ignore[call-overload,no-any-return]


def _spent(pid: int) -> float:
    """Processor seconds of another process."""
    import psutil

    times = psutil.Process(pid).cpu_times()
    return float(times.user + times.system)


def store() -> list[Figures]:
    """Clients that write messages at once, each to a recipe of its own: SQLite, PostgreSQL."""
    from hobnote.keeping.store import Store

    done = _done(events=True)[:40]
    found = []
    with tempfile.TemporaryDirectory() as folder:
        urls = [f"sqlite:///{folder}/kept.sqlite3", os.environ.get("HOBNOTE_TEST_POSTGRES")]
        for server, url in enumerate(urls):
            if not url:
                continue
            opened = Store.open(url)
            before = _size(opened)
            recipes = [_create(opened, one) for one in done]
            grown = (_size(opened) - before) / len(recipes)
            opened.close()
            for clients in CLIENTS:
                found.append({"server": server, "clients": clients, "recipe": grown,
                              **_together(url, recipes[:clients])})  # fmt: skip
    return found


def _create(opened: object, one: Done) -> int:
    from hobnote.following.events import EVENTS
    from hobnote.keeping.turns import Draft

    draft = Draft("said", one.text, tuple(EVENTS.validate_json(one.events)))
    return int(opened.create(draft))  # type: ignore[attr-defined]


def _size(opened: object) -> float:
    """Bytes of the database."""
    from sqlalchemy import text

    engine = opened.engine  # type: ignore[attr-defined]
    with engine.connect() as connection:
        if engine.dialect.name == "sqlite":
            question = "select page_count * page_size from pragma_page_count, pragma_page_size"
        else:
            question = "select pg_database_size(current_database())"
        return float(connection.execute(text(question)).scalar_one())


def _together(url: str, recipes: list[int]) -> Figures:
    context = multiprocessing.get_context("fork")
    start, told = context.Barrier(len(recipes)), context.SimpleQueue()
    clients = [context.Process(target=_client, args=(url, r, start, told)) for r in recipes]
    for client in clients:
        client.start()
    waits = [wait for _ in clients for wait in json.loads(told.get())]
    for client in clients:
        client.join()
    waits.sort()
    return {"writes": len(waits) / SECONDS, "p50": waits[len(waits) // 2],
            "p99": waits[int(len(waits) * 0.99)]}  # fmt: skip


def _client(url: str, recipe: int, start: object, told: object) -> None:
    from hobnote.keeping.store import Store
    from hobnote.keeping.turns import Draft

    opened = Store.open(url)
    version = max(turn.version for turn in opened.turns(recipe))
    start.wait()  # type: ignore[attr-defined]
    waits, until = [], time.monotonic() + SECONDS
    while (begun := time.monotonic()) < until:
        opened.append(recipe, Draft("asked", "what's left?"), after=version)
        version += 1
        waits.append(time.monotonic() - begun)
    told.put(json.dumps(waits))  # type: ignore[attr-defined]
    opened.close()
