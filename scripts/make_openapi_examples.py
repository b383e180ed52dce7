"""Make the examples of the interface's document anew: python scripts/make_openapi_examples.py

They are answers of the program to a small note, made shorter: a few nutrients and
one question stand for all. What depends on the day is set to a fixed one.
"""

from __future__ import annotations

import json
import re
import tempfile
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient

from hobnote.keeping.foods import OwnFoods
from hobnote.keeping.store import Store
from hobnote.pantry.own import OwnFood
from hobnote.record import Record
from hobnote_api.app import create_app
from hobnote_api.settings import Settings

FILE = Path(__file__).parent.parent / "api" / "hobnote_api" / "examples.json"
NOTE = "Boathouse oats for two. 100 g oats, a glug of honey. Stir it for 2 minutes."
NUTRIENTS = ("energy_kcal", "protein_g", "salt_g")
LEFT_OUT = ("scores", "summary", "likely")
UNDER_WAY = {
    "id": "5f0c6f3a4b7e4f0f9d0f6a1b2c3d4e5f",
    "kind": "note",
    "begun": "2026-03-01T06:10:00Z",
    "change": 7,
    "state": "working",
    "stage": "reading",
    "done": 48_000,
    "total": 120_000,
    "unit": "characters",
    "recipes": [],
    "outcomes": [],
    "plan": None,
    "problem": None,
}
DAY = "2026-03-01T06:10:00"


def fewer(value: Any) -> Any:
    """``value`` with three nutrients for all."""
    if isinstance(value, list):
        return [fewer(one) for one in value]
    if not isinstance(value, dict):
        return value
    if "energy_kcal" in value:
        value = {key: one for key, one in value.items() if key in NUTRIENTS}
    return {key: fewer(one) for key, one in value.items() if key not in LEFT_OUT}


def short(record: dict[str, Any]) -> dict[str, Any]:
    """A record without what is as it is by default."""
    plain = Record.model_validate(record).model_dump(
        mode="json", by_alias=True, exclude_defaults=True
    )
    found = fewer({"schema": record["schema"], **plain})
    found["cautions"] = found.get("cautions", [])[:1]
    return dict(found)


def recipe(whole: dict[str, Any]) -> dict[str, Any]:
    """A recipe with one question for all."""
    return {**whole, "record": short(whole["record"]), "questions": whole["questions"][:1]}


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(str(Path(folder) / "recipes.sqlite3"))
        service = TestClient(create_app(store, Settings(rate=0)))
        note = {"text": NOTE, "measures": "uk"}
        first = service.post("/v1/recipes", json=note).json()
        words = {"text": "the honey was 30 g", "who": "galley"}
        said = service.post("/v1/recipes/1/messages", json=words).json()

        def get(path: str) -> Any:
            return service.get(path).json()

        log = get("/v1/recipes/1/turns?after=1")
        found = {
            "Record": short(first["record"]),
            "Recipe": recipe(first),
            "Answered": {**said, "recipe": recipe(said["recipe"])},
            "Listing": get("/v1/recipes"),
            "Log": log,
            "Versions": get("/v1/recipes/1/versions"),
            "Difference": get("/v1/recipes/1/differences?before=1"),
            "Dictated": get("/v1/recipes/1/dictation"),
            "FoodFound": fewer({**get("/v1/foods?name=honey"), "others": []}),
            "Health": get("/healthz"),
            "Feed": fewer(get("/v1/plan-feed")),
            "Back": {"count": 1},
            "OperationShape": UNDER_WAY,
        }
        OwnFoods(store.engine).save(
            OwnFood("crew bar", {"energy_kcal": 380, "fat_g": 9.5}, serving_g=30, note="pack")
        )
        found["OwnFoodsShape"] = get("/v1/own-foods")
        found["OwnFoodShape"] = found["OwnFoodsShape"]["foods"][0]
        store.close()
    text = json.dumps(found, indent=1, ensure_ascii=False)
    text = re.sub(r"20\d\d-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?", DAY, text)
    FILE.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
