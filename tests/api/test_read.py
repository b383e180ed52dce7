"""The HTTP face: the same record as the library, and problem documents for the rest."""

from __future__ import annotations

import sys
import types

import pytest
from fastapi.testclient import TestClient

from hobnote import __version__
from hobnote.record import Record
from hobnote_api.app import create_app
from hobnote_api.settings import Settings


@pytest.fixture
def job(monkeypatch):
    """A stand-in for the pipeline, so that only the HTTP side is tested here."""
    calls = []
    module = types.ModuleType("hobnote.job")

    def read_dictation(dictation, portions=None, measures=None, pantries=None):
        calls.append((dictation.spoken, dictation.kind, portions, measures))
        if "explode" in dictation.spoken:
            raise RuntimeError("secret words of the note")
        return Record(title=dictation.spoken)

    module.read_dictation = read_dictation
    monkeypatch.setitem(sys.modules, "hobnote.job", module)
    return calls


@pytest.fixture
def client(job, store):
    app = create_app(store, Settings(body=2000, note=1500))
    return TestClient(app, raise_server_exceptions=False)


def test_health(client):
    assert client.get("/healthz").json() == {"status": "ok", "version": __version__}


def test_a_note_as_the_body(client, job):
    answer = client.post(
        "/v1/read?portions=4&measures=au",
        content="WEBVTT\n\n00:01.000 --> 00:02.000\nstir the purée\n".encode(),
        headers={"content-type": "text/vtt; charset=utf-8"},
    )
    assert answer.status_code == 200
    assert list(answer.json())[:2] == ["schema", "title"]
    assert answer.json()["title"] == "stir the purée"
    assert job == [("stir the purée", "webvtt", 4.0, "au")]


def test_a_note_as_json(client, job):
    answer = client.post("/v1/read?portions=9", json={"text": "stir it", "portions": 2})
    assert answer.json() == Record(title="stir it").model_dump(by_alias=True, mode="json")
    assert job == [("stir it", "plain", 2.0, None)]


def test_a_broken_note_names_the_line(client, problem):
    answer = client.post("/v1/read", content=b"1\n00:00:01,000 --> 00:0x\nstir\n")
    assert problem(answer, 422)["line"] == 2


@pytest.mark.parametrize(
    "body",
    [
        b"{",
        b"[]",
        b"{}",
        b'{"text": 5}',
        b'{"text": "a", "sauce": 1}',
        b'{"text":"a","portions":0}',
    ],
)
def test_json_that_is_no_note(client, body, problem):
    answer = client.post("/v1/read", content=body, headers={"content-type": "application/json"})
    problem(answer, 422)


def test_limits_and_wrong_doors(client, problem):
    problem(client.post("/v1/read", content=b"stir " * 500), 413)
    problem(client.post("/v1/read", content=b"", headers={"content-type": "text/plain"}), 422)
    problem(client.post("/v1/read", content=b"a", headers={"content-type": "image/png"}), 415)
    problem(client.post("/v1/read?portions=-1", content=b"stir"), 422)
    problem(client.get("/nowhere"), 404)
    answer = client.get("/v1/read")
    problem(answer, 405)
    assert answer.headers["allow"] == "POST"
    problem(client.post("/v1/read", content=b"stir " * 350), 413)
    problem(client.post("/v1/read", json={"text": "stir " * 350}), 413)


def test_a_fault_inside_keeps_the_note_to_itself(client, problem):
    body = problem(client.post("/v1/read", content=b"explode"), 500)
    assert "secret" not in str(body)
