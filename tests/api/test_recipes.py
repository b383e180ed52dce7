"""Recipes over HTTP: begun once, found again, at any version, and never changed unseen."""

from __future__ import annotations

import threading

import pytest
from sqlalchemy import text

from hobnote.asking.conversation import Conversation
from hobnote.keeping.foods import OwnFoods
from hobnote.keeping.migrate import migrate
from hobnote.pantry.own import OwnFood


def test_a_note_becomes_a_recipe_that_points_at_its_words(recipe):
    assert recipe["version"] == 1
    rows = recipe["record"]["components"][0]["ingredients"]
    assert [row["name"] for row in rows] == ["oats", "honey", "milk", "salt"]
    for row in rows:
        for heard in row["heard"]:
            assert recipe["text"][heard["start"] : heard["end"]] == heard["text"]
    assert len(recipe["keys"]["ingredients"]["main"]) == len(rows)
    assert len(recipe["keys"]["steps"]) == len(recipe["record"]["steps"])
    assert recipe["asked"] in [question["id"] for question in recipe["questions"]]


def test_the_body_may_be_the_note_itself(service):
    vtt = b"WEBVTT\n\n00:01.000 --> 00:04.000\nstir 20 g of butter into 80 g of oats\n"
    answer = service.post("/v1/recipes", content=vtt, headers={"content-type": "text/vtt"})
    assert answer.status_code == 201
    butter = answer.json()["record"]["components"][0]["ingredients"][0]
    assert butter["heard"][0]["at"] == 1.0
    assert answer.headers["location"] == f"/v1/recipes/{answer.json()['id']}"


def test_portions_sent_along_win(service):
    answer = service.post("/v1/recipes", json={"text": "Oats for two: 90 g oats", "portions": 3})
    assert answer.json()["record"]["portions"]["best"] == 3


def test_the_same_key_makes_one_recipe(service, problem):
    headers = {"Idempotency-Key": "boat-7"}
    first = service.post("/v1/recipes", json={"text": "90 g oats, stirred"}, headers=headers)
    again = service.post("/v1/recipes", json={"text": "90 g oats, stirred"}, headers=headers)
    assert (first.status_code, again.status_code) == (201, 200)
    assert first.json()["id"] == again.json()["id"]
    other = service.post("/v1/recipes", json={"text": "80 g oats, stirred"}, headers=headers)
    problem(other, 409)
    assert len(service.get("/v1/recipes").json()["recipes"]) == 1


def test_pages_and_words(service):
    for n in range(5):
        service.post("/v1/recipes", json={"text": f"{n + 50} g oats, stirred in a pan"})
    seen, after = [], None
    while True:
        params = {"limit": 2} | ({"after": after} if after else {})
        found = service.get("/v1/recipes", params=params).json()
        seen += [one["id"] for one in found["recipes"]]
        after = found["next"]
        if after is None:
            break
    assert seen == [5, 4, 3, 2, 1]
    found = service.get("/v1/recipes", params={"words": "OATS 53"}).json()
    assert [one["id"] for one in found["recipes"]] == [4]


def test_tags(service, recipe):
    for path in (f"/v1/recipes/{recipe['id']}", "/v1/recipes"):
        tag = service.get(path).headers["etag"]
        same = service.get(path, headers={"If-None-Match": f'"x", {tag}'})
        assert (same.status_code, same.content, same.headers["etag"]) == (304, b"", tag)
    service.post(f"/v1/recipes/{recipe['id']}/messages", json={"text": "the oats were 120 g"})
    for path in (f"/v1/recipes/{recipe['id']}", "/v1/recipes"):
        assert service.get(path, headers={"If-None-Match": tag}).status_code == 200


def test_messages_answers_undo_and_redo(service, recipe):
    base = f"/v1/recipes/{recipe['id']}"
    said = service.post(f"{base}/messages", json={"text": "the oats were 120 g", "who": "stroke"})
    assert any(line.startswith("oats: 120 g") for line in said.json()["changed"])
    question = next(q for q in said.json()["recipe"]["questions"] if q["ingredient"] == "honey")
    answered = service.post(
        f"{base}/answers", json={"question": question["id"], "answer": "one tablespoon"}
    ).json()
    assert question["id"] not in [q["id"] for q in answered["recipe"]["questions"]]
    assert service.post(f"{base}/undo", json={"count": 2}).json()["recipe"]["version"] == 4
    now = service.get(base).json()
    assert now["record"] == recipe["record"]
    back = service.post(f"{base}/redo", json={"count": 2}).json()["recipe"]
    assert back["record"] == answered["recipe"]["record"]
    log = service.get(f"{base}/turns").json()
    assert [turn["kind"] for turn in log["turns"]] == ["said", "said", "said", "undo", "redo"]
    assert log["turns"][1]["who"] == "stroke" and all(turn["stands"] for turn in log["turns"])
    assert log["turns"][1]["events"][0]["kind"] == "measured"
    assert log["turns"][1]["reply"] == said.json()["lines"] + said.json()["changed"] != []
    assert len(service.get(f"{base}/turns", params={"after": 3}).json()["turns"]) == 2


