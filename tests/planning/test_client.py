"""The client of docs/planner.md, run as it stands there against a server on this machine."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
import uvicorn
from fastapi import FastAPI

from hobnote_api.feed import feed_router

PAGE = (Path(__file__).parents[2] / "docs" / "planner.md").read_text(encoding="utf-8")


def block(language, n=0):
    return re.findall(rf"```{language}\n(.*?)```", PAGE, re.S)[n]


@pytest.fixture
def address(shelf):
    app = FastAPI()
    app.include_router(feed_router(lambda: shelf))
    server = uvicorn.Server(uvicorn.Config(app, port=0, log_level="error"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    port = server.servers[0].sockets[0].getsockname()[1]
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(timeout=10)


def test_the_python_client_lays_out_three_days(address, tmp_path):
    program = block("python")
    assert len([line for line in program.splitlines() if line.strip()]) <= 40
    (tmp_path / "planner.py").write_text(program, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "planner.py", address],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    lines = done.stdout.splitlines()
    # porridge 420, chilli 610 and salad 350 are left; the stew's food is a question.
    assert lines[0] == "Day 1: porridge, then bean chilli (927-1133 kcal)"
    assert len(lines) == 5
    assert "mystery" not in done.stdout
    assert "kidney bean" in lines[3]
    assert re.fullmatch(r"Ask again with since=c\d+", lines[4])


def test_the_curl_lines_work(address):
    if shutil.which("curl") is None:
        pytest.skip("curl is not installed")
    first, second = block("sh").strip().splitlines()
    out = [
        subprocess.run(
            ["sh", "-c", line.replace("http://127.0.0.1:8000", address)],
            capture_output=True,
            text=True,
            timeout=30,
            check=True,
        ).stdout
        for line in (first, second)
    ]
    assert [one["title"] for one in json.loads(out[0])["recipes"]] == ["bean chilli", "egg salad"]
    lines = [json.loads(line) for line in out[1].splitlines()]
    assert lines[0]["portions"]["best"] == 8
    assert "cursor" in lines[-1]


def test_the_page_names_every_query_of_the_feed():
    app = FastAPI()
    app.include_router(feed_router(lambda: None))
    asked = app.openapi()["paths"]["/v1/plan-feed"]["get"]["parameters"]
    names = {one["name"] for one in asked if one["in"] == "query"}
    assert names
    assert all(re.search(rf"`{name}(=\w+)?`", PAGE) for name in names)
