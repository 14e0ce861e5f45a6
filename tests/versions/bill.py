"""Whether a bill of materials lists exactly what is installed: `python -m versions.bill FILE`.

It asks about the Python that runs it, and needs no package, since it runs where Steading alone is installed.
"""

from __future__ import annotations

import json
import re
import sys
from importlib.metadata import distributions
from pathlib import Path
from typing import Any


def differences(bill: dict[str, Any], installed: dict[str, str]) -> list[str]:
    """What is listed and not installed, and the other way round, one sentence each."""
    parts = [bill["metadata"]["component"], *bill["components"]]
    listed = {_plain(part["name"]): str(part["version"]) for part in parts}
    extra = [f"{name} {listed[name]} is listed and not installed." for name in listed.keys() - installed]
    missing = [f"{name} {installed[name]} is installed and not listed." for name in installed.keys() - listed]
    others = [
        f"{name} is listed as {listed[name]} and installed as {installed[name]}."
        for name in listed.keys() & installed
        if listed[name] != installed[name]
    ]
    twice = [f"Of {len(parts)} parts {len(parts) - len(listed)} are listed twice."]
    return sorted(extra + missing + others) + twice * (len(parts) != len(listed))


def here() -> dict[str, str]:
    """What is installed where this runs: names and versions."""
    return {_plain(one.metadata["Name"]): one.version for one in distributions()}


def _plain(name: str) -> str:
    """A package's name as all spellings of it have in common."""
    return re.sub(r"[-_.]+", "-", name).lower()


def main(file: str) -> int:
    """Say what differs; status 1 if anything does."""
    installed = here()
    found = differences(json.loads(Path(file).read_text(encoding="utf-8")), installed)
    fine = f"{file} lists all {len(installed)} packages that are installed, and no other."
    sys.stdout.write("\n".join(found or [fine]) + "\n")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
