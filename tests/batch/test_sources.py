"""What a batch takes for a note, and what it refuses with one sentence."""

from __future__ import annotations

import gzip
import io
import tarfile
import zipfile
from pathlib import Path

import pytest

from hobnote.batch import archives
from hobnote.batch.errors import BatchError
from hobnote.batch.notes import MOST_BYTES, Note, Refused
from hobnote.batch.sources import count, files_of, notes_of, read_lines

NOTE = b"Two hundred grams of oats and a litre of milk for the eight."


def found(*paths: object) -> tuple[dict[str, bytes], dict[str, str]]:
    """Notes and reasons by the last part of their names."""
    notes, reasons = {}, {}
    for one in notes_of(files_of([str(p) for p in paths])):
        short = one.name.rsplit("/", 1)[-1]
        if isinstance(one, Refused):
            reasons[short] = one.reason
        else:
            notes[short] = one.data
    return notes, reasons


def make_zip(path: Path, members: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return path


def make_tar(path: Path, members: dict[str, bytes | tarfile.TarInfo]) -> Path:
    with tarfile.open(path, "w:gz") as archive:
        for name, data in members.items():
            if isinstance(data, tarfile.TarInfo):
                archive.addfile(data)
                continue
            info = tarfile.TarInfo(name)
            info.size = len(data)
            archive.addfile(info, io.BytesIO(data))
    return path


def test_folders_patterns_and_files(tmp_path: Path) -> None:
    for name in ("a.txt", "deep/b.vtt", "deep/photo.jpg", ".hidden.txt", ".git/c.txt", "odd.note"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(NOTE)
    assert sorted(found(tmp_path)[0]) == ["a.txt", "b.vtt"]
    both = found(tmp_path / "odd.note", tmp_path / "**" / "*.vtt")[0]
    assert sorted(both) == ["b.vtt", "odd.note"]
    assert count(files_of([str(tmp_path)])) == 2
    # a file that is named twice is read once
    assert len(files_of([str(tmp_path), str(tmp_path / "a.txt")])) == 2


@pytest.mark.parametrize("path", ["none.txt", "*.none"])
def test_a_path_that_leads_nowhere(tmp_path: Path, path: str) -> None:
    with pytest.raises(BatchError, match="there is no such file or folder"):
        files_of([str(tmp_path / path)])


def test_files_that_are_no_notes(tmp_path: Path) -> None:
    (tmp_path / "long.txt").write_bytes(b"oats " * (MOST_BYTES // 5 + 1))
    (tmp_path / "gone.txt").symlink_to(tmp_path / "nowhere")
    notes, reasons = found(tmp_path)
    assert notes == {}
    assert "larger than any note" in reasons["long.txt"]
    assert "cannot be read" in reasons["gone.txt"]


def test_members_of_a_zip(tmp_path: Path) -> None:
    path = make_zip(
        tmp_path / "season.zip",
        {"week 1/a.txt": NOTE, "b.srt": NOTE, "photo.jpg": b"", "__MACOSX/._a.txt": b"x",
         "../../up.txt": NOTE, "/root.txt": NOTE, "inner.zip": b"PK",
         "bomb.txt": b"0" * (MOST_BYTES + 1)},
    )  # fmt: skip
    notes, reasons = found(path)
    assert sorted(notes) == ["a.txt", "b.srt"]
    assert notes["a.txt"] == NOTE
    assert "leads out" in reasons["up.txt"]
    assert "leads out" in reasons["root.txt"]
    assert "inside an archive" in reasons["inner.zip"]
    assert "larger than any note" in reasons["bomb.txt"]
    assert count([path]) == 6  # the archive's list says so without unpacking


def test_a_zip_that_lies_about_sizes(tmp_path: Path) -> None:
    path = make_zip(tmp_path / "lie.zip", {"bomb.txt": b"0" * (MOST_BYTES + 1), "a.txt": NOTE})
    size = (MOST_BYTES + 1).to_bytes(4, "little")
    path.write_bytes(path.read_bytes().replace(size, (60).to_bytes(4, "little")))
    notes, reasons = found(path)
    assert list(notes) == ["a.txt"]
    assert "bomb.txt" in reasons


def test_members_of_a_tar(tmp_path: Path) -> None:
    link, device = tarfile.TarInfo("link.txt"), tarfile.TarInfo("device.txt")
    link.type, link.linkname = tarfile.SYMTYPE, "/etc/hostname"
    device.type = tarfile.CHRTYPE
    path = make_tar(
        tmp_path / "season.tgz",
        {"a.txt": NOTE, "../up.txt": NOTE, "link.txt": link, "device.txt": device, "z.txt": NOTE},
    )
    notes, reasons = found(path)
    assert notes == {"a.txt": NOTE, "z.txt": NOTE}
    assert "leads out" in reasons["up.txt"]
    assert all("not a file" in reasons[name] for name in ("link.txt", "device.txt"))
    assert count([path]) is None


def test_a_tar_that_swells(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(archives, "ALWAYS_ALLOWED", 100_000)
    big = b"0" * 3_000_000
    path = make_tar(tmp_path / "bomb.tar.gz", {"a.txt": NOTE, "big.bin": big, "z.txt": NOTE})
    notes, reasons = found(path)
    assert list(notes) == ["a.txt"]
    assert "far more than its size" in reasons["bomb.tar.gz"]


@pytest.mark.parametrize("name", ["torn.zip", "torn.tar", "torn.tar.gz", "torn.tar.xz"])
def test_a_torn_archive_is_one_sentence(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(b"these are no members " * 99)
    (tmp_path / f"cut-{name}").write_bytes(gzip.compress(b"x" * 9999)[:40])
    for one in notes_of(files_of([str(tmp_path)])):
        assert isinstance(one, Refused)
        assert "cannot be read on" in one.reason
        assert "\n" not in one.reason


def test_a_locked_member(tmp_path: Path) -> None:
    path = make_zip(tmp_path / "locked.zip", {"a.txt": NOTE})
    data = bytearray(path.read_bytes())
    data[data.index(b"PK\x01\x02") + 8] |= 1
    path.write_bytes(data)
    assert "password" in found(path)[1]["a.txt"]


def test_lines() -> None:
    stream = io.BytesIO(
        b'"Two eggs."\n\n{"name": "porridge", "text": "Oats."}\nnot json\n{"text": 3}\n[]\n"last"'
    )
    got = list(read_lines(stream, "standard input"))
    assert got[:2] == [
        Note("standard input, line 1", b"Two eggs."), Note("porridge", b"Oats.")
    ]  # fmt: skip
    assert [type(g) for g in got] == [Note, Note, Refused, Refused, Refused, Note]
    assert [g.name for g in got[2:]] == [f"standard input, line {n}" for n in (4, 5, 6, 7)]
