"""Long work: begun at once, followed as events, looked at, taken up again, stopped, given up."""

from __future__ import annotations

import http.client
import json
import socket
import threading
import time
from collections.abc import Iterator

import pytest
import uvicorn
from fastapi.testclient import TestClient

from hobnote_api import work
from hobnote_api.app import create_app
from hobnote_api.settings import Settings

NOTE = "Porridge for two. 100 g oats, 400 ml milk. Simmer it for 5 minutes. "


def _ended(service: TestClient, place: str) -> dict:
    for _ in range(600):
        now = service.get(place)
        if now.json()["state"] in work.ENDED:
            return now.json()
        assert now.headers["retry-after"]
        time.sleep(0.05)
    raise AssertionError("it does not end")


def test_a_note_beside_the_request(service):
    headers = {"Prefer": "wait=1, respond-async", "Idempotency-Key": "boat-9"}
    begun = service.post("/v1/recipes", json={"text": NOTE * 40}, headers=headers)
    assert begun.status_code == 202
    assert begun.headers["preference-applied"] == "respond-async"
    place = begun.headers["location"]
    now = _ended(service, place)
    assert (now["state"], now["unit"], now["done"]) == ("done", "characters", now["total"])
    [number] = now["recipes"]
    recipe = service.get(f"/v1/recipes/{number}").json()
    assert recipe["text"] == NOTE * 40
    tag = service.get(place).headers["etag"]
    assert service.get(place, headers={"If-None-Match": tag}).status_code == 304
    again = service.post("/v1/recipes", json={"text": NOTE * 40}, headers=headers)
    assert _ended(service, again.headers["location"])["recipes"] == [number]
    other = service.post("/v1/recipes", json={"text": NOTE}, headers=headers)
    failed = _ended(service, other.headers["location"])
    assert (failed["state"], failed["problem"]["status"]) == ("failed", 409)


def test_a_batch_goes_on_past_a_bad_note(service, problem):
    notes = [{"text": NOTE}, {"text": "\x00"}, {"text": "80 g rice, boiled", "portions": 2}]
    headers = {"Idempotency-Key": "crew"}
    begun = service.post("/v1/batches", json={"notes": notes}, headers=headers)
    assert begun.status_code == 202
    now = _ended(service, begun.headers["location"])
    assert (now["state"], now["done"], now["total"]) == ("done", 3, 3)
    assert [o["place"] for o in now["outcomes"]] == [0, 1, 2]
    assert now["outcomes"][1]["recipe"] is None and now["outcomes"][1]["problem"]
    assert now["recipes"] == [now["outcomes"][0]["recipe"], now["outcomes"][2]["recipe"]]
    again = service.post("/v1/batches", json={"notes": notes}, headers=headers)
    assert _ended(service, again.headers["location"])["recipes"] == now["recipes"]
    assert len(service.get("/v1/recipes").json()["recipes"]) == 2
    problem(service.post("/v1/batches", json={"notes": []}), 422)
    long = {"notes": [{"text": NOTE}, {"text": "x" * 200_001}]}
    assert "note 1" in problem(service.post("/v1/batches", json=long), 413)["detail"]


def test_a_plan(service):
    for text in ("Rice for two: 160 g rice, boiled", "Oats for two: 100 g oats, 400 ml milk"):
        service.post("/v1/recipes", json={"text": text})
    begun = service.post("/v1/plans", json={"days": 1, "meals": ["lunch", "supper"], "seconds": 5})
    now = _ended(service, begun.headers["location"])
    assert now["state"] == "done", now
    assert len(now["plan"]["servings"]) == 2
    none = service.post("/v1/plans", json={"days": 1, "bands": {"energy": "9000+"}})
    failed = _ended(service, none.headers["location"])
    assert (failed["state"], failed["problem"]["status"]) == ("failed", 422)
    unknown = service.post("/v1/plans", json={"bands": {"moonlight": "3+"}})
    assert "moonlight" in _ended(service, unknown.headers["location"])["problem"]["detail"]


def test_what_is_not_known(service, problem):
    problem(service.get(f"/v1/operations/{'0' * 32}"), 404)
    problem(service.get(f"/v1/operations/{'0' * 32}/events"), 404)
    problem(service.delete(f"/v1/operations/{'0' * 32}"), 404)
    problem(service.get("/v1/operations/first"), 422)


class Gate:
    """Work that goes on when it is let."""

    def __init__(self) -> None:
        self.begun, self.go_on = threading.Event(), threading.Event()

    def __call__(self, operation: work.Operation) -> None:
        self.begun.set()
        for n in range(1, 4):
            self.go_on.wait(20)
            operation.progress(n, 3)


@pytest.fixture
def gate() -> Iterator[Gate]:
    gate = Gate()
    yield gate
    gate.go_on.set()


def test_stopped_and_given_up(service, store, gate):
    operations = service.app.state.operations
    one = operations.begin("note", gate, total=3)
    gate.begun.wait(20)
    place = f"/v1/operations/{one.status.id}"
    assert service.delete(place).json()["state"] == "working"
    gate.go_on.set()
    assert _ended(service, place)["state"] == "stopped"
    assert service.delete(place).json()["state"] == "stopped"
    hasty = create_app(store, Settings(rate=0, long_seconds=0.0)).state.operations
    late = hasty.begin("note", gate, total=3)
    for _ in range(200):
        if late.status.state in work.ENDED:
            break
        time.sleep(0.02)
    assert (late.status.state, late.status.code) == ("failed", 503)


