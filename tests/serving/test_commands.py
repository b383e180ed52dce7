"""``hobnote serve`` and ``hobnote token`` as they are typed."""

from __future__ import annotations

import json
import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

from hobnote.keeping.tokens import Tokens
from hobnote.serving.server import on_loopback


@pytest.fixture
def hobnote(tmp_path: Path):
    environment = os.environ | {"HOBNOTE_DATABASE": str(tmp_path / "recipes.sqlite3")}

    def run(*words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "hobnote.cli", *words],
            capture_output=True,
            text=True,
            env=environment,
            timeout=60,
        )

    run.environment = environment  # type: ignore[attr-defined]
    return run


def test_tokens_are_made_listed_and_revoked(hobnote, tmp_path):
    assert "No tokens yet" in hobnote("token", "list").stdout
    made = hobnote("token", "create", "planner", "--scope", "read")
    secret = made.stdout.strip()
    found = Tokens.open(str(tmp_path / "recipes.sqlite3")).find(secret)
    assert found is not None and found.scope == "read"
    listed = hobnote("token", "list").stdout
    assert "planner" in listed and secret not in listed
    assert hobnote("token", "revoke", "planner").returncode == 0
    assert "revoked" in hobnote("token", "list").stdout
    again = hobnote("token", "create", "planner")
    assert (again.returncode, again.stderr.count("\n")) == (2, 1)
    assert hobnote("token", "revoke", "nobody").returncode == 2
    assert hobnote("token", "create", "x", "--scope", "all").returncode == 2


@pytest.mark.parametrize("words", [("--host", "0.0.0.0"), ("--locked",)])
def test_nobody_is_let_in_without_tokens(hobnote, words):
    refused = hobnote("serve", "--port", "0", *words)
    assert refused.returncode == 2
    assert "hobnote token create" in refused.stderr and refused.stderr.count("\n") == 1


def test_a_door_that_is_taken(hobnote):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        refused = hobnote("serve", "--port", str(taken.getsockname()[1]))
    assert refused.returncode == 2
    assert "--port" in refused.stderr and refused.stderr.count("\n") == 1


def test_a_host_that_is_none(hobnote):
    hobnote("token", "create", "galley")
    refused = hobnote("serve", "--host", "no such host", "--port", "0")
    assert (refused.returncode, refused.stderr.count("\n")) == (2, 1)


def test_it_serves_until_it_is_stopped(hobnote):
    process = subprocess.Popen(
        [sys.executable, "-m", "hobnote.cli", "serve", "--port", "0"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=hobnote.environment,
    )
    try:
        found = re.search(r"http://127\.0\.0\.1:\d+/", process.stdout.readline())
        assert found
        with urllib.request.urlopen(f"{found[0]}healthz", timeout=30) as answer:
            assert json.load(answer)["status"] == "ok"
    finally:
        process.send_signal(signal.SIGINT)
        _, log = process.communicate(timeout=30)
    assert process.returncode in (0, 130)
    lines = [json.loads(line) for line in log.splitlines()]
    assert [line["route"] for line in lines if line["event"] == "request"] == ["/healthz"]
    assert "Traceback" not in log


@pytest.mark.parametrize(
    ("host", "alone"),
    [
        ("127.0.0.1", True),
        ("127.8.0.1", True),
        ("::1", True),
        ("localhost", True),
        ("0.0.0.0", False),
        ("::", False),
        ("192.168.1.20", False),
        ("localhost.elsewhere.example", False),
    ],
)
def test_what_only_this_machine_can_reach(host, alone):
    assert on_loopback(host) is alone
