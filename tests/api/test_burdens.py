"""What is too much, or no note at all, is answered clearly by a process that stays small.

``HOBNOTE_LONGEST=1`` also reads the longest note that is taken, some half a minute; ``-s``
prints the figures.
"""

from __future__ import annotations

import gzip
import http.client
import io
import json
import os
import re
import subprocess
import sys
import time
import uuid
import zipfile
from pathlib import Path

import pytest

MOST_MB = 1_000
STATUS = Path("/proc/self/status")
pytestmark = pytest.mark.skipif(not STATUS.exists(), reason="peak memory is read from /proc")


class Served:
    """A service in a process of its own."""

    def __init__(self, database: Path) -> None:
        command = [sys.executable, "-m", "hobnote.cli", "serve", "--port", "0", "--rate", "0"]
        self.process = subprocess.Popen(
            [*command, "--database", str(database)],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        assert self.process.stdout is not None
        found = re.search(r":(\d+)/", self.process.stdout.readline())
        assert found is not None
        self.port = int(found[1])

    def post(self, path: str, body: bytes, kind: str, **headers: str) -> tuple[int, bytes]:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)
        connection.request("POST", path, body, {"Content-Type": kind, **headers})
        answer = connection.getresponse()
        return answer.status, answer.read()

    def peak_mb(self) -> float:
        text = Path(f"/proc/{self.process.pid}/status").read_text(encoding="ascii")
        found = re.search(r"VmHWM:\s+(\d+)", text)
        assert found is not None
        return int(found[1]) / 1024


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    served = Served(tmp_path_factory.mktemp("burdens") / "recipes.sqlite3")
    yield served
    served.process.terminate()
    served.process.wait(20)


def _zip() -> bytes:
    """Fifty million zeros in fifty thousand bytes."""
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("note.txt", "0" * 50_000_000)
    return whole.getvalue()


def _form(data: bytes, name: str = "note.txt") -> tuple[bytes, str]:
    """A file as a browser sends it."""
    edge = uuid.uuid4().hex
    head = f'--{edge}\r\nContent-Disposition: form-data; name="file"; filename="{name}"\r\n\r\n'
    return (
        head.encode() + data + f"\r\n--{edge}--\r\n".encode(),
        f"multipart/form-data; boundary={edge}",
    )


WORDS = ("stir 20 g butter into 80 g oats for three minutes and " * 20_000).split()[:200_000]
BURDENS = {
    "10 MB": (b"stir 20 g oats. " * 650_000, "text/plain", {}, 413),
    "200,000 words": (" ".join(WORDS).encode(), "text/plain", {}, 413),
    "zip bomb": (_zip(), "application/octet-stream", {}, 422),
    "gzip bomb": (
        gzip.compress(b"0" * 50_000_000),
        "text/plain",
        {"Content-Encoding": "gzip"},
        415,
    ),
    "broken UTF-8": (b"90 g oats \x81\x8d\xff", "text/plain", {}, 422),
    "JSON 30 deep": (b'{"text":' * 30 + b"1" + b"}" * 30, "application/json", {}, 422),
    "JSON a million deep": (b"[" * 1_000_000, "application/json", {}, 422),
}


@pytest.mark.parametrize("name", BURDENS)
def test_one_clear_sentence(served, name):
    body, kind, headers, expected = BURDENS[name]
    status, text = served.post("/v1/recipes", body, kind, **headers)
    print(f"{name}: {status}, peak {served.peak_mb():.0f} MB")
    assert status == expected
    problem = json.loads(text)
    assert problem["status"] == expected and 10 < len(problem["detail"]) < 300
    assert "Traceback" not in problem["detail"] and "/" not in problem["detail"]
    assert served.peak_mb() < MOST_MB


@pytest.mark.parametrize("name", ["10 MB", "200,000 words", "zip bomb", "broken UTF-8"])
def test_the_same_from_the_page(served, name):
    body, kind = _form(BURDENS[name][0])
    status, text = served.post("/recipes", body, kind, Accept="text/html")
    assert status in (413, 422)
    assert b"<h1" in text and b"Traceback" not in text
    assert served.peak_mb() < MOST_MB


def test_it_still_works_and_stays_small(served):
    status, text = served.post("/v1/recipes", b"90 g oats, stirred", "text/plain")
    assert status == 201 and json.loads(text)["record"]["components"][0]["ingredients"]
    if os.environ.get("HOBNOTE_LONGEST"):
        began = time.perf_counter()
        longest = (" ".join(WORDS))[:200_000].encode()
        status, _ = served.post("/v1/recipes", longest, "text/plain", Prefer="respond-async")
        assert status == 202
        status, _ = served.post("/v1/recipes", longest, "text/plain")
        print(f"the longest note, twice: {time.perf_counter() - began:.0f} s")
    print(f"peak {served.peak_mb():.0f} MB")
    assert served.peak_mb() < MOST_MB
