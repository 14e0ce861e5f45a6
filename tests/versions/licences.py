"""The page of licences, written from what the installed packages say of themselves.

`PYTHONPATH=tests .venv/bin/python -m versions.licences` writes it anew.
"""

from __future__ import annotations

from importlib.metadata import metadata
from typing import Any

from versions.pins import ROOT, RUN, needed, pins

PAGE = "docs/licences.md"
HEAD = """# Licences

What comes with Steading when it is installed, and under which licence each part says it is. The table of
packages is written from what the installed packages say of themselves. Their versions stand in
`.constraints.txt`; their licence texts are installed with them, in the folders `*.dist-info` of the
environment. CI makes a bill of materials of what is installed ([DEVELOPERS.md](../DEVELOPERS.md#versions)).

Steading itself states no licence so far.

## Packages

| package | licence | comes |
|---|---|---|
"""
TAIL = """
## Files of others in the repository

| files | licence | where |
|---|---|---|
| `coach/web/static/vendor/htmx-4.0.1.min.js` | Zero-Clause BSD | in every page |
| `coach/web/static/fonts/*.woff2` | SIL Open Font License 1.1 | in every page |
| `coach/press/fonts/*.ttf` | SIL Open Font License 1.1 | in every PDF, as far as its letters go |
| `tests/browser/vendor/axe-4.14.1.min.js` | Mozilla Public License 2.0 | in tests alone, not installed |

The text of each licence lies beside its files.
"""

COMES = {
    "always": frozenset[str](),
    "with PDF": frozenset({"pdf"}),
    "with PostgreSQL": frozenset({"postgres"}),
    "with a cluster": frozenset({"cluster"}),
}


def licence(package: str) -> str:
    """What a package says its licence is: the expression, else classifiers, else the field's first line."""
    # A field that is missing is None here, and a KeyError once some library has brought the backport.
    said: Any = metadata(package)
    if said.get("License-Expression"):
        return str(said.get("License-Expression"))
    classified = [
        str(one).rpartition(" :: ")[2]
        for one in said.get_all("Classifier", [])
        if one.startswith("License :: ")
    ]
    if classified:
        return " and ".join(classified)
    return str(said.get("License") or "").strip().partition("\n")[0]


def page() -> str:
    """The whole page."""
    ways = {words: needed("coach", extras) for words, extras in COMES.items()}
    rows = [f"| {name} | {licence(name)} | {_comes(name, ways)} |\n" for name in sorted(pins(RUN))]
    return HEAD + "".join(rows) + TAIL


def _comes(name: str, ways: dict[str, set[str]]) -> str:
    return next(words for words, packages in ways.items() if name in packages)


if __name__ == "__main__":
    (ROOT / PAGE).write_text(page(), encoding="utf-8")
