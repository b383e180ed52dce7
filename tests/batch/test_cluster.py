"""The same reading on a real scheduler and two worker processes, one of which is killed."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from hobnote.batch.errors import BatchError
from hobnote.batch.notes import Done, Note, Refused
from hobnote.batch.run import Tally, run
from hobnote.batch.sinks import open_sink

pytest.importorskip("distributed")
from hobnote.batch.cluster import Cluster

NOTES = int(os.environ.get("HOBNOTE_CLUSTER_NOTES", "240"))
GOOD = (
    "Two hundred grams of oats and half a litre of milk, simmer for ten minutes.",
    "For the lunch boxes: 300 g of rice, 400 g of chickpeas, a glug of olive oil.",
    "Whisk three eggs with a splash of milk and fry them on medium heat for two minutes.",
)
LOOPBACK = ("--host", "127.0.0.1", "--no-dashboard")


@contextmanager
def process(*command: str, cwd: Path) -> Iterator[subprocess.Popen[bytes]]:
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
    with (cwd / f"{command[0]}.log").open("ab") as log:
        module = f"distributed.cli.dask_{command[0]}"
        started = subprocess.Popen(
            [sys.executable, "-m", module, *command[1:]],
            stdout=log, stderr=log, cwd=cwd, env=environment,
        )  # fmt: skip
    try:
        yield started
    finally:
        started.kill()
        started.wait()


@dataclass
class Kitchen:
    """A scheduler's address and its worker processes."""

    address: str
    folder: Path
    stack: ExitStack
    workers: list[subprocess.Popen[bytes]] = field(default_factory=list)

    def hire(self, count: int, *, nanny: bool = False) -> None:
        """Workers up to ``count``."""
        more = () if nanny else ("--no-nanny",)
        self.workers = [w for w in self.workers if w.poll() is None]
        while len(self.workers) < count:
            worker = process("worker", self.address, "--nthreads", "1", *more, *LOOPBACK,
                             cwd=self.folder)  # fmt: skip
            self.workers.append(self.stack.enter_context(worker))
        with Cluster(self.address) as cluster:
            cluster._client.wait_for_workers(count, timeout=60)


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kitchen]:
    folder = tmp_path_factory.mktemp("kitchen")
    with ExitStack() as stack:
        stack.enter_context(process("scheduler", "--port", "0", *LOOPBACK, cwd=folder))
        address = None
        for _ in range(600):
            address = re.search(rb"tcp://127\.0\.0\.1:\d+", (folder / "scheduler.log").read_bytes())
            if address:
                break
            time.sleep(0.1)
        assert address, (folder / "scheduler.log").read_text()
        yield Kitchen(address[0].decode(), folder, stack)


def noted(out: Path) -> Counter[str]:
    return Counter(json.loads(line)["note"] for line in out.read_text().splitlines())


