"""A program that writes to log and plan and says so, until it is killed: `append_forever.py URL FIRST`."""

from __future__ import annotations

import sys
from contextlib import closing
from itertools import count

from coach.store.opening import open_store
from store.tern_street import HOME, NOW, dinner, kept


def main(url: str, first: int) -> None:
    """Write one transaction for each number from the first on, and say each number once it is written."""
    with closing(open_store(url)) as store:
        for number in count(first):
            with store.writing(HOME) as writing:
                writing.append([kept(number), kept(number, "door-shelf")], NOW, f"r{number}")
                writing.put_plan([dinner(number)], NOW, f"r{number}")
            sys.stdout.write(f"{number}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
