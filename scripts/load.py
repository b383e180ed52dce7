"""Many clients writing at once: is anything lost, and how long do they wait?

    python scripts/load.py [--clients 50] [--seconds 30] [--recipes 10]

Starts ``hobnote serve`` on a new database and lets the clients say things about
the recipes. Every message that was acknowledged must be in the log afterwards,
once. Beside it stands the same client at a bare FastAPI that says hello.
"""

from __future__ import annotations

import argparse
import http.client
import json
import re
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path

HELLO = """
import sys, uvicorn
from fastapi import FastAPI
app = FastAPI()
@app.post("/hello")
async def hello() -> dict[str, str]:
    return {"hello": "galley"}
config = uvicorn.Config(app, host="127.0.0.1", port=0, log_level="error", access_log=False)
server = uvicorn.Server(config)
import socket
door = socket.socket(); door.bind(("127.0.0.1", 0)); door.listen(512)
print(f"http://127.0.0.1:{door.getsockname()[1]}/", flush=True)
server.run(sockets=[door])
"""
NOTE = "Porridge for four. 160 g oats, 800 ml milk, a pinch of salt. Simmer it for 6 minutes."


class Client:
    """One caller with a connection that it keeps."""

    def __init__(self, port: int, name: str) -> None:
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
        self.name = name
        self.waits: list[float] = []
        self.statuses: Counter[int] = Counter()
        self.said: list[str] = []

    def post(self, path: str, body: object) -> tuple[int, bytes]:
        data = json.dumps(body)
        began = time.perf_counter()
        self.connection.request("POST", path, data, {"Content-Type": "application/json"})
        answer = self.connection.getresponse()
        text = answer.read()
        self.waits.append(time.perf_counter() - began)
        self.statuses[answer.status] += 1
        return answer.status, text

    def get(self, path: str) -> dict[str, object]:
        self.connection.request("GET", path)
        found: dict[str, object] = json.loads(self.connection.getresponse().read())
        return found


def started(command: list[str]) -> tuple[subprocess.Popen[str], int]:
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    )
    assert process.stdout is not None
    found = re.search(r":(\d+)/", process.stdout.readline())
    assert found is not None
    return process, int(found[1])


def together(clients: list[Client], seconds: float, one: object) -> None:
    until = time.monotonic() + seconds

    def work(client: Client, n: int) -> None:
        turn = 0
        while time.monotonic() < until:
            one(client, n, turn)  # type: ignore[operator]
            turn += 1

    threads = [threading.Thread(target=work, args=(c, n)) for n, c in enumerate(clients)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def told(name: str, clients: list[Client], seconds: float) -> float:
    waits = sorted(wait for client in clients for wait in client.waits)
    statuses = sum((client.statuses for client in clients), Counter())
    cuts = statistics.quantiles(waits, n=100)
    print(
        f"{name}: {len(waits)} requests, {len(waits) / seconds:.0f} a second, "
        f"p50 {cuts[49] * 1000:.0f} ms, p99 {cuts[98] * 1000:.0f} ms, statuses {dict(statuses)}"
    )
    return cuts[49]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--clients", type=int, default=50)
    parser.add_argument("--seconds", type=float, default=30)
    parser.add_argument("--recipes", type=int, default=10)
    chosen = parser.parse_args()

    process, port = started([sys.executable, "-c", HELLO])
    try:
        clients = [Client(port, f"seat {n}") for n in range(chosen.clients)]
        together(clients, min(chosen.seconds, 10), lambda c, n, turn: c.post("/hello", {}))
        bare = told("bare FastAPI", clients, min(chosen.seconds, 10))
    finally:
        process.terminate()

    with tempfile.TemporaryDirectory() as folder:
        database = str(Path(folder) / "recipes.sqlite3")
        serve = [sys.executable, "-m", "hobnote.cli", "serve", "--port", "0", "--rate", "0"]
        process, port = started([*serve, "--database", database])
        try:
            first = Client(port, "cook")
            recipes = []
            for _ in range(chosen.recipes):
                status, text = first.post("/v1/recipes", {"text": NOTE})
                assert status == 201, text
                recipes.append(json.loads(text)["id"])
            clients = [Client(port, f"seat {n}") for n in range(chosen.clients)]

            def say(client: Client, n: int, turn: int) -> None:
                words = f"the oats were {100 + (n * 7 + turn) % 300} g"
                path = f"/v1/recipes/{recipes[n % len(recipes)]}/messages"
                status, _ = client.post(path, {"text": words, "who": f"{client.name}.{turn}"})
                if status == 200:
                    client.said.append(f"{client.name}.{turn}")

            together(clients, chosen.seconds, say)
            ours = told("messages", clients, chosen.seconds)
            first = Client(port, "cook")
            kept: Counter[str] = Counter()
            for recipe in recipes:
                log = first.get(f"/v1/recipes/{recipe}/turns?after=1")
                kept.update(turn["who"] for turn in log["turns"])  # type: ignore[attr-defined]
            said = Counter(one for client in clients for one in client.said)
            print(f"acknowledged {sum(said.values())}, kept {sum(kept.values())}, "
                  f"lost {sum((said - kept).values())}, doubled {sum((kept - said).values())}")
            print(f"p50 is {ours / bare:.1f} times that of the bare FastAPI")
        finally:
            process.terminate()
            process.wait(10)


if __name__ == "__main__":
    main()
