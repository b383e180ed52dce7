"""Write down a store of the newest layout, as NNNN.sql beside this file.

    python tests/keeping/data/make.py

Run it once when a migration is added, and never again for that layout: what an older
Hobnote kept must stay as that one wrote it. ``test_upgrade.py`` reads them all.
"""

from __future__ import annotations

import sqlite3
import tempfile
from pathlib import Path

from hobnote.asking.conversation import Conversation
from hobnote.keeping.migrate import HEAD
from hobnote.keeping.store import Store
from hobnote.keeping.turns import Draft

NOTE = (
    "Crew breakfast for four. Two cups of oats, a glug of honey, 800 ml milk. Simmer it on low "
    "heat for 5 minutes. Add a pinch of salt. Then berries, 200 g, no, 250."
)
MESSAGES = ["a tablespoon", "undo", "add 10 g of butter", "what's the protein?", "redo"]


def fill(url: str) -> None:
    """A conversation, a recipe that was read in a batch, and what else is kept."""
    store = Store.open(url)
    talk = Conversation.start(NOTE, store, who="cook", measures="uk")
    for message in MESSAGES:
        talk.say(message, who="cox")
    store.create(Draft("said", "Tea."), title=None, warnings=["there is little to read"])
    # Imported here: the programs that kept the older layouts did not have all of these.
    if HEAD >= "0002":
        from hobnote.keeping.foods import OwnFoods
        from hobnote.pantry.own import OwnFood

        OwnFoods(store.engine).save(
            OwnFood(name="club bar", figures={"energy_kcal": 412.5, "fat_g": 14.0}, serving_g=40.0)
        )
    if HEAD >= "0003":
        from hobnote.keeping.store import Once
        from hobnote.keeping.tokens import Tokens

        Tokens(store.engine).create("planner", "read")
        store.create(Draft("said", "Toast."), once=Once("k" * 64, "d" * 64))
    store.close()


if __name__ == "__main__":
    target = Path(__file__).with_name(f"{HEAD}.sql")
    if target.exists():
        raise SystemExit(f"{target} is there already.")
    with tempfile.TemporaryDirectory() as folder:
        file = f"{folder}/recipes.sqlite3"
        fill(file)
        kept = sqlite3.connect(file)
        target.write_text("\n".join(kept.iterdump()) + "\n", encoding="utf-8")
