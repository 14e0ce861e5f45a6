"""A program that restores two backups in turn, until it is killed: `restore_forever.py URL FIRST SECOND`."""

from __future__ import annotations

import sys
from itertools import cycle
from pathlib import Path

from coach.store.backup import restore


def main(url: str, backups: list[Path]) -> None:
    """Restore one backup after the other and say so after each."""
    for source in cycle(backups):
        restore(url, source)
        sys.stdout.write(f"{source.name}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1], [Path(name) for name in sys.argv[2:]])
