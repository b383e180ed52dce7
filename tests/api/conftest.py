"""A service over a store of its own."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from hobnote.keeping.store import Store
from hobnote_api.app import create_app
from hobnote_api.settings import Settings

PORRIDGE = (
    "Boathouse porridge for two. 100 g oats, two glugs of honey, 400 ml milk and a pinch of salt. "
    "Simmer it on low heat for 5 minutes."
)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store.open(str(tmp_path / "recipes.sqlite3"))


@pytest.fixture
def service(store: Store) -> TestClient:
    return TestClient(create_app(store, Settings(rate=0)), raise_server_exceptions=False)


@pytest.fixture
def recipe(service: TestClient) -> dict:
    answer = service.post("/v1/recipes", json={"text": PORRIDGE, "measures": "uk"})
    assert answer.status_code == 201
    return answer.json()


def check_problem(answer, status: int) -> dict:
    """A problem document with this status; gives it."""
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    body = answer.json()
    assert body["status"] == status
    assert body["title"] and body["detail"]
    for secret in ("Traceback", "site-packages", "/src/", "sqlite"):
        assert secret not in answer.text
    return body


@pytest.fixture
def problem():
    return check_problem


def key_of(recipe: dict, name: str) -> str:
    for part in recipe["record"]["components"]:
        for row, key in zip(
            part["ingredients"], recipe["keys"]["ingredients"][part["name"]], strict=True
        ):
            if row["name"] == name:
                return key
    raise AssertionError(f"no {name}")


@pytest.fixture
def key():
    return key_of