def test_an_option_by_its_place(service, recipe, problem):
    base = f"/v1/recipes/{recipe['id']}"
    question = next(q for q in recipe["questions"] if q["options"])
    wrong = {"question": question["id"], "answer": 20}
    problem(service.post(f"{base}/answers", json=wrong), 422)
    right = service.post(f"{base}/answers", json={"question": question["id"], "answer": 0})
    assert right.status_code == 200 and right.json()["understood"]
    gone = problem(service.post(f"{base}/answers", json=wrong), 409)
    assert "not open" in gone["detail"]


def test_corrections(service, recipe, key, problem):
    base = f"/v1/recipes/{recipe['id']}"
    fix = {"kind": "ingredient", "key": key(recipe, "oats"), "amount": "130 g", "optional": True}
    done = service.post(f"{base}/corrections", json={"fix": fix}).json()
    row = done["recipe"]["record"]["components"][0]["ingredients"][0]
    assert (row["grams"]["best"], row["optional"]) == (130, True)
    problem(service.post(f"{base}/corrections", json={"fix": fix | {"key": "no"}}), 409)
    vague = service.post(f"{base}/corrections", json={"fix": fix | {"amount": "rather nice"}})
    assert "rather nice" in problem(vague, 422)["detail"]


def test_moving_and_emptying(service, recipe, key, problem):
    base = f"/v1/recipes/{recipe['id']}"
    move = {"kind": "move", "what": "ingredient", "key": key(recipe, "salt")}
    before = move | {"before": key(recipe, "oats")}
    done = service.post(f"{base}/corrections", json={"fix": before}).json()
    rows = done["recipe"]["record"]["components"][0]["ingredients"]
    assert [row["name"] for row in rows] == ["salt", "oats", "honey", "milk"]
    step = recipe["keys"]["steps"][0]
    empty = {"kind": "step", "key": step, "cleared": ["heat", "minutes"]}
    done = service.post(f"{base}/corrections", json={"fix": empty}).json()
    first = done["recipe"]["record"]["steps"][0]
    assert (first["heat"], first["minutes"]) == (None, None)
    problem(service.post(f"{base}/corrections", json={"fix": move | {"before": "no"}}), 409)
    problem(service.post(f"{base}/corrections", json={"fix": empty | {"cleared": ["all"]}}), 422)
    service.post(f"{base}/undo", json={"count": 2})
    assert service.get(base).json()["record"] == recipe["record"]


def test_a_writer_who_saw_an_older_version_is_told_what_changed(service, recipe, problem):
    base = f"/v1/recipes/{recipe['id']}"
    tag = service.get(base).headers["etag"]
    service.post(f"{base}/messages", json={"text": "the oats were 120 g", "who": "bow"})
    late = {"If-Match": tag}
    said = service.post(f"{base}/messages", json={"text": "the oats were 90 g"}, headers=late)
    body = problem(said, 412)
    assert body["version"] == 2
    assert [(turn["who"], turn["version"]) for turn in body["since"]] == [("bow", 2)]
    assert any(line.startswith("oats: 120 g") for line in body["changes"])
    assert service.get(base).json()["version"] == 2
    now = {"If-Match": service.get(base).headers["etag"]}
    again = service.post(f"{base}/messages", json={"text": "the oats were 90 g"}, headers=now)
    assert again.status_code == 200
    bad = service.post(f"{base}/undo", json={}, headers={"If-Match": "yesterday"})
    problem(bad, 400)


def test_versions_and_differences(service, recipe, problem):
    base = f"/v1/recipes/{recipe['id']}"
    service.post(f"{base}/messages", json={"text": "the oats were 120 g"})
    made = service.get(f"{base}/versions").json()["versions"]
    assert [one["version"] for one in made] == [1, 2]
    first = service.get(f"{base}/versions/1").json()
    assert (first["version"], first["record"]) == (1, recipe["record"])
    found = service.get(f"{base}/differences", params={"before": 1}).json()
    assert found["after"] == 2 and any("120 g" in line for line in found["changes"])
    back = service.get(f"{base}/differences", params={"before": 2, "after": 1}).json()
    assert any("100 g" in line for line in back["changes"])
    problem(service.get(f"{base}/versions/3"), 404)
    problem(service.get(f"{base}/differences", params={"before": 9}), 404)


