import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.testing import CliRunner

from hobnote.scoring.check import check_folder
from hobnote.scoring.command import score
from hobnote.scoring.speech import excerpt, spoken_words

TEXT = (
    "Boat club porridge. I always think of my uncle and his pancakes here. Put 40 grams of oats "
    "in the small pan with 300 ml of milk and a pinch of salt, stir it on a low heat for six "
    "minutes until thick, then eat it hot with the crew."
)


def _gold() -> dict[str, Any]:
    return {
        "voice": "terse",
        "kind": "plain",
        "covers": [1],
        "ingredients": [
            {"name": "oat", "amount": {"low": 40, "high": 40, "unit": "g"}, "grams": [40, 40]},
            {
                "name": "milk",
                "amount": {"low": 300, "high": 300, "unit": "ml"},
                "grams": [300, 312],
            },
            {"name": "salt", "vague": "a pinch", "grams": [0.2, 1]},
        ],
        "steps": [{"verbs": ["stir"], "ingredients": ["oat"], "minutes": [6, 6], "heat": "low"}],
        "kept_out": ["pancake"],
        "asides": ["I always think of my uncle and his pancakes here."],
    }


def _write(folder: Path, gold: dict[str, Any] | str, text: str = TEXT) -> None:
    (folder / "oats.txt").write_text(text, encoding="utf-8")
    content = gold if isinstance(gold, str) else json.dumps(gold)
    (folder / "oats.gold.json").write_text(content, encoding="utf-8")


def test_a_sound_file_has_no_problem(tmp_path: Path) -> None:
    _write(tmp_path, _gold())
    assert check_folder(tmp_path) == []


def _spoil(change: Callable[[dict[str, Any]], object]) -> dict[str, Any]:
    gold = _gold()
    change(gold)
    return gold


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda g: g["ingredients"][2].update(vague="a dash"), "vague words not in the note"),
        (lambda g: g["ingredients"][0].update(amount=None), "exactly one of"),
        (lambda g: g["ingredients"][0].update(missing=True), "exactly one of"),
        (lambda g: g["ingredients"][0].update(grams=[50, 60]), "do not go with"),
        (lambda g: g["ingredients"][0].update(grams=[60, 50]), "runs backwards"),
        (lambda g: g["ingredients"][1].update(swap_for="cream"), "which is no row"),
        (lambda g: g["ingredients"][1].update(name="Milk"), "lower case"),
        (lambda g: g["ingredients"].append(dict(g["ingredients"][0])), "stands twice"),
        (lambda g: g["ingredients"][1].update(name="quark"), "is said in the note"),
        (lambda g: g["steps"][0].update(ingredients=["cream"]), "neither an ingredient row"),
        (lambda g: g["asides"].append("Hello hello"), "aside not in the note"),
        (lambda g: g["kept_out"].append("oats"), "also the ingredient"),
        (lambda g: g["kept_out"].append("kipper"), "kept-out food not in the note"),
        (lambda g: g["steps"].clear(), "has no steps"),
        (lambda g: g.update(mishearings=[{"heard": "at", "meant": "oat"}]), "mis-heard word not"),
        (lambda g: g.update(kind="webvtt"), "does not fit"),
        (lambda g: g.update(covers=[10]), "less than or equal to 9"),
        (lambda g: g.update(colour="blue"), "Extra inputs"),
    ],
)
def test_each_fault_is_named(
    tmp_path: Path, change: Callable[[dict[str, Any]], object], message: str
) -> None:
    _write(tmp_path, _spoil(change))
    problems = check_folder(tmp_path)
    assert any(message in p and p.startswith("oats.gold.json") for p in problems), problems


def test_bad_json_names_file_and_line(tmp_path: Path) -> None:
    _write(tmp_path, '{\n"voice": }')
    assert "oats.gold.json, line 2" in check_folder(tmp_path)[0]


def test_a_gold_file_needs_its_note(tmp_path: Path) -> None:
    _write(tmp_path, _gold())
    (tmp_path / "oats.txt").unlink()
    assert "0 notes beside it" in check_folder(tmp_path)[0]


def test_captions_and_time_marks_are_not_speech() -> None:
    vtt = "WEBVTT\n\n1\n00:00:01.000 --> 00:00:03.000\nput the <b>oats</b>\nin\n\n"
    assert "-->" not in spoken_words(vtt, "webvtt")
    assert spoken_words(vtt, "webvtt").endswith("in")
    cues = [
        ("00:00:01,000 --> 00:00:03,000", "put the <i>oats</i>"),
        ("00:00:03,000 --> 00:00:05,000", "in"),
    ]
    srt = "\n".join(f"{i}\n{times}\n{words}\n" for i, (times, words) in enumerate(cues, 1))
    assert spoken_words(srt, "subrip") == "put the oats in"
    assert spoken_words("[0:05] oats\n[1:00:05] milk", "timed") == "oats milk"


def test_excerpt_shows_the_words_around() -> None:
    assert "small pan" in excerpt(TEXT, ["oats"])
    assert excerpt(TEXT, ["kipper"]) == ""
    assert excerpt("the juice, then bay leaves", ["bay leaf"]).endswith("bay leaves")
    assert excerpt("the juice, no cubes", ["ice"]) == ""


@pytest.fixture
def app() -> typer.Typer:
    app = typer.Typer()
    app.command()(score)
    return app


def test_check_command(tmp_path: Path, app: typer.Typer) -> None:
    _write(tmp_path, _gold())
    sound = CliRunner().invoke(app, [str(tmp_path), "--check"])
    assert sound.exit_code == 0
    assert "1 gold files are sound" in sound.output
    _write(tmp_path, "{")
    assert CliRunner().invoke(app, [str(tmp_path), "--check"]).exit_code == 1
    missing = CliRunner().invoke(app, [str(tmp_path / "none")])
    assert missing.exit_code == 2
    assert "Traceback" not in missing.output


def test_score_command_prints_table_and_json(
    tmp_path: Path, app: typer.Typer, monkeypatch: pytest.MonkeyPatch
) -> None:
    from hobnote.record import Record
    from hobnote.scoring import score as module

    _write(tmp_path, _gold())
    monkeypatch.setattr(module, "_product", lambda: lambda text: Record())
    table = CliRunner().invoke(app, [str(tmp_path)])
    assert table.exit_code == 0
    assert "ingredients" in table.output and "missed; want: oat" in table.output
    quiet = CliRunner().invoke(app, [str(tmp_path), "--no-misses"])
    assert "want: oat" not in quiet.output
    data = json.loads(CliRunner().invoke(app, [str(tmp_path), "--format", "json"]).output)
    assert data["metrics"]["ingredients"] == {
        "precision": None,
        "recall": 0.0,
        "f1": 0.0,
        "right": 0,
        "possible": 3,
        "actual": 0,
    }
