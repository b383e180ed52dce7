"""Own foods over HTTP, and what was dictated."""

from __future__ import annotations

LABEL = {"energy_kcal": 380, "protein_g": 13, "fat_g": 7, "available_g": 60, "fibre_g": 8}


def test_a_food_of_your_own(service, recipe, problem):
    base = f"/v1/recipes/{recipe['id']}"
    new = service.put("/v1/own-foods/Oats", json=LABEL | {"note": "the sack in the galley"})
    assert new.status_code == 201
    assert new.json()["per_100g"]["carbohydrate_g"] == 68
    assert service.put("/v1/own-foods/oats", json=LABEL).status_code == 200
    assert [food["name"] for food in service.get("/v1/own-foods").json()["foods"]] == ["oats"]
    assert service.get("/v1/foods", params={"name": "oats"}).json()["food"]["id"] == "own:oats"
    row = service.get(base).json()["record"]["components"][0]["ingredients"][0]
    assert row["nutrition"]["energy_kcal"]["best"] == 380
    assert service.delete("/v1/own-foods/oats").status_code == 204
    problem(service.delete("/v1/own-foods/oats"), 404)
    assert service.get(base).json()["record"] == recipe["record"]


def test_a_label_that_cannot_be_right(service, problem):
    wrong = problem(service.put("/v1/own-foods/bar", json={"energy_kcal": 1200}), 422)
    assert "pure fat" in wrong["detail"]
    problem(service.put("/v1/own-foods/bar", json={"protein_g": 5}), 422)
    problem(service.put("/v1/own-foods/bar", json=LABEL | {"energy_kcal": "380"}), 422)
    problem(service.put("/v1/own-foods/%00", json=LABEL), 422)
    assert service.get("/v1/own-foods").json()["foods"] == []


def test_what_was_dictated_and_where(service):
    vtt = b"WEBVTT\n\n00:12.000 --> 00:15.000\nstir 20 g of butter into 80 g of oats\n"
    made = service.post("/v1/recipes", content=vtt, headers={"content-type": "text/vtt"}).json()
    base = f"/v1/recipes/{made['id']}"
    service.post(f"{base}/messages", json={"text": "the oats were 90 g", "who": "bow"})
    found = service.get(f"{base}/dictation").json()
    assert [(one["kind"], one["who"]) for one in found["messages"]] == [
        ("webvtt", "cook"),
        ("plain", "bow"),
    ]
    for message in found["messages"]:
        for piece in message["pieces"]:
            assert found["text"][piece["start"] : piece["end"]] == piece["text"]
    assert found["messages"][0]["pieces"][0]["at"] == 12.0
