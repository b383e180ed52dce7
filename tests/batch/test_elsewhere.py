"""Sources and outputs in other file systems, without a cluster."""

from __future__ import annotations

import io
import json
import zipfile
from collections import Counter

import pytest

from hobnote.batch import parts
from hobnote.batch.errors import BatchError
from hobnote.batch.notes import Refused
from hobnote.batch.run import run
from hobnote.batch.sinks import open_sink
from hobnote.batch.sources import files_of, notes_of

fsspec = pytest.importorskip("fsspec")
TEXT = "Two hundred grams of oats and half a litre of milk, simmer for ten minutes."


@pytest.fixture
def fs():
    found = fsspec.filesystem("memory")
    for path in found.find("/"):
        found.rm_file(path)
    for n in range(5):
        found.pipe_file(f"/shed/{n}.txt", f"{TEXT} Note {n}.".encode())
    found.pipe_file("/shed/.hidden/x.txt", b"x")
    found.pipe_file("/shed/photo.jpg", b"x")
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("week 1/a.txt", TEXT)
        archive.writestr("../up.txt", TEXT)
    found.pipe_file("/shed/season.zip", packed.getvalue())
    found.pipe_file("/shed/torn.tar.gz", b"\x1f\x8b\x08torn")
    found.pipe_file("/shed/more.ndjson", b'"Two eggs."\nnot json\n')
    return found


def test_folders_patterns_and_archives(fs) -> None:
    found = list(notes_of(files_of(["memory://shed"])))
    bad = {one.name.rsplit("/", 1)[-1] for one in found if isinstance(one, Refused)}
    assert bad == {"up.txt", "torn.tar.gz", "more.ndjson, line 2"}
    assert len(found) == 5 + 2 + 1 + 2
    assert [str(f) for f in files_of(["memory://shed/[01].txt"])] == [
        "memory:///shed/0.txt", "memory:///shed/1.txt"
    ]  # fmt: skip
    for nowhere in ("memory://none", "memory://shed/*.none", "galley://x", "nothing://a/*.txt"):
        with pytest.raises(BatchError):
            files_of([nowhere])


@pytest.mark.parametrize("out", ["out.ndjson", "out.parquet", "out"])
def test_parts_are_whole_or_count_for_nothing(
    fs, monkeypatch: pytest.MonkeyPatch, out: str
) -> None:
    monkeypatch.setattr(parts, "NOTES", 2)
    source, where = ["memory://shed/[0-4].txt"], f"memory://{out}"
    assert run(source, open_sink(where), jobs=1).read == 5
    journals = [p for p in fs.find(f"/{out}") if ".hobnote-batch" in p]
    assert len(journals) == 3
    # The last journal is cut short, as by a kill: what it told of is read again, once.
    fs.pipe_file(journals[-1], fs.cat_file(journals[-1])[:-9])
    again = run(source, open_sink(where), jobs=1)
    assert (again.read, again.before) == (1, 4)
    assert names(fs, out) == dict.fromkeys((f"memory:///shed/{n}.txt" for n in range(5)), 1)
    if out != "out":  # and so is what a part held that someone took away
        lost = next(p for p in fs.find(f"/{out}") if "part-" in p)
        fs.rm_file(lost)
        assert run(source, open_sink(where), jobs=1).read in (1, 2)
        assert len(names(fs, out)) == 5
    with pytest.raises(BatchError, match="with other options"):
        run(source, open_sink(where), measures="uk", jobs=1)
    assert run(source, open_sink(where), measures="uk", jobs=1, afresh=True).read == 5


def names(fs, out: str) -> Counter[str]:
    found: Counter[str] = Counter()
    for path in fs.find(f"/{out}"):
        data = fs.cat_file(path)
        if ".hobnote-batch" in path:
            continue
        if out.endswith(".ndjson"):
            found.update(json.loads(line)["note"] for line in data.splitlines())
        elif out.endswith(".parquet"):
            parquet = pytest.importorskip("pyarrow.parquet")
            found.update(parquet.read_table(io.BytesIO(data)).column("note").to_pylist())
        else:
            assert json.loads(data)["schema"] == "hobnote/record@1"
            found["memory:///shed/" + path.rsplit("/", 1)[-1].removesuffix(".json")] += 1
    return found


def test_a_folder_that_holds_other_things_is_left_alone(fs) -> None:
    with pytest.raises(BatchError, match="other files are there"):
        run(["memory://shed/0.txt"], open_sink("memory://shed"), jobs=1, afresh=True)
    assert fs.exists("/shed/photo.jpg")
