"""The feed over HTTP: the library's answer, cached by its tag."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from hobnote.keeping import KeepingError
from hobnote.planning.shelf import ListShelf, Shelved
from hobnote.record import Bounds, Nutrition, Record
from hobnote_api.feed import feed_router
from hobnote_api.problems import add_problems


def _dish(title, kcal):
    figure = Bounds(low=kcal - 20, best=kcal, high=kcal + 20)
    return Record(
        title=title,
        portions=Bounds(low=4, best=4, high=4),
        nutrition=Nutrition(per_portion={"energy_kcal": figure}),
    )


@pytest.fixture
def shelf():
    when = datetime(2026, 3, 1, tzinfo=UTC)
    return ListShelf(
        [Shelved(1, 3, when, _dish("porridge", 420)), Shelved(2, 1, when, _dish("chilli", 610))]
    )


@pytest.fixture
def client(shelf):
    app = FastAPI()
    add_problems(app)
    app.include_router(feed_router(lambda: shelf))
    return TestClient(app)


def test_the_feed_filters_and_scales(client):
    answer = client.get("/v1/plan-feed", params={"energy_max": 500, "portions": 12})
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/json"
    data = answer.json()
    assert data["schema"] == "hobnote/plan-feed@1"
    assert [(one["title"], one["portions"]["best"]) for one in data["recipes"]] == [
        ("porridge", 12)
    ]
    assert data["cursor"] == answer.headers["hobnote-cursor"]


def test_nothing_new_is_304_until_something_changes(client, shelf):
    first = client.get("/v1/plan-feed")
    tag = first.headers["etag"]
    again = client.get("/v1/plan-feed", headers={"If-None-Match": tag})
    assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", tag)
    shelf.shelved[0].record.title = "oats"
    changed = client.get("/v1/plan-feed", headers={"If-None-Match": tag})
    assert changed.status_code == 200
    assert changed.headers["etag"] != tag


@pytest.mark.parametrize(
    "how", [{"params": {"format": "ndjson"}}, {"headers": {"Accept": "application/x-ndjson"}}]
)
def test_ndjson_is_one_recipe_a_line(client, how):
    answer = client.get("/v1/plan-feed", **how)
    assert answer.headers["content-type"] == "application/x-ndjson"
    lines = [json.loads(line) for line in answer.text.splitlines()]
    assert [line.get("title") for line in lines] == ["porridge", "chilli", None]
    assert lines[-1]["ids"] == [1, 2]


@pytest.mark.parametrize(
    "params",
    [
        {"since": "yesterday"},
        {"allergen_free": "moonlight"},
        {"portions": 0},
        {"energy_max": "much"},
        {"format": "xml"},
    ],
)
def test_what_cannot_be_used_is_a_problem_document(client, params):
    answer = client.get("/v1/plan-feed", params=params)
    assert answer.status_code == 422
    assert answer.headers["content-type"] == "application/problem+json"
    assert len(answer.json()["detail"]) > 5


def test_a_store_that_does_not_answer_is_a_problem_document():
    def broken():
        raise KeepingError("the recipes in /home/galley/recipes.sqlite3 are damaged.")

    app = FastAPI()
    add_problems(app)
    app.include_router(feed_router(broken))
    answer = TestClient(app).get("/v1/plan-feed")
    assert answer.status_code == 503
    assert answer.headers["content-type"] == "application/problem+json"
    assert "/home" not in answer.text
