"""Exports over HTTP: the library's bytes with their media type, problem documents for the rest."""

from __future__ import annotations

import pytest

from hobnote.publishing.formats import MEDIA_TYPES, export
from hobnote.record import Component, Flag, Ingredient, Record

RECORD = Record(title="Crème & oats", components=[Component(ingredients=[Ingredient(name="oat")])])


@pytest.mark.parametrize("name", [name for name in MEDIA_TYPES if name != "pdf"])
def test_a_record_in_every_text_format(service, recipe, name):
    sent = service.post(
        "/v1/export", params={"as": name}, content=RECORD.model_dump_json(by_alias=True)
    )
    kept = service.get(f"/v1/recipes/{recipe['id']}/exports/{name}")
    assert sent.status_code == kept.status_code == 200
    assert sent.content == export(RECORD, name)
    assert kept.content == export(Record.model_validate(recipe["record"]), name)
    assert kept.headers["content-type"] == MEDIA_TYPES[name]
    assert kept.headers["x-content-type-options"] == "nosniff"
    assert "sandbox" in kept.headers["content-security-policy"]
    assert "cr%C3%A8me-oats" in sent.headers["content-disposition"]


def test_what_cannot_be_done_is_a_problem_document(service, recipe, problem):
    open_record = RECORD.model_copy(
        update={"flags": [Flag(id="f1", kind="missing amount", question="How much oat?")]}
    )
    body = open_record.model_dump_json(by_alias=True)
    answers = [
        (service.post("/v1/export?settled_only=true", content=body), 409),
        (service.post("/v1/export", content="{}x"), 422),
        (service.post("/v1/export", content='{"steps": 3}'), 422),
        (service.post("/v1/export", content=" " * 3_000_000), 413),
        (service.get("/v1/recipes/8/exports/csv"), 404),
        (service.get("/v1/recipes/1/exports/papyrus"), 422),
    ]
    for answer, status in answers:
        problem(answer, status)
    assert "How much oat?" in answers[0][0].json()["detail"]
