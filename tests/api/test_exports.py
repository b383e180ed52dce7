"""Exports over HTTP: the library's bytes with their media type, problem documents for the rest."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from hobnote.planning.shelf import ListShelf, Shelved
from hobnote.publishing.formats import MEDIA_TYPES, export
from hobnote.record import Component, Flag, Ingredient, Record
from hobnote_api.exports import export_router
from hobnote_api.problems import add_problems

RECORD = Record(title="Crème & oats", components=[Component(ingredients=[Ingredient(name="oat")])])


@pytest.fixture
def client():
    app = FastAPI()
    add_problems(app)
    shelf = ListShelf([Shelved(7, 1, datetime(2026, 3, 1, tzinfo=UTC), RECORD)])
    app.include_router(export_router(lambda: shelf, limit=5000))
    return TestClient(app, headers={"Content-Type": "application/json"})


@pytest.mark.parametrize("name", [name for name in MEDIA_TYPES if name != "pdf"])
def test_a_record_in_every_text_format(client, name):
    sent = client.post(
        "/v1/export", params={"as": name}, content=RECORD.model_dump_json(by_alias=True)
    )
    kept = client.get("/v1/recipes/7/export", params={"as": name})
    assert sent.status_code == kept.status_code == 200
    assert sent.content == kept.content == export(RECORD, name)
    assert kept.headers["content-type"] == MEDIA_TYPES[name]
    assert kept.headers["x-content-type-options"] == "nosniff"
    assert "sandbox" in kept.headers["content-security-policy"]
    assert "cr%C3%A8me-oats" in kept.headers["content-disposition"]


def test_what_cannot_be_done_is_a_problem_document(client):
    open_record = RECORD.model_copy(
        update={"flags": [Flag(id="f1", kind="missing amount", question="How much oat?")]}
    )
    body = open_record.model_dump_json(by_alias=True)
    answers = [
        (client.post("/v1/export?settled_only=true", content=body), 409),
        (client.post("/v1/export", content="{}x"), 422),
        (client.post("/v1/export", content='{"steps": 3}'), 422),
        (client.post("/v1/export", content=" " * 6000), 413),
        (client.get("/v1/recipes/8/export"), 404),
        (client.get("/v1/recipes/7/export?as=papyrus"), 422),
    ]
    for answer, status in answers:
        assert answer.status_code == status
        assert answer.headers["content-type"] == "application/problem+json"
    assert "How much oat?" in answers[0][0].json()["detail"]
