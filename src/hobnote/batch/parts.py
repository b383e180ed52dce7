"""Output to where files cannot be written on: whole parts, each with a journal of its own.

    OUT/part-RUN-00001.ndjson        or .parquet; a folder has a file a note instead
    OUT/.hobnote-batch/RUN-00001     what is done, the number of lines first

A part is written whole, then its journal. A part whose journal is missing or
cut short counts for nothing: it is removed and its notes are read again.
"""

from __future__ import annotations

import io
import json
import time
import uuid
from pathlib import PurePosixPath
from types import TracebackType
from typing import Any, Final

from hobnote.batch.errors import BatchError
from hobnote.batch.journal import Journal
from hobnote.batch.notes import Done, Note
from hobnote.batch.places import file_system
from hobnote.batch.sinks import JOURNAL, file_name

NOTES, BYTES, SECONDS = 1_000, 32_000_000, 60.0
"""A part is written when it holds so many notes or bytes, or is so old: more is lost by a kill."""
_KINDS: Final = {".ndjson": "ndjson", ".jsonl": "ndjson", ".parquet": "parquet"}


class PartsJournal(Journal):
    """A journal in parts; the lines of the next part wait until :meth:`flush`."""

    def __init__(self, fs: Any, folder: str, settings: dict[str, Any]) -> None:
        super().__init__(None, settings)
        self._fs, self._folder = fs, f"{folder}/{JOURNAL}"
        self._run, self._number = uuid.uuid4().hex[:8], 0
        self._waiting: list[dict[str, Any]] = []

    def __enter__(self) -> PartsJournal:
        try:
            names = sorted(self._fs.find(self._folder)) if self._fs.isdir(self._folder) else []
            for name in names:
                self._take(str(name), self._fs.cat_file(name))
        except BatchError:
            raise
        except Exception as problem:  # each protocol has errors of its own
            raise _cannot(self._folder, "read", problem) from None
        self.begun = bool(names)
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Nothing is held."""

    def _take(self, name: str, data: bytes) -> None:
        try:
            head, *lines = map(json.loads, data.splitlines())
            whole = len(lines) == head.pop("lines")
        except (ValueError, KeyError, AttributeError):
            whole = False
        if not whole:
            self._fs.rm_file(name)
            return
        if head != self._head:
            raise BatchError(
                f"{name}: begun by another version or with other options; --afresh begins anew."
            )
        self.lines += lines

    def add(self, name: str, digest: str, **more: Any) -> None:
        """Note that a note is done; it is remembered with the next part."""
        self._waiting.append({"note": name, "digest": digest, **more})

    def part(self) -> str:
        """The name of the part that is being gathered."""
        return f"{self._run}-{self._number:05}"

    def flush(self) -> None:
        """Remember what was added, once its output is written."""
        if not self._waiting:
            return
        lines = [{**self._head, "lines": len(self._waiting)}, *self._waiting]
        text = "".join(json.dumps(line) + "\n" for line in lines)
        self._fs.makedirs(self._folder, exist_ok=True)
        self._fs.pipe_file(f"{self._folder}/{self.part()}", text.encode("utf-8", "replace"))
        self._waiting.clear()
        self._number += 1


class PartsSink:
    """Records to a folder of any file system, as parts or as a file a note."""

    def __init__(self, out: str) -> None:
        self._fs, folder = file_system(out)
        self.folder = folder.rstrip("/")
        self.kind = _KINDS.get(PurePosixPath(self.folder).suffix.lower(), "folder")
        if self.kind == "parquet":
            from hobnote.batch.parquet import needs_arrow

            needs_arrow()
        self._lines: list[str] = []
        self._size, self._since = 0, time.monotonic()
        self._journal: PartsJournal | None = None
        self._names: dict[str, str] = {}

    def journal(self, settings: dict[str, Any], *, afresh: bool) -> Journal:
        """Kept in a hidden folder beside the parts."""
        try:
            there = self._fs.exists(self.folder) and bool(self._fs.ls(self.folder, detail=False))
            ours = self._fs.isdir(f"{self.folder}/{JOURNAL}")
            if there and afresh and ours:
                self._fs.rm(self.folder, recursive=True)
            elif there and not ours:
                raise BatchError(f"{self.folder}: other files are there; give an empty folder.")
            self._fs.makedirs(f"{self.folder}/{JOURNAL}", exist_ok=True)
        except BatchError:
            raise
        except Exception as problem:  # each protocol has errors of its own
            raise _cannot(self.folder, "written", problem) from None
        return PartsJournal(self._fs, self.folder, settings)

    def begin(self, journal: Journal) -> None:
        """Remove parts that no journal knows, forget notes whose part is gone."""
        assert isinstance(journal, PartsJournal)
        self._journal = journal
        names = {PurePosixPath(str(name)).name for name in self._fs.ls(self.folder, detail=False)}
        journal.lines = [x for x in journal.lines if x.get("part", "") in {"", *names}]
        known = {x.get("part") for x in journal.lines}
        for name in names:
            if name.startswith("part-") and name not in known:
                self._fs.rm_file(f"{self.folder}/{name}")
        self._names = {x["file"].lower(): x["note"] for x in journal.lines if "file" in x}

    def has(self, note: Note) -> bool:
        """Only the journal knows."""
        return False

    def put(self, done: Done) -> dict[str, Any]:
        """Into the next part, or into a file of its own."""
        assert self._journal is not None
        old = time.monotonic() - self._since > SECONDS
        if len(self._lines) >= NOTES or self._size >= BYTES or (self._lines and old):
            self._flush()
        if self.kind == "folder":
            name = file_name(done.note.name)
            if self._names.setdefault(name.lower(), done.note.name) != done.note.name:
                name = file_name(done.note.name, mark=True)
            path = f"{self.folder}/{name}"
            self._write(path, f"{done.record}\n".encode())
            self._lines.append("")
            return {"file": name}
        name = json.dumps(done.note.name, ensure_ascii=False)
        self._lines.append(f'{{"note":{name},"record":{done.record}}}\n')
        self._size += len(self._lines[-1])
        return {"part": self._part()}

    def _part(self) -> str:
        assert self._journal is not None
        return f"part-{self._journal.part()}.{self.kind}"

    def _write(self, path: str, data: bytes) -> None:
        try:
            self._fs.makedirs(path.rpartition("/")[0], exist_ok=True)
            self._fs.pipe_file(path, data)
        except Exception as problem:  # each protocol has errors of its own
            raise _cannot(path, "written", problem) from None

    def _flush(self) -> None:
        if self._journal is None:
            return
        if self._lines and self.kind != "folder":
            self._write(f"{self.folder}/{self._part()}", self._data())
        try:
            self._journal.flush()
        except Exception as problem:  # each protocol has errors of its own
            raise _cannot(self.folder, "written", problem) from None
        self._lines.clear()
        self._size, self._since = 0, time.monotonic()

    def _data(self) -> bytes:
        if self.kind == "ndjson":
            return "".join(self._lines).encode("utf-8", "replace")
        from hobnote.batch.parquet import write_rows

        held = io.BytesIO()
        write_rows(held, self._lines)
        return held.getvalue()

    def finish(self, journal: Journal) -> None:
        """Write the last part."""
        self._flush()

    def close(self) -> None:
        """What was read before a stop is kept too."""
        self._flush()


def _cannot(where: str, what: str, problem: Exception) -> BatchError:
    said = " ".join(str(problem).split())[:160] or type(problem).__name__
    return BatchError(f"{where}: cannot be {what} ({said}).")
