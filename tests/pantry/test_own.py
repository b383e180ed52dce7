"""Own foods: from label to row, and labels that cannot be right."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hobnote.pantry import open_pantry
from hobnote.pantry.exchange import changed, read_csv, write_csv
from hobnote.pantry.labels import read_label
from hobnote.pantry.own import (
    Label,
    LabelError,
    OwnFood,
    compare,
    energy_of_parts,
    from_label,
    problems,
)
from hobnote.record import Amount

BAR = Label(
    energy_kcal=365, protein_g=11, fat_g=7.2, saturates_g=1.3, available_g=60, sugars_g=1.1,
    fibre_g=8, salt_g=0.02,
)  # fmt: skip


def test_a_label_per_100_g():
    food = from_label("club bar", BAR)
    assert food.figures["carbohydrate_g"] == 68  # the table counts fibre in
    assert food.figures["sodium_mg"] == pytest.approx(8)
    assert "alcohol_g" not in food.figures  # not printed: unknown, not zero


def test_a_label_per_serving_comes_to_100_g():
    food = from_label("club bar", Label(per=30, serving_g=30, energy_kj=480, protein_g=3, fat_g=3,
                                        carbohydrate_g=19, sodium_mg=60))  # fmt: skip
    assert food.figures["energy_kcal"] == pytest.approx(480 / 4.184 / 0.3, abs=0.1)
    assert food.figures["sodium_mg"] == pytest.approx(200)
    assert food.as_food().weights[0].grams == 30


def test_a_label_per_100_ml_needs_a_density():
    drink = Label(per_ml=True, energy_kcal=46, protein_g=1, fat_g=1.5, carbohydrate_g=7)
    with pytest.raises(LabelError, match="density"):
        from_label("drink", drink)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"energy_kcal": 100, "protein_g": 50.0}, "does not fit its parts"),
        ({"energy_kcal": 365, "energy_kj": 900}, "do not agree"),
        ({"energy_kcal": 365, "fat_g": 7.0, "saturates_g": 9.0}, "saturates"),
        ({"energy_kcal": 365, "carbohydrate_g": 60.0, "sugars_g": 70.0}, "sugars"),
        ({"energy_kcal": 880, "fat_g": 80.0, "protein_g": 40.0}, "weigh 120 g"),
        ({"energy_kcal": 950, "fat_g": 100.0}, "pure fat"),
        ({"energy_kcal": -5}, "below zero"),
        ({"energy_kcal": 100, "salt_g": 1.0, "sodium_mg": 1000.0}, "salt is 2.5 times sodium"),
        ({"protein_g": 10.0}, "energy is missing"),
        ({"per": 0, "energy_kcal": 100}, "more than 0 g"),
    ],
)  # fmt: skip
def test_what_cannot_be_right_is_said_in_one_sentence(change, says):
    with pytest.raises(LabelError, match=says) as told:
        from_label("bar", Label(**change))
    assert "\n" not in str(told.value)


def test_fibre_polyols_and_alcohol_count_in_the_check():
    # Source of the factors: EU 1169/2011 Annex XIV; fat 10, carb 20, protein 5, fibre 3: 196.
    assert energy_of_parts(
        {"fat_g": 10, "carbohydrate_g": 23, "protein_g": 5, "fibre_g": 3}
    ) == pytest.approx(196)
    sweet = {"fat_g": 0, "protein_g": 0, "carbohydrate_g": 99, "polyols_g": 99}
    assert problems(OwnFood("xylitol", {**sweet, "energy_kcal": 240})) == []
    assert problems(OwnFood("erythritol", {**sweet, "energy_kcal": 0})) == []
    spirit = {"fat_g": 0, "protein_g": 0, "carbohydrate_g": 0, "alcohol_g": 32, "energy_kcal": 222}
    assert problems(OwnFood("spirit", spirit)) == []


def test_a_printed_label_is_read():
    text = """Typical values per 100 g  per serving (45 g)
    Energy 1530 kJ / 365 kcal
    Fat 7.2 g
    of which saturates 1.3 g
    Carbohydrate 60 g
    of which sugars 1,1 g
    Fibre 8 g
    Protein 11 g
    Salt 0.02 g"""
    label = read_label(text)
    assert (label.per, label.serving_g) == (100, 45)
    assert (label.energy_kj, label.energy_kcal) == (1530, 365)
    assert from_label("bar", label).figures == from_label("bar", BAR).figures


def test_an_american_label_is_read():
    text = """Serving size 1 bar (40 g)
    Calories 160
    Total Fat 5 g
    Saturated Fat 1 g
    Trans Fat 0 g
    Sodium 95 mg
    Total Carbohydrate 24 g
    Dietary Fiber 3 g
    Total Sugars 8 g
    Includes 6 g added sugars
    Protein 4 g"""
    label = read_label(text)
    assert (label.per, label.energy_kcal, label.fat_g, label.sugars_g) == (40, 160, 5, 8)
    figures = from_label("bar", label).figures
    assert figures["carbohydrate_g"] == 60 and figures["sodium_mg"] == pytest.approx(237.5)


def test_text_without_figures_is_an_error():
    with pytest.raises(LabelError, match="no figure"):
        read_label("a nice bar from the boathouse")


def test_own_foods_are_preferred_and_in_the_vocabulary():
    pantry = open_pantry("uk").with_own([from_label("Club Oat Mix", BAR).as_food()])
    match = pantry.match("chopped club oat mix")
    assert match.food.id == "own:club oat mix" and match.score == 1
    assert pantry.food("own:club oat mix").description == "Club Oat Mix"
    assert "club oat mix" in pantry.vocabulary()
    assert open_pantry("uk").match("club oat mix").food.id != "own:club oat mix"


def test_side_by_side():
    own = from_label("oats", BAR).as_food()
    table = open_pantry("uk").match("oats").food
    figures = {key: (mine, theirs) for key, mine, theirs in compare(own, table)}
    assert figures["energy_kcal"] == (365, 379)
    assert figures["alcohol_g"][0] is None


def test_csv_goes_out_and_comes_back():
    foods = [from_label("club bar", BAR, "pack"), from_label("squash, own", Label(energy_kcal=20))]
    assert read_csv(write_csv(foods)) == foods


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("food,energy_kcal\nbar,1\n", "name the columns"),
        ("name,energy\nbar,1\n", "no column 'energy'"),
        ("name,energy_kcal\nbar\n", "line 2: the row has not as many cells"),
        ("name,energy_kcal\n,100\n", "line 2: the name is missing"),
        ("name,energy_kcal\nbar,much\n", "line 2, energy_kcal: 'much' is not a number"),
        ("name,energy_kcal,fat_g\nok,100,\nbar,100,90\n", "line 3"),
        ("name,fat_g\nbar,1\n", "energy"),
        ("name,energy_kcal\nbar,\n", "energy"),
    ],
)
def test_a_wrong_row_is_named_by_its_line(text, says):
    if says == "line 3":
        text = text.replace("fat_g", "fat_g,protein_g,carbohydrate_g").replace("90", "90,0,0")
        text = text.replace("ok,100,", "ok,100,,,")
    with pytest.raises(LabelError, match=says):
        read_csv(text)


def test_changes_by_key():
    food = changed(from_label("bar", BAR), ["serving_g=45", "salt=1"][:1])
    assert food.serving_g == 45
    assert "fibre_g" not in changed(food, ["fibre_g="]).figures
    with pytest.raises(LabelError, match="not KEY=VALUE"):
        changed(food, ["fat"])
    with pytest.raises(LabelError, match="fit its parts"):
        changed(food, ["fat_g=25"])


@given(st.floats(0, 40), st.floats(0, 30), st.floats(0, 30), st.floats(10, 400))
def test_a_serving_and_100_g_are_the_same_food(protein, fat, carbohydrate, per):
    kcal = 4 * protein + 9 * fat + 4 * carbohydrate
    figures = {
        "protein_g": protein,
        "fat_g": fat,
        "carbohydrate_g": carbohydrate,
        "energy_kcal": kcal,
    }
    whole = from_label("x", Label(**figures))
    part = from_label("x", Label(per=per, **{k: v * per / 100 for k, v in figures.items()}))
    for key, value in whole.figures.items():
        assert part.figures[key] == pytest.approx(value, abs=0.01)


def test_own_foods_are_heard_in_the_plural_and_counted_by_their_serving():
    own = OwnFood("club oat bar", {"energy_kcal": 382.0}, serving_g=40).as_food()
    pantry = open_pantry("uk").with_own([own])
    assert "club oat bars" in pantry.own_names()
    assert pantry.vocabulary()["club oat bars"] == "club oat bar"
    two = pantry.grams(own, "club oat bars", Amount(low=2, best=2, high=2, unit="piece"))
    assert two.low < two.best == 80 < two.high and "own:" in two.source
    usual = pantry.usual(own, "club oat bar")
    assert usual.low < usual.best == 40 < usual.high


def test_changes_take_the_words_of_a_label():
    food = OwnFood("club mix", {"energy_kcal": 400.0, "fat_g": 10.0})
    new = changed(food, ["fat=12", "kj=1720", "salt=0.5", "serving=30"])
    assert new.figures == {"energy_kcal": 411.09, "fat_g": 12.0, "sodium_mg": 200.0}
    assert new.serving_g == 30


@pytest.mark.parametrize("change", ["fat=nan", "kcal=inf", "serving=0", "density=-1", "cheese=3"])
def test_changes_that_are_no_figures_are_refused(change):
    with pytest.raises(LabelError):
        changed(OwnFood("club mix", {"energy_kcal": 400.0}), [change])


@pytest.mark.parametrize("first", ["100", "serving"])
def test_of_two_columns_the_one_per_100_g_is_read(first):
    hundred, serving = ("1,550kJ / 370kcal", "7.2g"), ("465kJ / 111kcal", "2.2g")
    columns = (hundred, serving) if first == "100" else (serving, hundred)
    heads = ("per 100g", "per 30g serving") if first == "100" else ("per 30g serving", "per 100g")
    text = f"Typical values {heads[0]} {heads[1]}\n"
    text += f"Energy {columns[0][0]} {columns[1][0]}\nFat {columns[0][1]} {columns[1][1]}"
    label = read_label(text)
    assert (label.energy_kj, label.energy_kcal, label.fat_g) == (1550, 370, 7.2)
    assert (label.per, label.serving_g) == (100, 30)


def test_a_label_on_one_line():
    label = read_label("per 100 g: energy 180 kJ (43 kcal), fat <0.5 g, sugars 10,5 g, salt 0,02 g")
    assert (label.energy_kcal, label.fat_g, label.sugars_g, label.salt_g) == (43, 0.5, 10.5, 0.02)
    assert label.serving_g is None


def test_sodium_needs_its_unit():
    with pytest.raises(LabelError, match="g or in mg"):
        read_label("Energy 370 kcal\nSodium 0.14")
    assert read_label("Energy 370 kcal\nSodium 1,140 mg").sodium_mg == 1140
