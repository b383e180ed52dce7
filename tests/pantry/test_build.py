"""Building the table: what goes in, how a form is read, and which archive is taken."""

import pytest

from hobnote.pantry.build import build, form_of, wanted

RULES = {
    "keep_ids": ["99999"],
    "drop_groups": ["0300"],
    "plain_capitals": ["BBQ"],
    "drop_words": ["infant"],
}


def row(text, group="0100", maker="", ndb="01001"):
    return [ndb, group, text, "", "", maker]


@pytest.mark.parametrize(
    ("given", "goes_in"),
    [
        (row("Butter, salted"), True),
        (row("Crackers, OURBRAND, plain"), False),
        (row("Sauce, BBQ"), True),
        (row("Butter, salted", maker="A Company"), False),
        (row("Cereal, dry", group="0300"), False),
        (row("Formula for infants"), False),
        (row("Crackers, OURBRAND, plain", ndb="99999"), True),
    ],
)
def test_what_goes_in(given, goes_in):
    assert wanted(given, RULES) is goes_in


@pytest.mark.parametrize(
    ("text", "form"),
    [
        ("Carrots, raw", "raw"), ("Carrots, cooked, boiled, drained, without salt", "cooked"),
        ("Chickpeas, mature seeds, canned, drained solids", "drained"),
        ("Beans, black, canned", None),
        ("Couscous, dry", "dry"), ("Quinoa, uncooked", "raw"),
        ("Spinach, frozen, unprepared", "raw"),
        ("Butter, salted", None), ("Soup, onion, dry, mix", "dry"),
    ],
)  # fmt: skip
def test_forms(text, form):
    assert form_of(text) == form


def test_another_archive_is_refused(tmp_path):
    archive = tmp_path / "other.tar.gz"
    archive.write_bytes(b"not the release")
    with pytest.raises(SystemExit, match="not the pinned archive"):
        build(archive, tmp_path)
