"""``hobnote food``: look a food up, and keep your own ones. Parses, calls, prints; no rules."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperGroup

from hobnote.keeping.errors import KeepingError
from hobnote.pantry.own import LabelError

if TYPE_CHECKING:
    from hobnote.keeping.foods import OwnFoods

MEASURES = ("us", "uk", "au", "metric")
_HELP = """Look into the food table, and keep your own foods.

\b
For example:
  hobnote food "double cream"
  hobnote food - --format json < names.txt
  hobnote food add "club oat bar" --label bar.txt
  hobnote food compare "club oat bar" "granola bar"
"""


class _FoodGroup(TyperGroup):
    """A first word that is no command is the name of a food to show."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        if args and args[0] not in self.commands and args[0] not in ("--help", "-h"):
            args = ["show", *args]
        return super().parse_args(ctx, args)


app = typer.Typer(
    cls=_FoodGroup,
    name="food",
    help=_HELP,
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

_Database = Annotated[
    str | None,
    typer.Option(
        "--database", metavar="URL", help="Where your foods are kept; else HOBNOTE_DATABASE."
    ),
]
_Figure = Annotated[float | None, typer.Option(min=0.0)]


def _one_of(*choices: str) -> Any:
    def check(value: str) -> str:
        if value not in choices:
            raise typer.BadParameter(f"choose one of {', '.join(choices)}.")
        return value

    return check


def _fail(problem: Exception | str) -> None:
    print(f"hobnote: {' '.join(str(problem).split())}", file=sys.stderr)
    raise typer.Exit(2)


def _store(database: str | None) -> OwnFoods:
    from hobnote.keeping.foods import OwnFoods

    return OwnFoods.open(database)


@app.command(hidden=True)
def show(
    name: Annotated[str, typer.Argument(metavar="NAME", help="A food; - reads names, one a line.")],
    format_: Annotated[
        str, typer.Option("--format", metavar="table|json", callback=_one_of("table", "json"))
    ] = "table",
    measures: Annotated[
        str,
        typer.Option(
            "--measures",
            metavar="|".join(MEASURES),
            callback=_one_of(*MEASURES),
            help="Whose names, cups and spoons.",
        ),
    ] = "uk",
    state: Annotated[
        str | None, typer.Option("--state", help="cooked, tinned, dried, frozen ...")
    ] = None,
    database: _Database = None,
) -> None:
    """Show the row that a name means, and why."""
    from hobnote.keeping.own_pantry import pantry_with_own
    from hobnote.pantry import shows

    try:
        pantry = pantry_with_own(measures, database)
    except KeepingError as problem:
        _fail(problem)
    if name == "-":
        for line in sys.stdin:
            if line.strip():
                _say(shows.line(pantry, line.strip(), state, format_))
        return
    match = pantry.match(name, state=state)
    if format_ == "json":
        _say(shows.line(pantry, name, state, format_))
    else:
        shows.table(pantry, match)
    if match.food is None:
        raise typer.Exit(1)


@app.command()
def add(
    name: Annotated[str, typer.Argument(help="What you call it.")],
    label: Annotated[
        str | None,
        typer.Option(
            "--label", metavar="FILE", help="A label, one figure a line; - is standard input."
        ),
    ] = None,
    per: Annotated[float, typer.Option("--per", help="Grams that the figures are for.")] = 100.0,
    serving: Annotated[
        float | None, typer.Option("--serving", help="Grams of one serving.")
    ] = None,
    kcal: _Figure = None,
    kj: _Figure = None,
    protein: _Figure = None,
    fat: _Figure = None,
    saturates: _Figure = None,
    carbohydrate: Annotated[
        float | None, typer.Option(min=0.0, help="Without fibre, as EU labels print it.")
    ] = None,
    total_carbohydrate: Annotated[
        float | None, typer.Option(min=0.0, help="With fibre, as American labels print it.")
    ] = None,
    sugars: _Figure = None,
    fibre: _Figure = None,
    polyols: _Figure = None,
    alcohol: _Figure = None,
    salt: Annotated[float | None, typer.Option(min=0.0, help="Grams.")] = None,
    sodium: Annotated[float | None, typer.Option(min=0.0, help="Milligrams.")] = None,
    density: Annotated[
        float | None, typer.Option("--density", help="g/ml, for labels per 100 ml.")
    ] = None,
    note: Annotated[str, typer.Option("--note", help="Where the figures come from.")] = "",
    database: _Database = None,
) -> None:
    """Keep a food of your own, from its label."""
    from hobnote.pantry.own import Label, from_label

    try:
        if label is not None:
            printed = _read(label, density)
        else:
            printed = Label(
                per=per, serving_g=serving, energy_kcal=kcal, energy_kj=kj, protein_g=protein,
                fat_g=fat, saturates_g=saturates, available_g=carbohydrate,
                carbohydrate_g=total_carbohydrate, sugars_g=sugars, fibre_g=fibre,
                polyols_g=polyols, alcohol_g=alcohol, salt_g=salt, sodium_mg=sodium,
                density_g_ml=density,
            )  # fmt: skip
        food = from_label(name, printed, note)
        new = _store(database).save(food)
    except (KeepingError, LabelError, OSError, UnicodeDecodeError) as problem:
        _fail(problem)
        return
    done = "Kept" if new else "Changed"
    _say(f"{done} {food.name}: {food.figures['energy_kcal']:.0f} kcal in 100 g.")


def _read(label: str, density: float | None) -> Any:
    from hobnote.pantry.labels import read_label

    text = sys.stdin.read() if label == "-" else Path(label).read_text("utf-8")
    return read_label(text, density)


@app.command()
def edit(
    name: Annotated[str, typer.Argument(help="One of your foods.")],
    figures: Annotated[
        list[str],
        typer.Argument(metavar="KEY=VALUE...", help="Such as fat=7.2, kcal=365 or serving=30."),
    ],
    database: _Database = None,
) -> None:
    """Change figures (per 100 g) of one of your foods; an empty value forgets the figure."""
    from hobnote.pantry.exchange import changed

    try:
        store = _store(database)
        food = changed(store.get(name), figures)
        store.save(food)
    except (KeepingError, LabelError) as problem:
        _fail(problem)
        return
    _say(f"Changed {food.name}: {food.figures['energy_kcal']:.0f} kcal in 100 g.")


@app.command("list")
def list_(database: _Database = None) -> None:
    """List your foods."""
    try:
        foods = list(_store(database))
    except KeepingError as problem:
        _fail(problem)
        return
    for food in foods:
        _say(f"{food.name}: {food.figures['energy_kcal']:.0f} kcal in 100 g")
    if not foods:
        _say("You have no foods of your own yet; 'hobnote food add' keeps one.")


@app.command()
def remove(
    name: Annotated[str, typer.Argument(help="One of your foods.")], database: _Database = None
) -> None:
    """Forget one of your foods."""
    try:
        _store(database).remove(name)
    except KeepingError as problem:
        _fail(problem)
    _say(f"Removed {name}.")


@app.command("import")
def import_(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="CSV as export writes it; - reads standard input.")
    ],
    database: _Database = None,
) -> None:
    """Keep every food of a CSV file; nothing is kept when a row is wrong."""
    from hobnote.pantry.exchange import read_csv

    try:
        text = sys.stdin.read() if file == "-" else Path(file).read_text("utf-8-sig")
        foods = read_csv(text)
        store = _store(database)
        for food in foods:
            store.save(food)
    except (KeepingError, LabelError, OSError, UnicodeDecodeError) as problem:
        _fail(problem)
        return
    _say(f"Kept {len(foods)} food{'' if len(foods) == 1 else 's'}.")


