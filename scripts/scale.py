"""What many notes cost: measures, reckons, and writes docs/scale.md.

    python scripts/scale.py [--write] [--only PART ...]

HOBNOTE_TEST_POSTGRES names an empty PostgreSQL database for the store's part;
without one its lines are left out. Needs hobnote[dask,batch].
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import scale_parts

import bench

PAGE = bench.ROOT / "docs" / "scale.md"
PARTS = ("reading", "writing", "memory", "cluster", "store")
MILLION = 1_000_000
CORES = 8
"""Cores of one machine in the reckoning."""
MACHINES = (1, 4, 16, 64)
LOSS = 0.1
"""What is taken off for more than one process on a machine: caches and memory are shared."""


@dataclass(frozen=True)
class Costs:
    """What follows from the figures, in seconds a note and notes a second."""

    read: float
    gather: float
    gather_parquet: float
    gather_store: float
    scheduler: float

    @classmethod
    def of(cls, found: dict[str, Any]) -> Costs:
        """From the parts' figures."""
        back = found["cluster"]["unpacking"] + found["cluster"]["gathering"]
        return cls(found["reading"]["seconds"], back + found["writing"]["ndjson"],
                   back + found["writing"]["parquet"], back + found["writing"]["store"],
                   found["cluster"]["scheduler"])  # fmt: skip

    def rate(self, machines: int, gather: float) -> float:
        """Notes a second on so many machines: the slowest of reading, gathering, scheduling."""
        return min(machines * CORES * (1 - LOSS) / self.read, 1 / gather, 1 / self.scheduler)


def hours(seconds: float) -> str:
    """A span in words."""
    return f"{seconds / 60:.0f} min" if seconds < 5400 else f"{seconds / 3600:.1f} h"


def size(count: float) -> str:
    """Bytes in words."""
    for unit, step in (("GB", 1e9), ("MB", 1e6), ("kB", 1e3)):
        if count >= step:
            return f"{count / step:,.3g} {unit}"
    return f"{count:.0f} B"


def table(*rows: tuple[str, ...]) -> str:
    """Rows as a Markdown table; the first is its head."""
    lines = [rows[0], tuple("---" for _ in rows[0]), *rows[1:]]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in lines)


def note_table(found: dict[str, Any]) -> str:
    """What one note costs."""
    r, w, c = found["reading"], found["writing"], found["cluster"]
    of_read = [f"{100 * x / r['seconds']:.1f} %" for x in
               (w["ndjson"], w["parquet"], w["folder"], w["store"],
                c["unpacking"] + c["gathering"], c["scheduler"])]  # fmt: skip
    return table(
        ("What", "One note", "Beside reading it", "A million notes"),
        ("reading, one core", f"{r['seconds'] * 1e3:.0f} ms ({1 / r['seconds']:.0f} a second)",
         "100 %", f"{r['seconds'] * MILLION / 3600:.1f} core hours"),
        ("the note", size(r["note"]), "", size(r["note"] * MILLION)),
        ("its record as JSON", size(r["record"]), "", size(r["record"] * MILLION)),
        ("the same as it comes back from a cluster", size(r["packed"]), "",
         size(r["packed"] * MILLION)),
        ("written to NDJSON", size(w["ndjson bytes"]), of_read[0],
         size(w["ndjson bytes"] * MILLION)),
        ("written to Parquet", size(w["parquet bytes"]), of_read[1],
         size(w["parquet bytes"] * MILLION)),
        ("written to a folder, a file a note", size(w["folder bytes"]), of_read[2],
         size(w["folder bytes"] * MILLION)),
        ("kept in the store (SQLite)", size(w["store bytes"]), of_read[3],
         size(w["store bytes"] * MILLION)),
        ("gathered from a cluster", "", of_read[4], ""),
        ("the scheduler's part", "", of_read[5], ""),
        ("remembered by the process that runs the batch", size(found["memory"]["known"]), "",
         size(found["memory"]["known"] * MILLION)),
    )  # fmt: skip


def machine_table(costs: Costs) -> str:
    """A million notes on n machines."""
    rows = [
        (str(n), f"{n * CORES}", f"{costs.rate(n, costs.gather):,.0f}",
         *(hours(MILLION / costs.rate(n, gather))
           for gather in (costs.gather, costs.gather_parquet, costs.gather_store)))
        for n in MACHINES
    ]  # fmt: skip
    return table(("Machines", "Cores", "Notes a second (NDJSON)", "To NDJSON",
                  "To Parquet", "To the store"), *rows)  # fmt: skip


def store_table(found: dict[str, Any]) -> str:
    """Writers at once."""
    names = ("SQLite", "PostgreSQL")
    rows = [
        (names[int(r["server"])], f"{r['clients']:.0f}", f"{r['writes']:,.0f}",
         f"{r['p50'] * 1e3:.1f} ms", f"{r['p99'] * 1e3:.0f} ms", size(r["recipe"]))
        for r in found["store"]
    ]  # fmt: skip
    return table(("Store", "Writers at once", "Messages kept a second", "Middle wait",
                  "One in a hundred waits", "A recipe takes"), *rows)  # fmt: skip


def ends(found: dict[str, Any], server: int) -> tuple[float, float, float]:
    """Writes a second of the fewest and of the most writers, and the latter's longest wait."""
    rows = [r for r in found["store"] if r["server"] == server]
    return rows[0]["writes"], rows[-1]["writes"], rows[-1]["p99"]