def test_a_worker_that_is_killed_half_way_costs_nothing(kitchen: Kitchen, tmp_path: Path) -> None:
    """The command itself; a bad note among the good ones stops nothing."""
    kitchen.hire(2)
    source, out = tmp_path / "notes.ndjson", tmp_path / "out.ndjson"
    names = [f"note {n}" for n in range(NOTES)]
    lines = [json.dumps({"name": n, "text": GOOD[i % 3]}) for i, n in enumerate(names)]
    lines[40:40] = [json.dumps({"name": "sound", "text": "ID3\u0004"}), "not json"]
    source.write_text("\n".join(lines))
    command = [sys.executable, "-m", "hobnote.cli", "batch", f"file://{source}", "--out", str(out),
               "--engine", "dask", "--scheduler", kitchen.address]  # fmt: skip
    running = subprocess.Popen(command, stderr=subprocess.PIPE)
    while running.poll() is None and not (out.exists() and len(noted_so_far(out)) > NOTES // 4):
        time.sleep(0.02)
    assert running.poll() is None, "the batch was through before the worker was killed"
    kitchen.workers[0].send_signal(signal.SIGKILL)
    told = running.communicate(timeout=120)[1].decode()
    assert running.returncode == 3, told
    assert kitchen.workers[0].wait() == -signal.SIGKILL
    assert noted(out) == dict.fromkeys(names, 1)
    assert f"{NOTES} read; 2 not read" in told
    assert "sound: line 1: this is a sound file" in told
    assert "line 42: this line is not JSON" in told


def noted_so_far(out: Path) -> list[bytes]:
    return out.read_bytes().splitlines()


def test_elsewhere_and_taken_up_again(kitchen: Kitchen) -> None:
    """Sources and parts in another file system; stopped, it goes on where the last part ended."""
    fsspec = pytest.importorskip("fsspec")
    kitchen.hire(1)
    fs = fsspec.filesystem("memory")
    for n in range(40):
        fs.pipe_file(f"/notes/{n:02}.txt", GOOD[n % 3].encode())
    fs.pipe_file("/notes/photo.jpg", b"x")

    def stop(tally: Tally) -> None:
        if tally.read == 20:
            raise KeyboardInterrupt

    def go(told: object = lambda _: None) -> Tally:
        sink = open_sink("memory://season.ndjson")
        return run(["memory://notes"], sink, scheduler=kitchen.address, told=told)  # type: ignore[arg-type]

    with pytest.raises(KeyboardInterrupt):
        go(stop)
    tally = go()
    assert (tally.before, tally.read, tally.refused) == (20, 20, [])
    parts = [fs.cat_file(p) for p in fs.ls("/season.ndjson", detail=False) if ".ndjson" in p[15:]]
    names = Counter(json.loads(line)["note"] for part in parts for line in part.splitlines())
    assert names == {f"memory:///notes/{n:02}.txt": 1 for n in range(40)}
    assert go().before == 40


def test_it_reads_as_one_machine_does(kitchen: Kitchen, tmp_path: Path) -> None:
    kitchen.hire(1)
    for n, text in enumerate(GOOD):
        (tmp_path / f"{n}.txt").write_text(text)
    source = [str(tmp_path / "*.txt")]
    run(source, open_sink(str(tmp_path / "here.ndjson")), jobs=1)
    run(source, open_sink(str(tmp_path / "there.ndjson")), scheduler=kitchen.address)
    here, there = (sorted((tmp_path / f"{x}.ndjson").read_text().splitlines())
                   for x in ("here", "there"))  # fmt: skip
    assert here == there


@pytest.mark.skipif("HOBNOTE_LONG" not in os.environ, reason="takes a minute: make soak")
def test_what_hangs_is_refused_and_the_rest_is_read(kitchen: Kitchen) -> None:
    """The only worker is ended by its nanny each time it sits on the long note."""
    for worker in kitchen.workers:
        worker.kill()
        worker.wait()
    kitchen.hire(1, nanny=True)
    long = (GOOD[1] + "\n").encode() * 12_000
    notes = [Note("first", GOOD[0].encode()), Note("long", long), Note("last", GOOD[2].encode())]
    with Cluster(kitchen.address, patience=15.0) as cluster:
        found = {one.note.name if isinstance(one, Done) else one.name: one
                 for one in cluster.read(notes)}  # fmt: skip
    assert isinstance(found["first"], Done)
    assert isinstance(found["last"], Done)
    late = found["long"]
    assert isinstance(late, Refused)
    assert "not read within 15 s" in late.reason


def test_workers_with_another_version(kitchen: Kitchen, monkeypatch: pytest.MonkeyPatch) -> None:
    kitchen.hire(1)
    monkeypatch.setattr("hobnote.batch.cluster.__version__", "99.0")
    with Cluster(kitchen.address) as cluster, pytest.raises(BatchError, match=r"this is 99\.0"):
        list(cluster.read([Note("a", GOOD[0].encode())]))


def test_no_scheduler_is_one_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("hobnote.batch.cluster.CONNECT", 0.5)
    with pytest.raises(BatchError, match="no scheduler answers there"), Cluster("tcp://127.0.0.1:9"):
        pass
    with pytest.raises(BatchError, match="no scheduler answers there"), Cluster("galley"):
        pass


def test_the_scheduler_goes_away(tmp_path: Path) -> None:
    with ExitStack() as stack:
        scheduler = stack.enter_context(
            process("scheduler", "--port", "0", *LOOPBACK, cwd=tmp_path)
        )
        address = None
        while not address:
            time.sleep(0.1)
            address = re.search(
                rb"tcp://127\.0\.0\.1:\d+", (tmp_path / "scheduler.log").read_bytes()
            )
        with Cluster(address[0].decode()) as cluster:
            reading = cluster.read([Note("a", GOOD[0].encode())])  # nobody is there to read it
            scheduler.kill()
            with pytest.raises(BatchError, match="the scheduler is gone"):
                next(reading)
