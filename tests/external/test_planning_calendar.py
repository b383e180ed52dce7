"""Calendars read back by the ``icalendar`` library, which keeps to RFC 5545."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from hobnote.planning.calendar import to_calendar
from hobnote.planning.plan import Plan, Serving

icalendar = pytest.importorskip("icalendar", reason="icalendar is not installed (extra: plan)")
MADE = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)


def plan(*servings):
    return Plan(servings, {}, {}, {}, (), certain=True)


def events(data):
    return list(icalendar.Calendar.from_ical(data).walk("VEVENT"))


def test_meals_come_back_with_their_times_and_words():
    found = events(
        to_calendar(
            plan(
                Serving(1, "breakfast", 4, "Oats, milk; honey\nand salt", 1.5),
                Serving(3, "supper", 2, "Chilli", 1),
            ),
            date(2026, 2, 27),
            made=MADE,
        )
    )
    first, last = found
    assert first["summary"] == "breakfast: Oats, milk; honey\nand salt"
    assert first["dtstart"].dt == datetime(2026, 2, 27, 7, 30)  # floating: no zone
    assert first["dtend"].dt > first["dtstart"].dt
    assert last["dtstart"].dt == datetime(2026, 3, 1, 19, 0)
    assert first["dtstamp"].dt == MADE
    assert first["description"] == "1.5 portions, recipe 4"
    assert last["description"] == "1 portion, recipe 2"


def test_a_meal_keeps_its_identity_when_it_is_planned_anew():
    day = date(2026, 3, 2)
    one = events(to_calendar(plan(Serving(1, "lunch", 1, "Soup", 1)), day, made=MADE))
    other = events(to_calendar(plan(Serving(1, "lunch", 9, "Salad", 1)), day, made=MADE))
    later = events(to_calendar(plan(Serving(2, "lunch", 1, "Soup", 1)), day, made=MADE))
    assert one[0]["uid"] == other[0]["uid"] != later[0]["uid"]


def test_lines_are_folded_and_end_in_crlf():
    data = to_calendar(plan(Serving(1, "lunch", 1, "ü" * 200, 1)), date(2026, 3, 2), made=MADE)
    lines = data.split(b"\r\n")
    assert max(len(line) for line in lines) <= 75
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert events(data)[0]["summary"].endswith("ü" * 200)
