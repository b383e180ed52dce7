import json

import pytest

from hobnote.nutrition import declaration, label_data, label_html, label_text, weigh
from hobnote.nutrition.rounding import rounded_text


def test_the_eu_order_and_energy_by_its_own_factors(pantry, row, dish) -> None:
    label = declaration(weigh(dish(row("flour", 100), row("oil", 10)), pantry), "EU")
    names = [line.name for line in label.lines if line.name]
    assert names == [
        "Energy", "Fat", "of which saturates", "Carbohydrate", "of which sugars", "Fibre",
        "Protein", "Salt",
    ]  # fmt: skip
    by = {line.key: line for line in label.lines}
    # A portion: fat 5.5, carbohydrate 36, fibre 1.5, protein 5: 216.5 kcal, 912.5 kJ.
    assert by["energy_kcal"].per_portion == "217 kcal" and by["energy_kj"].per_portion == "913 kJ"
    assert by["fat_g"].per_portion == "5.5 g" and by["fat_g"].percent == "8 %"
    assert label.portion_g == 55


def test_the_fda_order_and_unknown_lines(pantry, row, dish) -> None:
    label = declaration(weigh(dish(row("flour", 100)), pantry), "FDA")
    assert [line.key for line in label.lines][:3] == ["energy_kcal", "fat_g", "saturates_g"]
    by = {line.key: line for line in label.lines}
    assert by["energy_kcal"].per_portion == "180"
    assert "added sugars" in label.unknown
    assert by["fat_g"].per_portion == "0.5 g" and by["carbohydrate_g"].percent == "14 %"


def test_a_required_line_that_nobody_knows_is_not_zero(pantry, row, dish) -> None:
    label = declaration(weigh(dish(row("tahini", 100)), pantry), "FDA")
    by = {line.key: line for line in label.lines}
    assert by["trans_fat_g"].per_portion == "not known" and "trans fat" in label.unknown


def test_three_forms_say_that_it_is_calculated(pantry, row, dish) -> None:
    label = declaration(weigh(dish(row("flour", 100)), pantry))
    for text in (label_text(label), label_html(label), json.dumps(label_data(label))):
        assert "Calculated from food tables, not analysed." in text
    assert max(map(len, label_text(label).splitlines())) <= 80


def test_html_is_escaped(pantry, row, dish) -> None:
    record = weigh(dish(row("flour", 100), row("<b>dust</b>", 1)), pantry)
    html = label_html(declaration(record))
    assert "<b>" not in html and "&lt;b&gt;dust" in html


def test_without_portions_only_the_100_g_column(pantry, row, dish) -> None:
    label = declaration(weigh(dish(row("flour", 100), portions=None), pantry))
    assert all(line.per_portion is None for line in label.lines)
    assert "per portion" not in label_text(label)


def test_nothing_computed_nothing_declared(pantry, row, dish) -> None:
    with pytest.raises(ValueError, match="nothing to declare"):
        declaration(weigh(dish(row("moon dust", 1)), pantry))


def test_a_figure_rounded_over_an_edge_reads_like_its_new_band() -> None:
    assert rounded_text("EU", "fat_g", 9.96) == "10"
    with pytest.raises(KeyError, match="no rounding rule"):
        rounded_text("EU", "cholesterol_mg", 1)
