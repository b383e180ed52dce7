"""The food command, end to end, on a database of its own."""

import json

import pytest
from typer.testing import CliRunner

from hobnote.pantry.commands import app

RUN = CliRunner()
LABEL = (
    "per 100 g\nEnergy 365 kcal\nFat 7.2 g\nCarbohydrate 60 g\nFibre 8 g\nProtein 11 g\n"
    "Salt 0.02 g\n"
)


@pytest.fixture(autouse=True)
def database(tmp_path, monkeypatch):
    monkeypatch.setenv("HOBNOTE_DATABASE", f"sqlite:///{tmp_path / 'foods.sqlite3'}")
    return tmp_path / "foods.sqlite3"


def run(*args, text=None):
    return RUN.invoke(app, list(args), input=text)


def test_a_food_is_shown_with_why_it_won(database):
    result = run("double cream")
    assert result.exit_code == 0
    for words in ("Cream, double", "445", "Density", "known as double cream", "cup"):
        assert words in result.output
    assert "\x1b[" not in result.output
    assert max(map(len, result.output.splitlines())) <= 80
    assert not database.exists()  # looking a food up makes no database


def test_refuse_and_alternatives_are_shown():
    assert "Refuse: 36%" in run("banana").output
    assert "several foods" in run("cheese").output
    assert "Refuse: none" in run("double cream").output


def test_alternatives_say_what_they_would_change():
    lines = run("oil").output.splitlines()
    assert any("Oil, canola" in line and "saturated fat" in line for line in lines)


def test_counted_weights_are_shown_and_no_weight_twice():
    shown = run("tinned tuna").output
    assert "one tin" in shown
    runners = [line for line in shown.splitlines() if line.startswith("  Fish")]
    assert len(runners) == len(set(runners))


def test_names_from_standard_input_as_json_lines_in_order():
    result = run("-", "--format", "json", text="rice\n\nxyzzy\nred lentils\n")
    found = [json.loads(line) for line in result.output.splitlines()]
    assert [row["name"] for row in found] == ["rice", "xyzzy", "red lentils"]
    assert found[1]["description"] is None and found[1]["id"] is None and found[1]["match"] == 0
    assert found[0]["id"] == "20444" and 0.75 <= found[0]["match"] <= 1
    assert {"name", "id", "description", "match", "runners_up"} <= set(found[0])


def test_options_may_stand_before_the_name():
    assert json.loads(run("--format", "json", "salt").output)["id"] == "02047"


def test_a_food_that_is_not_there_is_said_and_fails():
    result = run("xyzzyq")
    assert result.exit_code == 1 and "Nothing in the table fits" in result.output


def test_add_list_show_edit_export_import_remove(tmp_path):
    assert run("add", "club mix", "--label", "-", text=LABEL).exit_code == 0
    assert "club mix: 365 kcal" in run("list").output
    assert "one of your own foods" in run("club mix").output
    assert run("edit", "club mix", "fat_g=8").exit_code == 0
    file = tmp_path / "own.csv"
    assert run("export", str(file)).exit_code == 0
    assert run("remove", "club mix").exit_code == 0
    assert "no foods" in run("list").output
    assert "Kept 1 food." in run("import", str(file)).output
    assert "club mix,,,365,11,8" in run("export").output
    assert "379" in run("compare", "club mix", "rolled oats").output


def test_add_from_figures_in_kilojoules_and_sodium():
    figures = {"per": 30, "kj": 480, "protein": 3, "fat": 3, "total-carbohydrate": 19, "sodium": 60}
    args = [word for key, value in figures.items() for word in (f"--{key}", str(value))]
    assert "382 kcal" in run("add", "club bar", *args).output


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("add", "bar", "--kcal", "100", "--protein", "50"), "does not fit"),
        (("add", "bar", "--label", "no-such-file"), "no-such-file"),
        (("remove", "nothing"), "no food called 'nothing'"),
        (("edit", "nothing", "fat_g=1"), "no food called 'nothing'"),
        (("compare", "nothing"), "no food called 'nothing'"),
        (("import", "no-such-file"), "no-such-file"),
    ],
)  # fmt: skip
def test_problems_are_one_sentence(args, says):
    result = run(*args)
    assert result.exit_code == 2
    assert says in result.output and result.output.count("\n") == 1
    assert result.output.startswith("hobnote: ")


def test_the_help_has_an_example():
    result = run("--help")
    assert 'hobnote food "double cream"' in result.output