@app.command()
def export(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="Where to write; - is standard output.")
    ] = "-",
    database: _Database = None,
) -> None:
    """Write your foods as CSV."""
    from hobnote.pantry.exchange import write_csv

    try:
        text = write_csv(list(_store(database)))
        if file == "-":
            _say(text, end="")
        else:
            Path(file).write_text(text, "utf-8")
    except (KeepingError, OSError) as problem:
        _fail(problem)


@app.command()
def compare(
    name: Annotated[str, typer.Argument(help="One of your foods.")],
    other: Annotated[
        str | None, typer.Argument(help="A food of the table; the same name if left out.")
    ] = None,
    database: _Database = None,
) -> None:
    """Put one of your foods beside the table's row."""
    from hobnote.pantry import open_pantry, shows

    try:
        own = _store(database).get(name).as_food()
    except KeepingError as problem:
        _fail(problem)
        return
    match = open_pantry("uk").match(other or name)
    if match.food is None:
        _fail(f"the table has nothing like '{other or name}'; name a food to compare with.")
        return
    shows.side_by_side(own, match)


def _say(text: str, end: str = "\n") -> None:
    """UTF-8 on standard output, whatever the locale says."""
    if hasattr(sys.stdout, "buffer"):
        sys.stdout.flush()
        sys.stdout.buffer.write((text + end).encode("utf-8", "replace"))
        sys.stdout.buffer.flush()
    else:
        sys.stdout.write(text + end)
