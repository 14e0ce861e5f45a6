"""The port to what carries a letter: a push service or a mail server, wherever they are."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from datetime import datetime

    from coach.ground.sending import Reminder, Way
    from coach.messages.answers import Letter, Outcome


class Carrier(Protocol):
    """Carries letters to the places that reminders name."""

    def why_not(self, way: Way) -> str:
        """Why nothing can be sent that way as the service is set; empty where it can."""

    def fault_of(self, way: Way, address: str, key: str = "", auth: str = "") -> str:
        """Why nothing may be sent to an address, in words for whoever gave it; empty where it may.

        A push address that is not https or leads to this machine or a private network is refused here, and
        so are keys of a browser that are none. The name is looked up, so call it outside any transaction.
        """

    def prepare(self) -> None:
        """Make what is needed to send and to subscribe, as far as it is not there."""

    def public_key(self) -> str:
        """What a browser needs to subscribe (VAPID, RFC 8292 §3.2), base64url; empty where push is off.

        It only looks, so it is empty too until what it takes is prepared.
        """

    def carry(self, reminder: Reminder, letter: Letter, now: datetime) -> Outcome:
        """Carry one letter, in bounded time. What goes wrong is an outcome, never an error.

        It is called outside any transaction, since it waits for others.
        """
