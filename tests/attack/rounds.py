"""What every attack has in common: its arguments, what it counts, and how it ends."""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections import Counter
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

MOST_SHOWN = 20
"""Faults that are printed whole; the rest is counted."""


@dataclass
class Tally:
    """What came of an attack so far.

    Attributes:
        counts: How often what happened.
        faults: What should not have happened, with what brought it about.
    """

    counts: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)

    def count(self, what: str, number: int = 1) -> None:
        """Something happened."""
        self.counts[what] += number

    def fault(self, words: str) -> None:
        """Something happened that should not have."""
        self.faults.append(words)

    def expect(self, holds: object, words: str) -> None:
        """A fault, unless it holds."""
        if not holds:
            self.fault(words)


@dataclass(frozen=True)
class Attack:
    """How an attack is carried out.

    Attributes:
        rounds: How many.
        random: Where all its choices come from.
        folder: An empty folder of its own.
        tally: What comes of it.
    """

    rounds: int
    random: Random
    folder: Path
    tally: Tally


@contextmanager
def _folder(named: str | None) -> Iterator[Path]:
    """The folder that was asked for, which stays, or one that is gone afterwards."""
    if named is not None:
        Path(named).mkdir(parents=True)
        yield Path(named)
        return
    with tempfile.TemporaryDirectory(prefix="attack-") as folder:
        yield Path(folder)


def run(name: str, rounds: int, attack: Callable[[Attack], None], arguments: Sequence[str]) -> int:
    """Carry out an attack by the command line's arguments, print its summary, and give the exit status."""
    parser = argparse.ArgumentParser(prog=f"attack.{name}")
    parser.add_argument("--seed", type=int, default=1, help="another seed makes other choices")
    parser.add_argument("--rounds", type=int, default=rounds, help=f"how many (default: {rounds})")
    parser.add_argument("--folder", help="a new folder for what it works on; it stays")
    asked = parser.parse_args(arguments)
    began = time.monotonic()
    tally = Tally()
    with _folder(asked.folder) as folder:
        try:
            attack(Attack(asked.rounds, Random(asked.seed), folder, tally))
        except KeyboardInterrupt:
            tally.fault("it was stopped before its end")
    _say(name, asked.seed, asked.rounds, time.monotonic() - began, tally)
    return 1 if tally.faults else 0


def _say(name: str, seed: int, rounds: int, seconds: float, tally: Tally) -> None:
    for fault in tally.faults[:MOST_SHOWN]:
        print(f"FAULT {fault}")
    if len(tally.faults) > MOST_SHOWN:
        print(f"and {len(tally.faults) - MOST_SHOWN} more")
    counted = ", ".join(f"{what} {number}" for what, number in sorted(tally.counts.items()))
    print(
        f"attack.{name} seed {seed}: rounds {rounds}, {counted}, {seconds:.0f} s, faults {len(tally.faults)}"
    )
    sys.stdout.flush()
