"""quantulum3 (MIT) as a second reader, on sentences where both should agree.

Measured digits with plain units are what it reads well; its known slips
(minutes of arc, pound sterling, count nouns) are left out.
"""

from __future__ import annotations

import warnings

import pytest
import spacy

from hobnote.marking.marks import AMOUNT, marks
from hobnote.marking.numeric import COMPONENTS

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from quantulum3 import parser as quantulum

NAMES = {
    "cubic centimetre": "ml",
    "gram": "g", "kilogram": "kg", "millilitre": "ml", "litre": "l", "cup": "cup",
    "teaspoon": "tsp", "tablespoon": "tbsp", "ounce": "oz", "fluid ounce": "fl oz",
    "pound-mass": "lb", "us fluid ounce": "fl oz", "us cup": "cup",
}  # fmt: skip
SENTENCES = (
    "weigh 200 g of oats for the early boat",
    "stir in 350 ml of milk",
    "put 1.5 kg of potatoes on for the squad",
    "pour 2 litres of stock into the pot",
    "add 3 tablespoons of oil",
    "sprinkle over 2 teaspoons of cumin",
    "use 4 cups of rice",
    "grate 8 ounces of cheese",
    "soak 250 grams of beans",
    "add 0.5 litres of water",
    "tip in 125 grams of raisins and 50 ml of juice",
    "mix 500 g of flour with 10 g of salt",
    "use two hundred grams of barley",
    "add 75 ml of cream",
)


@pytest.fixture(scope="module")
def nlp() -> spacy.language.Language:
    pipeline = spacy.blank("en")
    for name in COMPONENTS:
        pipeline.add_pipe(name)
    return pipeline


@pytest.mark.parametrize("text", SENTENCES)
def test_both_readers_agree(nlp: spacy.language.Language, text: str) -> None:
    ours = [(m.value.best, m.value.unit) for m in marks(nlp(text), AMOUNT)]
    theirs = [(q.value, NAMES.get(q.unit.name, q.unit.name)) for q in quantulum.parse(text)]
    assert ours == theirs
