"""Who may come in, how much and how long; what is answered and what is logged."""

from __future__ import annotations

import json
import logging
import threading

import pytest
from fastapi.testclient import TestClient

from hobnote.keeping.store import Store
from hobnote.keeping.tokens import Tokens
from hobnote_api.app import create_app
from hobnote_api.guard import Buckets
from hobnote_api.settings import Settings


def _client(store: Store, **chosen) -> TestClient:
    return TestClient(create_app(store, Settings(**chosen)), raise_server_exceptions=False)


@pytest.fixture
def locked(store):
    return _client(store, locked=True)


def _bearer(secret):
    return {"Authorization": f"Bearer {secret}"}


def test_a_locked_service_lets_in_who_has_a_token(locked, store, problem):
    tokens = Tokens(store.engine)
    reader, writer = tokens.create("planner", "read"), tokens.create("galley", "write")
    answer = locked.get("/v1/recipes")
    problem(answer, 401)
    assert answer.headers["www-authenticate"].startswith("Bearer")
    problem(locked.get("/v1/recipes", headers=_bearer("hob_wrong")), 401)
    assert locked.get("/v1/recipes", headers=_bearer(reader)).status_code == 200
    note = {"text": "90 g oats, stirred"}
    problem(locked.post("/v1/recipes", json=note, headers=_bearer(reader)), 403)
    assert locked.post("/v1/read", json=note, headers=_bearer(reader)).status_code == 200
    made = locked.post("/v1/recipes", json=note, headers=_bearer(writer))
    assert made.status_code == 201
    turn = locked.get(f"/v1/recipes/{made.json()['id']}/turns", headers=_bearer(reader)).json()
    assert turn["turns"][0]["who"] == "galley"
    tokens.revoke("planner")
    problem(locked.get("/v1/recipes", headers=_bearer(reader)), 401)


def test_a_locked_service_is_locked_everywhere(locked):
    """Whatever route is added: only health and the interface's own document stand open."""
    document = locked.get("/openapi.json").json()
    for path, methods in document["paths"].items():
        for method in methods:
            address = path.replace("{id}", "1").replace("{version}", "1").replace("{format}", "csv")
            status = locked.request(method, address).status_code
            assert status == 401 or path in ("/healthz", "/readyz"), (method, path, status)


def test_a_wrong_token_is_refused_even_where_none_is_asked_for(service, problem):
    problem(service.get("/v1/recipes", headers=_bearer("hob_wrong")), 401)


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "https://elsewhere.example"},
        {"Origin": "null"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": "http://[broken"},
    ],
)
def test_other_sites_pages_cannot_write(service, problem, headers):
    problem(service.post("/v1/recipes", json={"text": "90 g oats"}, headers=headers), 403)
    assert service.get("/v1/recipes", headers=headers).json()["recipes"] == []


def test_its_own_page_can_write(service):
    headers = {"Origin": "http://testserver", "Sec-Fetch-Site": "same-origin"}
    answer = service.post("/v1/recipes", json={"text": "90 g oats"}, headers=headers)
    assert answer.status_code == 201


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "", "[::"])
def test_a_name_that_was_pointed_at_this_machine_gets_nothing(service, problem, host):
    problem(service.get("/v1/recipes", headers={"Host": host}), 421)


@pytest.mark.parametrize("host", ["localhost:8462", "127.0.0.1", "[::1]:8462"])
def test_this_machine_by_its_own_names(service, host):
    assert service.get("/v1/recipes", headers={"Host": host}).status_code == 200


def test_bodies_that_are_too_long_compressed_or_deep(store, problem):
    client = _client(store, body=50_000)
    problem(client.post("/v1/recipes", content=b"stir " * 2_000_000), 413)
    problem(client.post("/v1/recipes", content=(b"stir " * 1000 for _ in range(20))), 413)
    squeezed = {"Content-Encoding": "gzip", "Content-Type": "text/plain"}
    problem(client.post("/v1/recipes", content=b"\x1f\x8b", headers=squeezed), 415)
    kind = {"Content-Type": "application/json"}
    problem(client.post("/v1/recipes", content=b"[" * 20_000, headers=kind), 422)
    nested = b'{"text":' * 30 + b"1" + b"}" * 30
    problem(client.post("/v1/recipes", content=nested, headers=kind), 422)
    problem(client.post("/v1/recipes", content=b'{"text":"\xff\xfe"}', headers=kind), 422)
    problem(client.post("/v1/recipes", content=b'{"text":"\\ud800"}', headers=kind), 422)
    problem(client.post("/v1/recipes", json={"text": "oats\x00"}), 422)
    problem(client.post("/v1/recipes", json={"text": " \n"}), 422)
    assert client.get("/v1/recipes").json()["recipes"] == []


