"""A program that appends rows and says so after each, until it is killed: `append_forever.py URL FIRST`."""

from __future__ import annotations

import sys
from contextlib import closing
from itertools import count

from coach.store.opening import open_store
from store.tern_street import add, kept


def main(url: str, first: int) -> None:
    """Append one row for each number from the first on, and say each number once its row is written."""
    with closing(open_store(url)) as store:
        for number in count(first):
            add(store, kept(number), kept(number, "door-shelf"), request_id=f"r{number}")
            sys.stdout.write(f"{number}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
