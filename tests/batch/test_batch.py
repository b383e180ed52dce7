"""The command as it is run: its outputs, its exit codes, and what a kill leaves."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from hobnote.batch.errors import BatchError
from hobnote.batch.notes import Done, Note, Refused
from hobnote.batch.pool import Pool
from hobnote.batch.sinks import FolderSink, file_name, open_sink
from hobnote.keeping.store import Store

GOOD = (
    "Two hundred grams of oats and half a litre of milk, simmer for ten minutes.",
    "For the lunch boxes: 300 g of rice, 400 g of chickpeas, a glug of olive oil.",
    "Whisk three eggs with a splash of milk and fry them on medium heat for two minutes.",
)


def batch(*arguments: object, data: bytes = b"", **environment: str):
    return subprocess.run(
        [sys.executable, "-m", "hobnote.cli", "batch", *map(str, arguments)],
        input=data,
        capture_output=True,
        env={**os.environ, **environment},
        check=False,
        timeout=120,
    )


@pytest.fixture
def notes(tmp_path: Path) -> Path:
    folder = tmp_path / "notes"
    folder.mkdir()
    for n, text in enumerate(GOOD):
        (folder / f"{n}.txt").write_text(text)
    return folder


def lines(path: Path) -> list[dict]:
    return [json.loads(line) for line in path.read_text().splitlines()]


def test_a_folder_with_a_bad_note_and_once_more(notes: Path, tmp_path: Path) -> None:
    (notes / "sound.txt").write_bytes(b"ID3\x04\x00\x00")
    (notes / "empty.txt").write_bytes(b"")
    out = tmp_path / "records"
    done = batch(notes, "--out", out, "--jobs", 2)
    told = done.stderr.decode()
    assert done.returncode == 3, told
    assert "sound.txt: line 1: this is a sound file" in told
    assert "empty.txt: line 1: this note is empty" in told
    assert "3 read; 2 not read" in told
    for n in range(3):
        path = out / file_name(str(notes / f"{n}.txt"))
        assert json.loads(path.read_text())["schema"] == "hobnote/record@1"
    (notes / "new.txt").write_text(GOOD[0])
    again = batch(notes, "--out", out, "--jobs", 1).stderr.decode()
    assert "1 read; 3 known already; 2 not read" in again
    assert "sound.txt: line 1" in again  # the reasons are told again


def test_lines_in_lines_out(tmp_path: Path) -> None:
    data = "\n".join(json.dumps({"name": f"note {n}", "text": t}) for n, t in enumerate(GOOD))
    out = tmp_path / "out.ndjson"
    done = batch("-", "--out", out, "--jobs", 1, data=data.encode())
    assert done.returncode == 0, done.stderr
    assert sorted(line["note"] for line in lines(out)) == ["note 0", "note 1", "note 2"]
    porridge = next(line["record"] for line in lines(out) if line["note"] == "note 0")
    assert "milk" in {row["name"] for row in porridge["components"][0]["ingredients"]}


def test_killed_and_taken_up_again(tmp_path: Path) -> None:
    """Killed with no warning half-way: nothing is lost, nothing is there twice."""
    total = 400
    data = "\n".join(json.dumps({"name": f"note {n}", "text": GOOD[n % 3]}) for n in range(total))
    (tmp_path / "notes.ndjson").write_text(data)
    out = tmp_path / "out.ndjson"
    command = [sys.executable, "-m", "hobnote.cli", "batch", str(tmp_path / "notes.ndjson"),
               "--out", str(out), "--jobs", "1"]  # fmt: skip
    running = subprocess.Popen(command, stderr=subprocess.DEVNULL)
    while running.poll() is None and not (out.exists() and out.stat().st_size > 50_000):
        time.sleep(0.02)
    running.send_signal(signal.SIGKILL)
    running.wait()
    assert running.returncode == -signal.SIGKILL
    with out.open("ab") as file:  # a line that the kill cut short
        file.write(b'{"note":"note 399","rec')
    with (tmp_path / "out.ndjson.hobnote-batch").open("ab") as file:
        file.write(b'{"note": "no')
    done = batch(tmp_path / "notes.ndjson", "--out", out, "--jobs", 1)
    told = done.stderr.decode()
    assert done.returncode == 0, told
    assert "known already" in told
    assert sorted(line["note"] for line in lines(out)) == sorted(f"note {n}" for n in range(total))


def test_parquet(notes: Path, tmp_path: Path) -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    out = tmp_path / "out.parquet"
    assert batch(notes, "--out", out, "--jobs", 1).returncode == 0
    rows = {Path(row["note"]).name: row for row in parquet.read_table(out).to_pylist()}
    porridge = rows["0.txt"]
    assert set(porridge["ingredients"]) >= {"milk"}
    record = json.loads(porridge["record"])
    energy = record["nutrition"]["total"]["energy_kcal"]
    assert porridge["energy_kcal_best"] == energy["best"]
    assert porridge["portions_best"] is None  # nobody said how many it serves
    assert [p.name for p in tmp_path.iterdir() if p != notes] == ["out.parquet"]
    refused = batch(notes, "--out", out)
    assert refused.returncode == 2
    assert b"is there already" in refused.stderr


def test_parquet_without_its_library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    with pytest.raises(BatchError, match=r"hobnote\[batch\]"):
        open_sink(str(tmp_path / "out.parquet"))


def test_into_the_store(notes: Path, tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'kept.sqlite3'}"
    assert batch(notes, "--out", url, "--jobs", 1).returncode == 0
    again = batch(notes, "--out", "store", "--jobs", 1, HOBNOTE_DATABASE=url)
    assert "0 read; 3 known already" in again.stderr.decode()
    store = Store.open(url)
    assert sorted(store.turns(kept.id)[0].text for kept in store.list()) == sorted(GOOD)
    store.close()


def test_outputs_that_cannot_be(notes: Path, tmp_path: Path) -> None:
    (tmp_path / "a-file").write_text("mine")
    (tmp_path / "mine.ndjson").write_text("mine")
    for out, says in (
        (tmp_path / "a-file", "this is a file"),
        (tmp_path / "mine.ndjson", "is there already"),
        (notes, "holds other files"),
        (tmp_path / "a-file" / "x.ndjson", "cannot be written"),
    ):
        done = batch(notes, "--out", out)
        assert done.returncode == 2
        assert says in done.stderr.decode()
        assert done.stderr.count(b"\n") == 1
    assert (tmp_path / "mine.ndjson").read_text() == "mine"
    done = batch(tmp_path / "none", "--out", tmp_path / "o")
    assert (done.returncode, done.stderr.count(b"\n")) == (2, 1)


def test_a_reader_that_is_killed_costs_nothing() -> None:
    given = [Note(f"note {n}", GOOD[n % 3].encode()) for n in range(6)]
    killed = False
    got = []
    with Pool(1) as pool:
        for one in pool.read([*given, Refused("odd", "it is odd.")]):
            got.append(one)
            if not killed:
                killed = True
                os.kill(pool.readers[0].process.pid, signal.SIGKILL)
    assert sorted(one.note.name for one in got if isinstance(one, Done)) == [n.name for n in given]
    assert [one.name for one in got if isinstance(one, Refused)] == ["odd"]


def test_a_note_that_takes_too_long_is_refused() -> None:
    with Pool(1, patience=30) as pool:
        long = Note("long", GOOD[1].encode() * 2000)
        results = pool.read([Note("first", GOOD[0].encode()), long])
        assert isinstance(next(results), Done)
        pool.patience = 0.0
        late = next(results)
    assert isinstance(late, Refused)
    assert "not read within" in late.reason


def test_names_stay_in_the_folder(tmp_path: Path) -> None:
    for name in ("../../up.txt", "/a/b.txt", "C:\\a.txt", "..", "", "a\x00b", "x" * 400, "CON: ?"):
        path = (tmp_path / file_name(name)).resolve()
        assert path.is_relative_to(tmp_path)
        assert path.suffix == ".json"
    sink = FolderSink(tmp_path / "out")
    names = [sink.put(Done(Note(n, b"x"), "{}"))["file"] for n in ("a?b", "a*b", "A:b", "a?b")]
    assert len({name.lower() for name in names}) == 3
    assert names[0] == names[3]
