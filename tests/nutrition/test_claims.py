import pytest

from hobnote.nutrition import weigh
from hobnote.nutrition.stated_figures import energy_of_macros
from hobnote.nutrition.worded_claims import recognise
from hobnote.record import Claim, Heard, StatedClaim


def said(nutrient: str, value: float, unit: str = "g", scope: str = "portion") -> Claim:
    return Claim(nutrient=nutrient, low=value, high=value, unit=unit, scope=scope)


def judged(record, pantry) -> Claim:
    return weigh(record, pantry).claims[0]


def test_a_claim_within_the_band_agrees(pantry, row, dish) -> None:
    rows = [row("flour", 200), row("oil", vague="glug")]
    out = judged(dish(*rows, claims=[said("energy", 470, "kcal")]), pantry)
    assert out.verdict == "agrees" and out.reason is None
    assert (out.computed.low, out.computed.high) == (382.5, 472.5)


def test_a_claim_outside_says_by_how_much_and_asks(pantry, row, dish) -> None:
    record = weigh(dish(row("flour", 200), claims=[said("protein", 31)]), pantry)
    claim = record.claims[0]
    assert claim.verdict == "differs" and claim.reason.startswith("stated 21 g above")
    flag = next(f for f in record.flags if f.kind == "claim differs")
    assert "31 g protein a portion" in flag.question
    assert (flag.effect_kcal.low, flag.effect_kcal.high) == (40, 124)


@pytest.mark.parametrize(("value", "verdict"), [(10, "agrees"), (11, "agrees"), (11.2, "differs")])
def test_rounding_is_forgiven(pantry, row, dish, value: float, verdict: str) -> None:
    assert (
        judged(dish(row("flour", 200), claims=[said("protein", value)]), pantry).verdict == verdict
    )


def test_kilojoules(pantry, row, dish) -> None:
    claim = judged(dish(row("flour", 200), claims=[said("energy", 1506, "kJ")]), pantry)
    assert claim.verdict == "agrees" and claim.computed.best == pytest.approx(1506.24)


def test_scopes(pantry, row, dish) -> None:
    for scope, value in (("total", 720), ("main", 720), ("flour", 720), ("100 g", 360)):
        claims = [said("energy", value, "kcal", scope)]
        assert judged(dish(row("flour", 200), claims=claims), pantry).verdict == "agrees"


def test_what_cannot_be_checked_says_why(pantry, row, dish) -> None:
    claims = [said("energy", 360, "kcal")]
    unsaid = judged(dish(row("flour", 200), claims=claims, portions=None), pantry)
    assert unsaid.verdict == "cannot be checked" and "portions" in unsaid.reason
    gap = judged(dish(row("flour", 200), row("moon dust", 9), claims=claims), pantry)
    assert gap.verdict == "cannot be checked" and "moon dust" in gap.reason
    low = [said("energy", 200, "kcal")]
    below = judged(dish(row("flour", 200), row("moon dust", 9), claims=low), pantry)
    assert below.verdict == "differs"  # a gap only adds
    nowhere = judged(dish(row("flour", 9), claims=[said("fat", 1, "g", "icing")]), pantry)
    assert nowhere.verdict == "cannot be checked" and "icing" in nowhere.reason


def test_carbohydrate_in_either_sense(pantry, row, dish) -> None:
    for value in (75, 72):
        claims = [said("carbohydrate", value)]
        assert judged(dish(row("flour", 200), claims=claims), pantry).verdict == "agrees"


def test_stated_macros_against_stated_energy(pantry, row, dish) -> None:
    macros = [said("protein", 30), said("fat", 20), said("carbohydrate", 50)]
    assert energy_of_macros(macros).best == 30 * 4 + 20 * 9 + 50 * 4
    claims = [said("energy", 800, "kcal"), *macros]
    out = judged(dish(row("flour", 200), claims=claims), pantry)
    assert "make 500 kcal" in out.reason
    assert energy_of_macros(macros[:2]) is None


def words(claim: str) -> StatedClaim:
    return StatedClaim(
        claim=claim, rule="", met=None, reason="", heard=[Heard(start=1, end=2, text="x")]
    )


def test_worded_claims_are_judged_by_both_rule_books(pantry, row, dish) -> None:
    record = weigh(dish(row("chicken", 300), stated=[words("high-protein")]), pantry)
    assert [s.met for s in record.stated] == [True, True]
    assert record.stated[0].rule.startswith("EU 1924/2006")
    assert record.stated[1].rule == "21 CFR 101.54(b), high"
    again = weigh(record, pantry)
    assert again.stated == record.stated


def test_a_worded_claim_that_needs_another_product(pantry, row, dish) -> None:
    out = weigh(dish(row("flour", 100), stated=[words("light")]), pantry).stated
    assert [s.met for s in out] == [None, None] and "compare" in out[0].reason


def test_open_amounts_that_could_turn_a_claim_are_named(pantry, row, dish) -> None:
    rows = [row("onion", 500), row("oil", vague="glug")]
    out = weigh(dish(*rows, stated=[words("low fat")]), pantry).stated[0]
    assert out.met is True and "could turn it" in out.reason


def test_a_claim_nobody_regulates(pantry, row, dish) -> None:
    out = weigh(dish(row("flour", 100), stated=[words("rowers love it")]), pantry).stated
    assert len(out) == 1 and out[0].met is None and out[0].rule == "none"


@pytest.mark.parametrize(
    ("text", "id"),
    [
        ("really high in protein", "high protein"),
        ("a good source of fibre", "source of fibre"),
        ("low-fat", "low fat"),
        ("very low in salt", "very low salt"),
        ("rich in iron", "high iron"),
        ("a source of vitamin C", "source of vitamin C"),
        ("sugar-free", "sugar free"),
    ],
)
def test_ways_of_saying_it(text: str, id: str) -> None:
    assert recognise(text).id == id
