"""Kitchen names: what cooks call foods, in which dialect, and which rows they mean.

The files of ``data/names/`` hold one food a line. ``rows`` names the composition rows: the
first for the food as it is added, then ``state:id`` for other states and ``alt:id`` for what
else a generic name may mean. ``also`` lists other ways to say it; ``same`` lists other words
for it that keep their own name (zucchini, courgette).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from hobnote.pantry.tables import DATA, lines, split
from hobnote.pantry.words import kind, pluralised, singular, singularised, tokens

LOCALES = ("us", "uk", "au", "metric")
_FLAGS = frozenset({"generic", "approx", "far", "pl", "alt", "bare"})
# Names such as "leg of lamb" keep their "of"; "tin of tuna" is an amount and a food.
_OF = " of "


@dataclass(frozen=True, slots=True, eq=False)
class NameRow:
    """One food as cooks name it. ``tags`` are its classes; ``file`` is the aisle it is in."""

    name: str
    first: str
    states: Mapping[str, str]
    alternatives: tuple[str, ...]
    tags: frozenset[str]
    file: str
    where: frozenset[str]
    note: str
    generic: bool
    approximate: bool
    keeps_plural: bool
    bare: bool
    surfaces: tuple[str, ...]
    own_names: frozenset[str]
    kin: str = ""  # what it shares with the same food of another fat content
    fat: float | None = None  # grams in 100 g, by which those are told apart


def _row(cells: list[str], file: str) -> NameRow:
    name, rows, tags, also, same, where, note = cells
    first, *others = rows.split()
    pairs = [other.split(":", 1) for other in others]
    marks = tags.split()
    own = [name, *(same.split("|") if same else ())]
    return NameRow(
        name=name,
        first=first,
        states={state: food for state, food in pairs if state != "alt"},
        alternatives=tuple(food for state, food in pairs if state == "alt"),
        tags=frozenset(m for m in marks if not m.startswith(("kin-", "fat-"))) - _FLAGS,
        file=file,
        where=frozenset(where.split()),
        note=note,
        generic="generic" in marks,
        approximate="approx" in marks,
        keeps_plural="pl" in marks,
        bare="bare" in marks,
        surfaces=(*own, *(also.split("|") if also else ())),
        own_names=frozenset(own),
        kin=next((m[4:] for m in marks if m.startswith("kin-")), ""),
        fat=next((float(m[4:]) for m in marks if m.startswith("fat-")), None),
    )


def all_rows() -> Iterator[NameRow]:
    """Every line of every names file, all locales."""
    for path in sorted((DATA / "names").glob("*.csv")):
        for line in lines(f"names/{path.name}")[1:]:
            yield _row(split(line), path.stem)


class Names:
    """The names that hold in one locale, and the indexes over them."""

    def __init__(self, locale: str) -> None:
        self.locale = locale
        self.exact: dict[str, NameRow] = {}
        self.by_name: dict[str, NameRow] = {}
        self.by_food: dict[str, NameRow] = {}
        rows = [row for row in all_rows() if not row.where or locale in row.where]
        # A name that is given for this locale wins over the same name given for all.
        rows.sort(key=lambda row: not row.where)
        for row in rows:
            self.by_name.setdefault(row.name, row)
            self.by_food.setdefault(row.first, row)
            for surface in row.own_names:
                self.exact.setdefault(surface, row)
        for row in rows:
            for surface in row.surfaces:
                self.exact.setdefault(surface, row)

    @cached_property
    def by_tokens(self) -> dict[tuple[str, ...], NameRow]:
        """Names by their words, in order."""
        out: dict[tuple[str, ...], NameRow] = {}
        for surface, row in self.exact.items():
            out.setdefault(tokens(surface), row)
        return out

    @cached_property
    def by_bag(self) -> dict[tuple[str, ...], NameRow]:
        """Names by their words, in any order and without small words."""
        out: dict[tuple[str, ...], NameRow] = {}
        for words, row in self.by_tokens.items():
            out.setdefault(bag(words), row)
        return out

    def nearest_in_fat(self, row: NameRow, fat: float) -> NameRow | None:
        """The food of the same kin whose fat content is nearest; None when it has no kin."""
        kin = [r for r in self.by_name.values() if r.kin and r.kin == row.kin and r.fat is not None]
        return min(kin, key=lambda r: abs((r.fat or 0) - fat), default=None)

    @cached_property
    def words(self) -> frozenset[str]:
        """Every word that stands in a name."""
        return frozenset(word for words in self.by_tokens for word in words)

    @cached_property
    def single_words(self) -> frozenset[str]:
        """Words that are by themselves the name of a food."""
        return frozenset(words[0] for words in self.by_tokens if len(words) == 1)

    @cached_property
    def forms(self) -> dict[str, NameRow]:
        """Every surface form, singular and plural, with the line that it comes from."""
        out = dict(self.exact)
        for surface, row in self.exact.items():
            one = singularised(surface)
            out.setdefault(one, row)
            out.setdefault(pluralised(one), row)
        return out

    @cached_property
    def vocabulary(self) -> dict[str, str]:
        """Surface form -> canonical name, singular and plural; see ``Pantry.vocabulary``."""
        trim = kind("prep").keys() | {"tinned", "canned", "jarred"}
        trim |= {"hot", "cold", "warm", "boiling", "lukewarm", "tepid", "iced", "kettle"}
        containers, sizes = kind("container"), kind("size")
        names: dict[str, str] = {}
        for surface, row in self.exact.items():
            if row.bare:
                continue
            head, _, rest = surface.partition(" ")
            if rest and _is_amount(surface, head, rest, containers, sizes, self.exact):
                continue
            name = surface if row.keeps_plural else singularised(surface)
            if surface not in row.own_names and rest:
                name = self._trimmed(name, row, trim)
            if self.forms.get(name) is not row:  # "peppers" are not "pepper"
                name = row.name
            names[surface] = name
        out = dict(names)  # what is written down wins over plurals that are only derived
        for surface, name in names.items():
            one = singularised(surface)
            if not self.exact[surface].keeps_plural:  # "chops" are food, "chop" is a thing to do
                out.setdefault(one, name)
            out.setdefault(pluralised(one), name)
        return out

    def _trimmed(self, name: str, row: NameRow, words: set[str]) -> str:
        """The name without leading preparations, as long as it still means this food."""
        head, _, rest = name.partition(" ")
        while rest and head in words and kind("state").get(head) not in row.states:
            known = self.exact.get(rest) or self.exact.get(pluralised(rest))
            if known is None or known.first != row.first:
                break
            name = rest
            head, _, rest = name.partition(" ")
        return name


def bag(words: Iterable[str]) -> tuple[str, ...]:
    """Words in a fixed order. "In" and "with" stay: pineapple in juice is no pineapple juice."""
    return tuple(sorted(w for w in words if w not in ("of", "the", "a", "an", "and")))


def _is_amount(
    surface: str,
    head: str,
    rest: str,
    containers: Mapping[str, str],
    sizes: Mapping[str, str],
    known: Mapping[str, NameRow],
) -> bool:
    """Whether a surface form begins with words that belong to the amount, not the name."""
    if head in sizes and head not in ("baby", "mini", "jumbo", "little"):
        return rest in known
    if _OF in surface:
        before = surface[: surface.index(_OF)].split()
        units = {"juice", "zest", "spray", "shot", "strand", "stem", "bit", "glass", "leaf"}
        return singular(before[-1]) in units or before[-1] in containers
    return head == "half" and rest in known
