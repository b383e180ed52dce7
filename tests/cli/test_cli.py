"""The command as a user runs it: its own process, its exit codes, its two streams."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import types

import pytest

from hobnote import __version__, cli
from hobnote.record import Record


def run(*arguments, data=b"", **environment):
    return subprocess.run(
        [sys.executable, "-m", "hobnote.cli", *arguments],
        input=data,
        capture_output=True,
        env={**os.environ, **environment},
        check=False,
    )


def test_version():
    done = run("--version")
    assert (done.returncode, done.stdout.decode().strip()) == (0, f"hobnote {__version__}")


def test_help_holds_an_example_and_every_format():
    assert "hobnote read porridge.txt" in run("--help").stdout.decode()
    page = run("read", "--help").stdout.decode()
    assert all(word in page for word in (*cli.FORMATS, *cli.MEASURES, "For example"))


@pytest.mark.parametrize("argument", ["--help", "--version"])
def test_starting_up_loads_nothing_heavy(argument):
    program = (
        "import sys; sys.argv = ['hobnote', sys.argv[1]]\n"
        "from hobnote.cli import main\n"
        "try:\n    main()\n"
        "finally:\n"
        "    heavy = {'spacy', 'pint', 'pydantic', 'sqlalchemy', 'fastapi', 'numpy'}\n"
        "    print(sorted(heavy & set(sys.modules)), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, argument], capture_output=True, check=True, text=True
    )
    assert done.stderr.strip() == "[]"


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("empty.txt", b"", "empty.txt, line 1: this note is empty"),
        ("sound.txt", b"ID3\x04\x00\x00", "sound.txt, line 1: this is a sound file"),
        ("broken.srt", b"1\n00:00:01,000 --> 00:00\nstir\n", "broken.srt, line 2: the times"),
        ("broken.vtt", b"00:01.000 --> 00:02.000\nstir\n", "broken.vtt, line 1: a WebVTT file"),
    ],
)
def test_an_input_that_cannot_be_read_is_one_sentence(tmp_path, name, data, says):
    (tmp_path / name).write_bytes(data)
    for done in (
        run("read", str(tmp_path / name)),
        run("read", str(tmp_path / name), "--format", "json"),
    ):
        assert done.returncode == 2
        assert done.stdout == b""
        error = done.stderr.decode()
        assert says in error
        assert error.count("\n") == 1


def test_a_file_that_is_not_there(tmp_path):
    done = run("read", str(tmp_path / "none.txt"))
    assert done.returncode == 2
    assert b"there is no such file" in done.stderr


def test_standard_input_is_named():
    done = run("read", "-")
    assert done.returncode == 2
    assert b"standard input, line 1: this note is empty" in done.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ("--format", "sculpture"),
        ("--measures", "martian"),
        ("--portions", "0"),
        ("--portions", "x"),
    ],
)
def test_wrong_options(arguments):
    done = run("read", "-", *arguments, data=b"stir")
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr


@pytest.fixture
def job(monkeypatch):
    """A stand-in for the pipeline: what the command hands over, and what it prints."""
    calls = []
    module = types.ModuleType("hobnote.job")

    def read_dictation(dictation, portions=None, measures=None, pantries=None):
        calls.append((dictation.spoken, portions, measures))
        return Record(title="soup ½")

    module.read_dictation = read_dictation
    monkeypatch.setitem(sys.modules, "hobnote.job", module)
    return calls


def start(monkeypatch, *arguments):
    monkeypatch.setattr(sys, "argv", ["hobnote", *arguments])
    with pytest.raises(SystemExit) as left:
        cli.main()
    return left.value.code or 0


def test_options_reach_the_library_and_json_stands_alone(tmp_path, monkeypatch, capfdbinary, job):
    note = tmp_path / "note.txt"
    note.write_bytes("stir the purée".encode("cp1252"))
    code = start(
        monkeypatch, "read", str(note), "--format", "json", "--portions", "6", "--measures", "au"
    )
    out, err = capfdbinary.readouterr()
    assert code == 0
    assert job == [("stir the purée", 6.0, "au")]
    printed = json.loads(out.decode("utf-8"))
    assert list(printed)[:2] == ["schema", "title"]
    assert printed["title"] == "soup ½"
    assert b"Windows-1252" in err


def test_a_page_without_codes_when_piped(tmp_path, monkeypatch, capfdbinary, job):
    note = tmp_path / "note.txt"
    note.write_text("stir")
    assert start(monkeypatch, "read", str(note)) == 0
    out, err = capfdbinary.readouterr()
    assert "Soup ½" in out.decode("utf-8")
    assert b"\x1b" not in out
    assert err == b""


def test_a_fault_inside_is_one_sentence(tmp_path, monkeypatch, capfdbinary, job):
    def broken(*_, **__):
        raise ValueError("two\nlines")

    sys.modules["hobnote.job"].read_dictation = broken
    note = tmp_path / "note.txt"
    note.write_text("stir")
    assert start(monkeypatch, "read", str(note)) == 1
    out, err = capfdbinary.readouterr()
    assert out == b""
    assert b"ValueError: two lines" in err
    assert err.count(b"\n") == 1
