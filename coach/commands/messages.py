"""`coach send-due`: one round of sending the messages that are due, for a timer of the system."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.commands.arguments import add_database, add_lessons, command
from coach.commands.data import opened, settings_of
from coach.messages.sending import send_due
from coach.store.opening import open_existing
from coach.web.events import raised

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

    from coach.commands.arguments import Parsers
    from coach.messages.answers import Round

FAILED = 1
"""The status where something could not be looked at."""


def register(parsers: Parsers) -> None:
    """Add the command."""
    about = "Send the messages that are due now, each once, also while Steading runs."
    parser = command(parsers, "send-due", _send_due, about)
    add_database(parser)
    add_lessons(parser)


def _send_due(arguments: argparse.Namespace) -> int:
    from coach.web.carrying import Post  # noqa: PLC0415  its libraries are for sending alone

    with opened(arguments, open_existing) as context:
        found = send_due(context, Post(settings_of(arguments), context), context.clock())
    for line in _told(found):
        print(line)
    return FAILED if found.faults else 0


def _told(found: Round) -> Iterator[str]:
    """What came of it, without names or addresses."""
    parts = {
        "sent": found.sent,
        "put off": found.later,
        "refused": found.refused,
        "ended, since nobody is reached there": found.gone,
    }
    said = ", ".join(f"{count} {what}" for what, count in parts.items() if count) or "nothing was due"
    looked = "1 reminder" if found.looked == 1 else f"{found.looked} reminders"
    yield f"{looked} looked at: {said}"
    for fault in found.faults:
        yield f"could not be looked at: {raised(fault)}"
