"""The store: recipes and their logs. Every write is on the disk before the call returns."""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import nullcontext
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, Engine, insert, select, update
from sqlalchemy.exc import IntegrityError

from hobnote.following.events import EVENTS
from hobnote.keeping.engine import open_engine, reading, writing
from hobnote.keeping.errors import AlreadyMade, KeepingError, NoSuchRecipe, StaleRecipe
from hobnote.keeping.faults import Unreadable
from hobnote.keeping.migrate import migrate
from hobnote.keeping.own_pantry import OwnPantries
from hobnote.keeping.schema import creations, recipes, turns
from hobnote.keeping.turns import Draft, Turn

if TYPE_CHECKING:
    from hobnote.pantry.pantry import Pantry


@dataclass(frozen=True, slots=True)
class Kept:
    """A recipe as the list shows it. Times are UTC; ``version`` is its last turn's."""

    id: int
    title: str | None
    measures: str | None
    warnings: tuple[str, ...]
    version: int
    created: datetime
    changed: datetime


@dataclass(frozen=True, slots=True)
class Once:
    """Names a request that may be sent twice: digests of its key and of its body."""

    key: str
    digest: str


@dataclass(frozen=True, slots=True)
class Append:
    """A turn for a recipe whose last seen version is ``after``; ``title`` is its new one."""

    recipe: int
    draft: Draft
    after: int
    title: str | None = None


