"""A program that opens new databases one after the other, each on a sign: `open_together.py URL...`."""

from __future__ import annotations

import sys

from coach.store.opening import open_store


def main(urls: list[str]) -> None:
    """Say `ready`, wait for a line, open the next database and say what came of it."""
    for url in urls:
        sys.stdout.write("ready\n")
        sys.stdout.flush()
        sys.stdin.readline()
        open_store(url).close()
    sys.stdout.write("done\n")


if __name__ == "__main__":
    main(sys.argv[1:])
