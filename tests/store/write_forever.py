"""A program that writes to a SQLite file over and over until it is killed: `write_forever.py FILE SECONDS`.

It keeps the file for so many seconds each time, and lets go of it for a thousandth of one. For less nobody
could get in while every core is busy: this program would have the file again before another one is let run.
"""

from __future__ import annotations

import sqlite3
import sys
import time


def main(file: str, seconds: float) -> None:
    """Say `writing` once the file is kept, and go on."""
    connection = sqlite3.connect(file, isolation_level=None, timeout=60)
    connection.execute("BEGIN IMMEDIATE")
    sys.stdout.write("writing\n")
    sys.stdout.flush()
    while True:
        connection.execute("UPDATE household SET version = version")
        time.sleep(seconds)
        connection.execute("COMMIT")
        time.sleep(0.001)
        connection.execute("BEGIN IMMEDIATE")


if __name__ == "__main__":
    main(sys.argv[1], float(sys.argv[2]))
