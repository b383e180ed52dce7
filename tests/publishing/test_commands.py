"""``hobnote export`` and ``hobnote cookbook`` as they are typed."""

from __future__ import annotations

import json

import pytest
import typer
from typer.testing import CliRunner

from hobnote.following.events import Named, Portioned, Titled
from hobnote.keeping.store import Store
from hobnote.keeping.turns import Draft
from hobnote.publishing.commands import cookbook, export
from hobnote.publishing.formats import MEDIA_TYPES, WRITERS
from hobnote.publishing.record_json import to_json

app = typer.Typer()
app.command()(export)
app.command()(cookbook)
run = CliRunner().invoke


@pytest.fixture
def file(record, tmp_path):
    path = tmp_path / "porridge.json"
    path.write_text(to_json(record), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("name", "sign"),
    [
        ("json", '"hobnote/record@1"'),
        ("json-ld", '"@type": "Recipe"'),
        ("csv", "part,ingredient"),
        ("markdown", "# Regatta porridge"),
        ("html", "<!DOCTYPE html>"),
        ("text", "INGREDIENTS"),
    ],
)
def test_every_text_format(file, name, sign):
    done = run(app, ["export", str(file), "--as", name])
    assert done.exit_code == 0, done.output
    assert sign in done.output
    assert set(MEDIA_TYPES) == set(WRITERS)


def test_linked_data_is_read_weighed_and_written_again(file, tmp_path):
    linked = tmp_path / "linked.json"
    assert run(app, ["export", str(file), "--as", "json-ld", "--out", str(linked)]).exit_code == 0
    done = run(app, ["export", str(linked), "--as", "json"])
    rows = json.loads(done.output)["components"][0]["ingredients"]
    assert (rows[0]["name"], rows[0]["grams"]["best"]) == ("rolled oats", 600)
    assert rows[0]["nutrition"]["energy_kcal"]["best"] > 2000


def test_a_kept_recipe_by_its_number(tmp_path):
    url = f"sqlite:///{tmp_path / 'recipes.sqlite3'}"
    store = Store.open(url)
    events = (
        Titled(title="barley soup"),
        Named(key="a", name="pearl barley"),
        Portioned(low=4, best=4, high=4),
    )
    number = store.create(Draft("said", "barley", events), title="barley soup")
    store.close()
    done = run(app, ["export", str(number), "--database", url])
    assert "# Barley soup" in done.output
    assert "no recipe 99" in run(app, ["export", "99", "--database", url]).output


@pytest.mark.parametrize(
    ("options", "why"),
    [
        (["--as", "papyrus"], "none of json"),
        (["--as", "pdf"], "--out FILE.pdf"),
        (["--units", "stones"], "units are one of"),
        (["--settled-only"], "2 open questions"),
        (["--out", "/nowhere/at/all.md"], "all.md"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(file, options, why):
    done = run(app, ["export", str(file), *options])
    assert done.exit_code == 2
    assert why in done.output
    assert "Traceback" not in done.output


def test_a_book_keeps_its_builds_beside_its_plan(file, tmp_path):
    plan, out = tmp_path / "galley.toml", tmp_path / "galley.html"
    plan.write_text(
        'title = "Galley"\n[[chapter]]\ntitle = "One"\nrecipes = ["porridge.json"]\n',
        encoding="utf-8",
    )
    assert "version 1: 1 recipes" in run(app, ["cookbook", str(plan), "--out", str(out)]).output
    file.write_text(
        file.read_text(encoding="utf-8")
        .replace('"best": 600.0', '"best": 650.0')
        .replace('"high": 600.0', '"high": 650.0')
        .replace('"low": 600.0', '"low": 650.0'),
        encoding="utf-8",
    )
    done = run(app, ["cookbook", str(plan), "--out", str(tmp_path / "galley.epub")])
    assert "version 2" in done.output
    assert "rolled oats, toasted is 650 g" in done.output
    assert (tmp_path / "galley.epub").read_bytes()[:2] == b"PK"
    assert len(json.loads((tmp_path / "galley.builds.json").read_text())["builds"]) == 2
    done = run(app, ["cookbook", str(plan), "--out", str(tmp_path / "galley.doc")])
    assert done.exit_code == 2
    assert "must end in" in done.output
