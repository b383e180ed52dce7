"""Worded claims about the dish are read and judged; those about a food are not."""

import pytest

import hobnote
from hobnote.marking.tables import rows
from hobnote.nutrition.tables import tree


def claims(text: str) -> list[str]:
    record = hobnote.read(f"Porridge for the crew, serves two. {text}")
    return list(dict.fromkeys(s.claim for s in record.stated))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("This is high protein and low fat. 200 g oats.", ["high protein", "low fat"]),
        ("200 g oats. So that's high in fibre.", ["high in fibre"]),
        ("It's low in fat, this one, and a good source of fibre. 200 g oats.",
         ["low in fat", "good source of fibre"]),
        ("High-protein supper: 200 g chicken breast.", ["high protein"]),
        ("There's no sugar in it. 200 g oats.", ["no sugar"]),
    ],
)  # fmt: skip
def test_claims_about_the_dish(text, said):
    assert claims(text) == said


@pytest.mark.parametrize(
    "text",
    [
        "I use the low fat yoghurt, 200 g.",
        "Use a fat free one if you like. 200 g yoghurt.",
        "It's not low fat, mind. 200 g oats.",
        "High-protein pasta, 200 g.",
        "No sugar yet. 200 g oats.",
        "Pour on the light sauce. 200 g oats.",
        "The high-protein one in the shop is three pounds. 200 g oats.",
    ],
)
def test_claims_about_a_food_or_denied_are_none(text):
    assert claims(text) == []


def test_a_claim_is_judged_by_its_rules():
    record = hobnote.read("Serves 2. This is high protein. 300 g chicken breast, 100 g rice.")
    assert {(s.rule, s.met) for s in record.stated} == {
        ("EU 1924/2006 Annex, high protein", True),
        ("21 CFR 101.54(b), high", True),
    }


def test_every_claim_that_can_be_judged_can_be_said():
    judged = {w.replace("-", " ") for c in tree("claims")["claim"] for w in c["words"]}
    assert judged == {row["phrase"] for row in rows("worded_claims.csv")}


def test_chops_named_before_their_animal_are_one_food():
    record = hobnote.read("Chops tonight, serves four. Fry four lamb chops, 130 g each.")
    rows_ = record.components[0].ingredients
    assert [(r.name, r.grams.best) for r in rows_] == [("lamb chop", 520)]
    assert rows_[0].food.description.startswith("Lamb")
