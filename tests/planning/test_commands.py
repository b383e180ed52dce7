"""``hobnote plan`` as it is typed."""

from __future__ import annotations

import json

import pytest
import typer
from typer.testing import CliRunner

from hobnote.planning.commands import plan
from hobnote.publishing.record_json import to_json

pytest.importorskip("scipy", reason="SciPy is not installed (extra: plan)")
app = typer.Typer()
app.command()(plan)
run = CliRunner().invoke


@pytest.fixture
def files(records, tmp_path):
    paths = []
    for n, record in enumerate(records[:3]):
        path = tmp_path / f"dish{n}.json"
        path.write_text(to_json(record), encoding="utf-8")
        paths.append(str(path))
    return paths


def test_two_days_with_a_shopping_list(files):
    done = run(app, [*files, "--days", "2", "--energy", "700-1500", "--protein", "40+"])
    assert done.exit_code == 0, done.output
    assert done.output.startswith("Day 1: ")
    for words in ("Day 2:", "lunch", "supper", "To cook", "To buy", "Every day keeps its bands"):
        assert words in done.output


def test_json_and_a_calendar(files, tmp_path):
    week = tmp_path / "week.ics"
    done = run(app, [*files, "--days", "2", "--json", "--ics", str(week), "--start", "2026-03-02"])
    data = json.loads(done.output)
    assert len(data["servings"]) == 4
    assert {item["aisle"] for item in data["shopping"]}
    assert week.read_bytes().count(b"BEGIN:VEVENT") == 4


@pytest.mark.parametrize(
    ("options", "why"),
    [
        (["--energy", "lots"], "is no band for energy"),
        (["--band", "vigour=3"], "'vigour' is none of"),
        (["--band", "salt"], "has no two sides"),
        (["--use", "rice=some"], "is no weight of rice"),
        (["--suits", "lunch=x"], "no recipe numbers"),
        (["--avoid", "moonlight"], "no allergen that is known"),
        (["--protein", "400+"], "out of reach"),
        (["--days", "30"], "meals are wanted"),
        (["--ics", "/nowhere/at/all.ics"], "all.ics"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(files, options, why):
    done = run(app, [*files, "--days", "1", *options])
    assert done.exit_code == 2
    assert why in done.output
    assert "Traceback" not in done.output


def test_a_file_that_is_no_recipe(tmp_path):
    path = tmp_path / "x.json"
    path.write_text("{}", encoding="utf-8")
    done = run(app, [str(path)])
    assert done.exit_code == 2
    assert "x.json: there is no schema.org Recipe" in done.output
    assert run(app, [str(tmp_path / "none.json")]).exit_code == 2
