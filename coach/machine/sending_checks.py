"""Checks of what messages are sent by: the settings, and whether a mail server lets us in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.machine.findings import Told
from coach.machine.mail import reached

if TYPE_CHECKING:
    import ssl
    from collections.abc import Callable, Iterator

    from coach.machine.mail import MailServer

_MAIL, _PUSH = "mail", "push"
_SETTINGS = "Look at the settings that begin with COACH_MAIL."


def mail(
    server: MailServer | None, *, ask: bool, trusted: Callable[[], ssl.SSLContext] | None = None
) -> Iterator[Told]:
    """Whether letters can be handed in.

    Args:
        server: What is set; none: nothing is.
        ask: Whether to connect to it. It is handed nothing.
        trusted: What it has to prove that it is who it says; none: what the system trusts.
    """
    if server is None:
        yield Told(_MAIL, "No mail server is named, so no mail is sent.")
        return
    at = f"{server.host}, port {server.port}"
    if server.fault:
        yield Told(_MAIL, server.fault, _SETTINGS)
    elif not ask:
        yield Told(
            _MAIL, f"Mail is handed in at {at} ({server.security}); --mail asks whether it lets us in."
        )
    elif (found := reached(server, trusted)).result == "sent":
        yield Told(_MAIL, f"The mail server at {at}, lets us in.")
    else:
        yield Told(_MAIL, f"{found.why} It is {at}.", _SETTINGS)


def push(*, on: bool, fault: str) -> Iterator[Told]:
    """Whether messages can be sent to browsers, as far as the settings say.

    Args:
        on: Whether they are.
        fault: What push services would not take; empty: nothing.
    """
    if not on:
        yield Told(_PUSH, "Messages to browsers are off, and no connection is made for them.")
    elif fault:
        yield Told(_PUSH, fault, "Set it, and start Steading again.")
    else:
        yield Told(_PUSH, "Messages to browsers are on.")