class Store:
    """Recipes in a database. Safe for several processes at once."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        migrate(engine)
        self.pantries = OwnPantries(engine)

    @classmethod
    def open(cls, url: str | None = None) -> Store:
        """The store at ``url`` (default: ``HOBNOTE_DATABASE``, else the user's data folder).

        Raises :class:`~hobnote.keeping.errors.KeepingError`, one clear sentence.
        """
        return cls(open_engine(url))

    def pantry(self, measures: str = "us") -> Pantry:
        """The pantry of a locale with the own foods that are kept here now."""
        return self.pantries(measures)

    def close(self) -> None:
        """Let go of the connections."""
        self.engine.dispose()

    def create(
        self,
        first: Draft,
        *,
        title: str | None = None,
        measures: str | None = None,
        warnings: Sequence[str] = (),
        once: Once | None = None,
    ) -> int:
        """A new recipe with its first turn; gives its number.

        Raises :class:`AlreadyMade` where a recipe was made ``once`` before.
        """
        try:
            return self._create(first, title, measures, warnings, once)
        except IntegrityError:
            made = None if once is None else self.made(once)
            if made is None:
                raise
            raise AlreadyMade(made) from None

    def made(self, once: Once) -> int | None:
        """The recipe that this request made. Raises ValueError where the key had another body."""
        with reading(self.engine) as connection:
            query = select(creations).where(creations.c.key == once.key)
            row = connection.execute(query).first()
        if row is None:
            return None
        if row.digest != once.digest:
            raise ValueError("this key was used for another note")
        return int(row.recipe)

    def _create(
        self,
        first: Draft,
        title: str | None,
        measures: str | None,
        warnings: Sequence[str],
        once: Once | None,
    ) -> int:
        now = datetime.now(UTC).isoformat()
        with writing(self.engine) as connection:
            made = connection.execute(
                insert(recipes).values(
                    title=title,
                    measures=measures,
                    warnings=json.dumps(list(warnings)),
                    version=1,
                    created=now,
                    changed=now,
                )
            )
            recipe = int((made.inserted_primary_key or (0,))[0])
            _insert(connection, recipe, Turn.of(first, 1))
            if once is not None:
                connection.execute(
                    insert(creations).values(key=once.key, digest=once.digest, recipe=recipe)
                )
        return recipe

    def append(
        self, recipe: int, draft: Draft, *, after: int, title: str | None = None
    ) -> Turn:
        """Add a turn to a recipe whose last seen version is ``after``.

        Raises :class:`StaleRecipe` with the turns that came in between, and
        :class:`NoSuchRecipe`; in both cases nothing is written.
        """
        [found] = self.append_all([Append(recipe, draft, after, title)])
        if isinstance(found, KeepingError):
            raise found
        return found

    def append_all(self, wanted: Sequence[Append]) -> list[Turn | KeepingError]:
        """Turns of several recipes, on the disk together; for each its turn, or why there is none.

        One disk write serves them all. What cannot be appended stops no other.
        """
        found: dict[int, Turn | KeepingError] = {}
        # SQLite's writer is alone from the first: what fails there is the disk, and fails for all.
        apart = self.engine.dialect.name != "sqlite"
        with writing(self.engine) as connection:
            # In order, so that two processes never wait for each other's recipes.
            for place, one in sorted(enumerate(wanted), key=lambda item: item[1].recipe):
                try:
                    with connection.begin_nested() if apart else nullcontext():
                        found[place] = _append(connection, one)
                except (StaleRecipe, NoSuchRecipe) as problem:
                    found[place] = problem
                except IntegrityError:
                    if not apart:
                        raise
                    # The unique version says who came first.
                    since = _turns(connection, one.recipe, one.after)
                    found[place] = StaleRecipe(one.recipe, since)
        return [found[place] for place in range(len(wanted))]

    def turns(self, recipe: int, after: int = 0) -> list[Turn]:
        """The log of a recipe from version ``after`` + 1 on."""
        with reading(self.engine) as connection:
            found = connection.execute(
                select(recipes.c.version).where(recipes.c.id == recipe)
            ).scalar()
            if found is None:
                raise NoSuchRecipe(recipe)
            return _turns(connection, recipe, after) if found > after else []

    def find(self, recipe: int) -> Kept:
        """One recipe's entry; raises :class:`NoSuchRecipe`."""
        with reading(self.engine) as connection:
            return _kept(connection, recipe)

    def begun_with(self, text: str) -> int | None:
        """The latest recipe whose first turn is this text; None if there is none."""
        with reading(self.engine) as connection:
            found = connection.execute(
                select(turns.c.recipe)
                .where(turns.c.version == 1, turns.c.text == text)
                .order_by(turns.c.recipe.desc())
            ).first()
        return None if found is None else int(found.recipe)

    def list(self) -> list[Kept]:
        """Every recipe, the one changed last first."""
        with reading(self.engine) as connection:
            found = connection.execute(
                select(recipes).order_by(recipes.c.changed.desc(), recipes.c.id.desc())
            )
            return [entry(row) for row in found]


def _append(connection: Connection, wanted: Append) -> Turn:
    recipe, turn = wanted.recipe, Turn.of(wanted.draft, wanted.after + 1)
    row = connection.execute(select(recipes.c.version).where(recipes.c.id == recipe)).first()
    if row is None:
        raise NoSuchRecipe(recipe)
    if row.version != wanted.after:
        raise StaleRecipe(recipe, _turns(connection, recipe, wanted.after))
    _insert(connection, recipe, turn)
    connection.execute(
        update(recipes)
        .where(recipes.c.id == recipe)
        .values(version=turn.version, changed=turn.at.isoformat(), title=wanted.title)
    )
    return turn


def _insert(connection: Connection, recipe: int, turn: Turn) -> None:
    connection.execute(
        insert(turns).values(
            recipe=recipe,
            version=turn.version,
            kind=turn.kind,
            who=turn.who,
            at=turn.at.isoformat(),
            count=turn.count,
            text=turn.text,
            events=EVENTS.dump_json(list(turn.events), exclude_defaults=False).decode(),
            reply=json.dumps(list(turn.reply), ensure_ascii=False),
        )
    )


def _turns(connection: Connection, recipe: int, after: int) -> list[Turn]:
    found = connection.execute(
        select(turns)
        .where(turns.c.recipe == recipe, turns.c.version > after)
        .order_by(turns.c.version)
    )
    return [_turn(row) for row in found]


def _turn(row: Any) -> Turn:
    try:
        return Turn(
            version=row.version,
            kind=row.kind,
            text=row.text,
            events=tuple(EVENTS.validate_json(row.events)),
            who=row.who,
            count=row._mapping[turns.c.count],
            at=datetime.fromisoformat(row.at),
            reply=tuple(json.loads(row.reply)),
        )
    except (ValueError, TypeError):  # never its words: they are the cook's
        raise Unreadable(
            f"message {row.version} of recipe {row.recipe} cannot be read back"
        ) from None


def _kept(connection: Connection, recipe: int) -> Kept:
    row = connection.execute(select(recipes).where(recipes.c.id == recipe)).first()
    if row is None:
        raise NoSuchRecipe(recipe)
    return entry(row)


def entry(row: Any) -> Kept:
    """A row of the table of recipes. Raises Unreadable."""
    try:
        return Kept(
            id=row.id,
            title=row.title,
            measures=row.measures,
            warnings=tuple(json.loads(row.warnings)),
            version=row.version,
            created=datetime.fromisoformat(row.created),
            changed=datetime.fromisoformat(row.changed),
        )
    except (ValueError, TypeError):
        raise Unreadable(f"the entry of recipe {row.id} cannot be read back") from None