def page(found: dict[str, Any]) -> str:
    """The whole of docs/scale.md."""
    costs, r = Costs.of(found), found["reading"]
    limit, limit_store = 1 / costs.gather, 1 / costs.gather_store
    one = (1 - LOSS) / costs.read
    wire = r["note"] + r["packed"]
    decade = 11_000 * costs.read / (1 - LOSS)
    lite = ends(found, 0)
    servers = ""
    if any(x["server"] == 1 for x in found["store"]):
        post = ends(found, 1)
        servers = (
            f" With as many writers PostgreSQL keeps {post[1] / lite[1]:.1f} times as many "
            f"messages a second as SQLite; the one in a hundred that waits longest waits "
            f"{post[2] / lite[2]:.2f} times as long."
        )
    return f"""# Many notes

What a million notes cost on n machines, reckoned from figures that `make scale` measured on
{bench.machine()}. Ratios carry over to other machines, seconds do not.

## One note

A note of the corpus has {r['words']:.0f} words on average, {r['words'] / 150:.1f} minutes of talk
at 150 words a minute. Times are processor time of one thread, over {r['notes']:.0f} notes that the
process has not seen.

{note_table(found)}

A reading process takes {r['memory']:.0f} MB and does not grow (`make soak`). With
{CORES} of them on {CORES} cores a machine needs {r['memory'] * CORES / 1e3:.1f} GB.

## A million notes

Machines of {CORES} such cores; {LOSS:.0%} is taken off because processes on one machine share
caches and memory. So n machines read n × {CORES} × {1 - LOSS:.1f} ÷ {costs.read * 1e3:.0f} ms
notes a second, until the one process that gathers records and writes them is busy all the time.

{machine_table(costs)}

- That process needs {100 * costs.gather / costs.read:.1f} % of a note's reading for each note: it
  keeps {limit / one:.0f} cores busy with NDJSON, {limit_store / one:.0f} with the store and
  {1 / costs.gather_parquet / one:.0f} with Parquet (parts as they come; a single file on the disk
  is made at the end). Beyond that, more machines do not help one batch; two batches over halves
  of the notes do, since nothing is shared between them.
- The scheduler gets {found['cluster']['together']:.0f} notes a task and could serve
  {1 / costs.scheduler / one:,.0f} cores.
- Over the network go {size(wire)} a note, {size(wire * limit)} a second at most.
- Someone with ten years of recordings, three a day, has 11,000 notes: {hours(decade / CORES)}
  on one machine of {CORES} cores, {hours(decade / 2)} on two cores.

## The store

Writers are processes, each adding messages to a recipe of its own; a message is on the disk when
it is acknowledged.

{store_table(found)}

SQLite lets one writer in at a time: {scale_parts.CLIENTS[-1]} writers together keep
{lite[1] / lite[0]:.1f} times what one keeps, and the rest is waiting.{servers} A cook
says a message in some ten seconds, so {lite[1]:,.0f} messages a second are
{lite[1] * 10:,.0f} cooks talking at once: for one club, and for one process that serves it, SQLite
is enough. The store moves to PostgreSQL (`--database postgresql+psycopg://…`, the same
migrations) when

- more than one machine serves or writes, since SQLite's file belongs on a disk of the machine
  that opens it, never on a network share; or
- messages wait: more than some {lite[1] / 4:,.0f} a second, a quarter of what SQLite can keep; or
- a standby that takes over, or the state of any past minute, is wanted: those are the server's.

`hobnote backup` and `hobnote restore` carry everything over.

## What breaks first

1. **The folder output.** A million files in one folder are slow to list and to copy long before
   anything here is. Take NDJSON or Parquet beyond some ten thousand notes.
2. **The process that gathers**, at some {limit / one:.0f} cores. Nothing is lost: the rest of the
   cluster waits.
3. **Taking up a batch of many millions.** The journal is read as a whole; each note known takes
   {size(found['memory']['known'])} for as long as the batch runs and some six times that while
   it is read.
4. **SQLite**, by waiting and not by failing: a writer that waits for more than its time is
   refused in one sentence and has lost nothing that was acknowledged.
5. **Single files elsewhere.** A file that is fetched by itself costs a round trip; sixteen are
   fetched at once. Put small notes into archives of some thousand.

A worker that dies costs what it had in hand, a machine that dies what its workers had in hand; the
machine that runs the batch is taken up by the same command, and loses at most what was not yet in
the journal.
"""


def measured(name: str) -> Any:
    """One part's figures, from a fresh process."""
    done = subprocess.run(
        [sys.executable, "-W", "ignore", str(Path(__file__)), "--part", name],
        stdout=subprocess.PIPE, check=True, cwd=bench.ROOT,
    )  # fmt: skip
    return json.loads(done.stdout.splitlines()[-1])


def main() -> None:
    """Measure, print, write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--write", action="store_true", help="renew docs/scale.md")
    parser.add_argument("--only", nargs="+", choices=PARTS, help="print the figures of some parts")
    parser.add_argument("--part", choices=PARTS, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.part:
        print(json.dumps(getattr(scale_parts, asked.part)()))
        return
    found = {}
    for name in asked.only or PARTS:
        print(f"{name} …", file=sys.stderr, flush=True)
        found[name] = measured(name)
        if asked.only:
            print(json.dumps(found[name], indent=1))
    if asked.only:
        return
    text = page(found)
    print(text)
    if asked.write:
        PAGE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
