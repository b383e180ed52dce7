"""Where records go: a folder of JSON files, an NDJSON or a Parquet file, or the store.

    sink = open_sink("out.parquet")
    with sink.journal(settings, afresh=False) as journal:
        sink.begin(journal)
        sink.put(done)      what the journal must remember
        sink.finish(journal)

NDJSON is a line a note: ``{"note": name, "record": {…}}``.
"""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path
from typing import IO, Any, Final, Protocol

from hobnote.batch.errors import BatchError
from hobnote.batch.journal import Journal
from hobnote.batch.notes import Done, Note
from hobnote.batch.places import is_database, is_remote, local_path

JOURNAL: Final = ".hobnote-batch"
STORE: Final = "store"
_LINES: Final = (".ndjson", ".jsonl")


class Sink(Protocol):
    """Takes records as they come."""

    kind: str

    def journal(self, settings: dict[str, Any], *, afresh: bool) -> Journal:
        """The journal that goes with this output; ``afresh`` throws away both first."""

    def begin(self, journal: Journal) -> None:
        """Make ready, and bring the output to where the journal says it was."""

    def has(self, note: Note) -> bool:
        """Whether the output itself knows that it holds this note."""

    def put(self, done: Done) -> dict[str, Any]:
        """Keep one record; gives what the journal must remember of it."""

    def finish(self, journal: Journal) -> None:
        """All notes are done."""

    def close(self) -> None:
        """Let go, finished or not."""


def open_sink(out: str) -> Sink:
    """The sink for ``out``: "store", a database address, a file by its ending, else a folder.

    A path with another ``protocol://`` is a folder of parts (:mod:`hobnote.batch.parts`).
    """
    if out == STORE or is_database(out):
        from hobnote.batch.store import StoreSink

        return StoreSink(None if out == STORE else out)
    path = Path(local_path(out))
    if is_remote(local_path(out)):
        from hobnote.batch.parts import PartsSink

        return PartsSink(out)
    if path.suffix.lower() in _LINES:
        return LinesSink(path)
    if path.suffix.lower() == ".parquet":
        from hobnote.batch.parquet import ParquetSink

        return ParquetSink(path)
    if path.exists() and not path.is_dir():
        raise BatchError(f"{out}: this is a file; give a folder, FILE.ndjson or FILE.parquet.")
    return FolderSink(path)


class FolderSink:
    """A JSON file a note, under the note's own name."""

    kind = "folder"

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._names: dict[str, str] = {}

    def journal(self, settings: dict[str, Any], *, afresh: bool) -> Journal:
        """Kept as a hidden file in the folder."""
        path = self.folder / JOURNAL
        others = self.folder.is_dir() and any(self.folder.iterdir()) and not path.exists()
        if others:
            raise BatchError(f"{self.folder}: this folder holds other files; give an empty one.")
        if afresh:
            path.unlink(missing_ok=True)
        return Journal(path, settings)

    def begin(self, journal: Journal) -> None:
        """Files that a power cut left empty are written again."""
        journal.lines = [
            line
            for line in journal.lines
            if "file" not in line or self._holds(line["file"])
        ]
        self._names = {x["file"].lower(): x["note"] for x in journal.lines if "file" in x}

    def _holds(self, name: str) -> bool:
        path = self.folder / name
        return path.is_file() and path.stat().st_size > 0

    def has(self, note: Note) -> bool:
        """Only the journal knows."""
        return False

    def put(self, done: Done) -> dict[str, Any]:
        """Written aside and moved into place, so that no half file is ever seen."""
        name = file_name(done.note.name)
        if self._names.setdefault(name.lower(), done.note.name) != done.note.name:
            name = file_name(done.note.name, mark=True)
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        aside = path.with_name(f".{hashlib.sha256(name.encode()).hexdigest()[:12]}.part")
        aside.write_text(done.record + "\n", encoding="utf-8")
        aside.replace(path)
        return {"file": name}

    def finish(self, journal: Journal) -> None:
        """Nothing is left to do."""

    def close(self) -> None:
        """Nothing is held."""


def file_name(note: str, *, mark: bool = False) -> str:
    """A relative path for a note's record that cannot lead out of the folder.

    With ``mark`` it is no other note's: for names that are only alike when made safe.
    """
    parts = []
    for part in re.split(r"[/\\]+", note):
        plain = re.sub(r"[^\w .,()+=@-]", "_", part).strip(" .") if part not in (".", "..") else ""
        if plain:
            parts.append(plain[:100])
    path = "/".join(parts[-12:]) or "note"
    if mark:
        path += "~" + hashlib.sha256(note.encode("utf-8", "replace")).hexdigest()[:8]
    return f"{path}.json"


class LinesSink:
    """One NDJSON file; the journal remembers its length after each line."""

    kind = "ndjson"

    def __init__(self, path: Path) -> None:
        self.path = path
        self._file: IO[bytes] | None = None

    def _journal_path(self) -> Path:
        return self.path.with_name(self.path.name + JOURNAL)

    def journal(self, settings: dict[str, Any], *, afresh: bool) -> Journal:
        """Kept beside the file."""
        path = self._journal_path()
        if afresh:
            path.unlink(missing_ok=True)
            self.path.unlink(missing_ok=True)
        elif self.path.exists() and not path.exists():
            raise BatchError(f"{self.path} is there already; --afresh writes it anew.")
        return Journal(path, settings)

    def begin(self, journal: Journal) -> None:
        """Cut off what the journal does not know of."""
        try:
            self._file = self.path.open("ab")
        except OSError as problem:
            raise BatchError(f"{self.path}: cannot be written ({problem.strerror}).") from None
        journal.within(self._file.tell())
        self._file.truncate(journal.size())

    def has(self, note: Note) -> bool:
        """Only the journal knows."""
        return False

    def put(self, done: Done) -> dict[str, Any]:
        """One line more."""
        assert self._file is not None
        name = json.dumps(done.note.name, ensure_ascii=False)
        line = f'{{"note":{name},"record":{done.record}}}\n'
        self._file.write(line.encode("utf-8", "replace"))
        self._file.flush()
        return {"size": self._file.tell()}

    def finish(self, journal: Journal) -> None:
        """The journal stays: the same command later reads only what is new."""

    def close(self) -> None:
        """Close the file."""
        if self._file is not None:
            self._file.close()
