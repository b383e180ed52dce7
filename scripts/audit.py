"""Look every locked package up in the list of known weaknesses, by pip-audit.

    make audit

Ends with 0 when none is known, 1 when some are, and 2 when the list could not be
reached: then nothing was audited, which is said and never taken for good news.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent


def pinned(lock: str) -> list[str]:
    """The lines of a lock file that pin a version of the registry."""
    return [line.strip() for line in lock.splitlines() if "==" in line and line[0] != "#"]


def audit(pins: Sequence[str]) -> list[dict[str, Any]] | None:
    """What pip-audit says of each; None where it could not ask."""
    with tempfile.TemporaryDirectory() as folder:
        wanted = Path(folder) / "pinned.txt"
        wanted.write_text("\n".join(pins) + "\n")
        done = subprocess.run(
            [sys.executable, "-m", "pip_audit", "--requirement", wanted, "--no-deps",
             "--disable-pip", "--format", "json", "--progress-spinner", "off", "--timeout", "20"],
            capture_output=True, text=True, check=False,
        )  # fmt: skip
    try:
        found: list[dict[str, Any]] = json.loads(done.stdout)["dependencies"]
    except (ValueError, KeyError):
        return None
    return found


def main() -> int:
    """Audit and tell."""
    pins = pinned((ROOT / "requirements.lock").read_text(encoding="utf-8"))
    # One first: a registry that does not know a package as common as this has no list.
    probe = audit([pin for pin in pins if pin.startswith("packaging==")][:1] or pins[:1])
    if not probe or "skip_reason" in probe[0]:
        print("The list of known weaknesses cannot be reached from here; nothing was audited.")
        return 2
    found = audit(pins)
    if found is None:
        print("The list of known weaknesses stopped answering; nothing was audited.")
        return 2
    known = [(one, weak) for one in found for weak in one.get("vulns", [])]
    for one, weak in known:
        fixed = ", ".join(weak.get("fix_versions", [])) or "no version yet"
        print(f"{one['name']} {one['version']}: {weak['id']}, mended in {fixed}.")
    skipped = [f"{one['name']} ({one['skip_reason']})" for one in found if "skip_reason" in one]
    for one in skipped:
        print(f"Not audited: {one}.")
    print(f"{len(found) - len(skipped)} of {len(pins)} packages audited, "
          f"{len(known)} known weaknesses.")  # fmt: skip
    return 1 if known else 0


if __name__ == "__main__":
    raise SystemExit(main())