def test_two_writers_in_two_processes_lose_nothing(service, recipe, store):
    """One writes past the service's back; the service hears both."""
    Conversation.resume(store, recipe["id"]).say("the milk was 300 ml", "other")
    base = f"/v1/recipes/{recipe['id']}"
    service.post(f"{base}/messages", json={"text": "the oats were 120 g"})
    grams = {
        row["name"]: row["amount"]["best"]
        for row in service.get(base).json()["record"]["components"][0]["ingredients"]
    }
    assert (grams["milk"], grams["oats"]) == (300, 120)


def test_many_writers_at_once_lose_no_update(service, recipe):
    base = f"/v1/recipes/{recipe['id']}"
    statuses = []

    def write(n):
        text = {"text": f"the oats were {100 + n} g", "who": f"seat {n}"}
        statuses.append(service.post(f"{base}/messages", json=text).status_code)

    threads = [threading.Thread(target=write, args=(n,)) for n in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert statuses == [200] * 8
    log = service.get(f"{base}/turns").json()["turns"]
    assert sorted(turn["who"] for turn in log[1:]) == [f"seat {n}" for n in range(8)]


@pytest.mark.parametrize(
    ("format", "begins"),
    [
        ("json", b"{"),
        ("json-ld", b"{"),
        ("markdown", b"# "),
        ("html", b"<!doctype html"),
        ("csv", b""),
        ("text", b"boathouse porridge"),
    ],
)
def test_exports(service, recipe, format, begins):
    answer = service.get(f"/v1/recipes/{recipe['id']}/exports/{format}")
    assert answer.status_code == 200
    assert answer.content.lower().startswith(begins.lower())
    tag = {"If-None-Match": answer.headers["etag"]}
    same = service.get(f"/v1/recipes/{recipe['id']}/exports/{format}", headers=tag)
    assert same.status_code == 304


def test_an_unsettled_recipe_can_be_refused(service, recipe, problem):
    path = f"/v1/recipes/{recipe['id']}/exports/json"
    body = problem(service.get(path, params={"settled_only": True}), 409)
    assert body["questions"]
    problem(service.get(f"/v1/recipes/{recipe['id']}/exports/tablet"), 422)


def test_foods(service):
    found = service.get("/v1/foods", params={"name": "double cream"}).json()
    assert found["sure"] and found["food"]["per_100g"]["fat_g"] > 30
    none = service.get("/v1/foods", params={"name": "qzxv"}).json()
    assert not none["sure"]


def test_own_foods_are_preferred_and_change_the_tag(service, recipe, store, key):
    base = f"/v1/recipes/{recipe['id']}"
    tag = service.get(base).headers["etag"]
    OwnFoods(store.engine).save(OwnFood("oats", {"energy_kcal": 200, "fat_g": 5}))
    now = service.get(base, headers={"If-None-Match": tag})
    assert now.status_code == 200 and now.headers["etag"] != tag
    row = now.json()["record"]["components"][0]["ingredients"][0]
    assert (row["food"]["id"], row["nutrition"]["energy_kcal"]["best"]) == ("own:oats", 200)
    said = service.post(
        f"{base}/messages", json={"text": "the oats were 120 g"}, headers={"If-Match": tag}
    )
    assert said.status_code == 200  # the version is what a writer must have seen


def test_a_database_from_before_answers_were_kept(service, recipe, store):
    with store.engine.begin() as connection:
        connection.execute(text("ALTER TABLE turns DROP COLUMN reply"))
        connection.execute(text("UPDATE alembic_version SET version_num = '0003'"))
    migrate(store.engine)
    assert service.get(f"/v1/recipes/{recipe['id']}/turns").json()["turns"][0]["reply"] == []


def test_the_feed_is_served(service, recipe):
    found = service.get("/v1/plan-feed").json()
    assert [one["id"] for one in found["recipes"]] == [recipe["id"]]


@pytest.mark.parametrize(
    "path", ["", "/turns", "/versions", "/versions/1", "/differences?before=1", "/exports/json"]
)
def test_a_recipe_that_is_not_there(service, problem, path):
    assert "12" in problem(service.get(f"/v1/recipes/12{path}"), 404)["detail"]
    problem(service.get(f"/v1/recipes/twelve{path}"), 422)
    problem(service.get(f"/v1/recipes/99999999999999999999{path}"), 422)
