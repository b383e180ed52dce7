"""What was exported can be kept again: the tally of its events is the same recipe."""

from __future__ import annotations

import typer
from typer.testing import CliRunner

from hobnote.asking.conversation import Conversation
from hobnote.following.tally import tally
from hobnote.keeping.store import Store
from hobnote.publishing.commands import export, import_
from hobnote.publishing.importing import events_of_record
from hobnote.publishing.jsonld import to_json_ld
from hobnote.publishing.jsonld_read import from_json_ld
from hobnote.record import Amount, Bounds, Component, Ingredient, Range, Record, Step

TOLD = {"name", "amount", "also", "state", "preparation", "optional", "swap_for", "condition"}


def told(record):
    parts = [
        (
            part.name,
            part.choice,
            part.optional,
            [row.model_dump(include=TOLD) for row in part.ingredients],
        )
        for part in record.components
    ]
    steps = [step.model_dump(exclude={"heard"}) for step in record.steps]
    return record.title, record.portions, parts, steps


def test_the_tally_of_the_events_is_the_recipe(record):
    assert told(tally(events_of_record(record))) == told(record)


def test_through_linked_data_as_well(record):
    for part in record.components:
        for row in part.ingredients:
            row.amount = row.amount.model_copy(update={"said": None})
    back = from_json_ld(to_json_ld(record))
    assert told(tally(events_of_record(back))) == told(record)


def test_a_choice_an_also_and_steps_side_by_side():
    recipe = Record(
        components=[
            Component(
                ingredients=[
                    Ingredient(
                        name="leek",
                        amount=Amount(low=180, best=180, high=180, unit="g", basis="weighed"),
                        also=Amount(low=2, best=2, high=2, unit="piece", basis="counted"),
                    ),
                    Ingredient(name="salt"),
                    Ingredient(name="salt", preparation=["flaky"]),
                ]
            ),
            Component(name="dressing", choice="finish", ingredients=[Ingredient(name="kefir")]),
            Component(
                name="crumbs",
                choice="finish",
                optional=True,
                ingredients=[Ingredient(name="bread")],
            ),
        ],
        portions=Bounds(low=4, best=5, high=6),
        steps=[
            Step(
                number=1,
                text="Roast",
                verb="roast",
                minutes=Range(low=20, high=25),
                ingredients=["leek"],
            ),
            Step(number=2, text="Whisk", verb="whisk", component="dressing", alongside=1),
        ],
    )
    assert told(tally(events_of_record(recipe))) == told(recipe)
    assert {e.key for e in events_of_record(recipe) if e.kind == "named"} == {
        "r1",
        "r2",
        "r3",
        "r4",
        "r5",
    }


def test_an_imported_recipe_is_kept_and_can_be_talked_about(record, tmp_path):
    app = typer.Typer()
    app.command("import")(import_)
    app.command("export")(export)
    path, url = tmp_path / "porridge.json", str(tmp_path / "recipes.sqlite3")
    path.write_text(to_json_ld(record), encoding="utf-8")
    done = CliRunner().invoke(app, ["import", str(path), "--database", url])
    assert "Kept regatta porridge as recipe 1" in done.output
    store = Store.open(url)
    talk = Conversation.resume(store, 1)
    talk.say("700 g of rolled oats")
    assert talk.record.components[0].ingredients[0].amount.best == 700
    talk.undo()
    assert talk.record.components[0].ingredients[0].amount.best == 600
    store.close()
    shown = CliRunner().invoke(app, ["export", "1", "--database", url]).output
    assert "**600 g" in shown
    assert "rolled oats" in shown
    bad = tmp_path / "bad.json"
    bad.write_text("[]", encoding="utf-8")
    done = CliRunner().invoke(app, ["import", str(bad), "--database", url])
    assert done.exit_code == 2
    assert "bad.json: there is no schema.org Recipe" in done.output