def test_a_long_note_that_is_stopped_is_not_kept(service, monkeypatch):
    from hobnote.asking import conversation

    reading, go_on = threading.Event(), threading.Event()
    events_of = conversation.events_of

    def slow(dictation, *, pantry=None, progress=None):
        def watched(done, total):
            reading.set()
            go_on.wait(20)
            progress(done, total)

        return events_of(dictation, pantry=pantry, progress=watched)

    monkeypatch.setattr(conversation, "events_of", slow)
    begun = service.post("/v1/recipes", json={"text": NOTE}, headers={"Prefer": "respond-async"})
    reading.wait(20)
    service.delete(begun.headers["location"])
    go_on.set()
    assert _ended(service, begun.headers["location"])["state"] == "stopped"
    assert service.get("/v1/recipes").json()["recipes"] == []


def test_a_fault_keeps_its_words_to_itself(service, caplog):
    def broken(operation):
        raise RuntimeError("zanzibar")

    one = service.app.state.operations.begin("note", broken)
    now = _ended(service, f"/v1/operations/{one.status.id}")
    assert (now["state"], now["problem"]["status"]) == ("failed", 500)
    assert "zanzibar" not in json.dumps(now) + caplog.text


def test_no_more_than_can_be_done(store, gate, problem):
    app = create_app(store, Settings(rate=0, waiting=2))
    service = TestClient(app, raise_server_exceptions=False)
    for _ in range(2):
        app.state.operations.begin("note", gate, total=3)
    problem(service.post("/v1/batches", json={"notes": [{"text": NOTE}]}), 429)


# -- followed as events: at a real server, as the test client waits for whole answers -----


@pytest.fixture
def server(store):
    app = create_app(store, Settings(rate=0, followed=2))
    door = socket.socket()
    door.bind(("127.0.0.1", 0))
    door.listen(16)
    server = uvicorn.Server(uvicorn.Config(app, log_level="error"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
    thread.start()
    yield app, door.getsockname()[1]
    server.should_exit = True
    thread.join(10)


class Follower:
    """One who reads a stream of events."""

    def __init__(self, port: int, id: str, last: str | None = None) -> None:
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        headers = {"Accept": "text/event-stream"} | ({"Last-Event-ID": last} if last else {})
        self.connection.request("GET", f"/v1/operations/{id}/events", headers=headers)
        self.answer = self.connection.getresponse()

    def event(self) -> dict[str, str] | None:
        """The next event; None at the end."""
        found: dict[str, str] = {}
        while line := self.answer.readline().decode():
            name, colon, value = line.rstrip("\n").partition(": ")
            if colon and name:
                found[name] = value
            if line == "\n" and "data" in found:
                return found
        return None

    def close(self) -> None:
        self.answer.close()
        self.connection.close()


def test_followed_from_begin_to_end_and_taken_up_again(server, gate):
    app, port = server
    operation = app.state.operations.begin("note", gate, total=3)
    gate.begun.wait(20)
    one = Follower(port, operation.status.id)
    assert one.answer.status == 200
    assert one.answer.headers["content-type"].startswith("text/event-stream")
    first = one.event()
    assert first is not None and first["event"] == "working"
    assert json.loads(first["data"])["done"] == 0
    one.close()  # goes away; the work does not mind
    gate.go_on.set()
    back = Follower(port, operation.status.id, first["id"])
    seen = []
    while (event := back.event()) is not None:
        seen.append(event)
    numbers = [int(event["id"]) for event in seen]
    assert numbers == sorted(set(numbers)) and numbers[0] > int(first["id"])
    assert seen[-1]["event"] == "done" and json.loads(seen[-1]["data"])["done"] == 3
    # One who has seen the end is told not to come back.
    assert Follower(port, operation.status.id, seen[-1]["id"]).answer.status == 204
    # One who comes late hears the end at once.
    late = Follower(port, operation.status.id).event()
    assert late is not None and late["event"] == "done"


def test_who_goes_away_leaves_nothing_behind(server, gate):
    app, port = server
    operations = app.state.operations
    operation = operations.begin("note", gate, total=3)
    gate.begun.wait(20)
    followers = [Follower(port, operation.status.id) for _ in range(2)]
    for one in followers:
        assert one.event() is not None
    assert operations.following == 2
    assert Follower(port, operation.status.id).answer.status == 429
    for one in followers:
        one.close()
    for _ in range(400):
        if operations.following == 0:
            break
        time.sleep(0.02)
    assert operations.following == 0 and not operation.followers
    gate.go_on.set()
    last = Follower(port, operation.status.id)
    while (event := last.event()) is not None and event["event"] != "done":
        pass
    assert event is not None


def test_a_quiet_stream_says_that_it_is_there(server, gate, monkeypatch):
    monkeypatch.setattr(work, "QUIET", 0.05)
    app, port = server
    operation = app.state.operations.begin("note", gate, total=3)
    gate.begun.wait(20)
    one = Follower(port, operation.status.id)
    assert one.event() is not None
    assert one.answer.readline() == b": nothing new\n"
    one.close()
