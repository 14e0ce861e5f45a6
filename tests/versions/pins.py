"""The pinned versions, and everything that Steading needs at run time by what the installed packages say."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, requires
from itertools import product
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
RUN = ".constraints.txt"
CI = ".ci/constraints.txt"
PYTHONS = ("3.11", "3.12", "3.13")
SYSTEMS = (("linux", "Linux", "posix"), ("darwin", "Darwin", "posix"), ("win32", "Windows", "nt"))


def pins(file: str) -> dict[str, Requirement]:
    """The packages that a file of constraints pins, by name; what it takes from other files is left out."""
    lines = (ROOT / file).read_text(encoding="utf-8").splitlines()
    named = [Requirement(line) for line in lines if line and not line.startswith(("#", "-c "))]
    return {canonicalize_name(one.name): one for one in named}


def _markers() -> list[dict[str, str]]:
    """What a package may ask about the machine, for each kind that constraints are meant for."""
    return [
        {
            "python_version": python,
            "python_full_version": f"{python}.0",
            "implementation_name": "cpython",
            "platform_python_implementation": "CPython",
            "sys_platform": platform,
            "platform_system": system,
            "os_name": name,
        }
        for python, (platform, system, name) in product(PYTHONS, SYSTEMS)
    ]


def needed(package: str, extras: frozenset[str] = frozenset()) -> set[str]:
    """The names of all packages that come with one on some machine, itself left out."""
    found: set[str] = set()
    seen: set[tuple[str, frozenset[str]]] = set()
    waiting = [(canonicalize_name(package), extras)]
    while waiting:
        name, asked = waiting.pop()
        if (name, asked) in seen:
            continue
        seen.add((name, asked))
        below = [(canonicalize_name(one.name), frozenset(one.extras)) for one in _asked_for(name, asked)]
        found |= {one for one, _ in below}
        waiting += below
    return found


def _asked_for(name: str, extras: frozenset[str]) -> list[Requirement]:
    """What a package asks for on some machine; one that is not installed is for another machine alone."""
    try:
        asked = [Requirement(text) for text in requires(name) or ()]
    except PackageNotFoundError:
        return []
    machines = [{**markers, "extra": extra} for markers in _markers() for extra in ("", *sorted(extras))]
    return [one for one in asked if one.marker is None or any(map(one.marker.evaluate, machines))]
