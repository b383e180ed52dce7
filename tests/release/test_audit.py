"""An audit that could not ask is never taken for good news."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
spec = importlib.util.spec_from_file_location("audit", ROOT / "scripts" / "audit.py")
assert spec and spec.loader
script = importlib.util.module_from_spec(spec)
spec.loader.exec_module(script)

FINE = {"name": "a", "version": "1", "vulns": []}
WEAK = {"name": "b", "version": "2", "vulns": [{"id": "X-1", "fix_versions": ["3"]}]}
SKIPPED = {"name": "c", "skip_reason": "not found"}


@pytest.mark.parametrize(
    ("answers", "status", "says"),
    [
        ([None], 2, "cannot be reached"),
        ([[]], 2, "cannot be reached"),
        ([[SKIPPED]], 2, "cannot be reached"),
        ([[FINE], None], 2, "stopped answering"),
        ([[FINE], [FINE, SKIPPED]], 0, "1 of"),
        ([[FINE], [FINE, WEAK]], 1, "b 2: X-1, mended in 3."),
    ],
)
def test_the_end_says_what_was_found(
    answers, status: int, says: str, monkeypatch: pytest.MonkeyPatch, capsys
) -> None:
    left = list(answers)
    monkeypatch.setattr(script, "audit", lambda pins: left.pop(0))
    assert script.main() == status
    assert says in capsys.readouterr().out and not left


def test_only_versions_of_the_registry_are_asked_for() -> None:
    assert script.pinned("# made by x==1\na==1\nb @ file:///b.whl\n\nc==2\n") == ["a==1", "c==2"]
