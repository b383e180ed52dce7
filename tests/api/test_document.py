"""The interface's own document: every route has examples, and they are what it says."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from hobnote.record import Record


@pytest.fixture(scope="module")
def document(shared_store) -> dict[str, Any]:
    from hobnote_api.app import create_app

    return create_app(shared_store).openapi()


def _contents(document: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for path, methods in document["paths"].items():
        for method, route in methods.items():
            where = f"{method} {path}"
            assert route["summary"] and route["tags"], where
            for kind, content in route.get("requestBody", {}).get("content", {}).items():
                yield f"{where} takes {kind}", content
            for status, answer in route["responses"].items():
                for kind, content in answer.get("content", {}).items():
                    yield f"{where} {status} {kind}", content


def _examples(document: dict[str, Any], content: dict[str, Any]) -> list[Any]:
    if "example" in content:
        return [content["example"]]
    schema = content["schema"]
    while "$ref" in schema:
        schema = document["components"]["schemas"][schema["$ref"].rsplit("/", 1)[1]]
    return list(schema.get("examples", []))


def test_every_body_has_an_example_that_fits(document):
    found = dict(_contents(document))
    assert len(found) > 40
    for where, content in found.items():
        examples = _examples(document, content)
        assert examples, where
        schema = {**content["schema"], "components": document["components"]}
        for example in examples:
            errors = list(Draft202012Validator(schema).iter_errors(example))
            assert not errors, (where, errors[0].message)


def test_the_examples_are_records_of_the_program(document):
    schemas = document["components"]["schemas"]
    for example in schemas["Record"]["examples"]:
        assert Record.model_validate(example).components
    assert Record.model_validate(schemas["Recipe"]["examples"][0]["record"]).portions


def test_paths_are_versioned(document):
    health = {"/healthz", "/readyz"}
    assert all(path.startswith("/v1/") for path in set(document["paths"]) - health)