def test_what_takes_too_long_is_answered_before_it_is_done(store, monkeypatch, problem):
    go_on, finished = threading.Event(), []

    def slow(*_):
        go_on.wait(20)
        finished.append(True)

    monkeypatch.setattr("hobnote_api.lookups._read", slow)
    with _client(store, seconds=2) as client:  # one event loop: the thread outlives its request
        answer = client.post("/v1/read", json={"text": "90 g oats"})
        problem(answer, 503)
        assert answer.headers["retry-after"]
        assert finished == []
        assert client.get("/healthz").status_code == 200
        go_on.set()


def test_a_caller_who_asks_too_often_waits(store, problem):
    client = _client(store, rate=20)
    statuses = [client.get("/v1/recipes").status_code for _ in range(8)]
    assert statuses[0] == 200 and statuses[-1] == 429
    answer = client.get("/v1/recipes")
    problem(answer, 429)
    assert int(answer.headers["retry-after"]) >= 1


def test_buckets_fill_again():
    buckets = Buckets(60)
    assert [buckets.wait("a", now=0.0) for _ in range(16)][-1] > 0
    assert buckets.wait("b", now=0.0) == 0
    assert buckets.wait("a", now=2.0) == 0


def test_every_answer_has_the_headers(service):
    for path in ("/v1/recipes", "/nowhere", "/healthz", "/openapi.json"):
        headers = service.get(path).headers
        policy = headers["content-security-policy"]
        assert policy.startswith("default-src 'none'") and "unsafe" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cache-control"]


def test_the_log_holds_no_word_of_the_note(service, caplog, monkeypatch):
    with caplog.at_level(logging.INFO, logger="hobnote.service"):
        service.post("/v1/recipes", json={"text": "90 g oats, zanzibar"})
        service.get("/v1/recipes", params={"words": "zanzibar"})
        service.get("/v1/zanzibar")

        def broken(*_):
            raise RuntimeError("zanzibar")

        monkeypatch.setattr("hobnote_api.lookups._read", broken)
        service.post("/v1/read", json={"text": "zanzibar"})
    logged = [vars(record) for record in caplog.records]
    assert "zanzibar" not in json.dumps(logged, default=str)
    requests = [one["fields"] for one in logged if one["msg"] == "request"]
    assert [(one["route"], one["status"]) for one in requests] == [
        ("/v1/recipes", 201),
        ("/v1/recipes", 200),
        ("other", 404),
        ("/v1/read", 500),
    ]
    assert any("RuntimeError" in record.getMessage() for record in caplog.records)


def test_ready_when_the_language_is_loaded(service):
    assert service.get("/readyz").status_code == 503
    service.app.state.kitchen.warm()
    assert service.get("/readyz").json()["status"] == "ok"


def test_people_get_a_page_and_programs_a_document(service, problem):
    for path in ("/recipes/77", "/recipes/seven", "/nowhere"):
        seen = service.get(path, headers={"Accept": "text/html"})
        assert seen.status_code in (404, 422)
        assert seen.headers["content-type"].startswith("text/html")
        problem(service.get(path), seen.status_code)
    assert service.get("/v1/recipes/77", headers={"Accept": "text/html"}).status_code == 404
    problem(service.get("/v1/recipes/77", headers={"Accept": "text/html"}), 404)


def test_forms_of_other_kinds_are_refused(service, recipe, problem):
    path = f"/recipes/{recipe['id']}/say"
    problem(service.post(path, json={"text": "hello"}), 415)
    kind = {"Content-Type": "application/x-www-form-urlencoded"}
    problem(service.post(path, content=b"text=%ff", headers=kind), 400)
    problem(service.post(path, content=b"&".join([b"a=1"] * 99), headers=kind), 400)
    other = service.post(f"/recipes/{recipe['id']}/dance", data={"text": "a"})
    assert other.status_code == 404 and "no such thing" in other.text
