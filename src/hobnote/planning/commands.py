"""``hobnote plan``: parses options, calls the library, prints."""

from __future__ import annotations

import json
import sys
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from hobnote.planning.entry import PlanEntry
    from hobnote.planning.wishes import Wishes

Limit = Annotated[str | None, typer.Option(metavar="BAND")]


def plan(
    files: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="[FILE]...", help="Records (JSON) or notes; left out: the kept recipes."
        ),
    ] = None,
    days: Annotated[int, typer.Option("--days", metavar="N", help="How many days.")] = 7,
    meals: Annotated[
        str, typer.Option("--meals", metavar="NAMES", help="Meals of a day, comma between.")
    ] = "lunch,supper",
    energy: Annotated[
        str | None,
        typer.Option("--energy", metavar="BAND", help="kcal a day: 2200±100, 1800-2200, 1800+."),
    ] = None,
    protein: Annotated[
        str | None, typer.Option("--protein", metavar="BAND", help="Grams a day: 140+, 120-160.")
    ] = None,
    band: Annotated[
        list[str] | None,
        typer.Option("--band", metavar="NUTRIENT=BAND", help="A further band: salt=<6."),
    ] = None,
    repeats: Annotated[
        int, typer.Option("--repeats", metavar="K", help="How often a recipe may come.")
    ] = 2,
    people: Annotated[int, typer.Option("--people", metavar="N", help="How many eat.")] = 1,
    avoid: Annotated[
        list[str] | None,
        typer.Option("--avoid", metavar="ALLERGEN", help="Leave out what may contain it."),
    ] = None,
    use: Annotated[
        list[str] | None,
        typer.Option("--use", metavar="FOOD=GRAMS", help="Something to use up: rice=500."),
    ] = None,
    suits: Annotated[
        list[str] | None,
        typer.Option("--suits", metavar="MEAL=IDS", help="Recipes for a meal: breakfast=1,4."),
    ] = None,
    seconds: Annotated[
        float, typer.Option("--seconds", metavar="S", help="How long to search at most.")
    ] = 20,
    calendar: Annotated[
        Path | None,
        typer.Option("--ics", metavar="FILE", help="Also write the meals as iCalendar."),
    ] = None,
    start: Annotated[
        datetime | None,
        typer.Option("--start", formats=["%Y-%m-%d"], help="First day, for the calendar."),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
    database: Annotated[
        str | None,
        typer.Option("--database", metavar="URL", help="File or address of the recipes."),
    ] = None,
) -> None:
    """Choose recipes and portions for some days, with what to cook and to buy.

    \b
    For example:
      hobnote plan --days 7 --meals lunch,supper --energy 2200±100 --protein 140+
      hobnote plan porridge.json chilli.json --days 2 --use rice=500 --avoid nuts
    """
    from hobnote.keeping.errors import KeepingError
    from hobnote.planning.errors import PlanningError
    from hobnote.publishing.errors import PublishingError
    from hobnote.publishing.waiting import Waiting

    try:
        wishes = _wishes(days, meals, energy, protein, band, repeats, people, avoid, use, suits)
        with Waiting("Planning"):
            entries = _entries(files or [], database)
            text, events = _planned(
                entries, wishes, seconds, as_json, start.date() if start else None, calendar
            )
        if calendar is not None:
            calendar.write_bytes(events)
    except (PlanningError, PublishingError, KeepingError) as problem:
        print(f"hobnote: {problem}", file=sys.stderr)
        raise typer.Exit(2) from None
    except OSError as problem:
        print(f"hobnote: {problem.filename}: {problem.strerror}.", file=sys.stderr)
        raise typer.Exit(2) from None
    sys.stdout.buffer.write(text.encode("utf-8", "replace"))


def _wishes(
    days: int,
    meals: str,
    energy: str | None,
    protein: str | None,
    more: list[str] | None,
    repeats: int,
    people: int,
    avoid: list[str] | None,
    use: list[str] | None,
    suits: list[str] | None,
) -> Wishes:
    from hobnote.planning.errors import PlanningError
    from hobnote.planning.wishes import Wishes, band

    pairs = [
        ("energy", energy),
        ("protein", protein),
        *(_pair(text, "salt=<6") for text in more or []),
    ]
    home = {}
    for word, grams in (_pair(text, "rice=500") for text in use or []):
        try:
            home[word] = float(grams.removesuffix("g"))
        except ValueError:
            raise PlanningError(f"{grams!r} is no weight of {word}; write rice=500") from None
    suited = {}
    for meal, ids in (_pair(text, "breakfast=1,4") for text in suits or []):
        try:
            suited[meal] = frozenset(int(part) for part in ids.split(","))
        except ValueError:
            raise PlanningError(f"{ids!r} are no recipe numbers; write breakfast=1,4") from None
    return Wishes(
        days=days,
        meals=tuple(meal.strip() for meal in meals.split(",") if meal.strip()),
        bands=tuple(band(name, text) for name, text in pairs if text is not None),
        repeats=repeats,
        people=people,
        avoid=tuple(word for text in avoid or [] for word in text.split(",")),
        pantry=home,
        suits=suited,
    )


def _pair(text: str, example: str) -> tuple[str, str]:
    from hobnote.planning.errors import PlanningError

    name, sign, value = text.partition("=")
    if not sign or not name.strip() or not value.strip():
        raise PlanningError(f"{text!r} has no two sides; write it as {example}")
    return name.strip(), value.strip()


def _entries(files: list[Path], database: str | None) -> list[PlanEntry]:
    from hobnote.planning.entry import entry
    from hobnote.planning.shelf import ListShelf, StoreShelf
    from hobnote.publishing.sources import record_in

    if files:
        shelf = ListShelf.of(record_in(path) for path in files)
        named = zip(shelf.recipes(), files, strict=True)
        return [
            entry(one).model_copy(update={"title": one.record.title or path.stem})
            for one, path in named
        ]
    from hobnote.keeping.store import Store

    store = Store.open(database)
    try:
        return [entry(one) for one in StoreShelf(store).recipes()]
    finally:
        store.close()


def _planned(
    entries: list[PlanEntry],
    wishes: Wishes,
    seconds: float,
    as_json: bool,
    first: date | None,
    calendar: Path | None,
) -> tuple[str, bytes]:
    from hobnote.planning.calendar import to_calendar
    from hobnote.planning.report import plan_data, plan_text
    from hobnote.planning.shopping import shopping
    from hobnote.planning.solver import Effort, plan_week

    found = plan_week(entries, wishes, Effort(seconds=seconds))
    items = shopping(entries, found.batches, wishes.pantry)
    text = plan_text(found, wishes, items)
    if as_json:
        text = json.dumps(plan_data(found, items), ensure_ascii=False, indent=2) + "\n"
    events = to_calendar(found, first or date.today()) if calendar is not None else b""
    return text, events
