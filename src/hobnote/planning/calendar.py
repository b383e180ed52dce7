"""Planned meals as iCalendar (RFC 5545), by the ``icalendar`` library (extra: plan)."""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

from hobnote.planning.errors import PlanningError
from hobnote.planning.tables import rules

if TYPE_CHECKING:
    from hobnote.planning.plan import Plan

_NAMESPACE = uuid.UUID("6f0c5f6e-1f0a-4f0b-9a55-0d6c5b7f4a11")


def meal_time(meal: str) -> time:
    """When a meal begins, from ``data/rules.toml``."""
    clock = rules()["clock"]
    hour, minute = clock.get(meal.casefold(), clock["other"])
    return time(hour, minute)


def to_calendar(plan: Plan, first: date, *, made: datetime | None = None) -> bytes:
    """The plan's meals from ``first`` on, in floating local time.

    A meal keeps its identity (UID) when the week is planned again, so a calendar
    replaces it. ``made`` (default: now) is the time stamp. Raises
    PlanningError without the library.
    """
    try:
        from icalendar import Calendar, Event
    except ImportError:
        raise PlanningError("calendars need icalendar: pip install 'hobnote[plan]'") from None
    book = Calendar()
    book.add("prodid", "-//Hobnote//planner//EN")
    book.add("version", "2.0")
    stamp = (made or datetime.now(UTC)).astimezone(UTC)
    for serving in plan.servings:
        begins = datetime.combine(first + timedelta(days=serving.day - 1), meal_time(serving.meal))
        event = Event()
        name = f"{begins.date().isoformat()}/{serving.meal}"
        event.add("uid", f"{uuid.uuid5(_NAMESPACE, name)}@hobnote")
        event.add("dtstamp", stamp)
        event.add("dtstart", begins)
        event.add("dtend", begins + timedelta(minutes=rules()["clock"]["minutes"]))
        event.add("summary", f"{serving.meal}: {serving.title}")
        portions = "portion" if serving.size == 1 else "portions"
        event.add("description", f"{serving.size:g} {portions}, recipe {serving.dish}")
        event.add("transp", "TRANSPARENT")
        book.add_component(event)
    found = book.to_ical()
    assert isinstance(found, bytes)
    return found
