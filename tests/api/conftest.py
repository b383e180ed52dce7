"""A service over a store of its own.

SQLite, and PostgreSQL as well where ``HOBNOTE_TEST_POSTGRES`` holds the address of
a server (``postgresql+psycopg://USER@HOST/postgres``): each test gets a new database there.
"""

from __future__ import annotations

import os
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import create_engine, make_url, text

from hobnote.keeping.store import Store
from hobnote_api.app import create_app
from hobnote_api.settings import Settings

PORRIDGE = (
    "Boathouse porridge for two. 100 g oats, two glugs of honey, 400 ml milk and a pinch of salt. "
    "Simmer it on low heat for 5 minutes."
)


POSTGRES = os.environ.get("HOBNOTE_TEST_POSTGRES")


KINDS = ["sqlite", *(["postgresql"] if POSTGRES else [])]


@contextmanager
def new_store(kind: str, folder: Path) -> Iterator[Store]:
    """A store in a new database of this kind."""
    if kind == "sqlite":
        yield Store.open(str(folder / "recipes.sqlite3"))
        return
    assert POSTGRES is not None
    server = create_engine(POSTGRES, isolation_level="AUTOCOMMIT")
    name = f"hobnote_{uuid.uuid4().hex}"
    with server.connect() as connection:
        connection.execute(text(f"CREATE DATABASE {name}"))
    store = Store.open(
        make_url(POSTGRES).set(database=name).render_as_string(hide_password=False)
    )
    yield store
    store.close()
    with server.connect() as connection:
        connection.execute(text(f"DROP DATABASE {name} WITH (FORCE)"))
    server.dispose()


@pytest.fixture(params=KINDS)
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    with new_store(request.param, tmp_path) as store:
        yield store


@pytest.fixture(scope="module", params=KINDS)
def shared_store(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Store]:
    """One store for a whole module."""
    with new_store(request.param, tmp_path_factory.mktemp("store")) as store:
        yield store


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
