"""A server of its own over a database: begins a round when told to, and says whom it carries a letter to.

    python send_from.py URL INSTANT [hold]

With `hold` it stays on the way with the first letter until it is killed.
"""

from __future__ import annotations

import sys
import time
from contextlib import closing
from datetime import datetime
from typing import TYPE_CHECKING

from coach.ground.ports import Context
from coach.messages.sending import send_due
from coach.store.opening import open_store
from habits.house import SMALL, Shelf
from messages.post import PostOffice

if TYPE_CHECKING:
    from coach.ground.sending import Reminder
    from coach.messages.answers import Letter, Outcome

A_HOUR = 3600


def say(text: str) -> None:
    """Tell whoever reads the output."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


class Telling(PostOffice):
    """Says aloud whom a letter goes to."""

    def carry(self, reminder: Reminder, letter: Letter, now: datetime) -> Outcome:
        say(reminder.address)
        if "hold" in sys.argv:
            time.sleep(A_HOUR)
        return super().carry(reminder, letter, now)


def main() -> None:
    """One round."""
    url, instant = sys.argv[1:3]
    now = datetime.fromisoformat(instant)
    with closing(open_store(url)) as store:
        context = Context(store, Shelf(SMALL), lambda: now)
        say("ready")
        sys.stdin.readline()
        found = send_due(context, Telling(), now)
    assert found.faults == (), found


if __name__ == "__main__":
    main()
