"""The wheel in a clean environment, without the repository: it reads, has types, says its version.

Its packages come from the registry (or pip's cache). Where there is none, these tests say
so and are skipped, unless HOBNOTE_CLEAN_ROOM=1 (as in .ci/run) asks for them.
"""

from __future__ import annotations

import importlib.util
import json
import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

import hobnote

ROOT = Path(__file__).parents[2]
WANTED = bool(os.environ.get("HOBNOTE_CLEAN_ROOM"))
NOTE = "Two hundred grams of oats, half a litre of milk. Simmer for 5 minutes. Serves two.\n"


def clean(home: Path) -> dict[str, str]:
    """An environment that knows nothing of this repository."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "HOBNOTE", "XDG"))}
    return {**kept, "HOME": str(home)}


@pytest.fixture(scope="module")
def dist(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the source archive, and the wheel that was built from it."""
    for module in ("build", "hatchling"):
        if importlib.util.find_spec(module) is None:
            pytest.skip(f"'{module}' is not installed; the extra 'test' brings it")
    made = tmp_path_factory.mktemp("dist")
    subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", "--outdir", made, ROOT],
        check=True, capture_output=True,
    )  # fmt: skip
    return made


@pytest.fixture(scope="module")
def room(dist: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A virtual environment with the wheel and what it asks for, at the locked versions."""
    made = tmp_path_factory.mktemp("room")
    subprocess.run([sys.executable, "-m", "venv", made / "env"], check=True)
    [wheel] = dist.glob("*.whl")
    patience = [] if WANTED else ["--retries", "0", "--timeout", "15"]
    done = subprocess.run(
        [made / "env/bin/python", "-m", "pip", "install", "--quiet", "--no-compile", *patience,
         "--disable-pip-version-check", "-c", ROOT / "requirements.lock", wheel],
        capture_output=True, text=True, check=False,
        env={k: v for k, v in os.environ.items() if k != "PYTHONPATH"},
    )  # fmt: skip
    if done.returncode and not WANTED:
        pytest.skip(f"the packages cannot be had here: {done.stderr.strip().splitlines()[-1]}")
    assert done.returncode == 0, done.stderr
    return made


def run(room: Path, *words: str, note: str = "") -> str:
    done = subprocess.run(
        [str(room / "env/bin" / words[0]), *words[1:]],
        input=note, capture_output=True, text=True, check=False, cwd=room, env=clean(room),
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_the_archives_hold_what_they_should(dist: Path) -> None:
    [wheel], [source] = dist.glob("*.whl"), dist.glob("*.tar.gz")
    with zipfile.ZipFile(wheel) as held:
        names = set(held.namelist())
    for name in (
        "hobnote/py.typed", "hobnote_api/py.typed", "hobnote/models/boundaries/weights.json",
        "hobnote/pantry/data/densities.csv", "hobnote/keeping/migrations/env.py",
        "hobnote_api/page/static/hobnote.css", "hobnote_api/page/templates/base.html.j2",
    ):  # fmt: skip
        assert name in names, name
    assert not [n for n in names if n.split("/")[0] in ("tests", "corpus", "docs", "scripts")]
    data = {p.relative_to(ROOT / "src").as_posix() for p in (ROOT / "src").rglob("*")
            if p.is_file() and "__pycache__" not in p.parts}  # fmt: skip
    assert data <= names
    with tarfile.open(source) as packed:
        inside = {name.partition("/")[2] for name in packed.getnames()}
    assert {"LICENSE", "README.md", "pyproject.toml", "models/README.md"} <= inside


def test_a_note_from_standard_input_is_read(room: Path) -> None:
    shown = run(room, "hobnote", "read", "-", note=NOTE)
    assert "oats" in shown and "2 portions" in shown
    record = json.loads(run(room, "hobnote", "read", "-", "--format", "json", note=NOTE))
    rows = {row["name"]: row for part in record["components"] for row in part["ingredients"]}
    assert rows["oats"]["grams"]["best"] == 200 and "milk" in rows
    assert record["nutrition"]["per_portion"]["energy_kcal"]["best"] > 300
    where = run(room, "python", "-c", "import hobnote; print(hobnote.__file__)")
    assert Path(where.strip()).is_relative_to(room), "it must not come from the repository"


def test_a_conversation_is_kept_and_backed_up(room: Path) -> None:
    (room / "note.txt").write_text(NOTE)
    assert "Kept as recipe 1" in run(room, "hobnote", "chat", "note.txt", note="a tablespoon\n")
    assert run(room, "hobnote", "backup", "copy.sqlite3").startswith("Backed up to copy.sqlite3")


def test_the_version_comes_from_one_place(room: Path, dist: Path) -> None:
    asked = (
        "import importlib.metadata, tempfile\n"
        "from hobnote.keeping.store import Store\n"
        "from hobnote_api.app import create_app\n"
        "app = create_app(Store.open(tempfile.mkdtemp() + '/recipes.sqlite3'))\n"
        "print(importlib.metadata.version('hobnote'), app.openapi()['info']['version'])\n"
    )
    assert run(room, "python", "-c", asked).split() == [hobnote.__version__] * 2
    assert run(room, "hobnote", "--version").split() == ["hobnote", hobnote.__version__]
    assert {p.name for p in dist.iterdir()} == {
        f"hobnote-{hobnote.__version__}-py3-none-any.whl", f"hobnote-{hobnote.__version__}.tar.gz"
    }  # fmt: skip


USER = """\
import hobnote
from hobnote.keeping.store import Store
from hobnote_api.app import create_app

record = hobnote.read("oats")
portion = record.nutrition.per_portion
best: float | None = portion["energy_kcal"].best if portion else None
title: str | None = Store.open().list()[0].title
create_app()
wrong: int = hobnote.read("oats")
hobnote.read(7)
"""


def test_its_types_are_checked_from_outside(room: Path) -> None:
    (room / "user.py").write_text(USER)
    done = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", "--config-file=", "--no-incremental",
         "--follow-imports=silent", "--python-executable", room / "env/bin/python", "user.py"],
        capture_output=True, text=True, check=False, cwd=room, env=clean(room),
    )  # fmt: skip
    errors = [line for line in done.stdout.splitlines() if "error:" in line]
    assert len(errors) == 2, done.stdout + done.stderr
    assert errors[0].startswith("user.py:10:") and 'has type "Record"' in errors[0]
    assert errors[1].startswith("user.py:11:") and 'expected "str"' in errors[1]
